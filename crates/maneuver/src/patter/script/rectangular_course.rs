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
