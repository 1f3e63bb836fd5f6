//! Steep turn: about a full turn (or two), steep, held, level, speed kept.

use super::Prior::Around;
use super::{ANY_RATE, NOT_ROUND, Signature};

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
    ],
};

pub(super) const ALL: &[Signature] = &[
    ONE,
    Signature {
        words: "a steep turn twice around",
        share: 0.01,
        priors: [
            Around(720.0, 35.0, 25.0),
            ONE.priors[1],
            ONE.priors[2],
            ONE.priors[3],
            ONE.priors[4],
            ONE.priors[5],
            ONE.priors[6],
            ONE.priors[7],
            ONE.priors[8],
            NOT_ROUND,
            ANY_RATE,
        ],
        ..ONE
    },
];
