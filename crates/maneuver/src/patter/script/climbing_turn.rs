//! Climbing turn.

use super::{after, ahead, at, before};
use crate::definition::PatterLine;

/// Every form.
pub(super) const WORDS: &[PatterLine] = &[
    before(
        0.0,
        [
            "Clear {side} and above. Climb power, {speed} knots, right foot; reference on the nose.",
            "Clear {side} and above. Climb at {speed} knots, ball centered.",
            "Clear above? Ball?",
            "Clear. Climb, {speed}.",
        ],
    ),
    ahead(
        0.0,
        90.0,
        [
            "Roll gently to {bank}; the nose comes down a little to keep {speed} knots.",
            "Roll to {bank}; nose a little lower, {speed}.",
            "Speed {speed}?",
            "{bank}, hold {speed}.",
        ],
    ),
    at(
        60.0,
        [
            "Shallow on purpose: a steep bank costs climb. Ball by the right foot.",
            "Keep it shallow. Ball.",
            "Ball?",
            "Ball.",
        ],
    ),
    at(
        120.0,
        [
            "Look ahead into the turn; new reference coming.",
            "Look into the turn; find the reference.",
            "Look-out?",
            "Look ahead.",
        ],
    ),
    ahead(
        165.0,
        180.0,
        [
            "Lead by half the bank; wings level.",
            "Roll out, half the bank ahead.",
            "Lead it.",
            "Roll out.",
        ],
    ),
    after(
        180.0,
        [
            "On heading, {speed} knots, {gain} feet higher.",
            "Check heading and {speed} knots.",
            "Heading? Speed?",
            "Check.",
        ],
    ),
];
