//! Level trim as the tools of the check cases made it: pitch, throttle and elevator; bank, aileron and rudder stay nil.

use base::factors::RAD_PER_DEG;
use base::frames::{Attitude, Fixed, Ned, Vec3};
use base::geodesy::Geodetic;
use base::numerics::least_squares::{self, Stop, Variable};
use flight::controls::{Inputs, Surfaces};
use flight::earth::Earth;
use flight::vehicle::{State, StateArray, Vehicle, World};

/// Half the time over which rates of the local level are taken, s.
const HALF_S: f64 = 0.01;

/// A trimmed state and what it takes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Trimmed {
    /// The state.
    pub state: StateArray,
    /// Throttle and elevator.
    pub inputs: Inputs,
    /// Root sum square of what is left, m/s2 and rad/s2.
    pub residual: f64,
}

/// Trims level flight over this place with this velocity over the ground and this heading: no acceleration along the path
/// and down, no pitching acceleration, angles to the local level at rest. `None` when there is no such flight.
#[must_use]
pub fn level_trim(
    vehicle: &Vehicle,
    world: &World<'_>,
    place: Geodetic,
    velocity: Vec3<Ned>,
    heading_rad: f64,
) -> Option<Trimmed> {
    let earth = world.earth;
    let position = earth.position(place);
    let speed = velocity.norm();
    let build = |x: &[f64]| {
        let attitude = Attitude { heading_rad, pitch_rad: x[0], bank_rad: 0.0 };
        let surfaces = Surfaces { elevator_rad: x[2], ..Surfaces::default() };
        let inputs = Inputs { surfaces, throttle: x[1], propeller: 0.0 };
        (steady(&earth, position, velocity, attitude), inputs)
    };
    let residuals = |x: &[f64], out: &mut [f64]| {
        let (state, inputs) = build(x);
        let rate = vehicle.rate(world, 0.0, &state, &inputs);
        let acceleration = level_acceleration(&earth, &state, &rate);
        out[0] = acceleration.dot(velocity) / speed;
        out[1] = acceleration.z;
        out[2] = rate[11];
    };
    let unknown = |start: f64, low: f64, high: f64| Variable { start, low, high, scale: 0.1 };
    let unknowns =
        [unknown(0.05, -0.3, 0.7), unknown(0.139, 0.0, 1.0), unknown(-0.056, -0.42, 0.42)];
    let control = least_squares::Control { residual: 1e-10, ..Default::default() };
    let fit = least_squares::minimize(residuals, &unknowns, 3, &control);
    if fit.stop == Stop::NotFinite || fit.residual_norm > 1e-6 {
        return None;
    }
    let (state, inputs) = build(&fit.values);
    Some(Trimmed { state, inputs, residual: fit.residual_norm })
}

/// State whose angles to the local level do not change: body rates are the turn of the earth and that of the local level
/// along the way.
fn steady(
    earth: &Earth,
    position: Vec3<Fixed>,
    velocity: Vec3<Ned>,
    attitude: Attitude,
) -> StateArray {
    let state = State::at(earth, position, velocity, attitude, Vec3::ZERO);
    let at = |time_s: f64| earth.place(position + state.velocity_mps * time_s).ned_from_fixed;
    let (before, after, now) = (at(-HALF_S), at(HALF_S), at(0.0));
    // The rotation's rate is that of the cross product with the level's turn, expressed in the local level.
    let slope = |row: usize, column: usize| {
        (0..3)
            .map(|k| (after.rows()[row][k] - before.rows()[row][k]) * now.rows()[column][k])
            .sum::<f64>()
            / (2.0 * HALF_S)
    };
    let level = Vec3::<Ned>::new(slope(1, 2), slope(2, 0), slope(0, 1));
    let turn = now.apply(earth.turn()) + level;
    let rates = attitude.body_from_ned().apply(turn);
    State { rates_radps: rates, ..state }.to_array()
}

/// Rate of the velocity expressed in the local level, m/s2.
fn level_acceleration(earth: &Earth, state: &StateArray, rate: &StateArray) -> Vec3<Ned> {
    let at = |time_s: f64| {
        let moved: StateArray = std::array::from_fn(|i| state[i] + rate[i] * time_s);
        State::from_array(&moved).velocity_on(earth)
    };
    (at(HALF_S) - at(-HALF_S)) * (0.5 / HALF_S)
}

/// Pitch of a trimmed state, degrees.
#[must_use]
pub fn pitch_deg(earth: &Earth, trimmed: &Trimmed) -> f64 {
    State::from_array(&trimmed.state).attitude_on(earth).pitch_rad / RAD_PER_DEG
}
