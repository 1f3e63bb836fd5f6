//! Position, velocity and acceleration from noisy positions and velocities: a linear smoother over all samples.
//!
//! The state of a knot is, on each axis, position, velocity, acceleration and the slow part of the receiver's position error
//! (first-order Gauss-Markov). Jerk is white with an intensity that follows the flying: small in straight flight, large in a
//! roll-in. North and east are solved together (`plane`), since in a turn the acceleration turns with the airplane; down alone.
//! Maximum a posteriori by banded normal equations, reweighted against outliers; linear in time and memory.

mod plane;

pub(crate) use plane::plane_link;
pub use plane::solve_plane;

use base::math::{cos, exp, sin};
use base::numerics::block_tridiagonal::{BlockTridiagonal, NotPositiveDefinite, Solved};

/// A measured position or velocity of the axis at a knot.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Measured {
    /// Index of the knot.
    pub knot: usize,
    /// How long after the knot, s; less than nil before it.
    pub after_s: f64,
    /// Value, m or m/s.
    pub value: f64,
    /// Position (with the slow error) or velocity.
    pub kind: Kind,
    /// How much of a measurement it is, 0 to 1: less than one when it shares its error with its neighbors.
    pub share: f64,
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
#[derive(Debug, Clone, Copy, PartialEq, Default)]
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

/// The state of each knot on one axis (position, velocity, acceleration, slow error) with its covariance.
#[derive(Debug, Clone, Default)]
pub struct AxisSolution {
    /// Values per knot.
    pub values: Vec<[f64; STATES]>,
    /// Covariances per knot, row by row.
    pub covariances: Vec<[[f64; STATES]; STATES]>,
}

/// What the fixes say of the jerk of each interval, over all axes solved together.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Driven {
    /// Square of the change of acceleration that the turn does not explain, over the step, m2/s5.
    pub square: f64,
    /// How many numbers the fixes determine here, of one for each axis: what is left when the prior alone spoke is nil.
    pub known: f64,
    /// Square of the change of the slow error of each axis over what was expected of it.
    pub slow: [f64; 2],
    /// How much the fixes determine of it.
    pub slow_known: [f64; 2],
}

/// States of an axis.
pub(crate) const STATES: usize = 4;

/// Solves the vertical axis.
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
) -> Result<(AxisSolution, Vec<Driven>), NotPositiveDefinite> {
    let mut system = BlockTridiagonal::<STATES>::new(time_s.len());
    for (index, pair) in time_s.windows(2).enumerate() {
        let dt = pair[1] - pair[0];
        let transition = transition(dt, 0.0, noise).map(|row| row.map(|(along, _)| along));
        system.link(index, &transition, &information(dt, jerk[index], noise));
    }
    for (knot, row, value, sigma) in observations(measured, weights, noise) {
        system.observe(knot, &row, value, sigma);
    }
    let solved = system.solve()?;
    let driven = (0..jerk.len())
        .map(|k| {
            let dt = time_s[k + 1] - time_s[k];
            let change = solved.values[k + 1][2] - solved.values[k][2];
            let variance = solved.covariances[k + 1][2][2] + solved.covariances[k][2][2]
                - 2.0 * solved.cross[k][2][2];
            let slow = slow_driven(&solved, k, STATES - 1, dt, noise);
            Driven {
                square: change * change / dt,
                known: (1.0 - variance / (jerk[k] * dt)).clamp(0.0, 1.0),
                slow: [slow.0, 0.0],
                slow_known: [slow.1, 0.0],
            }
        })
        .collect();
    Ok((AxisSolution { values: solved.values, covariances: solved.covariances }, driven))
}

/// Square of the change of the slow error at index `i` over an interval, over what is expected, and how much of it is known.
pub(crate) fn slow_driven<const N: usize>(
    solved: &Solved<N>,
    k: usize,
    i: usize,
    dt: f64,
    noise: &Noise,
) -> (f64, f64) {
    let keep = exp(-dt / noise.slow_s);
    let expected = noise.slow_m * noise.slow_m * (1.0 - keep * keep);
    let change = solved.values[k + 1][i] - keep * solved.values[k][i];
    let variance = solved.covariances[k + 1][i][i] + keep * keep * solved.covariances[k][i][i]
        - 2.0 * keep * solved.cross[k][i][i];
    (change * change / expected, (1.0 - variance / expected).clamp(0.0, 1.0))
}

