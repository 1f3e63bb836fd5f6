//! Numbers that carry their derivatives: forward differentiation by the rules of calculus, for functions of a few variables.

#![allow(clippy::needless_range_loop, reason = "the indices are those of the formulas")]

use std::ops::{Add, Div, Mul, Neg, Sub};

use base::math::{atan2, cos, sin};

/// A value and its derivatives by `M` variables.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Dual<const M: usize> {
    pub(crate) value: f64,
    pub(crate) slope: [f64; M],
}

impl<const M: usize> Dual<M> {
    pub(crate) const fn constant(value: f64) -> Self {
        Self { value, slope: [0.0; M] }
    }
    /// The variable of that index.
    pub(crate) fn variable(value: f64, index: usize) -> Self {
        let mut one = Self::constant(value);
        one.slope[index] = 1.0;
        one
    }
    /// A function of this with that value and that derivative.
    fn through(self, value: f64, derivative: f64) -> Self {
        Self { value, slope: self.slope.map(|s| s * derivative) }
    }
    fn with(self, other: Self, value: f64, by_self: f64, by_other: f64) -> Self {
        let mut slope = [0.0; M];
        for i in 0..M {
            slope[i] = by_self * self.slope[i] + by_other * other.slope[i];
        }
        Self { value, slope }
    }
    pub(crate) fn times(self, factor: f64) -> Self {
        self.through(self.value * factor, factor)
    }
    pub(crate) fn plus(self, term: f64) -> Self {
        Self { value: self.value + term, ..self }
    }
    pub(crate) fn sqrt(self) -> Self {
        let root = self.value.sqrt();
        self.through(root, 0.5 / root)
    }
    pub(crate) fn recip(self) -> Self {
        let inverse = 1.0 / self.value;
        self.through(inverse, -inverse * inverse)
    }
    pub(crate) fn sin(self) -> Self {
        self.through(sin(self.value), cos(self.value))
    }
    pub(crate) fn cos(self) -> Self {
        self.through(cos(self.value), -sin(self.value))
    }
    pub(crate) fn exp(self) -> Self {
        let value = base::math::exp(self.value);
        self.through(value, value)
    }
    /// Angle of the vector (`x`, `self`).
    pub(crate) fn atan2(self, x: Self) -> Self {
        let square = (self.value * self.value + x.value * x.value).max(1e-12);
        self.with(x, atan2(self.value, x.value), x.value / square, -self.value / square)
    }
    /// Itself well inside of a limit to either side and never beyond it, with a slope everywhere: `x / (1 + (x / limit)^8)^(1/8)`.
    pub(crate) fn within(self, limit: f64) -> Self {
        let share = self.value / limit;
        let square = share * share;
        let sum = 1.0 + square * square * square * square;
        let root = sum.sqrt().sqrt().sqrt();
        self.through(self.value / root, 1.0 / (root * sum))
    }
    /// No less than a limit; constant beyond it.
    pub(crate) fn at_least(self, limit: f64) -> Self {
        if self.value < limit { Self::constant(limit) } else { self }
    }
}

impl<const M: usize> Add for Dual<M> {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        self.with(other, self.value + other.value, 1.0, 1.0)
    }
}

impl<const M: usize> Sub for Dual<M> {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        self.with(other, self.value - other.value, 1.0, -1.0)
    }
}

impl<const M: usize> Mul for Dual<M> {
    type Output = Self;
    fn mul(self, other: Self) -> Self {
        self.with(other, self.value * other.value, other.value, self.value)
    }
}

impl<const M: usize> Div for Dual<M> {
    type Output = Self;
    fn div(self, other: Self) -> Self {
        let inverse = 1.0 / other.value;
        let value = self.value * inverse;
        self.with(other, value, inverse, -value * inverse)
    }
}

impl<const M: usize> Neg for Dual<M> {
    type Output = Self;
    fn neg(self) -> Self {
        self.times(-1.0)
    }
}

/// A vector of three.
pub(crate) type Three<const M: usize> = [Dual<M>; 3];

pub(crate) fn dot<const M: usize>(a: &Three<M>, b: &Three<M>) -> Dual<M> {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

pub(crate) fn cross<const M: usize>(a: &Three<M>, b: &Three<M>) -> Three<M> {
    [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]]
}

pub(crate) fn scale<const M: usize>(a: &Three<M>, factor: Dual<M>) -> Three<M> {
    [a[0] * factor, a[1] * factor, a[2] * factor]
}

pub(crate) fn sum<const M: usize>(a: &Three<M>, b: &Three<M>) -> Three<M> {
    [a[0] + b[0], a[1] + b[1], a[2] + b[2]]
}

pub(crate) fn difference<const M: usize>(a: &Three<M>, b: &Three<M>) -> Three<M> {
    [a[0] - b[0], a[1] - b[1], a[2] - b[2]]
}
