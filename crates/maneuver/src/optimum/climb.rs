//! Most height in a turn of 180 degrees within a stated time: the chandelle without a schedule.
//!
//! From level flight, wings level, to course 180 with wings level and not descending, at full power, within the limits of load, bank,
//! lift and stall. What is made greatest is the height at the end less [`SMOOTHING_MPS`] for every second of full control rate, which
//! makes the controls unique.

use base::numerics::optimal_control::{Duration, Node, Problem, Rates, Rows, Trajectory};
use flight::point_mass::PointMass;
use flight::point_mass::slopes::PathPoint;
use std::f64::consts::PI;

use super::frame::{
    BANK, BOUNDS, CLIMB, COURSE, Frame, HEIGHT, LIFT, STATES, bounds, bounds_curvature, pieces,
    solve,
};
use super::{ControlHistory, Limits, Mesh, NotFound, Optimum};

/// Height given up for a second of full control rates, m/s: makes the best controls unique, costs a fifth of a percent of the gain.
pub const SMOOTHING_MPS: f64 = 0.05;

/// Intervals at the ends are a quarter of the mean: the pull at the beginning, and the last second, where the speed touches its bound
/// between nodes, decide what a mesh costs.
const CROWDING: f64 = 0.75;

/// What is asked.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Climb {
    /// What hands, structure and stall allow.
    pub limits: Limits,
    /// Longest time, s.
    pub time_max_s: f64,
}

const CONTROLS: usize = 2;
const TIME: usize = STATES + CONTROLS;
const ARGUMENTS: usize = TIME + 1;
const ROWS: usize = BOUNDS + 3;
const BORDER: usize = 3;

pub(super) struct ClimbProblem<'a> {
    frame: Frame<'a>,
    asked: Climb,
    durations: [Duration; 1],
}

