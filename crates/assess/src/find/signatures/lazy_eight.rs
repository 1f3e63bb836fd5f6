//! Half of a lazy eight: a half turn up and down again, bank growing to the middle and off again, speed lost and regained.

use super::Prior::Around;
use super::{ANY_RATE, NOT_ROUND, SPEED_FOR_HEIGHT, Signature};

pub(super) const ALL: &[Signature] = &[Signature {
    words: "half of a lazy eight",
    maneuver: Some("lazy-eight"),
    share: 0.04,
    priors: [
        Around(180.0, 25.0, 15.0),
        Around(30.0, 7.0, 8.0),
        Around(0.52, 0.14, 0.25),
        Around(0.55, 0.16, 0.25),
        Around(5.5, 2.5, 3.0),
        Around(-6.0, 4.0, 3.0),
        Around(0.68, 0.10, 0.12),
        Around(1.02, 0.10, 0.10),
        Around(0.38, 0.15, 0.12),
        NOT_ROUND,
        ANY_RATE,
        SPEED_FOR_HEIGHT,
    ],
}];
