//! From the states found to the columns of a motion: each quantity with the standard deviation that the whole system gives it.

#![allow(clippy::needless_range_loop, reason = "the indices are those of the formulas")]

use std::f64::consts::PI;

use base::factors::{RAD_PER_DEG, STANDARD_GRAVITY_MPS2};
use base::kinds::TrueAirspeed;
use base::math::{atan2, hypot, unwrap_angles};
use base::numerics::block_tridiagonal::Local;
use flight::air::Air;
use flight::airspeed::calibrated_from_true;

use crate::body::{self, D, INPUTS, Look, SPEED_LEAST_MPS};
use crate::heights::Heights;
use crate::joint::layout::{
    INCIDENCE, INCIDENCE_SIGMA, POSITION, SIDE_FREE_SHARE, SIDESLIP, SIDESLIP_SIGMA,
    SIDESLIP_UNSEEN_SIGMA, VELOCITY, WIND,
};
use crate::joint::{At, Found, IN_BORDER, IN_STATE, Scene, Turn, variance};
use crate::state::{Column, Motion};

/// Faster than any airplane these lessons are flown in, m/s.
const SPEED_MOST_MPS: f64 = 400.0;
/// Load factor is never known better: quick pulls are smoothed.
const LOAD_FLOOR: f64 = 0.01;
/// What gusts of one meter a second do to the load factor more quickly than is followed, g (reckoned for the plunging of a light
/// airplane, see `gusts`; found on invented flights).
const LOAD_BY_GUST: f64 = 0.04;
/// The same where a device feels the load four times a second and oftener.
const LOAD_BY_GUST_FELT: f64 = 0.02;
/// Mean share of the side force of a sideslip that nobody sees, held or not, that the rudder takes away (found on invented flights).
const RUDDER_SHARE: f64 = 0.3;

/// What a sideslip does to incidence beyond what is modeled (the body's lift, controls held against each other, wash that meets the wing
/// aside), one standard deviation as a share of the sideslip: our judgement, no source; as much as the two slipped attempts of
/// `checks/flown` ask for, invented lessons would do with less.
const INCIDENCE_BY_SLIP: f64 = 0.1;
/// Jerk is taken to be new in every interval, but an airplane does not roll to and fro within a second: so much of the variance of
/// a rate is left of its mean over a second about a knot, for each axis (found on invented flights).
const RATE_SHARE: [f64; 3] = [0.35, 1.0, 0.5];
/// The same where the rate of roll is followed; sideslip, told by the load, is what moves the yaw.
const RATE_SHARE_FOLLOWED: [f64; 3] = [1.0, 1.0, 0.12];
/// Share of the difference of the rates before and after a knot by which the rate at the knot is off their mean.
const RATE_QUICK: f64 = 0.35;
/// Rates are never known better, rad/s.
const RATE_FLOOR: f64 = 0.05 * RAD_PER_DEG;

/// So many of the local derivatives are by inputs of the body.
const OF_BODY: usize = IN_STATE.len() - 1;

/// What the recording can support.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Support {
    /// Positions over the ground.
    pub(crate) place: bool,
    /// The level of incidence: an airplane or a recorded pitch.
    pub(crate) incidence: bool,
    /// A sensor of lateral force.
    pub(crate) sideslip: bool,
    /// Doubt in the square root of density, as a share of airspeed.
    pub(crate) density_share: f64,
}

/// Covariances of the inputs of a knot.
struct Doubt {
    matrix: [[f64; INPUTS]; INPUTS],
}

