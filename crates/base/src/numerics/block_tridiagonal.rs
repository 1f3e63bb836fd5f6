//! Symmetric positive definite block-tridiagonal systems, with a border of unknowns that concern all blocks: solution,
//! diagonal blocks of the inverse and their neighbors.
//!
//! The normal equations of a smoother over time have this form; what is constant over the flight (delays, biases) stands in the
//! border, so that the whole has the shape of an arrow. Work and memory are linear in the number of knots: for blocks of size `N`
//! about `1.2 N^3` multiplications a knot for the values and `3.5 N^3` for the inverse blocks as well, and `3 N^2` more for each
//! unknown of the border.

#![allow(clippy::needless_range_loop, reason = "the indices are those of the formulas")]

#[cfg(test)]
mod tests;

/// A block, row by row.
type Block<const N: usize> = [[f64; N]; N];

/// A symmetric system of `n` block rows of size `N`: diagonal blocks and the blocks right of them; a border beside them.
#[derive(Debug, Clone)]
pub struct BlockTridiagonal<const N: usize> {
    /// Only the lower triangles count.
    diagonal: Vec<Block<N>>,
    right: Vec<Block<N>>,
    rhs: Vec<[f64; N]>,
    /// Columns of the border beside each knot: `width` for each.
    border: Vec<[f64; N]>,
    width: usize,
    /// Row by row, `width` square.
    corner: Vec<f64>,
    corner_rhs: Vec<f64>,
}

/// The system was not positive definite at this knot: nothing constrains it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("the system does not determine knot {knot}")]
pub struct NotPositiveDefinite {
    /// Index of the knot; the number of knots when it is an unknown of the border that nothing constrains.
    pub knot: usize,
}

/// One linear term: numbers that multiply states of a knot, of the next one, and unknowns of the border.
#[derive(Debug, Clone, Copy)]
pub struct Row<'a> {
    /// Index of the knot.
    pub knot: usize,
    /// Index in its state and factor.
    pub here: &'a [(usize, f64)],
    /// The same for the knot after it.
    pub next: &'a [(usize, f64)],
    /// Index in the border and factor.
    pub border: &'a [(usize, f64)],
}

