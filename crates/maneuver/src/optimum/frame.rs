//! The point mass in the units of its entry, as the optimizer wants it.
//!
//! Speed in entry speeds, height in `V0^2 / g`, time in `V0 / g`: airplanes of any size look alike. State: speed, climb angle, course,
//! height above entry, lift coefficient, lift bank.

use base::factors::STANDARD_GRAVITY_MPS2;
use base::numerics::optimal_control::{
    Control, Problem, Rates, Refined, Rows, Stop, Trajectory, mesh, refine,
};
use flight::point_mass::PointMass;
use flight::point_mass::slopes::PathPoint;

use super::history::Piece;
use super::{Limits, Mesh, NotFound};

pub(super) const SPEED: usize = 0;
pub(super) const CLIMB: usize = 1;
pub(super) const COURSE: usize = 2;
pub(super) const HEIGHT: usize = 3;
pub(super) const LIFT: usize = 4;
pub(super) const BANK: usize = 5;
pub(super) const STATES: usize = 6;

/// Where the variables of the equations of motion but the power stand in the state.
const PLACES: [usize; 5] = [SPEED, CLIMB, HEIGHT, LIFT, BANK];

/// The airplane with its entry as the scale.
#[derive(Debug, Clone, Copy)]
pub(super) struct Frame<'a> {
    pub(super) body: &'a PointMass<'a>,
    pub(super) speed_mps: f64,
    pub(super) height_m: f64,
    pub(super) rise_m: f64,
    pub(super) second_s: f64,
}

impl<'a> Frame<'a> {
    pub(super) fn new(body: &'a PointMass<'a>, speed_mps: f64, height_m: f64) -> Self {
        let second_s = speed_mps / STANDARD_GRAVITY_MPS2;
        Self { body, speed_mps, height_m, rise_m: speed_mps * second_s, second_s }
    }

    /// Lift coefficient at entry for a load factor.
    pub(super) fn lift_for(&self, load_factor: f64) -> f64 {
        self.body.lift_coefficient_for(load_factor, self.speed_mps, self.height_m)
    }

    /// Stall speed at one g at entry height, in entry speeds.
    pub(super) fn stall(&self) -> f64 {
        self.body.stall_speed_mps(self.height_m) / self.speed_mps
    }

    /// A point of the equations of motion.
    pub(super) fn point(&self, x: &[f64], power_share: f64) -> PathPoint {
        let v = [
            x[SPEED] * self.speed_mps,
            x[CLIMB],
            self.height_m + x[HEIGHT] * self.rise_m,
            x[LIFT],
            x[BANK],
            power_share,
        ];
        PathPoint::new(self.body, &v)
    }

    /// Factors from the rates in SI to those here, in the order of [`PathPoint::rates`].
    fn of_rates(&self) -> [f64; 4] {
        [1.0 / STANDARD_GRAVITY_MPS2, self.second_s, self.second_s, 1.0 / self.speed_mps]
    }

    fn of_variables(&self) -> [f64; 6] {
        [self.speed_mps, 1.0, self.rise_m, 1.0, 1.0, 1.0]
    }

    /// Rates of the first four states.
    pub(super) fn rates(&self, x: &[f64], power_share: f64) -> [f64; 4] {
        let v = [x[SPEED] * self.speed_mps, x[CLIMB], self.height_m + x[HEIGHT] * self.rise_m];
        let (rates, _) = self.body.path_rates(v, [x[LIFT], x[BANK], power_share]);
        let factors = self.of_rates();
        std::array::from_fn(|i| rates[i] * factors[i])
    }

