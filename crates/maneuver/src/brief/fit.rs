//! How the verdict hangs together with what was chosen: the window of entry speeds, and what becomes of it when things are a little
//! worse than told.

use base::factors::MPS_PER_KT;
use base::kinds::{CalibratedAirspeed, GeometricHeight};
use base::units::{Length, Mass, Power, Temperature};
use flight::airplane::{Airplane, Thrust};

use super::bands::{self, Banded};
use super::judge::{Case, Judged, judge};
use super::{Limit, Verdict, limits};
use crate::definition::Direction;
use crate::reference::Extremes;

/// Fit of a maneuver to airplane and day, beyond the limits.
#[derive(Debug, Clone, PartialEq)]
pub struct Fit {
    /// Entry speeds at which the figure keeps its limits; `None` when the one chosen does not.
    pub window: Option<EntryWindow>,
    /// As asked, and a little worse, each in one thing.
    pub sensitivities: Vec<Sensitivity>,
    /// What the brief hangs on, with the doubt of the airplane; empty when it carries none.
    pub bands: Vec<Banded>,
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
    /// The first reason that the case as asked has not; empty when there is none.
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

/// Flies the case again and again, all sides as the brief does: up to 14 entry speeds, and 4 changed cases with hands and feet where
/// the brief has them.
pub(super) fn of(case: &Case<'_>, directions: &[Direction], asked: (&Judged, bool)) -> Fit {
    let sensitivities = sensitivities(case, directions, asked);
    let bands = bands::of(case, directions, asked.0);
    Fit { window: window(case, directions, asked.0), sensitivities, bands }
}

fn window(case: &Case<'_>, directions: &[Direction], asked: &Judged) -> Option<EntryWindow> {
    let used_mps = asked.flights.first()?.samples.first()?.calibrated_airspeed_mps;
    let airplane = case.airplane;
    // An entry that was told and takes the flight past maneuvering speed is not left out of its own window.
    let within = past_maneuvering(asked).is_none();
    let why = |speed_mps: f64| {
        let speed = Some(CalibratedAirspeed::from_mps(speed_mps));
        let judged = judge(&Case { speed, ..*case }, directions, false);
        let past = past_maneuvering(&judged).filter(|_| within);
        let first = judged.reasons.into_iter().next().unwrap_or_default();
        (judged.verdict == Verdict::OutsideLimits).then_some(first).or(past)
    };
    // No window is offered for a hazard: it is entered at its own speed or not at all.
    if case.maneuver.hazard().is_some() || asked.verdict == Verdict::OutsideLimits {
        return None;
    }
    let maneuvering_mps = airplane.calibrated(airplane.maneuvering_speed(case.mass)).to_mps();
    let approved = airplane.approved_entry(case.maneuver.id());
    let approved_mps = approved.map_or(0.0, |speed| airplane.calibrated(speed).to_mps());
    let (most_mps, most_why) = if approved_mps > maneuvering_mps {
        (approved_mps, "the entry speed that the maker approves for this figure")
    } else {
        let reason = if within {
            "maneuvering speed at this weight: above it a full pull passes the limit load before the wing stalls"
        } else {
            "maneuvering speed at this weight, for the entry alone: on its way the flight passes it, as told above"
        };
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

/// That a flight passes maneuvering speed on its way, with the numbers.
fn past_maneuvering(judged: &Judged) -> Option<String> {
    let about = |limit: &&Limit| limit.id == limits::MANEUVERING_SPEED && !limit.kept;
    judged.limits.iter().find(about).map(limits::sentence)
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
fn sensitivities(
    case: &Case<'_>,
    directions: &[Direction],
    (asked, hands): (&Judged, bool),
) -> Vec<Sensitivity> {
    let weaker = weaker(case.airplane);
    let heavier = Case { mass: case.mass + Mass::from_kg(10.0), ..*case };
    let higher = Case { height: raised(case.height, 1000.0), ..*case };
    let mut warmer = *case;
    let warm_k = case.day.temperature_at_field.to_k() + 10.0;
    warmer.day.temperature_at_field = Temperature::from_k(warm_k);
    let notch = Case { airplane: &weaker, ..*case };
    let cases = [
        ("+10 kg", heavier),
        ("entry 1,000 ft higher", higher),
        ("10 C warmer", warmer),
        ("one notch less power", notch),
    ];
    let changed = cases.iter().map(|(change, case)| {
        let judged = judge(case, directions, hands);
        let reason = first_new(&judged.reasons, &asked.reasons);
        told(change, &judged, reason)
    });
    std::iter::once(told("as asked", asked, String::new())).chain(changed).collect()
}

/// The first reason that is not also one of the case as asked, whatever its numbers.
fn first_new(reasons: &[String], known: &[String]) -> String {
    let about = |reason: &String| -> String {
        reason.chars().filter(|letter| letter.is_alphabetic()).collect()
    };
    let known: Vec<String> = known.iter().map(about).collect();
    reasons.iter().find(|reason| !known.contains(&about(reason))).cloned().unwrap_or_default()
}

/// Worst over the sides.
fn told(change: &'static str, judged: &Judged, reason: String) -> Sensitivity {
    let extremes = || judged.flights.iter().map(|flight| flight.extremes);
    let gain_ft = |e: Extremes| Length::from_m(e.height_gain_max_m).to_ft();
    Sensitivity {
        change,
        verdict: judged.verdict,
        reason,
        margin_kt: extremes().map(|e| e.stall_margin_min_kt).min_by(f64::total_cmp),
        gain_ft: extremes().map(gain_ft).min_by(f64::total_cmp),
    }
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
