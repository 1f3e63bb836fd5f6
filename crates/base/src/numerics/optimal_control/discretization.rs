//! One interval: a step of the classic Runge-Kutta rule with its first and second derivatives.
#![allow(clippy::needless_range_loop, reason = "matrix kernels read best with their indices")]
#![allow(clippy::float_cmp, reason = "products with exact nil are passed over")]

use super::{Duration, Problem, Rates};

/// Where an interval lies.
#[derive(Debug, Clone, Copy)]
pub(super) struct Cell {
    pub(super) phase: usize,
    /// Length as a share of the phase.
    pub(super) share: f64,
    pub(super) duration: Duration,
}

impl Cell {
    /// Length of the phase.
    fn seconds(&self, parameters: &[f64]) -> f64 {
        match self.duration {
            Duration::Fixed(value) => value,
            Duration::Parameter(index) => parameters[index],
        }
    }
}

/// State, controls and parameters one after the other.
pub(super) fn arguments<const NX: usize, const NU: usize, const NW: usize>(
    x: &[f64; NX],
    u: &[f64; NU],
    parameters: &[f64],
) -> [f64; NW] {
    let mut w = [0.0; NW];
    w[..NX].copy_from_slice(x);
    w[NX..NX + NU].copy_from_slice(u);
    w[NX + NU..].copy_from_slice(&parameters[..NW - NX - NU]);
    w
}

/// Where the four evaluations stand, as a share of the step by the rate before them, and their weights.
const REACH: [f64; 4] = [0.0, 0.5, 0.5, 1.0];
const WEIGHT: [f64; 4] = [1.0 / 6.0, 1.0 / 3.0, 1.0 / 3.0, 1.0 / 6.0];

/// State at the end of an interval, and its running cost.
pub(super) fn step<
    P: Problem<NX, NU, NW, NG, NB>,
    const NX: usize,
    const NU: usize,
    const NW: usize,
    const NG: usize,
    const NB: usize,
>(
    problem: &P,
    cell: &Cell,
    w: &[f64; NW],
) -> ([f64; NX], f64) {
    let length = cell.share * cell.seconds(&w[NX + NU..]);
    let mut end: [f64; NX] = std::array::from_fn(|i| w[i]);
    let mut cost = 0.0;
    let mut rate = [0.0; NX];
    for stage in 0..4 {
        let mut at = *w;
        for i in 0..NX {
            at[i] += length * REACH[stage] * rate[i];
        }
        let (value, running) = problem.rates(cell.phase, &at);
        rate = value;
        for i in 0..NX {
            end[i] += length * WEIGHT[stage] * rate[i];
        }
        cost += length * WEIGHT[stage] * running;
    }
    (end, cost)
}

/// An interval with its derivatives.
#[derive(Debug, Clone)]
pub(super) struct Interval<const NX: usize, const NW: usize> {
    /// State at the end.
    pub(super) end: [f64; NX],
    /// Running cost.
    pub(super) cost: f64,
    /// Derivatives of the state at the end.
    pub(super) jacobian: [[f64; NW]; NX],
    /// Derivatives of the running cost.
    pub(super) gradient: [f64; NW],
    /// Second derivatives of costate times state at the end plus running cost.
    pub(super) hessian: [[f64; NW]; NW],
}

impl<const NX: usize, const NW: usize> Interval<NX, NW> {
    pub(super) const EMPTY: Self = Self {
        end: [0.0; NX],
        cost: 0.0,
        jacobian: [[0.0; NW]; NX],
        gradient: [0.0; NW],
        hessian: [[0.0; NW]; NW],
    };
}

/// Fills an interval from its arguments and the costate at its end.
pub(super) fn differentiate<
    P: Problem<NX, NU, NW, NG, NB>,
    const NX: usize,
    const NU: usize,
    const NW: usize,
    const NG: usize,
    const NB: usize,
>(
    problem: &P,
    cell: &Cell,
    w: &[f64; NW],
    costate: &[f64; NX],
    out: &mut Interval<NX, NW>,
) {
    let (seconds, free) = (cell.seconds(&w[NX + NU..]), free_time::<NX, NU>(cell));
    let length = cell.share * seconds;
    let mut stages = [Stage::<NX, NW>::EMPTY; 4];
    let mut points = [None; 4];
    out.end.copy_from_slice(&w[..NX]);
    out.cost = 0.0;
    out.gradient = [0.0; NW];
    out.jacobian = identity();
    let mut before = Stage::<NX, NW>::EMPTY;
    for (index, stage) in stages.iter_mut().enumerate() {
        stage.w = *w;
        stage.reach = identity();
        let reach = cell.share * REACH[index];
        for i in 0..NX {
            stage.w[i] += reach * seconds * before.rates.value[i];
            for c in 0..NW {
                stage.reach[i][c] += reach * before.slope[i][c];
            }
        }
        let (rates, point) = problem.linearize(cell.phase, &stage.w);
        (stage.rates, points[index]) = (rates, Some(point));
        stage.spread(seconds, free);
        let weight = WEIGHT[index];
        out.cost += length * weight * stage.rates.cost;
        for i in 0..NX {
            out.end[i] += length * weight * stage.rates.value[i];
            for c in 0..NW {
                out.jacobian[i][c] += cell.share * weight * stage.slope[i][c];
            }
        }
        for c in 0..NW {
            out.gradient[c] += cell.share * weight * stage.cost_slope[c];
        }
        before = *stage;
    }
    curve::<P, NX, NU, NW, NG, NB>(
        problem,
        cell,
        (seconds, free),
        (&stages, &points, costate),
        out,
    );
}

