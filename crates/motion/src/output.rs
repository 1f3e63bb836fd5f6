//! From the states found to the columns of a motion: each quantity with the standard deviation that the whole system gives it.

#![allow(clippy::needless_range_loop, reason = "the indices are those of the formulas")]

use std::f64::consts::PI;

use base::factors::{RAD_PER_DEG, STANDARD_GRAVITY_MPS2};
use base::kinds::TrueAirspeed;
use base::math::{atan2, hypot, unwrap_angles};
use base::numerics::block_tridiagonal::Solved;
use flight::air::Air;
use flight::airspeed::calibrated_from_true;

use crate::body::{self, D, INPUTS, Look, SPEED_LEAST_MPS};
use crate::joint::layout::{
    INCIDENCE, INCIDENCE_SIGMA, POSITION, SIDESLIP, SIDESLIP_SIGMA, TRIM_SLIP_SIGMA, VELOCITY, WIND,
};
use crate::joint::{Found, IN_BORDER, IN_STATE, Scene, variance};
use crate::state::{Column, Motion};

/// Doubt in the square root of density from temperature and pressure height, as a share of airspeed (our judgement, no source).
const DENSITY_SHARE: f64 = 0.006;
/// Faster than any airplane these lessons are flown in, m/s.
const SPEED_MOST_MPS: f64 = 400.0;
/// Load factor is never known better: quick pulls are smoothed.
const LOAD_FLOOR: f64 = 0.01;

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
}

/// Covariances of the inputs of a knot.
struct Doubt {
    matrix: [[f64; INPUTS]; INPUTS],
}

