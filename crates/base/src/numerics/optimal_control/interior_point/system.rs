//! The linearized problem at an iterate, and its factor.
#![allow(clippy::needless_range_loop, reason = "matrix kernels read best with their indices")]

use super::super::discretization::{self, Cell, Interval, arguments};
use super::super::riccati::{self, Law, Link, Value};
use super::super::{Node, Problem, Rows, Trajectory};
use super::step::Step;

/// Weight of the square of an end condition (see [`riccati`]).
const CONDITION_WEIGHT: f64 = 10.0;

/// Misses of the equations of an iterate.
#[derive(Debug, Clone, Copy)]
pub(super) struct Miss {
    pub(super) violation: f64,
    pub(super) stationarity: f64,
    /// Least and greatest slack times multiplier.
    products: (f64, f64),
}

impl Miss {
    pub(super) fn worst(&self, barrier: f64) -> f64 {
        let complementarity = (self.products.1 - barrier).max(barrier - self.products.0);
        self.violation.max(self.stationarity).max(complementarity)
    }
    pub(super) fn is_finite(&self) -> bool {
        self.violation.is_finite() && self.stationarity.is_finite() && self.products.1.is_finite()
    }
}

/// Everything that belongs to one mesh; taken once.
#[derive(Debug)]
pub(super) struct System<
    const NX: usize,
    const NU: usize,
    const NW: usize,
    const NG: usize,
    const NB: usize,
> {
    pub(super) cells: Vec<Cell>,
    pub(super) control_limits: Vec<[(f64, f64); NU]>,
    pub(super) parameter_limits: [(f64, f64); NB],
    intervals: Vec<Interval<NX, NW>>,
    defects: Vec<[f64; NX]>,
    /// Conditions at the nodes, with their second derivatives times multipliers.
    inequalities: Vec<Rows<NG, NW>>,
    curvatures: Vec<[[f64; NW]; NW]>,
    equalities: Vec<Rows<NB, NW>>,
    /// First multiplier of each phase in the border.
    places: Vec<usize>,
    end_cost: (f64, [f64; NW]),
    values: Vec<Value<NX, NB>>,
    laws: Vec<Law<NX, NU, NB>>,
    border: [f64; NB],
}

/// Number of parameters.
pub(super) const fn parameters<const NX: usize, const NU: usize, const NW: usize>() -> usize {
    NW - NX - NU
}

