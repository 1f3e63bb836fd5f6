//! Many tables over the same axes, six side by side in rows, read at one place at once. Written for packed arithmetic rather than
//! left to the compiler; nothing is fused, so that every processor gives the same bits.

use std::ops::{Add, Mul, Sub};

use wide::f64x2;

use super::{AXES_MAX, Grid, Spot};

/// Tables side by side.
pub const ROW: usize = 6;

/// One number of each table of a row.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Row([f64x2; ROW / 2]);

impl Row {
    /// Nil for every table.
    pub const NIL: Self = Self([f64x2::ZERO; ROW / 2]);

    /// From numbers.
    #[must_use]
    #[inline]
    pub const fn new([a, b, c, d, e, f]: [f64; ROW]) -> Self {
        Self([f64x2::new([a, b]), f64x2::new([c, d]), f64x2::new([e, f])])
    }
    /// The numbers.
    #[must_use]
    #[inline]
    pub const fn to_array(self) -> [f64; ROW] {
        let [[a, b], [c, d], [e, f]] =
            [self.0[0].to_array(), self.0[1].to_array(), self.0[2].to_array()];
        [a, b, c, d, e, f]
    }
}

impl Add for Row {
    type Output = Self;
    #[inline(always)]
    fn add(self, other: Self) -> Self {
        Self([self.0[0] + other.0[0], self.0[1] + other.0[1], self.0[2] + other.0[2]])
    }
}

impl Sub for Row {
    type Output = Self;
    #[inline(always)]
    fn sub(self, other: Self) -> Self {
        Self([self.0[0] - other.0[0], self.0[1] - other.0[1], self.0[2] - other.0[2]])
    }
}

impl Mul<f64> for Row {
    type Output = Self;
    #[inline(always)]
    fn mul(self, factor: f64) -> Self {
        let factor = f64x2::splat(factor);
        Self([self.0[0] * factor, self.0[1] * factor, self.0[2] * factor])
    }
}

/// Rows of tables with axes of the same lengths, cell beside cell: one place in memory serves them all.
#[derive(Debug, Clone, PartialEq)]
pub struct Stack<const N: usize> {
    /// Intervals of each axis.
    intervals: [usize; N],
    /// Rows of a cell.
    count: usize,
    /// For each cell and row its corners in pairs along the last axis: values, then rises to the next.
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
                let corner = |k: usize| Row::new(row.each_ref().map(|table| table.cells[cell + k]));
                cells.extend((0..1 << N).map(corner));
            }
        }
        Some(Self { intervals, count: rows.len(), cells })
    }

    /// All rows, in their order, at places found on the axes. The same bits as [`Grid::at_spots`] of each table.
    ///
    /// # Range
    /// As [`Grid::at_spots`].
    #[inline(always)]
    pub fn at_spots(&self, spots: [Spot; N]) -> impl Iterator<Item = Row> + '_ {
        let mut cell = 0;
        for (spot, &intervals) in spots.iter().zip(&self.intervals) {
            cell = cell * intervals + spot.index.min(intervals - 1);
        }
        let size = self.count << N;
        let rows = self.cells[cell * size..][..size].chunks_exact(1 << N);
        rows.map(move |corners| {
            let mut ends = [Row::NIL; 1 << (AXES_MAX - 1)];
            for (pair, end) in ends.iter_mut().enumerate().take(1 << (N - 1)) {
                *end = corners[2 * pair] + corners[2 * pair + 1] * spots[N - 1].share;
            }
            for n in (0..N - 1).rev() {
                let half = 1 << n;
                for end in 0..half {
                    ends[end] = ends[end] + (ends[end + half] - ends[end]) * spots[n].share;
                }
            }
            ends[0]
        })
    }
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

    fn same_bits<const N: usize>(rows: &[[Grid<N>; ROW]], point: [f64; N]) {
        let axes = rows[0][0].axes();
        let spots = std::array::from_fn(|n| axes[n].locate(point[n], Outside::Held));
        let stack = Stack::new(rows).unwrap();
        assert_eq!(stack.at_spots(spots).count(), rows.len());
        for (row, found) in rows.iter().zip(stack.at_spots(spots)) {
            for (grid, value) in row.iter().zip(found.to_array()) {
                assert_eq!(grid.at(point).to_bits(), value.to_bits(), "{point:?}");
            }
        }
    }

    #[test]
    fn prop_a_stack_gives_what_its_tables_give() {
        let (x, y, z) = (vec![0.0, 1.0, 3.0], vec![-1.0, 0.0, 1.0, 2.0], vec![5.0, 6.0, 7.5]);
        for i in -3..12 {
            let i = f64::from(i);
            let (a, b, c) = (0.37 * i, 0.41 * i - 1.3, 4.7 + 0.31 * i);
            same_bits(&rows([x.clone()], 5), [a]);
            same_bits(&rows([x.clone(), y.clone()], 1), [a, b]);
            same_bits(&rows([x.clone(), y.clone(), z.clone()], 12), [a, b, c]);
        }
    }

    #[test]
    fn what_is_no_stack_is_none() {
        assert!(Stack::<1>::new(&[]).is_none());
        let [long, short] = [vec![0.0, 1.0, 3.0], vec![0.0, 1.0]].map(|x| rows([x], 1).remove(0));
        assert!(Stack::new(&[long, short]).is_none());
    }
}
