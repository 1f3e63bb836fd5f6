//! The smoothest half of a wing-over that ends as it began.
//!
//! From level flight through a stated climb angle, the steepest there, at course 45; bank at its stated steepest and the path level at
//! course 90; steepest descent at course 135; at course 180 level, wings level, at entry height and speed. Power is one constant
//! share, found. What is made least is the integral of the squared control rates, in shares of the fastest, plus
//! [`HURRY_PER_S`] for every second: without that price the figure would dwell in level flight.

use base::math::{cos, sin};
use base::numerics::optimal_control::{Duration, Node, Problem, Rates, Rows, Trajectory};
use flight::point_mass::PointMass;
use flight::point_mass::slopes::PathPoint;
use std::f64::consts::{FRAC_PI_2, FRAC_PI_4, PI};

use super::frame::{BANK, CLIMB, COURSE, Frame, HEIGHT, LIFT, SPEED, STATES, pieces, solve};
use super::{ControlHistory, Limits, Mesh, NotFound, Optimum};

/// Price of a second against a second of full control rates.
pub const HURRY_PER_S: f64 = 0.05;

/// What is asked.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WingOver {
    /// What hands and structure allow; the steepest bank is met at course 90, the stall margin is not read.
    pub limits: Limits,
    /// Climb angle at course 45, rad.
    pub climb_45_rad: f64,
}

const CONTROLS: usize = 2;
const PARAMETERS: usize = STATES + CONTROLS;
const POWER: usize = PARAMETERS + 4;
const ARGUMENTS: usize = POWER + 1;
const ROWS: usize = 7;
const BORDER: usize = 5 + 14;

struct WingOverProblem<'a> {
    frame: Frame<'a>,
    asked: WingOver,
    durations: [Duration; 4],
}

impl Problem<STATES, CONTROLS, ARGUMENTS, ROWS, BORDER> for WingOverProblem<'_> {
    type Point = PathPoint;
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
        let mut out = [(0.0, 0.0); BORDER];
        out[..4].fill((0.05, 20.0));
        out[4] = (0.0, 1.0);
        out
    }
    fn rates(&self, _: usize, w: &[f64; ARGUMENTS]) -> ([f64; STATES], f64) {
        let [speed, climb, course, height] = self.frame.rates(w, w[POWER]);
        let [lift, bank] = self.hands();
        let (u, v) = (w[STATES], w[STATES + 1]);
        let cost = self.frame.second_s * (u * u + v * v + HURRY_PER_S);
        ([speed, climb, course, height, lift * u, bank * v], cost)
    }
    fn linearize(&self, _: usize, w: &[f64; ARGUMENTS]) -> (Rates<STATES, ARGUMENTS>, Self::Point) {
        let point = self.frame.point(w, w[POWER]);
        let mut out = Rates::default();
        self.frame.slopes(&point, Some(POWER), &mut out);
        let [lift, bank] = self.hands();
        let (u, v) = (w[STATES], w[STATES + 1]);
        out.value[LIFT] = lift * u;
        out.value[BANK] = bank * v;
        out.jacobian[LIFT][STATES] = lift;
        out.jacobian[BANK][STATES + 1] = bank;
        let second = self.frame.second_s;
        out.cost = second * (u * u + v * v + HURRY_PER_S);
        out.cost_gradient[STATES] = 2.0 * second * u;
        out.cost_gradient[STATES + 1] = 2.0 * second * v;
        (out, point)
    }
    fn curvature(
        &self,
        _: usize,
        point: &Self::Point,
        (weights, cost): (&[f64; STATES], f64),
        out: &mut [[f64; ARGUMENTS]; ARGUMENTS],
    ) {
        self.frame.curvature(point, weights, Some(POWER), out);
        for u in [STATES, STATES + 1] {
            out[u][u] += 2.0 * cost * self.frame.second_s;
        }
    }
    /// Where a phase ends on a bound, the condition of the end takes the place of the bound.
    fn inequalities(&self, node: Node, w: &[f64; ARGUMENTS], rows: &mut Rows<ROWS, ARGUMENTS>) {
        let bearing = self.frame.bearing(w);
        let (value, slopes) = bearing.load(w[LIFT], -1.0, self.asked.limits.load_max);
        rows.path(value, &slopes);
        let lift_max = self.frame.body.airplane.aerodynamics.lift_max;
        rows.path(lift_max - w[LIFT], &[(LIFT, -1.0)]);
        rows.path(w[LIFT], &[(LIFT, 1.0)]);
        let (over, end) = (node.ends && node.phase == 1, node.ends && node.phase == 3);
        let mut unless = |met: bool, value: f64, place: usize, slope: f64| {
            if met { rows.path(1.0, &[]) } else { rows.path(value, &[(place, slope)]) }
        };
        unless(over, self.asked.limits.bank_max_rad - w[BANK], BANK, -1.0);
        unless(end, w[BANK], BANK, 1.0);
        let up = if node.phase < 2 { 1.0 } else { -1.0 };
        unless(over || end, up * w[CLIMB], CLIMB, up);
        unless(end, w[HEIGHT], HEIGHT, 1.0);
    }
    fn inequality_curvature(
        &self,
        _: Node,
        w: &[f64; ARGUMENTS],
        weights: &[f64; ROWS],
        out: &mut [[f64; ARGUMENTS]; ARGUMENTS],
    ) {
        self.frame.bearing(w).load_curvature(w[LIFT], -weights[0], out);
    }
    fn equalities(&self, phase: usize, w: &[f64; ARGUMENTS], rows: &mut Rows<BORDER, ARGUMENTS>) {
        let mut fixed = |place: usize, value: f64| rows.point(w[place] - value, &[(place, 1.0)]);
        match phase {
            0 => {
                fixed(COURSE, FRAC_PI_4);
                fixed(CLIMB, self.asked.climb_45_rad);
                self.straight(w, rows);
            }
            1 => {
                fixed(COURSE, FRAC_PI_2);
                fixed(BANK, self.asked.limits.bank_max_rad);
                fixed(CLIMB, 0.0);
            }
            2 => {
                fixed(COURSE, 3.0 * FRAC_PI_4);
                self.straight(w, rows);
            }
            _ => {
                fixed(COURSE, PI);
                fixed(SPEED, 1.0);
                fixed(CLIMB, 0.0);
                fixed(HEIGHT, 0.0);
                fixed(LIFT, self.frame.lift_for(1.0));
                fixed(BANK, 0.0);
            }
        }
    }
    fn equality_curvature(
        &self,
        phase: usize,
        w: &[f64; ARGUMENTS],
        weights: &[f64],
        out: &mut [[f64; ARGUMENTS]; ARGUMENTS],
    ) {
        let weight = match phase {
            0 => weights[2],
            2 => weights[1],
            _ => return,
        };
        let bearing = self.frame.bearing(w);
        let (sin_bank, cos_bank) = (sin(w[BANK]), cos(w[BANK]));
        bearing.load_curvature(w[LIFT], weight * cos_bank, out);
        let (load, slopes) = bearing.load(w[LIFT], 1.0, 0.0);
        for (place, slope) in slopes {
            out[place][BANK] -= weight * sin_bank * slope;
            out[BANK][place] -= weight * sin_bank * slope;
        }
        out[BANK][BANK] -= weight * load * cos_bank;
        out[CLIMB][CLIMB] += weight * cos(w[CLIMB]);
    }
    fn end_cost(&self, _: &[f64; ARGUMENTS]) -> (f64, [f64; ARGUMENTS]) {
        (0.0, [0.0; ARGUMENTS])
    }
}

