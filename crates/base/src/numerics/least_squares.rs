//! Levenberg-Marquardt for small dense problems (up to some thirty unknowns) with box bounds.
//!
//! With as many residuals as unknowns and a root to be found it behaves as a damped Newton rule.

use nalgebra::{DMatrix, DVector};

/// How to search.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Control {
    /// Stop when the root sum square of the residuals is below.
    pub residual: f64,
    /// Stop when the scaled step is below.
    pub step: f64,
    /// Most evaluations of the residuals, those of the Jacobian not counted.
    pub evaluations_max: usize,
    /// Relative step of the forward differences.
    pub difference: f64,
    /// Whether to mend the Jacobian from the steps taken (BROYDEN-1965) while they do well, instead of differencing anew after each:
    /// for residuals that cost much. The covariance is then that of the last Jacobian, not that of the end.
    pub secant: bool,
}

/// A step that leaves less than this share of the sum of squares does well enough to mend the Jacobian by it.
const SECANT_SHARE: f64 = 0.1;

impl Default for Control {
    fn default() -> Self {
        Self { residual: 1e-9, step: 1e-12, evaluations_max: 60, difference: 1e-6, secant: false }
    }
}

/// One unknown: where to begin, where it may go, its usual size.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Variable {
    /// First guess.
    pub start: f64,
    /// Lower bound.
    pub low: f64,
    /// Upper bound.
    pub high: f64,
    /// Usual size, positive: steps and differences are measured in it.
    pub scale: f64,
}

/// Why the search stopped.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stop {
    /// Residuals below the tolerance.
    Residual,
    /// The step became too small to matter: a minimum, perhaps on a bound.
    Step,
    /// Evaluation limit.
    Evaluations,
    /// Residuals are not finite at the start.
    NotFinite,
}

/// What was found.
#[derive(Debug, Clone, PartialEq)]
pub struct Fit {
    /// The unknowns.
    pub values: Vec<f64>,
    /// Residuals there.
    pub residuals: Vec<f64>,
    /// Root sum square of them.
    pub residual_norm: f64,
    /// Why it stopped.
    pub stop: Stop,
    /// Evaluations used.
    pub evaluations: usize,
    /// Inverse of J^T J there, row by row, in the units of the unknowns: the covariance for residuals of unit variance.
    /// `None` when the problem does not determine all unknowns.
    pub covariance: Option<Vec<f64>>,
    /// The last Jacobian, in scaled unknowns.
    jacobian: DMatrix<f64>,
}

/// Minimizes the sum of squares of `residuals(values, out)`; `out` has `n_residuals` entries, a non-finite entry refuses
/// the trial point. Bounds are kept by projection. The loop is bounded by the evaluation limit.
///
/// # Source
/// MARQUARDT-1963; damping update after NIELSEN-1999.
pub fn minimize(
    residuals: impl FnMut(&[f64], &mut [f64]),
    variables: &[Variable],
    n_residuals: usize,
    control: &Control,
) -> Fit {
    let start: Vec<f64> = variables.iter().map(|v| v.start.clamp(v.low, v.high)).collect();
    search(
        residuals,
        None,
        variables,
        (start, DMatrix::zeros(n_residuals, variables.len()), false),
        control,
    )
}

/// [`minimize`] from the end of a fit of the same variables to residuals that were nearly these, computed more cheaply: begins with
/// its Jacobian as one to be mended. Of the variables the starts do not count.
pub fn refine(
    residuals: impl FnMut(&[f64], &mut [f64]),
    variables: &[Variable],
    near: Fit,
    control: &Control,
) -> Fit {
    let known = near.jacobian.iter().any(|slope| *slope != 0.0);
    search(residuals, None, variables, (near.values, near.jacobian, known), control)
}

/// [`refine`] where a Jacobian that must be found anew is differenced from the cheaper residuals, over `difference`.
pub fn refine_by(
    residuals: impl FnMut(&[f64], &mut [f64]),
    (mut cheaper, difference): (impl FnMut(&[f64], &mut [f64]), f64),
    variables: &[Variable],
    near: Fit,
    control: &Control,
) -> Fit {
    let known = near.jacobian.iter().any(|slope| *slope != 0.0);
    let cheaper: Cheaper<'_> = Some((&mut cheaper, difference));
    search(residuals, cheaper, variables, (near.values, near.jacobian, known), control)
}

