//! Loop: degrees of pitch travelled.

use super::{after, at, before};
use crate::definition::PatterLine;

/// Every form.
pub(super) const WORDS: &[PatterLine] = &[
    before(
        0.0,
        [
            "Checks done, area clear, on a line below us, wings level. {speed} knots. I look ahead, then at the wing tip, then back for \
         the horizon.",
            "Checks, clear, line, wings level, {speed} knots.",
            "Checks? Line? Speed?",
            "Line, level, {speed}.",
        ],
    ),
    at(0.0, ["A smooth pull, wings level.", "Pull smoothly, wings level.", "Smoothly.", "Pull."]),
    at(
        60.0,
        [
            "Wing tip: is it vertical? Ball as it slows.",
            "Look at the tip. Ball.",
            "Tip even?",
            "Tip, ball.",
        ],
    ),
    at(
        135.0,
        [
            "Head back, find the horizon; ease the pull.",
            "Head back: horizon. Ease the pull.",
            "Horizon?",
            "Horizon, ease.",
        ],
    ),
    at(
        200.0,
        [
            "Over the top. Ground line ahead; throttle closed if the speed runs away.",
            "Find the line. Too fast: throttle.",
            "On the line?",
            "Find the line.",
        ],
    ),
    at(270.0, ["Pull again, smoothly.", "Pull smoothly.", "Pull.", "Pull."]),
    after(
        360.0,
        [
            "Level, on the line, {speed} knots, entry height?",
            "Line, height, {speed} knots?",
            "Line? Height?",
            "Compare.",
        ],
    ),
];
