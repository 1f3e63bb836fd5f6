//! Most height in a turn of 180 degrees whose bank is programmed: only the pull is free.
//!
//! The flight begins with the bank on, level for an instant. The bank is held to course 90 and comes off from there at one rate in
//! time, nil at course 180.

use base::math::cos;
use base::numerics::optimal_control::{Duration, Node, Problem, Rates, Rows, Trajectory};
use flight::point_mass::PointMass;
use flight::point_mass::slopes::PathPoint;
use std::f64::consts::{FRAC_PI_2, PI};

use super::climb::{Climb, SMOOTHING_MPS};
use super::frame::{
    BANK, BOUNDS, CLIMB, COURSE, Frame, HEIGHT, LIFT, STATES, bounds, bounds_curvature, pieces,
    solve,
};
use super::{ControlHistory, Mesh, NotFound, Optimum};

const ARGUMENTS: usize = STATES + 1 + 3;
const PULL: usize = STATES;
/// Times of the two phases, rate of the roll-out.
const PARAMETERS: usize = STATES + 1;
const ROLL: usize = PARAMETERS + 2;
const ROWS: usize = BOUNDS + 2;
const BORDER: usize = 6;

struct Programmed<'a> {
    frame: Frame<'a>,
    asked: Climb,
    bank_rad: f64,
    durations: [Duration; 2],
}

impl Problem<STATES, 1, ARGUMENTS, ROWS, BORDER> for Programmed<'_> {
    type Point = (PathPoint, f64);
    fn durations(&self) -> &[Duration] {
        &self.durations
    }
    fn start(&self) -> [f64; STATES] {
        let lift = self.frame.lift_for(1.0 / cos(self.bank_rad));
        [1.0, 0.0, 0.0, 0.0, lift, self.bank_rad]
    }
    fn control_limits(&self, _: usize) -> [(f64, f64); 1] {
        [(-1.0, 1.0)]
    }
    fn parameter_limits(&self) -> [(f64, f64); BORDER] {
        let most = self.asked.time_max_s / self.frame.second_s;
        let roll = self.bank_rad / (0.05 * most);
        let unused = (0.0, 0.0);
        [(0.05 * most, most), (0.05 * most, most), (0.0, roll), unused, unused, unused]
    }
    fn rates(&self, phase: usize, w: &[f64; ARGUMENTS]) -> ([f64; STATES], f64) {
        let [speed, climb, course, height] = self.frame.rates(w, 1.0);
        let bank = if phase == 0 { 0.0 } else { -w[ROLL] };
        let lift = self.hand() * w[PULL];
        ([speed, climb, course, height, lift, bank], self.smoothing() * w[PULL] * w[PULL])
    }
    fn linearize(
        &self,
        phase: usize,
        w: &[f64; ARGUMENTS],
    ) -> (Rates<STATES, ARGUMENTS>, Self::Point) {
        let point = self.frame.point(w, 1.0);
        let mut out = Rates::default();
        self.frame.slopes(&point, None, &mut out);
        out.value[LIFT] = self.hand() * w[PULL];
        out.jacobian[LIFT][PULL] = self.hand();
        if phase == 1 {
            out.value[BANK] = -w[ROLL];
            out.jacobian[BANK][ROLL] = -1.0;
        }
        out.cost = self.smoothing() * w[PULL] * w[PULL];
        out.cost_gradient[PULL] = 2.0 * self.smoothing() * w[PULL];
        (out, (point, w[PULL]))
    }
    fn curvature(
        &self,
        _: usize,
        point: &Self::Point,
        (weights, cost): (&[f64; STATES], f64),
        out: &mut [[f64; ARGUMENTS]; ARGUMENTS],
    ) {
        self.frame.curvature(&point.0, weights, None, out);
        out[PULL][PULL] += 2.0 * cost * self.smoothing();
    }
    fn inequalities(&self, node: Node, w: &[f64; ARGUMENTS], rows: &mut Rows<ROWS, ARGUMENTS>) {
        bounds((&self.frame, &self.asked.limits), w, rows);
        if node.ends && node.phase == 1 {
            rows.point(w[CLIMB], &[(CLIMB, 1.0)]);
            let most = self.asked.time_max_s / self.frame.second_s;
            let (first, second) = (PARAMETERS, PARAMETERS + 1);
            rows.point(most - w[first] - w[second], &[(first, -1.0), (second, -1.0)]);
        }
    }
    fn inequality_curvature(
        &self,
        _: Node,
        w: &[f64; ARGUMENTS],
        weights: &[f64; ROWS],
        out: &mut [[f64; ARGUMENTS]; ARGUMENTS],
    ) {
        bounds_curvature((&self.frame, &self.asked.limits), w, weights, out);
    }
    fn equalities(&self, phase: usize, w: &[f64; ARGUMENTS], rows: &mut Rows<BORDER, ARGUMENTS>) {
        if phase == 0 {
            rows.point(w[COURSE] - FRAC_PI_2, &[(COURSE, 1.0)]);
        } else {
            rows.point(w[COURSE] - PI, &[(COURSE, 1.0)]);
            rows.point(w[BANK], &[(BANK, 1.0)]);
        }
    }
    fn end_cost(&self, w: &[f64; ARGUMENTS]) -> (f64, [f64; ARGUMENTS]) {
        let mut gradient = [0.0; ARGUMENTS];
        gradient[HEIGHT] = -1.0;
        (-w[HEIGHT], gradient)
    }
}

