//! What was flown: the truth ten times a second, and the attempts in it.

use base::frames::{Ned, Vec3};
use base::geodesy::Geodetic;
use flight::trajectory::FlightSample;

use crate::script::Figure;

/// A flight with its truth.
#[derive(Debug, Clone)]
pub struct Flown {
    /// Every 0.1 s from time zero; see [`TRUTH_STEP_S`].
    pub truth: Vec<Truth>,
    /// Attempts in time order.
    pub attempts: Vec<Attempt>,
}

/// Time between two samples of the truth, s.
pub const TRUTH_STEP_S: f64 = 0.1;

/// The truth at one instant.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Truth {
    /// State of the airplane; `turned_rad` counts the heading turned since the flight began, right positive.
    pub sample: FlightSample,
    /// Where it is; the height is that above mean sea level.
    pub place: Geodetic,
    /// Velocity over the ground, m/s.
    pub velocity_mps: Vec3<Ned>,
}

/// Where something is and how it moves over the ground: what a satellite receiver sees.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Whereabouts {
    /// Since time zero, s.
    pub time_s: f64,
    /// Where it is.
    pub place: Geodetic,
    /// Over the ground, m/s.
    pub velocity_mps: Vec3<Ned>,
}

impl Flown {
    /// Where it was, every [`TRUTH_STEP_S`].
    #[must_use]
    pub fn whereabouts(&self) -> Vec<Whereabouts> {
        let of = |truth: &Truth| Whereabouts {
            time_s: truth.sample.time_s,
            place: truth.place,
            velocity_mps: truth.velocity_mps,
        };
        self.truth.iter().map(of).collect()
    }
}

/// A figure as flown.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Attempt {
    /// What was to be flown, and what was done wrong.
    pub figure: Figure,
    /// First movement of the controls for it, s.
    pub start_s: f64,
    /// Bank last beyond 3 degrees in the last part, s; a chandelle ends when level wings were held for 1.5 s more.
    pub end_s: f64,
    /// Heading turned in the last part when it ends, rad, positive in its direction.
    pub turned_last_rad: f64,
}
