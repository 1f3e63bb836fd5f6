//! What is seen from the seat, and what hands and feet do, for every side of a brief.

use super::judge::Case;
use super::{Brief, BriefRequest};
use crate::definition::Direction;
use crate::rigid::RigidFlight;
use crate::{explain, eye, rigid};

/// Fills eyes, hands and what differs from left to right, from the sides already flown.
pub(super) fn fill(brief: &mut Brief, case: &Case<'_>, request: &BriefRequest) {
    let ground_m = brief.day.field_elevation.to_m();
    let see = |flight| eye::eye(flight, case.airplane, request.seat, ground_m);
    brief.eyes = brief.sides.iter().map(see).collect();
    if !request.hands {
        return;
    }
    let fly = |flight: &crate::ReferenceFlight| {
        let entry = case.entry(flight.direction);
        rigid::fly(case.airplane, &case.day, &entry, flight)
    };
    brief.hands = brief.sides.iter().map(fly).collect();
    let of = |wanted: Direction| -> Option<&RigidFlight> {
        let index = brief.sides.iter().position(|flight| flight.direction == wanted)?;
        brief.hands[index].as_ref().ok()
    };
    let both = of(Direction::Left).zip(of(Direction::Right));
    brief.difference = both.and_then(|(left, right)| explain::explain(left, right));
}
