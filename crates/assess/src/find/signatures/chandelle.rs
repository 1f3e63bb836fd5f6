//! Chandelle: a half turn that climbs all the way and gives its speed for height; bank held, then taken off.

use super::Prior::Around;
use super::{ANY_RATE, NOT_ROUND, SPEED_FOR_HEIGHT, Signature};

const SHALLOW: Signature = Signature {
    words: "a chandelle",
    maneuver: Some("chandelle"),
    share: 0.04,
    priors: [
        Around(180.0, 25.0, 18.0),
        Around(32.0, 7.0, 8.0),
        Around(0.92, 0.14, 0.08),
        Around(0.68, 0.20, 0.16),
        Around(6.5, 3.0, 3.5),
        Around(9.0, 5.0, 4.0),
        Around(0.56, 0.10, 0.15),
        Around(0.58, 0.10, 0.20),
        Around(0.20, 0.10, 0.15),
        NOT_ROUND,
        ANY_RATE,
        SPEED_FOR_HEIGHT,
    ],
};

pub(super) const ALL: &[Signature] = &[
    SHALLOW,
    Signature {
        words: "a steep chandelle",
        share: 0.01,
        priors: [
            SHALLOW.priors[0],
            Around(60.0, 12.0, 12.0),
            Around(0.72, 0.15, 0.15),
            Around(0.65, 0.20, 0.18),
            Around(12.0, 5.0, 6.0),
            Around(14.0, 7.0, 6.0),
            SHALLOW.priors[6],
            SHALLOW.priors[7],
            Around(0.25, 0.12, 0.15),
            NOT_ROUND,
            ANY_RATE,
            SPEED_FOR_HEIGHT,
        ],
        ..SHALLOW
    },
];
