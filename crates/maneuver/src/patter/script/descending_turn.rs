//! Descending turn.

use super::{after, ahead, at, before};
use crate::definition::PatterLine;

/// Every form.
pub(super) const WORDS: &[PatterLine] = &[
    before(
        0.0,
        [
            "Clear {side} and below. Gliding at {speed} knots; the floor is in mind.",
            "Clear {side} and below. Glide at {speed} knots.",
            "Clear below? Floor?",
            "Clear below. {speed}.",
        ],
    ),
    ahead(
        0.0,
        90.0,
        [
            "Roll to {bank}, nose a little lower: the bank wants speed.",
            "Roll to {bank}, nose a little lower.",
            "Speed?",
            "{bank}, nose lower.",
        ],
    ),
    at(
        60.0,
        [
            "{speed} knots by pitch; the ball by the feet, with no power to ask for more.",
            "Hold {speed} by pitch. Ball.",
            "Ball?",
            "Hold {speed}.",
        ],
    ),
    at(
        120.0,
        [
            "Reference coming; height is spent faster in the bank.",
            "Find the reference; watch the height.",
            "Height?",
            "Watch height.",
        ],
    ),
    ahead(
        160.0,
        180.0,
        [
            "Roll out, half the bank ahead, nose back up.",
            "Roll out early, nose up.",
            "Lead it.",
            "Roll out.",
        ],
    ),
    after(
        180.0,
        [
            "On heading, {speed} knots.",
            "Check heading, {speed} knots, height left.",
            "Heading? Height?",
            "Check.",
        ],
    ),
];
