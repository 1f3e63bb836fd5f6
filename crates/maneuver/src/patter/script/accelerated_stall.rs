//! Accelerated stall, by phases: roll in, tighten the pull, unload, wings level, fly on.

use super::{after, at, before};
use crate::definition::PatterLine;

/// Every form.
pub(super) const WORDS: &[PatterLine] = &[
    before(
        0.0,
        [
            "Area clear; {height} feet. {speed} knots, below maneuvering speed. Forty-five of bank {side}, ball centered, then a pull to \
         the first sign, and not beyond.",
            "Clear. {speed} knots, not faster. Bank {side}, ball, then pull to the first sign only.",
            "Clear? Speed? Ball?",
            "Clear. {speed}, {side}.",
        ],
    ),
    at(0.0, ["Roll {side}, ball centered.", "Roll {side}. Ball.", "Ball?", "Roll {side}."]),
    at(100.0, ["Pull. Buffet?", "Pull. Buffet?", "Buffet?", "Pull."]),
    at(200.0, ["Unload, then wings level.", "Unload, then wings level.", "Unload.", "Unload."]),
    at(
        400.0,
        [
            "Power in, level; it stalled faster than it ever does straight.",
            "Power in, level.",
            "Height?",
            "Power, level.",
        ],
    ),
    after(
        500.0,
        [
            "Any speed can stall: load decides, not the needle.",
            "At which speed did it stall, and why so fast?",
            "Which speed?",
            "Load decides.",
        ],
    ),
];