impl<const N: usize> BlockTridiagonal<N> {
    /// An empty system of `n` knots.
    #[must_use]
    pub fn new(n: usize) -> Self {
        Self::with_border(n, 0)
    }
    /// An empty system of `n` knots with a border of `width` unknowns.
    #[must_use]
    pub fn with_border(n: usize, width: usize) -> Self {
        Self {
            diagonal: vec![[[0.0; N]; N]; n],
            right: vec![[[0.0; N]; N]; n.saturating_sub(1)],
            rhs: vec![[0.0; N]; n],
            border: vec![[0.0; N]; n * width],
            width,
            corner: vec![0.0; width * width],
            corner_rhs: vec![0.0; width],
        }
    }
    /// Adds the square of `(row . x_knot - value) / sigma` to what is minimized.
    pub fn observe(&mut self, knot: usize, row: &[f64; N], value: f64, sigma: f64) {
        let weight = 1.0 / (sigma * sigma);
        for i in 0..N {
            let scaled = row[i] * weight;
            if scaled != 0.0 {
                self.rhs[knot][i] += scaled * value;
                for j in 0..=i {
                    self.diagonal[knot][i][j] += scaled * row[j];
                }
            }
        }
    }
    /// Adds `information (row . x - value)^2` to what is minimized, where the row may reach the next knot and the border.
    pub fn observe_row(&mut self, row: Row<'_>, value: f64, information: f64) {
        let Row { knot, here, next, border } = row;
        self.add_square(knot, here, value, information);
        if !next.is_empty() {
            self.add_square(knot + 1, next, value, information);
            for &(i, a) in here {
                for &(j, b) in next {
                    self.right[knot][i][j] += information * a * b;
                }
            }
        }
        for &(g, c) in border {
            let scaled = information * c;
            self.corner_rhs[g] += scaled * value;
            for &(h, d) in border {
                self.corner[g * self.width + h] += scaled * d;
            }
            let column = &mut self.border[knot * self.width + g];
            for &(i, a) in here {
                column[i] += scaled * a;
            }
            if !next.is_empty() {
                let column = &mut self.border[(knot + 1) * self.width + g];
                for &(i, a) in next {
                    column[i] += scaled * a;
                }
            }
        }
    }
    fn add_square(&mut self, knot: usize, row: &[(usize, f64)], value: f64, information: f64) {
        let (block, rhs) = (&mut self.diagonal[knot], &mut self.rhs[knot]);
        for &(i, a) in row {
            let scaled = information * a;
            rhs[i] += scaled * value;
            for &(j, b) in row {
                if j <= i {
                    block[i][j] += scaled * b;
                }
            }
        }
    }
    /// Adds `(x_next - transition x_knot)^T information (x_next - transition x_knot)`; matrices row by row.
    pub fn link(&mut self, knot: usize, transition: &Block<N>, information: &Block<N>) {
        let places: [usize; N] = std::array::from_fn(|i| i);
        self.link_some(knot, &places, transition, information, &[0.0; N]);
    }
    /// Adds `(x_next - transition x_knot - value)^T information (x_next - transition x_knot - value)` for the states at `places`
    /// alone.
    pub fn link_some<const M: usize>(
        &mut self,
        knot: usize,
        places: &[usize; M],
        transition: &Block<M>,
        information: &Block<M>,
        value: &[f64; M],
    ) {
        // Q F, Q v: then F^T (Q F), F^T (Q v).
        let mut carried = [[0.0; M]; M];
        let mut pulled = [0.0; M];
        for i in 0..M {
            for k in 0..M {
                let q = information[i][k];
                if q != 0.0 {
                    pulled[i] += q * value[k];
                    for j in 0..M {
                        carried[i][j] += q * transition[k][j];
                    }
                }
            }
        }
        for i in 0..M {
            self.rhs[knot + 1][places[i]] += pulled[i];
            for j in 0..M {
                // The block right of the diagonal is -F^T Q = -(Q F)^T.
                self.right[knot][places[j]][places[i]] -= carried[i][j];
                if places[j] <= places[i] {
                    self.diagonal[knot + 1][places[i]][places[j]] += information[i][j];
                }
            }
        }
        for k in 0..M {
            for i in 0..M {
                let f = transition[k][i];
                if f != 0.0 {
                    self.rhs[knot][places[i]] -= f * pulled[k];
                    for j in 0..M {
                        if places[j] <= places[i] {
                            self.diagonal[knot][places[i]][places[j]] += f * carried[k][j];
                        }
                    }
                }
            }
        }
    }
    /// Solves for the values alone.
    ///
    /// # Errors
    /// When a knot or the border is not determined.
    pub fn solve_values(mut self) -> Result<Values<N>, NotPositiveDefinite> {
        let corner = self.eliminate()?;
        Ok(self.values(&corner))
    }
    /// Solves; returns the values and the blocks of the inverse (covariances) on the diagonal and beside it, the doubt of the
    /// border included.
    ///
    /// # Errors
    /// When a knot or the border is not determined.
    pub fn solve(mut self) -> Result<Solved<N>, NotPositiveDefinite> {
        let corner = self.eliminate()?;
        let Values { values, border } = self.values(&corner);
        let border_covariance = corner.inverse();
        self.invert();
        let with_border = self.spread_border(&border_covariance);
        Ok(Solved {
            values,
            covariances: self.diagonal,
            cross: self.right,
            border,
            border_covariance,
            with_border,
        })
    }

