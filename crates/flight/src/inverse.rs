//! Inverse flight: from what is asked of the airplane to the hands and feet that do it.
//!
//! A [`Task`] asks something at every node of an even grid in time (an [`Aim`]: attitude, or load factor and bank, or level
//! flight at a bank) with a throttle; speed and path follow. [`march`] finds, node after node, incidence, sideslip, bank about
//! the velocity, elevator, aileron and rudder from six equations: the aim (two), the lateral specific force (one), and the three
//! moments that turn the airplane as its attitude demands. What turns it ([`Turning`]) comes from the attitudes of the sweep
//! before, so that a flight is marched two or three times. The velocity is a vector and its frame is carried along, so that
//! loops and rolls are no special case. [`refly`] then integrates the rigid body with these controls and a little feedback, and
//! says how much of the work the feedback did: the proof that the controls fly the flight.
//!
//! Specific forces are those felt at a *station* ahead of the center of gravity, the center of percussion of rudder and
//! elevator, about where the instrument panel is: there the side force of a rudder that starts a yaw is cancelled by the
//! yawing itself. At the center of gravity the same demand has unstable zero dynamics, which is why a marched inversion
//! oscillates. Only the angular acceleration is counted for the distance, so that in steady flight both places feel the same.
//!
//! Nothing is clipped silently: a control that would have to go further or faster than it can is an [`Excess`] with numbers,
//! lift that is not there a [`Shortfall`], or within a stated allowance flight at the greatest lift with what lacks
//! ([`Solved::short_mps2`]). The incidence stays on the branch below the greatest lift.
//!
//! Range: flat earth, air and wind of the day (a wind that changes with height is met where the airplane is). Source: equations
//! of SL-2003; the method of marching is our own.

pub mod causes;
mod limits;
mod march;
mod node;
mod refly;
mod smooth;

use base::factors::{MPS_PER_KT, RAD_PER_DEG, STANDARD_GRAVITY_MPS2};
use base::frames::{Body, Fixed, Rot, Vec3};

use crate::vehicle::{StateArray, Vehicle, World};

pub use limits::{Beyond, Excess, excesses};
pub use march::{Turning, march};
pub use refly::{Feedback, Reflown, Tracking, refly};
pub use smooth::Smoothing;

/// What is asked at one instant.
#[derive(Debug, Clone, Copy)]
pub enum Aim {
    /// Nose above the horizon and bank of the wings. Not near 90 degrees of bank, where pitch says nothing of lift.
    PitchAndBank {
        /// Nose above the horizon, rad, within 75 degrees.
        pitch_rad: f64,
        /// Bank of the body, right positive, rad.
        bank_rad: f64,
    },
    /// Load factor (specific force normal to the path in the plane of symmetry, over standard gravity) and bank of the wings.
    LoadAndBank {
        /// Load factor.
        load_factor: f64,
        /// Bank of the body, right positive, rad.
        bank_rad: f64,
    },
    /// Climb angle of the path through the air, its rate, and bank of the wings. Not near 90 degrees of bank, where lift says
    /// nothing of climb. A climb angle that is off is brought back in some seconds.
    ClimbAndBank {
        /// Climb angle, rad, within 75 degrees.
        climb_rad: f64,
        /// Its rate, rad/s.
        climb_rate_radps: f64,
        /// Bank of the body, right positive, rad.
        bank_rad: f64,
    },
    /// Height held at this bank; a climb that is there at the start is brought to nil in some seconds.
    LevelAndBank {
        /// Bank of the body, right positive, rad.
        bank_rad: f64,
        /// The height, m.
        height_m: f64,
    },
    /// All of the attitude, for figures that pass the vertical: the path and the ball follow.
    Attitude(Rot<Body, Fixed>),
}

/// One instant of a task.
#[derive(Debug, Clone, Copy)]
pub struct Asked {
    /// What.
    pub aim: Aim,
    /// Throttle, nil to one.
    pub throttle: f64,
    /// Lateral specific force at the station, right positive, m/s2: nil keeps the ball centered. Ignored by
    /// [`Aim::Attitude`].
    pub side_mps2: f64,
}

