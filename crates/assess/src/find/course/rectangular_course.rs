//! Rectangular course: four corners of a quarter turn over the ground (more or less of heading, as the crab changes), level, at
//! one airspeed.

use super::super::signature::Prior::Around;
use super::Course;

pub(super) const ALL: &[Course] = &[Course {
    words: "a rectangular course",
    maneuver: Some("rectangular-course"),
    share: 0.015,
    priors: [
        Around(360.0, 15.0, 15.0),
        Around(7.0, 5.0, 7.0),
        Around(70.0, 45.0, 80.0),
        Around(0.08, 0.05, 0.08),
        Around(0.0, 0.12, 0.12),
        Around(-0.6, 0.6, 0.6),
        Around(22.0, 6.0, 9.0),
        Around(-0.8, 0.6, 0.5),
    ],
}];
