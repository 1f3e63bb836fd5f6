//! Marching: one node after the other, each solved from the one before.

use std::ops::Range;

use base::factors::STANDARD_GRAVITY_MPS2;
use base::frames::{Body, Fixed, Rot, Vec3};

use super::node::{Evaluated, Known, Unknowns};
use super::{Aim, Shortfall, Solved, Task, knots, turned};
use crate::vehicle::{ENGINE, StateArray};

/// How the airplane turns at every node: angular velocity and acceleration in body axes.
#[derive(Debug, Clone)]
pub struct Turning {
    /// rad/s.
    pub rates_radps: Vec<Vec3<Body>>,
    /// rad/s2.
    pub accelerations_radps2: Vec<Vec3<Body>>,
}

impl Turning {
    /// From attitudes at every node of an even grid: central differences of the rotations between neighbors; at both ends the
    /// rate is that of the nearest interval.
    #[must_use]
    pub fn of(attitudes: &[Rot<Body, Fixed>], step_s: f64) -> Self {
        let per_step = 1.0 / step_s;
        let between: Vec<Vec3<Body>> =
            attitudes.windows(2).map(|pair| turned(&pair[0], &pair[1]) * per_step).collect();
        let at = |i: usize| between.get(i).copied().unwrap_or(Vec3::ZERO);
        let last = between.len().saturating_sub(1);
        let sides = |i: usize| (at(i.saturating_sub(1)), at(i.min(last)));
        let rates = |i: usize| {
            let (before, after) = sides(i);
            (before + after) * 0.5
        };
        let accelerations = |i: usize| {
            let (before, after) = sides(i);
            (after - before) * per_step
        };
        Self {
            rates_radps: (0..attitudes.len()).map(rates).collect(),
            accelerations_radps2: (0..attitudes.len()).map(accelerations).collect(),
        }
    }
    /// Nothing turns.
    #[must_use]
    pub fn none(nodes: usize) -> Self {
        Self { rates_radps: vec![Vec3::ZERO; nodes], accelerations_radps2: vec![Vec3::ZERO; nodes] }
    }
    fn at(&self, node: usize) -> (Vec3<Body>, Vec3<Body>) {
        let find =
            |list: &[Vec3<Body>]| list.get(node).or(list.last()).copied().unwrap_or(Vec3::ZERO);
        (find(&self.rates_radps), find(&self.accelerations_radps2))
    }
}

/// What a node is solved to, m/s2 and rad/s2.
const SOLVED: f64 = 1e-7;
/// What is good enough where the last digits do not come.
const SOLVED_ENOUGH: f64 = 1e-5;
/// Evaluations with one Jacobian before it is renewed.
const TRIES: usize = 5;
/// Difference for the Jacobian, rad.
const DIFFERENCE_RAD: f64 = 1e-6;

/// How far past the greatest lift the search may look, rad, to see that there is no solution below.
const BEYOND_RAD: f64 = 0.01;

/// What moves from node to node: position, velocity, engine.
type Moving = [f64; 7];

fn moving_of(state: &StateArray) -> Moving {
    let s = state;
    [s[0], s[1], s[2], s[3], s[4], s[5], s[ENGINE]]
}

/// Finds the controls from one node to another, both included, from the state at the first of them (which gives position,
/// velocity and engine; attitude and surfaces are where the search begins). Third-order Adams-Bashforth between nodes. Work
/// linear in the nodes: some four evaluations of the forces each.
///
/// # Errors
/// Where and why it cannot be flown. Controls beyond their limits are no error: see [`super::excesses`].
pub fn march(
    task: &Task<'_>,
    start: &StateArray,
    turning: &Turning,
    nodes: Range<usize>,
) -> Result<Vec<Solved>, Shortfall> {
    let mut marcher = Marcher::new(task, start, turning);
    let mut moving = moving_of(start);
    let mut rates: [Moving; 2] = [[0.0; 7]; 2];
    let mut out = Vec::with_capacity(nodes.len());
    for (done, node) in nodes.clone().enumerate() {
        let solved = marcher.node(node, &moving)?;
        let rate = moving_of(&solved.rate);
        let [before, first] = rates;
        let step: Moving = match done {
            0 if nodes.len() > 1 => {
                // The mean of the rates at both ends of the step, the far one from a trial.
                let mut trial = marcher.clone();
                let ahead = along(&moving, &rate, task.step_s);
                let far = moving_of(&trial.node(node + 1, &ahead)?.rate);
                std::array::from_fn(|i| 0.5 * (rate[i] + far[i]))
            }
            0 | 1 => std::array::from_fn(|i| 1.5 * rate[i] - 0.5 * before[i]),
            _ => {
                std::array::from_fn(|i| (23.0 * rate[i] - 16.0 * before[i] + 5.0 * first[i]) / 12.0)
            }
        };
        moving = along(&moving, &step, task.step_s);
        rates = [rate, before];
        out.push(solved);
    }
    Ok(out)
}

