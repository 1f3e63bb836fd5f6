//! Steep spiral about a point, three turns.

use super::{Texts, after, ahead, at, before};
use crate::definition::PatterLine;

const INTO_WIND: Texts = [
    "Into the wind: a little throttle to keep the engine warm, then idle.",
    "Into the wind: clear the engine, then idle.",
    "Engine?",
    "Clear the engine.",
];

/// Every form.
pub(super) const WORDS: &[PatterLine] = &[
    before(
        0.0,
        [
            "Area clear, below too. Point beside us, wind behind us, {height} feet. Three turns and out on a heading.",
            "Clear below as well. Point beside you, wind behind. Plan three turns.",
            "Clear below? Point? Height?",
            "Clear below. Three turns.",
        ],
    ),
    at(
        0.0,
        [
            "Power idle, nose down to {speed} knots, roll {side}: steepest here, with the wind.",
            "Idle, nose down, {speed} knots, roll {side}, steep.",
            "Speed?",
            "Idle, roll {side}, {speed}.",
        ],
    ),
    at(
        90.0,
        [
            "Speed is pitch, circle is bank. {speed} knots whatever the bank does.",
            "Pitch for {speed}; bank for the circle.",
            "Speed {speed}?",
            "Hold {speed}.",
        ],
    ),
    at(180.0, INTO_WIND),
    at(
        360.0,
        [
            "One turn. Same distance from the point? Steep again with the wind.",
            "One turn: check the distance, steep again.",
            "Distance? Height?",
            "One. Steep again.",
        ],
    ),
    at(540.0, INTO_WIND),
    at(
        720.0,
        [
            "Two turns, {height} feet. Above the floor for a third? If not, out.",
            "Two turns. Floor? If near, out.",
            "Height left?",
            "Two. Height?",
        ],
    ),
    ahead(
        990.0,
        1080.0,
        [
            "The last quarter: find the heading, lead the roll-out.",
            "Find your heading, lead the roll-out.",
            "Exit heading?",
            "Lead the heading.",
        ],
    ),
    after(
        1080.0,
        [
            "Out on the heading at {height} feet, {speed} knots; power smoothly.",
            "On heading, {speed} knots, power smoothly.",
            "Heading? Power?",
            "Power smoothly.",
        ],
    ),
];

const ENGINE: Texts = [
    "Half round: a little throttle to keep the engine warm, then idle.",
    "Half round: clear the engine, then idle.",
    "Engine?",
    "Clear the engine.",
];

/// In calm air: one bank all the way down.
pub(super) const CALM: &[PatterLine] = &[
    before(
        0.0,
        [
            "Area clear, below too. Point beside us, {height} feet. Three turns and out on a heading.",
            "Clear below as well. Point beside you. Plan three turns.",
            "Clear below? Point? Height?",
            "Clear below. Three turns.",
        ],
    ),
    at(
        0.0,
        [
            "Power idle, nose down to {speed} knots, roll {side}: one bank all the way, there is no wind.",
            "Idle, nose down, {speed} knots, roll {side}.",
            "Speed?",
            "Idle, roll {side}, {speed}.",
        ],
    ),
    at(
        90.0,
        [
            "Speed is pitch, circle is bank. {speed} knots, {bank} of bank.",
            "Pitch for {speed}; bank for the circle.",
            "Speed {speed}?",
            "Hold {speed}.",
        ],
    ),
    at(180.0, ENGINE),
    at(
        360.0,
        [
            "One turn. Same distance from the point?",
            "One turn: check the distance.",
            "Distance? Height?",
            "One. Distance?",
        ],
    ),
    at(540.0, ENGINE),
    at(
        720.0,
        [
            "Two turns, {height} feet. Above the floor for a third? If not, out.",
            "Two turns. Floor? If near, out.",
            "Height left?",
            "Two. Height?",
        ],
    ),
    ahead(
        990.0,
        1080.0,
        [
            "The last quarter: find the heading, lead the roll-out.",
            "Find your heading, lead the roll-out.",
            "Exit heading?",
            "Lead the heading.",
        ],
    ),
    after(
        1080.0,
        [
            "Out on the heading at {height} feet, {speed} knots; power smoothly.",
            "On heading, {speed} knots, power smoothly.",
            "Heading? Power?",
            "Power smoothly.",
        ],
    ),
];
