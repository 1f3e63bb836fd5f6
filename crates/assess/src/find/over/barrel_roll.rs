//! Barrel roll: once around while the pull goes on: a corkscrew.

use super::super::signature::Prior::Around;
use super::Over;

pub(super) const ALL: &[Over] = &[Over {
    words: "a barrel roll",
    maneuver: Some("barrel-roll"),
    share: 0.12,
    priors: [
        Around(360.0, 30.0, 25.0),
        Around(125.0, 35.0, 45.0),
        Around(0.5, 0.2, 0.2),
        Around(40.0, 13.0, 14.0),
    ],
}];
