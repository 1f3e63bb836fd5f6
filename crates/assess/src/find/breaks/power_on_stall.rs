//! Power-on stall: at climb power the nose raised until the break, well above the height of the start.

use super::super::signature::Prior::{Around, NotBelow};
use super::Break;

pub(super) const ALL: &[Break] = &[Break {
    words: "a power-on stall",
    maneuver: Some("power-on-stall"),
    share: 0.08,
    priors: [
        Around(-0.10, 0.12, 0.10),
        Around(0.58, 0.12, 0.12),
        Around(20.0, 7.0, 8.0),
        Around(26.0, 9.0, 10.0),
        Around(0.70, 0.22, 0.17),
        Around(1.08, 0.06, 0.12),
        Around(-2.2, 1.2, 0.9),
        Around(4.0, 4.0, 5.0),
        Around(3.0, 3.0, 8.0),
        Around(5.0, 5.0, 18.0),
        Around(250.0, 170.0, 250.0),
        Around(8.0, 5.0, 7.0),
        Around(0.95, 0.20, 0.05),
        NotBelow(0.08, 0.15, 0.15),
        Around(0.60, 0.22, 0.18),
    ],
}];
