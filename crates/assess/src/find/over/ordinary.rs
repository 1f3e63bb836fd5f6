//! Other ways of being far from level.

use super::super::signature::Prior::{Around, Between};
use super::Over;

pub(super) const ALL: &[Over] = &[
    Over {
        words: "a steep pull-up or an overbanked turn",
        maneuver: None,
        share: 0.15,
        priors: [
            Around(0.0, 45.0, 45.0),
            Around(90.0, 70.0, 70.0),
            Around(0.5, 0.4, 0.4),
            Around(50.0, 25.0, 25.0),
        ],
    },
    Over {
        words: "some other tumbling, or a sensor that lost its bearings",
        maneuver: None,
        share: 0.15,
        priors: [
            Between(0.0, 1100.0),
            Between(-400.0, 800.0),
            Between(-1.0, 2.0),
            Between(-30.0, 90.0),
        ],
    },
];
