//! Trim: the state and controls with which a vehicle flies steadily: straight, climbing, turning, or for a moment on a
//! curve upwards or downwards.
//!
//! "Steadily" means that velocity through the air and angular velocity, seen from the airplane, do not change: the airplane
//! turns with its path. Over a round earth the path follows the curve of the earth; over a turning one it bears the turn's
//! acceleration: both are in the equations, so that a trimmed airplane stays trimmed. A flight that climbs meets other air
//! later: trim is for this height.
//!
//! Unknowns are angle of attack, sideslip, bank, the effort (throttle, or climb angle, or change of speed), the three
//! surfaces, the engine's state and, where a bank or load factor is asked for, the curvature of the path. They are solved for
//! by the damped Newton rule of [`base::numerics::newton`]; when that fails from the first guess, by a sweep over the incidences,
//! from other guesses and along a chain of easier conditions. Of two flights, one before the stall and one beyond it, the first is
//! the answer. [`Stop`] says how it ended. Source: SL-2003, section 3.6, for the constraints of a
//! coordinated turn; the formulation in wind axes is our own.

mod classify;
mod equations;
mod guess;
mod search;
mod sweep;

use base::frames::{Body, Fixed, Vec3};
use base::kinds::{CalibratedAirspeed, TrueAirspeed, TrueHeading};
use base::units::{Angle, AngularRate, LoadFactor, Power, Speed};

use crate::controls::{Actuator, Inputs};
use crate::vehicle::{Instant, OutsideData, State, Vehicle, World};

/// Speed through the air, as known.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Airspeed {
    /// Through the air mass.
    True(TrueAirspeed),
    /// As an indicator without error shows it.
    Calibrated(CalibratedAirspeed),
}

/// To which side.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Side {
    /// Heading decreases.
    Left,
    /// Heading increases.
    Right,
}

impl Side {
    /// Minus one to the left, one to the right.
    #[must_use]
    pub const fn sign(self) -> f64 {
        match self {
            Self::Left => -1.0,
            Self::Right => 1.0,
        }
    }
}

/// How the path curves.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Curve {
    /// Not at all.
    Straight,
    /// A turn about the vertical, heading increasing positive.
    Turn(AngularRate),
    /// A turn with this bank (of the wings against the horizon), right positive; below 90 degrees.
    TurnAtBank(Angle),
    /// A turn with this load factor (see [`Trim::load_factor`]), which must exceed the cosine of the climb angle.
    TurnAtLoad(LoadFactor, Side),
    /// The path bends upwards (positive) or downwards at this rate: one instant of a pull-up or push-over.
    Pull(AngularRate),
    /// The same with this load factor (see [`Trim::load_factor`]).
    PullAtLoad(LoadFactor),
}

/// What is held, and what follows.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Hold {
    /// Climb angle of the path through the air, upwards positive: the throttle follows.
    Climb(Angle),
    /// Throttle, nil to one: the climb angle follows.
    Throttle(f64),
    /// Both: the speed changes at the rate that follows, everything else is steady.
    Both(Angle, f64),
}

/// How sideslip and bank go together.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Balance {
    /// No lateral specific force at the center of gravity: the ball is centred, sideslip follows.
    Ball,
    /// This sideslip, from the right positive: bank follows.
    Sideslip(Angle),
    /// This bank of the wings against the horizon, right positive: sideslip follows. Not together with
    /// [`Curve::TurnAtBank`].
    Bank(Angle),
}

/// What is asked for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Conditions {
    /// Where.
    pub position_m: Vec3<Fixed>,
    /// When, s: for winds that change.
    pub time_s: f64,
    /// How fast.
    pub airspeed: Airspeed,
    /// Where the nose points.
    pub heading: TrueHeading,
    /// How the path curves.
    pub curve: Curve,
    /// Climb or throttle.
    pub hold: Hold,
    /// Sideslip or bank.
    pub balance: Balance,
    /// Flaps, down positive.
    pub flap: Angle,
    /// Propeller lever, nil to one.
    pub propeller: f64,
}

