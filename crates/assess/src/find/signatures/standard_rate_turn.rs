//! Standard-rate turn: three degrees a second, level, to a round number of degrees. Flown all day without being an exercise:
//! reported when asked for.

use super::Prior::Around;
use super::{HEIGHT_HELD, NOT_ROUND, Signature, turning};

const HALF: Signature = Signature {
    words: "a standard-rate turn",
    maneuver: Some("standard-rate-turn"),
    share: 0.03,
    priors: [
        Around(180.0, 12.0, 12.0),
        Around(19.0, 4.0, 5.0),
        Around(0.90, 0.12, 0.08),
        Around(0.90, 0.12, 0.08),
        Around(0.0, 1.2, 1.2),
        Around(0.0, 1.2, 1.2),
        Around(0.96, 0.05, 0.04),
        Around(1.0, 0.06, 0.06),
        Around(0.12, 0.06, 0.12),
        NOT_ROUND,
        Around(0.0, 0.10, 0.10),
        HEIGHT_HELD,
    ],
};

pub(super) const ALL: &[Signature] = &[
    HALF,
    Signature { share: 0.03, priors: turning(HALF.priors, Around(360.0, 15.0, 12.0)), ..HALF },
];
