//! Rolling on a heading: even banks to both sides, one after the other, the nose on its point.

use super::super::signature::Prior::Around;
use super::Rolling;

pub(super) const ALL: &[Rolling] = &[Rolling {
    words: "rolling on a heading",
    maneuver: Some("rolling-on-a-heading"),
    share: 0.10,
    priors: [
        Around(1.6, 0.4, 0.6),
        Around(28.0, 11.0, 12.0),
        Around(0.17, 0.10, 0.15),
        Around(1.0, 0.6, 0.7),
        Around(9.0, 6.0, 9.0),
        Around(40.0, 30.0, 60.0),
    ],
}];
