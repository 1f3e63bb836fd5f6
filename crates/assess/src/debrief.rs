//! Everything about one recording, in one value.

use crate::attempt::Attempt;
use flight::airplane::Airplane;
use maneuver::standard::Standard;
use motion::Motion;
use recording::{Note, Recording};

/// What is known besides the motion.
#[derive(Debug, Clone, Copy)]
pub struct DebriefContext<'a> {
    /// The airplane flown, when known.
    pub airplane: Option<&'a Airplane>,
    /// The standard to judge by.
    pub standard: &'a Standard,
    /// Elevation of the ground in the practice area, m above mean sea level, when known.
    pub ground_elevation_m: Option<f64>,
}

/// The debrief of one recording.
#[derive(Debug, Clone)]
pub struct Debrief {
    /// The recording it is about.
    pub recording: Recording,
    /// The motion found.
    pub motion: Motion,
    /// Attempts in time order.
    pub attempts: Vec<Attempt>,
    /// Key and title of the standard.
    pub standard_id: String,
    /// Title of the standard, with its edition.
    pub standard_title: String,
    /// Name of the airplane, when known.
    pub airplane_name: Option<String>,
    /// Notes of reader, reconstruction and assessment, in this order.
    pub notes: Vec<Note>,
}