/// Index of the argument that is the length of the phase.
fn free_time<const NX: usize, const NU: usize>(cell: &Cell) -> Option<usize> {
    match cell.duration {
        Duration::Fixed(_) => None,
        Duration::Parameter(index) => Some(NX + NU + index),
    }
}

fn identity<const NX: usize, const NW: usize>() -> [[f64; NW]; NX] {
    let mut out = [[0.0; NW]; NX];
    for i in 0..NX {
        out[i][i] = 1.0;
    }
    out
}

type Stages<const NX: usize, const NW: usize> = [Stage<NX, NW>; 4];

/// One of the four evaluations in an interval.
#[derive(Debug, Clone, Copy)]
struct Stage<const NX: usize, const NW: usize> {
    w: [f64; NW],
    rates: Rates<NX, NW>,
    /// Derivatives of its state by the arguments of the interval.
    reach: [[f64; NW]; NX],
    /// Derivatives of length times rate by the arguments of the interval.
    slope: [[f64; NW]; NX],
    cost_slope: [f64; NW],
}

impl<const NX: usize, const NW: usize> Stage<NX, NW> {
    const EMPTY: Self = Self {
        w: [0.0; NW],
        rates: Rates {
            value: [0.0; NX],
            cost: 0.0,
            jacobian: [[0.0; NW]; NX],
            cost_gradient: [0.0; NW],
        },
        reach: [[0.0; NW]; NX],
        slope: [[0.0; NW]; NX],
        cost_slope: [0.0; NW],
    };
    /// Derivatives by the arguments of the interval from those at the stage.
    fn spread(&mut self, seconds: f64, free: Option<usize>) {
        for i in 0..NX {
            self.slope[i] = through(&self.rates.jacobian[i], &self.reach, seconds);
        }
        self.cost_slope = through(&self.rates.cost_gradient, &self.reach, seconds);
        if let Some(free) = free {
            for i in 0..NX {
                self.slope[i][free] += self.rates.value[i];
            }
            self.cost_slope[free] += self.rates.cost;
        }
    }
}

/// A gradient at a stage, by the arguments of the interval, times a factor.
#[inline]
fn through<const NX: usize, const NW: usize>(
    gradient: &[f64; NW],
    reach: &[[f64; NW]; NX],
    factor: f64,
) -> [f64; NW] {
    let mut out = [0.0; NW];
    for c in NX..NW {
        out[c] = factor * gradient[c];
    }
    for j in 0..NX {
        let slope = factor * gradient[j];
        // Equations of motion depend on few of their variables each: half of the products are nil.
        if slope != 0.0 {
            for c in 0..NW {
                out[c] += slope * reach[j][c];
            }
        }
    }
    out
}

/// Second derivatives, backward through the stages.
fn curve<
    P: Problem<NX, NU, NW, NG, NB>,
    const NX: usize,
    const NU: usize,
    const NW: usize,
    const NG: usize,
    const NB: usize,
>(
    problem: &P,
    cell: &Cell,
    (seconds, free): (f64, Option<usize>),
    (stages, points, costate): (&Stages<NX, NW>, &[Option<P::Point>; 4], &[f64; NX]),
    out: &mut Interval<NX, NW>,
) {
    out.hessian = [[0.0; NW]; NW];
    // Derivative of the weighted sum by the state of the stage after this one.
    let mut later = [0.0; NX];
    for index in (0..4).rev() {
        let stage = &stages[index];
        let reach = if index < 3 { cell.share * REACH[index + 1] } else { 0.0 };
        let cost_weight = cell.share * WEIGHT[index];
        let weights: [f64; NX] =
            std::array::from_fn(|i| cost_weight * costate[i] + reach * later[i]);
        let gradient = weighted(&stage.rates, &weights, cost_weight);
        let mut local = [[0.0; NW]; NW];
        if let Some(point) = &points[index] {
            problem.curvature(cell.phase, point, (&weights, cost_weight), &mut local);
        }
        // The curvature at the stage by the arguments of the interval, on one side, then on the other.
        let mut half = [[0.0; NW]; NW];
        for r in 0..NW {
            if local[r].iter().any(|second| *second != 0.0) {
                half[r] = through(&local[r], &stage.reach, seconds);
            }
        }
        for r in NX..NW {
            for c in 0..NW {
                out.hessian[r][c] += half[r][c];
            }
        }
        for j in 0..NX {
            if local[j].iter().all(|second| *second == 0.0) {
                continue;
            }
            for r in 0..NW {
                let slope = stage.reach[j][r];
                if slope != 0.0 {
                    for c in 0..NW {
                        out.hessian[r][c] += slope * half[j][c];
                    }
                }
            }
        }
        if let Some(free) = free {
            let slope = through(&gradient, &stage.reach, 1.0);
            for c in 0..NW {
                out.hessian[free][c] += slope[c];
                out.hessian[c][free] += slope[c];
            }
        }
        for i in 0..NX {
            later[i] = seconds * gradient[i];
        }
    }
}

/// Gradient at a stage of the weighted rates plus weighted cost.
fn weighted<const NX: usize, const NW: usize>(
    rates: &Rates<NX, NW>,
    weights: &[f64; NX],
    cost_weight: f64,
) -> [f64; NW] {
    let mut out = rates.cost_gradient.map(|slope| cost_weight * slope);
    for i in 0..NX {
        for c in 0..NW {
            out[c] += weights[i] * rates.jacobian[i][c];
        }
    }
    out
}
