//! What is seen from the seat, and what differs from left to right, for every side of a brief.

use super::Brief;
use super::judge::Case;
use crate::definition::Direction;
use crate::eye::SeatSide;
use crate::reference::ReferenceFlight;
use crate::rigid::RigidFlight;
use crate::{explain, eye};

/// Fills eyes and what differs from left to right, from the sides already flown.
pub(super) fn fill(brief: &mut Brief, case: &Case<'_>, seat: SeatSide) {
    let ground_m = brief.day.field_elevation.to_m();
    let see = |flight| eye::eye(flight, case.airplane, seat, ground_m);
    brief.eyes = brief.sides.iter().map(see).collect();
    let of = |wanted: Direction| -> Option<(&ReferenceFlight, &RigidFlight)> {
        let index = brief.sides.iter().position(|flight| flight.direction == wanted)?;
        Some((&brief.sides[index], brief.hands.get(index)?.as_ref().ok()?))
    };
    let both = of(Direction::Left).zip(of(Direction::Right));
    brief.difference = both.and_then(|((reference, left), (_, right))| {
        let mut found = explain::explain(left, right)?;
        found.sentence = found.words(&reference.place_words_in(found.part, found.at_deg));
        Some(found)
    });
}
