//! Wing-over: both halves have the same words, the other way round.

use super::{Texts, after, ahead, at, before, second};
use crate::definition::PatterLine;

const CREST: Texts = [
    "Highest, {pitch}. Pull eases, roll goes on.",
    "Ease the pull, keep rolling.",
    "Keep rolling.",
    "Ease, roll on.",
];
const TOP: Texts = [
    "Through the horizon: {bank} of bank, {speed} knots, light. Now bank off.",
    "Through the point. Bank off, then pull.",
    "Bank off first.",
    "Bank off.",
];
const LOW: Texts = [
    "Lowest nose. Roll level first; the nose comes up with the wings.",
    "Roll level first; the nose comes up with the wings.",
    "Bank off first?",
    "Roll level.",
];

/// Every form.
pub(super) const WORDS: &[PatterLine] = &[
    before(
        0.0,
        [
            "Checks done, area clear, line below us, reference off the {side} wing tip. {speed} knots, power set once. If it gets slow \
         and steep: unload, roll to the nearest horizon.",
            "Checks, clear, line and reference. {speed} knots. Slow and steep: unload and roll to the nearest horizon.",
            "Checks? Clear? Reference? {speed} knots?",
            "Checks, reference, {speed} knots.",
        ],
    ),
    at(
        0.0,
        [
            "Nose up first, then the roll, {side}.",
            "Pull first. Now roll {side}.",
            "Nose first.",
            "Pull, roll.",
        ],
    ),
    at(45.0, CREST),
    at(90.0, TOP),
    at(135.0, LOW),
    ahead(170.0, 180.0, ["Level: {speed} knots.", "Level, {speed} knots.", "Speed?", "Level."]),
    second(at(
        8.0,
        [
            "Nose up again, other way: {side}.",
            "Nose up again, roll {side}.",
            "Nose first, {side}.",
            "Up, {side}.",
        ],
    )),
    second(at(45.0, CREST)),
    second(at(90.0, TOP)),
    second(at(135.0, LOW)),
    second(after(
        180.0,
        [
            "First heading, entry height, {speed} knots.",
            "Compare heading, height, speed.",
            "Heading, height, speed?",
            "Compare.",
        ],
    )),
];
