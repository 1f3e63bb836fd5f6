//! The greatest gain of height in the time of a chandelle: the physical best beside the schedule, never its target.

use super::judge::Case;
use crate::optimum::NotFound;
use crate::optimum::overlay::{self, Overlay};
use crate::reference::ReferenceFlight;

/// The best flights of the sides, in their order; empty for figures that no best is told of.
pub(super) fn of(case: &Case<'_>, sides: &[ReferenceFlight]) -> Vec<Result<Overlay, NotFound>> {
    let about = |flight: &ReferenceFlight| {
        let entry = case.entry(flight.direction);
        overlay::of_chandelle(case.airplane, &case.day, &entry, flight)
    };
    let sides = sides.iter().filter(|flight| flight.maneuver == "chandelle");
    sides.map(about).collect()
}
