//! Steep turn.

use super::{Texts, after, ahead, at, before};
use crate::definition::PatterLine;

const HOLD: Texts = [
    "Horizon across the cowl; eyes out, then one glance at height.",
    "Nose still on the horizon. Glance at height.",
    "Height?",
    "Height.",
];

/// Every form.
pub(super) const WORDS: &[PatterLine] = &[
    before(
        0.0,
        [
            "Area clear. {speed} knots, nose on the reference: remember how the horizon cuts the cowl.",
            "Clear the area. Settle at {speed} knots on your reference, and mark the picture.",
            "Clear, on speed, reference?",
            "Reference ahead, {speed} knots.",
        ],
    ),
    ahead(
        0.0,
        90.0,
        [
            "Rolling {side}, hand and foot together.",
            "Roll {side}, hand and foot together.",
            "Ball?",
            "Roll {side}.",
        ],
    ),
    ahead(
        20.0,
        90.0,
        [
            "Past thirty of bank: back pressure grows, power {power} percent, and stop at {bank}.",
            "Past thirty add pull; power {power} percent. Stop the roll at {bank}.",
            "Pull with the bank; {bank}.",
            "Pull, power, {bank}.",
        ],
    ),
    at(90.0, HOLD),
    at(
        180.0,
        [
            "Half way. I keep {bank} with a little aileron, whichever way it wants.",
            "Half way. Keep {bank}: a little aileron, whichever way it wants.",
            "Bank {bank}?",
            "Bank {bank}.",
        ],
    ),
    at(
        270.0,
        [
            "Nose dropping? Bank off first, then raise it.",
            "If it sinks, take bank off first, then pull.",
            "Sinking? Bank first.",
            "Find the reference.",
        ],
    ),
    ahead(
        330.0,
        360.0,
        [
            "Roll out now, half the bank ahead; let the pull and the power go.",
            "Roll out now. Release the pull, power back.",
            "Lead it.",
            "Roll out, release.",
        ],
    ),
    after(
        360.0,
        [
            "On the reference, {speed} knots, level.",
            "Check: reference, height, {speed} knots.",
            "Heading, height, speed?",
            "Check.",
        ],
    ),
];
