//! Many tables over the same axes, three side by side in rows, read at one place at once. Written for packed arithmetic rather than
//! left to the compiler; nothing is fused, so that every processor gives the same bits.

use std::ops::{Add, Mul};

use wide::f64x2;

use super::{AXES_MAX, Grid, Spot};

/// Tables side by side.
pub const ROW: usize = 3;

/// One number of each table of a row.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Row([f64x2; 2]);

impl Row {
    /// Nil for every table.
    pub const NIL: Self = Self([f64x2::ZERO; 2]);

    /// From numbers.
    #[must_use]
    #[inline]
    pub const fn new([a, b, c]: [f64; ROW]) -> Self {
        Self([f64x2::new([a, b]), f64x2::new([c, 0.0])])
    }
    #[inline(always)]
    fn times(self, factor: f64x2) -> Self {
        Self([self.0[0] * factor, self.0[1] * factor])
    }
    /// The numbers.
    #[must_use]
    #[inline]
    pub const fn to_array(self) -> [f64; ROW] {
        let [[a, b], [c, _]] = [self.0[0].to_array(), self.0[1].to_array()];
        [a, b, c]
    }
}

impl Add for Row {
    type Output = Self;
    #[inline(always)]
    fn add(self, other: Self) -> Self {
        Self([self.0[0] + other.0[0], self.0[1] + other.0[1]])
    }
}

impl Mul<f64> for Row {
    type Output = Self;
    #[inline(always)]
    fn mul(self, factor: f64) -> Self {
        self.times(f64x2::splat(factor))
    }
}

/// Rows of tables with axes of the same lengths, cell beside cell: one place in memory serves them all. A cell holds the powers of the
/// shares of its axes: a value, its rise, the rise of the rise.
#[derive(Debug, Clone, PartialEq)]
pub struct Stack<const N: usize> {
    /// Intervals of each axis.
    intervals: [usize; N],
    /// Rows of a cell, each of as many numbers as a cell has corners.
    size: usize,
    /// For each cell and row its powers, those of the last axis first.
    cells: Vec<Row>,
}

impl<const N: usize> Stack<N> {
    /// From tables. `None` without any, or with axes of different lengths.
    #[must_use]
    pub fn new(rows: &[[Grid<N>; ROW]]) -> Option<Self> {
        let lengths = |table: &Grid<N>| table.axes.each_ref().map(|axis| axis.intervals.len());
        let first = &rows.first()?[0];
        let intervals = lengths(first);
        if rows.iter().flatten().any(|table| lengths(table) != intervals) {
            return None;
        }
        let mut cells = Vec::with_capacity(rows.len() * first.cells.len());
        for cell in (0..first.cells.len()).step_by(1 << N) {
            for row in rows {
                let tables = row.each_ref().map(|table| powers::<N>(&table.cells[cell..]));
                cells.extend((0..1 << N).map(|k| Row::new(tables.map(|powers| powers[k]))));
            }
        }
        Some(Self { intervals, size: rows.len() << N, cells })
    }

    /// Powers of all rows, in their order, at places found on the axes.
    #[inline(always)]
    fn cell(&self, spots: &[Spot; N]) -> &[Row] {
        let mut cell = 0;
        for (spot, &intervals) in spots.iter().zip(&self.intervals) {
            cell = cell * intervals + spot.index.min(intervals - 1);
        }
        &self.cells[cell * self.size..][..self.size]
    }

    /// All rows, in their order, at places found on the axes: to rounding what [`Grid::at_spots`] gives for each table.
    ///
    /// # Range
    /// As [`Grid::at_spots`].
    pub fn at_spots(&self, spots: [Spot; N]) -> impl Iterator<Item = Row> + '_ {
        let shares = shares(&spots);
        self.cell(&spots).chunks_exact(1 << N).map(move |powers| between(powers, &shares))
    }

    /// Sums of the first rows, as many as the first list has, and of the next, as many as the second; each row times the factor of
    /// what stands at its place in its list. In loops that keep all in registers.
    ///
    /// # Range
    /// As [`Grid::at_spots`]; the lists are together no longer than there are rows.
    #[must_use]
    #[inline(always)]
    pub fn sums<P>(
        &self,
        spots: &[Spot; N],
        by: &[Vec<P>; 2],
        factor: impl Fn(&P) -> f64,
    ) -> [Row; 2] {
        let (shares, rows) = (shares(spots), self.cell(spots));
        let (first, next) = rows.split_at((by[0].len() << N).min(rows.len()));
        let mut sums = [Row::NIL; 2];
        for ((sum, rows), by) in sums.iter_mut().zip([first, next]).zip(by) {
            for (powers, by) in rows.chunks_exact(1 << N).zip(by) {
                *sum = *sum + between(powers, &shares) * factor(by);
            }
        }
        sums
    }
}

/// The share of each axis twice. (As a copy of the places, which hold an index too, it would be read back from memory in the loop.)
#[inline(always)]
fn shares<const N: usize>(spots: &[Spot; N]) -> [f64x2; N] {
    let mut shares = [f64x2::ZERO; N];
    for (share, spot) in shares.iter_mut().zip(spots) {
        *share = f64x2::splat(spot.share);
    }
    shares
}

