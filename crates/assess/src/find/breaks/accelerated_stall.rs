//! Accelerated stall: in a turn at 30 to 45 degrees of bank the pull is tightened until the break; unloaded at once. The speed
//! of the break is the stall speed times the root of the load.

use super::super::signature::Prior::{Around, NotBelow};
use super::Break;

pub(super) const ALL: &[Break] = &[Break {
    words: "an accelerated stall",
    maneuver: Some("accelerated-stall"),
    share: 0.03,
    priors: [
        Around(0.22, 0.12, 0.12),
        Around(0.84, 0.12, 0.09),
        Around(7.0, 5.0, 6.0),
        Around(12.0, 6.0, 8.0),
        Around(0.80, 0.30, 0.20),
        Around(1.60, 0.25, 0.40),
        Around(-1.6, 1.0, 0.8),
        Around(-4.0, 5.0, 6.0),
        Around(42.0, 9.0, 9.0),
        Around(70.0, 30.0, 40.0),
        Around(20.0, 80.0, 120.0),
        Around(2.5, 5.0, 7.0),
        Around(0.75, 0.25, 0.20),
        NotBelow(0.0, 0.15, 0.15),
        Around(0.45, 0.20, 0.20),
    ],
}];