impl Conditions {
    /// Straight and level flight to the north with the ball centred, flaps up, propeller lever forward; change what differs.
    #[must_use]
    pub fn level(position_m: Vec3<Fixed>, airspeed: Airspeed) -> Self {
        Self {
            position_m,
            time_s: 0.0,
            airspeed,
            heading: TrueHeading::NORTH,
            curve: Curve::Straight,
            hold: Hold::Climb(Angle::from_rad(0.0)),
            balance: Balance::Ball,
            flap: Angle::from_rad(0.0),
            propeller: 1.0,
        }
    }
}

/// Conditions that no flight can have: a mistake of the one who asks.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum ConditionsError {
    /// No speed, or not finite.
    #[error("the airspeed must be above zero and below the speed of sound; it is {mps} m/s")]
    Speed {
        /// True airspeed, m/s.
        mps: f64,
    },
    /// A figure out of its range.
    #[error("{what} is {value}; it must be {range}")]
    Range {
        /// Which.
        what: &'static str,
        /// Its value.
        value: f64,
        /// Its range, in words.
        range: &'static str,
    },
    /// Bank asked for twice.
    #[error("the bank is given twice: by the turn and by the balance")]
    BankTwice,
}

impl ConditionsError {
    /// What to do about it.
    #[must_use]
    pub const fn hint(&self) -> &'static str {
        match self {
            Self::Speed { .. } => "give a speed that the airplane can fly at",
            Self::Range { .. } => "check the figure and its unit",
            Self::BankTwice => "let the ball or the sideslip balance a turn whose bank is given",
        }
    }
}

/// A control with limits.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Limited {
    /// Elevator.
    Elevator,
    /// Ailerons.
    Aileron,
    /// Rudder.
    Rudder,
}

impl Limited {
    /// In words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Elevator => "elevator",
            Self::Aileron => "aileron",
            Self::Rudder => "rudder",
        }
    }
}

/// How the search ended. All but [`Stop::Converged`] give the state that comes nearest, which is no steady flight.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum Stop {
    /// Steady flight, found. It may lie beyond the stall, where the data reach that far: look at the angle of attack.
    #[error("trimmed")]
    Converged,
    /// A surface is at its limit and more would be needed.
    #[error("the {} is at its limit", .0.words())]
    ControlLimit(Limited),
    /// The throttle is at an end and the speed cannot be held on this path: by so much power (thrust times speed) too little
    /// (positive) or too much (negative).
    #[error("power does not hold it: {} kW too {}", (.lacking.to_kw().abs() * 10.0).round() / 10.0,
        if .lacking.to_kw() > 0.0 { "little" } else { "much" })]
    CannotHold {
        /// Power that lacks.
        lacking: Power,
        /// The climb angle at which the throttle's end would hold this speed, when that is a steady flight.
        climb: Option<Angle>,
    },
    /// The wing does not carry it: the load factor that lacks.
    #[error("the wing does not carry it: {} lack", in_hundredths(.lacking.to_g()))]
    LacksLift {
        /// Load factor that lacks.
        lacking: LoadFactor,
    },
    /// It ends outside the airplane's data.
    #[error("{0}")]
    OutsideData(OutsideData),
    /// Nothing found within the allowed evaluations.
    #[error("no steady flight was found")]
    Iterations,
}

/// A load factor by hundredths of g; one below that as such, so that none is called nil.
fn in_hundredths(load_g: f64) -> String {
    if load_g < 0.005 { "less than 0.01 g".into() } else { format!("{load_g:.2} g") }
}

impl Stop {
    /// What to do about it.
    #[must_use]
    pub const fn hint(&self) -> &'static str {
        match self {
            Self::Converged => "nothing",
            Self::ControlLimit(_) => {
                "ask for less: more speed, less bank or load, another flap setting"
            }
            Self::CannotHold { .. } => {
                "let the climb angle follow the throttle, or choose another speed or less bank"
            }
            Self::LacksLift { .. } => "fly faster, or with less bank or load",
            Self::OutsideData(inner) => inner.hint(),
            Self::Iterations => "ask for something gentler, and go on from there",
        }
    }
}

