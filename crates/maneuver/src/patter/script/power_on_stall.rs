//! Power-on stall, by phases: level at a take-off speed, raise the nose, full stall, lower the nose, recover, climb away.

use super::{after, at, before};
use crate::definition::PatterLine;

/// Every form.
pub(super) const WORDS: &[PatterLine] = &[
    before(
        0.0,
        [
            "Area clear; {height} feet. As after take-off: {speed} knots, then power, nose high. Right foot grows as it slows: the ball is \
         what keeps it out of a spin.",
            "Clear. {speed} knots, then power and nose high. Right foot, ball in the middle.",
            "Clear? Height? Ball?",
            "Clear. {speed}, power.",
        ],
    ),
    at(
        100.0,
        [
            "Power in, nose up, right foot more and more.",
            "Nose up. More right foot.",
            "Ball?",
            "Right foot.",
        ],
    ),
    at(
        200.0,
        [
            "Stall: nose down, feet straight.",
            "Nose down, feet straight.",
            "Nose down.",
            "Nose down.",
        ],
    ),
    at(
        400.0,
        [
            "Full power, level off, no second stall.",
            "Full power, level off gently.",
            "Gently.",
            "Level off.",
        ],
    ),
    after(
        600.0,
        [
            "{speed} knots, climbing, height looked at.",
            "Climb at {speed}. How much height did it cost?",
            "How much height?",
            "Climb at {speed}.",
        ],
    ),
];
