//! Back substitution, from the last knot to the first: values, and the blocks of the inverse by the recursion of Takahashi (K.
//! Takahashi, J. Fagan and M. Chin, 1973; from memory): with the upper factor `[U, M, B]` of a knot, each row of the inverse is
//! what its factor makes of the rows below it.

use super::eliminate::Eliminated;
use super::lanes::{LANES, Lane, Part, dot, scale, subtract_rows};

/// What is found at a knot.
#[derive(Debug)]
pub struct Local<'a, const N: usize> {
    /// Index of the knot.
    pub knot: usize,
    /// Values.
    pub value: &'a [f64; N],
    /// Values of the next knot; its own at the last.
    pub next_value: &'a [f64; N],
    here: &'a Inverse,
    next: &'a Inverse,
    border_covariance: &'a [f64],
    width: usize,
}

/// Blocks of the inverse at a knot, row by row.
#[derive(Debug, Clone)]
struct Inverse {
    block: usize,
    tail: usize,
    covariance: Vec<Lane>,
    /// With the next knot (columns); and the same turned over.
    cross: Vec<Lane>,
    crossed: Vec<Lane>,
    /// With the border (columns), aligned to the tail of a row; and turned over.
    with_border: Vec<Lane>,
    bordered: Vec<Lane>,
}

impl<const N: usize> Local<'_, N> {
    /// Of two states of this knot.
    #[must_use]
    #[inline]
    pub fn covariance(&self, i: usize, j: usize) -> f64 {
        self.here.covariance.as_flattened()[i * LANES * self.here.block + j]
    }
    /// The states of this knot with state `i` of it: the first `N` count.
    #[must_use]
    #[inline]
    pub fn covariances(&self, i: usize) -> &[f64] {
        &self.here.covariance.as_flattened()[i * LANES * self.here.block..][..N]
    }
    /// Of state `i` of this knot with the states of the next.
    #[must_use]
    #[inline]
    pub fn crosses(&self, i: usize) -> &[f64] {
        &self.here.cross.as_flattened()[i * LANES * self.here.block..][..N]
    }
    /// Of a state of this knot and one of the next.
    #[must_use]
    #[inline]
    pub fn cross(&self, i: usize, j: usize) -> f64 {
        self.here.cross.as_flattened()[i * LANES * self.here.block + j]
    }
    /// Of two states of the next knot.
    #[must_use]
    #[inline]
    pub fn next_covariance(&self, i: usize, j: usize) -> f64 {
        self.next.covariance.as_flattened()[i * LANES * self.next.block + j]
    }
    /// Of an unknown of the border and a state of this knot.
    #[must_use]
    #[inline]
    pub fn with_border(&self, g: usize, i: usize) -> f64 {
        self.here.bordered.as_flattened()[(1 + g) * LANES * self.here.block + i]
    }
    /// Of an unknown of the border and a state of the next knot.
    #[must_use]
    #[inline]
    pub fn next_with_border(&self, g: usize, i: usize) -> f64 {
        self.next.bordered.as_flattened()[(1 + g) * LANES * self.next.block + i]
    }
    /// Of two unknowns of the border.
    #[must_use]
    #[inline]
    pub fn border_covariance(&self, g: usize, h: usize) -> f64 {
        self.border_covariance[g * self.width + h]
    }
}

