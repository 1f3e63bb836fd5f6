//! Rolling on a heading, by phases: to one side, through level to the other, and back.

use super::{after, at, before};
use crate::definition::PatterLine;

/// Every form.
pub(super) const WORDS: &[PatterLine] = &[
    before(
        0.0,
        [
            "Area clear, a point on the horizon, {speed} knots. The nose stays on it while the wings roll: hand and foot together.",
            "Point on the horizon, {speed} knots. Keep the nose on it; hand and foot together.",
            "Point? Clear?",
            "Nose on the point.",
        ],
    ),
    at(0.0, ["{side}, with foot.", "{side}, with foot.", "Nose?", "{side}."]),
    at(
        200.0,
        ["Through level: other foot.", "Through level: other foot.", "Nose still?", "Other foot."],
    ),
    after(
        400.0,
        [
            "Nose swung away from the roll: too little foot. Into it: too much.",
            "Which way did the nose swing? Away: more foot.",
            "Which way did it swing?",
            "Away: more foot.",
        ],
    ),
];
