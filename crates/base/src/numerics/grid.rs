//! Rectangular tables of one to four axes, read by linear interpolation without allocation.

mod stack;

pub use stack::{ROW, Row, Stack};

use super::interpolation::Cells;

/// Most axes of a table.
pub const AXES_MAX: usize = 4;

/// What a table gives beyond its ends.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Outside {
    /// The value at the end is held.
    Held,
    /// The last interval is continued in a straight line.
    Continued,
}

/// What is wrong with a table.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum GridError {
    /// An axis without an interval.
    #[error("axis {axis} has {count} values")]
    Short {
        /// Which axis, counted from nil.
        axis: usize,
        /// How many values it has.
        count: usize,
    },
    /// An axis that does not rise, or has a value that is not finite.
    #[error("axis {axis} does not rise from {before} to {after} (value {index})")]
    NotRising {
        /// Which axis, counted from nil.
        axis: usize,
        /// Index of the offending value.
        index: usize,
        /// Value before it.
        before: f64,
        /// The value.
        after: f64,
    },
    /// As many values as the axes ask for are needed.
    #[error("the axes ask for {wanted} values, the table has {found}")]
    Count {
        /// Product of the lengths of the axes.
        wanted: usize,
        /// Values given.
        found: usize,
    },
    /// A value that is not finite.
    #[error("value {index} of the table is not finite")]
    NotFinite {
        /// Its index, last axis fastest.
        index: usize,
    },
}

impl GridError {
    /// What to do about it.
    #[must_use]
    pub const fn hint(&self) -> &'static str {
        match self {
            Self::Short { .. } => "give every axis at least two values",
            Self::NotRising { .. } => "sort the axis and give each of its values once",
            Self::Count { .. } => {
                "give one value for each combination of the axes, last axis fastest"
            }
            Self::NotFinite { .. } => "give a number",
        }
    }
}

/// Place on an axis: an interval and the share of it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spot {
    /// Index of the knot at the lower end of the interval.
    pub index: usize,
    /// Share of the interval, nil at its lower end and one at its upper; beyond only where the table is continued.
    pub share: f64,
}

/// A rising axis of at least two knots.
#[derive(Debug, Clone, PartialEq)]
pub struct Axis {
    knots: Vec<f64>,
    /// Lower end of each interval, and intervals of its length in one.
    intervals: Vec<[f64; 2]>,
    /// When all intervals are equal.
    even: Option<Even>,
}

/// Equal intervals.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Even {
    first: f64,
    per_unit: f64,
    cells: Cells,
}

impl Axis {
    /// From rising, finite knots; `number` tells which axis it is in the error.
    ///
    /// # Errors
    /// Fewer than two knots, or knots that do not rise.
    pub fn new(knots: Vec<f64>, number: usize) -> Result<Self, GridError> {
        let count = knots.len();
        if count < 2 {
            return Err(GridError::Short { axis: number, count });
        }
        let rises = |pair: &[f64]| pair[1] > pair[0] && (pair[1] - pair[0]).is_finite();
        if let Some(at) = knots.windows(2).position(|pair| !rises(pair)) {
            let (before, after) = (knots[at], knots[at + 1]);
            return Err(GridError::NotRising { axis: number, index: at + 1, before, after });
        }
        let step = (knots[count - 1] - knots[0]) / (count - 1) as f64;
        // To the rounding of the knots themselves: the place is then worked out without looking at them.
        let even_at = |index: usize| knots[0] + step * index as f64;
        let near = |(index, knot): (usize, &f64)| (knot - even_at(index)).abs() <= 1e-13 * step;
        let even = knots.iter().enumerate().all(near).then_some(Even {
            first: knots[0],
            per_unit: 1.0 / step,
            cells: Cells::new(count - 1),
        });
        let intervals = knots.windows(2).map(|pair| [pair[0], 1.0 / (pair[1] - pair[0])]).collect();
        Ok(Self { knots, intervals, even })
    }
    /// The knots.
    #[must_use]
    pub fn knots(&self) -> &[f64] {
        &self.knots
    }
    /// First and last knot.
    #[must_use]
    pub fn range(&self) -> (f64, f64) {
        (self.knots[0], self.knots[self.knots.len() - 1])
    }
    /// Interval and share of a value. Constant time with equal intervals, else logarithmic in the knots.
    #[must_use]
    #[inline(always)]
    pub fn locate(&self, value: f64, outside: Outside) -> Spot {
        if let (Some(even), Outside::Held) = (&self.even, outside) {
            let (index, share) = even.cells.at((value - even.first) * even.per_unit);
            return Spot { index, share };
        }
        self.locate_between_knots(value, outside)
    }
    fn locate_between_knots(&self, value: f64, outside: Outside) -> Spot {
        let last = self.intervals.len() - 1;
        let index = match self.even {
            Some(even) => even.cells.at((value - even.first) * even.per_unit).0,
            None => self.knots[1..=last].partition_point(|&knot| knot <= value),
        };
        let [low, per_length] = self.intervals[index];
        let share = (value - low) * per_length;
        match outside {
            Outside::Held => Spot { index, share: share.clamp(0.0, 1.0) },
            Outside::Continued => Spot { index, share },
        }
    }
}

