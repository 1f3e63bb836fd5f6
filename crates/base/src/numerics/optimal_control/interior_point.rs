//! The interior-point iteration: barrier, regularization, filter line search, reasons for stopping.
//!
//! Inequalities get slacks; slack times multiplier is driven to the barrier parameter and that to nil. The step solves the primal-dual
//! system by [`super::riccati`]; where it would not lead to a minimum the second derivatives are shifted until it does. A step is
//! shortened until either the violation of the conditions or the barrier function falls enough against a filter of pairs that are
//! not to be come back to.
//!
//! # Source
//! WB-2006 (filter, regularization, barrier rule), with barrier terms weighted by the share of an interval (own).
#![allow(clippy::needless_range_loop, reason = "matrix kernels read best with their indices")]

mod line_search;
mod step;
mod system;

use super::{Duration, Problem, Trajectory};
use line_search::Filter;
use step::Step;
use system::System;

/// How to search.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Control {
    /// Largest miss of stationarity, conditions and complementarity that counts as solved.
    pub tolerance: f64,
    /// Most iterations.
    pub iterations_max: usize,
    /// Barrier to begin with, when the guess brings none.
    pub barrier_first: f64,
    /// Barrier to end with: larger than nil to leave a coarse mesh early.
    pub barrier_last: f64,
}

impl Default for Control {
    fn default() -> Self {
        Self { tolerance: 1e-8, iterations_max: 300, barrier_first: 0.1, barrier_last: 0.0 }
    }
}

/// Why the search stopped.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stop {
    /// Within the tolerance.
    Solved,
    /// As many iterations as allowed.
    Iterations,
    /// No shorter step improves anything and more regularization does not help: perhaps no trajectory meets the conditions.
    NoStep,
    /// The problem's functions are not finite at the guess.
    NotFinite,
}

/// What was found.
#[derive(Debug, Clone, PartialEq)]
pub struct Solution<const NX: usize, const NU: usize, const NG: usize, const NB: usize> {
    /// The trajectory with its multipliers.
    pub trajectory: Trajectory<NX, NU, NG, NB>,
    /// Cost at the end plus integral of the running cost.
    pub objective: f64,
    /// Why it stopped.
    pub stop: Stop,
    /// Iterations used.
    pub iterations: usize,
    /// Largest miss of the equations of motion, end conditions and slacks.
    pub violation: f64,
    /// Largest miss of stationarity.
    pub stationarity: f64,
}

/// Solves a problem from a guess; see [`super`]. The loop is bounded by `iterations_max`.
///
/// # Panics
/// When the sizes of the problem contradict one another.
pub fn solve<
    P: Problem<NX, NU, NW, NG, NB>,
    const NX: usize,
    const NU: usize,
    const NW: usize,
    const NG: usize,
    const NB: usize,
>(
    problem: &P,
    guess: Trajectory<NX, NU, NG, NB>,
    control: &Control,
) -> Solution<NX, NU, NG, NB> {
    assert!(
        NW >= NX + NU && NB >= NW - NX - NU,
        "states, controls and parameters are the arguments"
    );
    let mut system = System::<NX, NU, NW, NG, NB>::new(problem, &guess);
    let mut now = guess;
    now.states[0] = problem.start();
    let mut barrier = if now.barrier > 0.0 { now.barrier } else { control.barrier_first };
    system.begin(problem, &mut now, barrier);
    let mut trial = now.clone();
    let mut step = Step::new(&now);
    let mut filter = Filter::default();
    let mut shift = 0.0;
    let mut stop = Stop::Iterations;
    let mut iterations = 0;
    system.linearize(problem, &now);
    let mut miss = system.miss(&now);
    if !miss.is_finite() {
        stop = Stop::NotFinite;
    }
    while iterations < control.iterations_max && stop == Stop::Iterations {
        if miss.worst(control.barrier_last) <= control.tolerance {
            stop = Stop::Solved;
            break;
        }
        let lowered = lower(barrier, &miss, control);
        if lowered < barrier {
            barrier = lowered;
            filter.clear();
        }
        iterations += 1;
        if !advance(
            problem,
            &mut system,
            (&now, &mut trial),
            &mut step,
            (barrier, &mut shift, &mut filter),
        ) {
            stop = Stop::NoStep;
            break;
        }
        std::mem::swap(&mut now, &mut trial);
        system.linearize(problem, &now);
        miss = system.miss(&now);
    }
    now.barrier = barrier;
    Solution {
        objective: system.objective(),
        trajectory: now,
        stop,
        iterations,
        violation: miss.violation,
        stationarity: miss.stationarity,
    }
}

/// The barrier after those that the iterate has settled at are passed.
fn lower(mut barrier: f64, miss: &system::Miss, control: &Control) -> f64 {
    let least = control.barrier_last.max(0.1 * control.tolerance);
    while barrier > least && miss.worst(barrier) <= 10.0 * barrier {
        barrier = (0.2 * barrier).min(barrier * barrier.sqrt()).max(least);
    }
    barrier
}

/// One step, from `now` to `trial`; false when none was found.
fn advance<
    P: Problem<NX, NU, NW, NG, NB>,
    const NX: usize,
    const NU: usize,
    const NW: usize,
    const NG: usize,
    const NB: usize,
>(
    problem: &P,
    system: &mut System<NX, NU, NW, NG, NB>,
    (now, trial): (&Trajectory<NX, NU, NG, NB>, &mut Trajectory<NX, NU, NG, NB>),
    step: &mut Step<NX, NU, NG, NB>,
    (barrier, shift, filter): (f64, &mut f64, &mut Filter),
) -> bool {
    let mut least = 0.0;
    // A step that cannot be taken is tried again with the second derivatives shifted: shorter, and more along the slope.
    for _ in 0..6 {
        let Some(used) = system.factor(now, barrier, least, *shift) else { return false };
        if used > 0.0 {
            *shift = used;
        }
        system.solve(now, barrier, step);
        if line_search::search(problem, system, (now, trial), step, (barrier, filter)) {
            return true;
        }
        least = (100.0 * used).max(1e-2);
    }
    false
}

/// Index of the argument, if any, that a duration stands for, and the durations by phase.
fn duration_of(durations: &[Duration], phase: usize) -> Duration {
    durations.get(phase).copied().expect("every phase of the mesh has a duration")
}
