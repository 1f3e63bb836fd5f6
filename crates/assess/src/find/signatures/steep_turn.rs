//! Steep turn: about a full turn (or two), steep, held, level, speed kept.

use super::Prior::Around;
use super::{ANY_RATE, HEIGHT_HELD, NOT_ROUND, Signature, turning};

const ONE: Signature = Signature {
    words: "a steep turn",
    maneuver: Some("steep-turn"),
    share: 0.05,
    priors: [
        Around(360.0, 30.0, 20.0),
        Around(50.0, 8.0, 10.0),
        Around(0.94, 0.10, 0.06),
        Around(0.94, 0.10, 0.06),
        Around(0.0, 2.0, 2.0),
        Around(0.0, 2.5, 2.0),
        Around(0.94, 0.08, 0.05),
        Around(1.0, 0.08, 0.08),
        Around(0.06, 0.04, 0.06),
        NOT_ROUND,
        ANY_RATE,
        HEIGHT_HELD,
    ],
};

pub(super) const ALL: &[Signature] = &[
    ONE,
    Signature {
        words: "a steep turn twice around",
        share: 0.01,
        priors: turning(ONE.priors, Around(720.0, 35.0, 25.0)),
        ..ONE
    },
];
