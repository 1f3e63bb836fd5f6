//! Accelerated stall: in a turn at 30 to 45 degrees of bank the pull is tightened until the break; unloaded at once.

use super::super::signature::Prior::Around;
use super::Break;

pub(super) const ALL: &[Break] = &[Break {
    words: "an accelerated stall",
    maneuver: Some("accelerated-stall"),
    share: 0.03,
    priors: [
        Around(0.12, 0.10, 0.12),
        Around(0.74, 0.10, 0.10),
        Around(7.0, 5.0, 6.0),
        Around(12.0, 6.0, 8.0),
        Around(0.70, 0.25, 0.20),
        Around(1.45, 0.20, 0.35),
        Around(-2.2, 1.2, 1.0),
        Around(-4.0, 5.0, 6.0),
        Around(42.0, 9.0, 9.0),
        Around(70.0, 30.0, 40.0),
        Around(20.0, 80.0, 120.0),
        Around(6.0, 5.0, 8.0),
        Around(0.75, 0.25, 0.20),
    ],
}];
