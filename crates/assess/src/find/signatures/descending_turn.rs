//! Descending turn: any number of degrees, a steady descent at one speed. Flown all day without being an exercise: reported when
//! asked for, or when flown both ways to a round number of degrees.

use super::Prior::{Around, Between};
use super::{ANY_PIVOT, ANY_RATE, NOT_ROUND, Signature};

pub(super) const ALL: &[Signature] = &[Signature {
    words: "a descending turn",
    maneuver: Some("descending-turn"),
    share: 0.15,
    priors: [
        Between(45.0, 1500.0),
        Around(27.0, 9.0, 13.0),
        Around(0.90, 0.18, 0.10),
        Around(0.90, 0.18, 0.10),
        Around(-5.0, 3.0, 3.0),
        Around(-5.0, 3.0, 3.0),
        Around(0.96, 0.08, 0.05),
        Around(1.03, 0.10, 0.12),
        Around(0.13, 0.08, 0.15),
        NOT_ROUND,
        ANY_RATE,
        ANY_PIVOT,
    ],
}];