impl Doubt {
    fn at<const N: usize>(scene: &Scene, local: &Local<'_, N>) -> Self {
        let mut matrix = [[0.0; INPUTS]; INPUTS];
        for &(a, i) in &IN_STATE[..OF_BODY] {
            for &(b, j) in &IN_STATE[..OF_BODY] {
                if i < N && j < N {
                    matrix[a][b] += local.covariance(i, j);
                }
            }
        }
        for (a, g) in IN_BORDER {
            for (b, h) in IN_BORDER {
                matrix[a][b] = local.border_covariance(g, h);
            }
            for &(b, j) in &IN_STATE[..OF_BODY] {
                if j < N {
                    let covariance = local.with_border(g, j);
                    matrix[a][b] += covariance;
                    matrix[b][a] += covariance;
                }
            }
        }
        if N <= SIDESLIP {
            let slip = SIDESLIP_UNSEEN_SIGMA;
            let free = hypot(SIDE_FREE_SHARE * slip, scene.gust_mps / scene.speed_mps);
            matrix[body::SIDESLIP][body::SIDESLIP] = slip * slip;
            matrix[body::SIDE_FREE][body::SIDE_FREE] = free * free;
            // A sideslip that is not seen is mostly one that is held: the rudder takes part of its side force away.
            let held = -RUDDER_SHARE * slip * slip;
            matrix[body::SIDESLIP][body::SIDE_FREE] = held;
            matrix[body::SIDE_FREE][body::SIDESLIP] = held;
        }
        if N <= INCIDENCE {
            matrix[body::INCIDENCE][body::INCIDENCE] =
                scene.incidence_sigma * scene.incidence_sigma;
        }
        Self { matrix }
    }
    fn sigma(&self, slope: &[f64; INPUTS]) -> f64 {
        let mut total = 0.0;
        for (row, a) in self.matrix.iter().zip(slope) {
            if *a != 0.0 {
                total += a * row.iter().zip(slope).map(|(c, b)| c * b).sum::<f64>();
            }
        }
        total.max(0.0).sqrt()
    }
}

/// Columns under way.
#[derive(Default)]
struct Columns {
    north: Column,
    east: Column,
    height: Column,
    ground_speed: Column,
    track: Column,
    climb: Column,
    heading: Column,
    path_angle: Column,
    bank: Column,
    /// By how much each radian of sideslip puts the bank off.
    bank_by_sideslip: Vec<f64>,
    pitch: Column,
    pitch_relative: Column,
    load: Column,
    incidence: Column,
    sideslip: Column,
    lateral: Column,
    true_airspeed: Column,
    calibrated: Column,
    wind_north: Column,
    wind_east: Column,
}

impl Column {
    fn push(&mut self, value: f64, sigma: f64) {
        self.value.push(value);
        self.sigma.push(sigma);
    }
    fn add(&mut self, dual: &D, doubt: &Doubt, factor: f64) {
        self.push(factor * dual.value, factor.abs() * doubt.sigma(&dual.slope));
    }
    /// An angle is never less known than one of which nothing is known at all: evenly spread over the circle.
    fn within_circle(mut self) -> Self {
        let most = PI / 3.0f64.sqrt();
        for sigma in &mut self.sigma {
            *sigma = sigma.min(most);
        }
        self
    }
    fn unwrapped(mut self) -> Self {
        self.value = unwrap_angles(&self.value);
        self
    }
}