/// Rows, values and sigmas of everything observed on an axis, the priors of the first knot included.
fn observations<'a>(
    measured: &'a [Measured],
    weights: &'a [f64],
    noise: &'a Noise,
) -> impl Iterator<Item = (usize, [f64; STATES], f64, f64)> + 'a {
    let slow = (0, [0.0, 0.0, 0.0, 1.0], 0.0, noise.slow_m);
    // A weak prior keeps a recording of very few fixes solvable: nothing accelerates at more than a few g.
    let weak = (0, [0.0, 0.0, 1.0, 0.0], 0.0, 10.0);
    let fixes = measured.iter().zip(weights).map(|(measured, weight)| {
        let sigma = noise.sigma(measured.kind) / (weight * measured.share).sqrt();
        (measured.knot, measured.row(), measured.value, sigma)
    });
    [slow, weak].into_iter().chain(fixes)
}

impl Measured {
    /// What of the knot's state it shows: a little after or before, carried along by velocity and acceleration.
    pub(crate) const fn row(&self) -> [f64; STATES] {
        let after = self.after_s;
        match self.kind {
            Kind::Position => [1.0, after, 0.5 * after * after, 1.0],
            Kind::Velocity => [0.0, 1.0, after, 0.0],
        }
    }
}

impl Noise {
    /// White noise of a kind, m or m/s.
    #[must_use]
    pub const fn sigma(&self, kind: Kind) -> f64 {
        match kind {
            Kind::Position => self.position_m,
            Kind::Velocity => self.velocity_mps,
        }
    }
}

/// Transition over `dt` while the acceleration turns at `rate`: for each pair of states the part along the same axis and the
/// part from north to east.
pub(crate) fn transition(dt: f64, rate: f64, noise: &Noise) -> [[(f64, f64); STATES]; STATES] {
    let angle = rate * dt;
    let (one, none) = ((1.0, 0.0), (0.0, 0.0));
    // Integrals of a turning acceleration: (e^ia - 1) / ia and (1 + ia - e^ia) / a^2, by their series where they cancel.
    let small = angle.abs() < 1e-2;
    let square = angle * angle;
    let speed = if small {
        (1.0 - square / 6.0, 0.5 * angle)
    } else {
        (sin(angle) / angle, (1.0 - cos(angle)) / angle)
    };
    let place = if small {
        (0.5 - square / 24.0, angle / 6.0)
    } else {
        ((1.0 - cos(angle)) / square, (angle - sin(angle)) / square)
    };
    [
        [one, (dt, 0.0), (dt * dt * place.0, dt * dt * place.1), none],
        [none, one, (dt * speed.0, dt * speed.1), none],
        [none, none, (cos(angle), sin(angle)), none],
        [none, none, none, (exp(-dt / noise.slow_s), 0.0)],
    ]
}

/// Information (inverse covariance) of what jerk and the slow error add over `dt`.
pub(crate) fn information(dt: f64, jerk: f64, noise: &Noise) -> [[f64; STATES]; STATES] {
    let keep = exp(-dt / noise.slow_s);
    let (d1, d2) = (dt, dt * dt);
    let (d3, d4, d5) = (d2 * d1, d2 * d2, d2 * d2 * d1);
    let slow = noise.slow_m * noise.slow_m * (1.0 - keep * keep);
    [
        [720.0 / (jerk * d5), -360.0 / (jerk * d4), 60.0 / (jerk * d3), 0.0],
        [-360.0 / (jerk * d4), 192.0 / (jerk * d3), -36.0 / (jerk * d2), 0.0],
        [60.0 / (jerk * d3), -36.0 / (jerk * d2), 9.0 / (jerk * d1), 0.0],
        [0.0, 0.0, 0.0, 1.0 / slow],
    ]
}

/// Residuals of the measurements and the variance of what was fitted there, in the order given.
#[must_use]
pub fn residuals(solution: &AxisSolution, measured: &[Measured]) -> Vec<(f64, f64)> {
    let one = |m: &Measured| {
        let (x, p) = (&solution.values[m.knot], &solution.covariances[m.knot]);
        let row = m.row();
        let (mut shown, mut variance) = (0.0, 0.0);
        for i in 0..STATES {
            shown += row[i] * x[i];
            for j in 0..STATES {
                variance += row[i] * row[j] * p[i][j];
            }
        }
        (m.value - shown, variance)
    };
    measured.iter().map(one).collect()
}

/// Sum of a series over a window of `half_s` to either side of each place, in linear time.
#[must_use]
pub fn window_sum(time_s: &[f64], values: &[f64], half_s: f64) -> Vec<f64> {
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
            sums[high] - sums[low]
        })
        .collect()
}
