//! How long an error of height keeps: most of it is the receiver's slow error, which a change of height over one figure does not
//! have.
//!
//! The states found are a Markov sequence: the covariance of two knots is the product of the links between. Heights hang together
//! with climb, lift and the slow error of height only, so a few links of four states tell it.

use base::math::ln;
use base::numerics::block_tridiagonal::Local;
use base::numerics::statistics::median;

use crate::joint::layout::{ACCELERATION, POSITION, SLOW, VELOCITY};

/// Down, its rates, and the slow error of height.
const VERTICAL: [usize; 4] = [POSITION + 2, VELOCITY + 2, ACCELERATION + 2, SLOW + 2];
const STATES: usize = VERTICAL.len();
/// Changes are looked at over about the length of a figure, s.
const APART_S: f64 = 30.0;
/// From so many places spread over the flight.
const PLACES: usize = 24;
/// A receiver's errors of climb stay for some seconds, so their sum grows as if heights were forgotten so many times as fast where
/// climbs were recorded (our judgement, no source).
pub(crate) const SOONER: f64 = 2.5;
/// Least and greatest memory, s.
const MEMORY_S: (f64, f64) = (5.0, 1e5);

type Block = [[f64; STATES]; STATES];

/// Pairs of moments half a minute apart, and what is needed of the knots between them.
pub(crate) struct Heights {
    /// First and last knot of each, in order.
    pairs: Vec<(usize, usize)>,
    wanted: Vec<bool>,
    /// Of the knots wanted, from the last to the first: covariances, and those with the next knot.
    seen: Vec<(usize, Block, Block)>,
}

impl Heights {
    /// The moments to look at.
    pub(crate) fn of(time_s: &[f64], flying: &[bool]) -> Self {
        let flown: Vec<usize> = (0..time_s.len()).filter(|k| flying[*k]).collect();
        let every = (flown.len() / PLACES).max(1);
        let later = |first: usize| time_s.partition_point(|t| *t < time_s[first] + APART_S);
        let pairs: Vec<(usize, usize)> = flown
            .iter()
            .step_by(every)
            .map(|first| (*first, later(*first)))
            .filter(|(_, last)| *last < time_s.len())
            .collect();
        let mut wanted = vec![false; time_s.len()];
        for (first, last) in &pairs {
            wanted[*first..=*last].fill(true);
        }
        let count = wanted.iter().filter(|is| **is).count();
        Self { pairs, wanted, seen: Vec::with_capacity(count) }
    }
    /// Takes what is needed of a knot; they come from the last to the first.
    pub(crate) fn see<const N: usize>(&mut self, local: &Local<'_, N>) {
        if self.wanted[local.knot] {
            let part = |of: &dyn Fn(usize, usize) -> f64| -> Block {
                std::array::from_fn(|i| std::array::from_fn(|j| of(VERTICAL[i], VERTICAL[j])))
            };
            let last = local.knot + 1 == self.wanted.len();
            let cross = if last { Block::default() } else { part(&|i, j| local.cross(i, j)) };
            self.seen.push((local.knot, part(&|i, j| local.covariance(i, j)), cross));
        }
    }
    /// The time in which errors of height forget each other, s: as it is between two moments half a minute apart.
    pub(crate) fn memory_s(&self) -> f64 {
        let kept: Vec<f64> =
            self.pairs.iter().filter_map(|(first, last)| self.kept(*first, *last)).collect();
        let kept = median(&kept).unwrap_or(0.0).clamp(1e-3, 1.0 - 1e-4);
        (-APART_S / ln(kept)).clamp(MEMORY_S.0, MEMORY_S.1)
    }
    /// Correlation of the heights of a knot and of one half a minute later.
    fn kept(&self, first: usize, last: usize) -> Option<f64> {
        let at = |knot: usize| {
            let index = self.seen.partition_point(|(seen, ..)| *seen > knot);
            self.seen.get(index).filter(|(seen, ..)| *seen == knot)
        };
        let spread = |of: &Block| of[0][0].max(0.0).sqrt();
        // The row of the first height against all four states, link by link.
        let mut row = at(first)?.1[0];
        for k in first..last {
            let (_, own, cross) = at(k)?;
            let weights = solve(*own, row)?;
            row = std::array::from_fn(|j| (0..STATES).map(|i| weights[i] * cross[i][j]).sum());
        }
        let share = row[0] / (spread(&at(first)?.1) * spread(&at(last)?.1));
        share.is_finite().then_some(share)
    }
}

/// Solves a small symmetric system by elimination; `None` when it is singular.
fn solve(mut a: Block, mut b: [f64; STATES]) -> Option<[f64; STATES]> {
    for i in 0..STATES {
        if a[i][i] <= 0.0 {
            return None;
        }
        for j in i + 1..STATES {
            let factor = a[j][i] / a[i][i];
            let above = a[i];
            for (below, above) in a[j].iter_mut().zip(above) {
                *below -= factor * above;
            }
            b[j] -= factor * b[i];
        }
    }
    for i in (0..STATES).rev() {
        let known: f64 = (i + 1..STATES).map(|j| a[i][j] * b[j]).sum();
        b[i] = (b[i] - known) / a[i][i];
    }
    Some(b)
}

#[cfg(test)]
mod tests {
    use super::solve;
    use checks::assert_near;

    #[test]
    fn prop_the_solution_solves() {
        let a = [
            [4.0, 1.0, 0.5, 0.1],
            [1.0, 3.0, 0.2, 0.3],
            [0.5, 0.2, 2.0, -0.4],
            [0.1, 0.3, -0.4, 1.0],
        ];
        let wanted = [1.0, -2.0, 0.5, 3.0];
        let b = std::array::from_fn(|i| (0..4).map(|j| a[i][j] * wanted[j]).sum());
        let found = solve(a, b).expect("not singular");
        for (found, wanted) in found.iter().zip(wanted) {
            assert_near("part", *found, wanted, 1e-12);
        }
    }
}
