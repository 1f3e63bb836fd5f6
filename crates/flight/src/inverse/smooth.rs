//! Corners of a schedule rounded to what a hand does.

/// Rounds the corners of a series on an even grid: a mean over four boxes of `half` nodes either way, one after the other (a
/// cubic B-spline as kernel), so that a corner is spread over eight times `half` nodes and the second derivative has no step. A
/// straight line stays one. Beyond the ends the series is held.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Smoothing {
    /// Half the width of a box, nodes.
    pub half: usize,
}

impl Smoothing {
    /// Boxes of this width, s, on a grid of this step.
    #[must_use]
    pub fn of_width(width_s: f64, step_s: f64) -> Self {
        Self { half: (0.5 * width_s / step_s).round().max(1.0) as usize }
    }
    /// Nodes by which a corner reaches either way.
    #[must_use]
    pub const fn reach(&self) -> usize {
        4 * self.half
    }
    /// The smoothed series. Work linear in its length.
    #[must_use]
    pub fn apply(&self, values: &[f64]) -> Vec<f64> {
        let mut out = values.to_vec();
        let mut sums = Vec::with_capacity(values.len() + 2 * self.half + 1);
        for _ in 0..4 {
            self.once(&mut out, &mut sums);
        }
        out
    }

    /// One box, of trapezoids: both end values count half.
    fn once(&self, values: &mut [f64], sums: &mut Vec<f64>) {
        let (Some(&first), Some(&last)) = (values.first(), values.last()) else { return };
        let half = self.half;
        let at = |i: usize| match i.checked_sub(half) {
            None => first,
            Some(i) => values.get(i).copied().unwrap_or(last),
        };
        sums.clear();
        let mut sum = 0.0;
        sums.push(0.0);
        for i in 0..values.len() + 2 * half - 1 {
            sum += 0.5 * (at(i) + at(i + 1));
            sums.push(sum);
        }
        let per_box = 1.0 / (2 * half) as f64;
        for (i, value) in values.iter_mut().enumerate() {
            *value = (sums[i + 2 * half] - sums[i]) * per_box;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::Smoothing;

    #[test]
    fn lines_stay_and_corners_are_rounded() {
        let smoothing = Smoothing::of_width(0.2, 0.05);
        assert_eq!(smoothing.half, 2);
        let line: Vec<f64> = (0..60).map(f64::from).collect();
        let found = smoothing.apply(&line);
        for i in 10..50 {
            assert!((found[i] - line[i]).abs() < 1e-11, "{i} {}", found[i]);
        }
        let corner: Vec<f64> = (0..60).map(|i| f64::from(i - 30).max(0.0)).collect();
        let found = smoothing.apply(&corner);
        // A corner is lifted by half the mean distance of the kernel.
        assert!(found[30] > 0.5 && found[30] < 1.5, "{}", found[30]);
        assert!((found[30 - smoothing.reach()]).abs() < 1e-12);
        assert!((found[30 + smoothing.reach()] - 8.0).abs() < 1e-11);
    }
}
