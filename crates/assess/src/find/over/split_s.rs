//! Split-S: a half roll to the inverted, then half a loop down.

use super::super::signature::Prior::Around;
use super::Over;

pub(super) const ALL: &[Over] = &[Over {
    words: "a split-S",
    maneuver: Some("split-s"),
    share: 0.12,
    priors: [
        Around(180.0, 25.0, 20.0),
        Around(185.0, 30.0, 30.0),
        Around(0.06, 0.10, 0.12),
        Around(15.0, 12.0, 15.0),
    ],
}];
