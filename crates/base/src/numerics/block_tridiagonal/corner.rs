//! The unknowns of the border, once all knots are eliminated: a small dense system.

use super::NotPositiveDefinite;

/// The factored corner.
pub(super) struct Corner {
    lower: Vec<f64>,
    width: usize,
}

impl Corner {
    /// Cholesky; of the corner only the lower triangle is read.
    pub(super) fn factor(
        corner: &[f64],
        width: usize,
        knots: usize,
    ) -> Result<Self, NotPositiveDefinite> {
        let mut lower = corner.to_vec();
        for i in 0..width {
            for j in 0..=i {
                let mut sum = lower[i * width + j];
                for k in 0..j {
                    sum -= lower[i * width + k] * lower[j * width + k];
                }
                if i == j {
                    if sum.is_nan() || sum <= 0.0 {
                        return Err(NotPositiveDefinite { knot: knots });
                    }
                    lower[i * width + i] = sum.sqrt();
                } else {
                    lower[i * width + j] = sum / lower[j * width + j];
                }
            }
        }
        Ok(Self { lower, width })
    }
    pub(super) fn solve(&self, rhs: &[f64]) -> Vec<f64> {
        let (l, width) = (&self.lower, self.width);
        let mut x = rhs.to_vec();
        for i in 0..width {
            for j in 0..i {
                x[i] -= l[i * width + j] * x[j];
            }
            x[i] /= l[i * width + i];
        }
        for i in (0..width).rev() {
            for j in i + 1..width {
                x[i] -= l[j * width + i] * x[j];
            }
            x[i] /= l[i * width + i];
        }
        x
    }
    pub(super) fn inverse(&self) -> Vec<f64> {
        let width = self.width;
        let mut out = vec![0.0; width * width];
        for g in 0..width {
            let mut unit = vec![0.0; width];
            unit[g] = 1.0;
            for (h, value) in self.solve(&unit).into_iter().enumerate() {
                out[h * width + g] = value;
            }
        }
        out
    }
}