/// Residuals that the Jacobian is differenced from, and the relative step of the differences.
type Cheaper<'a> = Option<(&'a mut dyn FnMut(&[f64], &mut [f64]), f64)>;

fn search(
    mut residuals: impl FnMut(&[f64], &mut [f64]),
    mut cheaper: Cheaper<'_>,
    variables: &[Variable],
    (mut x, mut jacobian, known): (Vec<f64>, DMatrix<f64>, bool),
    control: &Control,
) -> Fit {
    let mut r = vec![0.0; jacobian.nrows()];
    residuals(&x, &mut r);
    let mut cost = sum_squares(&r);
    let mut evaluations = 1;
    let mut stop = if cost.is_finite() { Stop::Evaluations } else { Stop::NotFinite };
    // Near the end no damping is wanted.
    let (mut damping, mut growth) = (if known { 1e-10 } else { 1e-4 }, 2.0);
    // Whether the Jacobian is there, and whether it was differenced at this very point.
    let (mut fresh, mut exact) = (known, false);
    let mut trial = r.clone();
    while evaluations < control.evaluations_max && stop != Stop::NotFinite {
        if cost.sqrt() < control.residual {
            stop = Stop::Residual;
            break;
        }
        if !fresh {
            match &mut cheaper {
                None => {
                    let step = control.difference;
                    differentiate(&mut residuals, variables, &x, &r, step, &mut jacobian);
                }
                Some((cheaper, step)) => {
                    cheaper(&x, &mut trial);
                    differentiate(cheaper, variables, &x, &trial, *step, &mut jacobian);
                }
            }
            (fresh, exact) = (true, true);
        }
        let Some((next, moved)) = trial_point(&jacobian, &r, &x, variables, damping) else {
            damping *= growth;
            growth *= 2.0;
            evaluations += 1;
            continue;
        };
        if moved < control.step {
            if exact {
                stop = Stop::Step;
                break;
            }
            fresh = false;
            continue;
        }
        residuals(&next, &mut trial);
        evaluations += 1;
        let next_cost = sum_squares(&trial);
        if next_cost.is_finite() && next_cost < cost {
            fresh = control.secant && next_cost < SECANT_SHARE * cost;
            if fresh {
                mend(&mut jacobian, variables, (&x, &next), (&r, &trial));
                exact = false;
            }
            x = next;
            std::mem::swap(&mut r, &mut trial);
            cost = next_cost;
            damping = (damping / 5.0).max(1e-14);
            growth = 2.0;
        } else if !exact {
            fresh = false;
        } else {
            damping *= growth;
            growth *= 2.0;
        }
    }
    if cost.sqrt() < control.residual {
        stop = Stop::Residual;
    }
    let covariance = covariance(&jacobian, variables);
    let (values, residuals, residual_norm) = (x, r, cost.sqrt());
    Fit { values, residuals, residual_norm, stop, evaluations, covariance, jacobian }
}

fn sum_squares(r: &[f64]) -> f64 {
    let sum: f64 = r.iter().map(|value| value * value).sum();
    if sum.is_finite() { sum } else { f64::INFINITY }
}

/// Forward differences in scaled unknowns; backward where the upper bound or a refused point is in the way.
fn differentiate(
    residuals: &mut impl FnMut(&[f64], &mut [f64]),
    variables: &[Variable],
    x: &[f64],
    r: &[f64],
    difference: f64,
    jacobian: &mut DMatrix<f64>,
) {
    let mut shifted = x.to_vec();
    let mut out = vec![0.0; r.len()];
    for (j, variable) in variables.iter().enumerate() {
        let h = difference * variable.scale;
        let mut used = if x[j] + h > variable.high { -h } else { h };
        shifted[j] = x[j] + used;
        residuals(&shifted, &mut out);
        if !sum_squares(&out).is_finite() {
            used = -used;
            shifted[j] = x[j] + used;
            residuals(&shifted, &mut out);
        }
        for i in 0..r.len() {
            let slope = (out[i] - r[i]) / (used / variable.scale);
            jacobian[(i, j)] = if slope.is_finite() { slope } else { 0.0 };
        }
        shifted[j] = x[j];
    }
}

