//! Symmetric positive definite block-tridiagonal systems, with a border of unknowns that concern all blocks: solution,
//! diagonal blocks of the inverse and their neighbors.
//!
//! The normal equations of a smoother over time have this form; what is constant over the flight (delays, biases) stands in the
//! border, so that the whole has the shape of an arrow. Work and memory are linear in the number of knots: for blocks of size `N`
//! and a border of `W` about `1.2 N^3 + 1.5 N^2 W` multiplications a knot for the values and `2.3 N^3 + 3 N^2 W` more for the blocks
//! of the inverse; `N (2 N + W + 1)` numbers a knot are kept, with each of the three rounded up to a multiple of four.
//!
//! Knots may be eliminated while others are still assembled ([`BlockTridiagonal::close_before`]), so that both happen in the
//! processor's cache; and the blocks of the inverse may be looked at one knot after the other ([`Eliminated::sweep`]), so that
//! they need not be kept.

#![allow(clippy::needless_range_loop, reason = "the indices are those of the formulas")]

mod corner;
mod eliminate;
mod lanes;
mod near;
mod sweep;
#[cfg(test)]
mod tests;

pub use eliminate::Eliminated;
pub use near::Near;
pub use sweep::Local;

use lanes::{LANES, Lane};

/// A block, row by row.
type Block<const N: usize> = [[f64; N]; N];

/// A symmetric system of `n` block rows of size `N`: diagonal blocks and the blocks right of them; a border beside them.
#[derive(Debug, Clone)]
pub struct BlockTridiagonal<const N: usize> {
    knots: usize,
    width: usize,
    shape: Shape,
    /// `N` rows for each knot met so far: the diagonal block (only its upper triangle counts), the block right of it, and in the
    /// tail the right-hand side and the columns of the border. Eliminated knots hold their factors.
    rows: Vec<Lane>,
    /// Knots eliminated.
    closed: usize,
    /// One row of the tail for the right-hand side and each unknown of the border.
    corner: Vec<Lane>,
}

/// Lanes of the parts of a row.
#[derive(Debug, Clone, Copy)]
struct Shape {
    block: usize,
    tail: usize,
    /// All of a row, and of a knot.
    row: usize,
    knot: usize,
}

