//! The problem about its solution, linear: what each figure does to each unknown, with and without some of them.

use nalgebra::{DMatrix, DVector};

use crate::model::{DOUBT_SIGMAS, DOUBTS};

/// Figures in standard deviations, unknowns as logarithms.
#[derive(Debug, Clone)]
pub(super) struct Linear {
    by_logs: DMatrix<f64>,
    by_doubts: DMatrix<f64>,
    offsets: DVector<f64>,
    weights: Vec<f64>,
    prior: Vec<(f64, f64)>,
    whole: Sums,
}

/// Sums over the prior and figures.
#[derive(Debug, Clone)]
struct Sums {
    normal: DMatrix<f64>,
    pull: DVector<f64>,
    doubted: DMatrix<f64>,
}

/// The estimator that leaves some figures out.
#[derive(Debug, Clone)]
pub(super) struct Estimator {
    /// Covariance when there are no doubts.
    plain: DMatrix<f64>,
    /// What one unit of each doubt does to the estimate.
    moved: DMatrix<f64>,
    /// How far the estimate moves when the figures are left out.
    shift: DVector<f64>,
}

fn spread() -> DMatrix<f64> {
    DMatrix::from_diagonal(&DVector::from_iterator(DOUBTS, DOUBT_SIGMAS.map(|s| s * s)))
}

/// An offset in standard deviations of a figure, in standard deviations of figure and doubts, from its slopes by these.
pub(super) fn doubted(offset: f64, by_doubts: &[f64; DOUBTS]) -> f64 {
    let of_doubts: f64 = by_doubts
        .iter()
        .zip(DOUBT_SIGMAS)
        .map(|(slope, sigma)| slope * (sigma * sigma) * slope)
        .sum();
    offset / (1.0 + of_doubts).sqrt()
}

impl Linear {
    /// `prior` holds the weight of each unknown and how far its usual value lies above the estimate.
    pub(super) fn new(
        rows: &[(Vec<f64>, [f64; DOUBTS])],
        offsets: Vec<f64>,
        weights: Vec<f64>,
        prior: Vec<(f64, f64)>,
    ) -> Self {
        let (n, p) = (rows.len(), prior.len());
        let whole = Sums {
            normal: DMatrix::from_fn(p, p, |i, j| if i == j { prior[i].0 } else { 0.0 }),
            pull: DVector::from_fn(p, |i, _| prior[i].0 * prior[i].1),
            doubted: DMatrix::zeros(p, DOUBTS),
        };
        let mut linear = Self {
            by_logs: DMatrix::from_fn(n, p, |i, j| rows[i].0[j]),
            by_doubts: DMatrix::from_fn(n, DOUBTS, |i, j| rows[i].1[j]),
            offsets: DVector::from_vec(offsets),
            weights,
            prior,
            whole: whole.clone(),
        };
        let mut whole = whole;
        for i in 0..n {
            linear.add(&mut whole, i, 1.0);
        }
        linear.whole = whole;
        linear
    }
    /// Adds a figure to sums, or takes it out again with a share of −1.
    fn add(&self, sums: &mut Sums, i: usize, share: f64) {
        let weight = share * self.weights[i];
        if weight == 0.0 {
            return;
        }
        let row = self.by_logs.row(i);
        for (k, own) in row.iter().enumerate() {
            let own = weight * own;
            for (j, other) in row.iter().enumerate() {
                sums.normal[(j, k)] += other * own;
            }
            for (j, doubt) in self.by_doubts.row(i).iter().enumerate() {
                sums.doubted[(k, j)] += own * doubt;
            }
            sums.pull[k] += own * self.offsets[i];
        }
    }
    pub(super) fn weight(&self, i: usize) -> f64 {
        self.weights[i]
    }
    /// Offset of a figure from the fit, in standard deviations of figure and doubts.
    pub(super) fn offset(&self, i: usize) -> f64 {
        doubted(self.offsets[i], &std::array::from_fn(|j| self.by_doubts[(i, j)]))
    }
    fn count(&self) -> usize {
        self.weights.len()
    }

    /// The estimator without some figures. They are taken out of the sums over all: time does not grow with the number of figures.
    pub(super) fn without(&self, left_out: &[usize]) -> Estimator {
        let mut sums = self.whole.clone();
        for i in left_out {
            self.add(&mut sums, *i, -1.0);
        }
        let Sums { normal, pull, doubted } = sums;
        let plain = normal.cholesky().expect("the prior keeps it positive definite").inverse();
        let (moved, shift) = (&plain * doubted, &plain * pull);
        Estimator { plain, moved, shift }
    }

    /// The figure without which this one agrees best with the rest, when that mends much of it.
    pub(super) fn partner(&self, i: usize) -> Option<usize> {
        let alone = self.without(&[i]).against(self, i).abs();
        let off = |j: usize| self.without(&[i, j]).against(self, i).abs();
        let others = (0..self.count()).filter(|j| *j != i && self.weights[*j] > 0.0);
        let (best, left) = others.map(|j| (j, off(j))).min_by(|a, b| a.1.total_cmp(&b.1))?;
        (left < 0.85 * alone).then_some(best)
    }

    /// Joint covariance of unknowns and doubts when the doubts are estimated too: what the figures can tell at best.
    pub(super) fn joint(&self) -> DMatrix<f64> {
        let p = self.prior.len();
        let own = |i: usize| {
            if i < p { self.prior[i].0 } else { 1.0 / (DOUBT_SIGMAS[i - p] * DOUBT_SIGMAS[i - p]) }
        };
        let mut normal =
            DMatrix::from_fn(p + DOUBTS, p + DOUBTS, |i, j| if i == j { own(i) } else { 0.0 });
        for i in 0..self.count() {
            let row = DVector::from_fn(p + DOUBTS, |j, _| {
                if j < p { self.by_logs[(i, j)] } else { self.by_doubts[(i, j - p)] }
            });
            normal.ger(self.weights[i], &row, &row, 1.0);
        }
        normal.cholesky().expect("the prior keeps it positive definite").inverse()
    }
}

impl Estimator {
    /// Variance of what is predicted, from its slopes.
    pub(super) fn variance(&self, by_logs: &[f64], by_doubts: &[f64]) -> f64 {
        let j = DVector::from_column_slice(by_logs).transpose();
        let g = DVector::from_column_slice(by_doubts).transpose();
        let through = &j * &self.moved - g;
        let plain = (&j * &self.plain * j.transpose())[(0, 0)];
        plain + (&through * spread() * through.transpose())[(0, 0)]
    }
    /// Offset of a figure from this estimate and its standard deviation, the figure's own in it.
    pub(super) fn offset_and_sigma(&self, linear: &Linear, i: usize) -> (f64, f64) {
        let row = linear.by_logs.row(i);
        let offset = linear.offsets[i] - (row * &self.shift)[(0, 0)];
        let doubts = linear.by_doubts.row(i);
        let by_logs: Vec<f64> = row.iter().copied().collect();
        let by_doubts: Vec<f64> = doubts.iter().copied().collect();
        (offset, (1.0 + self.variance(&by_logs, &by_doubts)).sqrt())
    }
    /// The same as a ratio.
    pub(super) fn against(&self, linear: &Linear, i: usize) -> f64 {
        let (offset, sigma) = self.offset_and_sigma(linear, i);
        offset / sigma
    }
    pub(super) fn covariance(&self) -> Vec<f64> {
        let whole = &self.plain + &self.moved * spread() * self.moved.transpose();
        whole.transpose().as_slice().to_vec()
    }
}
