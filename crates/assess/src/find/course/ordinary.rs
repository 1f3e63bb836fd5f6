//! Other reasons for four turns one way.

use super::super::signature::Prior::{Around, Between};
use super::Course;

pub(super) const ALL: &[Course] = &[
    Course {
        words: "a circuit of a landing ground",
        maneuver: None,
        share: 0.60,
        priors: [
            Around(360.0, 18.0, 18.0),
            Around(8.0, 5.0, 8.0),
            Around(850.0, 350.0, 400.0),
            Around(0.40, 0.15, 0.20),
            Around(0.0, 0.5, 0.5),
            Around(-0.8, 0.7, 0.7),
            Around(20.0, 6.0, 8.0),
            Around(0.0, 0.8, 0.8),
        ],
    },
    Course {
        words: "legs that turn one way",
        maneuver: None,
        share: 0.80,
        priors: [
            Around(360.0, 40.0, 40.0),
            Around(12.0, 9.0, 15.0),
            Around(140.0, 90.0, 500.0),
            Around(0.11, 0.06, 0.20),
            Around(0.0, 0.5, 0.5),
            Around(-0.4, 1.0, 1.0),
            Between(5.0, 60.0),
            Around(0.6, 0.6, 0.8),
        ],
    },
];
