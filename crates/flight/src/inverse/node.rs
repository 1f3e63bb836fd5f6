//! The equations of one node: from the six unknowns to what is left over.

use base::factors::STANDARD_GRAVITY_MPS2;
use base::frames::{Body, Fixed, Rot, Vec3};
use base::math::{asin, atan2, cos, sin, wrap_pi};

use super::{ANGLE_WEIGHT_MPS2, Aim, Solved, Task, turned};
use crate::controls::{Inputs, Surfaces};
use crate::vehicle::{Quaternion, State, StateArray};

/// Unknowns: incidence, sideslip, bank about the velocity from that of the node before, elevator, aileron, rudder, rad.
pub(super) type Unknowns = [f64; 6];
/// What is left over: aim (two), lateral force, roll, pitch, yaw; m/s2 and rad/s2.
pub(super) type Residuals = [f64; 6];

/// What is known at a node before it is solved.
#[derive(Debug, Clone, Copy)]
pub(super) struct Known {
    pub(super) time_s: f64,
    pub(super) position_m: Vec3<Fixed>,
    /// Over the ground.
    pub(super) velocity_mps: Vec3<Fixed>,
    pub(super) engine: f64,
    /// Path axes before the bank: forward, right, down.
    pub(super) axes: [Vec3<Fixed>; 3],
    pub(super) through_air_mps: Vec3<Fixed>,
    pub(super) rates_radps: Vec3<Body>,
    pub(super) accelerations_radps2: Vec3<Body>,
    /// Incidence that is held instead of what the aim asks of the lift, rad.
    pub(super) held_rad: Option<f64>,
}

/// One evaluation.
pub(super) struct Evaluated {
    pub(super) state: StateArray,
    pub(super) rate: StateArray,
    pub(super) residuals: Residuals,
    /// What is left over of the aim of the lift, m/s2.
    pub(super) aim_mps2: f64,
    fixed_from_body: Rot<Body, Fixed>,
    load_factor: f64,
    side_mps2: f64,
}

/// Turns path axes about the velocity and by incidence and sideslip: body axes as columns.
fn body_axes(axes: &[Vec3<Fixed>; 3], x: &Unknowns) -> (Rot<Body, Fixed>, Vec3<Fixed>) {
    let (sa, ca) = (sin(x[0]), cos(x[0]));
    let (sb, cb) = (sin(x[1]), cos(x[1]));
    let (sm, cm) = (sin(x[2]), cos(x[2]));
    let [forward, right, down] = *axes;
    let (across, below) = (right * cm + down * sm, down * cm - right * sm);
    let flat = forward * cb - across * sb;
    let nose = flat * ca - below * sa;
    let wing = forward * sb + across * cb;
    let floor = flat * sa + below * ca;
    let rows = [[nose.x, wing.x, floor.x], [nose.y, wing.y, floor.y], [nose.z, wing.z, floor.z]];
    (Rot::from_rows_unchecked(rows), below)
}