/// What is to be flown.
#[derive(Debug, Clone, Copy)]
pub struct Task<'a> {
    /// The airplane, its surfaces free of limits and lag (see [`freed`]): what would be needed is found first, and then held
    /// against what there is.
    pub vehicle: &'a Vehicle,
    /// Where; the earth must be at rest and flat.
    pub world: World<'a>,
    /// Time of the first node, s.
    pub time_first_s: f64,
    /// Between nodes, s: 0.05 is usual.
    pub step_s: f64,
    /// The nodes.
    pub asked: &'a [Asked],
    /// Propeller lever, nil to one.
    pub propeller: f64,
    /// Flaps, down positive, rad.
    pub flap_rad: f64,
    /// Incidence of the greatest lift, rad, where known: the flight stays below.
    pub alpha_most_rad: Option<f64>,
    /// Lift that may lack, m/s2: up to this the flight goes on at the greatest lift, and says what lacked.
    pub short_most_mps2: f64,
    /// Stations ahead of the center of gravity, m: for the lateral force and for the load factor. See [`stations_m`].
    pub stations_m: [f64; 2],
}

impl Task<'_> {
    /// Time of a node, s.
    #[must_use]
    pub fn time_s(&self, node: usize) -> f64 {
        self.time_first_s + self.step_s * node as f64
    }
}

/// One node solved.
#[derive(Debug, Clone, Copy)]
pub struct Solved {
    /// Time, s.
    pub time_s: f64,
    /// State, with the surfaces where they must be.
    pub state: StateArray,
    /// Its rate of change.
    pub rate: StateArray,
    /// Attitude: body to earth axes.
    pub fixed_from_body: Rot<Body, Fixed>,
    /// Velocity through the air, earth axes, m/s.
    pub through_air_mps: Vec3<Fixed>,
    /// Angle of attack, rad.
    pub alpha_rad: f64,
    /// Sideslip, from the right positive, rad.
    pub beta_rad: f64,
    /// Specific force normal to the path in the plane of symmetry, over standard gravity, at the center of gravity.
    pub load_factor: f64,
    /// Lateral specific force at the station, right positive, m/s2.
    pub side_mps2: f64,
    /// What lacks of the aim where the greatest lift does not give it, m/s2 (of an angle: times g); nil elsewhere.
    pub short_mps2: f64,
    /// Angular acceleration of one radian of aileron (roll), elevator (pitch) and rudder (yaw), 1/s2.
    pub control_power: [f64; 3],
}

/// What the airplane does not give.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum Shortfall {
    /// The load factor is beyond the greatest lift.
    #[error(
        "the wing would stall: {needed:.2} g asked for at {speed_kt:.0} kt true, {available:.2} g there"
    )]
    Lift {
        /// When, s.
        time_s: f64,
        /// Asked for, standard gravities.
        needed: f64,
        /// At the greatest lift, standard gravities.
        available: f64,
        /// True airspeed, kt.
        speed_kt: f64,
    },
    /// The attitude needs more incidence than that of the greatest lift.
    #[error(
        "the wing would stall: {:.1} degrees of incidence needed at {speed_kt:.0} kt true, greatest lift at {:.1}",
        .needed_rad / RAD_PER_DEG, .available_rad / RAD_PER_DEG
    )]
    Incidence {
        /// When, s.
        time_s: f64,
        /// Needed, rad.
        needed_rad: f64,
        /// Of the greatest lift, rad.
        available_rad: f64,
        /// True airspeed, kt.
        speed_kt: f64,
    },
    /// No controls were found that do what is asked.
    #[error("no controls found that fly it at {speed_kt:.0} kt true: {miss:.2} m/s2 are left over")]
    NoSolution {
        /// When, s.
        time_s: f64,
        /// What is left over, m/s2.
        miss: f64,
        /// True airspeed, kt.
        speed_kt: f64,
    },
    /// It leaves the airplane's data, or the air that is known.
    #[error("it leaves the range of the airplane's data or of the air at {speed_kt:.0} kt true")]
    Outside {
        /// When, s.
        time_s: f64,
        /// True airspeed, kt.
        speed_kt: f64,
    },
}

