//! One zero of a continuous function between two bounds of opposite sign.

/// Why the search stopped without a zero.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum RootError {
    /// Both ends have the same sign.
    #[error("no sign change between {low} (value {value_low}) and {high} (value {value_high})")]
    NoSignChange {
        /// Lower bound.
        low: f64,
        /// Upper bound.
        high: f64,
        /// Value there.
        value_low: f64,
        /// Value there.
        value_high: f64,
    },
    /// The function gave a value that is not finite.
    #[error("the function is not finite at {at}")]
    NotFinite {
        /// Where.
        at: f64,
    },
    /// The iteration limit was reached; the bracket is still wider than asked.
    #[error("not converged in {iterations} iterations, bracket width {width}")]
    Iterations {
        /// How many.
        iterations: usize,
        /// Width left.
        width: f64,
    },
}

/// Finds a zero of `f` in `[low, high]` to within `tolerance` of its argument.
///
/// Interpolate, truncate, project: superlinear for smooth functions, and never more than `1` iteration behind bisection, which
/// halves the bracket every step. `tolerance` must be positive; below about 1e-15 of the bounds the rounding of the
/// argument itself stops the search.
///
/// # Errors
/// No sign change, a value that is not finite, or the iteration limit (`100`), with the numbers.
///
/// # Source
/// OT-2020 (I. F. D. Oliveira, R. H. C. Takahashi).
pub fn find(
    mut f: impl FnMut(f64) -> f64,
    low: f64,
    high: f64,
    tolerance: f64,
) -> Result<f64, RootError> {
    const ITERATIONS_MAX: usize = 100;
    // A hair within the tolerance, so that rounding of the argument does not cost an iteration more than promised.
    const WITHIN: f64 = 0.999;
    let (mut a, mut b) = (low, high);
    let (mut fa, mut fb) = (checked(&mut f, a)?, checked(&mut f, b)?);
    if fa == 0.0 {
        return Ok(a);
    }
    if fb == 0.0 {
        return Ok(b);
    }
    if (fa > 0.0) == (fb > 0.0) {
        return Err(RootError::NoSignChange { low, high, value_low: fa, value_high: fb });
    }
    let steps_bisection = ((b - a).abs() / (2.0 * tolerance)).log2().ceil().max(0.0);
    let truncation = 0.2 / (b - a).abs();
    for iteration in 0..ITERATIONS_MAX {
        let width = (b - a).abs();
        if width <= 2.0 * tolerance {
            return Ok(0.5 * (a + b));
        }
        let middle = 0.5 * (a + b);
        let secant = (fb * a - fa * b) / (fb - fa);
        let toward = (middle - secant).signum();
        let shift = (truncation * width * width).min((middle - secant).abs());
        let truncated = secant + toward * shift;
        let exponent = steps_bisection + 1.0 - iteration as f64;
        let radius = (WITHIN * tolerance * exponent.exp2() - 0.5 * width).max(0.0);
        let x =
            if (truncated - middle).abs() <= radius { truncated } else { middle - toward * radius };
        // Also when the secant overflowed and is not a number.
        let x = if x > a.min(b) && x < a.max(b) { x } else { middle };
        let fx = checked(&mut f, x)?;
        if fx == 0.0 {
            return Ok(x);
        }
        if (fx > 0.0) == (fa > 0.0) {
            (a, fa) = (x, fx);
        } else {
            (b, fb) = (x, fx);
        }
    }
    Err(RootError::Iterations { iterations: ITERATIONS_MAX, width: (b - a).abs() })
}

fn checked(f: &mut impl FnMut(f64) -> f64, at: f64) -> Result<f64, RootError> {
    let value = f(at);
    if value.is_finite() { Ok(value) } else { Err(RootError::NotFinite { at }) }
}

#[cfg(test)]
mod tests {
    use super::{RootError, find};

    #[test]
    fn val_zero_of_a_cubic() {
        // x^3 - 2x - 5 at 2.0945514815423265 (Wallis's example, any numerical analysis text).
        let root = find(|x| x * x * x - 2.0 * x - 5.0, 2.0, 3.0, 1e-13).unwrap();
        assert!((root - 2.094_551_481_542_326_5).abs() < 1e-12);
    }

    #[test]
    fn a_flat_and_a_steep_function_converge() {
        let flat = find(|x: f64| (x - 0.3) * (x - 0.3) * (x - 0.3), -1.0, 1.0, 1e-12).unwrap();
        assert!((flat - 0.3).abs() < 1e-11);
        let steep = find(|x: f64| crate::math::tanh(1e6 * (x - 0.7)), -1.0, 1.0, 1e-12).unwrap();
        assert!((steep - 0.7).abs() < 1e-11);
    }

    #[test]
    fn it_says_why_not() {
        assert!(matches!(
            find(|x| x * x + 1.0, -1.0, 1.0, 1e-9),
            Err(RootError::NoSignChange { .. })
        ));
        assert!(matches!(
            find(|x| if x > 0.5 { f64::NAN } else { -1.0 }, 0.0, 1.0, 1e-9),
            Err(RootError::NotFinite { .. })
        ));
    }
}
