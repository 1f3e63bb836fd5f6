//! A damped Newton rule for a few equations in fixed arrays: no heap, for inner loops.
//!
//! Levenberg-Marquardt with box bounds under the same damping rule as [`super::least_squares`]; with a root in reach the
//! damping dies out and Newton's rule is left. The damped step is found by orthogonal elimination, never by squaring the
//! Jacobian, so that badly scaled equations keep their digits.

use super::least_squares::{Control, Stop, Variable};

/// What was found.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Root<const N: usize, const M: usize> {
    /// The unknowns.
    pub values: [f64; N],
    /// Residuals there.
    pub residuals: [f64; M],
    /// Root sum square of them.
    pub residual_norm: f64,
    /// Why it stopped.
    pub stop: Stop,
    /// Evaluations used, those of the Jacobians included.
    pub evaluations: usize,
}

/// Minimizes the sum of squares of `M` residuals over `N` unknowns; a non-finite residual refuses the trial point. Bounds are
/// kept by projection; an unknown whose bounds are one value is fixed and costs nothing. Once the residuals are below the
/// tolerance one more step with the slopes at hand is kept when it betters them, so that a root is found to rounding.
///
/// Cost: `N + 1` evaluations and about `2 (N + M) N^2` operations a step. `control.evaluations_max` counts steps tried.
///
/// # Source
/// MARQUARDT-1963; damping update after NIELSEN-1999.
pub fn solve<const N: usize, const M: usize>(
    mut residuals: impl FnMut(&[f64; N]) -> [f64; M],
    variables: &[Variable; N],
    control: &Control,
) -> Root<N, M> {
    let mut search = Search::begin(&mut residuals, variables);
    let (mut damping, mut growth) = (1e-5, 2.0);
    let mut fresh = false;
    for _ in 0..control.evaluations_max {
        if search.stop == Stop::NotFinite {
            break;
        }
        if search.cost.sqrt() < control.residual {
            search.stop = Stop::Residual;
            search.advance(&mut residuals, variables, 0.0);
            break;
        }
        if !fresh {
            search.differentiate(&mut residuals, variables, control.difference);
            fresh = true;
        }
        let Some((moved, better)) = search.advance(&mut residuals, variables, damping) else {
            damping *= growth;
            growth *= 2.0;
            continue;
        };
        if better {
            damping = (damping / 5.0).max(1e-14);
            growth = 2.0;
            fresh = false;
        } else if moved < control.step {
            search.stop = Stop::Step;
            break;
        } else {
            damping *= growth;
            growth *= 2.0;
        }
    }
    search.finish(control)
}

struct Search<const N: usize, const M: usize> {
    x: [f64; N],
    r: [f64; M],
    cost: f64,
    jacobian: [[f64; N]; M],
    stop: Stop,
    evaluations: usize,
}

impl<const N: usize, const M: usize> Search<N, M> {
    fn begin(residuals: &mut impl FnMut(&[f64; N]) -> [f64; M], variables: &[Variable; N]) -> Self {
        let x = std::array::from_fn(|i| clamp(&variables[i], variables[i].start));
        let r = residuals(&x);
        let cost = sum_squares(&r);
        let stop = if cost.is_finite() { Stop::Evaluations } else { Stop::NotFinite };
        Self { x, r, cost, jacobian: [[0.0; N]; M], stop, evaluations: 1 }
    }

    fn finish(mut self, control: &Control) -> Root<N, M> {
        if self.cost.sqrt() < control.residual {
            self.stop = Stop::Residual;
        }
        Root {
            values: self.x,
            residuals: self.r,
            residual_norm: self.cost.sqrt(),
            stop: self.stop,
            evaluations: self.evaluations,
        }
    }

    /// Forward differences in scaled unknowns; backward where the upper bound or a refused point is in the way.
    fn differentiate(
        &mut self,
        residuals: &mut impl FnMut(&[f64; N]) -> [f64; M],
        variables: &[Variable; N],
        difference: f64,
    ) {
        for (j, variable) in variables.iter().enumerate() {
            if variable.low >= variable.high {
                self.set_column(j, &[0.0; M]);
                continue;
            }
            let h = difference * variable.scale;
            let mut used = if self.x[j] + h > variable.high { -h } else { h };
            let mut out = self.shifted(residuals, j, used);
            if !sum_squares(&out).is_finite() {
                used = -used;
                out = self.shifted(residuals, j, used);
            }
            let per_scale = variable.scale / used;
            let slopes: [f64; M] = std::array::from_fn(|i| (out[i] - self.r[i]) * per_scale);
            self.set_column(j, &slopes);
        }
    }

