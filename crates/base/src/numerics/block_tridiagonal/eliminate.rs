//! Forward elimination, knot by knot.

use super::corner::Corner;
use super::lanes::{LANES, scale, subtract_column};
use super::{BlockTridiagonal, NotPositiveDefinite};

/// A system eliminated: its factors, and the values of the border.
#[derive(Debug, Clone)]
pub struct Eliminated<const N: usize> {
    pub(super) system: BlockTridiagonal<N>,
    pub(super) border: Vec<f64>,
    pub(super) border_covariance: Vec<f64>,
}

impl<const N: usize> BlockTridiagonal<N> {
    /// Eliminates all knots before `knot`: nothing may be added to them any more. What follows may only begin at `knot`.
    ///
    /// # Errors
    /// When a knot is not determined.
    pub fn close_before(&mut self, knot: usize) -> Result<(), NotPositiveDefinite> {
        while self.closed < knot.min(self.knots) {
            self.close_one()?;
        }
        Ok(())
    }
    /// With `D = U^T U` of a knot: `U`, `M = U^-T R` and the tail `U^-T [y, B]` take the place of `D`, `R` and `[y, B]`; what they
    /// leave of the next knot, `D - M^T M` and `[y, B] - M^T [y, B]`, and of the corner. On the diagonal stands the inverse.
    fn close_one(&mut self) -> Result<(), NotPositiveDefinite> {
        let (k, shape) = (self.closed, self.shape);
        let last = k + 1 == self.knots;
        let (.., stride) = self.open(if last { k } else { k + 1 });
        debug_assert_eq!(stride, LANES * shape.row);
        let (done, rest) = self.rows.split_at_mut((k + 1) * shape.knot);
        let knot = &mut done[k * shape.knot..];
        for i in 0..N {
            let (above, row) = knot.split_at_mut(i * shape.row);
            let row = &mut row[..shape.row];
            let from = i / LANES;
            subtract_column(row, from, (above, shape.row, i), (from, shape.row - from));
            let pivot = row[from][i % LANES];
            if pivot.is_nan() || pivot <= 0.0 {
                return Err(NotPositiveDefinite { knot: k });
            }
            let inverse = 1.0 / pivot.sqrt();
            scale(&mut row[from..], inverse);
            row[from][i % LANES] = inverse;
        }
        let knot = &*knot;
        if !last {
            let next = &mut rest[..shape.knot];
            for (i, target) in next.chunks_exact_mut(shape.row).enumerate() {
                let (from, at) = (i / LANES, shape.block);
                let column = (knot, shape.row, LANES * at + i);
                subtract_column(target, from, column, (at + from, shape.block - from));
                subtract_column(target, 2 * at, column, (2 * at, shape.tail));
            }
        }
        let tail = 2 * shape.block;
        for (g, target) in self.corner.chunks_exact_mut(shape.tail).enumerate() {
            let from = g / LANES;
            let column = (knot, shape.row, LANES * tail + g);
            subtract_column(target, from, column, (tail + from, shape.tail - from));
        }
        self.closed += 1;
        Ok(())
    }
    /// Eliminates all knots and the border.
    ///
    /// # Errors
    /// When a knot or the border is not determined.
    pub fn eliminate(mut self) -> Result<Eliminated<N>, NotPositiveDefinite> {
        self.close_before(self.knots)?;
        let (width, stride) = (self.width, LANES * self.shape.tail);
        let numbers = self.corner.as_flattened();
        let at = |g: usize, h: usize| numbers[(1 + g.min(h)) * stride + 1 + g.max(h)];
        let square: Vec<f64> = (0..width * width).map(|i| at(i / width, i % width)).collect();
        let corner = Corner::factor(&square, width, self.knots)?;
        let border = corner.solve(&numbers[1..=width]);
        Ok(Eliminated { border, border_covariance: corner.inverse(), system: self })
    }
}

impl<const N: usize> Eliminated<N> {
    /// Values of the border.
    #[must_use]
    pub fn border(&self) -> &[f64] {
        &self.border
    }
    /// Block of the inverse of the border, row by row.
    #[must_use]
    pub fn border_covariance(&self) -> &[f64] {
        &self.border_covariance
    }
    /// The system again, empty, with its memory.
    #[must_use]
    pub fn into_empty(mut self) -> BlockTridiagonal<N> {
        self.system.clear();
        self.system
    }
}
