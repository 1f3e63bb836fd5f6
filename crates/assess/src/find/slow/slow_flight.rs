//! Slow flight: a little above the stall warning, level, straight and in gentle turns, the nose high and the power up.

use super::super::signature::Prior::Around;
use super::Slow;

pub(super) const ALL: &[Slow] = &[Slow {
    words: "slow flight",
    maneuver: Some("slow-flight"),
    share: 0.15,
    priors: [
        Around(0.13, 0.06, 0.09),
        Around(0.68, 0.07, 0.07),
        Around(0.63, 0.08, 0.12),
        Around(-0.3, 1.2, 1.0),
        Around(0.09, 0.05, 0.07),
        Around(0.0, 0.8, 0.8),
        Around(6.0, 3.5, 3.5),
        Around(4.0, 3.0, 4.0),
        Around(90.0, 60.0, 110.0),
        Around(0.0, 200.0, 150.0),
    ],
}];
