//! Sums of squares: the published problems of the trade and certified regressions.
//!
//! Sources: MGH-1981 (J. J. More, B. S. Garbow, K. E. Hillstrom: numbers of problems, starting points and minima from there; problems 1 and 13 from the standard start are unit
//! tests of the module); NIST-STRD (Statistical Reference Datasets, nonlinear regression, certified to eleven figures).

use base::math::{atan2, exp};
use base::numerics::least_squares::{Control, Fit, Stop, Variable, minimize};
use checks::assert_near;

const PATIENT: Control = Control {
    residual: 1e-10,
    step: 1e-13,
    evaluations_max: 1000,
    difference: 1e-7,
    secant: false,
};

fn free(start: f64, scale: f64) -> Variable {
    Variable { start, low: -1e9, high: 1e9, scale }
}

fn solve<const N: usize>(
    residuals: impl FnMut(&[f64], &mut [f64]),
    start: [f64; N],
    scale: [f64; N],
    n_residuals: usize,
) -> Fit {
    let variables: Vec<Variable> =
        start.iter().zip(scale).map(|(&start, scale)| free(start, scale)).collect();
    minimize(residuals, &variables, n_residuals, &PATIENT)
}

fn assert_minimum(fit: &Fit, values: &[f64], sum_squares: f64, figures: i32) {
    let share = 0.51 * 10.0_f64.powi(1 - figures);
    for (found, expected) in fit.values.iter().zip(values) {
        assert_near("unknown", *found, *expected, share * expected.abs().max(1e-3));
    }
    let found = fit.residual_norm * fit.residual_norm;
    assert_near("sum of squares", found, sum_squares, share * sum_squares.max(1e-12));
    assert_ne!(fit.stop, Stop::Evaluations, "{fit:?}");
}

fn rosenbrock(x: &[f64], r: &mut [f64]) {
    r[0] = 10.0 * (x[1] - x[0] * x[0]);
    r[1] = 1.0 - x[0];
}

/// Problem 1 from ten and a hundred times the standard start.
#[test]
fn val_rosenbrock_from_far_away() {
    for far in [10.0, 100.0] {
        let fit = solve(rosenbrock, [-1.2 * far, far], [1.0, 1.0], 2);
        assert_minimum(&fit, &[1.0, 1.0], 0.0, 8);
        assert_eq!(fit.stop, Stop::Residual);
    }
}

/// Problem 2, Freudenstein and Roth: nil at (5, 4); a local minimum of 48.9842 at (11.41, -0.8968), where the standard
/// start leads.
#[test]
fn val_freudenstein_roth_has_two_minima() {
    let residuals = |x: &[f64], r: &mut [f64]| {
        r[0] = -13.0 + x[0] + ((5.0 - x[1]) * x[1] - 2.0) * x[1];
        r[1] = -29.0 + x[0] + ((x[1] + 1.0) * x[1] - 14.0) * x[1];
    };
    let local = solve(residuals, [0.5, -2.0], [1.0, 1.0], 2);
    assert_minimum(&local, &[11.412_8, -0.896_8], 48.984_2, 4);
    let global = solve(residuals, [6.0, 5.0], [1.0, 1.0], 2);
    assert_minimum(&global, &[5.0, 4.0], 0.0, 9);
}

/// Problem 4, Brown's badly scaled: nil at (1e6, 2e-6).
#[test]
fn val_brown_badly_scaled() {
    let residuals = |x: &[f64], r: &mut [f64]| {
        r[0] = x[0] - 1e6;
        r[1] = x[1] - 2e-6;
        r[2] = x[0] * x[1] - 2.0;
    };
    let fit = solve(residuals, [1.0, 1.0], [1.0, 1.0], 3);
    assert_minimum(&fit, &[1e6, 2e-6], 0.0, 6);
}

/// Problem 6, Jennrich and Sampson, ten residuals: 124.362 at 0.2578 for both.
#[test]
fn val_jennrich_sampson() {
    let residuals = |x: &[f64], r: &mut [f64]| {
        for (i, out) in r.iter_mut().enumerate() {
            let n = i as f64 + 1.0;
            *out = 2.0 + 2.0 * n - (exp(n * x[0]) + exp(n * x[1]));
        }
    };
    let fit = solve(residuals, [0.3, 0.4], [1.0, 1.0], 10);
    assert_minimum(&fit, &[0.2578, 0.2578], 124.362, 4);
}

/// Problem 7, the helical valley of Fletcher and Powell: nil at (1, 0, 0).
#[test]
fn val_helical_valley() {
    let residuals = |x: &[f64], r: &mut [f64]| {
        let turns = atan2(x[1], x[0]) / std::f64::consts::TAU;
        r[0] = 10.0 * (x[2] - 10.0 * turns);
        r[1] = 10.0 * ((x[0] * x[0] + x[1] * x[1]).sqrt() - 1.0);
        r[2] = x[2];
    };
    let fit = solve(residuals, [-1.0, 0.0, 0.0], [1.0; 3], 3);
    assert_minimum(&fit, &[1.0, 0.0, 0.0], 0.0, 8);
}

/// Problem 8, Bard: 8.21487e-3.
#[test]
fn val_bard() {
    const Y: [f64; 15] =
        [0.14, 0.18, 0.22, 0.25, 0.29, 0.32, 0.35, 0.39, 0.37, 0.58, 0.73, 0.96, 1.34, 2.10, 4.39];
    let residuals = |x: &[f64], r: &mut [f64]| {
        for (i, out) in r.iter_mut().enumerate() {
            let u = i as f64 + 1.0;
            let v = 16.0 - u;
            *out = Y[i] - (x[0] + u / (v * x[1] + u.min(v) * x[2]));
        }
    };
    let fit = solve(residuals, [1.0; 3], [1.0; 3], 15);
    // Unknowns as the authors' own program prints them (MINPACK-1): 0.0824106, 1.13304, 2.34369.
    assert_minimum(&fit, &[0.082_410_6, 1.133_04, 2.343_69], 8.214_87e-3, 5);
}

