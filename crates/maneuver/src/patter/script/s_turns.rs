//! S-turns across a road. The first half is flown from the downwind crossing, the second into the wind.

use super::{after, ahead, at, before, second};
use crate::definition::PatterLine;

/// Every form.
pub(super) const WORDS: &[PatterLine] = &[
    before(
        0.0,
        [
            "A straight road square to the wind, fields to land on. {speed} knots, {height} feet, wind behind us, wings level.",
            "Road square to the wind. Come to it downwind, wings level, {speed} knots.",
            "Road? Wind? A field?",
            "Downwind to the road.",
        ],
    ),
    at(
        0.0,
        [
            "Over the road: roll at once, {side}, steep, for we are fast over the ground.",
            "Over the road: roll {side} at once, steep.",
            "Over it: now.",
            "Roll {side}, steep.",
        ],
    ),
    ahead(
        60.0,
        90.0,
        [
            "As the wind comes abeam the bank comes off, to {bank} half way.",
            "Ease the bank: {bank} half way.",
            "Bank coming off?",
            "Ease to {bank}.",
        ],
    ),
    ahead(
        120.0,
        180.0,
        [
            "Into the wind: shallow. I plan to be level just over the road, square to it.",
            "Shallow. Be level over the road, square to it.",
            "Level over the road?",
            "Level at the road.",
        ],
    ),
    second(at(
        10.0,
        [
            "Over the road and into the wind: roll {side}, shallow; there is time.",
            "Now {side}, shallow at first.",
            "Shallow first.",
            "Roll {side}, shallow.",
        ],
    )),
    second(ahead(
        60.0,
        90.0,
        [
            "The wind turns behind us: more bank, {bank} half way, and growing.",
            "More bank now, {bank} half way.",
            "Bank growing?",
            "More bank, {bank}.",
        ],
    )),
    second(ahead(
        130.0,
        180.0,
        [
            "Steepest before the road; roll out briskly, level over it.",
            "Steep, then roll out briskly over the road.",
            "Level over the road?",
            "Roll out briskly.",
        ],
    )),
    second(after(
        180.0,
        [
            "Two half circles of one size, one height.",
            "Were the halves the same size?",
            "Same size? Same height?",
            "Compare the halves.",
        ],
    )),
];

/// In calm air: two half circles of one bank.
pub(super) const CALM: &[PatterLine] = &[
    before(
        0.0,
        [
            "A straight road, fields to land on, no wind. {speed} knots, {height} feet, square to the road, wings level.",
            "Come square to the road, wings level, {speed} knots.",
            "Road? A field?",
            "Square to the road.",
        ],
    ),
    at(
        0.0,
        [
            "Over the road: roll at once, {side}.",
            "Over the road: roll {side} at once.",
            "Over it: now.",
            "Roll {side}.",
        ],
    ),
    ahead(
        60.0,
        90.0,
        [
            "No wind: the bank stays, {bank} half way.",
            "No wind: hold {bank}.",
            "Bank held?",
            "Hold {bank}.",
        ],
    ),
    ahead(
        120.0,
        180.0,
        [
            "I plan to be level just over the road, square to it.",
            "Be level over the road, square to it.",
            "Level over the road?",
            "Level at the road.",
        ],
    ),
    second(at(
        10.0,
        [
            "Over the road: roll {side}, the same bank.",
            "Now {side}, the same bank.",
            "Same bank?",
            "Roll {side}.",
        ],
    )),
    second(ahead(
        60.0,
        90.0,
        [
            "{bank} again, all the way round. With wind it would grow.",
            "{bank} again.",
            "Bank held?",
            "Hold {bank}.",
        ],
    )),
    second(ahead(
        130.0,
        180.0,
        [
            "Now the roll-out, level over the road.",
            "Roll out, level over the road.",
            "Level over the road?",
            "Roll out.",
        ],
    )),
    second(after(
        180.0,
        [
            "Two half circles of one size, one height.",
            "Were the halves the same size?",
            "Same size? Same height?",
            "Compare the halves.",
        ],
    )),
];
