//! Immelmann: half a loop up, then a half roll to level flight.

use super::super::signature::Prior::Around;
use super::Over;

pub(super) const ALL: &[Over] = &[Over {
    words: "an Immelmann",
    maneuver: Some("immelmann"),
    share: 0.12,
    priors: [
        Around(180.0, 25.0, 20.0),
        Around(182.0, 25.0, 25.0),
        Around(0.97, 0.10, 0.08),
        Around(80.0, 15.0, 10.0),
    ],
}];
