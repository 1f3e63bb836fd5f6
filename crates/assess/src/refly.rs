//! Re-flight: a recorded attempt flown again with one thing mended, all else as the student flew it.
//!
//! * `flown`: what the student did, inferred from the motion: bank and attitude (or path, where a figure holds its height)
//!   against how far the figure has come, thrust against time, and the side force that the coordinated point mass does not explain.
//! * `fly`: the same equations run forward. The clock of the controls is the progress of the figure, not time: where the edited
//!   flight turns slower than the recorded one, so do the controls. The residual force is replayed, so that nothing edited gives
//!   the recorded attempt back, number by number.
//! * `mend`: the edits, one cause each.
//! * `plant`: the edits the other way round.
//! * `outcome`: what would have come of it, with its uncertainty, and the sentence.
//! * `polar`: drag, incidence and stall, of the airplane where it is known, of a usual light single where not.
//!
//! What is replayed is what a pilot does, not what came of it: an attitude kept against the horizon, a bank, a throttle. Load replayed
//! against time runs away; the recorded path tracked would mend everything and prove nothing.

mod flown;
mod fly;
mod mend;
mod outcome;
mod plant;
mod polar;
#[cfg(test)]
mod tests;

pub use mend::Mend;
pub use outcome::{Refly, ReflyFigure, ReflyPath};

use crate::part::Part;
use crate::practice::PlantedSample;
use flown::Flown;
use fly::{Path, fly_from};
use polar::Polar;

pub(crate) use flown::FINE_S;
pub(crate) use plant::plantable;

/// What is taken as wanted where the form does not say it.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(crate) struct Intent {
    /// Bank to be held, degrees.
    pub(crate) bank_deg: Option<f64>,
    /// Elevation of the ground, when known, m.
    pub(crate) ground_m: Option<f64>,
}

/// Flies a part again with one thing mended; `other` is the other half of a figure of two. `None` when the motion does not tell
/// enough, or when the part leaves nothing of this kind to mend.
pub(crate) fn refly(
    part: &Part<'_>,
    other: Option<&Part<'_>>,
    mend: Mend,
    intent: Intent,
) -> Option<Refly> {
    refly_by(part, other, mend, (intent, Polar::of(part)))
}

/// Thrust over weight, at the speed of entry, before and after it fell most: means over three seconds. `None` when it did not fall,
/// or the motion does not tell it.
pub(crate) fn power(part: &Part<'_>) -> Option<(f64, f64)> {
    let polar = Polar::of(part);
    let flown = Flown::of(part, &polar, flown::Doubt::NONE)?;
    mend::power(&flown, &polar)
}

fn refly_by(
    part: &Part<'_>,
    other: Option<&Part<'_>>,
    mend: Mend,
    (intent, polar): (Intent, Polar),
) -> Option<Refly> {
    let flown = Flown::of(part, &polar, flown::Doubt::NONE)?;
    let later = other.is_some_and(|other| other.start < part.start);
    let other = other.and_then(|other| Flown::of(other, &polar, flown::Doubt::NONE));
    // The second half begins as the first leaves it: level is what the first began with.
    let level_rad = other.as_ref().filter(|_| later).unwrap_or(&flown).attitude_rad[0];
    let subject = mend::Subject {
        part,
        flown: &flown,
        other: other.as_ref(),
        polar: &polar,
        intent,
        level_rad,
    };
    let script = mend.script(&subject)?;
    outcome::tell(&subject, mend, &script)
}

/// A part of a reference flight flown with a fault in it, or as it is.
pub(crate) struct PlantedPath {
    pub(crate) samples: Vec<PlantedSample>,
    /// Motion of the air over the ground at its begin.
    pub(crate) drift_mps: [f64; 2],
    path: Path,
}

/// Flies a part of a reference flight with a fault of a severity in it, or as it is, from the end of the part before.
pub(crate) fn planted(
    part: &Part<'_>,
    spoil: Option<(&str, f64)>,
    before: Option<&PlantedPath>,
) -> Option<PlantedPath> {
    let polar = Polar::of(part);
    let mut flown = Flown::of(part, &polar, flown::Doubt::NONE)?;
    let subject = mend::Subject {
        part,
        flown: &flown,
        other: None,
        polar: &polar,
        intent: Intent::default(),
        level_rad: flown.attitude_rad[0],
    };
    let script = match spoil {
        Some((fault, share)) => plant::script(&subject, fault, share)?,
        None => subject.null(),
    };
    if let Some(end) = before.and_then(|before| before.samples.last()) {
        flown.heading_rad = end.heading_rad;
    }
    let path = fly_from(&flown, &script, &polar, before.map(|before| &before.path));
    let sample = |k: usize| PlantedSample {
        time_s: FINE_S * k as f64,
        north_m: path.north_m[k],
        east_m: path.east_m[k],
        height_m: path.height_m[k],
        heading_rad: flown.heading(path.turn_rad[k]),
        bank_rad: flown.sign * path.bank_rad[k],
        path_rad: path.path_rad[k],
        true_airspeed_mps: path.speed_mps[k],
        calibrated_airspeed_mps: path.calibrated_mps[k],
    };
    let samples = (0..path.speed_mps.len()).map(sample).collect();
    let drift_mps = *flown.drift_mps.first()?;
    Some(PlantedPath { samples, drift_mps, path })
}
