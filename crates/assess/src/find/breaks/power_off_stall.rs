//! Power-off stall: idle, the nose raised to hold the height while the speed falls, a break, the nose lowered, power.

use super::super::signature::Prior::{Around, NotBelow};
use super::Break;

pub(super) const ALL: &[Break] = &[Break {
    words: "a power-off stall",
    maneuver: Some("power-off-stall"),
    share: 0.08,
    priors: [
        Around(-0.03, 0.09, 0.07),
        Around(0.62, 0.10, 0.10),
        Around(10.0, 4.0, 6.0),
        Around(18.0, 7.0, 10.0),
        Around(0.72, 0.22, 0.15),
        Around(1.04, 0.04, 0.10),
        Around(-1.7, 0.8, 0.7),
        Around(-7.5, 2.5, 3.0),
        Around(3.0, 3.0, 7.0),
        Around(4.0, 4.0, 15.0),
        Around(-30.0, 90.0, 70.0),
        Around(8.5, 4.0, 6.0),
        Around(0.38, 0.10, 0.22),
        NotBelow(0.02, 0.13, 0.15),
        Around(0.65, 0.20, 0.15),
    ],
}];