/// The columns of a motion; air, times, notes and gaps are the caller's.
pub(crate) fn columns<const N: usize>(
    scene: &Scene,
    found: &Found<N>,
    air: &[Air],
    support: &Support,
    heights: &mut Heights,
) -> Motion {
    let mut columns = Columns::default();
    let mut turning: Vec<[(f64, f64); 3]> = Vec::new();
    // From the last knot to the first: turned over in the end.
    found.each(scene, |at| {
        let doubt = Doubt::at(scene, at.local);
        let knot =
            Knot { look: at.look, doubt: &doubt, tilt: Tilt::of(scene, at.state), at: at.knot };
        columns.of_air(&knot, scene, (&air[at.knot], support.density_share));
        columns.of_attitude(&knot, scene);
        columns.of_place(scene, at);
        heights.see(at.local);
        if let Some(turn) = at.turn {
            turning.push(std::array::from_fn(|axis| rate(scene, at, turn, axis)));
        }
    });
    columns.turn_over();
    turning.reverse();
    let shares = if scene.follows_roll { RATE_SHARE_FOLLOWED } else { RATE_SHARE };
    let [roll_rate, pitch_rate, yaw_rate] = rates(&scene.time_s, &turning, shares);
    let when = |is: bool, column: Column| is.then_some(column);
    let place = support.place;
    Motion {
        gusts_mps: Some(scene.gust_mps),
        time_s: scene.time_s.clone(),
        north_m: when(place, columns.north),
        east_m: when(place, columns.east),
        height_m: Some(columns.height),
        ground_speed_mps: when(place, columns.ground_speed),
        track_rad: when(place, columns.track.unwrapped().within_circle()),
        climb_mps: Some(columns.climb),
        // Without positions the caller takes differences of the variances, which grow without end.
        heading_rad: Some(if place {
            columns.heading.unwrapped().within_circle()
        } else {
            columns.heading.unwrapped()
        }),
        path_angle_rad: Some(columns.path_angle.within_circle()),
        bank_rad: Some(columns.bank.within_circle()),
        bank_by_sideslip: (!support.sideslip).then_some(columns.bank_by_sideslip),
        pitch_rad: when(support.incidence, columns.pitch.within_circle()),
        pitch_relative_rad: Some(columns.pitch_relative.within_circle()),
        load_factor: Some(columns.load),
        angle_of_attack_rad: when(support.incidence, columns.incidence),
        sideslip_rad: when(support.sideslip, columns.sideslip),
        lateral_load: when(support.sideslip, columns.lateral),
        roll_rate_radps: Some(roll_rate),
        pitch_rate_radps: Some(pitch_rate),
        yaw_rate_radps: Some(yaw_rate),
        true_airspeed_mps: Some(columns.true_airspeed),
        calibrated_airspeed_mps: Some(columns.calibrated),
        wind_north_mps: when(place, columns.wind_north),
        wind_east_mps: when(place, columns.wind_east),
        ..Motion::default()
    }
}

/// A knot worked out.
struct Knot<'a> {
    look: &'a Look,
    doubt: &'a Doubt,
    tilt: Tilt,
    /// Index.
    at: usize,
}

/// The knot's own share of incidence is incidence in part; the rest is a gust from below that tilts the path through the air.
#[derive(Debug, Clone, Copy)]
struct Tilt {
    /// That share found, rad.
    whole: f64,
    /// How much of it is incidence, and the doubt of that division, rad.
    own: f64,
    divided_sigma: f64,
}

impl Tilt {
    fn of<const N: usize>(scene: &Scene, x: &[f64; N]) -> Self {
        let own =
            INCIDENCE_SIGMA * INCIDENCE_SIGMA / (scene.incidence_sigma * scene.incidence_sigma);
        let whole = if N > INCIDENCE { x[INCIDENCE] } else { 0.0 };
        Self { whole, own, divided_sigma: INCIDENCE_SIGMA * (1.0 - own).max(0.0).sqrt() }
    }
}

