//! Numbers that carry their first and second derivatives by a few variables, and what they have in common with plain ones.
//!
//! An equation written once for any [`Real`] is evaluated with `f64` where only its value is wanted and with [`Dual`] where its exact
//! derivatives are. A `Dual` of N variables costs some `4 N^2` operations where a plain number costs one: for few variables, or
//! to check derivatives that were written by hand.
#![allow(clippy::needless_range_loop, reason = "matrix kernels read best with their indices")]

use std::ops::{Add, Div, Mul, Neg, Sub};

use crate::math;

/// A number that equations can be written in.
pub trait Real:
    Copy
    + Add<Output = Self>
    + Sub<Output = Self>
    + Mul<Output = Self>
    + Div<Output = Self>
    + Neg<Output = Self>
    + Add<f64, Output = Self>
    + Sub<f64, Output = Self>
    + Mul<f64, Output = Self>
    + Div<f64, Output = Self>
{
    /// Whether derivatives are carried.
    const DERIVATIVES: bool;
    /// A constant.
    fn constant(value: f64) -> Self;
    /// The value.
    fn value(self) -> f64;
    /// A function of one variable, with its first and second derivative.
    fn chain(self, f: impl Fn(f64) -> f64, slopes: impl Fn(f64) -> (f64, f64)) -> Self;
    /// Sine.
    #[must_use]
    fn sin(self) -> Self {
        self.chain(math::sin, |x| (math::cos(x), -math::sin(x)))
    }
    /// Cosine.
    #[must_use]
    fn cos(self) -> Self {
        self.chain(math::cos, |x| (-math::sin(x), -math::cos(x)))
    }
    /// Both.
    #[must_use]
    fn sin_cos(self) -> (Self, Self) {
        (self.sin(), self.cos())
    }
    /// Square root.
    #[must_use]
    fn sqrt(self) -> Self {
        self.chain(f64::sqrt, |x| (0.5 / x.sqrt(), -0.25 / (x * x.sqrt())))
    }
}

#[allow(
    clippy::use_self,
    reason = "functions of plain numbers are of f64, whatever implements the trait"
)]
impl Real for f64 {
    const DERIVATIVES: bool = false;
    fn constant(value: f64) -> Self {
        value
    }
    fn value(self) -> f64 {
        self
    }
    fn chain(self, f: impl Fn(f64) -> f64, _: impl Fn(f64) -> (f64, f64)) -> Self {
        f(self)
    }
    fn sin_cos(self) -> (Self, Self) {
        math::sin_cos(self)
    }
}

/// A number with its gradient and its matrix of second derivatives by `N` variables.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Dual<const N: usize> {
    /// The value.
    pub value: f64,
    /// First derivatives.
    pub gradient: [f64; N],
    /// Second derivatives.
    pub hessian: [[f64; N]; N],
}

impl<const N: usize> Dual<N> {
    /// The variable of an index.
    #[must_use]
    pub fn variable(value: f64, index: usize) -> Self {
        let mut gradient = [0.0; N];
        gradient[index] = 1.0;
        Self { value, gradient, hessian: [[0.0; N]; N] }
    }
    /// `f(a, b)` by its first derivatives and its second: by a twice, by both, by b twice.
    fn pair(a: &Self, b: &Self, value: f64, (fa, fb): (f64, f64), second: [f64; 3]) -> Self {
        let mut out = Self { value, gradient: [0.0; N], hessian: [[0.0; N]; N] };
        let [faa, fab, fbb] = second;
        for i in 0..N {
            out.gradient[i] = fa * a.gradient[i] + fb * b.gradient[i];
            let (left, right) = (
                faa * a.gradient[i] + fab * b.gradient[i],
                fab * a.gradient[i] + fbb * b.gradient[i],
            );
            for j in 0..N {
                out.hessian[i][j] = fa * a.hessian[i][j]
                    + fb * b.hessian[i][j]
                    + left * a.gradient[j]
                    + right * b.gradient[j];
            }
        }
        out
    }
}