impl Shortfall {
    /// When, s.
    #[must_use]
    pub const fn time_s(&self) -> f64 {
        match *self {
            Self::Lift { time_s, .. }
            | Self::Incidence { time_s, .. }
            | Self::NoSolution { time_s, .. }
            | Self::Outside { time_s, .. } => time_s,
        }
    }
    /// What to do about it.
    #[must_use]
    pub const fn hint(&self) -> &'static str {
        match self {
            Self::Lift { .. } | Self::Incidence { .. } => {
                "enter faster or lighter, or ask for less load or a lower nose"
            }
            Self::NoSolution { .. } => "ask for something gentler",
            Self::Outside { .. } => "fly more gently, or lower",
        }
    }
}

/// The vehicle with its surfaces free of limits, rates and lags.
#[must_use]
pub fn freed(vehicle: Vehicle) -> Vehicle {
    Vehicle { actuators: crate::controls::Actuators::DIRECT, ..vehicle }
}

/// Stations ahead of the center of gravity, m, of a vehicle at a state: where the side force of the rudder is cancelled by the
/// yaw that it starts, and where the lift of the elevator is cancelled by the pitching.
#[must_use]
pub fn stations_m(vehicle: &Vehicle, world: &World<'_>, state: &StateArray) -> [f64; 2] {
    const PROBE_RAD: f64 = 0.01;
    let budget = |elevator_rad: f64, rudder_rad: f64| {
        let mut moved = *state;
        moved[14] = elevator_rad;
        moved[16] = rudder_rad;
        let surfaces = crate::controls::Surfaces {
            elevator_rad,
            aileron_rad: state[15],
            rudder_rad,
            flap_rad: 0.0,
        };
        let inputs = crate::controls::Inputs { surfaces, throttle: 0.5, propeller: 1.0 };
        vehicle.instant(world, 0.0, &moved, &inputs).budget.total()
    };
    let (still, up, left) = (budget(0.0, 0.0), budget(PROBE_RAD, 0.0), budget(0.0, PROBE_RAD));
    let per_kg = vehicle.mass.per_kg();
    let inertia = vehicle.mass.inertia();
    let ahead = |force_n: f64, moment_nm: f64, inertia: f64| {
        let arm_m = inertia * per_kg * force_n / moment_nm;
        if arm_m.is_finite() { arm_m.clamp(0.0, 5.0) } else { 0.0 }
    };
    [
        ahead(
            left.force_n.y - still.force_n.y,
            -(left.moment_nm.z - still.moment_nm.z),
            inertia.zz,
        ),
        ahead(up.force_n.z - still.force_n.z, up.moment_nm.y - still.moment_nm.y, inertia.yy),
    ]
}

/// Rotation vector of a small rotation, rad: from its antisymmetric part.
fn rotation_vector(rows: &[[f64; 3]; 3]) -> Vec3<Body> {
    let v = Vec3::new(
        0.5 * (rows[2][1] - rows[1][2]),
        0.5 * (rows[0][2] - rows[2][0]),
        0.5 * (rows[1][0] - rows[0][1]),
    );
    let sine = v.norm();
    if sine < 1e-9 { v } else { v * (base::math::asin(sine.min(1.0)) / sine) }
}

/// Rotation vector, in body axes, that takes one attitude to another.
fn turned(from: &Rot<Body, Fixed>, to: &Rot<Body, Fixed>) -> Vec3<Body> {
    let (a, b) = (from.rows(), to.rows());
    let mut rows = [[0.0; 3]; 3];
    for (i, row) in rows.iter_mut().enumerate() {
        for (j, value) in row.iter_mut().enumerate() {
            *value = a[0][i] * b[0][j] + a[1][i] * b[1][j] + a[2][i] * b[2][j];
        }
    }
    rotation_vector(&rows)
}

fn knots(mps: f64) -> f64 {
    mps / MPS_PER_KT
}

/// Weight of an angle against an acceleration, m/s2 for a radian: one g.
const ANGLE_WEIGHT_MPS2: f64 = STANDARD_GRAVITY_MPS2;

#[cfg(test)]
mod tests;