fn along(from: &Moving, rate: &Moving, step_s: f64) -> Moving {
    std::array::from_fn(|i| from[i] + step_s * rate[i])
}

#[derive(Clone)]
struct Marcher<'a> {
    task: &'a Task<'a>,
    turning: &'a Turning,
    /// Unknowns of the last three nodes, the latest first.
    last: Unknowns,
    before: Unknowns,
    earlier: Unknowns,
    /// Nodes solved: the start is only a guess.
    begun: usize,
    down: Vec3<Fixed>,
    inverse: Option<[[f64; 6]; 6]>,
    control_power: [f64; 3],
}

impl<'a> Marcher<'a> {
    fn new(task: &'a Task<'a>, start: &StateArray, turning: &'a Turning) -> Self {
        let state = crate::vehicle::State::from_array(start);
        let fixed_from_body = state.attitude.fixed_from_body();
        let height_m = task.world.earth.height_m(state.position_m);
        let wind = task.world.wind.at(task.time_first_s, height_m).velocity_mps;
        let through_air = state.velocity_mps - Vec3::new(wind.x, wind.y, wind.z);
        let flow = fixed_from_body.inverse().apply(through_air);
        let alpha = base::math::atan2(flow.z, flow.x);
        let beta = base::math::asin((flow.y / flow.norm()).clamp(-1.0, 1.0));
        // Down of the lift: normal to the path, in the plane of symmetry.
        let (sa, ca) = (base::math::sin(alpha), base::math::cos(alpha));
        let down = fixed_from_body.apply(Vec3::new(-sa, 0.0, ca));
        let [elevator, aileron, rudder] = state.surfaces_rad;
        let last = [alpha, beta, 0.0, elevator, aileron, rudder];
        let (before, begun, inverse, control_power) = (last, 0, None, [0.0; 3]);
        Self { task, turning, last, before, earlier: last, begun, down, inverse, control_power }
    }

    fn node(&mut self, node: usize, moving: &Moving) -> Result<Solved, Shortfall> {
        let time_s = self.task.time_s(node);
        let outside = |speed_mps: f64| Shortfall::Outside { time_s, speed_kt: knots(speed_mps) };
        let speed_ground = Vec3::<Fixed>::new(moving[3], moving[4], moving[5]).norm();
        let known = self
            .task
            .known(time_s, moving, self.turning.at(node), self.down)
            .ok_or_else(|| outside(speed_ground))?;
        let speed_mps = known.through_air_mps.norm();
        if !(speed_mps > SPEED_LEAST_MPS && speed_mps.is_finite()) {
            return Err(outside(speed_mps));
        }
        let guess: Unknowns = match self.begun {
            // The parabola through three, else the line through two.
            3.. => std::array::from_fn(|i| 3.0 * (self.last[i] - self.before[i]) + self.earlier[i]),
            _ => std::array::from_fn(|i| 2.0 * self.last[i] - self.before[i]),
        };
        let (known, x, found) = self.within_lift(node, known, guess)?;
        let solved = found.solved(&known, &x, self.control_power);
        let rows = solved.fixed_from_body.rows();
        let (sa, ca) = (base::math::sin(x[0]), base::math::cos(x[0]));
        let column = |i: usize| Vec3::<Fixed>::new(rows[0][i], rows[1][i], rows[2][i]);
        self.down = column(2) * ca - column(0) * sa;
        self.earlier = self.before;
        self.before = if self.begun > 0 { self.last } else { x };
        (self.last, self.begun) = (x, self.begun + 1);
        Ok(solved)
    }