    /// Rates of the first four states with their slopes; `power` is the place of the share of power among the arguments.
    pub(super) fn slopes<const NX: usize, const NW: usize>(
        &self,
        point: &PathPoint,
        power: Option<usize>,
        out: &mut Rates<NX, NW>,
    ) {
        let (values, jacobian) = (point.rates(), point.jacobian());
        let (of_rates, of_variables) = (self.of_rates(), self.of_variables());
        for i in 0..4 {
            out.value[i] = values[i] * of_rates[i];
            for (j, place) in PLACES.into_iter().enumerate() {
                out.jacobian[i][place] = jacobian[i][j] * of_rates[i] * of_variables[j];
            }
            if let Some(place) = power {
                out.jacobian[i][place] = jacobian[i][5] * of_rates[i];
            }
        }
    }

    /// Adds the second derivatives of the weighted rates of the first four states.
    pub(super) fn curvature<const NX: usize, const NW: usize>(
        &self,
        point: &PathPoint,
        weights: &[f64; NX],
        power: Option<usize>,
        out: &mut [[f64; NW]; NW],
    ) {
        let (of_rates, of_variables) = (self.of_rates(), self.of_variables());
        let weights: [f64; 4] = std::array::from_fn(|i| weights[i] * of_rates[i]);
        let curvature = point.curvature(&weights);
        for (i, a) in PLACES.into_iter().enumerate() {
            for (j, b) in PLACES.into_iter().enumerate() {
                out[a][b] += curvature[i][j] * of_variables[i] * of_variables[j];
            }
            if let Some(place) = power {
                let slope = curvature[i][5] * of_variables[i];
                out[a][place] += slope;
                out[place][a] += slope;
            }
        }
        if let Some(place) = power {
            out[place][place] += curvature[5][5];
        }
    }

    /// Load factor for each unit of lift coefficient.
    pub(super) fn bearing(&self, x: &[f64]) -> Bearing {
        let height_m = self.height_m + x[HEIGHT] * self.rise_m;
        let k = 0.5 * self.body.airplane.wing_area.to_m2() * self.speed_mps * self.speed_mps
            / self.body.weight_n();
        let density = self.body.air.at(height_m);
        let (first, second) = self.body.air.slopes(height_m);
        let (by_height, twice) = (first * self.rise_m, second * self.rise_m * self.rise_m);
        let v = x[SPEED];
        Bearing {
            value: k * density * v * v,
            speed: 2.0 * k * density * v,
            height: k * by_height * v * v,
            seconds: [2.0 * k * density, 2.0 * k * by_height * v, k * twice * v * v],
        }
    }
}

/// Load factor for each unit of lift coefficient, with its derivatives by speed and height.
#[derive(Debug, Clone, Copy)]
pub(super) struct Bearing {
    pub(super) value: f64,
    pub(super) speed: f64,
    pub(super) height: f64,
    /// By speed twice, by both, by height twice.
    seconds: [f64; 3],
}

impl Bearing {
    /// The load factor at a lift coefficient, with its slopes, times a factor plus a constant: a condition.
    pub(super) fn load(&self, lift: f64, factor: f64, constant: f64) -> (f64, [(usize, f64); 3]) {
        let slopes = [
            (SPEED, factor * self.speed * lift),
            (HEIGHT, factor * self.height * lift),
            (LIFT, factor * self.value),
        ];
        (factor * self.value * lift + constant, slopes)
    }
    /// Adds the second derivatives of the load factor times a weight.
    pub(super) fn load_curvature<const NW: usize>(
        &self,
        lift: f64,
        weight: f64,
        out: &mut [[f64; NW]; NW],
    ) {
        self.curvature(weight * lift, out);
        for (place, slope) in [(SPEED, self.speed), (HEIGHT, self.height)] {
            out[place][LIFT] += weight * slope;
            out[LIFT][place] += weight * slope;
        }
    }
    /// Adds the second derivatives of the bearing itself times a weight.
    pub(super) fn curvature<const NW: usize>(&self, weight: f64, out: &mut [[f64; NW]; NW]) {
        let [vv, vh, hh] = self.seconds;
        out[SPEED][SPEED] += weight * vv;
        out[SPEED][HEIGHT] += weight * vh;
        out[HEIGHT][SPEED] += weight * vh;
        out[HEIGHT][HEIGHT] += weight * hh;
    }
}

