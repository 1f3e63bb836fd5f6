//! Chandelle: words for the shallow and the steep form. The older advanced form is history and has none.

use super::{after, ahead, at, before};
use crate::definition::PatterLine;

/// Bank first, then the pull.
pub(super) const SHALLOW: &[PatterLine] = &[
    before(
        0.0,
        [
            "Area clear to the {side}. My reference is off the {side} wing tip: in a quarter turn the nose comes there. {speed} knots.",
            "Clear {side}. Put your reference off the {side} wing tip. Hold {speed} knots.",
            "Clear? Reference? {speed} knots?",
            "Reference off the tip, {speed} knots.",
        ],
    ),
    ahead(
        0.0,
        45.0,
        [
            "Bank first: {bank}, and stop.",
            "Roll to {bank} and stop.",
            "Bank first.",
            "{bank}, stop.",
        ],
    ),
    ahead(
        12.0,
        90.0,
        [
            "Now the nose: one slow pull, full power, ball in the middle.",
            "Pull slowly, full power. Ball in the middle.",
            "Pull, power, ball.",
            "Pull, power.",
        ],
    ),
    ahead(
        45.0,
        90.0,
        [
            "Half of the pull is in. I keep the bank from growing.",
            "Half of the pull. Hold the bank, no more.",
            "Bank still {bank}?",
            "Hold the bank.",
        ],
    ),
    ahead(
        90.0,
        90.0,
        [
            "Reference on the nose, {pitch}: this nose stays. Bank comes off slowly.",
            "Hold this nose. Take the bank off slowly.",
            "Nose stays, bank off.",
            "Nose stays, bank off.",
        ],
    ),
    ahead(
        125.0,
        180.0,
        [
            "More pull, more right foot, as the speed goes.",
            "Keep adding pull. Right foot.",
            "Nose still there? Ball?",
            "More pull.",
        ],
    ),
    ahead(
        160.0,
        180.0,
        [
            "Wings level on the point, {speed} knots, buffet near: wait.",
            "Level on the point. Hold {speed} knots.",
            "Level on the point.",
            "Level, hold.",
        ],
    ),
    after(
        180.0,
        [
            "{gain} feet gained. Nose down gently, no height lost, speed back, then power.",
            "Lower the nose gently, keep the height, let the speed build.",
            "Keep the height.",
            "Nose down gently.",
        ],
    ),
];

/// Bank and nose together.
pub(super) const STEEP: &[PatterLine] = &[
    before(
        0.0,
        [
            "Area clear to the {side}. The reference is off the {side} wing tip. {speed} knots.",
            "Clear {side}, reference off the {side} tip, {speed} knots.",
            "Clear? Reference? Speed?",
            "Reference off the tip, {speed} knots.",
        ],
    ),
    ahead(
        0.0,
        90.0,
        [
            "Bank and nose grow together, power to full.",
            "Bank and pull together. Full power.",
            "Together.",
            "Bank and pull.",
        ],
    ),
    ahead(
        35.0,
        90.0,
        [
            "More of both: {bank} of bank on the point.",
            "More of both, to {bank}.",
            "Both still growing?",
            "More of both.",
        ],
    ),
    at(
        90.0,
        [
            "The point: steepest now. Bank off quickly, nose slowly.",
            "Bank off, faster than the nose.",
            "Bank off first.",
            "Bank off.",
        ],
    ),
    ahead(
        130.0,
        180.0,
        [
            "Right foot as speed falls; ball in the middle.",
            "Right foot, ball in the middle.",
            "Ball?",
            "Ball.",
        ],
    ),
    ahead(
        165.0,
        180.0,
        [
            "Wings level, {speed} knots.",
            "Wings level on the point.",
            "Level on the point.",
            "Level.",
        ],
    ),
    after(
        180.0,
        [
            "{gain} feet gained. Nose down gently, speed first, then power.",
            "Lower the nose gently and keep the height.",
            "Keep the height.",
            "Nose down gently.",
        ],
    ),
];
