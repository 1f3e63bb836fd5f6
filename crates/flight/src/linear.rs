//! Small disturbances about a state: the rates of chosen coordinates by chosen coordinates and controls, as two matrices.
//!
//! Central differences of the full equations, in steps small against what the data resolve: nothing is derived by hand, so
//! that power, slipstream, the curve of the earth and a turning flight are all in it. [`derivatives`] has the textbook's
//! closed form for comparison. The eigenvalues are the business of [`crate::modes`].

mod chart;
pub mod derivatives;

use crate::controls::Inputs;
use crate::vehicle::{OutsideData, State, Vehicle, World};

use chart::Point;

macro_rules! named {
    ($(#[$about:meta])* $type:ident { $( $(#[$doc:meta])* $name:ident $key:literal $unit:literal $step:literal; )+ }) => {
        $(#[$about])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq)]
        pub enum $type { $( $(#[$doc])* $name, )+ }

        impl $type {
            /// Every one, in order.
            pub const ALL: &'static [Self] = &[ $( Self::$name ),+ ];

            /// Stable key: lower-case words with hyphens.
            #[must_use]
            pub const fn key(self) -> &'static str {
                match self { $( Self::$name => $key, )+ }
            }
            /// Unit of its value; rates are in this unit per second.
            #[must_use]
            pub const fn unit(self) -> &'static str {
                match self { $( Self::$name => $unit, )+ }
            }
            /// Step of the differences, in that unit.
            #[must_use]
            pub const fn step(self) -> f64 {
                match self { $( Self::$name => $step, )+ }
            }
        }
    };
}

named! {
    /// A coordinate of the state. Speed, incidence and sideslip are one way to write the velocity through the air, its body
    /// components the other: a model uses one of them.
    Coordinate {
        /// True airspeed.
        Speed "speed" "m/s" 1e-2;
        /// Angle of attack.
        Incidence "incidence" "rad" 1e-4;
        /// Sideslip, from the right positive.
        Sideslip "sideslip" "rad" 1e-4;
        /// Velocity through the air along the body's forward axis (u).
        Forward "forward" "m/s" 1e-2;
        /// Along its right axis (v).
        Right "right" "m/s" 1e-2;
        /// Along its down axis (w).
        Down "down" "m/s" 1e-2;
        /// Bank.
        Bank "bank" "rad" 1e-4;
        /// Pitch.
        Pitch "pitch" "rad" 1e-4;
        /// Heading.
        Heading "heading" "rad" 1e-4;
        /// Roll rate (p), relative to inertial space.
        RollRate "roll-rate" "rad/s" 1e-4;
        /// Pitch rate (q).
        PitchRate "pitch-rate" "rad/s" 1e-4;
        /// Yaw rate (r).
        YawRate "yaw-rate" "rad/s" 1e-4;
        /// Height above mean sea level.
        Height "height" "m" 1.0;
        /// The engine's own state, in its unit.
        Engine "engine" "" 1e-3;
    }
}

named! {
    /// A control.
    Control {
        /// Elevator, trailing edge down positive.
        Elevator "elevator" "rad" 1e-4;
        /// Ailerons, right one down positive.
        Aileron "aileron" "rad" 1e-4;
        /// Rudder, trailing edge left positive.
        Rudder "rudder" "rad" 1e-4;
        /// Throttle, nil to one. With the engine's state not among the coordinates, that state is held.
        Throttle "throttle" "" 1e-4;
    }
}

/// Symmetric motion as speed, incidence, pitch, pitch rate.
pub const LONGITUDINAL: [Coordinate; 4] =
    [Coordinate::Speed, Coordinate::Incidence, Coordinate::Pitch, Coordinate::PitchRate];
/// Symmetric motion in body components: u, w, q, pitch.
pub const LONGITUDINAL_BODY: [Coordinate; 4] =
    [Coordinate::Forward, Coordinate::Down, Coordinate::PitchRate, Coordinate::Pitch];
/// Motion out of the plane of symmetry: sideslip, bank, roll rate, yaw rate.
pub const LATERAL: [Coordinate; 4] =
    [Coordinate::Sideslip, Coordinate::Bank, Coordinate::RollRate, Coordinate::YawRate];
/// Everything but place: what turns, slips and climbs at once has no smaller model.
pub const FULL: [Coordinate; 9] = [
    Coordinate::Speed,
    Coordinate::Incidence,
    Coordinate::Sideslip,
    Coordinate::Bank,
    Coordinate::Pitch,
    Coordinate::Heading,
    Coordinate::RollRate,
    Coordinate::PitchRate,
    Coordinate::YawRate,
];
/// Elevator and throttle.
pub const LONGITUDINAL_CONTROLS: [Control; 2] = [Control::Elevator, Control::Throttle];
/// Ailerons and rudder.
pub const LATERAL_CONTROLS: [Control; 2] = [Control::Aileron, Control::Rudder];

/// A linear model: `rate = a x + b u` of small differences from the state it was made at.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Linear<const N: usize, const M: usize> {
    /// Coordinates, in the order of the rows and columns of `a`.
    pub states: [Coordinate; N],
    /// Controls, in the order of the columns of `b`.
    pub inputs: [Control; M],
    /// Rate of the row's coordinate by the column's coordinate: unit of the row over that of the column, per second.
    pub a: [[f64; N]; N],
    /// Rate of the row's coordinate by the column's control.
    pub b: [[f64; M]; N],
    /// Rates at the state itself: nil at a trim, but for what a turn or climb changes steadily (heading, height).
    pub drift: [f64; N],
}

/// A choice of coordinates or a state that has no model.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum LinearError {
    /// The velocity is written in two ways at once.
    #[error(
        "speed, incidence, sideslip and the body components of velocity cannot be mixed in one model"
    )]
    Mixed,
    /// Outside the airplane's data, or no rate.
    #[error("{0}")]
    Outside(#[from] OutsideData),
    /// No speed: incidence and sideslip are not defined.
    #[error("at rest in the air there are no angles to the air")]
    AtRest,
}

