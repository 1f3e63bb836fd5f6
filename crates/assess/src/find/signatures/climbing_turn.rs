//! Climbing turn: a medium bank or less, the climb and its speed held. Flown all day without being an exercise: reported when
//! asked for, or when flown both ways to a round number of degrees.

use super::Prior::Around;
use super::{ANY_PIVOT, ANY_RATE, NOT_ROUND, Signature};

pub(super) const ALL: &[Signature] = &[Signature {
    words: "a climbing turn",
    maneuver: Some("climbing-turn"),
    share: 0.15,
    priors: [
        Around(130.0, 60.0, 120.0),
        Around(19.0, 7.0, 9.0),
        Around(0.90, 0.18, 0.10),
        Around(0.90, 0.18, 0.10),
        Around(4.0, 2.0, 2.5),
        Around(4.0, 2.0, 2.5),
        Around(0.95, 0.10, 0.05),
        Around(1.0, 0.10, 0.08),
        Around(0.12, 0.08, 0.12),
        NOT_ROUND,
        ANY_RATE,
        ANY_PIVOT,
    ],
}];
