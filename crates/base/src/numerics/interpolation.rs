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

#[cfg(test)]
mod tests {
    use super::linear;

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
