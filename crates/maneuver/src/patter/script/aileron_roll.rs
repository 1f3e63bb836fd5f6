//! Aileron roll: few words, for it is short.

use super::{after, at, before};
use crate::definition::PatterLine;

/// Every form.
pub(super) const WORDS: &[PatterLine] = &[
    before(
        0.0,
        [
            "Checks done, area clear, on the line. {speed} knots. Stopped upside down: keep rolling, do not pull.",
            "Checks, clear, on the line. {speed} knots. Stopped upside down: keep rolling, do not pull.",
            "Checks? Clear? On the line? {speed} knots?",
            "Checks, line, {speed} knots.",
        ],
    ),
    at(
        0.0,
        [
            "Nose up, wings level, then ease.",
            "Nose up. Ease the stick.",
            "Ease first.",
            "Up, ease.",
        ],
    ),
    at(45.0, ["Aileron held.", "Hold the aileron.", "Hold it.", "Hold."]),
    at(315.0, ["Center, pull.", "Center, then pull.", "Center.", "Center."]),
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