impl Problem<STATES, CONTROLS, ARGUMENTS, ROWS, BORDER> for ClimbProblem<'_> {
    type Point = (PathPoint, [f64; CONTROLS]);
    fn durations(&self) -> &[Duration] {
        &self.durations
    }
    fn start(&self) -> [f64; STATES] {
        [1.0, 0.0, 0.0, 0.0, self.frame.lift_for(1.0), 0.0]
    }
    fn control_limits(&self, _: usize) -> [(f64, f64); CONTROLS] {
        [(-1.0, 1.0); CONTROLS]
    }
    fn parameter_limits(&self) -> [(f64, f64); BORDER] {
        let most = self.asked.time_max_s / self.frame.second_s;
        [(0.2 * most, most), (0.0, 0.0), (0.0, 0.0)]
    }
    fn rates(&self, _: usize, w: &[f64; ARGUMENTS]) -> ([f64; STATES], f64) {
        let [speed, climb, course, height] = self.frame.rates(w, 1.0);
        let [lift, bank] = self.hands();
        let (u, v) = (w[STATES], w[STATES + 1]);
        ([speed, climb, course, height, lift * u, bank * v], self.smoothing() * (u * u + v * v))
    }
    fn linearize(&self, _: usize, w: &[f64; ARGUMENTS]) -> (Rates<STATES, ARGUMENTS>, Self::Point) {
        let point = self.frame.point(w, 1.0);
        let mut out = Rates::default();
        self.frame.slopes(&point, None, &mut out);
        let (u, v) = (w[STATES], w[STATES + 1]);
        let [lift, bank] = self.hands();
        out.value[LIFT] = lift * u;
        out.value[BANK] = bank * v;
        out.jacobian[LIFT][STATES] = lift;
        out.jacobian[BANK][STATES + 1] = bank;
        out.cost = self.smoothing() * (u * u + v * v);
        out.cost_gradient[STATES] = 2.0 * self.smoothing() * u;
        out.cost_gradient[STATES + 1] = 2.0 * self.smoothing() * v;
        (out, (point, [u, v]))
    }
    fn curvature(
        &self,
        _: usize,
        point: &Self::Point,
        (weights, cost): (&[f64; STATES], f64),
        out: &mut [[f64; ARGUMENTS]; ARGUMENTS],
    ) {
        self.frame.curvature(&point.0, weights, None, out);
        for u in [STATES, STATES + 1] {
            out[u][u] += 2.0 * cost * self.smoothing();
        }
    }
    fn inequalities(&self, node: Node, w: &[f64; ARGUMENTS], rows: &mut Rows<ROWS, ARGUMENTS>) {
        bounds((&self.frame, &self.asked.limits), w, rows);
        rows.path(self.asked.limits.bank_max_rad - w[BANK], &[(BANK, -1.0)]);
        if node.ends {
            rows.point(w[CLIMB], &[(CLIMB, 1.0)]);
        } else {
            rows.path(w[BANK], &[(BANK, 1.0)]);
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
    fn equalities(&self, _: usize, w: &[f64; ARGUMENTS], rows: &mut Rows<BORDER, ARGUMENTS>) {
        rows.point(w[COURSE] - PI, &[(COURSE, 1.0)]);
        rows.point(w[BANK], &[(BANK, 1.0)]);
    }
    fn end_cost(&self, w: &[f64; ARGUMENTS]) -> (f64, [f64; ARGUMENTS]) {
        let mut gradient = [0.0; ARGUMENTS];
        gradient[HEIGHT] = -1.0;
        (-w[HEIGHT], gradient)
    }
}

impl<'a> ClimbProblem<'a> {
    fn new(frame: Frame<'a>, asked: Climb) -> Self {
        Self { frame, asked, durations: [Duration::Parameter(0)] }
    }
    /// Fastest rates of lift and bank.
    fn hands(&self) -> [f64; 2] {
        let Limits { lift_rate_per_s, roll_rate_radps, .. } = self.asked.limits;
        [lift_rate_per_s * self.frame.second_s, roll_rate_radps * self.frame.second_s]
    }
    fn smoothing(&self) -> f64 {
        SMOOTHING_MPS / self.frame.speed_mps
    }
    /// A turn at even rate in which speed is traded for height, down to `margin` stall speeds.
    fn guess(&self, intervals: usize, margin: f64) -> Trajectory<STATES, CONTROLS, ROWS, BORDER> {
        let time = 0.98 * self.asked.time_max_s / self.frame.second_s;
        let slow = (margin * self.frame.stall()).min(0.98);
        let at = |share: f64| {
            let speed = 1.0 + (slow - 1.0) * (2.0 * share - share * share);
            let height = 0.5 * (1.0 - speed * speed) + 0.08 * share * time;
            let slope = (1.0 - slow) * 2.0 * (1.0 - share) * speed / time + 0.08;
            let climb = (slope / speed).clamp(0.02, 0.5);
            let level = base::math::atan(PI / time * speed);
            let shape = (8.0 * share).min(1.0).min(8.0 * (1.0 - share));
            let bank = (level * shape * 1.1).min(0.95 * self.asked.limits.bank_max_rad);
            let lift = self.frame.lift_for(1.0) / (speed * speed * base::math::cos(bank));
            let most = 0.95 * self.frame.body.airplane.aerodynamics.lift_max;
            ([speed, climb, PI * share, height, lift.min(most), bank], [0.0, 0.0])
        };
        Trajectory::guess_crowded((&[intervals], CROWDING), &[time], |_, share| at(share))
    }
}

/// Finds the best climb from level flight at a true airspeed, m/s, and a height above mean sea level, m.
///
/// # Errors
/// When none is found, with the reason: as a rule the turn is not possible in the time.
pub fn solve_climb(
    body: &PointMass<'_>,
    (speed_mps, height_m): (f64, f64),
    asked: &Climb,
    mesh: &Mesh,
) -> Result<Optimum, NotFound> {
    let problem = ClimbProblem::new(Frame::new(body, speed_mps, height_m), *asked);
    let guesses = [1.25, 1.6, 1.1].map(|margin| problem.guess(mesh.intervals, margin));
    let found = solve(&problem, guesses, mesh)?;
    let trajectory = &found.solution.trajectory;
    let time_s = trajectory.border[TIME - STATES - CONTROLS] * problem.frame.second_s;
    Ok(Optimum {
        objective: -found.solution.objective * problem.frame.rise_m,
        history: ControlHistory { pieces: pieces(trajectory, &[time_s]), power_share: 1.0 },
        phases_s: vec![time_s],
        intervals: trajectory.intervals[0],
        iterations: found.iterations,
        change: found.change,
    })
}
