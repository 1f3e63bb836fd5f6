//! Coordinated flight of a point mass through the vertical and inverted: the same forces, the path as a rotation.
//!
//! Climb and course angles are not defined straight up and down. Here the frame of the path (x along the velocity through the
//! air, z away from the lift) is carried as a quaternion `q`, relative to north-east-down. With `n` the load factor (lift over
//! weight, negative when pushing), `p` the roll rate of the lift about the velocity, and gravity written in the path frame,
//! `(gx, gy, gz)`:
//!
//! ```text
//! V' = ((T - D) / m + gx) / (1 + m_r / m)
//! omega = (p, (n g - gz) / V, gy / V)      (rad/s, in the path frame)
//! q' = q (0, omega) / 2
//! ```
//!
//! Nil roll rate carries the lift along without twist about the velocity. Same assumptions as [`super`]: no sideslip, thrust
//! along the velocity, lift in the plane of symmetry. Range: any attitude, speed above nil, incidence below the stall.
//! Source: kinematics of a rotating frame, any text on flight mechanics (no source).

use base::factors::STANDARD_GRAVITY_MPS2;
use base::frames::{Ned, Path, Rot};

use super::{PointMass, SteadyPull, pull_of};

/// Index of a quantity in the state array.
pub mod state {
    /// True airspeed, m/s.
    pub const SPEED: usize = 0;
    /// First of the four components of the path's quaternion, the real one.
    pub const PATH: usize = 1;
    /// Height above mean sea level, m.
    pub const HEIGHT: usize = 5;
    /// North through the air, m.
    pub const NORTH: usize = 6;
    /// East through the air, m.
    pub const EAST: usize = 7;
    /// Angle that the path has pitched toward the lift, rad.
    pub const PITCHED: usize = 8;
    /// Work of thrust less drag for each kilogram, less what the turning propeller takes of it, J/kg (book-keeping).
    pub const WORK: usize = 9;
    /// Length of the state array.
    pub const COUNT: usize = 10;
}

/// State of the point mass; see [`state`] for the order.
pub type State = [f64; state::COUNT];

/// What the pilot commands at one instant.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Command {
    /// Lift over weight, negative when pushing.
    pub load_factor: f64,
    /// Roll rate of the lift about the velocity, rad/s, right positive.
    pub roll_rate_radps: f64,
    /// Share of full power, 0 to 1.
    pub power_share: f64,
}

/// Level flight to the north, wings level, at a speed and height.
#[must_use]
pub fn level(speed_mps: f64, height_m: f64) -> State {
    let mut x = [0.0; state::COUNT];
    x[state::SPEED] = speed_mps;
    x[state::PATH] = 1.0;
    x[state::HEIGHT] = height_m;
    x
}

/// The path frame of a state relative to north-east-down. The quaternion is brought to unit length first.
#[must_use]
pub fn path_from_ned(x: &State) -> Rot<Ned, Path> {
    let [w, i, j, k] = [0, 1, 2, 3].map(|at| x[state::PATH + at]);
    // Twice over the square of the length: the rotation is that of the quaternion of unit length.
    let s = 2.0 / (w * w + i * i + j * j + k * k);
    Rot::from_rows_unchecked([
        [1.0 - s * (j * j + k * k), s * (i * j + w * k), s * (i * k - w * j)],
        [s * (i * j - w * k), 1.0 - s * (i * i + k * k), s * (j * k + w * i)],
        [s * (i * k + w * j), s * (j * k - w * i), 1.0 - s * (i * i + j * j)],
    ])
}

impl PointMass<'_> {
    /// Time derivative of the state under a command, at any attitude.
    #[must_use]
    pub fn derivative_vertical(&self, x: &State, command: &Command) -> State {
        let pull =
            |speed, density| pull_of(&self.airplane.thrust, command.power_share, speed, density);
        self.derivative_vertical_pulled(x, (command.load_factor, command.roll_rate_radps), pull)
    }
    /// [`PointMass::derivative_vertical`] at a load factor and a roll rate of the lift, rad/s, with a power that stays: the same to
    /// rounding, in less time.
    #[must_use]
    pub fn derivative_vertical_at(
        &self,
        x: &State,
        (load_factor, roll_rate_radps): (f64, f64),
        pull: &SteadyPull<'_>,
    ) -> State {
        let pull = |speed, density| pull.of(speed, density);
        self.derivative_vertical_pulled(x, (load_factor, roll_rate_radps), pull)
    }
    #[inline]
    fn derivative_vertical_pulled(
        &self,
        x: &State,
        (load_factor, roll_rate_radps): (f64, f64),
        pull: impl Fn(f64, f64) -> (f64, Option<f64>),
    ) -> State {
        use state::{COUNT, EAST, HEIGHT, NORTH, PATH, PITCHED, SPEED, WORK};
        let (speed, height) = (x[SPEED], x[HEIGHT]);
        let path = path_from_ned(x);
        let [along, across, lift] = path.rows();
        let density = self.air.at(height);
        let pressure_area = 0.5 * density * speed * speed * self.airplane.wing_area.to_m2();
        let lift_coefficient = load_factor * self.weight_n() / pressure_area;
        let drag = pressure_area * self.drag_coefficient(lift_coefficient);
        let g = STANDARD_GRAVITY_MPS2;
        let (thrust, added) = pull(speed, density);
        let faster = ((thrust - drag) / self.mass_kg + g * along[2])
            / (1.0 + added.unwrap_or(0.0) / self.mass_kg);
        let excess = faster - g * along[2];
        let p = roll_rate_radps;
        let pitching = g * (load_factor - lift[2]) / speed;
        let yawing = g * across[2] / speed;
        let [w, i, j, k] = [0, 1, 2, 3].map(|at| x[PATH + at]);
        let mut rate = [0.0; COUNT];
        rate[SPEED] = faster;
        rate[PATH] = -0.5 * (i * p + j * pitching + k * yawing);
        rate[PATH + 1] = 0.5 * (w * p + j * yawing - k * pitching);
        rate[PATH + 2] = 0.5 * (w * pitching + k * p - i * yawing);
        rate[PATH + 3] = 0.5 * (w * yawing + i * pitching - j * p);
        rate[HEIGHT] = -speed * along[2];
        rate[NORTH] = speed * along[0];
        rate[EAST] = speed * along[1];
        rate[PITCHED] = pitching;
        rate[WORK] = excess * speed;
        rate
    }
}

#[cfg(test)]
mod tests;