/// Values between the corners of a cell, from its powers. One and two axes are written out: they are most of all tables.
#[inline(always)]
fn between<const N: usize>(powers: &[Row], shares: &[f64x2; N]) -> Row {
    if let ([value, rise], [share]) = (powers, &shares[..]) {
        return *value + rise.times(*share);
    }
    if let ([a, b, c, d], [first, last]) = (powers, &shares[..]) {
        return (*a + b.times(*last)) + (*c + d.times(*last)).times(*first);
    }
    let mut ends = [Row::NIL; 1 << (AXES_MAX - 1)];
    for (pair, end) in ends.iter_mut().enumerate().take(1 << (N - 1)) {
        *end = powers[2 * pair] + powers[2 * pair + 1].times(shares[N - 1]);
    }
    for n in (0..N - 1).rev() {
        let half = 1 << n;
        for end in 0..half {
            ends[end] = ends[end] + ends[end + half].times(shares[n]);
        }
    }
    ends[0]
}

/// Powers of a cell from its corners, as a grid keeps them.
fn powers<const N: usize>(corners: &[f64]) -> [f64; 1 << AXES_MAX] {
    let mut powers = [0.0; 1 << AXES_MAX];
    powers[..1 << N].copy_from_slice(&corners[..1 << N]);
    // Pairs are counted by the axes before the last, bit by bit.
    for n in 0..N - 1 {
        for k in (0..1 << N).filter(|k| k >> (n + 1) & 1 == 1) {
            powers[k] -= powers[k - (2 << n)];
        }
    }
    powers
}

#[cfg(test)]
mod tests {
    use super::{Grid, ROW, Stack};
    use crate::numerics::grid::Outside;

    fn rows<const N: usize>(knots: [Vec<f64>; N], count: usize) -> Vec<[Grid<N>; ROW]> {
        let size: usize = knots.iter().map(Vec::len).product();
        let value = |i: usize, k: usize| ((i * 7919 + k * 104_729) % 1013) as f64 * 0.01 - 5.0;
        let values = |k: usize| (0..size).map(|i| value(i, k)).collect();
        let grid = |k: usize| Grid::new(knots.clone(), values(k), Outside::Held).unwrap();
        (0..count).map(|row| std::array::from_fn(|k| grid(ROW * row + k))).collect()
    }

    fn same<const N: usize>(rows: &[[Grid<N>; ROW]], point: [f64; N]) {
        let axes = rows[0][0].axes();
        let spots = std::array::from_fn(|n| axes[n].locate(point[n], Outside::Held));
        let stack = Stack::new(rows).unwrap();
        assert_eq!(stack.at_spots(spots).count(), rows.len());
        for (row, found) in rows.iter().zip(stack.at_spots(spots)) {
            for (grid, value) in row.iter().zip(found.to_array()) {
                let wanted = grid.at(point);
                assert!((wanted - value).abs() < 1e-14, "{point:?} {wanted} {value}");
            }
        }
        let factors: Vec<f64> = (0..rows.len()).map(|row| 1.5 - 0.3 * row as f64).collect();
        let (first, next) = factors.split_at(rows.len() / 3);
        let sums = stack.sums(&spots, &[first.to_vec(), next.to_vec()], |&factor| factor);
        let (rows_first, rows_next) = rows.split_at(first.len());
        for ((sum, factors), rows) in
            sums.into_iter().zip([first, next]).zip([rows_first, rows_next])
        {
            for (table, found) in sum.to_array().into_iter().enumerate() {
                let each = rows.iter().zip(factors).map(|(row, by)| by * row[table].at(point));
                let wanted: f64 = each.sum();
                assert!((wanted - found).abs() < 1e-13, "{point:?} {wanted} {found}");
            }
        }
    }

    #[test]
    fn prop_a_stack_gives_what_its_tables_give() {
        let (x, y, z) = (vec![0.0, 1.0, 3.0], vec![-1.0, 0.0, 1.0, 2.0], vec![5.0, 6.0, 7.5]);
        let w = vec![-2.0, 4.0];
        for i in -3..12 {
            let i = f64::from(i);
            let (a, b, c) = (0.37 * i, 0.41 * i - 1.3, 4.7 + 0.31 * i);
            same(&rows([x.clone()], 5), [a]);
            same(&rows([x.clone(), y.clone()], 1), [a, b]);
            same(&rows([x.clone(), y.clone(), z.clone()], 12), [a, b, c]);
            same(&rows([x.clone(), y.clone(), z.clone(), w.clone()], 2), [a, b, c, 0.6 * i]);
        }
    }

    #[test]
    fn what_is_no_number_stays_none() {
        let rows = rows([vec![0.0, 1.0, 3.0]], 2);
        let spot = rows[0][0].axes()[0].locate(f64::NAN, Outside::Held);
        let stack = Stack::new(&rows).unwrap();
        assert!(stack.at_spots([spot]).all(|row| row.to_array()[0].is_nan()));
    }

    #[test]
    fn what_is_no_stack_is_none() {
        assert!(Stack::<1>::new(&[]).is_none());
        let [long, short] = [vec![0.0, 1.0, 3.0], vec![0.0, 1.0]].map(|x| rows([x], 1).remove(0));
        assert!(Stack::new(&[long, short]).is_none());
    }
}