    fn set_column(&mut self, j: usize, slopes: &[f64; M]) {
        for (row, &slope) in self.jacobian.iter_mut().zip(slopes) {
            row[j] = if slope.is_finite() { slope } else { 0.0 };
        }
    }

    fn shifted(
        &mut self,
        residuals: &mut impl FnMut(&[f64; N]) -> [f64; M],
        j: usize,
        by: f64,
    ) -> [f64; M] {
        let mut x = self.x;
        x[j] += by;
        self.evaluations += 1;
        residuals(&x)
    }

    /// Tries one damped step and keeps it when it is better: how far it goes in scaled unknowns, and whether it was better.
    /// `None` when no step can be found under this damping.
    fn advance(
        &mut self,
        residuals: &mut impl FnMut(&[f64; N]) -> [f64; M],
        variables: &[Variable; N],
        damping: f64,
    ) -> Option<(f64, bool)> {
        let step = self.damped_step(variables, damping)?;
        let next: [f64; N] =
            std::array::from_fn(|i| clamp(&variables[i], self.x[i] + step[i] * variables[i].scale));
        let moved =
            (0..N).map(|i| ((next[i] - self.x[i]) / variables[i].scale).abs()).fold(0.0, f64::max);
        let trial = residuals(&next);
        self.evaluations += 1;
        let cost = sum_squares(&trial);
        let better = cost < self.cost;
        if better {
            (self.x, self.r, self.cost) = (next, trial, cost);
        }
        Some((moved, better))
    }

    /// Whether an unknown stays where it is: fixed, or at a bound that it would be pushed over.
    fn stays(&self, i: usize, variable: &Variable) -> bool {
        if variable.low >= variable.high {
            return true;
        }
        let at_low = self.x[i] <= variable.low;
        let at_high = self.x[i] >= variable.high;
        if !(at_low || at_high) {
            return false;
        }
        let gradient: f64 = self.jacobian.iter().zip(&self.r).map(|(row, r)| row[i] * r).sum();
        (at_low && gradient > 0.0) || (at_high && gradient < 0.0)
    }

    /// The step that minimizes the linearized residuals and the damping term, in scaled unknowns.
    fn damped_step(&self, variables: &[Variable; N], damping: f64) -> Option<[f64; N]> {
        let stays: [bool; N] = std::array::from_fn(|i| self.stays(i, &variables[i]));
        let (mut upper, mut right) = ([[0.0; N]; N], [0.0; N]);
        let mut norms = [0.0; N];
        for (jacobian_row, r) in self.jacobian.iter().zip(&self.r) {
            let mut row = *jacobian_row;
            for i in 0..N {
                row[i] = if stays[i] { 0.0 } else { row[i] };
                norms[i] += row[i] * row[i];
            }
            insert(&mut upper, &mut right, row, -r);
        }
        let floor = 1e-12 * norms.iter().copied().fold(f64::MIN_POSITIVE, f64::max);
        for i in 0..N {
            let mut row = [0.0; N];
            row[i] = if stays[i] { 1.0 } else { (damping * norms[i].max(floor)).sqrt() };
            if row[i] > 0.0 {
                insert(&mut upper, &mut right, row, 0.0);
            }
        }
        back_substitute(&upper, right)
    }
}

/// Turns one more equation into the triangle by plane rotations.
fn insert<const N: usize>(
    upper: &mut [[f64; N]; N],
    right: &mut [f64; N],
    mut row: [f64; N],
    mut value: f64,
) {
    for i in 0..N {
        if row[i] == 0.0 {
            continue;
        }
        let length = (upper[i][i] * upper[i][i] + row[i] * row[i]).sqrt();
        let (cos, sin) = (upper[i][i] / length, row[i] / length);
        for j in i..N {
            let (u, v) = (upper[i][j], row[j]);
            upper[i][j] = cos * u + sin * v;
            row[j] = cos * v - sin * u;
        }
        let (u, v) = (right[i], value);
        right[i] = cos * u + sin * v;
        value = cos * v - sin * u;
    }
}

