//! The reference flight: solved, not drawn.

use crate::definition::{Direction, Form};
use base::kinds::{CalibratedAirspeed, GeometricHeight, TrueHeading};
use base::units::Mass;
use flight::trajectory::FlightSample;

/// How the maneuver is begun.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Entry {
    /// Which form.
    pub form: Form,
    /// Which way (of the first part).
    pub direction: Direction,
    /// Mass of the day.
    pub mass: Mass,
    /// Height above mean sea level at entry.
    pub height: GeometricHeight,
    /// Heading at entry.
    pub heading: TrueHeading,
    /// Entry speed when the user asks for one; else the maneuver chooses and says why.
    pub speed: Option<CalibratedAirspeed>,
}

/// The flight of this airplane on this day that satisfies the form.
#[derive(Debug, Clone, PartialEq)]
pub struct ReferenceFlight {
    /// Catalogue key.
    pub maneuver: &'static str,
    /// The form flown.
    pub form: Form,
    /// Way of the first part.
    pub direction: Direction,
    /// Samples in time order over all parts, at most 0.1 s apart.
    pub samples: Vec<FlightSample>,
    /// The parts: index range into `samples` (the last sample of one is the first of the next) and their checkpoints.
    pub parts: Vec<ReferencePart>,
    /// What was left open by the form and was found.
    pub unknowns: Vec<Unknown>,
    /// Conditions of the form and by how much each is missed.
    pub conditions: Vec<Condition>,
    /// Worst values over the flight, for limits.
    pub extremes: Extremes,
}

/// One part of a figure.
#[derive(Debug, Clone, PartialEq)]
pub struct ReferencePart {
    /// Which way this part turns.
    pub direction: Direction,
    /// First sample.
    pub first: usize,
    /// Last sample, included.
    pub last: usize,
    /// State at the checkpoints, interpolated in degrees of turn.
    pub checkpoints: Vec<Checkpoint>,
}

/// The state at one checkpoint.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Checkpoint {
    /// Degrees of turn.
    pub turn_deg: f64,
    /// The state there.
    pub sample: FlightSample,
}

/// Something the form leaves open, found by the solver.
#[derive(Debug, Clone, PartialEq)]
pub struct Unknown {
    /// What: "greatest pitch".
    pub name: &'static str,
    /// Found value, in `unit`.
    pub value: f64,
    /// Unit of the value.
    pub unit: &'static str,
}

/// A condition of the form.
#[derive(Debug, Clone, PartialEq)]
pub struct Condition {
    /// What: "speed at 180 degrees of turn equals entry".
    pub name: &'static str,
    /// Wanted value, in `unit`.
    pub wanted: f64,
    /// Reached value, in `unit`.
    pub reached: f64,
    /// Unit.
    pub unit: &'static str,
}

/// Worst values of a flight.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Extremes {
    /// Steepest bank, degrees, positive.
    pub bank_max_deg: f64,
    /// Highest nose, degrees.
    pub pitch_max_deg: f64,
    /// Lowest nose, degrees.
    pub pitch_min_deg: f64,
    /// Greatest load factor.
    pub load_factor_max: f64,
    /// Least load factor.
    pub load_factor_min: f64,
    /// Fastest, knots indicated.
    pub speed_max_kt: f64,
    /// Slowest, knots indicated.
    pub speed_min_kt: f64,
    /// Least margin of calibrated airspeed over the stall speed at that load, knots.
    pub stall_margin_min_kt: f64,
    /// Highest above entry, m.
    pub height_gain_max_m: f64,
    /// Lowest relative to entry, m (negative below).
    pub height_low_m: f64,
}

/// Why the airplane cannot fly it: a result, not an error.
#[derive(Debug, Clone, PartialEq)]
pub struct Infeasible {
    /// What is missing, in words: "sustained bank of 60 degrees".
    pub what: String,
    /// Needed, in `unit`.
    pub needed: f64,
    /// Available, in `unit`.
    pub available: f64,
    /// Unit.
    pub unit: &'static str,
    /// What would help: lighter, lower, another form.
    pub advice: String,
}

impl std::fmt::Display for Infeasible {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let Self { what, needed, available, unit, advice } = self;
        write!(out, "{what}: needs {needed:.1} {unit}, available {available:.1} {unit}; {advice}")
    }
}
