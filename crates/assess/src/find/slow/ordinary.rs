//! Other ways of flying slowly.

use super::super::signature::Prior::{Around, Between};
use super::Slow;

pub(super) const ALL: &[Slow] = &[
    Slow {
        words: "an approach",
        maneuver: None,
        share: 0.25,
        priors: [
            Around(0.28, 0.10, 0.12),
            Around(0.76, 0.10, 0.10),
            Around(0.70, 0.12, 0.12),
            Around(-5.0, 2.5, 2.5),
            Around(0.08, 0.05, 0.08),
            Around(0.0, 0.8, 0.8),
            Around(-1.0, 3.0, 3.0),
            Around(5.0, 4.0, 6.0),
            Around(600.0, 350.0, 500.0),
        ],
    },
    Slow {
        words: "a climb at the speed of best climb",
        maneuver: None,
        share: 0.15,
        priors: [
            Around(0.35, 0.12, 0.15),
            Around(0.78, 0.10, 0.08),
            Around(0.76, 0.10, 0.10),
            Around(6.0, 3.0, 4.0),
            Around(0.05, 0.03, 0.06),
            Around(0.5, 1.0, 0.9),
            Around(6.0, 3.0, 4.0),
            Around(4.0, 4.0, 7.0),
            Around(700.0, 400.0, 1500.0),
        ],
    },
    Slow {
        words: "flying on more slowly",
        maneuver: None,
        share: 0.25,
        priors: [
            Around(0.42, 0.13, 0.15),
            Around(0.83, 0.07, 0.06),
            Around(0.82, 0.08, 0.08),
            Around(0.0, 1.5, 1.5),
            Around(0.05, 0.03, 0.06),
            Around(0.5, 1.0, 1.0),
            Around(2.0, 1.8, 2.0),
            Around(4.0, 4.0, 7.0),
            Around(110.0, 80.0, 200.0),
        ],
    },
    Slow {
        words: "circling and searching for lift",
        maneuver: None,
        share: 0.10,
        priors: [
            Around(0.30, 0.15, 0.25),
            Around(0.72, 0.12, 0.12),
            Around(0.85, 0.12, 0.12),
            Around(0.0, 4.0, 5.0),
            Around(0.14, 0.06, 0.10),
            Around(0.0, 1.2, 1.5),
            Around(5.0, 4.0, 5.0),
            Around(28.0, 14.0, 12.0),
            Around(350.0, 250.0, 500.0),
        ],
    },
    Slow {
        words: "some other slow flying",
        maneuver: None,
        share: 0.12,
        priors: [
            Around(0.35, 0.40, 0.40),
            Between(0.3, 0.92),
            Between(0.3, 0.95),
            Around(0.0, 6.0, 6.0),
            Between(0.0, 0.5),
            Around(0.0, 1.5, 1.5),
            Around(2.0, 7.0, 7.0),
            Between(0.0, 60.0),
            Around(300.0, 250.0, 1500.0),
        ],
    },
];
