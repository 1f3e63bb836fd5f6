//! Symmetric positive definite block-tridiagonal systems: solution and the diagonal blocks of the inverse.
//!
//! The normal equations of a smoother over time have this form. Work and memory are linear in the number of knots: about
//! `7/3 N^3` multiplications a knot for factoring and as many again for the inverse blocks.

use nalgebra::{SMatrix, SVector};

/// A symmetric system of `n` block rows of size `N`: diagonal blocks and the blocks right of them.
#[derive(Debug, Clone)]
pub struct BlockTridiagonal<const N: usize> {
    diagonal: Vec<SMatrix<f64, N, N>>,
    right: Vec<SMatrix<f64, N, N>>,
    rhs: Vec<SVector<f64, N>>,
}

/// The system was not positive definite at this knot: nothing constrains it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("the system does not determine knot {knot}")]
pub struct NotPositiveDefinite {
    /// Index of the knot.
    pub knot: usize,
}

impl<const N: usize> BlockTridiagonal<N> {
    /// An empty system of `n` knots.
    #[must_use]
    pub fn new(n: usize) -> Self {
        Self {
            diagonal: vec![SMatrix::zeros(); n],
            right: vec![SMatrix::zeros(); n.saturating_sub(1)],
            rhs: vec![SVector::zeros(); n],
        }
    }
    /// Adds the square of `(row . x_knot - value) / sigma` to what is minimized.
    pub fn observe(&mut self, knot: usize, row: &[f64; N], value: f64, sigma: f64) {
        let weight = 1.0 / (sigma * sigma);
        let row = SVector::<f64, N>::from_column_slice(row);
        self.diagonal[knot] += row * row.transpose() * weight;
        self.rhs[knot] += row * (value * weight);
    }
    /// Adds `(x_next - transition x_knot)^T information (x_next - transition x_knot)`; matrices row by row.
    pub fn link(&mut self, knot: usize, transition: &[[f64; N]; N], information: &[[f64; N]; N]) {
        let f = SMatrix::<f64, N, N>::from_fn(|i, j| transition[i][j]);
        let q = SMatrix::<f64, N, N>::from_fn(|i, j| information[i][j]);
        self.diagonal[knot] += f.transpose() * q * f;
        self.diagonal[knot + 1] += q;
        self.right[knot] -= f.transpose() * q;
    }
    /// Solves; returns the values and the diagonal blocks of the inverse (covariances), both per knot, row by row.
    ///
    /// # Errors
    /// When a knot is not determined.
    pub fn solve(self) -> Result<Solved<N>, NotPositiveDefinite> {
        let n = self.diagonal.len();
        let mut inverse = Vec::with_capacity(n);
        let mut forward = self.rhs;
        // Forward elimination: S_k = D_k - R_{k-1}^T S_{k-1}^{-1} R_{k-1}.
        for k in 0..n {
            let mut pivot = self.diagonal[k];
            if k > 0 {
                let carried = self.right[k - 1].transpose() * inverse[k - 1];
                pivot -= carried * self.right[k - 1];
                let shift = carried * forward[k - 1];
                forward[k] -= shift;
            }
            let pivot = (pivot + pivot.transpose()) * 0.5;
            let factor = pivot.cholesky().ok_or(NotPositiveDefinite { knot: k })?;
            inverse.push(factor.inverse());
        }
        let mut values = vec![[0.0; N]; n];
        let mut covariances = vec![[[0.0; N]; N]; n];
        let mut cross = vec![[[0.0; N]; N]; n.saturating_sub(1)];
        let mut next: Option<(SVector<f64, N>, SMatrix<f64, N, N>)> = None;
        for k in (0..n).rev() {
            let (x, p) = match next {
                None => (inverse[k] * forward[k], inverse[k]),
                Some((x_next, p_next)) => {
                    let gain = inverse[k] * self.right[k];
                    let x = inverse[k] * forward[k] - gain * x_next;
                    let carried = gain * p_next;
                    for i in 0..N {
                        for j in 0..N {
                            cross[k][i][j] = -carried[(i, j)];
                        }
                    }
                    let p = inverse[k] + carried * gain.transpose();
                    (x, (p + p.transpose()) * 0.5)
                }
            };
            for i in 0..N {
                values[k][i] = x[i];
                for j in 0..N {
                    covariances[k][i][j] = p[(i, j)];
                }
            }
            next = Some((x, p));
        }
        Ok(Solved { values, covariances, cross })
    }
}

/// Solution of a block-tridiagonal system.
#[derive(Debug, Clone, PartialEq)]
pub struct Solved<const N: usize> {
    /// Values per knot.
    pub values: Vec<[f64; N]>,
    /// Diagonal blocks of the inverse per knot, row by row.
    pub covariances: Vec<[[f64; N]; N]>,
    /// Blocks of the inverse between each knot (rows) and the next (columns), row by row; one fewer than there are knots.
    pub cross: Vec<[[f64; N]; N]>,
}

#[cfg(test)]
mod tests {
    use super::BlockTridiagonal;
    use nalgebra::{DMatrix, DVector};

    #[test]
    fn prop_equals_the_dense_solution_and_inverse() {
        let n = 6;
        let mut system = BlockTridiagonal::<2>::new(n);
        let mut dense = DMatrix::<f64>::zeros(2 * n, 2 * n);
        let mut rhs = DVector::<f64>::zeros(2 * n);
        for k in 0..n {
            let row = [1.0, 0.3 * k as f64];
            let (value, sigma) = (k as f64 * 0.7 - 1.0, 0.5 + 0.1 * k as f64);
            system.observe(k, &row, value, sigma);
            for i in 0..2 {
                rhs[2 * k + i] += row[i] * value / (sigma * sigma);
                for j in 0..2 {
                    dense[(2 * k + i, 2 * k + j)] += row[i] * row[j] / (sigma * sigma);
                }
            }
        }
        let f = [[1.0, 0.5], [0.0, 1.0]];
        let q = [[4.0, -1.0], [-1.0, 2.0]];
        for k in 0..n - 1 {
            system.link(k, &f, &q);
            let mut c = DMatrix::<f64>::zeros(2, 2 * n);
            for i in 0..2 {
                c[(i, 2 * k + 2 + i)] = 1.0;
                for j in 0..2 {
                    c[(i, 2 * k + j)] -= f[i][j];
                }
            }
            let information = DMatrix::from_row_slice(2, 2, &[4.0, -1.0, -1.0, 2.0]);
            dense += c.transpose() * information * c;
        }
        let solved = system.solve().unwrap();
        let inverse = dense.try_inverse().unwrap();
        let x = &inverse * rhs;
        for k in 0..n {
            for i in 0..2 {
                assert!((solved.values[k][i] - x[2 * k + i]).abs() < 1e-9);
                for j in 0..2 {
                    assert!(
                        (solved.covariances[k][i][j] - inverse[(2 * k + i, 2 * k + j)]).abs()
                            < 1e-9
                    );
                    if k + 1 < n {
                        let wanted = inverse[(2 * k + i, 2 * k + 2 + j)];
                        assert!((solved.cross[k][i][j] - wanted).abs() < 1e-9);
                    }
                }
            }
        }
    }

    #[test]
    fn an_unconstrained_knot_is_named() {
        let system = BlockTridiagonal::<2>::new(3);
        assert_eq!(system.solve().unwrap_err().knot, 0);
    }
}
