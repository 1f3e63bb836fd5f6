//! A device lying somewhere in the airplane in an attitude of its own: how it is turned against the body, and how late the fixes
//! are by its clock, from what the fixes say of force and rate and what the device felt.

#![allow(clippy::needless_range_loop, reason = "the indices are those of the formulas")]

use base::math::{cos, sin};

use super::{Channel, Global, Kind};

/// How the device lies.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Mount {
    /// Rotation from body to device axes.
    pub(crate) device_from_body: [[f64; 3]; 3],
    /// The unknowns by which it is turned further.
    pub(crate) globals: [usize; 3],
}

impl Mount {
    /// Derivatives of a device axis of a body vector by the three angles.
    pub(crate) fn slopes(&self, axis: usize, v: &[f64; 3]) -> [f64; 3] {
        let row = &self.device_from_body[axis];
        [
            row[2] * v[1] - row[1] * v[2],
            row[0] * v[2] - row[2] * v[0],
            row[1] * v[0] - row[0] * v[1],
        ]
    }
    /// Takes the angles found into the rotation and begins them at nil again.
    pub(crate) fn turn(&mut self, globals: &mut [Global]) {
        let angle = self.globals.map(|g| globals[g].value);
        for g in self.globals {
            globals[g].value = 0.0;
        }
        let size = (angle[0] * angle[0] + angle[1] * angle[1] + angle[2] * angle[2]).sqrt();
        if size < 1e-15 {
            return;
        }
        let axis = angle.map(|part| part / size);
        let (s, c) = (sin(0.5 * size), cos(0.5 * size));
        let turn = rotation([c, s * axis[0], s * axis[1], s * axis[2]]);
        self.device_from_body = product(&self.device_from_body, &turn);
    }
}

fn product(a: &[[f64; 3]; 3], b: &[[f64; 3]; 3]) -> [[f64; 3]; 3] {
    std::array::from_fn(|i| std::array::from_fn(|j| (0..3).map(|k| a[i][k] * b[k][j]).sum()))
}

/// Rotation of a unit quaternion.
fn rotation([w, x, y, z]: [f64; 4]) -> [[f64; 3]; 3] {
    [
        [1.0 - 2.0 * (y * y + z * z), 2.0 * (x * y - w * z), 2.0 * (x * z + w * y)],
        [2.0 * (x * y + w * z), 1.0 - 2.0 * (x * x + z * z), 2.0 * (y * z - w * x)],
        [2.0 * (x * z - w * y), 2.0 * (y * z + w * x), 1.0 - 2.0 * (x * x + y * y)],
    ]
}

/// What the fixes alone say at the knots: specific force and rate in body axes; only where the airplane flies.
#[derive(Debug, Clone, Default)]
pub(crate) struct Expected {
    pub(crate) time_s: Vec<f64>,
    pub(crate) force: Vec<[f64; 3]>,
    pub(crate) rate: Vec<[f64; 3]>,
}

/// Doubt of what the fixes say, for the weights (our judgement, no source).
const FORCE_SIGMA_MPS2: f64 = 0.5;
const RATE_SIGMA_RADPS: f64 = 0.05;
/// Device samples are averaged over so long, s.
const WINDOW_S: f64 = 0.5;

/// Rotation and delay with which the device fits best what the fixes say: `None` with too few samples together. The delay is that
/// of the device behind the fixes, s.
pub(crate) fn start(expected: &Expected, channels: &[&Channel]) -> Option<([[f64; 3]; 3], f64)> {
    const STEP_S: f64 = 0.1;
    let tried = (-20..=10).map(|i| STEP_S * f64::from(i));
    let best = tried
        .filter_map(|delay| {
            let (turn, misfit) = fit(expected, channels, delay)?;
            Some((turn, delay, misfit))
        })
        .min_by(|a, b| a.2.total_cmp(&b.2))?;
    Some((best.0, best.1))
}

/// The rotation for one delay, and the mean square of what is left.
fn fit(expected: &Expected, channels: &[&Channel], delay_s: f64) -> Option<([[f64; 3]; 3], f64)> {
    let pick = |kind: fn(usize) -> Kind| -> [Option<&Channel>; 3] {
        std::array::from_fn(|axis| channels.iter().find(|c| c.kind == kind(axis)).copied())
    };
    let forces = pairs(expected, &pick(Kind::DeviceForce), &expected.force, delay_s);
    let rates = centered(pairs(expected, &pick(Kind::DeviceRate), &expected.rate, delay_s));
    if forces.len().max(rates.len()) < 40 {
        return None;
    }
    let mut sums = [[0.0; 3]; 3];
    let mut add = |pairs: &[([f64; 3], [f64; 3])], sigma: f64| {
        for (body, device) in pairs {
            for i in 0..3 {
                for j in 0..3 {
                    sums[i][j] += body[i] * device[j] / (sigma * sigma);
                }
            }
        }
    };
    add(&forces, FORCE_SIGMA_MPS2);
    add(&rates, RATE_SIGMA_RADPS);
    let turn = rotation(closest(&sums));
    let left = |pairs: &[([f64; 3], [f64; 3])], sigma: f64| -> f64 {
        let one = |(body, device): &([f64; 3], [f64; 3])| -> f64 {
            let miss: f64 = (0..3)
                .map(|i| {
                    let seen: f64 = (0..3).map(|j| turn[i][j] * body[j]).sum();
                    (device[i] - seen) * (device[i] - seen)
                })
                .sum();
            (miss / (sigma * sigma)).min(100.0)
        };
        pairs.iter().map(one).sum()
    };
    let total = left(&forces, FORCE_SIGMA_MPS2) + left(&rates, RATE_SIGMA_RADPS);
    Some((turn, total / (forces.len() + rates.len()) as f64))
}

