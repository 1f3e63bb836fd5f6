//! Half of a wing-over series: as the lazy eight, steeper and quicker: nose well up, bank 60 to 90 at the top.

use super::Prior::Around;
use super::{ANY_RATE, NOT_ROUND, SPEED_FOR_HEIGHT, Signature};

pub(super) const ALL: &[Signature] = &[Signature {
    words: "half of a wing-over",
    maneuver: Some("wing-over"),
    share: 0.04,
    priors: [
        Around(180.0, 28.0, 18.0),
        Around(70.0, 16.0, 14.0),
        Around(0.62, 0.16, 0.20),
        Around(0.65, 0.20, 0.20),
        Around(12.0, 5.0, 6.0),
        Around(-13.0, 7.0, 6.0),
        Around(0.66, 0.14, 0.15),
        Around(1.04, 0.10, 0.10),
        Around(0.28, 0.12, 0.12),
        NOT_ROUND,
        ANY_RATE,
        SPEED_FOR_HEIGHT,
    ],
}];
