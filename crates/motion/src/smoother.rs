//! Position, velocity and acceleration of one axis from noisy positions and velocities: a linear smoother over all samples.
//!
//! The state of a knot is position, velocity, acceleration and the slow part of the receiver's position error (first-order
//! Gauss-Markov). Jerk is white with an intensity that follows the flying: small in straight flight, large in a roll-in. Maximum
//! a posteriori by banded normal equations, reweighted against outliers; linear in time and memory.

use base::math::exp;
use base::numerics::block_tridiagonal::{BlockTridiagonal, NotPositiveDefinite, Solved};

/// A measured position or velocity of the axis at a knot.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Measured {
    /// Index of the knot.
    pub knot: usize,
    /// Value, m or m/s.
    pub value: f64,
    /// Position (with the slow error) or velocity.
    pub kind: Kind,
}

/// What is measured.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// Position, m.
    Position,
    /// Velocity, m/s.
    Velocity,
}

/// Noise of the receiver on one axis.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Noise {
    /// White part of a position, m.
    pub position_m: f64,
    /// Velocity, m/s.
    pub velocity_mps: f64,
    /// Slow part of a position, m.
    pub slow_m: f64,
    /// Time over which the slow part is kept, s.
    pub slow_s: f64,
}

/// The state of a knot with its covariance: position, velocity, acceleration, slow error.
pub type AxisSolution = Solved<4>;

/// Solves one axis.
///
/// # Shape
/// `time_s` rising; `jerk` (m2/s5) one entry an interval.
///
/// # Errors
/// When a knot is not determined: no measurement at all.
pub fn solve_axis(
    time_s: &[f64],
    jerk: &[f64],
    measured: &[Measured],
    weights: &[f64],
    noise: &Noise,
) -> Result<AxisSolution, NotPositiveDefinite> {
    let mut system = BlockTridiagonal::<4>::new(time_s.len());
    for (index, pair) in time_s.windows(2).enumerate() {
        let (transition, information) = link(pair[1] - pair[0], jerk[index], noise);
        system.link(index, &transition, &information);
    }
    system.observe(0, &[0.0, 0.0, 0.0, 1.0], 0.0, noise.slow_m);
    // A weak prior keeps a recording of very few fixes solvable: nothing accelerates at more than a few g.
    system.observe(0, &[0.0, 0.0, 1.0, 0.0], 0.0, 10.0);
    for (measured, weight) in measured.iter().zip(weights) {
        let (row, sigma) = match measured.kind {
            Kind::Position => ([1.0, 0.0, 0.0, 1.0], noise.position_m),
            Kind::Velocity => ([0.0, 1.0, 0.0, 0.0], noise.velocity_mps),
        };
        system.observe(measured.knot, &row, measured.value, sigma / weight.sqrt());
    }
    system.solve()
}

/// Transition over `dt` and the information (inverse covariance) of what the jerk adds.
fn link(dt: f64, jerk: f64, noise: &Noise) -> ([[f64; 4]; 4], [[f64; 4]; 4]) {
    let keep = exp(-dt / noise.slow_s);
    let transition = [
        [1.0, dt, 0.5 * dt * dt, 0.0],
        [0.0, 1.0, dt, 0.0],
        [0.0, 0.0, 1.0, 0.0],
        [0.0, 0.0, 0.0, keep],
    ];
    let (d1, d2) = (dt, dt * dt);
    let (d3, d4, d5) = (d2 * d1, d2 * d2, d2 * d2 * d1);
    let slow = noise.slow_m * noise.slow_m * (1.0 - keep * keep);
    let information = [
        [720.0 / (jerk * d5), -360.0 / (jerk * d4), 60.0 / (jerk * d3), 0.0],
        [-360.0 / (jerk * d4), 192.0 / (jerk * d3), -36.0 / (jerk * d2), 0.0],
        [60.0 / (jerk * d3), -36.0 / (jerk * d2), 9.0 / (jerk * d1), 0.0],
        [0.0, 0.0, 0.0, 1.0 / slow],
    ];
    (transition, information)
}

/// Residuals of the measurements, in the order given.
#[must_use]
pub fn residuals(solution: &AxisSolution, measured: &[Measured]) -> Vec<f64> {
    let one = |m: &Measured| {
        let x = &solution.values[m.knot];
        match m.kind {
            Kind::Position => m.value - x[0] - x[3],
            Kind::Velocity => m.value - x[1],
        }
    };
    measured.iter().map(one).collect()
}

/// Mean of a series over a window of `half_s` to either side of each place, in linear time.
#[must_use]
pub fn window_mean(time_s: &[f64], values: &[f64], half_s: f64) -> Vec<f64> {
    let mut sums = Vec::with_capacity(values.len() + 1);
    sums.push(0.0);
    for value in values {
        sums.push(sums[sums.len() - 1] + value);
    }
    let (mut low, mut high) = (0, 0);
    (0..values.len())
        .map(|i| {
            while time_s[low] < time_s[i] - half_s {
                low += 1;
            }
            while high < values.len() && time_s[high] <= time_s[i] + half_s {
                high += 1;
            }
            (sums[high] - sums[low]) / (high - low) as f64
        })
        .collect()
}