/// Problem 14, Wood: nil at (1, 1, 1, 1).
#[test]
fn val_wood() {
    let residuals = |x: &[f64], r: &mut [f64]| {
        rosenbrock(x, r);
        r[2] = 90.0_f64.sqrt() * (x[3] - x[2] * x[2]);
        r[3] = 1.0 - x[2];
        r[4] = 10.0_f64.sqrt() * (x[1] + x[3] - 2.0);
        r[5] = (x[1] - x[3]) / 10.0_f64.sqrt();
    };
    let fit = solve(residuals, [-3.0, -1.0, -3.0, -1.0], [1.0; 4], 6);
    assert_minimum(&fit, &[1.0; 4], 0.0, 8);
}

/// Problem 15, Kowalik and Osborne, 3.07505e-4; certified by NIST as dataset MGH09.
#[test]
fn val_kowalik_osborne() {
    const Y: [f64; 11] =
        [0.1957, 0.1947, 0.1735, 0.1600, 0.0844, 0.0627, 0.0456, 0.0342, 0.0323, 0.0235, 0.0246];
    const X: [f64; 11] = [4.0, 2.0, 1.0, 0.5, 0.25, 0.167, 0.125, 0.1, 0.0833, 0.0714, 0.0625];
    let residuals = |b: &[f64], r: &mut [f64]| {
        for (i, out) in r.iter_mut().enumerate() {
            let x = X[i];
            *out = Y[i] - b[0] * (x * x + x * b[1]) / (x * x + x * b[2] + b[3]);
        }
    };
    let fit = solve(residuals, [0.25, 0.39, 0.415, 0.39], [0.1; 4], 11);
    let certified =
        [1.928_069_345_8e-1, 1.912_823_287_3e-1, 1.230_565_069_3e-1, 1.360_623_306_8e-1];
    assert_minimum(&fit, &certified, 3.075_056_038_5e-4, 6);
}

/// Problem 10, Meyer, from the second start of NIST dataset MGH10 (difficulty: higher); certified values.
#[test]
fn val_meyer() {
    const Y: [f64; 16] = [
        34_780.0, 28_610.0, 23_650.0, 19_630.0, 16_370.0, 13_720.0, 11_540.0, 9744.0, 8261.0,
        7030.0, 6005.0, 5147.0, 4427.0, 3820.0, 3307.0, 2872.0,
    ];
    let residuals = |b: &[f64], r: &mut [f64]| {
        for (i, out) in r.iter_mut().enumerate() {
            let x = 50.0 + 5.0 * i as f64;
            *out = Y[i] - b[0] * exp(b[1] / (x + b[2]));
        }
    };
    let fit = solve(residuals, [0.02, 4000.0, 250.0], [0.01, 1000.0, 100.0], 16);
    let certified = [5.609_636_471_0e-3, 6.181_346_346_3e3, 3.452_236_346_2e2];
    assert_minimum(&fit, &certified, 87.945_855_171, 6);
}

/// NIST dataset Misra1a from both starts: values, residual sum of squares and standard deviations as certified.
#[test]
fn val_certified_regression_with_its_uncertainty() {
    const Y: [f64; 14] = [
        10.07, 14.73, 17.94, 23.93, 29.61, 35.18, 40.02, 44.82, 50.76, 55.05, 61.01, 66.40, 75.47,
        81.78,
    ];
    const X: [f64; 14] = [
        77.6, 114.9, 141.1, 190.8, 239.9, 289.0, 332.8, 378.4, 434.8, 477.3, 536.8, 593.1, 689.1,
        760.0,
    ];
    let residuals = |b: &[f64], r: &mut [f64]| {
        for (i, out) in r.iter_mut().enumerate() {
            *out = Y[i] - b[0] * (1.0 - exp(-b[1] * X[i]));
        }
    };
    for start in [[500.0, 1e-4], [250.0, 5e-4]] {
        let fit = solve(residuals, start, [100.0, 1e-4], 14);
        assert_minimum(&fit, &[2.389_421_291_8e2, 5.501_564_318_1e-4], 1.245_513_889_4e-1, 8);
        let variance = fit.residual_norm * fit.residual_norm / 12.0;
        let covariance = fit.covariance.as_ref().expect("both unknowns are determined");
        for (index, certified) in [(0, 2.707_007_524_1), (3, 7.266_868_843_6e-6)] {
            let found = (covariance[index] * variance).sqrt();
            assert_near("standard deviation", found, certified, 1e-5 * certified);
        }
    }
}

/// The minimum under a bound: Rosenbrock's valley cut off at 0.5 ends at (0.5, 0.25), worked by hand: `(1 - 0.5)^2`.
#[test]
fn val_minimum_on_a_bound() {
    let cut = Variable { start: -1.2, low: -2.0, high: 0.5, scale: 1.0 };
    let fit = minimize(rosenbrock, &[cut, free(1.0, 1.0)], 2, &PATIENT);
    assert_minimum(&fit, &[0.5, 0.25], 0.25, 8);
}

/// Two unknowns that only occur as their sum: no covariance instead of a wrong one.
#[test]
fn an_undetermined_problem_has_no_covariance() {
    let fit = solve(
        |x, r| {
            r[0] = x[0] + x[1] - 1.0;
            r[1] = 2.0 * (x[0] + x[1]) - 2.2;
        },
        [0.0, 0.0],
        [1.0, 1.0],
        2,
    );
    assert!(fit.covariance.is_none(), "{:?}", fit.covariance);
}
