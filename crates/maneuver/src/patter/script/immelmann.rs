//! Immelmann: few words, for hands and eyes are busy.

use super::{after, at, before};
use crate::definition::PatterLine;

/// Every form.
pub(super) const WORDS: &[PatterLine] = &[
    before(
        0.0,
        [
            "Checks done, area clear, on the line. {speed} knots. Slow on top: do not roll, ease off and let the nose fall.",
            "Checks, clear, on the line. {speed} knots. Slow on top: do not roll, ease off and let the nose fall.",
            "Checks? Clear? On the line? {speed} knots?",
            "Checks, line, {speed} knots.",
        ],
    ),
    at(
        0.0,
        ["Power, and pull: steady, wings level.", "Power. Pull steadily.", "Steady pull.", "Pull."],
    ),
    at(
        90.0,
        ["Head back, horizon behind.", "Look back for the horizon.", "Horizon?", "Look back."],
    ),
    at(145.0, ["Stop the pull.", "Stop the pull.", "Stop.", "Stop."]),
    at(185.0, ["Roll {side}, {speed} knots.", "Roll {side}, unhurried.", "Nose?", "Roll."]),
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