/// Makes the Jacobian, in scaled unknowns, agree with what the residuals did over a step, and changes nothing square to it. Source:
/// BROYDEN-1965.
fn mend(
    jacobian: &mut DMatrix<f64>,
    variables: &[Variable],
    (x, next): (&[f64], &[f64]),
    (r, trial): (&[f64], &[f64]),
) {
    let scaled = variables.iter().enumerate().map(|(i, v)| (next[i] - x[i]) / v.scale);
    let step = DVector::from_iterator(variables.len(), scaled);
    let square = step.norm_squared();
    let told = &*jacobian * &step;
    let missed = DVector::from_fn(r.len(), |i, _| trial[i] - r[i] - told[i]);
    jacobian.ger(1.0 / square, &missed, &step, 1.0);
}

/// Where the damped step leads within the bounds, and how far that is in scaled unknowns.
fn trial_point(
    jacobian: &DMatrix<f64>,
    r: &[f64],
    x: &[f64],
    variables: &[Variable],
    damping: f64,
) -> Option<(Vec<f64>, f64)> {
    let step = damped_step(jacobian, r, x, variables, damping)?;
    let moved_to = |(i, v): (usize, &Variable)| (x[i] + step[i] * v.scale).clamp(v.low, v.high);
    let next: Vec<f64> = variables.iter().enumerate().map(moved_to).collect();
    let moved = |(i, v): (usize, &Variable)| ((next[i] - x[i]) / v.scale).abs();
    let moved = variables.iter().enumerate().map(moved).fold(0.0, f64::max);
    Some((next, moved))
}

/// The damped normal step in scaled unknowns; unknowns at a bound that would be pushed over it stay.
fn damped_step(
    jacobian: &DMatrix<f64>,
    r: &[f64],
    x: &[f64],
    variables: &[Variable],
    damping: f64,
) -> Option<DVector<f64>> {
    let n = variables.len();
    let mut gradient = jacobian.tr_mul(&DVector::from_column_slice(r));
    let mut normal = jacobian.tr_mul(jacobian);
    let floor = 1e-12 * (0..n).map(|i| normal[(i, i)]).fold(f64::MIN_POSITIVE, f64::max);
    for i in 0..n {
        let outward = (x[i] <= variables[i].low && gradient[i] > 0.0)
            || (x[i] >= variables[i].high && gradient[i] < 0.0);
        if outward {
            for j in 0..n {
                normal[(i, j)] = 0.0;
                normal[(j, i)] = 0.0;
            }
            normal[(i, i)] = 1.0;
            gradient[i] = 0.0;
        }
        normal[(i, i)] += damping * normal[(i, i)].max(floor);
    }
    normal.cholesky().map(|factor| -factor.solve(&gradient))
}

fn covariance(jacobian: &DMatrix<f64>, variables: &[Variable]) -> Option<Vec<f64>> {
    let n = variables.len();
    let normal = jacobian.tr_mul(jacobian);
    let factor = normal.clone().cholesky()?;
    // What is left of an unknown's column after those before it, as a share: rounding alone leaves some 1e-16.
    let left = |i: usize| {
        let pivot = factor.l_dirty()[(i, i)];
        pivot * pivot / normal[(i, i)]
    };
    if (0..n).any(|i| left(i) < 1e-13) {
        return None;
    }
    let inverse = factor.inverse();
    let scaled = |i: usize, j: usize| inverse[(i, j)] * variables[i].scale * variables[j].scale;
    Some((0..n).flat_map(|i| (0..n).map(move |j| (i, j))).map(|(i, j)| scaled(i, j)).collect())
}

#[cfg(test)]
mod tests {
    use super::{Control, Stop, Variable, minimize, refine, refine_by};

    fn free(start: f64) -> Variable {
        Variable { start, low: -1e6, high: 1e6, scale: 1.0 }
    }

