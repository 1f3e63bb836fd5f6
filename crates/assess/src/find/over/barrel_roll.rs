//! Barrel roll: once around while the pull goes on: a corkscrew.

use super::super::signature::Prior::Around;
use super::Over;

pub(super) const ALL: &[Over] = &[Over {
    words: "a barrel roll",
    maneuver: Some("barrel-roll"),
    share: 0.12,
    priors: [
        Around(300.0, 60.0, 60.0),
        Around(170.0, 65.0, 90.0),
        Around(0.5, 0.2, 0.2),
        Around(45.0, 14.0, 14.0),
    ],
}];
