//! The quickest level turn, wings level to wings level, at full power.
//!
//! Height is held, so the bank of the lift sets the load and the load the lift. Three phases of free length (roll in, turn, roll
//! out) let the roll rate change its sign exactly where it must. Made least is the time plus [`SMOOTHING`] for every second of full roll rate.

use base::math::{cos, sin};
use base::numerics::dual::{Dual, Real};
use base::numerics::optimal_control::{Duration, Node, Problem, Rates, Rows, Trajectory};
use flight::point_mass::PointMass;

use super::frame::{Frame, solve};
use super::history::Piece;
use super::{ControlHistory, Mesh, NotFound, Optimum};

/// Seconds given for a second of full roll rate: makes the rate unique.
pub const SMOOTHING: f64 = 0.002;

/// What is asked.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LevelTurn {
    /// Course to turn, rad.
    pub turn_rad: f64,
    /// Steepest lift bank, rad.
    pub bank_max_rad: f64,
    /// Fastest change of it, rad/s.
    pub roll_rate_radps: f64,
    /// Least speed over the stall speed at the load flown.
    pub stall_margin: f64,
    /// Whether the speed at the end must be that of the entry at least.
    pub hold: bool,
}

/// Speed, course, lift bank; roll rate; three times.
const SPEED: usize = 0;
const COURSE: usize = 1;
const BANK: usize = 2;
const ROLL: usize = 3;
const ARGUMENTS: usize = 7;
const ROWS: usize = 4;
const BORDER: usize = 5;

struct TurnProblem<'a> {
    frame: Frame<'a>,
    asked: LevelTurn,
    durations: [Duration; 3],
}

impl Problem<3, 1, ARGUMENTS, ROWS, BORDER> for TurnProblem<'_> {
    type Point = [Dual<2>; 2];
    fn durations(&self) -> &[Duration] {
        &self.durations
    }
    fn start(&self) -> [f64; 3] {
        [1.0, 0.0, 0.0]
    }
    fn control_limits(&self, _: usize) -> [(f64, f64); 1] {
        [(-1.0, 1.0)]
    }
    fn parameter_limits(&self) -> [(f64, f64); BORDER] {
        let time = (0.01, 60.0);
        [time, time, time, (0.0, 0.0), (0.0, 0.0)]
    }
    fn rates(&self, _: usize, w: &[f64; ARGUMENTS]) -> ([f64; 3], f64) {
        let [speed, course] = self.turning(w[SPEED], w[BANK]);
        ([speed, course, self.hand() * w[ROLL]], 1.0 + SMOOTHING * w[ROLL] * w[ROLL])
    }
    fn linearize(&self, phase: usize, w: &[f64; ARGUMENTS]) -> (Rates<3, ARGUMENTS>, Self::Point) {
        let point = self.turning(Dual::variable(w[SPEED], 0), Dual::variable(w[BANK], 1));
        let mut out = Rates::default();
        (out.value, out.cost) = self.rates(phase, w);
        for (row, dual) in point.iter().enumerate() {
            out.jacobian[row][SPEED] = dual.gradient[0];
            out.jacobian[row][BANK] = dual.gradient[1];
        }
        out.jacobian[BANK][ROLL] = self.hand();
        out.cost_gradient[ROLL] = 2.0 * SMOOTHING * w[ROLL];
        (out, point)
    }
    fn curvature(
        &self,
        _: usize,
        point: &Self::Point,
        (weights, cost): (&[f64; 3], f64),
        out: &mut [[f64; ARGUMENTS]; ARGUMENTS],
    ) {
        for (weight, dual) in weights.iter().zip(point) {
            for (i, a) in [SPEED, BANK].into_iter().enumerate() {
                for (j, b) in [SPEED, BANK].into_iter().enumerate() {
                    out[a][b] += weight * dual.hessian[i][j];
                }
            }
        }
        out[ROLL][ROLL] += 2.0 * cost * SMOOTHING;
    }
    fn inequalities(&self, node: Node, w: &[f64; ARGUMENTS], rows: &mut Rows<ROWS, ARGUMENTS>) {
        let (v, bank) = (w[SPEED], w[BANK]);
        rows.path(self.asked.bank_max_rad - bank, &[(BANK, -1.0)]);
        let most = self.load_at_stall();
        let slopes = [(SPEED, 2.0 * most * v * cos(bank)), (BANK, -most * v * v * sin(bank))];
        rows.path(most * v * v * cos(bank) - 1.0, &slopes);
        if node.ends && node.phase == 2 {
            if self.asked.hold {
                rows.point(v - 1.0, &[(SPEED, 1.0)]);
            }
        } else {
            rows.path(bank, &[(BANK, 1.0)]);
        }
    }
    fn inequality_curvature(
        &self,
        _: Node,
        w: &[f64; ARGUMENTS],
        weights: &[f64; ROWS],
        out: &mut [[f64; ARGUMENTS]; ARGUMENTS],
    ) {
        let (v, bank) = (w[SPEED], w[BANK]);
        let weight = weights[1] * self.load_at_stall();
        out[SPEED][SPEED] += 2.0 * weight * cos(bank);
        out[SPEED][BANK] -= 2.0 * weight * v * sin(bank);
        out[BANK][SPEED] -= 2.0 * weight * v * sin(bank);
        out[BANK][BANK] -= weight * v * v * cos(bank);
    }
    fn equalities(&self, phase: usize, w: &[f64; ARGUMENTS], rows: &mut Rows<BORDER, ARGUMENTS>) {
        if phase == 2 {
            rows.point(w[COURSE] - self.asked.turn_rad, &[(COURSE, 1.0)]);
            rows.point(w[BANK], &[(BANK, 1.0)]);
        }
    }
    fn end_cost(&self, _: &[f64; ARGUMENTS]) -> (f64, [f64; ARGUMENTS]) {
        (0.0, [0.0; ARGUMENTS])
    }
}