impl LinearError {
    /// What to do about it.
    #[must_use]
    pub const fn hint(&self) -> &'static str {
        match self {
            Self::Mixed => "take speed, incidence and sideslip, or forward, right and down",
            Self::Outside(inner) => inner.hint(),
            Self::AtRest => "linearize about a flight",
        }
    }
}

/// Linear model about a state by central differences; where a control stands at a limit, by one-sided ones. Coordinates that
/// are not among the states, the surfaces and the wind are held. Costs `2 (N + M) + 1` evaluations and no heap.
///
/// # Errors
/// Mixed coordinates, no airspeed, a state outside the data.
pub fn linearize<const N: usize, const M: usize>(
    (vehicle, world): (&Vehicle, &World<'_>),
    time_s: f64,
    (state, inputs): (&State, &Inputs),
    states: [Coordinate; N],
    controls: [Control; M],
) -> Result<Linear<N, M>, LinearError> {
    if chart::mixed(&states) {
        return Err(LinearError::Mixed);
    }
    let instant = vehicle.instant(world, time_s, &state.to_array(), inputs);
    vehicle.check(&instant)?;
    if instant.flow.speed_mps <= 0.0 {
        return Err(LinearError::AtRest);
    }
    let point = Point::new((vehicle, world), time_s, state, inputs);
    let rates = |point: &Point<'_>| -> [f64; N] {
        let rates = point.rates();
        states.map(|coordinate| rates.of(coordinate))
    };
    let (mut a, mut b) = ([[0.0; N]; N], [[0.0; M]; N]);
    for (j, &coordinate) in states.iter().enumerate() {
        let step = coordinate.step();
        let up = rates(&point.moved(coordinate, step));
        let down = rates(&point.moved(coordinate, -step));
        for i in 0..N {
            a[i][j] = (up[i] - down[i]) / (2.0 * step);
        }
    }
    for (j, &control) in controls.iter().enumerate() {
        let (up, by_up) = point.steered(control, control.step());
        let (down, by_down) = point.steered(control, -control.step());
        let (up, down) = (rates(&up), rates(&down));
        for i in 0..N {
            b[i][j] = (up[i] - down[i]) / (by_up - by_down);
        }
    }
    Ok(Linear { states, inputs: controls, a, b, drift: rates(&point) })
}