impl<const N: usize> Real for Dual<N> {
    const DERIVATIVES: bool = true;
    fn constant(value: f64) -> Self {
        Self { value, gradient: [0.0; N], hessian: [[0.0; N]; N] }
    }
    fn value(self) -> f64 {
        self.value
    }
    fn chain(self, f: impl Fn(f64) -> f64, slopes: impl Fn(f64) -> (f64, f64)) -> Self {
        let (first, second) = slopes(self.value);
        let mut out = self;
        out.value = f(self.value);
        for i in 0..N {
            out.gradient[i] = first * self.gradient[i];
            for j in 0..N {
                out.hessian[i][j] =
                    first * self.hessian[i][j] + second * self.gradient[i] * self.gradient[j];
            }
        }
        out
    }
}

impl<const N: usize> Add for Dual<N> {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self::pair(&self, &other, self.value + other.value, (1.0, 1.0), [0.0; 3])
    }
}

impl<const N: usize> Sub for Dual<N> {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self::pair(&self, &other, self.value - other.value, (1.0, -1.0), [0.0; 3])
    }
}

impl<const N: usize> Mul for Dual<N> {
    type Output = Self;
    fn mul(self, other: Self) -> Self {
        let (a, b) = (self.value, other.value);
        Self::pair(&self, &other, a * b, (b, a), [0.0, 1.0, 0.0])
    }
}

impl<const N: usize> Div for Dual<N> {
    type Output = Self;
    fn div(self, other: Self) -> Self {
        let (a, b) = (self.value, other.value);
        let second = [0.0, -1.0 / (b * b), 2.0 * a / (b * b * b)];
        Self::pair(&self, &other, a / b, (1.0 / b, -a / (b * b)), second)
    }
}

impl<const N: usize> Neg for Dual<N> {
    type Output = Self;
    fn neg(self) -> Self {
        self * -1.0
    }
}

impl<const N: usize> Add<f64> for Dual<N> {
    type Output = Self;
    fn add(self, other: f64) -> Self {
        Self { value: self.value + other, ..self }
    }
}

impl<const N: usize> Sub<f64> for Dual<N> {
    type Output = Self;
    fn sub(self, other: f64) -> Self {
        Self { value: self.value - other, ..self }
    }
}

impl<const N: usize> Mul<f64> for Dual<N> {
    type Output = Self;
    fn mul(self, other: f64) -> Self {
        Self {
            value: self.value * other,
            gradient: self.gradient.map(|slope| slope * other),
            hessian: self.hessian.map(|row| row.map(|second| second * other)),
        }
    }
}

impl<const N: usize> Div<f64> for Dual<N> {
    type Output = Self;
    fn div(self, other: f64) -> Self {
        Self { value: self.value / other, ..self * (1.0 / other) }
    }
}

#[cfg(test)]
mod tests {
    use super::{Dual, Real};
    use crate::math::{cos, sin};

    fn f<R: Real>(x: R, y: R) -> R {
        (x * y + 2.0).sqrt() / (y.sin() + 3.0) - x.cos() * 0.5
    }

    #[test]
    fn derivatives_against_closed_forms() {
        let (x, y) = (0.7, 1.3);
        let found = f(Dual::<2>::variable(x, 0), Dual::variable(y, 1));
        assert!((found.value - f(x, y)).abs() < 1e-15);
        let (root, bottom) = ((x * y + 2.0_f64).sqrt(), sin(y) + 3.0);
        let by_x = y / (2.0 * root * bottom) + 0.5 * sin(x);
        let by_y = x / (2.0 * root * bottom) - root * cos(y) / (bottom * bottom);
        let by_xx = -y * y / (4.0 * root.powi(3) * bottom) + 0.5 * cos(x);
        let by_xy = 1.0 / (2.0 * root * bottom)
            - x * y / (4.0 * root.powi(3) * bottom)
            - y * cos(y) / (2.0 * root * bottom * bottom);
        for (found, wanted) in [
            (found.gradient[0], by_x),
            (found.gradient[1], by_y),
            (found.hessian[0][0], by_xx),
            (found.hessian[0][1], by_xy),
            (found.hessian[1][0], by_xy),
        ] {
            assert!((found - wanted).abs() < 1e-14, "{found} {wanted}");
        }
    }
}
