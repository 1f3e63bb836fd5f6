//! Loop: once around the lateral axis, wings kept level to the ground at the start and the end.

use super::super::signature::Prior::Around;
use super::Over;

pub(super) const ALL: &[Over] = &[Over {
    words: "a loop",
    maneuver: Some("loop"),
    share: 0.12,
    priors: [
        Around(0.0, 25.0, 25.0),
        Around(360.0, 35.0, 25.0),
        Around(0.5, 0.6, 0.6),
        Around(80.0, 15.0, 10.0),
    ],
}];
