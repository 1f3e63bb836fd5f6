//! An airplane from its flights: stretches of recorded flights whose energy tells thrust and drag, beside the figures of the manual.
//!
//! ```text
//! specific excess power   d/dt (h + V^2 / 2 g) = (T - D) V / W        over stretches of some eight seconds
//! ```
//!
//! Level decelerations, climbs, glides and turns all are such stretches; what pulls in each is told by the speed of rotation where it is
//! recorded, else by the thrust asked for ([`pulls`]). Mass and airspeed of each flight are unknowns of the fit with what was told as
//! prior, so that a wrong one shows ([`guard`]). Source of the method: energy method of performance flight test (common practice, no
//! source; any text on flight test).

pub mod guard;
pub mod indicator;
pub mod pulls;
pub mod stretches;
pub mod track;
pub mod update;

pub use guard::Doubtful;
pub use track::{Track, TrackMissing};
pub use update::{Updated, update};

/// A recorded flight with what was told about it.
#[derive(Debug, Clone, PartialEq)]
pub struct Flight {
    /// Name of the recording.
    pub name: String,
    /// What was flown.
    pub track: Track,
    /// Mass at take-off less half the fuel burnt, kg, if told; else the usual one is taken, with more doubt.
    pub mass_kg: Option<f64>,
}
