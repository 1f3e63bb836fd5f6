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
use base::numerics::block_tridiagonal::{BlockTridiagonal, Local, Near, NotPositiveDefinite, Row};

/// A measured position or velocity of the axis at a knot.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Measured {
    /// Index of the knot.
    pub knot: usize,
    /// How long after the knot, s.
    pub after_s: f64,
    /// When it stands between two knots: how long the step between them is, s; nil at the knot.
    pub step_s: f64,
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
    /// Covariances of each knot (rows) with the next (columns).
    pub cross: Vec<[[f64; STATES]; STATES]>,
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
    observe(&mut system, (measured, weights), noise, &[0, 1, 2, 3]);
    let mut axis = AxisSolution::of(time_s.len());
    let mut driven = vec![Driven::default(); jerk.len()];
    system.eliminate()?.sweep(|local| {
        let k = local.knot;
        axis.take(local, 0);
        if k < jerk.len() {
            let dt = time_s[k + 1] - time_s[k];
            let change = local.next_value[2] - local.value[2];
            let variance =
                local.next_covariance(2, 2) + local.covariance(2, 2) - 2.0 * local.cross(2, 2);
            let slow = slow_driven(local, STATES - 1, dt, noise);
            driven[k] = Driven {
                square: change * change / dt,
                known: (1.0 - variance / (jerk[k] * dt)).clamp(0.0, 1.0),
                slow: [slow.0, 0.0],
                slow_known: [slow.1, 0.0],
            };
        }
    });
    Ok((axis, driven))
}

impl AxisSolution {
    /// Of so many knots, empty.
    pub(crate) fn of(knots: usize) -> Self {
        let nil = [[0.0; STATES]; STATES];
        Self {
            values: vec![[0.0; STATES]; knots],
            covariances: vec![nil; knots],
            cross: vec![nil; knots.saturating_sub(1)],
        }
    }
    /// Takes what was found at a knot, from a state on.
    pub(crate) fn take<const N: usize>(&mut self, local: &Local<'_, N>, from: usize) {
        let k = local.knot;
        self.values[k].copy_from_slice(&local.value[from..][..STATES]);
        for (i, row) in self.covariances[k].iter_mut().enumerate() {
            row.copy_from_slice(&local.covariances(from + i)[from..][..STATES]);
        }
        if let Some(cross) = self.cross.get_mut(k) {
            for (i, row) in cross.iter_mut().enumerate() {
                row.copy_from_slice(&local.crosses(from + i)[from..][..STATES]);
            }
        }
    }
}

/// Square of the change of the slow error at index `i` over an interval, over what is expected, and how much of it is known.
pub(crate) fn slow_driven<const N: usize>(
    local: &Local<'_, N>,
    i: usize,
    dt: f64,
    noise: &Noise,
) -> (f64, f64) {
    let keep = exp(-dt / noise.slow_s);
    let expected = noise.slow_m * noise.slow_m * (1.0 - keep * keep);
    let change = local.next_value[i] - keep * local.value[i];
    let variance = local.next_covariance(i, i) + keep * keep * local.covariance(i, i)
        - 2.0 * keep * local.cross(i, i);
    (change * change / expected, (1.0 - variance / expected).clamp(0.0, 1.0))
}

/// Everything observed on an axis whose states stand at these places, the priors of the first knot included.
pub(crate) fn observe<const N: usize>(
    system: &mut BlockTridiagonal<N>,
    (measured, weights): (&[Measured], &[f64]),
    noise: &Noise,
    places: &[usize; STATES],
) {
    // A weak prior keeps a recording of very few fixes solvable: nothing accelerates at more than a few g.
    for (i, sigma) in [(3, noise.slow_m), (2, 10.0)] {
        let row = Row { knot: 0, here: &[(places[i], 1.0)], next: &[], border: &[] };
        system.observe_row(row, 0.0, 1.0 / (sigma * sigma));
    }
    let mut at = 0;
    while at < measured.len() {
        let (knot, near, end) = gather(measured, weights, noise, at, |m, _| m.value);
        system.add_near(knot, places, &near);
        at = end;
    }
}