    /// The node solved as asked; where the greatest lift does not give that, at the greatest lift, if no more lacks than may.
    fn within_lift(
        &mut self,
        node: usize,
        known: Known,
        guess: Unknowns,
    ) -> Result<(Known, Unknowns, Evaluated), Shortfall> {
        let (x, found) = self.solve(node, &known, guess);
        let (miss, most) = (found.norm(), self.task.alpha_most_rad);
        let stalls = most.is_some_and(|most| x[0] > most);
        if !stalls && miss <= SOLVED_ENOUGH {
            return Ok((known, x, found));
        }
        let speed_kt = knots(known.through_air_mps.norm());
        let lost = Shortfall::NoSolution { time_s: known.time_s, miss, speed_kt };
        let Some(most) = most else { return Err(lost) };
        // Another equation needs another matrix, before and after.
        let held = Known { held_rad: Some(most), ..known };
        let mut near = self.last;
        near[0] = most;
        self.inverse = None;
        let (at_most, at) = self.solve(node, &held, near);
        self.inverse = None;
        let flown = at.norm() <= SOLVED_ENOUGH;
        if flown && let Some((x, found)) = self.before_stall(node, &known, at_most, most) {
            return Ok((known, x, found));
        }
        if flown && at.aim_mps2.abs() <= self.task.short_most_mps2 {
            return Ok((held, at_most, at));
        }
        let available = at.solved(&held, &at_most, self.control_power).load_factor;
        let lacking = self.lift_missing(node, &known, flown.then_some(available), &x);
        let stalled = Shortfall::Incidence {
            time_s: known.time_s,
            needed_rad: x[0],
            available_rad: most,
            speed_kt,
        };
        Err(lacking.unwrap_or(if stalls { stalled } else { lost }))
    }

    /// The node solved as asked on this side of the greatest lift, begun a little before it: near it the search may have come down on
    /// the far side, though less lift is asked for than there is.
    fn before_stall(
        &mut self,
        node: usize,
        known: &Known,
        at_most: Unknowns,
        most_rad: f64,
    ) -> Option<(Unknowns, Evaluated)> {
        let mut near = at_most;
        near[0] = most_rad - BEFORE_RAD;
        let (x, found) = self.solve(node, known, near);
        let holds = x[0] <= most_rad && found.norm() <= SOLVED_ENOUGH;
        if !holds {
            self.inverse = None;
        }
        holds.then_some((x, found))
    }

    /// Newton's rule with a Jacobian that is kept as long as it serves.
    fn solve(&mut self, node: usize, known: &Known, guess: Unknowns) -> (Unknowns, Evaluated) {
        let most = self.task.alpha_most_rad.map_or(f64::INFINITY, |most| most + BEYOND_RAD);
        let mut x = guess;
        x[0] = x[0].min(most);
        let mut found = self.task.evaluate(node, known, &x);
        for _ in 0..4 {
            let mut norm = found.norm();
            if self.inverse.is_none() {
                self.differentiate(node, known, &x, &found);
            }
            for _ in 0..TRIES {
                if norm < SOLVED {
                    return (x, found);
                }
                let Some(inverse) = &self.inverse else { break };
                let step = apply(inverse, &found.residuals);
                let mut next: Unknowns = std::array::from_fn(|i| x[i] - step[i].clamp(-0.3, 0.3));
                // Never over the greatest lift: what lies behind is another branch.
                next[0] = next[0].min(most);
                let trial = self.task.evaluate(node, known, &next);
                let trial_norm = trial.norm();
                if !trial_norm.is_finite() {
                    break;
                }
                let poor = trial_norm > 0.3 * norm;
                if trial_norm < norm || norm > SOLVED_ENOUGH {
                    (x, found) = (next, trial);
                }
                norm = found.norm();
                if poor {
                    break;
                }
            }
            if norm < SOLVED {
                return (x, found);
            }
            self.inverse = None;
        }
        (x, found)
    }

