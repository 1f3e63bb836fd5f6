//! Zeros of functions with published values, and the promise of the method.

use base::math::{cos, exp, ln, sin};
use base::numerics::root::{RootError, find};
use checks::assert_near;
use proptest::prelude::{ProptestConfig, proptest};

/// Problems 1, 4 (n = 4, a = 0.2) and 12 (n = 5) of APS-1995 (G. E. Alefeld, F. A. Potra, Y. Shi);
/// zeros as printed there or by closed form.
#[test]
fn val_published_test_problems() {
    let pi = std::f64::consts::PI;
    let first = find(|x| sin(x) - 0.5 * x, 0.5 * pi, pi, 1e-15).unwrap();
    assert_near("sin x = x / 2", first, 1.895_494_267_033_981, 4e-15);
    let fourth = find(|x: f64| x.powi(4) - 0.2, 0.0, 5.0, 1e-15).unwrap();
    assert_near("fourth root of 0.2", fourth, 0.2_f64.sqrt().sqrt(), 4e-15);
    let twelfth = find(|x| (5.0 * x - 1.0) / (4.0 * x), 0.01, 1.0, 1e-15).unwrap();
    assert_near("1 / n", twelfth, 0.2, 4e-15);
}

/// Constants with their decimals in the On-Line Encyclopedia of Integer Sequences: A030178, A003957, A030797.
#[test]
fn val_constants_defined_by_equations() {
    let omega = find(|x| x * exp(x) - 1.0, 0.0, 1.0, 1e-15).unwrap();
    assert_near("x e^x = 1", omega, 0.567_143_290_409_784, 4e-15);
    let cosine = find(|x| cos(x) - x, 0.0, 1.0, 1e-15).unwrap();
    assert_near("cos x = x", cosine, 0.739_085_133_215_160_6, 4e-15);
    let power = find(|x| x * ln(x) - 1.0, 1.0, 3.0, 1e-15).unwrap();
    assert_near("x ln x = 1", power, 1.763_222_834_351_896_8, 4e-15);
}

/// Kepler's equation: MEEUS-1998, ch. 30, example 30.a: eccentricity 0.1, mean anomaly
/// 5 degrees, eccentric anomaly 5.554589 degrees.
#[test]
fn val_keplers_equation() {
    let mean = 5.0_f64.to_radians();
    let found = find(|x| x - 0.1 * sin(x) - mean, 0.0, 1.0, 1e-12).unwrap();
    assert_near("eccentric anomaly", found.to_degrees(), 5.554_589, 5e-7);
}

/// The bounds may be given in either order, and a zero on a bound is found there.
#[test]
fn bounds_in_either_order() {
    let found = find(|x| x * x - 2.0, 2.0, 0.0, 1e-14).unwrap();
    assert_near("root of two", found, std::f64::consts::SQRT_2, 2e-14);
    assert_near("on the bound", find(|x| x - 2.0, 0.0, 2.0, 1e-9).unwrap(), 2.0, 0.0);
}

/// Values near the largest number: the secant overflows and the middle is taken instead.
#[test]
fn regress_huge_values_do_not_stop_the_search() {
    let found = find(|x| 1.6e308 * (x - 0.3).clamp(-1.0, 1.0), -1.0, 2.0, 1e-12);
    assert_near("zero", found.unwrap(), 0.3, 1e-12);
}

/// Below the rounding of the argument no bracket is narrow enough: it is told, not looped for ever.
#[test]
fn a_tolerance_below_rounding_is_told() {
    let found = find(|x| if x < 1e6 + 1.0 / 3.0 { -1.0 } else { 1.0 }, 0.0, 4e6, 1e-13);
    assert!(matches!(found, Err(RootError::Iterations { .. })), "{found:?}");
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(500))]

    /// OT-2020, theorem 2.1: never more than one evaluation (here: iteration) beyond bisection.
    #[test]
    fn prop_never_slower_than_bisection_by_more_than_one(
        zero in -0.99_f64..0.99, power in 1_i32..12, steep in 0.1_f64..1e4, digits in 3_i32..13,
    ) {
        let tolerance = 10.0_f64.powi(-digits);
        let mut count = 0;
        let f = |x: f64| {
            count += 1;
            let distance = x - zero;
            (steep * distance).abs().powi(power) * distance.signum()
        };
        let found = find(f, -1.0, 1.0, tolerance).unwrap();
        assert_near("zero", found, zero, tolerance * 1.000_001 + 1e-15);
        let bisection = (2.0 / (2.0 * tolerance)).log2().ceil() as usize;
        assert!(count <= bisection + 1 + 2, "{count} evaluations, bisection {bisection} and two ends");
    }
}
