//! How the verdict hangs together with what was chosen: the window of entry speeds, and what becomes of it when things are a little
//! worse than told.

use base::factors::MPS_PER_KT;
use base::kinds::{CalibratedAirspeed, GeometricHeight};
use base::units::{Length, Mass, Power, Temperature};
use flight::airplane::{Airplane, Thrust};

use super::Verdict;
use super::judge::{Case, judge, outside};
use crate::definition::Direction;
use crate::reference::ReferenceFlight;

/// Fit of a maneuver to airplane and day, beyond the limits.
#[derive(Debug, Clone, PartialEq)]
pub struct Fit {
    /// Entry speeds at which the figure keeps its limits; `None` when the one chosen does not.
    pub window: Option<EntryWindow>,
    /// As asked, and a little worse, each in one thing.
    pub sensitivities: Vec<Sensitivity>,
}

/// The window of entry speeds, knots indicated, and what closes it.
#[derive(Debug, Clone, PartialEq)]
pub struct EntryWindow {
    /// Slowest.
    pub low_kt: f64,
    /// What goes first below.
    pub low_why: String,
    /// Fastest.
    pub high_kt: f64,
    /// What goes first above.
    pub high_why: String,
    /// The one flown.
    pub used_kt: f64,
}

/// What becomes of the verdict with one thing changed.
#[derive(Debug, Clone, PartialEq)]
pub struct Sensitivity {
    /// What is changed: "+10 kg".
    pub change: &'static str,
    /// The verdict then.
    pub verdict: Verdict,
    /// The first reason then; empty when there is none.
    pub reason: String,
    /// Lowest margin over the stall, kt; `None` when it is not flown.
    pub margin_kt: Option<f64>,
    /// Highest above entry, ft; `None` when it is not flown.
    pub gain_ft: Option<f64>,
}

/// A notch of power: this share of what the engine gives, about 50 rpm with a fixed pitch (power goes with the cube of rpm) or 1 inHg
/// of manifold pressure with a governor (training aid, our judgement).
pub const NOTCH_SHARE: f64 = 0.05;

/// No entry is looked for slower than this many times the stall speed, or than the one flown (common practice, no source).
const ENTRY_OVER_STALL: f64 = 1.3;
/// Halvings of the gap when an end of the window is sought: some 40 kt to half a knot.
const HALVINGS: usize = 6;

/// Flies the case again and again, one side: up to 14 entry speeds and 5 changed cases.
pub(super) fn of(case: &Case<'_>, direction: Direction, flight: Option<&ReferenceFlight>) -> Fit {
    let window = flight.and_then(|flight| window(case, direction, flight));
    Fit { window, sensitivities: sensitivities(case, direction) }
}

fn window(case: &Case<'_>, direction: Direction, flight: &ReferenceFlight) -> Option<EntryWindow> {
    let used_mps = flight.samples.first()?.calibrated_airspeed_mps;
    let airplane = case.airplane;
    let why = |speed_mps: f64| {
        let speed = Some(CalibratedAirspeed::from_mps(speed_mps));
        outside(&Case { speed, ..*case }, direction)
    };
    // No window is offered for a hazard: it is entered at its own speed or not at all.
    if case.maneuver.hazard().is_some() || why(used_mps).is_some() {
        return None;
    }
    let maneuvering_mps = airplane.calibrated(airplane.maneuvering_speed(case.mass)).to_mps();
    let approved = airplane.approved_entry(case.maneuver.id());
    let approved_mps = approved.map_or(0.0, |speed| airplane.calibrated(speed).to_mps());
    let (most_mps, most_why) = if approved_mps > maneuvering_mps {
        (approved_mps, "the entry speed that the maker approves for this figure")
    } else {
        let reason = "maneuvering speed at this weight: above it a full pull passes the limit load before the wing stalls";
        (maneuvering_mps, reason)
    };
    let (high_mps, high_why) = match why(most_mps) {
        None => (most_mps.max(used_mps), most_why.into()),
        Some(reason) => close(used_mps, most_mps.max(used_mps), reason, &why),
    };
    let stall_mps = airplane.stall_speed(case.mass, base::units::LoadFactor::from_g(1.0)).to_mps();
    let slowest_mps = (ENTRY_OVER_STALL * stall_mps).min(used_mps);
    let (low_mps, low_why) = match why(slowest_mps) {
        None => {
            (slowest_mps, "1.3 times the stall speed: slower is slow flight and no entry".into())
        }
        Some(reason) => close(used_mps, slowest_mps, reason, &why),
    };
    let indicated = |mps: f64| airplane.indicated(CalibratedAirspeed::from_mps(mps)).to_kt();
    Some(EntryWindow {
        low_kt: indicated(low_mps),
        low_why,
        high_kt: indicated(high_mps),
        high_why,
        used_kt: indicated(used_mps),
    })
}

/// The last speed that keeps everything between one that does and one that does not, and what goes beyond it.
fn close(
    mut good_mps: f64,
    mut bad_mps: f64,
    mut reason: String,
    why: &impl Fn(f64) -> Option<String>,
) -> (f64, String) {
    for _ in 0..HALVINGS {
        if (bad_mps - good_mps).abs() < 0.5 * MPS_PER_KT {
            break;
        }
        let middle_mps = 0.5 * (good_mps + bad_mps);
        match why(middle_mps) {
            None => good_mps = middle_mps,
            Some(found) => (bad_mps, reason) = (middle_mps, found),
        }
    }
    (good_mps, reason)
}

/// The changes: "as asked" first.
fn sensitivities(case: &Case<'_>, direction: Direction) -> Vec<Sensitivity> {
    let weaker = weaker(case.airplane);
    let heavier = Case { mass: case.mass + Mass::from_kg(10.0), ..*case };
    let higher = Case { height: raised(case.height, 1000.0), ..*case };
    let mut warmer = *case;
    let warm_k = case.day.temperature_at_field.to_k() + 10.0;
    warmer.day.temperature_at_field = Temperature::from_k(warm_k);
    let notch = Case { airplane: &weaker, ..*case };
    let cases = [
        ("as asked", *case),
        ("+10 kg", heavier),
        ("entry 1,000 ft higher", higher),
        ("10 C warmer", warmer),
        ("one notch less power", notch),
    ];
    let one = |(change, case): (&'static str, Case<'_>)| {
        let judged = judge(&case, &[direction]);
        let extremes = judged.flights.first().map(|flight| flight.extremes);
        Sensitivity {
            change,
            verdict: judged.verdict,
            reason: judged.reasons.into_iter().next().unwrap_or_default(),
            margin_kt: extremes.map(|e| e.stall_margin_min_kt),
            gain_ft: extremes.map(|e| Length::from_m(e.height_gain_max_m).to_ft()),
        }
    };
    cases.into_iter().map(one).collect()
}

fn raised(height: GeometricHeight, by_ft: f64) -> GeometricHeight {
    height + Length::from_ft(by_ft)
}

/// The airplane with a notch less power.
fn weaker(airplane: &Airplane) -> Airplane {
    let mut out = airplane.clone();
    let share = 1.0 - NOTCH_SHARE;
    match &mut out.thrust {
        Thrust::Propeller(propeller) => {
            propeller.power_max = Power::from_w(share * propeller.power_max.to_w());
        }
        Thrust::Polynomial { static_n, slope_n_per_mps, curvature_n_per_mps2 } => {
            for term in [static_n, slope_n_per_mps, curvature_n_per_mps2] {
                *term *= share;
            }
        }
    }
    out
}
