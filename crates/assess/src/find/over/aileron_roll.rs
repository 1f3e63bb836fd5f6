//! Aileron roll: once around the forward axis, the nose a little up before; hardly any pitching.

use super::super::signature::Prior::Around;
use super::Over;

pub(super) const ALL: &[Over] = &[Over {
    words: "an aileron roll",
    maneuver: Some("aileron-roll"),
    share: 0.12,
    priors: [
        Around(360.0, 25.0, 20.0),
        Around(35.0, 25.0, 25.0),
        Around(0.6, 0.5, 0.4),
        Around(22.0, 9.0, 10.0),
    ],
}];
