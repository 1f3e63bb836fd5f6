//! Rectangular course. Position counts the track: 0 on the downwind leg.

use super::{after, at, before};
use crate::definition::PatterLine;

/// Every form.
pub(super) const WORDS: &[PatterLine] = &[
    before(
        0.0,
        [
            "A field with straight sides, clear of traffic. I join the downwind leg at forty-five degrees, {speed} knots, {height} feet.",
            "Choose the field. Join downwind at forty-five degrees, {speed} knots.",
            "Field? Wind? Traffic?",
            "Join downwind, {speed} knots.",
        ],
    ),
    at(
        0.0,
        [
            "Downwind, to the {side} of us the field: watch the distance, and the nose against the drift.",
            "Downwind. Hold the distance.",
            "Distance from the field?",
            "Hold the distance.",
        ],
    ),
    at(
        15.0,
        [
            "Corner ahead, wind behind: steep, and more than ninety degrees of turn.",
            "Corner: steep, and past ninety, for the crab.",
            "Fast: how steep?",
            "Steep corner.",
        ],
    ),
    at(
        90.0,
        [
            "Across the wind: nose into it, track along the fence.",
            "Crab into the wind, track along the fence.",
            "Drift?",
            "Crab into it.",
        ],
    ),
    at(
        180.0,
        [
            "Into the wind, slow over the ground. Height, speed, traffic, then the field.",
            "Upwind. Height, speed, traffic.",
            "Height? Traffic?",
            "Height, traffic.",
        ],
    ),
    at(
        270.0,
        [
            "Across again, nose into the wind the other way.",
            "Crosswind: crab the other way.",
            "Which way is the crab?",
            "Crab the other way.",
        ],
    ),
    after(
        360.0,
        [
            "Round once: one distance, one height.",
            "Compare distance and height on all four sides.",
            "Same distance on all sides?",
            "Compare the sides.",
        ],
    ),
];

/// In calm air: no crab on any leg, corners of one bank.
pub(super) const CALM: &[PatterLine] = &[
    before(
        0.0,
        [
            "A field with straight sides, clear of traffic. I join the first leg at forty-five degrees, {speed} knots, {height} feet.",
            "Choose the field. Join the first leg at forty-five degrees, {speed} knots.",
            "Field? Traffic?",
            "Join, {speed} knots.",
        ],
    ),
    at(
        0.0,
        [
            "Along the field, to the {side} of us: watch the distance. No wind, so no crab.",
            "Along the field. Hold the distance.",
            "Distance from the field?",
            "Hold the distance.",
        ],
    ),
    at(
        15.0,
        [
            "Corner ahead: ninety degrees of turn, no more and no less.",
            "Corner: ninety degrees.",
            "Corner: how much turn?",
            "Corner.",
        ],
    ),
    at(
        90.0,
        [
            "Second side: nose along the fence, the track follows.",
            "Nose along the fence.",
            "Along the fence?",
            "Along the fence.",
        ],
    ),
    at(
        180.0,
        [
            "Third side. Height, speed, traffic, then the field.",
            "Third side. Height, speed, traffic.",
            "Height? Traffic?",
            "Height, traffic.",
        ],
    ),
    at(
        270.0,
        [
            "Fourth side: the same distance again. With wind each side would have a crab of its own.",
            "Fourth side: the same distance.",
            "Distance?",
            "Same distance.",
        ],
    ),
    after(
        360.0,
        [
            "Round once: one distance, one height.",
            "Compare distance and height on all four sides.",
            "Same distance on all sides?",
            "Compare the sides.",
        ],
    ),
];
