//! What slow flight and the stalls share: the script flown and told.

use super::over_ground::unknowns;
use crate::definition::{Flaps, Floor, Maneuver, Sourced};
use crate::reference::{Condition, Entry, Infeasible, ReferenceFlight, Told};
use crate::solve::Setting;
use crate::solve::sampling::{Begin, samples_through};
use crate::solve::scripted::{self, Phase};
use base::factors::{M_PER_FT, RAD_PER_DEG};
use base::units::Length;
use flight::airplane::Airplane;
use flight::point_mass::State;
use flight::trajectory::FlightSample;
use std::borrow::Cow;

/// Floor of slow flight and of stalls with power on and off in single-engine airplanes.
pub(super) const FLOOR_STALLS: Floor = Floor {
    above_ground: Length::from_ft(1500.0),
    entry_above_ground: Some(Length::from_ft(3500.0)),
    source: "ACS-P",
};

/// The airplane with its flaps where a form has them.
pub(super) fn configured<'a>(
    airplane: &'a Airplane,
    flaps: Flaps,
) -> Result<Cow<'a, Airplane>, Infeasible> {
    flaps.set(airplane).map_err(|why| Infeasible {
        what: format!("flown with landing flaps, and {why}"),
        needed: 1.0,
        available: 0.0,
        unit: "flap position",
        advice: why.hint().into(),
    })
}

/// Caution of the forms with flaps down.
pub(super) const FLAPS_STAY: Sourced = Sourced {
    text: "with landing flaps: they stay down in the computed flight; raise them step by step as the manual says, never above the speed it gives for them",
    source: "common-practice",
};

/// A script in a place.
pub(super) struct Play<'s> {
    /// State it begins in.
    pub start: State,
    /// Share of full power it begins with.
    pub power_share: f64,
    /// Roll rate, rad/s.
    pub roll_radps: f64,
    /// The phases.
    pub phases: &'s [Phase],
    /// Whether the wing is stalled on purpose.
    pub stalls: bool,
    /// From the end of this phase on the height lost is counted; `None` for figures that lose none on purpose.
    pub lost_after: Option<usize>,
    /// Phase at whose end the stall, or its first sign, is reached.
    pub stall_at: Option<usize>,
}

/// Flies a script, with progress by phase, and tells height lost and the values at the stall.
pub(super) fn play(
    maneuver: &dyn Maneuver,
    (airplane, entry): (&Airplane, &Entry),
    setting: &Setting<'_>,
    play: &Play<'_>,
    more: impl FnOnce(&[FlightSample]) -> Vec<Condition>,
) -> Result<ReferenceFlight, Infeasible> {
    let (script, flown) =
        scripted::solve(setting, play.start, play.power_share, play.roll_radps, play.phases)?;
    let begin = Begin { heading_rad: entry.heading.to_rad(), ..Begin::default() };
    let ends_s = script.ends_s();
    // Read at the break itself: beside it the load is already another.
    let through_s: Vec<f64> = play.stall_at.map(|index| ends_s[index]).into_iter().collect();
    let through = (&flown, &through_s[..]);
    let mut flight = samples_through(setting, &script, through, entry.direction, begin);
    for sample in &mut flight {
        sample.progress_rad = script.progress_rad(sample.time_s);
    }
    let at = |time_s: f64| {
        let index = flight.partition_point(|s| s.time_s < time_s - 1e-9).min(flight.len() - 1);
        flight[index]
    };
    let last = flight[flight.len() - 1];
    let end_kt = last.indicated_airspeed_mps / base::factors::MPS_PER_KT;
    let mut told =
        vec![("indicated airspeed at the end", end_kt, "kt"), ("time", last.time_s, "s")];
    let least = |after_s: f64| {
        let after = flight.iter().filter(|s| s.time_s >= after_s);
        after.map(|s| s.height_m).fold(f64::INFINITY, f64::min)
    };
    if let Some(index) = play.lost_after {
        let lost_m = at(ends_s[index]).height_m - least(ends_s[index]);
        told.insert(0, ("height lost in the recovery, an estimate", lost_m / M_PER_FT, "ft"));
    }
    if let Some(index) = play.stall_at {
        let stall = at(ends_s[index]);
        told.extend([
            (
                "indicated airspeed at the stall",
                stall.indicated_airspeed_mps / base::factors::MPS_PER_KT,
                "kt",
            ),
            ("nose at the stall", stall.pitch_rad / RAD_PER_DEG, "deg"),
            ("load at the stall", stall.load_factor, "g"),
        ]);
    }
    let mut conditions = more(&flight);
    if let Some(index) = play.stall_at {
        // The line of the lift, so that the greatest lift is told apart from the same lift beyond it.
        let (_, resolved) = flown.at(&setting.body, &script, ends_s[index]);
        let share =
            airplane.lift_coefficient(resolved.incidence_rad) / airplane.aerodynamics.lift_max;
        conditions.push(Condition {
            name: "lift at the stall against the greatest",
            wanted: 100.0,
            reached: 100.0 * share,
            unit: "%",
        });
    }
    let told = Told {
        unknowns: unknowns(&told),
        conditions,
        stalls: play.stalls,
        phases: play.phases.iter().map(|phase| phase.name).collect(),
        ..Told::default()
    };
    let parts = vec![(entry.direction, flight)];
    ReferenceFlight::assemble((maneuver.id(), &maneuver.shape()), (airplane, entry), parts, told)
}

/// What a recovery ends with: wings level.
pub(super) fn recovered(flight: &[FlightSample]) -> Vec<Condition> {
    let last = &flight[flight.len() - 1];
    vec![Condition {
        name: "bank at the end",
        wanted: 0.0,
        reached: last.bank_rad / RAD_PER_DEG,
        unit: "deg",
    }]
}