    /// Forward elimination. Afterwards the diagonal blocks hold the factors `L`, those right of them `M = L^-1 R`, the right-hand
    /// sides and the border's columns what is left of them divided by `L`; returns the factored corner.
    fn eliminate(&mut self) -> Result<Corner, NotPositiveDefinite> {
        let (n, width) = (self.diagonal.len(), self.width);
        for k in 0..n {
            factor(&mut self.diagonal[k]).ok_or(NotPositiveDefinite { knot: k })?;
            let (done, rest) = self.rhs.split_at_mut(k + 1);
            divide(&self.diagonal[k], &mut done[k]);
            let columns = &mut self.border[k * width..];
            for column in &mut columns[..width] {
                divide(&self.diagonal[k], column);
            }
            if let Some(next) = rest.first_mut() {
                divide_block(&self.diagonal[k], &mut self.right[k]);
                let (m, below) = (&self.right[k], &mut self.diagonal[k + 1]);
                for row in m {
                    for (i, &factor) in row.iter().enumerate() {
                        for (target, &other) in below[i][..=i].iter_mut().zip(row) {
                            *target -= factor * other;
                        }
                    }
                }
                subtract_transposed(m, &done[k], next);
                let (here, after) = columns.split_at_mut(width);
                for (column, next) in here.iter().zip(after) {
                    subtract_transposed(m, column, next);
                }
            }
            for g in 0..width {
                let column = &self.border[k * width + g];
                self.corner_rhs[g] -= dot(column, &self.rhs[k]);
                for h in 0..=g {
                    let product = dot(column, &self.border[k * width + h]);
                    self.corner[g * width + h] -= product;
                }
            }
        }
        Corner::factor(&self.corner, width, n)
    }
    /// Back substitution.
    fn values(&self, corner: &Corner) -> Values<N> {
        let (n, width) = (self.diagonal.len(), self.width);
        let border = corner.solve(&self.corner_rhs);
        let mut values = vec![[0.0; N]; n];
        for k in (0..n).rev() {
            let mut x = self.rhs[k];
            for (column, y) in self.border[k * width..(k + 1) * width].iter().zip(&border) {
                for (x, c) in x.iter_mut().zip(column) {
                    *x -= c * y;
                }
            }
            if k + 1 < n {
                subtract_product(&self.right[k], &values[k + 1], &mut x);
            }
            divide_transposed(&self.diagonal[k], &mut x);
            values[k] = x;
        }
        Values { values, border }
    }
    /// Turns factors into blocks of the inverse of the inner part, and the border's columns into the derivative of each state by
    /// each unknown of the border.
    fn invert(&mut self) {
        let (n, width) = (self.diagonal.len(), self.width);
        for k in (0..n).rev() {
            let lower = self.diagonal[k];
            for g in 0..width {
                let mut column = self.border[k * width + g].map(|c| -c);
                if k + 1 < n {
                    let after = self.border[(k + 1) * width + g];
                    subtract_product(&self.right[k], &after, &mut column);
                }
                divide_transposed(&lower, &mut column);
                self.border[k * width + g] = column;
            }
            let mut here = inverse_of_factored(&lower);
            if k + 1 < n {
                // Gain K = L^-T M; P = (L L^T)^-1 + K P_next K^T; cross = -K P_next.
                let gain = &mut self.right[k];
                divide_block_transposed(&lower, gain);
                let carried = product(gain, &self.diagonal[k + 1]);
                for i in 0..N {
                    for j in 0..=i {
                        here[i][j] += dot(&carried[i], &gain[j]);
                    }
                }
                *gain = carried.map(|row| row.map(|value| -value));
            }
            for i in 0..N {
                for j in 0..i {
                    here[j][i] = here[i][j];
                }
            }
            self.diagonal[k] = here;
        }
    }
    /// Adds the doubt of the border to the blocks; returns the covariances of each state with each unknown of the border.
    fn spread_border(&mut self, covariance: &[f64]) -> Vec<[f64; N]> {
        let (n, width) = (self.diagonal.len(), self.width);
        let mut with_border = vec![[0.0; N]; n * width];
        for k in 0..n {
            for g in 0..width {
                for h in 0..width {
                    let share = covariance[g * width + h];
                    let derivative = &self.border[k * width + h];
                    for (out, d) in with_border[k * width + g].iter_mut().zip(derivative) {
                        *out += share * d;
                    }
                }
            }
        }
        for k in 0..n {
            for g in 0..width {
                let (here, cov) = (self.border[k * width + g], with_border[k * width + g]);
                add_outer(&mut self.diagonal[k], &here, &cov);
                if k + 1 < n {
                    add_outer(&mut self.right[k], &here, &with_border[(k + 1) * width + g]);
                }
            }
        }
        with_border
    }
}

/// Values alone.
#[derive(Debug, Clone, PartialEq)]
pub struct Values<const N: usize> {
    /// Per knot.
    pub values: Vec<[f64; N]>,
    /// Of the border.
    pub border: Vec<f64>,
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
    /// Values of the border.
    pub border: Vec<f64>,
    /// Block of the inverse of the border, row by row.
    pub border_covariance: Vec<f64>,
    /// Covariances of the states of each knot with each unknown of the border: `width` entries a knot.
    pub with_border: Vec<[f64; N]>,
}

/// The factored corner.
struct Corner {
    lower: Vec<f64>,
    width: usize,
}