impl Columns {
    fn turn_over(&mut self) {
        let all = [
            &mut self.north,
            &mut self.east,
            &mut self.height,
            &mut self.ground_speed,
            &mut self.track,
            &mut self.climb,
            &mut self.heading,
            &mut self.path_angle,
            &mut self.bank,
            &mut self.pitch,
            &mut self.pitch_relative,
            &mut self.load,
            &mut self.incidence,
            &mut self.sideslip,
            &mut self.lateral,
            &mut self.true_airspeed,
            &mut self.calibrated,
            &mut self.wind_north,
            &mut self.wind_east,
        ];
        for column in all {
            column.value.reverse();
            column.sigma.reverse();
        }
        self.bank_by_sideslip.reverse();
    }
    fn of_air(&mut self, knot: &Knot<'_>, scene: &Scene, (air, density_share): (&Air, f64)) {
        let Knot { look, doubt, tilt, .. } = knot;
        let speed = look.flow.speed;
        let (mps, sigma) = (speed.value, hypot(doubt.sigma(&speed.slope), scene.gust_mps));
        // Slower than is told apart: anything down to nil.
        let sigma = if mps <= SPEED_LEAST_MPS { sigma.max(SPEED_LEAST_MPS) } else { sigma };
        self.true_airspeed.push(mps, sigma);
        let known = TrueAirspeed::from_mps(mps.min(SPEED_MOST_MPS));
        let calibrated = calibrated_from_true(known, air).to_mps();
        let sigma = hypot(sigma * calibrated / known.to_mps(), density_share * calibrated);
        self.calibrated.push(calibrated, sigma);
        let mut path = look.path_angle();
        path.value += (1.0 - tilt.own) * tilt.whole;
        path.slope[body::INCIDENCE] += 1.0 - tilt.own;
        self.path_angle.push(path.value, hypot(doubt.sigma(&path.slope), tilt.divided_sigma));
        let load = look.flow.lift.times(1.0 / STANDARD_GRAVITY_MPS2);
        let by_gust = if scene.mount.is_some() { LOAD_BY_GUST_FELT } else { LOAD_BY_GUST };
        let quick = hypot(LOAD_FLOOR, by_gust * scene.gust_mps);
        self.load.push(load.value, hypot(doubt.sigma(&load.slope), quick));
    }
    fn of_attitude(&mut self, knot: &Knot<'_>, scene: &Scene) {
        let Knot { look, doubt, tilt, .. } = knot;
        let bank = look.bank();
        self.bank.add(&bank, doubt, 1.0);
        let by_rudder = RUDDER_SHARE * bank.slope[body::SIDE_FREE];
        self.bank_by_sideslip.push(bank.slope[body::SIDESLIP] - by_rudder);
        self.heading.add(&look.heading(), doubt, 1.0);
        let pitch = look.pitch();
        let wind_from_right = crate::dual::dot(&look.flow.air, &look.axes[1]) / look.flow.speed;
        let slip = base::math::asin(wind_from_right.value.clamp(-1.0, 1.0));
        let in_slip = if scene.slip_by_load { in_slip(scene.slip_sigma[knot.at]) } else { 0.0 };
        self.pitch.push(pitch.value, hypot(doubt.sigma(&pitch.slope), in_slip));
        // The level of incidence moves every pitch alike.
        let mut relative = pitch;
        relative.slope[body::INCIDENCE_LEVEL] = 0.0;
        self.pitch_relative.add(&relative, doubt, 1.0);
        let mut incidence = look.incidence;
        incidence.value -= (1.0 - tilt.own) * tilt.whole;
        incidence.slope[body::INCIDENCE] *= tilt.own;
        let sigma = hypot(doubt.sigma(&incidence.slope), tilt.divided_sigma);
        self.incidence.push(incidence.value, hypot(sigma, in_slip));
        let sideslip = doubt.sigma(&wind_from_right.slope);
        // Sideslip is counted from the air without its gusts; a device feels some of what they do to it, a lateral load half of it.
        let left = match (scene.mount.is_some(), scene.slip_by_load) {
            (true, _) => 0.7,
            (false, true) => 0.5,
            (false, false) => 1.0,
        };
        let gusts = left * scene.gust_mps / look.flow.speed.value.max(SPEED_LEAST_MPS);
        self.sideslip.push(slip, hypot(sideslip, gusts));
        let lateral = look.force(1);
        // What gusts from the side do more quickly than is followed.
        let sigma = doubt.sigma(&lateral.slope) / STANDARD_GRAVITY_MPS2;
        let quick = if scene.slip_by_load { lateral_by_gusts(scene, knot) } else { 0.0 };
        self.lateral.push(lateral.value / STANDARD_GRAVITY_MPS2, hypot(sigma, quick));
    }
    fn of_place<const N: usize>(&mut self, scene: &Scene, at: &At<'_, N>) {
        let (k, x) = (at.knot, at.state);
        let p = |i: usize, j: usize| at.local.covariance(i, j);
        let root = |i: usize| p(i, i).max(0.0).sqrt();
        self.north.push(x[POSITION], root(POSITION));
        self.east.push(x[POSITION + 1], root(POSITION + 1));
        self.height.push(scene.height_of(k, x), root(POSITION + 2));
        self.wind_north.push(x[WIND], root(WIND));
        self.wind_east.push(x[WIND + 1], root(WIND + 1));
        let along = |row: &[f64; 3]| -> f64 { (0..3).map(|i| row[i] * x[VELOCITY + i]).sum() };
        let [rows_north, rows_east, rows_down] = &scene.places[k].rows;
        let (north, east) = (along(rows_north), along(rows_east));
        let speed = hypot(north, east);
        let spread = |row: &[f64; 3]| {
            let mut total = 0.0;
            for i in 0..3 {
                for j in 0..3 {
                    total += row[i] * row[j] * p(VELOCITY + i, VELOCITY + j);
                }
            }
            total.max(0.0).sqrt()
        };
        let (c, s) = (north / speed.max(0.5), east / speed.max(0.5));
        let level = |a: f64, b: f64| -> [f64; 3] {
            std::array::from_fn(|i| a * rows_north[i] + b * rows_east[i])
        };
        self.ground_speed.push(speed, spread(&level(c, s)));
        self.track.push(atan2(east, north), spread(&level(-s, c)) / speed.max(0.5));
        self.climb.push(-along(rows_down), spread(rows_down));
    }
}