/// Conditions of load and lift common to the climbing figures, in this order: greatest and least load, greatest lift, speed over the
/// stall.
pub(super) fn bounds<const N: usize, const NW: usize>(
    (frame, limits): (&Frame<'_>, &Limits),
    w: &[f64; NW],
    rows: &mut Rows<N, NW>,
) {
    let bearing = frame.bearing(w);
    let lift = w[LIFT];
    let (value, slopes) = bearing.load(lift, -1.0, limits.load_max);
    rows.path(value, &slopes);
    let (value, slopes) = bearing.load(lift, 1.0, -limits.load_min);
    rows.path(value, &slopes);
    let lift_max = frame.body.airplane.aerodynamics.lift_max;
    rows.path(lift_max - lift, &[(LIFT, -1.0)]);
    let share = lift_max / (limits.stall_margin * limits.stall_margin);
    rows.path(
        share * bearing.value - 1.0,
        &[(SPEED, share * bearing.speed), (HEIGHT, share * bearing.height)],
    );
}

/// Number of rows of [`bounds`].
pub(super) const BOUNDS: usize = 4;

/// Second derivatives of the same.
pub(super) fn bounds_curvature<const NW: usize>(
    (frame, limits): (&Frame<'_>, &Limits),
    w: &[f64; NW],
    weights: &[f64],
    out: &mut [[f64; NW]; NW],
) {
    let bearing = frame.bearing(w);
    bearing.load_curvature(w[LIFT], weights[1] - weights[0], out);
    let lift_max = frame.body.airplane.aerodynamics.lift_max;
    let share = lift_max / (limits.stall_margin * limits.stall_margin);
    bearing.curvature(weights[3] * share, out);
}

/// Solves a problem from several guesses on a mesh: the first that is solved.
pub(super) fn solve<
    P: Problem<NX, NU, NW, NG, NB>,
    const NX: usize,
    const NU: usize,
    const NW: usize,
    const NG: usize,
    const NB: usize,
>(
    problem: &P,
    guesses: impl IntoIterator<Item = Trajectory<NX, NU, NG, NB>>,
    mesh: &Mesh,
) -> Result<Refined<NX, NU, NG, NB>, NotFound> {
    let control = Control { iterations_max: 200, ..Control::default() };
    let mut failed = NotFound { stop: Stop::NotFinite, violation: f64::INFINITY, intervals: 0 };
    for guess in guesses {
        let refined = if mesh.accuracy > 0.0 {
            refine(problem, guess, (mesh.accuracy, mesh.doublings), &control)
        } else {
            let solution = mesh::climb(problem, guess, mesh.doublings, &control);
            Refined { iterations: solution.iterations, solution, change: None }
        };
        if refined.solution.stop == Stop::Solved {
            return Ok(refined);
        }
        let solution = &refined.solution;
        failed = NotFound {
            stop: solution.stop,
            violation: solution.violation,
            intervals: solution.trajectory.intervals.first().copied().unwrap_or(0),
        };
    }
    Err(failed)
}

/// Lift and bank of a trajectory as pieces, from the times of its phases in s.
pub(super) fn pieces<const NU: usize, const NG: usize, const NB: usize>(
    trajectory: &Trajectory<STATES, NU, NG, NB>,
    phases_s: &[f64],
) -> Vec<Piece> {
    let begins_s = |phase: usize| phases_s[..phase].iter().sum::<f64>();
    let piece = |(k, (phase, begins, share)): (usize, (usize, f64, f64))| {
        let (a, b) = (&trajectory.states[k], &trajectory.states[k + 1]);
        let end_s = begins_s(phase) + (begins + share) * phases_s[phase];
        Piece { end_s, lift: Some([a[LIFT], b[LIFT]]), bank_rad: [a[BANK], b[BANK]] }
    };
    trajectory.cells().enumerate().map(piece).collect()
}