fn back_substitute<const N: usize>(upper: &[[f64; N]; N], mut right: [f64; N]) -> Option<[f64; N]> {
    for i in (0..N).rev() {
        let known: f64 = (i + 1..N).map(|j| upper[i][j] * right[j]).sum();
        right[i] = (right[i] - known) / upper[i][i];
    }
    right.iter().all(|x| x.is_finite()).then_some(right)
}

fn clamp(variable: &Variable, x: f64) -> f64 {
    x.max(variable.low).min(variable.high)
}

fn sum_squares<const M: usize>(r: &[f64; M]) -> f64 {
    let sum: f64 = r.iter().map(|value| value * value).sum();
    if sum.is_finite() { sum } else { f64::INFINITY }
}

#[cfg(test)]
mod tests {
    use super::{Control, Stop, Variable, solve};

    fn free(start: f64) -> Variable {
        Variable { start, low: -1e6, high: 1e6, scale: 1.0 }
    }

    /// Problems 1, 7 and 13 of MGH-1981.
    #[test]
    fn val_rosenbrock_helical_valley_and_powell_singular() {
        let control = Control { evaluations_max: 300, residual: 1e-10, ..Control::default() };
        let rosenbrock = |x: &[f64; 2]| [10.0 * (x[1] - x[0] * x[0]), 1.0 - x[0]];
        let root = solve(rosenbrock, &[free(-1.2), free(1.0)], &control);
        assert_eq!(root.stop, Stop::Residual);
        assert!((root.values[0] - 1.0).abs() < 1e-12, "{root:?}");
        assert!((root.values[1] - 1.0).abs() < 1e-12, "{root:?}");
        let helical = |x: &[f64; 3]| {
            let turn = crate::math::atan2(x[1], x[0]) / std::f64::consts::TAU;
            [10.0 * (x[2] - 10.0 * turn), 10.0 * (crate::math::hypot(x[0], x[1]) - 1.0), x[2]]
        };
        let root = solve(helical, &[free(-1.0), free(1e-3), free(0.0)], &control);
        assert!((root.values[0] - 1.0).abs() < 1e-12 && root.values[1].abs() < 1e-12, "{root:?}");
        let singular = |x: &[f64; 4]| {
            [
                10.0f64.mul_add(x[1], x[0]),
                5.0f64.sqrt() * (x[2] - x[3]),
                (x[1] - 2.0 * x[2]) * (x[1] - 2.0 * x[2]),
                10.0f64.sqrt() * (x[0] - x[3]) * (x[0] - x[3]),
            ]
        };
        let root = solve(singular, &[free(3.0), free(-1.0), free(0.0), free(1.0)], &control);
        assert!(root.residual_norm < 1e-6, "{root:?}");
    }

    #[test]
    fn prop_it_agrees_with_least_squares_where_there_is_no_root() {
        let model = |x: &[f64; 2], t: f64| x[0] * crate::math::exp(-x[1] * t);
        let seen = [(0.0, 2.1), (1.0, 1.1), (2.0, 0.8), (3.0, 0.2)];
        let residuals = |x: &[f64; 2]| seen.map(|(t, y)| model(x, t) - y);
        let variables = [free(1.0), free(0.1)];
        let control = Control::default();
        let found = solve(residuals, &variables, &control);
        let fit = super::super::least_squares::minimize(
            |x, r| r.copy_from_slice(&residuals(&[x[0], x[1]])),
            &variables,
            4,
            &control,
        );
        assert!((found.residual_norm / fit.residual_norm - 1.0).abs() < 1e-9);
        assert!((found.values[0] - fit.values[0]).abs() < 1e-5);
        assert!((found.values[1] - fit.values[1]).abs() < 1e-5);
    }

    #[test]
    fn bounds_hold_fixed_unknowns_stay_and_the_reason_is_told() {
        let bounded = Variable { start: 0.5, low: 0.0, high: 1.0, scale: 1.0 };
        let fixed = Variable { start: 2.0, low: 2.0, high: 2.0, scale: 1.0 };
        let root = solve(|x| [x[0] - 3.0 * x[1]], &[bounded, fixed], &Control::default());
        assert!((root.values[0] - 1.0).abs() < 1e-15 && (root.values[1] - 2.0).abs() < 1e-15);
        assert_eq!(root.stop, Stop::Step);
        let root = solve(|_| [f64::NAN], &[bounded], &Control::default());
        assert_eq!(root.stop, Stop::NotFinite);
    }
}