    fn differentiate(&mut self, node: usize, known: &Known, x: &Unknowns, at: &Evaluated) {
        let mut matrix = [[0.0; 6]; 6];
        for j in 0..6 {
            let mut shifted = *x;
            shifted[j] += DIFFERENCE_RAD;
            let moved = self.task.evaluate(node, known, &shifted);
            for (row, (b, a)) in matrix.iter_mut().zip(moved.residuals.iter().zip(&at.residuals)) {
                row[j] = (b - a) / DIFFERENCE_RAD;
            }
        }
        self.control_power = [matrix[3][4], matrix[4][3], matrix[5][5]];
        self.inverse = inverted(matrix);
    }

    /// The load factor that lacks, where one is asked for and the greatest lift does not give it; `available` as found there.
    fn lift_missing(
        &self,
        node: usize,
        known: &Known,
        available: Option<f64>,
        x: &Unknowns,
    ) -> Option<Shortfall> {
        let available = available.or_else(|| {
            // Controls as the last two moments lead on to: those of the search say nothing where there is no solution.
            let mut held: Unknowns = std::array::from_fn(|i| 2.0 * self.last[i] - self.before[i]);
            (held[0], held[2]) = (self.task.alpha_most_rad?, x[2]);
            let mut at = self.task.evaluate(node, known, &held);
            // The elevator that balances it: a held one would tell more lift than there is.
            for _ in 0..TRIES {
                let step = at.residuals[4] / self.control_power[1];
                if !step.is_finite() {
                    break;
                }
                held[3] -= step.clamp(-0.3, 0.3);
                at = self.task.evaluate(node, known, &held);
            }
            Some(at.solved(known, &held, self.control_power).load_factor)
        })?;
        let needed = match self.task.asked[node].aim {
            Aim::LoadAndBank { load_factor, .. } => load_factor,
            Aim::LevelAndBank { bank_rad, .. } => 1.0 / base::math::cos(bank_rad),
            Aim::ClimbAndBank { climb_rad, climb_rate_radps, bank_rad } => {
                let bending = known.through_air_mps.norm() * climb_rate_radps;
                let upwards = bending / STANDARD_GRAVITY_MPS2 + base::math::cos(climb_rad);
                upwards / base::math::cos(bank_rad)
            }
            Aim::PitchAndBank { .. } | Aim::Attitude(_) => return None,
        };
        let short = needed > available;
        let speed_kt = knots(known.through_air_mps.norm());
        short.then_some(Shortfall::Lift { time_s: known.time_s, needed, available, speed_kt })
    }
}

/// Where the search begins again before the greatest lift, rad.
const BEFORE_RAD: f64 = 0.02;

/// Slower than this nothing is flown, m/s.
const SPEED_LEAST_MPS: f64 = 3.0;

fn apply(inverse: &[[f64; 6]; 6], r: &[f64; 6]) -> [f64; 6] {
    std::array::from_fn(|i| inverse[i].iter().zip(r).map(|(a, b)| a * b).sum())
}

/// Inverse by elimination with the largest pivot; `None` when there is none.
fn inverted(mut a: [[f64; 6]; 6]) -> Option<[[f64; 6]; 6]> {
    let mut b = [[0.0; 6]; 6];
    for (i, row) in b.iter_mut().enumerate() {
        row[i] = 1.0;
    }
    for column in 0..6 {
        let pivot =
            (column..6).max_by(|&i, &j| a[i][column].abs().total_cmp(&a[j][column].abs()))?;
        a.swap(column, pivot);
        b.swap(column, pivot);
        let scale = 1.0 / a[column][column];
        if !scale.is_finite() {
            return None;
        }
        for j in 0..6 {
            a[column][j] *= scale;
            b[column][j] *= scale;
        }
        for i in (0..6).filter(|&i| i != column) {
            let factor = a[i][column];
            for j in 0..6 {
                a[i][j] -= factor * a[column][j];
                b[i][j] -= factor * b[column][j];
            }
        }
    }
    Some(b)
}