/// Expected vectors beside what the device felt then.
fn pairs(
    expected: &Expected,
    channels: &[Option<&Channel>; 3],
    vectors: &[[f64; 3]],
    delay_s: f64,
) -> Vec<([f64; 3], [f64; 3])> {
    let [Some(x), Some(y), Some(z)] = channels else { return Vec::new() };
    let mean = |channel: &Channel, time_s: f64| -> Option<f64> {
        let half_s = if channel.averaged { 0.5 * WINDOW_S } else { WINDOW_S };
        let low = channel.times_s.partition_point(|t| *t < time_s - half_s);
        let high = channel.times_s.partition_point(|t| *t < time_s + half_s);
        (high > low).then(|| channel.values[low..high].iter().sum::<f64>() / (high - low) as f64)
    };
    let one = |(time_s, vector): (&f64, &[f64; 3])| {
        let at = time_s + delay_s;
        Some((*vector, [mean(x, at)?, mean(y, at)?, mean(z, at)?]))
    };
    expected.time_s.iter().zip(vectors).filter_map(one).collect()
}

/// Without their means: a gyroscope has a bias.
fn centered(mut pairs: Vec<([f64; 3], [f64; 3])>) -> Vec<([f64; 3], [f64; 3])> {
    let n = pairs.len().max(1) as f64;
    let mut means = [[0.0; 3]; 2];
    for (body, device) in &pairs {
        for i in 0..3 {
            means[0][i] += body[i] / n;
            means[1][i] += device[i] / n;
        }
    }
    for (body, device) in &mut pairs {
        for i in 0..3 {
            body[i] -= means[0][i];
            device[i] -= means[1][i];
        }
    }
    pairs
}

/// The unit quaternion that turns the first vectors onto the second, from the sum of their products (HORN-1987; from memory):
/// the eigenvector of the greatest eigenvalue of a symmetric matrix, by Jacobi's rotations.
fn closest(s: &[[f64; 3]; 3]) -> [f64; 4] {
    let trace = s[0][0] + s[1][1] + s[2][2];
    let mut a = [[0.0; 4]; 4];
    a[0] = [trace, s[1][2] - s[2][1], s[2][0] - s[0][2], s[0][1] - s[1][0]];
    for i in 0..3 {
        a[i + 1][0] = a[0][i + 1];
        for j in 0..3 {
            a[i + 1][j + 1] = s[i][j] + s[j][i] - if i == j { trace } else { 0.0 };
        }
    }
    let mut vectors: [[f64; 4]; 4] =
        std::array::from_fn(|i| std::array::from_fn(|j| f64::from(u8::from(i == j))));
    for _ in 0..30 {
        for p in 0..3 {
            for q in p + 1..4 {
                rotate_away(&mut a, &mut vectors, p, q);
            }
        }
    }
    let best = (0..4).max_by(|i, j| a[*i][*i].total_cmp(&a[*j][*j])).unwrap_or(0);
    std::array::from_fn(|i| vectors[i][best])
}

/// One rotation of Jacobi's method: makes the entry `p`, `q` nil.
fn rotate_away(a: &mut [[f64; 4]; 4], vectors: &mut [[f64; 4]; 4], p: usize, q: usize) {
    if a[p][q].abs() < 1e-300 {
        return;
    }
    let theta = 0.5 * (a[q][q] - a[p][p]) / a[p][q];
    let t = theta.signum() / (theta.abs() + (theta * theta + 1.0).sqrt());
    let c = 1.0 / (t * t + 1.0).sqrt();
    let s = t * c;
    for k in 0..4 {
        let (kp, kq) = (a[k][p], a[k][q]);
        a[k][p] = c * kp - s * kq;
        a[k][q] = s * kp + c * kq;
    }
    for k in 0..4 {
        let (pk, qk) = (a[p][k], a[q][k]);
        a[p][k] = c * pk - s * qk;
        a[q][k] = s * pk + c * qk;
        let (vp, vq) = (vectors[k][p], vectors[k][q]);
        vectors[k][p] = c * vp - s * vq;
        vectors[k][q] = s * vp + c * vq;
    }
}

#[cfg(test)]
mod tests {
    use super::{closest, rotation};
    use checks::assert_near;

    #[test]
    fn prop_the_closest_rotation_of_turned_vectors_is_the_turn() {
        let q = [0.5, -0.5, 0.7, 0.1];
        let size = f64::sqrt(q.iter().map(|part| part * part).sum());
        let turn = rotation(q.map(|part| part / size));
        let mut sums = [[0.0; 3]; 3];
        for v in [[1.0, 0.2, -9.0], [0.3, -1.0, -8.0], [-0.5, 0.4, -12.0]] {
            for (i, sums) in sums.iter_mut().enumerate() {
                for (j, sum) in sums.iter_mut().enumerate() {
                    *sum += v[i] * (0..3).map(|k| turn[j][k] * v[k]).sum::<f64>();
                }
            }
        }
        let found = rotation(closest(&sums));
        for i in 0..3 {
            for j in 0..3 {
                assert_near("entry", found[i][j], turn[i][j], 1e-9);
            }
        }
    }
}
