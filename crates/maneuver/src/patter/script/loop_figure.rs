//! Loop: few words, for hands and eyes are busy.

use super::{after, at, before};
use crate::definition::PatterLine;

/// Every form.
pub(super) const WORDS: &[PatterLine] = &[
    before(
        0.0,
        [
            "Checks done, area clear, on the line, wings level. {speed} knots. If it hangs at the top: ease off, throttle closed, wait \
         for the nose to fall.",
            "Checks, clear, on the line. {speed} knots. If it hangs: ease off, throttle closed, wait.",
            "Checks? Clear? On the line? {speed} knots?",
            "Checks, line, {speed} knots.",
        ],
    ),
    at(
        0.0,
        [
            "Power, and pull: steady, wings level.",
            "Power. Pull steadily, wings level.",
            "Steady pull.",
            "Pull.",
        ],
    ),
    at(
        90.0,
        ["Head back, horizon behind.", "Look back for the horizon.", "Horizon?", "Look back."],
    ),
    at(165.0, ["Ease, {speed} knots.", "Ease over the top.", "Ease.", "Ease."]),
    at(225.0, ["Line ahead, pull again.", "Pull again, on the line.", "On the line?", "Pull."]),
    at(315.0, ["{load} g, wings level.", "No aileron. Pull level.", "Wings level.", "Pull."]),
    after(
        360.0,
        [
            "Level: entry height, {speed} knots. Look out.",
            "Level. Compare height and line.",
            "Height? Line?",
            "Compare.",
        ],
    ),
];
