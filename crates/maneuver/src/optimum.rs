//! Best flights: what an airplane can do at most, found by optimal control of the point mass.
//!
//! One solver ([`base::numerics::optimal_control`]) serves every figure; a figure is a small description of states, bounds and
//! conditions. Controls are the rates of lift coefficient and of lift bank, so both are continuous and no faster than a hand.
//! Everything is a right turn from course nil in the air mass, as in [`crate::solve`]; a solution is flown again by the same
//! machinery ([`ControlHistory`] is a schedule), which gives its samples and tells how exact it is.
//!
//! * [`climb`]: most height in a turn of 180 degrees within a stated time.
//! * [`programmed`]: the same with the bank programmed and the pull free.
//! * [`wing_over`]: the smoothest half of a wing-over that returns to its entry height and speed.
//! * [`turn`]: quickest level turns, wings level to wings level.
//! * [`sustained`]: closed forms of the level turn: limits against speed, power required.
//! * [`overlay`]: the greatest gain in a stated time, drawn over a chandelle.
//!
//! # Range
//! Climb angle within some 80 degrees, speed above nil: that of `flight::point_mass`. A greatest gain needs a time limit: with an
//! engine every second allowed adds the best rate of climb.

pub mod climb;
mod frame;
pub mod history;
pub mod overlay;
pub mod programmed;
pub mod sustained;
pub mod turn;
pub mod wing_over;

pub use history::{Checkpoint, ControlHistory};

use base::numerics::optimal_control::Stop;

/// What hands, structure and stall allow.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Limits {
    /// Fastest change of the lift coefficient, per second.
    pub lift_rate_per_s: f64,
    /// Fastest change of the lift bank, rad/s.
    pub roll_rate_radps: f64,
    /// Least load factor.
    pub load_min: f64,
    /// Greatest load factor.
    pub load_max: f64,
    /// Steepest lift bank, rad.
    pub bank_max_rad: f64,
    /// Least speed over the stall speed at one g.
    pub stall_margin: f64,
}

/// How finely to solve.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Mesh {
    /// Intervals of each phase to begin with.
    pub intervals: usize,
    /// How often they may be halved.
    pub doublings: usize,
    /// Change of the objective from one mesh to the next, as a share, below which it is fine enough; nil halves as often as allowed
    /// without looking.
    pub accuracy: f64,
}

impl Default for Mesh {
    fn default() -> Self {
        Self { intervals: 20, doublings: 4, accuracy: 5e-5 }
    }
}

/// A best flight.
#[derive(Debug, Clone, PartialEq)]
pub struct Optimum {
    /// What was made best, in the unit its figure says.
    pub objective: f64,
    /// The controls that do it.
    pub history: ControlHistory,
    /// Times of the phases, s.
    pub phases_s: Vec<f64>,
    /// Intervals of each phase of the finest mesh.
    pub intervals: usize,
    /// Iterations over all meshes.
    pub iterations: usize,
    /// Change of the objective from the mesh before, as a share.
    pub change: Option<f64>,
}

/// Why there is no best flight.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NotFound {
    /// Why the search stopped.
    pub stop: Stop,
    /// Largest miss of motion and conditions, scaled to about one.
    pub violation: f64,
    /// Intervals of each phase of the mesh it failed on.
    pub intervals: usize,
}

impl std::fmt::Display for NotFound {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let why = match self.stop {
            Stop::Solved => "solved",
            Stop::Iterations => "too many iterations",
            Stop::NoStep => "nothing near the last trial is better",
            Stop::NotFinite => "the model is left at the first guess",
        };
        let Self { violation, intervals, .. } = self;
        write!(
            out,
            "no best flight found: {why} (conditions missed by {violation:.1e} of their scale, {intervals} intervals a phase)"
        )
    }
}

#[cfg(test)]
mod tests;