impl Programmed<'_> {
    fn hand(&self) -> f64 {
        self.asked.limits.lift_rate_per_s * self.frame.second_s
    }
    fn smoothing(&self) -> f64 {
        SMOOTHING_MPS / self.frame.speed_mps
    }
    /// Speed traded for height down to `margin` stall speeds while the bank follows its program.
    fn guess(&self, intervals: usize, margin: f64) -> Trajectory<STATES, 1, ROWS, BORDER> {
        let time = 0.98 * self.asked.time_max_s / self.frame.second_s;
        let slow = (margin * self.frame.stall()).min(0.98);
        let (first, second) = (0.37 * time, 0.63 * time);
        let at = |phase: usize, share: f64| {
            let all = if phase == 0 { 0.37 * share } else { 0.37 + 0.63 * share };
            let speed = 1.0 + (slow - 1.0) * (2.0 * all - all * all);
            let height = 0.5 * (1.0 - speed * speed) + 0.08 * all * time;
            let slope = (1.0 - slow) * 2.0 * (1.0 - all) * speed / time + 0.08;
            let climb = (slope / speed).clamp(0.02, 0.5);
            let bank = if phase == 0 { self.bank_rad } else { self.bank_rad * (1.0 - share) };
            let course = FRAC_PI_2 * (phase as f64 + share);
            let lift = self.frame.lift_for(1.0) / (speed * speed * cos(bank));
            let most = 0.95 * self.frame.body.airplane.aerodynamics.lift_max;
            ([speed, climb, course, height, lift.min(most), bank], [0.0])
        };
        let parameters = [first, second, self.bank_rad / second];
        Trajectory::guess(&[intervals, intervals], &parameters, at)
    }
}

/// Finds the best climb with the programmed bank, from a true airspeed, m/s, and a height above mean sea level, m; the bank limit is
/// not read.
///
/// # Errors
/// When none is found, with the reason.
pub fn solve_programmed(
    body: &PointMass<'_>,
    (speed_mps, height_m): (f64, f64),
    (asked, bank_rad): (&Climb, f64),
    mesh: &Mesh,
) -> Result<Optimum, NotFound> {
    let frame = Frame::new(body, speed_mps, height_m);
    let durations = [Duration::Parameter(0), Duration::Parameter(1)];
    let problem = Programmed { frame, asked: *asked, bank_rad, durations };
    let guesses = [1.25, 1.6, 1.1].map(|margin| problem.guess(mesh.intervals, margin));
    let found = solve(&problem, guesses, mesh)?;
    let trajectory = &found.solution.trajectory;
    let phases_s = [0, 1].map(|i| trajectory.border[i] * problem.frame.second_s);
    Ok(Optimum {
        objective: -found.solution.objective * problem.frame.rise_m,
        history: ControlHistory { pieces: pieces(trajectory, &phases_s), power_share: 1.0 },
        phases_s: phases_s.to_vec(),
        intervals: trajectory.intervals[0],
        iterations: found.iterations,
        change: found.change,
    })
}
