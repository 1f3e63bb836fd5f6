//! What pulls the airplane, and what it does to the air behind it.

pub mod blade;
pub mod chart;
pub mod engine;
pub mod general_chart;
pub mod piston;
pub mod pressure_rise;
pub mod slipstream;
pub mod steady_thrust;
pub mod thrust_chart;
pub mod tip_loss;

use crate::budget::Budget;
use crate::controls::Inputs;
use crate::flow::Flow;

/// The slipstream, far enough behind the propeller to have contracted.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Wash {
    /// Rise of total pressure through the propeller, Pa: thrust over disk area.
    pub pressure_rise_pa: f64,
    /// Rise of axial speed, m/s, far behind (twice that at the disk).
    pub speed_rise_mps: f64,
    /// Radius of the contracted slipstream, m; nil when there is none.
    pub radius_m: f64,
    /// Angular velocity of the swirl about the body's x axis, rad/s, as a solid body: positive turns clockwise seen from
    /// the cockpit.
    pub swirl_radps: f64,
}

/// What the engine and propeller do at one instant.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Running {
    /// Rate of the engine's one state (speed of rotation in rad/s, or what the model says).
    pub state_rate: f64,
    /// The slipstream.
    pub wash: Wash,
    /// Thrust along the shaft, N.
    pub thrust_n: f64,
    /// Shaft power, W.
    pub power_w: f64,
    /// Speed of rotation of the propeller, rad/s.
    pub speed_radps: f64,
}

/// What pulls.
pub trait Propulsion: std::fmt::Debug + Send + Sync {
    /// Adds thrust, torque, normal force and gyroscopic moment to the budget, moments about the aerodynamic reference point.
    /// `state` is the engine's own (see [`Running::state_rate`]). Must not allocate.
    fn run(&self, flow: &Flow, inputs: &Inputs, state: f64, budget: &mut Budget) -> Running;

    /// The engine's state at which it would settle in this flow, where that makes sense.
    fn settled(&self, flow: &Flow, inputs: &Inputs) -> f64;
}

/// Nothing pulls.
#[derive(Debug, Clone, Copy, Default)]
pub struct Glider;

impl Propulsion for Glider {
    fn run(&self, _: &Flow, _: &Inputs, _: f64, _: &mut Budget) -> Running {
        Running::default()
    }
    fn settled(&self, _: &Flow, _: &Inputs) -> f64 {
        0.0
    }
}