impl<const NX: usize, const NU: usize, const NW: usize, const NG: usize, const NB: usize>
    System<NX, NU, NW, NG, NB>
{
    pub(super) fn new<P: Problem<NX, NU, NW, NG, NB>>(
        problem: &P,
        guess: &Trajectory<NX, NU, NG, NB>,
    ) -> Self {
        let durations = problem.durations();
        let cells: Vec<Cell> = guess
            .cells()
            .map(|(phase, _, share)| Cell {
                phase,
                share,
                duration: super::duration_of(durations, phase),
            })
            .collect();
        let (n, phases) = (cells.len(), guess.intervals.len());
        Self {
            control_limits: (0..phases).map(|phase| problem.control_limits(phase)).collect(),
            parameter_limits: problem.parameter_limits(),
            intervals: vec![Interval::EMPTY; n],
            defects: vec![[0.0; NX]; n],
            inequalities: vec![Rows::default(); n + 1],
            curvatures: vec![[[0.0; NW]; NW]; n + 1],
            equalities: vec![Rows::default(); phases],
            places: vec![parameters::<NX, NU, NW>(); phases],
            end_cost: (0.0, [0.0; NW]),
            values: vec![Value::NIL; n + 1],
            laws: vec![Law::NIL; n],
            border: [0.0; NB],
            cells,
        }
    }

    /// The node at the end of an interval.
    pub(super) fn node(&self, interval: usize) -> Node {
        let phase = self.cells[interval].phase;
        let ends = self.cells.get(interval + 1).is_none_or(|next| next.phase != phase);
        Node { phase, ends }
    }

    /// Weight of the barrier of a row: share of an interval along the path, one at a point.
    pub(super) fn weight(&self, interval: usize, point: bool) -> f64 {
        if point { 1.0 } else { self.cells[interval].share / self.equalities.len() as f64 }
    }

    /// Arguments of the node at the end of an interval, controls not set.
    pub(super) fn node_arguments(at: &Trajectory<NX, NU, NG, NB>, node: usize) -> [f64; NW] {
        arguments(&at.states[node], &[0.0; NU], &at.border)
    }

    /// Moves controls and parameters within their bounds; sets slacks and multipliers of a first guess, mends those of a known one.
    pub(super) fn begin<P: Problem<NX, NU, NW, NG, NB>>(
        &mut self,
        problem: &P,
        at: &mut Trajectory<NX, NU, NG, NB>,
        barrier: f64,
    ) {
        let known = at.barrier > 0.0;
        let share = if known { 1e-6 } else { 1e-2 };
        let inside = |value: f64, (low, high): (f64, f64)| {
            let margin = share * (high - low).min(1.0);
            value.clamp(low + margin, high - margin)
        };
        for i in 0..parameters::<NX, NU, NW>() {
            let (low, high) = self.parameter_limits[i];
            at.border[i] = inside(at.border[i], (low, high));
            if !known {
                at.parameter_duals[i] =
                    [barrier / (at.border[i] - low), barrier / (high - at.border[i])];
            }
        }
        for (k, cell) in self.cells.iter().enumerate() {
            for a in 0..NU {
                let (low, high) = self.control_limits[cell.phase][a];
                let u = inside(at.controls[k][a], (low, high));
                at.controls[k][a] = u;
                if !known {
                    at.control_duals[k][a] = [barrier / (u - low), barrier / (high - u)];
                }
            }
        }
        for k in 0..self.cells.len() {
            let mut rows = Rows::default();
            let w = Self::node_arguments(at, k + 1);
            problem.inequalities(self.node(k), &w, &mut rows);
            for i in 0..rows.count {
                let floor = if known { 1e-9 } else { 1e-2 };
                let slack = if known { at.slacks[k + 1][i] } else { rows.value[i] };
                at.slacks[k + 1][i] = slack.max(floor);
                if !known {
                    at.duals[k + 1][i] = barrier / at.slacks[k + 1][i];
                }
            }
        }
        let mut place = parameters::<NX, NU, NW>();
        let mut node = 0;
        for (phase, &n) in at.intervals.iter().enumerate() {
            node += n;
            let mut rows = Rows::default();
            problem.equalities(phase, &Self::node_arguments(at, node), &mut rows);
            self.places[phase] = place;
            place += rows.count;
        }
        assert!(place == NB, "parameters and end conditions fill the border: {place} of {NB}");
    }

    /// Linearizes everything at an iterate.
    pub(super) fn linearize<P: Problem<NX, NU, NW, NG, NB>>(
        &mut self,
        problem: &P,
        at: &Trajectory<NX, NU, NG, NB>,
    ) {
        for k in 0..self.cells.len() {
            let w = arguments(&at.states[k], &at.controls[k], &at.border);
            let cell = self.cells[k];
            let interval = &mut self.intervals[k];
            discretization::differentiate::<P, NX, NU, NW, NG, NB>(
                problem,
                &cell,
                &w,
                &at.costates[k + 1],
                interval,
            );
            for i in 0..NX {
                self.defects[k][i] = interval.end[i] - at.states[k + 1][i];
            }
            let (node, w) = (self.node(k), Self::node_arguments(at, k + 1));
            let rows = &mut self.inequalities[k + 1];
            *rows = Rows::default();
            problem.inequalities(node, &w, rows);
            let (count, point) = (rows.count, rows.point);
            let mut weights = [0.0; NG];
            for i in 0..count {
                weights[i] = -self.weight(k, point[i]) * at.duals[k + 1][i];
            }
            let curvature = &mut self.curvatures[k + 1];
            *curvature = [[0.0; NW]; NW];
            problem.inequality_curvature(node, &w, &weights, curvature);
            if node.ends {
                let rows = &mut self.equalities[node.phase];
                *rows = Rows::default();
                problem.equalities(node.phase, &w, rows);
                let place = self.places[node.phase];
                let weights = &at.border[place..place + rows.count];
                problem.equality_curvature(node.phase, &w, weights, curvature);
            }
        }
        let last = Self::node_arguments(at, self.cells.len());
        self.end_cost = problem.end_cost(&last);
    }

    pub(super) fn objective(&self) -> f64 {
        self.end_cost.0 + self.intervals.iter().map(|interval| interval.cost).sum::<f64>()
    }

    /// How far the iterate is from being solved.
    pub(super) fn miss(&self, at: &Trajectory<NX, NU, NG, NB>) -> Miss {
        let first = NX + NU;
        let (mut violation, mut stationarity) = (0.0_f64, 0.0_f64);
        let mut products = (f64::INFINITY, 0.0_f64);
        let mut product = |value: f64| products = (products.0.min(value), products.1.max(value));
        let mut of_parameters = [0.0; NW];
        for k in (0..self.cells.len()).rev() {
            let mut node = self.node_slope(at, k, &mut violation, &mut product);
            if let Some(next) = self.intervals.get(k + 1) {
                let slope = slope(next, &at.costates[k + 2]);
                for i in 0..NX {
                    node[i] += slope[i];
                }
            }
            for i in 0..NX {
                stationarity = worse(stationarity, node[i] - at.costates[k + 1][i]);
                violation = worse(violation, self.defects[k][i]);
            }
            let along = slope(&self.intervals[k], &at.costates[k + 1]);
            let weight = self.weight(k, false);
            for a in 0..NU {
                let [low, high] = at.control_duals[k][a];
                stationarity = worse(stationarity, along[NX + a] + weight * (high - low));
                let limits = self.control_limits[self.cells[k].phase][a];
                product(low * (at.controls[k][a] - limits.0));
                product(high * (limits.1 - at.controls[k][a]));
            }
            for c in first..NW {
                of_parameters[c] += along[c] + node[c];
            }
        }
        for c in first..NW {
            let [low, high] = at.parameter_duals[c - first];
            stationarity = worse(stationarity, of_parameters[c] + high - low);
            let limits = self.parameter_limits[c - first];
            product(low * (at.border[c - first] - limits.0));
            product(high * (limits.1 - at.border[c - first]));
        }
        if products.0 > products.1 {
            products = (0.0, 0.0);
        }
        Miss { violation, stationarity, products }
    }

    /// Slope of the Lagrangian by the arguments of the node after an interval, from its conditions and the cost at the end.
    fn node_slope(
        &self,
        at: &Trajectory<NX, NU, NG, NB>,
        k: usize,
        violation: &mut f64,
        product: &mut impl FnMut(f64),
    ) -> [f64; NW] {
        let mut slope = [0.0; NW];
        let rows = &self.inequalities[k + 1];
        for i in 0..rows.count {
            let (slack, dual) = (at.slacks[k + 1][i], at.duals[k + 1][i]);
            let factor = self.weight(k, rows.point[i]) * dual;
            for c in 0..NW {
                slope[c] -= factor * rows.gradient[i][c];
            }
            *violation = worse(*violation, rows.value[i] - slack);
            product(slack * dual);
        }
        let node = self.node(k);
        if node.ends {
            let rows = &self.equalities[node.phase];
            for i in 0..rows.count {
                let multiplier = at.border[self.places[node.phase] + i];
                for c in 0..NW {
                    slope[c] += multiplier * rows.gradient[i][c];
                }
                *violation = worse(*violation, rows.value[i]);
            }
        }
        if k + 1 == self.cells.len() {
            for c in 0..NW {
                slope[c] += self.end_cost.1[c];
            }
        }
        slope
    }

    /// Factors with the second derivatives shifted by no less than `least`, by more when the step would not lead to a minimum; the
    /// shift used, or `None` when none does.
    pub(super) fn factor(
        &mut self,
        at: &Trajectory<NX, NU, NG, NB>,
        barrier: f64,
        least: f64,
        before: f64,
    ) -> Option<f64> {
        let mut shift = least;
        while !self.try_factor(at, barrier, shift) {
            shift = if shift == 0.0 { (before / 3.0).max(1e-4) } else { 8.0 * shift };
            if shift > 1e12 {
                return None;
            }
        }
        Some(shift)
    }

    fn try_factor(&mut self, at: &Trajectory<NX, NU, NG, NB>, barrier: f64, shift: f64) -> bool {
        let n = self.cells.len();
        let mut value = Value::NIL;
        value.add::<NU, NW>(&[[0.0; NW]; NW], &self.end_cost.1);
        for k in (0..n).rev() {
            self.add_node(at, k, barrier, &mut value);
            self.values[k + 1] = value;
            let interval = &self.intervals[k];
            let (mut hessian, mut gradient) = (interval.hessian, interval.gradient);
            let weight = self.weight(k, false);
            for i in 0..NX + NU {
                hessian[i][i] += shift * weight;
            }
            for a in 0..NU {
                let (low, high) = self.control_limits[self.cells[k].phase][a];
                let (below, above) = (at.controls[k][a] - low, high - at.controls[k][a]);
                let [dual_low, dual_high] = at.control_duals[k][a];
                hessian[NX + a][NX + a] += weight * (dual_low / below + dual_high / above);
                gradient[NX + a] += weight * barrier * (1.0 / above - 1.0 / below);
            }
            let link = Link {
                jacobian: &interval.jacobian,
                defect: &self.defects[k],
                hessian: &hessian,
                gradient: &gradient,
            };
            let Some((next, law)) = riccati::backward(&link, &value) else { return false };
            self.laws[k] = law;
            value = next;
        }
        let parameters = parameters::<NX, NU, NW>();
        for i in 0..parameters {
            let (low, high) = self.parameter_limits[i];
            let (below, above) = (at.border[i] - low, high - at.border[i]);
            let [dual_low, dual_high] = at.parameter_duals[i];
            value.r[i][i] += dual_low / below + dual_high / above + shift;
            value.h[i] += barrier * (1.0 / above - 1.0 / below);
        }
        self.values[0] = value;
        match riccati::border(&value, NB - parameters) {
            Some(border) => {
                self.border = border;
                true
            }
            None => false,
        }
    }

    /// Adds the conditions of the node after an interval to the cost to go.
    fn add_node(
        &self,
        at: &Trajectory<NX, NU, NG, NB>,
        k: usize,
        barrier: f64,
        value: &mut Value<NX, NB>,
    ) {
        let rows = &self.inequalities[k + 1];
        let mut hessian = self.curvatures[k + 1];
        let mut gradient = [0.0; NW];
        for i in 0..rows.count {
            let (slack, dual) = (at.slacks[k + 1][i], at.duals[k + 1][i]);
            let weight = self.weight(k, rows.point[i]);
            let stiffness = dual / slack;
            let force = weight * (barrier / slack - stiffness * (rows.value[i] - slack));
            for r in 0..NW {
                let slope = rows.gradient[i][r];
                if slope == 0.0 {
                    continue;
                }
                gradient[r] -= force * slope;
                for c in 0..NW {
                    hessian[r][c] += weight * stiffness * slope * rows.gradient[i][c];
                }
            }
        }
        value.add::<NU, NW>(&hessian, &gradient);
        let node = self.node(k);
        if node.ends {
            let rows = &self.equalities[node.phase];
            for i in 0..rows.count {
                let place = self.places[node.phase] + i;
                let miss = (rows.value[i], &rows.gradient[i]);
                value.condition::<NU, NW>(miss, place, CONDITION_WEIGHT);
            }
        }
    }

    /// The step of the last factor.
    pub(super) fn solve(
        &self,
        at: &Trajectory<NX, NU, NG, NB>,
        barrier: f64,
        step: &mut Step<NX, NU, NG, NB>,
    ) {
        let parameters = parameters::<NX, NU, NW>();
        step.border = self.border;
        for i in parameters..NB {
            step.border[i] -= at.border[i];
        }
        let mut x = [0.0; NX];
        step.slope = 0.0;
        for k in 0..self.cells.len() {
            let u = self.laws[k].controls(&x, &self.border);
            let d: [f64; NW] = arguments(&x, &u, &self.border);
            step.slope += dot(&self.intervals[k].gradient, &d);
            step.controls[k] = u;
            let interval = &self.intervals[k];
            for i in 0..NX {
                x[i] = self.defects[k][i] + dot(&interval.jacobian[i], &d);
            }
            step.states[k + 1] = x;
            let value = &self.values[k + 1];
            for i in 0..NX {
                let costate = value.g[i] + dot(&value.p[i], &x) + dot(&value.q[i], &self.border);
                step.costates[k + 1][i] = costate - at.costates[k + 1][i];
            }
            let d: [f64; NW] = arguments(&x, &[0.0; NU], &self.border);
            let rows = &self.inequalities[k + 1];
            for i in 0..rows.count {
                let (slack, dual) = (at.slacks[k + 1][i], at.duals[k + 1][i]);
                let change = rows.value[i] - slack + dot(&rows.gradient[i], &d);
                step.slacks[k + 1][i] = change;
                step.duals[k + 1][i] = (barrier - dual * change) / slack - dual;
                step.slope -= barrier * self.weight(k, rows.point[i]) * change / slack;
            }
            let weight = self.weight(k, false);
            for a in 0..NU {
                let limits = self.control_limits[self.cells[k].phase][a];
                let (below, above) = (at.controls[k][a] - limits.0, limits.1 - at.controls[k][a]);
                let duals = at.control_duals[k][a];
                step.control_duals[k][a] = bound_duals(barrier, (below, above), duals, u[a]);
                step.slope -= barrier * weight * u[a] * (1.0 / below - 1.0 / above);
            }
        }
        let d: [f64; NW] = arguments(&x, &[0.0; NU], &self.border);
        step.slope += dot(&self.end_cost.1, &d);
        for i in 0..parameters {
            let limits = self.parameter_limits[i];
            let (below, above) = (at.border[i] - limits.0, limits.1 - at.border[i]);
            let change = step.border[i];
            step.parameter_duals[i] =
                bound_duals(barrier, (below, above), at.parameter_duals[i], change);
            step.slope -= barrier * change * (1.0 / below - 1.0 / above);
        }
    }

    /// Rows at a node.
    pub(super) fn rows(&self, node: usize) -> usize {
        self.inequalities[node].count
    }
}

/// Changes of the two multipliers of a bounded variable.
fn bound_duals(
    barrier: f64,
    (below, above): (f64, f64),
    [low, high]: [f64; 2],
    change: f64,
) -> [f64; 2] {
    [(barrier - low * change) / below - low, (barrier + high * change) / above - high]
}

/// Slope of costate times step plus running cost by the arguments of an interval.
fn slope<const NX: usize, const NW: usize>(
    interval: &Interval<NX, NW>,
    costate: &[f64; NX],
) -> [f64; NW] {
    let mut out = interval.gradient;
    for i in 0..NX {
        for c in 0..NW {
            out[c] += costate[i] * interval.jacobian[i][c];
        }
    }
    out
}

fn dot<const N: usize>(a: &[f64; N], b: &[f64; N]) -> f64 {
    a.iter().zip(b).map(|(x, y)| x * y).sum()
}

/// The larger magnitude; what is no number stays none.
fn worse(most: f64, value: f64) -> f64 {
    if most.is_nan() || value.abs() <= most { most } else { value.abs() }
}
