//! Turns around a point: one or two full turns of one radius over the ground, level; in wind the bank is steepest where it is
//! behind.

use super::Prior::Around;
use super::{ANY_RATE, HEIGHT_HELD, ROUND, Signature, turning};

const ONE: Signature = Signature {
    words: "a turn around a point",
    maneuver: Some("turns-around-a-point"),
    share: 0.02,
    priors: [
        Around(360.0, 25.0, 20.0),
        Around(35.0, 9.0, 9.0),
        Around(0.75, 0.25, 0.22),
        Around(0.75, 0.25, 0.22),
        Around(0.0, 1.5, 1.3),
        Around(0.0, 1.5, 1.3),
        Around(0.94, 0.06, 0.05),
        Around(1.0, 0.07, 0.07),
        Around(0.28, 0.13, 0.15),
        ROUND,
        ANY_RATE,
        HEIGHT_HELD,
    ],
};

pub(super) const ALL: &[Signature] = &[
    ONE,
    Signature {
        words: "two turns around a point",
        share: 0.015,
        priors: turning(ONE.priors, Around(720.0, 40.0, 30.0)),
        ..ONE
    },
];
