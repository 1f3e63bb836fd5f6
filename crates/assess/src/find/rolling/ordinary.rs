//! Other reasons for wings that rock.

use super::super::signature::Prior::{Around, Between};
use super::Rolling;

pub(super) const ALL: &[Rolling] = &[
    Rolling {
        words: "rough air",
        maneuver: None,
        share: 0.50,
        priors: [
            Around(1.2, 0.3, 0.5),
            Around(10.0, 2.0, 4.0),
            Around(0.30, 0.15, 0.20),
            Around(1.0, 0.6, 0.6),
            Around(6.0, 4.0, 8.0),
            Around(60.0, 40.0, 100.0),
        ],
    },
    Rolling {
        words: "one turn after another",
        maneuver: None,
        share: 0.40,
        priors: [
            Around(1.2, 0.3, 0.4),
            Around(22.0, 10.0, 20.0),
            Around(0.35, 0.15, 0.20),
            Around(2.1, 0.4, 0.4),
            Around(50.0, 25.0, 50.0),
            Around(150.0, 100.0, 300.0),
        ],
    },
    Rolling {
        words: "some other rocking of the wings",
        maneuver: None,
        share: 0.15,
        priors: [
            Between(1.0, 4.0),
            Between(8.0, 120.0),
            Between(0.0, 1.0),
            Between(0.0, 2.7),
            Between(0.0, 200.0),
            Between(0.0, 1500.0),
        ],
    },
];