    /// Problems 1 and 13 of MGH-1981.
    #[test]
    fn val_rosenbrock_and_powell_singular() {
        let control = Control { evaluations_max: 300, residual: 1e-10, ..Control::default() };
        let fit = minimize(
            |x, r| {
                r[0] = 10.0 * (x[1] - x[0] * x[0]);
                r[1] = 1.0 - x[0];
            },
            &[free(-1.2), free(1.0)],
            2,
            &control,
        );
        assert!(
            (fit.values[0] - 1.0).abs() < 1e-8 && (fit.values[1] - 1.0).abs() < 1e-8,
            "{fit:?}"
        );
        let fit = minimize(
            |x, r| {
                r[0] = x[0] + 10.0 * x[1];
                r[1] = 5.0f64.sqrt() * (x[2] - x[3]);
                r[2] = (x[1] - 2.0 * x[2]) * (x[1] - 2.0 * x[2]);
                r[3] = 10.0f64.sqrt() * (x[0] - x[3]) * (x[0] - x[3]);
            },
            &[free(3.0), free(-1.0), free(0.0), free(1.0)],
            4,
            &control,
        );
        assert!(fit.residual_norm < 1e-6, "{fit:?}");
    }

    /// Problem 1 of MGH-1981 again, by mended Jacobians, and refined from the end of one that is nearly it: the same minimum, in far
    /// fewer evaluations.
    #[test]
    fn val_mended_jacobians_end_at_the_same_minimum() {
        let count = std::cell::Cell::new(0);
        let valley = |bend: f64| {
            let count = &count;
            move |x: &[f64], r: &mut [f64]| {
                count.set(count.get() + 1);
                r[0] = 10.0 * (x[1] - bend * x[0] * x[0]);
                r[1] = 1.0 - x[0];
            }
        };
        let control = Control { evaluations_max: 300, residual: 1e-10, ..Control::default() };
        let mending = Control { secant: true, ..control };
        let variables = [free(-1.2), free(1.0)];
        let near = minimize(valley(1.001), &variables, 2, &mending);
        count.set(0);
        let refined = refine(valley(1.0), &variables, near.clone(), &mending);
        assert!(count.get() <= 12, "{}", count.get());
        // From a point whose Jacobian says little the cheaper residuals give another.
        let poor =
            minimize(valley(1.001), &variables, 2, &Control { evaluations_max: 2, ..mending });
        let by = refine_by(valley(1.0), (valley(1.001), 1e-6), &variables, poor, &mending);
        for (fit, wanted) in [(near, 1.001), (refined, 1.0), (by, 1.0)] {
            assert_eq!(fit.stop, Stop::Residual, "{fit:?}");
            let near = |value: f64, wanted: f64| (value - wanted).abs() < 1e-8;
            assert!(near(fit.values[0], 1.0) && near(fit.values[1], wanted), "{fit:?}");
        }
    }

    #[test]
    fn bounds_hold_and_the_reason_is_told() {
        let bounded = Variable { start: 0.5, low: 0.0, high: 1.0, scale: 1.0 };
        let fit = minimize(|x, r| r[0] = x[0] - 3.0, &[bounded], 1, &Control::default());
        assert!((fit.values[0] - 1.0).abs() < 1e-12);
        assert_eq!(fit.stop, Stop::Step);
        let fit = minimize(|_, r| r[0] = f64::NAN, &[bounded], 1, &Control::default());
        assert_eq!(fit.stop, Stop::NotFinite);
    }

    #[test]
    fn val_covariance_of_a_straight_line() {
        // Closed form: var(slope) = 1 / sum (t - mean)^2 for unit noise.
        let t = [0.0, 1.0, 2.0, 3.0, 4.0];
        let fit = minimize(
            |x, r| {
                for i in 0..5 {
                    r[i] = x[0] + x[1] * t[i] - 2.0 * t[i];
                }
            },
            &[free(1.0), free(0.0)],
            5,
            &Control { residual: 0.0, ..Control::default() },
        );
        let covariance = fit.covariance.unwrap();
        assert!((covariance[3] - 0.1).abs() < 1e-6, "{covariance:?}");
    }
}
