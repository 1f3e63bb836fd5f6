//! Turns around a point.

use super::{Texts, after, ahead, at, before};
use crate::definition::PatterLine;

const UPWIND: Texts = [
    "Now into the wind, slowest: shallow, {bank} degrees. Look at the spacing.",
    "Into the wind: shallow, {bank}. Check the spacing.",
    "Spacing? Height?",
    "Shallow now.",
];

/// Every form.
pub(super) const WORDS: &[PatterLine] = &[
    before(
        0.0,
        [
            "Area clear. One point we can see, fields to land on, wind behind us. {speed} knots, {height} feet.",
            "Find your point and a field to land on. Enter downwind at {speed} knots, {height} feet.",
            "Point? Wind? A field to land on?",
            "Point, downwind, {speed} knots.",
        ],
    ),
    at(
        0.0,
        [
            "Abeam the point, wind behind us, fastest: steepest bank now, to the {side}.",
            "Abeam. Fast over the ground: roll {side}, steep.",
            "Fastest here: how much bank?",
            "Steep now.",
        ],
    ),
    at(
        90.0,
        [
            "Across the wind: bank {bank}, and the nose points a little into the circle.",
            "Crosswind: {bank} of bank, nose a little inside.",
            "Where does the wind push?",
            "Medium, {bank}.",
        ],
    ),
    at(180.0, UPWIND),
    at(
        270.0,
        [
            "Across again: {bank}, and the nose stays outside the circle. Traffic, height, then the point.",
            "Crosswind: {bank}, nose outside. Traffic and height too.",
            "Outside as well: traffic?",
            "Medium, {bank}.",
        ],
    ),
    at(
        360.0,
        [
            "Once round. Wind behind again: steep. Same spacing as before?",
            "Once round: steep again. Was the spacing the same?",
            "Same spacing?",
            "Steep again.",
        ],
    ),
    at(540.0, UPWIND),
    ahead(
        660.0,
        720.0,
        [
            "Coming round to where we began; level out downwind.",
            "Plan the exit: wings level where you came in.",
            "Where do you leave?",
            "Plan the exit.",
        ],
    ),
    after(
        720.0,
        [
            "Same height, same distance all round: that is the figure.",
            "Compare height and distance with the first turn.",
            "Height, distance?",
            "Compare.",
        ],
    ),
];

const LEVEL_CIRCLE: Texts = [
    "No wind: one bank, {bank}, all the way round. Look at the spacing.",
    "No wind: hold {bank}. Check the spacing.",
    "Spacing? Height?",
    "Hold {bank}.",
];
const TRAFFIC: Texts = [
    "{bank} still. Traffic, height, then the point.",
    "Hold {bank}. Traffic and height too.",
    "Traffic? Height?",
    "Hold {bank}.",
];

/// In calm air: one bank all the way round.
pub(super) const CALM: &[PatterLine] = &[
    before(
        0.0,
        [
            "Area clear. One point we can see, fields to land on. {speed} knots, {height} feet.",
            "Find your point and a field to land on. {speed} knots, {height} feet.",
            "Point? A field to land on?",
            "Point, {speed} knots.",
        ],
    ),
    at(
        0.0,
        [
            "Abeam the point: roll {side}, and remember the bank that keeps the distance.",
            "Abeam: roll {side}. Which bank keeps the distance?",
            "How much bank?",
            "Roll {side}.",
        ],
    ),
    at(90.0, LEVEL_CIRCLE),
    at(180.0, LEVEL_CIRCLE),
    at(270.0, TRAFFIC),
    at(
        360.0,
        [
            "Once round. Same spacing as before? With wind this bank would change all the way.",
            "Once round. Was the spacing the same?",
            "Same spacing?",
            "Once round.",
        ],
    ),
    at(540.0, LEVEL_CIRCLE),
    ahead(
        660.0,
        720.0,
        [
            "Coming round to where we began; level out there.",
            "Plan the exit: wings level where you came in.",
            "Where do you leave?",
            "Plan the exit.",
        ],
    ),
    after(
        720.0,
        [
            "Same height, same distance all round: that is the figure.",
            "Compare height and distance with the first turn.",
            "Height, distance?",
            "Compare.",
        ],
    ),
];
