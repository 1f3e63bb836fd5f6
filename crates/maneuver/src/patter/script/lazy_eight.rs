//! Lazy eight: both halves have the same words, the other way round.

use super::{Texts, after, ahead, at, before, second};
use crate::definition::PatterLine;

const BEGIN: Texts = [
    "Nose and bank together, slowly, {side}.",
    "Raise the nose slowly as it rolls {side}.",
    "Nose with the bank.",
    "Nose and bank.",
];
const CREST: Texts = [
    "Highest here, {pitch}, bank {bank}. Now I let the pull go; the bank goes on growing.",
    "Highest now. Relax the pull, keep rolling.",
    "Highest? Keep rolling.",
    "Relax, keep rolling.",
];
const TOP: Texts = [
    "The nose slices through the point: {bank} of bank, {speed} knots. Roll out as slowly as in.",
    "Through the point with {bank}. Start the bank off, slowly.",
    "Through the point; ball?",
    "Through. Bank off slowly.",
];
const LOW: Texts = [
    "Lowest here, {bank} of bank. I pull gently; the last of the bank comes out near the end.",
    "Lowest now: gentle pull, bank coming off.",
    "Lowest. Speed?",
    "Gentle pull.",
];
const LOW_LAST: Texts = [
    "Level at {speed} knots, entry height.",
    "Meet the horizon level at {speed} knots.",
    "Height and speed?",
    "Level, {speed} knots.",
];

/// Every form.
pub(super) const WORDS: &[PatterLine] = &[
    before(
        0.0,
        [
            "Area clear. Three references on the horizon, at 45, 90 and 135 to the {side}. {speed} knots, and the power stays.",
            "Clear. Name your references at 45, 90 and 135. {speed} knots; leave the power alone.",
            "Clear? References? {speed} knots?",
            "References, {speed} knots.",
        ],
    ),
    at(0.0, BEGIN),
    at(45.0, CREST),
    at(90.0, TOP),
    at(135.0, LOW),
    ahead(165.0, 180.0, LOW_LAST),
    second(at(
        0.0,
        [
            "Through level and on, nose up, {side}.",
            "Do not stop: nose up, then {side}.",
            "Straight on, {side}.",
            "On, {side}.",
        ],
    )),
    second(at(45.0, CREST)),
    second(at(90.0, TOP)),
    second(at(135.0, LOW)),
    second(ahead(165.0, 180.0, LOW_LAST)),
    second(after(
        180.0,
        [
            "Entry height, {speed} knots, first heading: the power was right.",
            "Compare height, speed and heading with the entry.",
            "Same height, speed, heading?",
            "Compare with the entry.",
        ],
    )),
];
