//! Filter line search.

use super::super::discretization::{arguments, step as flown};
use super::super::{Problem, Rows, Trajectory};
use super::step::Step;
use super::system::{System, parameters};
use crate::math::{ln, pow};

/// Pairs of violation and barrier function that are not to be come back to.
#[derive(Debug, Default)]
pub(super) struct Filter {
    pairs: Vec<(f64, f64)>,
    violation_max: Option<f64>,
}

/// Shares by which a step must better the violation or the barrier function.
const BETTER_VIOLATION: f64 = 1e-5;
const BETTER_BARRIER: f64 = 1e-8;

impl Filter {
    pub(super) fn clear(&mut self) {
        self.pairs.clear();
    }
    fn accepts(&self, violation: f64, value: f64) -> bool {
        self.violation_max.is_none_or(|most| violation <= most)
            && self.pairs.iter().all(|&(v, b)| {
                violation <= (1.0 - BETTER_VIOLATION) * v || value <= b - BETTER_BARRIER * v
            })
    }
}

/// Violation (sum of magnitudes) and barrier function of a trajectory.
fn measure<
    P: Problem<NX, NU, NW, NG, NB>,
    const NX: usize,
    const NU: usize,
    const NW: usize,
    const NG: usize,
    const NB: usize,
>(
    problem: &P,
    system: &System<NX, NU, NW, NG, NB>,
    at: &Trajectory<NX, NU, NG, NB>,
    barrier: f64,
) -> (f64, f64) {
    let (mut violation, mut cost, mut logarithms) = (0.0, 0.0, 0.0);
    for (k, cell) in system.cells.iter().enumerate() {
        let w = arguments(&at.states[k], &at.controls[k], &at.border);
        let (end, running) = flown::<P, NX, NU, NW, NG, NB>(problem, cell, &w);
        cost += running;
        violation += end.iter().zip(&at.states[k + 1]).map(|(a, b)| (a - b).abs()).sum::<f64>();
        let (node, w) = (system.node(k), System::<NX, NU, NW, NG, NB>::node_arguments(at, k + 1));
        let mut rows = Rows::<NG, NW>::default();
        problem.inequalities(node, &w, &mut rows);
        // Products of slacks by weight, so that logarithms are few.
        let (mut along, mut point) = (1.0, 1.0);
        for i in 0..rows.count {
            let slack = at.slacks[k + 1][i];
            violation += (rows.value[i] - slack).abs();
            *(if rows.point[i] { &mut point } else { &mut along }) *= slack;
        }
        for (u, limits) in at.controls[k].iter().zip(&system.control_limits[cell.phase]) {
            along *= (u - limits.0) * (limits.1 - u);
        }
        logarithms += system.weight(k, false) * ln(along) + ln(point);
        if node.ends {
            let mut rows = Rows::<NB, NW>::default();
            problem.equalities(node.phase, &w, &mut rows);
            violation += rows.value[..rows.count].iter().map(|miss| miss.abs()).sum::<f64>();
        }
    }
    for i in 0..parameters::<NX, NU, NW>() {
        let limits = system.parameter_limits[i];
        logarithms += ln((at.border[i] - limits.0) * (limits.1 - at.border[i]));
    }
    let last = System::<NX, NU, NW, NG, NB>::node_arguments(at, system.cells.len());
    (violation, cost + problem.end_cost(&last).0 - barrier * logarithms)
}

/// Shortens the step until it is acceptable and takes it, from `now` to `trial`; false when no share of it is.
pub(super) fn search<
    P: Problem<NX, NU, NW, NG, NB>,
    const NX: usize,
    const NU: usize,
    const NW: usize,
    const NG: usize,
    const NB: usize,
>(
    problem: &P,
    system: &System<NX, NU, NW, NG, NB>,
    (now, trial): (&Trajectory<NX, NU, NG, NB>, &mut Trajectory<NX, NU, NG, NB>),
    step: &Step<NX, NU, NG, NB>,
    (barrier, filter): (f64, &mut Filter),
) -> bool {
    let (violation, value) = measure(problem, system, now, barrier);
    filter.violation_max.get_or_insert(1e4 * violation.max(1.0));
    let (primal, dual) = step.reach(system, now, barrier);
    let mut share = primal;
    // Rounding hides changes below this.
    let grain = 10.0 * f64::EPSILON * value.abs().max(1.0);
    for _ in 0..24 {
        step.go(now, trial, share);
        let (next_violation, next_value) = measure(problem, system, trial, barrier);
        if next_violation.is_finite()
            && next_value.is_finite()
            && filter.accepts(next_violation, next_value - grain)
        {
            let descends = step.slope < 0.0
                && share * pow(-step.slope, 2.3) > pow(violation, 1.1)
                && violation <= 1e-4;
            let armijo = next_value <= value + 1e-8 * share * step.slope + grain;
            let better = next_violation <= (1.0 - BETTER_VIOLATION) * violation + 1e-13
                || next_value <= value - BETTER_BARRIER * violation + grain;
            if if descends { armijo } else { better } {
                if !(descends && armijo) {
                    let pair =
                        ((1.0 - BETTER_VIOLATION) * violation, value - BETTER_BARRIER * violation);
                    filter.pairs.push(pair);
                }
                step.go_duals(system, (now, trial), (share, dual), barrier);
                return true;
            }
        }
        share *= 0.5;
    }
    false
}
