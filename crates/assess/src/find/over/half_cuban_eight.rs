//! Half Cuban eight: five eighths of a loop, a half roll on the way down, a pull-out.

use super::super::signature::Prior::Around;
use super::Over;

pub(super) const ALL: &[Over] = &[Over {
    words: "half of a Cuban eight",
    maneuver: Some("half-cuban-eight"),
    share: 0.12,
    priors: [
        Around(180.0, 30.0, 25.0),
        Around(272.0, 35.0, 30.0),
        Around(0.82, 0.12, 0.12),
        Around(80.0, 15.0, 10.0),
    ],
}];