impl Task<'_> {
    pub(super) fn known(
        &self,
        time_s: f64,
        moving: &[f64; 7],
        (rates, accelerations): (Vec3<Body>, Vec3<Body>),
        down_before: Vec3<Fixed>,
    ) -> Option<Known> {
        let position_m = Vec3::new(moving[0], moving[1], moving[2]);
        let velocity_mps: Vec3<Fixed> = Vec3::new(moving[3], moving[4], moving[5]);
        let height_m = self.world.earth.height_m(position_m);
        let wind = self.world.wind.at(time_s, height_m).velocity_mps;
        let through_air_mps = velocity_mps - Vec3::new(wind.x, wind.y, wind.z);
        let forward = through_air_mps.unit()?;
        let down = (down_before - forward * down_before.dot(forward)).unit()?;
        let known = self.world.air.covers(height_m);
        known.then_some(Known {
            time_s,
            position_m,
            velocity_mps,
            engine: moving[6],
            axes: [forward, down.cross(forward), down],
            through_air_mps,
            rates_radps: rates,
            accelerations_radps2: accelerations,
            held_rad: None,
        })
    }

    pub(super) fn evaluate(&self, node: usize, known: &Known, x: &Unknowns) -> Evaluated {
        let asked = &self.asked[node];
        let (fixed_from_body, down_of_lift) = body_axes(&known.axes, x);
        let state = State {
            position_m: known.position_m,
            velocity_mps: known.velocity_mps,
            attitude: Quaternion::from_rotation(&fixed_from_body),
            rates_radps: known.rates_radps,
            engine: known.engine,
            surfaces_rad: [x[3], x[4], x[5]],
        }
        .to_array();
        let rate = self.vehicle.rate(&self.world, known.time_s, &state, &self.inputs(node, x));
        let felt =
            Vec3::new(rate[3], rate[4], rate[5]) - self.world.earth.gravitation(known.position_m);
        let turning = known.accelerations_radps2;
        let felt_body = fixed_from_body.inverse().apply(felt);
        let [side_station, load_station] = self.stations_m;
        let side_mps2 = felt_body.y + side_station * turning.z;
        let pulled = -felt.dot(down_of_lift);
        let pulled_station = pulled + load_station * turning.y;
        let rows = fixed_from_body.rows();
        let bank = || atan2(rows[2][1], rows[2][2]);
        let angle = |by: f64| ANGLE_WEIGHT_MPS2 * wrap_pi(by);
        let [aim, other, side] = match asked.aim {
            Aim::PitchAndBank { pitch_rad, bank_rad } => {
                let pitch = asin((-rows[2][0]).clamp(-1.0, 1.0));
                [angle(pitch - pitch_rad), angle(bank() - bank_rad), side_mps2 - asked.side_mps2]
            }
            Aim::LoadAndBank { load_factor, bank_rad } => {
                let load = pulled_station - STANDARD_GRAVITY_MPS2 * load_factor;
                [load, angle(bank() - bank_rad), side_mps2 - asked.side_mps2]
            }
            Aim::LevelAndBank { bank_rad, height_m } => {
                let levelled = self.levelling(known, &rate, height_m);
                let pitching = load_station * turning.y * rows[2][2];
                [levelled - pitching, angle(bank() - bank_rad), side_mps2 - asked.side_mps2]
            }
            Aim::ClimbAndBank { climb_rad, climb_rate_radps, bank_rad } => {
                let bent = climbing(known, &rate, (climb_rad, climb_rate_radps));
                let pitching = load_station * turning.y * rows[2][2];
                [bent - pitching, angle(bank() - bank_rad), side_mps2 - asked.side_mps2]
            }
            Aim::Attitude(wanted) => {
                let miss = turned(&wanted, &fixed_from_body) * ANGLE_WEIGHT_MPS2;
                [miss.y, miss.x, miss.z]
            }
        };
        let asked_mps2 = aim;
        let aim = known.held_rad.map_or(aim, |held| ANGLE_WEIGHT_MPS2 * (x[0] - held));
        let residuals =
            [aim, other, side, rate[10] - turning.x, rate[11] - turning.y, rate[12] - turning.z];
        let load_factor = pulled / STANDARD_GRAVITY_MPS2;
        Evaluated {
            state,
            rate,
            residuals,
            aim_mps2: asked_mps2,
            fixed_from_body,
            load_factor,
            side_mps2,
        }
    }

    /// Downward acceleration less the one that brings climb and height back, m/s2.
    fn levelling(&self, known: &Known, rate: &StateArray, height_m: f64) -> f64 {
        let above_m = self.world.earth.height_m(known.position_m) - height_m;
        let pace = 1.0 / LEVEL_S;
        let wanted = pace * (pace * above_m - 2.0 * known.velocity_mps.z);
        rate[5] - wanted
    }

    pub(super) fn inputs(&self, node: usize, x: &Unknowns) -> Inputs {
        let surfaces = Surfaces {
            elevator_rad: x[3],
            aileron_rad: x[4],
            rudder_rad: x[5],
            flap_rad: self.flap_rad,
        };
        Inputs { surfaces, throttle: self.asked[node].throttle, propeller: self.propeller }
    }
}

/// Downward acceleration less the one that bends the path as asked and brings its climb angle back, m/s2:
/// `V' sin(climb) + V climb' cos(climb)` is the acceleration upwards. The air does not change its motion.
fn climbing(known: &Known, rate: &StateArray, (climb_rad, climb_rate_radps): (f64, f64)) -> f64 {
    let air = known.through_air_mps;
    let speed = air.norm();
    let sine = (-air.z / speed).clamp(-1.0, 1.0);
    let gain = (rate[3] * air.x + rate[4] * air.y + rate[5] * air.z) / speed;
    let wanted = climb_rate_radps + (climb_rad - asin(sine)) / CLIMB_S;
    rate[5] + gain * sine + speed * wanted * (1.0 - sine * sine).sqrt()
}

/// How quickly a climb angle is brought back, s.
const CLIMB_S: f64 = 1.0;

/// How quickly height is brought back in level flight, s: a pilot's pace.
const LEVEL_S: f64 = 2.0;

impl Evaluated {
    pub(super) fn norm(&self) -> f64 {
        self.residuals.iter().map(|value| value * value).sum::<f64>().sqrt()
    }
    pub(super) fn solved(&self, known: &Known, x: &Unknowns, control_power: [f64; 3]) -> Solved {
        Solved {
            time_s: known.time_s,
            state: self.state,
            rate: self.rate,
            fixed_from_body: self.fixed_from_body,
            through_air_mps: known.through_air_mps,
            alpha_rad: x[0],
            beta_rad: x[1],
            load_factor: self.load_factor,
            side_mps2: self.side_mps2,
            short_mps2: known.held_rad.map_or(0.0, |_| self.aim_mps2.abs()),
            control_power,
        }
    }
}