/// A table over `N` axes (one to four), last axis fastest.
#[derive(Debug, Clone, PartialEq)]
pub struct Grid<const N: usize> {
    axes: [Axis; N],
    values: Vec<f64>,
    /// Intervals of an axis are this many cells apart.
    strides: [usize; N],
    /// For each cell its corners in pairs along the last axis: a value and the rise to the next. One place in memory for one look-up.
    cells: Vec<f64>,
    outside: Outside,
}

impl<const N: usize> Grid<N> {
    /// From knots and values.
    ///
    /// # Errors
    /// An axis that is short or does not rise; a count of values that does not fit; a value that is not finite.
    pub fn new(
        knots: [Vec<f64>; N],
        values: Vec<f64>,
        outside: Outside,
    ) -> Result<Self, GridError> {
        const { assert!(N >= 1 && N <= AXES_MAX, "a table has one to four axes") };
        let mut number = 0;
        let mut first_error = None;
        let axes = knots.map(|knots| {
            let axis = Axis::new(knots, number);
            number += 1;
            axis.map_err(|error| first_error.get_or_insert(error).clone())
        });
        if let Some(error) = first_error {
            return Err(error);
        }
        let axes = axes.map(|axis| axis.expect("the first error was returned"));
        let lengths: [usize; N] = std::array::from_fn(|n| axes[n].knots.len());
        let wanted = lengths.iter().product();
        if values.len() != wanted {
            return Err(GridError::Count { wanted, found: values.len() });
        }
        if let Some(index) = values.iter().position(|value| !value.is_finite()) {
            return Err(GridError::NotFinite { index });
        }
        let cells = cells(&values, strides(lengths), lengths);
        let strides = strides(lengths.map(|length| length - 1));
        Ok(Self { axes, values, strides, cells, outside })
    }
    /// The axes.
    #[must_use]
    pub const fn axes(&self) -> &[Axis; N] {
        &self.axes
    }
    /// The values, last axis fastest.
    #[must_use]
    pub fn values(&self) -> &[f64] {
        &self.values
    }
    /// What it gives beyond its ends.
    #[must_use]
    pub const fn outside(&self) -> Outside {
        self.outside
    }
    /// Value at a point. A coordinate that is not a number gives a value that is none.
    #[must_use]
    pub fn at(&self, point: [f64; N]) -> f64 {
        self.at_spots(std::array::from_fn(|n| self.axes[n].locate(point[n], self.outside)))
    }
    /// Value at places already found on the axes: spares the search when several tables share an axis.
    ///
    /// # Range
    /// Places found on axes of the same lengths; an index beyond the axis is taken for its last interval.
    #[must_use]
    #[inline]
    pub fn at_spots(&self, spots: [Spot; N]) -> f64 {
        let mut cell = 0;
        for ((spot, axis), stride) in spots.iter().zip(&self.axes).zip(&self.strides) {
            cell += spot.index.min(axis.intervals.len() - 1) * stride;
        }
        let pairs = &self.cells[cell << N..][..1 << N];
        let mut corners = [0.0; 1 << (AXES_MAX - 1)];
        for (pair, corner) in corners.iter_mut().enumerate().take(1 << (N - 1)) {
            *corner = pairs[2 * pair] + pairs[2 * pair + 1] * spots[N - 1].share;
        }
        for n in (0..N - 1).rev() {
            let half = 1 << n;
            for corner in 0..half {
                corners[corner] += (corners[corner + half] - corners[corner]) * spots[n].share;
            }
        }
        corners[0]
    }
}

/// How far apart neighbors along each axis lie, last axis fastest.
fn strides<const N: usize>(lengths: [usize; N]) -> [usize; N] {
    let mut strides = [1; N];
    for n in (1..N).rev() {
        strides[n - 1] = strides[n] * lengths[n];
    }
    strides
}

