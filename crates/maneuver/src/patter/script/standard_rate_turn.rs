//! Standard-rate turn.

use super::{after, ahead, at, before};
use crate::definition::PatterLine;

/// Every form.
pub(super) const WORDS: &[PatterLine] = &[
    before(
        0.0,
        [
            "Clear {side}. Three degrees a second: a tenth of the speed and half of that again, so {speed} knots make about the bank we \
         will hold.",
            "Clear {side}. Reckon the bank for {speed} knots, then roll.",
            "Which bank?",
            "Clear {side}. Reckon the bank.",
        ],
    ),
    ahead(
        0.0,
        90.0,
        [
            "Roll to {bank} and hold it; a little pull for the height.",
            "Roll to {bank}, hold height.",
            "Height?",
            "{bank}, hold height.",
        ],
    ),
    at(
        90.0,
        [
            "A quarter round: thirty seconds, if the rate is right.",
            "A quarter: how long did it take?",
            "Time?",
            "Time?",
        ],
    ),
    at(
        180.0,
        [
            "Half way. Scan: bank, height, heading, and outside.",
            "Half way. Scan bank, height, heading.",
            "Scan?",
            "Scan.",
        ],
    ),
    at(
        270.0,
        [
            "Three quarters. {speed} knots, height held.",
            "Three quarters: hold height and speed.",
            "Height?",
            "Hold it.",
        ],
    ),
    ahead(
        345.0,
        360.0,
        [
            "Lead by half the bank, roll out.",
            "Roll out, half the bank ahead.",
            "Lead it.",
            "Roll out.",
        ],
    ),
    after(
        360.0,
        [
            "On heading; two minutes for the whole circle at full rate.",
            "On heading? Compare the time with two minutes.",
            "Heading? Time?",
            "Compare the time.",
        ],
    ),
];