impl Corner {
    /// Cholesky; of the corner only the lower triangle is read.
    fn factor(corner: &[f64], width: usize, knots: usize) -> Result<Self, NotPositiveDefinite> {
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
    fn solve(&self, rhs: &[f64]) -> Vec<f64> {
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
    fn inverse(&self) -> Vec<f64> {
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

fn dot<const N: usize>(a: &[f64; N], b: &[f64; N]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

/// Cholesky factor in the lower triangle, in place; nil above it.
fn factor<const N: usize>(a: &mut Block<N>) -> Option<()> {
    for i in 0..N {
        for j in 0..=i {
            let mut sum = a[i][j];
            for k in 0..j {
                sum -= a[i][k] * a[j][k];
            }
            if i == j {
                if sum.is_nan() || sum <= 0.0 {
                    return None;
                }
                a[i][i] = sum.sqrt();
            } else {
                a[i][j] = sum / a[j][j];
            }
        }
        for j in i + 1..N {
            a[i][j] = 0.0;
        }
    }
    Some(())
}

/// `x <- L^-1 x`.
fn divide<const N: usize>(lower: &Block<N>, x: &mut [f64; N]) {
    for i in 0..N {
        let mut sum = x[i];
        for j in 0..i {
            sum -= lower[i][j] * x[j];
        }
        x[i] = sum / lower[i][i];
    }
}

/// `x <- L^-T x`.
fn divide_transposed<const N: usize>(lower: &Block<N>, x: &mut [f64; N]) {
    for i in (0..N).rev() {
        let value = x[i] / lower[i][i];
        x[i] = value;
        for j in 0..i {
            x[j] -= lower[i][j] * value;
        }
    }
}

/// `B <- L^-1 B`, by rows.
fn divide_block<const N: usize>(lower: &Block<N>, b: &mut Block<N>) {
    for i in 0..N {
        let (above, rest) = b.split_at_mut(i);
        let row = &mut rest[0];
        for (j, done) in above.iter().enumerate() {
            subtract_scaled(row, done, lower[i][j]);
        }
        let inverse = 1.0 / lower[i][i];
        for value in row.iter_mut() {
            *value *= inverse;
        }
    }
}

/// `B <- L^-T B`, by rows.
fn divide_block_transposed<const N: usize>(lower: &Block<N>, b: &mut Block<N>) {
    for i in (0..N).rev() {
        let (upper, below) = b.split_at_mut(i + 1);
        let row = &mut upper[i];
        for (j, done) in below.iter().enumerate() {
            subtract_scaled(row, done, lower[i + 1 + j][i]);
        }
        let inverse = 1.0 / lower[i][i];
        for value in row.iter_mut() {
            *value *= inverse;
        }
    }
}

fn subtract_scaled<const N: usize>(row: &mut [f64; N], other: &[f64; N], factor: f64) {
    for (value, other) in row.iter_mut().zip(other) {
        *value -= factor * other;
    }
}

/// `target <- target - M^T x`.
fn subtract_transposed<const N: usize>(m: &Block<N>, x: &[f64; N], target: &mut [f64; N]) {
    for (row, x) in m.iter().zip(x) {
        subtract_scaled(target, row, *x);
    }
}

/// `target <- target - M x`.
fn subtract_product<const N: usize>(m: &Block<N>, x: &[f64; N], target: &mut [f64; N]) {
    for (target, row) in target.iter_mut().zip(m) {
        *target -= dot(row, x);
    }
}

fn product<const N: usize>(a: &Block<N>, b: &Block<N>) -> Block<N> {
    let mut out = [[0.0; N]; N];
    for (out, row) in out.iter_mut().zip(a) {
        for (other, factor) in b.iter().zip(row) {
            for (out, other) in out.iter_mut().zip(other) {
                *out += factor * other;
            }
        }
    }
    out
}

/// `(L L^T)^-1`, lower triangle.
fn inverse_of_factored<const N: usize>(lower: &Block<N>) -> Block<N> {
    let mut inverse = [[0.0; N]; N];
    for i in 0..N {
        let (above, rest) = inverse.split_at_mut(i);
        let row = &mut rest[0];
        row[i] = 1.0;
        for (j, done) in above.iter().enumerate() {
            for (value, done) in row[..=j].iter_mut().zip(done) {
                *value -= lower[i][j] * done;
            }
        }
        for value in &mut row[..=i] {
            *value /= lower[i][i];
        }
    }
    let mut out = [[0.0; N]; N];
    for (k, row) in inverse.iter().enumerate() {
        for i in 0..=k {
            for (out, value) in out[i][..=i].iter_mut().zip(row) {
                *out += row[i] * value;
            }
        }
    }
    out
}

fn add_outer<const N: usize>(target: &mut Block<N>, a: &[f64; N], b: &[f64; N]) {
    for (row, a) in target.iter_mut().zip(a) {
        for (value, b) in row.iter_mut().zip(b) {
            *value += a * b;
        }
    }
}