/// The corners of every cell, last axis fastest: bit `n` of a corner says which end of axis `n` it is at.
fn cells<const N: usize>(values: &[f64], strides: [usize; N], lengths: [usize; N]) -> Vec<f64> {
    let inner = |index: usize| (0..N).all(|n| index / strides[n] % lengths[n] + 1 < lengths[n]);
    let mut cells = Vec::new();
    for first in (0..values.len()).filter(|&index| inner(index)) {
        for corner in 0..1 << (N - 1) {
            let ends = (0..N - 1).map(|n| (corner >> n & 1) * strides[n]);
            let index = first + ends.sum::<usize>();
            cells.extend([values[index], values[index + 1] - values[index]]);
        }
    }
    cells
}

#[cfg(test)]
mod tests {
    use super::{Axis, Grid, GridError, Outside};

    fn plane(point: [f64; 3]) -> f64 {
        2.0 + 3.0 * point[0] - point[1] + 0.5 * point[2] + 0.25 * point[0] * point[1] * point[2]
    }

    /// A function that is linear in each coordinate is met exactly, inside, and outside where continued.
    #[test]
    fn prop_multilinear_functions_are_met() {
        let knots = [vec![0.0, 1.0, 3.0], vec![-1.0, 0.0, 1.0, 2.0], vec![5.0, 7.0]];
        let mut values = Vec::new();
        for &x in &knots[0] {
            for &y in &knots[1] {
                values.extend(knots[2].iter().map(|&z| plane([x, y, z])));
            }
        }
        let grid = Grid::new(knots, values, Outside::Continued).unwrap();
        for point in [[0.0, -1.0, 5.0], [2.2, 0.3, 6.1], [3.0, 2.0, 7.0], [-4.0, 9.0, 1.0]] {
            assert!((grid.at(point) - plane(point)).abs() < 1e-10, "{point:?} {}", grid.at(point));
        }
        assert!(grid.at([f64::NAN, 0.0, 6.0]).is_nan());
    }

    #[test]
    fn ends_are_held_or_continued() {
        for knots in [vec![1.0, 2.0, 4.0], vec![1.0, 2.0, 3.0]] {
            let held = Grid::new([knots.clone()], vec![5.0, 7.0, 8.0], Outside::Held).unwrap();
            assert!((held.at([-9.0]) - 5.0).abs() < 1e-15 && (held.at([9.0]) - 8.0).abs() < 1e-15);
            let on = Grid::new([knots.clone()], vec![5.0, 7.0, 8.0], Outside::Continued).unwrap();
            assert!((on.at([0.0]) - 3.0).abs() < 1e-15);
            assert!((on.at([6.0]) - (8.0 + (6.0 - knots[2]) / (knots[2] - 2.0))).abs() < 1e-14);
            assert!((on.at([2.0]) - 7.0).abs() < 1e-15);
        }
    }

    #[test]
    fn prop_equal_and_unequal_intervals_agree() {
        let equal = Axis::new((0..12).map(|i| -10.0 + 5.0 * f64::from(i)).collect(), 0).unwrap();
        assert!(equal.even.is_some());
        let searched = Axis { even: None, ..equal.clone() };
        for i in -100..700 {
            let value = f64::from(i) * 0.1;
            let (a, b) =
                (equal.locate(value, Outside::Held), searched.locate(value, Outside::Held));
            assert!((a.index as f64 + a.share - b.index as f64 - b.share).abs() < 1e-12, "{value}");
        }
    }

    #[test]
    fn impossible_tables_are_refused() {
        let new = |x: Vec<f64>, v: Vec<f64>| Grid::new([x], v, Outside::Held).unwrap_err();
        assert_eq!(new(vec![1.0], vec![1.0]), GridError::Short { axis: 0, count: 1 });
        let flat = new(vec![0.0, 1.0, 1.0], vec![0.0; 3]);
        assert_eq!(flat, GridError::NotRising { axis: 0, index: 2, before: 1.0, after: 1.0 });
        assert!(matches!(new(vec![0.0, f64::NAN], vec![0.0; 2]), GridError::NotRising { .. }));
        assert_eq!(new(vec![0.0, 1.0], vec![0.0; 3]), GridError::Count { wanted: 2, found: 3 });
        let hole = new(vec![0.0, 1.0], vec![0.0, f64::INFINITY]);
        assert_eq!(hole, GridError::NotFinite { index: 1 });
        let second = Grid::new([vec![0.0, 1.0], vec![2.0, 1.0]], vec![0.0; 4], Outside::Held);
        assert!(matches!(second, Err(GridError::NotRising { axis: 1, .. })));
    }
}
