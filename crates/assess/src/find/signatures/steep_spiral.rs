//! Steep spiral: about three full turns about a point, gliding at one speed, the bank steepest with the wind behind.

use super::Prior::Around;
use super::{ANY_PIVOT, ANY_RATE, ROUND, Signature};

pub(super) const ALL: &[Signature] = &[Signature {
    words: "a steep spiral",
    maneuver: Some("steep-spiral"),
    share: 0.02,
    priors: [
        Around(1080.0, 350.0, 250.0),
        Around(46.0, 11.0, 12.0),
        Around(0.72, 0.25, 0.20),
        Around(0.72, 0.25, 0.20),
        Around(-8.5, 3.5, 3.0),
        Around(-8.5, 3.5, 3.0),
        Around(0.92, 0.08, 0.06),
        Around(0.98, 0.10, 0.10),
        Around(0.25, 0.12, 0.15),
        ROUND,
        ANY_RATE,
        ANY_PIVOT,
    ],
}];
