//! Barrel roll: round a point, few words.

use super::{after, at, before};
use crate::definition::PatterLine;

/// Every form.
pub(super) const WORDS: &[PatterLine] = &[
    before(
        0.0,
        [
            "Checks done, area clear, on the line. {speed} knots. Slow and steep: keep rolling to the nearest horizon.",
            "Checks, clear, on the line. {speed} knots. Slow and steep: keep rolling to the nearest horizon.",
            "Checks? Clear? On the line? {speed} knots?",
            "Checks, line, {speed} knots.",
        ],
    ),
    at(
        0.0,
        [
            "Pull, wings level, then roll {side}.",
            "Pull first, then roll {side}.",
            "Nose first.",
            "Pull, roll.",
        ],
    ),
    at(90.0, ["Wings across, {speed} knots.", "Keep rolling, ease.", "Keep rolling.", "Roll on."]),
    at(180.0, ["Inverted, nose on the horizon.", "Keep it rolling.", "Roll on.", "Roll on."]),
    at(245.0, ["Lowest soon, pull grows.", "Roll on, pull grows.", "Pull.", "Pull."]),
    after(
        360.0,
        [
            "Level: {speed} knots. Look out.",
            "Level. Compare height and line.",
            "Height? Line?",
            "Compare.",
        ],
    ),
];