/// Doubt of incidence in a slip: by the sideslip that is usual for some seconds about a knot, beyond that of ordinary flying, rad.
fn in_slip(usual: f64) -> f64 {
    let beyond = usual * usual - SIDESLIP_SIGMA * SIDESLIP_SIGMA;
    INCIDENCE_BY_SLIP * beyond.max(0.0).sqrt()
}

/// What gusts from the side do to the lateral load, g: the side force of the sideslip that a gust makes.
fn lateral_by_gusts(scene: &Scene, knot: &Knot<'_>) -> f64 {
    let pressure = 0.5 * scene.places[knot.at].density * knot.look.flow.speed.value;
    pressure * scene.gust_mps * scene.body.side_slope / scene.body.wing_loading_pa
}

/// Rate about a body axis from a knot to the next, with its variance.
fn rate<const N: usize>(scene: &Scene, at: &At<'_, N>, turn: &Turn, axis: usize) -> (f64, f64) {
    let pick = |slope: &[f64; INPUTS]| -> [(usize, f64); OF_BODY] {
        std::array::from_fn(|i| (IN_STATE[i].1, slope[IN_STATE[i].0]))
    };
    // Those that the state does not have stand last.
    let known = IN_STATE[..OF_BODY].iter().filter(|(_, at)| *at < N).count();
    let (here, next) = (pick(&turn.here[axis]), pick(&turn.next[axis]));
    let mut square = variance(at.local, (&here[..known], &next[..known], &[]));
    if N <= SIDESLIP {
        // Sideslip that is not followed comes and goes over its own time.
        let k = at.knot;
        let dt = (scene.time_s[k + 1] - scene.time_s[k]).max(0.05);
        for input in [body::SIDESLIP, body::SIDE_FREE] {
            let slope = 0.5 * (turn.next[axis][input] - turn.here[axis][input]);
            let sigma =
                if input == body::SIDESLIP { 1.0 } else { SIDE_FREE_SHARE } * SIDESLIP_UNSEEN_SIGMA;
            let moved = 2.0 * sigma * sigma * dt / crate::joint::layout::SIDESLIP_S;
            square += slope * slope * moved;
        }
    }
    (turn.rate[axis], square)
}

/// Rates about the body axes at the knots: the mean of the intervals beside each.
fn rates(time_s: &[f64], each: &[[(f64, f64); 3]], shares: [f64; 3]) -> [Column; 3] {
    let last = each.len() - 1;
    std::array::from_fn(|axis| {
        let mut column = Column::default();
        for k in 0..=each.len() {
            let (a, b) = (each[k.saturating_sub(1)][axis], each[k.min(last)][axis]);
            let dt = time_s[(k + 1).min(each.len())] - time_s[k.saturating_sub(1)];
            let square = shares[axis] * dt.min(1.0) * 0.5 * (a.1 + b.1);
            let quick = RATE_QUICK * (b.0 - a.0);
            column.push(0.5 * (a.0 + b.0), hypot(square.sqrt(), quick).max(RATE_FLOOR));
        }
        column
    })
}
