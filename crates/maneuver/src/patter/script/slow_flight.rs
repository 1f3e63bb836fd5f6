//! Slow flight, by phases: slow down, hold, turn, roll out, back to cruise.

use super::{after, ahead, at, before};
use crate::definition::PatterLine;

/// Every form.
pub(super) const WORDS: &[PatterLine] = &[
    before(
        0.0,
        [
            "Area clear, height enough. I trade speed for attitude: power back, nose up as it slows, height kept.",
            "Clear, and height enough. Power back, keep the height, let the nose come up.",
            "Clear? Height?",
            "Clear. Slow down.",
        ],
    ),
    ahead(
        0.0,
        100.0,
        [
            "Power back. The nose rises as it slows, and that holds the height.",
            "Power back, hold the height with the nose.",
            "Height?",
            "Power back, nose up.",
        ],
    ),
    at(
        100.0,
        [
            "{speed} knots. Now power holds height and pitch holds speed; no warning sounds.",
            "{speed} knots: power for height, pitch for speed.",
            "Speed {speed}? Warning?",
            "Hold {speed}.",
        ],
    ),
    at(
        200.0,
        [
            "A gentle turn {side}; a touch of power, right foot for the ball.",
            "Gentle turn {side}. A little power, ball.",
            "Ball? Height?",
            "Turn {side}, ball.",
        ],
    ),
    ahead(
        250.0,
        300.0,
        [
            "Half round. Small bank only: the stall speed rises with it.",
            "Keep the bank small.",
            "Bank small?",
            "Small bank.",
        ],
    ),
    at(
        400.0,
        [
            "Full power, right foot, let the nose come down as the speed builds.",
            "Full power, right foot, nose down slowly.",
            "Height kept?",
            "Full power, foot.",
        ],
    ),
    after(
        500.0,
        [
            "{speed} knots, power back to cruise, trim.",
            "Cruise: power, trim.",
            "Trim?",
            "Cruise, trim.",
        ],
    ),
];
