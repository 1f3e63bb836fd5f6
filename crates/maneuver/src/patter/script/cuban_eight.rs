//! Cuban eight: few words, for hands and eyes are busy.

use super::{after, at, before, second};
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
    at(215.0, ["Push: the line.", "Push and hold.", "Push.", "Push."]),
    at(240.0, ["Roll {side}.", "Roll {side}.", "The line?", "Roll."]),
    at(410.0, ["Pull, straight on.", "Pull, straight on.", "Pull.", "Pull."]),
    second(at(90.0, ["Head back again.", "Look back again.", "Horizon?", "Look back."])),
    second(at(215.0, ["Push: the line.", "Push and hold.", "Push.", "Push."])),
    second(at(240.0, ["Roll {side}.", "Roll {side}.", "The line?", "Roll."])),
    second(at(410.0, ["Pull, {load} g.", "Pull level.", "Pull.", "Pull."])),
    second(after(
        450.0,
        [
            "Level: {speed} knots. Look out.",
            "Level. Compare height and line.",
            "Height? Line?",
            "Compare.",
        ],
    )),
];
