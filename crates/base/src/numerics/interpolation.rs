//! Tables: one value against another, both rising.

/// Linear interpolation of `y(x)` in rising `x`; outside the table the last interval is continued.
///
/// # Shape
/// Equal lengths; an empty table gives nil, one row a constant.
#[must_use]
pub fn linear(x: &[f64], y: &[f64], at: f64) -> f64 {
    match x.len().min(y.len()) {
        0 => 0.0,
        1 => y[0],
        n => {
            let index = x[..n].partition_point(|&knot| knot <= at).clamp(1, n - 1);
            let (x0, x1, y0, y1) = (x[index - 1], x[index], y[index - 1], y[index]);
            y0 + (y1 - y0) * (at - x0) / (x1 - x0)
        }
    }
}

/// Weights of four equidistant values for the cubic through them, at `s` counted from the second in steps.
///
/// # Range
/// Best for `s` within 0 to 1; outside the cubic is continued.
#[must_use]
#[inline]
pub fn cubic_weights(s: f64) -> [f64; 4] {
    let (s1, s2, s3) = (s + 1.0, s - 1.0, s - 2.0);
    [-s * s2 * s3 / 6.0, s1 * s2 * s3 / 2.0, -s1 * s * s3 / 2.0, s1 * s * s2 / 6.0]
}

/// Powers 0 to 3 of the cubic through four equidistant values, for `s` counted from the second in steps: the same cubic as
/// that of [`cubic_weights`], worked out beforehand.
#[must_use]
pub fn cubic_powers([a, b, c, d]: [f64; 4]) -> [f64; 4] {
    [b, c - b / 2.0 - a / 3.0 - d / 6.0, (a + c) / 2.0 - b, (b - c) / 2.0 + (d - a) / 6.0]
}

/// Intervals of equal length, one or more, and where in them a place lies.
///
/// For the inner loop: one addition rounds, and no conversion between kinds of numbers is waited for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cells {
    last: usize,
    /// End of the last interval.
    end: f64,
    /// Index of the last interval, shifted as [`Cells::at`] has it.
    most: f64,
}

/// At this size a number has no bits left behind the point; whole numbers stand in its low bits.
const WHOLE: f64 = 6_755_399_441_055_744.0;

impl Cells {
    /// So many intervals: at least one is taken. Range: below 2^32.
    #[must_use]
    pub const fn new(count: usize) -> Self {
        let last = if count > 0 { count - 1 } else { 0 };
        Self { last, end: (last + 1) as f64, most: WHOLE + last as f64 }
    }
    /// How many.
    #[must_use]
    pub const fn count(&self) -> usize {
        self.last + 1
    }
    /// Interval and the share of it, nil to one, of a place counted in intervals from the first knot, held at the ends: the nearest
    /// interval to the place less a half, so that a knot may be the end of one or the beginning of the next. A place that is no
    /// number gives some interval and a share that is none.
    #[must_use]
    #[inline(always)]
    pub const fn at(&self, place: f64) -> (usize, f64) {
        let place = if place < 0.0 { 0.0 } else { place };
        let place = if place > self.end { self.end } else { place };
        let shifted = (place - 0.5) + WHOLE;
        let shifted = if shifted < self.most { shifted } else { self.most };
        let index = (shifted.to_bits() & 0xffff_ffff) as usize;
        let index = if index < self.last { index } else { self.last };
        (index, place - (shifted - WHOLE))
    }
}

#[cfg(test)]
mod tests {
    use super::{Cells, cubic_powers, cubic_weights, linear};

    #[test]
    fn a_cubic_is_met_exactly() {
        let cubic = |x: f64| 1.0 + x * (2.0 - x * (3.0 - 0.5 * x));
        for s in [-0.4, 0.0, 0.3, 0.9, 1.0] {
            let weights = cubic_weights(s);
            let found: f64 = (0..4).map(|i| weights[i] * cubic(i as f64 - 1.0)).sum();
            assert!((found - cubic(s)).abs() < 1e-12);
            let [p0, p1, p2, p3] = cubic_powers([cubic(-1.0), cubic(0.0), cubic(1.0), cubic(2.0)]);
            assert!((p0 + s * (p1 + s * (p2 + s * p3)) - cubic(s)).abs() < 1e-12);
        }
    }

    #[test]
    fn a_cell_holds_its_place() {
        let cells = Cells::new(20);
        for i in 0..=4000 {
            let place = 0.005 * f64::from(i);
            let (index, share) = cells.at(place);
            assert!(index <= 19 && (0.0..=1.0).contains(&share), "{place} {index} {share}");
            assert!((index as f64 + share - place).abs() < 1e-15, "{place} {index} {share}");
        }
        for (outside, held) in [(-3.0, (0, 0.0)), (20.5, (19, 1.0)), (f64::INFINITY, (19, 1.0))] {
            assert_eq!(cells.at(outside), held);
        }
        let (index, share) = cells.at(f64::NAN);
        assert!(index <= 19 && share.is_nan());
    }

    #[test]
    fn inside_outside_and_short_tables() {
        let (x, y) = ([1.0, 2.0, 4.0], [10.0, 20.0, 0.0]);
        assert!((linear(&x, &y, 1.5) - 15.0).abs() < 1e-12);
        assert!((linear(&x, &y, 3.0) - 10.0).abs() < 1e-12);
        assert!((linear(&x, &y, 0.0) - 0.0).abs() < 1e-12);
        assert!((linear(&x, &y, 5.0) + 10.0).abs() < 1e-12);
        assert!(
            (linear(&[1.0], &[7.0], 3.0) - 7.0).abs() < 1e-12
                && linear(&[], &[], 3.0).abs() < 1e-12
        );
    }
}
