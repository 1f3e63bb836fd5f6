//! Half of S-turns across a road: a half turn of one radius over the ground, level; the next half begins where it ends.

use super::Prior::Around;
use super::{ANY_RATE, HEIGHT_HELD, ROUND, Signature};

pub(super) const ALL: &[Signature] = &[Signature {
    words: "half of S-turns",
    maneuver: Some("s-turns"),
    share: 0.03,
    priors: [
        Around(178.0, 16.0, 14.0),
        Around(35.0, 10.0, 12.0),
        Around(0.72, 0.30, 0.25),
        Around(0.72, 0.30, 0.25),
        Around(0.0, 1.5, 1.5),
        Around(0.0, 1.5, 1.5),
        Around(0.95, 0.06, 0.05),
        Around(1.0, 0.07, 0.07),
        Around(0.30, 0.14, 0.18),
        ROUND,
        ANY_RATE,
        HEIGHT_HELD,
    ],
}];