impl Doubt {
    fn at<const N: usize>(solved: &Solved<N>, k: usize) -> Self {
        let width = solved.border.len();
        let mut matrix = [[0.0; INPUTS]; INPUTS];
        for &(a, i) in &IN_STATE[..OF_BODY] {
            for &(b, j) in &IN_STATE[..OF_BODY] {
                if i < N && j < N {
                    matrix[a][b] += solved.covariances[k][i][j];
                }
            }
        }
        for (a, g) in IN_BORDER {
            for (b, h) in IN_BORDER {
                matrix[a][b] = solved.border_covariance[g * width + h];
            }
            for &(b, j) in &IN_STATE[..OF_BODY] {
                if j < N {
                    let covariance = solved.with_border[k * width + g][j];
                    matrix[a][b] += covariance;
                    matrix[b][a] += covariance;
                }
            }
        }
        if N <= SIDESLIP {
            matrix[body::SIDESLIP][body::SIDESLIP] =
                SIDESLIP_SIGMA * SIDESLIP_SIGMA + TRIM_SLIP_SIGMA * TRIM_SLIP_SIGMA;
        }
        if N <= INCIDENCE {
            matrix[body::INCIDENCE][body::INCIDENCE] = INCIDENCE_SIGMA * INCIDENCE_SIGMA;
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
) -> Motion {
    let mut columns = Columns::default();
    for k in 0..scene.time_s.len() {
        let doubt = Doubt::at(&found.solved, k);
        columns.of_air(&found.looks[k], &doubt, &air[k]);
        columns.of_attitude(&found.looks[k], &doubt);
        columns.of_place(scene, found, k);
    }
    let [roll_rate, pitch_rate, yaw_rate] = rates(scene, found);
    let when = |is: bool, column: Column| is.then_some(column);
    let place = support.place;
    Motion {
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

impl Columns {
    fn of_air(&mut self, look: &Look, doubt: &Doubt, air: &Air) {
        let speed = look.flow.speed;
        let (mps, mut sigma) = (speed.value, doubt.sigma(&speed.slope));
        if mps <= SPEED_LEAST_MPS {
            // Slower than is told apart: anything down to nil.
            sigma = sigma.max(SPEED_LEAST_MPS);
        }
        self.true_airspeed.push(mps, sigma);
        let known = TrueAirspeed::from_mps(mps.min(SPEED_MOST_MPS));
        let calibrated = calibrated_from_true(known, air).to_mps();
        let sigma = hypot(sigma * calibrated / known.to_mps(), DENSITY_SHARE * calibrated);
        self.calibrated.push(calibrated, sigma);
        self.path_angle.add(&look.path_angle(), doubt, 1.0);
        let load = look.flow.lift.times(1.0 / STANDARD_GRAVITY_MPS2);
        self.load.push(load.value, hypot(doubt.sigma(&load.slope), LOAD_FLOOR));
        let climb = look.flow.air[2].times(-1.0);
        self.climb.add(&climb, doubt, 1.0);
    }
    fn of_attitude(&mut self, look: &Look, doubt: &Doubt) {
        self.bank.add(&look.bank(), doubt, 1.0);
        self.heading.add(&look.heading(), doubt, 1.0);
        let pitch = look.pitch();
        self.pitch.add(&pitch, doubt, 1.0);
        // The level of incidence moves every pitch alike.
        let mut relative = pitch;
        relative.slope[body::INCIDENCE_LEVEL] = 0.0;
        self.pitch_relative.add(&relative, doubt, 1.0);
        self.incidence.add(&look.incidence, doubt, 1.0);
        let sideslip = doubt.matrix[body::SIDESLIP][body::SIDESLIP].sqrt();
        let wind_from_right = crate::dual::dot(&look.flow.air, &look.axes[1]) / look.flow.speed;
        self.sideslip.push(base::math::asin(wind_from_right.value.clamp(-1.0, 1.0)), sideslip);
        self.lateral.add(&look.force(1), doubt, 1.0 / STANDARD_GRAVITY_MPS2);
    }
    fn of_place<const N: usize>(&mut self, scene: &Scene, found: &Found<N>, k: usize) {
        let (x, p) = (&found.states[k], &found.solved.covariances[k]);
        let root = |i: usize| p[i][i].max(0.0).sqrt();
        self.north.push(x[POSITION], root(POSITION));
        self.east.push(x[POSITION + 1], root(POSITION + 1));
        self.height.push(scene.height_of(k, x), root(POSITION + 2));
        self.wind_north.push(x[WIND], root(WIND));
        self.wind_east.push(x[WIND + 1], root(WIND + 1));
        let along = |row: &[f64; 3]| -> f64 { (0..3).map(|i| row[i] * x[VELOCITY + i]).sum() };
        let [rows_north, rows_east, _] = &scene.places[k].rows;
        let (north, east) = (along(rows_north), along(rows_east));
        let speed = hypot(north, east);
        // Variance of the velocity along a direction in the horizontal plane.
        let spread = |a: f64, b: f64| {
            let row: [f64; 3] = std::array::from_fn(|i| a * rows_north[i] + b * rows_east[i]);
            let mut total = 0.0;
            for i in 0..3 {
                for j in 0..3 {
                    total += row[i] * row[j] * p[VELOCITY + i][VELOCITY + j];
                }
            }
            total.max(0.0).sqrt()
        };
        let (c, s) = (north / speed.max(0.5), east / speed.max(0.5));
        self.ground_speed.push(speed, spread(c, s));
        self.track.push(atan2(east, north), spread(-s, c) / speed.max(0.5));
    }
}

/// Rates about the body axes at the knots: the mean of the intervals beside each.
fn rates<const N: usize>(scene: &Scene, found: &Found<N>) -> [Column; 3] {
    let n = scene.time_s.len();
    let one = |axis: usize, k: usize| -> (f64, f64) {
        let turn = &found.turns[k];
        let pick = |slope: &[f64; INPUTS]| -> [(usize, f64); OF_BODY] {
            std::array::from_fn(|i| (IN_STATE[i].1, slope[IN_STATE[i].0]))
        };
        // Those that the state does not have stand last.
        let known = IN_STATE[..OF_BODY].iter().filter(|(_, at)| *at < N).count();
        let (here, next) = (pick(&turn.here[axis]), pick(&turn.next[axis]));
        let mut square = variance(&found.solved, k, (&here[..known], &next[..known], &[]));
        if N <= SIDESLIP {
            // Sideslip that is not followed comes and goes over its own time.
            let dt = (scene.time_s[k + 1] - scene.time_s[k]).max(0.05);
            let slope = 0.5 * (turn.next[axis][body::SIDESLIP] - turn.here[axis][body::SIDESLIP]);
            let moved =
                2.0 * SIDESLIP_SIGMA * SIDESLIP_SIGMA * dt / crate::joint::layout::SIDESLIP_S;
            square += slope * slope * moved;
        }
        (turn.rate[axis], square)
    };
    std::array::from_fn(|axis| {
        let mut column = Column::default();
        let each: Vec<(f64, f64)> = (0..n.saturating_sub(1)).map(|k| one(axis, k)).collect();
        for k in 0..n {
            let (a, b) = (each[k.saturating_sub(1)], each[k.min(n - 2)]);
            column.push(0.5 * (a.0 + b.0), (0.5 * (a.1 + b.1)).sqrt().max(0.05 * RAD_PER_DEG));
        }
        column
    })
}