impl TurnProblem<'_> {
    fn hand(&self) -> f64 {
        self.asked.roll_rate_radps * self.frame.second_s
    }
    /// Load factor at entry speed and the greatest lift that the margin leaves.
    fn load_at_stall(&self) -> f64 {
        let margin = self.asked.stall_margin;
        let lift = self.frame.body.airplane.aerodynamics.lift_max / (margin * margin);
        lift / self.frame.lift_for(1.0)
    }
    /// Rates of speed and course with the height held.
    fn turning<R: Real>(&self, speed: R, bank: R) -> [R; 2] {
        let frame = &self.frame;
        let lift = R::constant(frame.lift_for(1.0)) / (speed * speed * bank.cos());
        let path = [speed * frame.speed_mps, R::constant(0.0), R::constant(frame.height_m)];
        let (rates, _) = frame.body.path_rates(path, [lift, bank, R::constant(1.0)]);
        let [of_speed, _, of_course, _] = rates;
        [of_speed * (frame.second_s / frame.speed_mps), of_course * frame.second_s]
    }
    /// Rolled in, held at a bank that neither stalls nor passes its limit, rolled out.
    fn guess(&self, intervals: usize, share: f64) -> Trajectory<3, 1, ROWS, BORDER> {
        let stall = base::math::acos((1.0 / self.load_at_stall()).clamp(0.05, 0.99));
        let bank = share * self.asked.bank_max_rad.min(stall);
        let roll = bank / self.hand();
        let rate = base::math::tan(bank);
        let hold = (self.asked.turn_rad / rate - roll).max(0.2 * roll);
        let total = hold + roll;
        let at = |phase: usize, share: f64| {
            let (bank, course) = match phase {
                0 => (bank * share, 0.5 * roll * share * share / total),
                1 => (bank, (0.5 * roll + hold * share) / total),
                _ => {
                    (bank * (1.0 - share), 1.0 - 0.5 * roll * (1.0 - share) * (1.0 - share) / total)
                }
            };
            ([1.0, self.asked.turn_rad * course, bank], [[0.9], [0.0], [-0.9]][phase])
        };
        Trajectory::guess(&[intervals; 3], &[1.05 * roll, hold, 1.05 * roll], at)
    }
}

/// Finds the quickest turn from a true airspeed, m/s, at a height above mean sea level, m. The objective is the time, s.
///
/// # Errors
/// When none is found, with the reason: as a rule the speed cannot be held.
pub fn solve_turn(
    body: &PointMass<'_>,
    (speed_mps, height_m): (f64, f64),
    asked: &LevelTurn,
    mesh: &Mesh,
) -> Result<Optimum, NotFound> {
    let frame = Frame::new(body, speed_mps, height_m);
    let durations = [0, 1, 2].map(Duration::Parameter);
    let problem = TurnProblem { frame, asked: *asked, durations };
    let guesses = [0.9, 0.6, 0.75].map(|share| problem.guess(mesh.intervals, share));
    let found = solve(&problem, guesses, mesh)?;
    let trajectory = &found.solution.trajectory;
    let phases_s = [0, 1, 2].map(|i| trajectory.border[i] * problem.frame.second_s);
    let begins_s = |phase: usize| phases_s[..phase].iter().sum::<f64>();
    let pieces = trajectory.cells().enumerate().map(|(k, (phase, begins, share))| Piece {
        end_s: begins_s(phase) + (begins + share) * phases_s[phase],
        lift: None,
        bank_rad: [trajectory.states[k][BANK], trajectory.states[k + 1][BANK]],
    });
    Ok(Optimum {
        objective: phases_s.iter().sum(),
        history: ControlHistory { pieces: pieces.collect(), power_share: 1.0 },
        phases_s: phases_s.to_vec(),
        intervals: trajectory.intervals[0],
        iterations: found.iterations,
        change: found.change,
    })
}