/// Accelerations left over: nil for steady flight.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Residual {
    /// Along the path, to its right, and downwards in the plane of lift, m/s2.
    pub acceleration_mps2: [f64; 3],
    /// Roll, pitch, yaw, rad/s2.
    pub rotation_radps2: [f64; 3],
    /// Rate of the engine's state over the state's size, 1/s.
    pub engine_ps: f64,
    /// Root sum square of everything, constraints included.
    pub norm: f64,
}

/// Where a stick, wheel or pedal is: share of its travel from the neutral surface to the limit on that side.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stick {
    /// Back positive (trailing edge up); `None` for a surface without limit.
    pub back: Option<f64>,
    /// Right positive.
    pub right: Option<f64>,
    /// Right pedal positive.
    pub pedal_right: Option<f64>,
}

/// A trimmed flight, or what came nearest to it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Trim {
    /// How the search ended.
    pub stop: Stop,
    /// What is left over.
    pub residual: Residual,
    /// The state; surfaces where they are asked to be.
    pub state: State,
    /// What the pilot asks for.
    pub inputs: Inputs,
    /// Everything at this instant, forces by cause included.
    pub instant: Instant,
    /// Bank of the wings against the horizon, right positive.
    pub bank: Angle,
    /// Nose above the horizon.
    pub pitch: Angle,
    /// Climb angle of the path through the air.
    pub climb: Angle,
    /// Climb through the air.
    pub climb_rate: Speed,
    /// Turn about the vertical, right positive.
    pub turn_rate: AngularRate,
    /// Bend of the path upwards.
    pub pull_rate: AngularRate,
    /// Change of airspeed, m/s2: nil unless climb and throttle are both held.
    pub acceleration_mps2: f64,
    /// Lift over weight: the specific force normal to the path through the air, in the plane of symmetry, over standard
    /// gravity. The one of the conditions. It is found from the path asked for, not from the forces.
    pub load_factor: LoadFactor,
    /// What an accelerometer along the airplane's normal axis shows, standard gravities.
    pub load_factor_felt_g: f64,
    /// Stick and pedals.
    pub stick: Stick,
    /// Evaluations of the equations used.
    pub evaluations: usize,
}

impl Trim {
    /// Whether steady flight was found.
    #[must_use]
    pub fn converged(&self) -> bool {
        self.stop == Stop::Converged
    }
    /// What an accelerometer at the center of gravity feels.
    #[must_use]
    pub fn specific_force(&self, vehicle: &Vehicle) -> Vec3<Body> {
        self.instant.specific_force(&vehicle.mass)
    }
}

/// Finds the trimmed flight. Allocates nothing; one search costs 40 to 100 evaluations of the forces, a request that cannot
/// be met some thousand.
///
/// # Errors
/// Conditions that contradict themselves. That the airplane cannot do it is an answer: see [`Trim::stop`].
///
/// # Accuracy
/// Converged means that [`Residual::norm`] is below 1e-9; mostly it is at rounding, 1e-13.
pub fn trim(
    vehicle: &Vehicle,
    world: &World<'_>,
    conditions: &Conditions,
) -> Result<Trim, ConditionsError> {
    let equations = equations::Equations::new(vehicle, world, conditions)?;
    let found = search::search(&equations);
    Ok(equations.report(&found))
}

/// Share of the travel to the limit on its side; `None` without one.
fn travel(actuator: &Actuator, at_rad: f64) -> Option<f64> {
    let (low, high) = actuator.limits_rad;
    let share = if at_rad >= 0.0 { at_rad / high } else { -at_rad / low };
    let limited = low.is_finite() && high.is_finite() && low < 0.0 && high > 0.0;
    limited.then_some(share)
}
