//! Eights on pylons: each part is the turn about one pylon.

use super::{Texts, ahead, at, before, second};
use crate::definition::PatterLine;

const ABEAM: Texts = [
    "Pylon on the wing tip: roll {side} and hold it there with height, never with rudder.",
    "Pylon at the tip: roll {side}. Hold it with height, not with rudder.",
    "Is it on the tip?",
    "Roll {side}, hold it.",
];
const QUARTER: Texts = [
    "It slides back: too low, climb. It slides ahead: too high, descend.",
    "Slides back: climb. Slides ahead: descend.",
    "Which way does it slide?",
    "Back: climb. Ahead: descend.",
];
const HALF: Texts = [
    "Groundspeed changes, and the pivotal height with it; {height} feet here.",
    "Groundspeed changes: so does the height.",
    "Faster or slower now?",
    "Speed changes height.",
];

/// Every form.
pub(super) const WORDS: &[PatterLine] = &[
    before(
        0.0,
        [
            "Two pylons square to the wind, {height} feet to begin with, {speed} knots. I come between them and turn into the wind first.",
            "Two pylons across the wind. Begin at {height} feet, {speed} knots, first turn into the wind.",
            "Pylons? Wind? Height?",
            "Pylons, {height} feet.",
        ],
    ),
    at(0.0, ABEAM),
    at(90.0, QUARTER),
    at(180.0, HALF),
    second(at(0.0, ABEAM)),
    second(at(90.0, QUARTER)),
    second(at(180.0, HALF)),
    second(ahead(
        300.0,
        270.0,
        [
            "Roll out, straight, crab for the drift to the next.",
            "Roll out, crab toward the next one.",
            "Next pylon?",
            "Roll out, next.",
        ],
    )),
];

const ONE_HEIGHT: Texts = [
    "No wind: one speed over the ground, one pivotal height, {height} feet.",
    "No wind: one height all round.",
    "Height?",
    "Hold {height}.",
];

/// In calm air: one pivotal height all round.
pub(super) const CALM: &[PatterLine] = &[
    before(
        0.0,
        [
            "Two pylons, {height} feet, {speed} knots, no wind. I come between them and turn about the first.",
            "Two pylons. {height} feet, {speed} knots.",
            "Pylons? Height?",
            "Pylons, {height} feet.",
        ],
    ),
    at(0.0, ABEAM),
    at(90.0, QUARTER),
    at(180.0, ONE_HEIGHT),
    second(at(0.0, ABEAM)),
    second(at(90.0, QUARTER)),
    second(at(180.0, ONE_HEIGHT)),
    second(ahead(
        300.0,
        270.0,
        [
            "Roll out, straight, to the next.",
            "Roll out, straight to the next one.",
            "Next pylon?",
            "Roll out, next.",
        ],
    )),
];
