//! Half Cuban eight: few words, for hands and eyes are busy.

use super::{after, at, before};
use crate::definition::PatterLine;

/// Every form.
pub(super) const WORDS: &[PatterLine] = &[
    before(
        0.0,
        [
            "Checks done, area clear, on the line. {speed} knots. Slow on top: ease off and wait for the nose.",
            "Checks, clear, on the line. {speed} knots. Slow on top: ease off and wait for the nose.",
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
    at(165.0, ["Ease, {speed} knots.", "Ease over the top.", "Ease.", "Ease."]),
    at(215.0, ["Push: the line.", "Push and hold.", "Push.", "Push."]),
    at(240.0, ["Roll {side}, push eases.", "Roll {side}, hold the line.", "The line?", "Roll."]),
    at(410.0, ["Pull, {load} g.", "Pull level, no aileron.", "Pull.", "Pull."]),
    after(
        450.0,
        [
            "Level: {speed} knots. Look out.",
            "Level. Compare height and line.",
            "Height? Line?",
            "Compare.",
        ],
    ),
];
