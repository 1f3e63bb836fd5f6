//! Power-off stall, by phases: glide, hold the nose up, full stall, lower the nose, recover, climb away.

use super::{after, at, before};
use crate::definition::PatterLine;

/// Every form.
pub(super) const WORDS: &[PatterLine] = &[
    before(
        0.0,
        [
            "Area clear, below too; {height} feet. As on final: power idle, {speed} knots. I will hold the nose up until it lets go. \
         Feet keep it straight.",
            "Clear below. Idle, {speed} knots as on final. Feet keep it straight.",
            "Clear below? Height?",
            "Clear. Idle, {speed}.",
        ],
    ),
    at(
        100.0,
        [
            "Nose up and held: sounds fade, stick goes slack.",
            "Hold the nose up. What changes?",
            "What do you feel?",
            "Hold it up.",
        ],
    ),
    at(200.0, ["Stall: nose down, that first.", "Nose down now.", "Nose down.", "Nose down."]),
    at(
        400.0,
        [
            "Power in, nose up to level, straight with the feet.",
            "Power in, level off, feet straight.",
            "Power?",
            "Power, level.",
        ],
    ),
    after(
        600.0,
        [
            "{speed} knots, climbing. Nose first, then wings, then power: that order.",
            "Climb at {speed}. Say the order: nose, wings, power.",
            "Nose, wings, power?",
            "Climb at {speed}.",
        ],
    ),
];