/// Indices of unknowns with their factors.
type Factors = [(usize, f64)];

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
        let (block, tail) = (N.div_ceil(LANES), (width + 1).div_ceil(LANES));
        let row = 2 * block + tail;
        let shape = Shape { block, tail, row, knot: N * row };
        Self {
            knots: n,
            width,
            shape,
            rows: Vec::with_capacity(n * shape.knot),
            closed: 0,
            corner: vec![[0.0; LANES]; (width + 1) * tail],
        }
    }
    /// Empties the system, keeping its memory.
    pub fn clear(&mut self) {
        self.rows.clear();
        self.closed = 0;
        self.corner.fill([0.0; LANES]);
    }
    /// The rows of a knot that is not eliminated yet, as numbers, and how many there are in a row.
    fn open(&mut self, knot: usize) -> (&mut [f64], usize) {
        assert!(
            (self.closed..self.knots).contains(&knot),
            "knot {knot} is open: from {} to {}",
            self.closed,
            self.knots
        );
        let size = self.shape.knot;
        if self.rows.len() < (knot + 1) * size {
            self.rows.resize((knot + 1) * size, [0.0; LANES]);
        }
        let rows = self.rows[knot * size..(knot + 1) * size].as_flattened_mut();
        (rows, LANES * self.shape.row)
    }
    /// Where the block to the right and the tail begin in a row.
    const fn beyond(&self) -> (usize, usize) {
        (LANES * self.shape.block, 2 * LANES * self.shape.block)
    }
    /// Adds the square of `(row . x_knot - value) / sigma` to what is minimized.
    pub fn observe(&mut self, knot: usize, row: &[f64; N], value: f64, sigma: f64) {
        let weight = 1.0 / (sigma * sigma);
        let (_, tail) = self.beyond();
        let (rows, stride) = self.open(knot);
        for i in 0..N {
            let scaled = row[i] * weight;
            if scaled != 0.0 {
                let target = &mut rows[i * stride..(i + 1) * stride];
                target[tail] += scaled * value;
                for j in i..N {
                    target[j] += scaled * row[j];
                }
            }
        }
    }
    /// Adds `information (row . x - value)^2` to what is minimized, where the row may reach the next knot and the border.
    pub fn observe_row(&mut self, row: Row<'_>, value: f64, information: f64) {
        let Row { knot, here, next, border } = row;
        self.add_square(knot, (here, border), value, information);
        if !next.is_empty() {
            self.add_square(knot + 1, (next, border), value, information);
            let (right, _) = self.beyond();
            let (rows, stride) = self.open(knot);
            for &(i, a) in here {
                let target = &mut rows[i * stride + right..][..N];
                for &(j, b) in next {
                    target[j] += information * a * b;
                }
            }
        }
        let stride = LANES * self.shape.tail;
        let corner = self.corner.as_flattened_mut();
        for &(g, c) in border {
            let scaled = information * c;
            corner[1 + g] += scaled * value;
            for &(h, d) in border.iter().filter(|(h, _)| *h >= g) {
                corner[(1 + g) * stride + 1 + h] += scaled * d;
            }
        }
    }
    fn add_square(
        &mut self,
        knot: usize,
        (row, border): (&Factors, &Factors),
        value: f64,
        information: f64,
    ) {
        let (_, tail) = self.beyond();
        let (rows, stride) = self.open(knot);
        for &(i, a) in row {
            let scaled = information * a;
            let target = &mut rows[i * stride..(i + 1) * stride];
            target[tail] += scaled * value;
            for &(j, b) in row {
                if j >= i {
                    target[j] += scaled * b;
                }
            }
            for &(g, c) in border {
                target[tail + 1 + g] += scaled * c;
            }
        }
    }
    /// Adds what was gathered about four states of a knot and of the next.
    pub fn add_near(&mut self, knot: usize, places: &[usize; LANES], near: &Near) {
        let (right, tail) = self.beyond();
        let (rows, stride) = self.open(knot);
        for (i, place) in places.iter().enumerate() {
            let target = &mut rows[place * stride..][..stride];
            target[tail] += near.rhs[i];
            for (j, other) in places.iter().enumerate() {
                // The lower triangle does not count.
                target[*other] += near.here[i][j];
                target[right + other] += near.right[i][j];
            }
        }
        if near.reaches {
            let (rows, stride) = self.open(knot + 1);
            for (i, place) in places.iter().enumerate() {
                let target = &mut rows[place * stride..][..stride];
                target[tail] += near.next_rhs[i];
                for (j, other) in places.iter().enumerate() {
                    target[*other] += near.next[i][j];
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
        let (right, tail) = self.beyond();
        let (next, stride) = self.open(knot + 1);
        for i in 0..M {
            let target = &mut next[places[i] * stride..][..stride];
            target[tail] += pulled[i];
            for j in 0..M {
                if places[j] >= places[i] {
                    target[places[j]] += information[i][j];
                }
            }
        }
        let (here, stride) = self.open(knot);
        for i in 0..M {
            let target = &mut here[places[i] * stride..][..stride];
            for j in 0..M {
                // The block right of the diagonal is -F^T Q = -(Q F)^T.
                target[right + places[j]] -= carried[j][i];
            }
            for k in 0..M {
                let f = transition[k][i];
                if f != 0.0 {
                    target[tail] -= f * pulled[k];
                    for j in 0..M {
                        if places[j] >= places[i] {
                            target[places[j]] += f * carried[k][j];
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
    pub fn solve_values(self) -> Result<Values<N>, NotPositiveDefinite> {
        let eliminated = self.eliminate()?;
        Ok(Values { values: eliminated.values(), border: eliminated.border().to_vec() })
    }
    /// Solves; returns the values and the blocks of the inverse (covariances) on the diagonal and beside it, the doubt of the
    /// border included.
    ///
    /// # Errors
    /// When a knot or the border is not determined.
    pub fn solve(self) -> Result<Solved<N>, NotPositiveDefinite> {
        let (n, width) = (self.knots, self.width);
        let eliminated = self.eliminate()?;
        let mut solved = Solved {
            values: vec![[0.0; N]; n],
            covariances: vec![[[0.0; N]; N]; n],
            cross: vec![[[0.0; N]; N]; n.saturating_sub(1)],
            border: eliminated.border().to_vec(),
            border_covariance: eliminated.border_covariance().to_vec(),
            with_border: vec![[0.0; N]; n * width],
        };
        let block = |of: &dyn Fn(usize, usize) -> f64| -> Block<N> {
            std::array::from_fn(|i| std::array::from_fn(|j| of(i, j)))
        };
        eliminated.sweep(|local| {
            let k = local.knot;
            solved.values[k] = *local.value;
            solved.covariances[k] = block(&|i, j| local.covariance(i, j));
            if k + 1 < n {
                solved.cross[k] = block(&|i, j| local.cross(i, j));
            }
            for g in 0..width {
                solved.with_border[k * width + g] =
                    std::array::from_fn(|i| local.with_border(g, i));
            }
        });
        Ok(solved)
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