/// Normal equations of the measurements of one knot, of which the first is given, for what is `left` of each when it shows so much;
/// the knot, and the first measurement after them.
pub(crate) fn gather(
    measured: &[Measured],
    weights: &[f64],
    noise: &Noise,
    first: usize,
    left: impl Fn(&Measured, &Shown) -> f64,
) -> (usize, Near, usize) {
    let knot = measured[first].knot;
    let mut near = Near::default();
    let mut at = first;
    while let Some(m) = measured.get(at).filter(|m| m.knot == knot) {
        let sigma = noise.sigma(m.kind);
        let information = weights[at] * m.share / (sigma * sigma);
        let shown = m.shown();
        let next = (m.step_s > 0.0).then_some(&shown.next);
        near.add(&shown.here, next, left(m, &shown), information);
        at += 1;
    }
    (knot, near, at)
}

/// What a measurement shows of the states of its knot and of the next.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Shown {
    pub(crate) here: [f64; STATES],
    pub(crate) next: [f64; STATES],
}

impl Shown {
    /// What it should be by the states of the two knots.
    pub(crate) fn of(&self, here: &[f64; STATES], next: &[f64; STATES]) -> f64 {
        let dot = |a: &[f64; STATES], b: &[f64; STATES]| {
            (a[0] * b[0] + a[1] * b[1]) + (a[2] * b[2] + a[3] * b[3])
        };
        dot(&self.here, here) + dot(&self.next, next)
    }
}

impl Measured {
    /// At a knot its position or velocity. Between two knots the path of least jerk between their states, which is what white jerk
    /// makes most likely: a polynomial of the fifth degree.
    pub(crate) fn shown(&self) -> Shown {
        let (h, nil) = (self.step_s, [0.0; STATES]);
        if h <= 0.0 {
            return match self.kind {
                Kind::Position => Shown { here: [1.0, 0.0, 0.0, 1.0], next: nil },
                Kind::Velocity => Shown { here: [0.0, 1.0, 0.0, 0.0], next: nil },
            };
        }
        let s = self.after_s / h;
        let (s2, s3) = (s * s, s * s * s);
        let (s4, s5) = (s3 * s, s3 * s2);
        match self.kind {
            Kind::Position => {
                let swung = 10.0 * s3 - 15.0 * s4 + 6.0 * s5;
                Shown {
                    here: [
                        1.0 - swung,
                        h * (s - 6.0 * s3 + 8.0 * s4 - 3.0 * s5),
                        0.5 * h * h * (s2 - 3.0 * s3 + 3.0 * s4 - s5),
                        1.0 - s,
                    ],
                    next: [
                        swung,
                        h * (-4.0 * s3 + 7.0 * s4 - 3.0 * s5),
                        0.5 * h * h * (s3 - 2.0 * s4 + s5),
                        s,
                    ],
                }
            }
            Kind::Velocity => {
                let swung = 30.0 * (s2 - 2.0 * s3 + s4) / h;
                Shown {
                    here: [
                        -swung,
                        1.0 - 18.0 * s2 + 32.0 * s3 - 15.0 * s4,
                        0.5 * h * (2.0 * s - 9.0 * s2 + 12.0 * s3 - 5.0 * s4),
                        0.0,
                    ],
                    next: [
                        swung,
                        -12.0 * s2 + 28.0 * s3 - 15.0 * s4,
                        0.5 * h * (3.0 * s2 - 8.0 * s3 + 5.0 * s4),
                        0.0,
                    ],
                }
            }
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
        let k = m.knot;
        let after = (k + 1).min(solution.values.len() - 1);
        let shown = m.shown();
        let Shown { here, next } = &shown;
        let mut variance = square(here, &solution.covariances[k], here);
        if m.step_s > 0.0 {
            variance += square(next, &solution.covariances[after], next)
                + 2.0 * square(here, &solution.cross[k], next);
        }
        let shown = shown.of(&solution.values[k], &solution.values[after]);
        (m.value - shown, variance)
    };
    measured.iter().map(one).collect()
}

fn square(a: &[f64; STATES], block: &[[f64; STATES]; STATES], b: &[f64; STATES]) -> f64 {
    let mut total = 0.0;
    for (a, row) in a.iter().zip(block) {
        total += a * ((row[0] * b[0] + row[1] * b[1]) + (row[2] * b[2] + row[3] * b[3]));
    }
    total
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
