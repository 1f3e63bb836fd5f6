//! From coarse meshes to fine ones: intervals are halved, the solution of one mesh begins the next.

use super::discretization::{Cell, arguments, step};
use super::interior_point::{Control, Solution, Stop, solve};
use super::{Problem, Trajectory};

/// Barrier at which a coarse mesh is left: near enough for the next one, not yet pressed against the bounds.
const HANDOVER: f64 = 1e-4;

/// A solution on the finest mesh that was needed.
#[derive(Debug, Clone, PartialEq)]
pub struct Refined<const NX: usize, const NU: usize, const NG: usize, const NB: usize> {
    /// The solution.
    pub solution: Solution<NX, NU, NG, NB>,
    /// Change of the objective from the mesh before, as a share: an estimate of what the mesh costs from above. `None` when only one
    /// mesh was solved.
    pub change: Option<f64>,
    /// Iterations over all meshes.
    pub iterations: usize,
}

/// Solves on the mesh of the guess and on finer ones, each with twice the intervals, until the objective changes by less than
/// `accuracy` (a share of its magnitude) or `doublings` are done. A mesh that is not solved ends the search with its reason.
pub fn refine<
    P: Problem<NX, NU, NW, NG, NB>,
    const NX: usize,
    const NU: usize,
    const NW: usize,
    const NG: usize,
    const NB: usize,
>(
    problem: &P,
    guess: Trajectory<NX, NU, NG, NB>,
    (accuracy, doublings): (f64, usize),
    control: &Control,
) -> Refined<NX, NU, NG, NB> {
    let early = Control { barrier_last: HANDOVER.max(control.barrier_last), ..*control };
    let (mut begin, mut before, mut iterations) = (guess, None, 0);
    for level in 0.. {
        let left = solve(problem, begin, &early);
        iterations += left.iterations;
        let mut next = left.trajectory.clone();
        let solution =
            if left.stop == Stop::Solved { solve(problem, left.trajectory, control) } else { left };
        iterations += solution.iterations;
        let change = before.map(|before: f64| {
            (solution.objective - before).abs() / solution.objective.abs().max(f64::MIN_POSITIVE)
        });
        let enough = change.is_some_and(|change| change < accuracy) || level == doublings;
        if enough || solution.stop != Stop::Solved {
            return Refined { solution, change, iterations };
        }
        before = Some(solution.objective);
        next = doubled(problem, &next);
        begin = next;
    }
    unreachable!("the last doubling ends the loop")
}

/// Solves on the mesh with `2^doublings` times the intervals of the guess, coarse meshes only as far as they help the next.
pub fn climb<
    P: Problem<NX, NU, NW, NG, NB>,
    const NX: usize,
    const NU: usize,
    const NW: usize,
    const NG: usize,
    const NB: usize,
>(
    problem: &P,
    guess: Trajectory<NX, NU, NG, NB>,
    doublings: usize,
    control: &Control,
) -> Solution<NX, NU, NG, NB> {
    let early = Control { barrier_last: HANDOVER.max(control.barrier_last), ..*control };
    let (mut begin, mut iterations) = (guess, 0);
    for _ in 0..doublings {
        let left = solve(problem, begin, &early);
        iterations += left.iterations;
        if left.stop != Stop::Solved {
            return Solution { iterations, ..left };
        }
        begin = doubled(problem, &left.trajectory);
    }
    let mut solution = solve(problem, begin, control);
    solution.iterations += iterations;
    solution
}

/// The trajectory on a mesh of twice the intervals: the equations of motion give the states between, neighbors the multipliers.
pub fn doubled<
    P: Problem<NX, NU, NW, NG, NB>,
    const NX: usize,
    const NU: usize,
    const NW: usize,
    const NG: usize,
    const NB: usize,
>(
    problem: &P,
    from: &Trajectory<NX, NU, NG, NB>,
) -> Trajectory<NX, NU, NG, NB> {
    let durations = problem.durations();
    let intervals: Vec<usize> = from.intervals.iter().map(|n| 2 * n).collect();
    let parameters = &from.border[..NW - NX - NU];
    let mesh = (&intervals[..], from.crowding);
    let mut to = Trajectory::guess_crowded(mesh, parameters, |_, _| ([0.0; NX], [0.0; NU]));
    let shares: Vec<f64> = to.cells().map(|(_, _, share)| share).collect();
    to.border = from.border;
    to.parameter_duals = from.parameter_duals;
    to.barrier = from.barrier;
    to.states[0] = from.states[0];
    to.costates[0] = from.costates[0];
    for (k, (phase, begins, _)) in from.cells().enumerate() {
        let cell = Cell { phase, share: shares[2 * k], duration: durations[phase] };
        let w = arguments::<NX, NU, NW>(&from.states[k], &from.controls[k], &from.border);
        let (middle, end) = (2 * k + 1, 2 * k + 2);
        to.states[middle] = step::<P, NX, NU, NW, NG, NB>(problem, &cell, &w).0;
        to.states[end] = from.states[k + 1];
        to.costates[middle] =
            std::array::from_fn(|i| 0.5 * (from.costates[k][i] + from.costates[k + 1][i]));
        to.costates[end] = from.costates[k + 1];
        for half in [2 * k, 2 * k + 1] {
            to.controls[half] = from.controls[k];
            to.control_duals[half] = from.control_duals[k];
        }
        // Conditions differ between phases: at the beginning of one only the node that follows tells.
        let before = if begins > 0.0 { k } else { k + 1 };
        let mean = |list: &[[f64; NG]]| {
            std::array::from_fn(|i| (list[before][i] * list[k + 1][i]).max(0.0).sqrt())
        };
        to.slacks[middle] = mean(&from.slacks);
        to.duals[middle] = mean(&from.duals);
        to.slacks[end] = from.slacks[k + 1];
        to.duals[end] = from.duals[k + 1];
    }
    to
}