impl Inverse {
    fn new(n: usize, block: usize, tail: usize) -> Self {
        let nil = |lanes: usize| vec![[0.0; LANES]; lanes];
        Self {
            block,
            tail,
            covariance: nil(n * block),
            cross: nil(n * block),
            crossed: nil(n * block),
            with_border: nil(n * tail),
            bordered: nil(LANES * tail * block),
        }
    }
    /// From the factors of a knot and the inverse at the next.
    fn fill<const N: usize>(
        &mut self,
        factors: &[Lane],
        next: Option<&Self>,
        border: (&[Lane], usize),
    ) {
        let (block, tail) = (self.block, self.tail);
        let row = 2 * block + tail;
        self.with_border_and_next::<N>(factors, next, border);
        self.covariance.fill([0.0; LANES]);
        for i in (0..N).rev() {
            let numbers = factors[i * row..(i + 1) * row].as_flattened();
            let inverse = numbers[i];
            let (own, right) = (&numbers[i + 1..N], &numbers[LANES * block..]);
            let (upper, below) = self.covariance.split_at_mut((i + 1) * block);
            let sum = &mut upper[i * block..];
            let parts: [Part<'_>; 3] = [
                (own, below),
                (&right[..if next.is_some() { N } else { 0 }], &self.crossed),
                (&right[LANES * block..][..border.1 + 1], &self.bordered),
            ];
            subtract_rows(sum, i / LANES, &parts);
            scale(&mut sum[i / LANES..], inverse);
            let numbers_of = sum.as_flattened_mut();
            numbers_of[..=i].fill(0.0);
            let (cross, bordered) =
                (&self.cross[i * block..][..block], &self.with_border[i * tail..][..tail]);
            let factor = &factors[i * row..(i + 1) * row];
            // On the left of the diagonal stands nil.
            let mut taken = dot(&factor[i / LANES..block], &sum[i / LANES..]);
            if next.is_some() {
                taken += dot(&factor[block..2 * block], cross);
            }
            taken += dot(&factor[2 * block..], bordered);
            let variance = inverse * (inverse - taken);
            sum.as_flattened_mut()[i] = variance;
            let all = self.covariance.as_flattened_mut();
            for j in i + 1..N {
                all[j * LANES * block + i] = all[i * LANES * block + j];
            }
        }
    }
    /// Covariances with the border, then with the next knot.
    fn with_border_and_next<const N: usize>(
        &mut self,
        factors: &[Lane],
        next: Option<&Self>,
        (border, width): (&[Lane], usize),
    ) {
        let (block, tail) = (self.block, self.tail);
        let row = 2 * block + tail;
        self.with_border.fill([0.0; LANES]);
        self.cross.fill([0.0; LANES]);
        for i in (0..N).rev() {
            let numbers = factors[i * row..(i + 1) * row].as_flattened();
            let inverse = numbers[i];
            let (own, right) = (&numbers[i + 1..N], &numbers[LANES * block..]);
            let with = &right[LANES * block..][..=width];
            if width > 0 {
                let (upper, below) = self.with_border.split_at_mut((i + 1) * tail);
                let sum = &mut upper[i * tail..];
                let after = next.map_or((&right[..0], &[][..]), |next| {
                    (&right[..N], next.with_border.as_slice())
                });
                subtract_rows(sum, 0, &[(own, below), after, (with, border)]);
                scale(sum, inverse);
            }
            if let Some(next) = next {
                let (upper, below) = self.cross.split_at_mut((i + 1) * block);
                let sum = &mut upper[i * block..];
                let parts: [Part<'_>; 3] =
                    [(own, below), (&right[..N], &next.covariance), (with, &next.bordered)];
                subtract_rows(sum, 0, &parts);
                scale(sum, inverse);
            }
        }
        turn((&self.cross, block), (&mut self.crossed, block), (N, N));
        if width > 0 {
            turn((&self.with_border, tail), (&mut self.bordered, block), (N, width + 1));
        }
    }
}

/// Turns a matrix of so many rows and columns over.
fn turn(
    (from, from_row): (&[Lane], usize),
    (to, to_row): (&mut [Lane], usize),
    (rows, columns): (usize, usize),
) {
    for (i, row) in from.chunks_exact(from_row).take(rows).enumerate() {
        let row = &row.as_flattened()[..columns];
        for (value, column) in row.iter().zip(to.chunks_exact_mut(to_row)) {
            column.as_flattened_mut()[i] = *value;
        }
    }
}

impl<const N: usize> Eliminated<N> {
    /// Values of a knot: `U^-1 (y - B z - M x_next)`; `known` holds room for them, those of the next knot, and `-1, z`.
    fn back(&self, k: usize, known: &mut [Lane]) -> [f64; N] {
        let shape = self.system.shape;
        known[..shape.block].fill([0.0; LANES]);
        for (i, row) in self.system.rows[k * shape.knot..][..shape.knot]
            .chunks_exact(shape.row)
            .enumerate()
            .rev()
        {
            let from = i / LANES;
            let taken = dot(&row[from..], &known[from..]);
            known[from][i % LANES] = -taken * row[from][i % LANES];
        }
        let mut value = [0.0; N];
        value.copy_from_slice(&known.as_flattened()[..N]);
        known.copy_within(..shape.block, shape.block);
        value
    }
    /// Room for [`Self::back`], at the last knot.
    fn known(&self) -> Vec<Lane> {
        let shape = self.system.shape;
        let mut known = vec![[0.0; LANES]; shape.row];
        let tail = &mut known.as_flattened_mut()[2 * LANES * shape.block..];
        tail[0] = -1.0;
        tail[1..=self.border.len()].copy_from_slice(&self.border);
        known
    }
    /// Values of all knots.
    #[must_use]
    pub fn values(&self) -> Vec<[f64; N]> {
        let n = self.system.knots;
        let mut values = vec![[0.0; N]; n];
        let mut known = self.known();
        for k in (0..n).rev() {
            values[k] = self.back(k, &mut known);
        }
        values
    }
    /// Visits all knots from the last to the first, with values and blocks of the inverse. Those of two knots at a time are kept.
    pub fn sweep(&self, mut visit: impl FnMut(&Local<'_, N>)) {
        let (shape, n, width) = (self.system.shape, self.system.knots, self.border.len());
        // The inverse of the border where the tail of a row has it.
        let mut border = vec![[0.0; LANES]; (width + 1) * shape.tail];
        for g in 0..width {
            let row = &mut border[(1 + g) * shape.tail..][..shape.tail];
            row.as_flattened_mut()[1..=width]
                .copy_from_slice(&self.border_covariance[g * width..][..width]);
        }
        let mut known = self.known();
        let mut here = Inverse::new(N, shape.block, shape.tail);
        let mut next = here.clone();
        let mut after = [0.0; N];
        for k in (0..n).rev() {
            let value = self.back(k, &mut known);
            let factors = &self.system.rows[k * shape.knot..][..shape.knot];
            let last = k + 1 == n;
            here.fill::<N>(factors, (!last).then_some(&next), (&border, width));
            visit(&Local {
                knot: k,
                value: &value,
                next_value: if last { &value } else { &after },
                here: &here,
                next: if last { &here } else { &next },
                border_covariance: &self.border_covariance,
                width,
            });
            after = value;
            std::mem::swap(&mut here, &mut next);
        }
    }
}
