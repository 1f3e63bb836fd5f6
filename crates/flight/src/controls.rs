//! Controls: what the pilot sets, and where the surfaces are.
//!
//! Signs: a positive deflection gives a negative moment. Elevator positive with the trailing edge down (nose down); aileron
//! positive with the right one down (left roll); rudder positive with the trailing edge left (nose left). Source: the
//! convention of SL-2003 and of most published derivatives; sources with others are turned when they are read.

mod hand;

pub use hand::{Channel, ControlSystem, Hands, StickForce, TrimTab};

/// Where the control surfaces are, rad.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Surfaces {
    /// Elevator, trailing edge down positive.
    pub elevator_rad: f64,
    /// Ailerons: half the difference, right one down positive.
    pub aileron_rad: f64,
    /// Rudder, trailing edge left positive.
    pub rudder_rad: f64,
    /// Flaps, down positive.
    pub flap_rad: f64,
}

/// What the pilot asks for.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Inputs {
    /// Surfaces asked for.
    pub surfaces: Surfaces,
    /// Throttle, nil (idle) to one (full).
    pub throttle: f64,
    /// Propeller lever, nil (lowest governed speed) to one (highest); ignored by a fixed-pitch propeller.
    pub propeller: f64,
}

/// How a control surface follows the hand.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Actuator {
    /// Least and greatest deflection, rad.
    pub limits_rad: (f64, f64),
    /// Greatest rate, rad/s.
    pub rate_max_radps: f64,
    /// Time constant of following, s; nil: the surface is where it is asked to be, within its limits.
    pub lag_s: f64,
}

impl Actuator {
    /// Without limit, rate or lag.
    pub const DIRECT: Self = Self {
        limits_rad: (f64::NEG_INFINITY, f64::INFINITY),
        rate_max_radps: f64::INFINITY,
        lag_s: 0.0,
    };
    /// Position, rad, and rate of its state, rad/s: [`Self::position_rad`] and [`Self::rate_radps`] at once.
    #[must_use]
    #[inline]
    pub fn follow(&self, asked_rad: f64, state_rad: f64) -> (f64, f64) {
        let target = within(asked_rad, self.limits_rad);
        let gap_rad = target - state_rad;
        if gap_rad == 0.0 || self.lag_s <= 0.0 {
            return (target, 0.0); // most of the time: it is where it should be
        }
        (within(state_rad, self.limits_rad), self.rate_toward_radps(gap_rad))
    }
    /// Where the surface is, from what was asked and from its own state.
    #[must_use]
    #[inline]
    pub fn position_rad(&self, asked_rad: f64, state_rad: f64) -> f64 {
        let at = if self.lag_s > 0.0 { state_rad } else { asked_rad };
        within(at, self.limits_rad)
    }
    /// How fast its state moves, rad/s.
    #[must_use]
    #[inline]
    pub fn rate_radps(&self, asked_rad: f64, state_rad: f64) -> f64 {
        if self.lag_s <= 0.0 {
            return 0.0;
        }
        let target = within(asked_rad, self.limits_rad);
        self.rate_toward_radps(target - state_rad)
    }
    #[inline]
    fn rate_toward_radps(&self, gap_rad: f64) -> f64 {
        within(gap_rad / self.lag_s, (-self.rate_max_radps, self.rate_max_radps))
    }
}

/// Held between two limits. What is no number stays none, so that it is told and not repaired.
#[inline]
fn within(x: f64, (least, greatest): (f64, f64)) -> f64 {
    let above = if x < least { least } else { x };
    if above > greatest { greatest } else { above }
}

/// The three moving surfaces.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Actuators {
    /// Elevator.
    pub elevator: Actuator,
    /// Ailerons.
    pub aileron: Actuator,
    /// Rudder.
    pub rudder: Actuator,
}

impl Actuators {
    /// Every surface is where it is asked to be.
    pub const DIRECT: Self =
        Self { elevator: Actuator::DIRECT, aileron: Actuator::DIRECT, rudder: Actuator::DIRECT };
}