impl WingOverProblem<'_> {
    fn hands(&self) -> [f64; 2] {
        let Limits { lift_rate_per_s, roll_rate_radps, .. } = self.asked.limits;
        [lift_rate_per_s * self.frame.second_s, roll_rate_radps * self.frame.second_s]
    }
    /// The climb angle neither grows nor falls: `n cos(bank) = cos(climb)`.
    fn straight(&self, w: &[f64; ARGUMENTS], rows: &mut Rows<BORDER, ARGUMENTS>) {
        let (load, slopes) = self.frame.bearing(w).load(w[LIFT], 1.0, 0.0);
        let (sin_bank, cos_bank) = (sin(w[BANK]), cos(w[BANK]));
        let [speed, height, lift] = slopes.map(|(place, slope)| (place, slope * cos_bank));
        let more = [(BANK, -load * sin_bank), (CLIMB, sin(w[CLIMB]))];
        let [bank, climb] = more;
        rows.point(load * cos_bank - cos(w[CLIMB]), &[speed, height, lift, bank, climb]);
    }
    /// The figure as it is drawn: speed and height on arcs, bank up and down again; `slow` is the speed at the top.
    fn guess(
        &self,
        intervals: usize,
        (slow, stretch, power): (f64, f64, f64),
    ) -> Trajectory<STATES, CONTROLS, ROWS, BORDER> {
        let steep = self.asked.climb_45_rad;
        let bank_max = self.asked.limits.bank_max_rad;
        let rise = 0.5 * (1.0 - slow * slow);
        let at = |phase: usize, share: f64| {
            let all = 0.25 * (phase as f64 + share);
            // Rises over the first half, comes back over the second.
            let arc = sin(PI * all) * sin(PI * all);
            let speed = (1.0 - 2.0 * rise * arc).max(0.05).sqrt();
            let climb = steep * sin(2.0 * PI * all);
            let bank = bank_max * sin(PI * all);
            let load = (cos(climb) / cos(bank).max(0.5)).min(1.2);
            let lift = (self.frame.lift_for(load) / (speed * speed))
                .min(0.9 * self.frame.body.airplane.aerodynamics.lift_max);
            ([speed, climb, PI * all, rise * arc, lift, bank], [0.0, 0.0])
        };
        let time = 4.1 * stretch;
        let parameters = [0.33 * time, 0.17 * time, 0.17 * time, 0.33 * time, power];
        Trajectory::guess(&[intervals; 4], &parameters, at)
    }
}

/// Finds the smoothest half from a true airspeed, m/s, and a height above mean sea level, m. The objective is in seconds of full
/// control rates.
///
/// # Errors
/// When none is found, with the reason: as a rule the figure does not close with the power there is.
pub fn solve_wing_over(
    body: &PointMass<'_>,
    (speed_mps, height_m): (f64, f64),
    asked: &WingOver,
    mesh: &Mesh,
) -> Result<Optimum, NotFound> {
    let frame = Frame::new(body, speed_mps, height_m);
    let durations = [0, 1, 2, 3].map(Duration::Parameter);
    let problem = WingOverProblem { frame, asked: *asked, durations };
    let guesses = [(0.6, 1.0, 0.6), (0.6, 1.2, 0.8), (0.7, 0.9, 0.5)];
    let found = solve(&problem, guesses.map(|guess| problem.guess(mesh.intervals, guess)), mesh)?;
    let trajectory = &found.solution.trajectory;
    let phases_s = [0, 1, 2, 3].map(|i| trajectory.border[i] * problem.frame.second_s);
    let power_share = trajectory.border[POWER - PARAMETERS];
    Ok(Optimum {
        objective: found.solution.objective,
        history: ControlHistory { pieces: pieces(trajectory, &phases_s), power_share },
        phases_s: phases_s.to_vec(),
        intervals: trajectory.intervals[0],
        iterations: found.iterations,
        change: found.change,
    })
}
