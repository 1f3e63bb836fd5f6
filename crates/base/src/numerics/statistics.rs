//! Order statistics and the normal distribution.

use crate::math::{erfc, exp};

/// Median; `None` when empty. Non-finite values are left out.
#[must_use]
pub fn median(values: &[f64]) -> Option<f64> {
    quantile(values, 0.5)
}

/// Quantile by linear interpolation between order statistics; `None` when empty. Non-finite values are left out.
#[must_use]
pub fn quantile(values: &[f64], share: f64) -> Option<f64> {
    let mut finite: Vec<f64> = values.iter().copied().filter(|value| value.is_finite()).collect();
    let last = finite.len().checked_sub(1)?;
    let place = share.clamp(0.0, 1.0) * last as f64;
    let low = place.floor() as usize;
    // Selection, not sorting: linear.
    let (_, &mut lower, above) = finite.select_nth_unstable_by(low, f64::total_cmp);
    let upper = above.iter().copied().min_by(f64::total_cmp).unwrap_or(lower);
    Some(lower + (upper - lower) * (place - low as f64))
}

/// Standard deviation estimated from the median absolute deviation (1.4826 of it for a normal distribution).
#[must_use]
pub fn robust_sigma(values: &[f64]) -> Option<f64> {
    let middle = median(values)?;
    let deviations: Vec<f64> = values.iter().map(|value| (value - middle).abs()).collect();
    median(&deviations).map(|deviation| 1.482_602_218_505_602 * deviation)
}

/// Probability that a standard normal variable is below `x`; the lower tail keeps its figures.
#[must_use]
pub fn normal_cdf(x: f64) -> f64 {
    0.5 * erfc(-x / std::f64::consts::SQRT_2)
}

/// Logistic function: log-odds to probability.
#[must_use]
pub fn probability_of_log_odds(log_odds: f64) -> f64 {
    1.0 / (1.0 + exp(-log_odds))
}

/// Log-odds as a reader says them: how many times likelier the one is than the other, in round numbers.
///
/// ```
/// use base::numerics::statistics::times_likelier;
/// assert_eq!(times_likelier(0.2), "about as likely");
/// assert_eq!(times_likelier(3.4), "30 times likelier");
/// assert_eq!(times_likelier(12.0), "over 1,000 times likelier");
/// ```
#[must_use]
pub fn times_likelier(log_odds: f64) -> String {
    let times = exp(log_odds.max(0.0));
    match times {
        _ if times < 1.5 => "about as likely".into(),
        _ if times < 9.5 => format!("{times:.0} times likelier"),
        _ if times < 95.0 => format!("{:.0} times likelier", 10.0 * (times / 10.0).round()),
        _ if times < 950.0 => format!("{:.0} times likelier", 100.0 * (times / 100.0).round()),
        _ => "over 1,000 times likelier".into(),
    }
}

/// Half-width of a 95 % band in standard deviations of a normal distribution.
pub const SIGMAS_OF_95_PERCENT: f64 = 1.959_963_984_540_054;

#[cfg(test)]
mod tests {
    use super::{SIGMAS_OF_95_PERCENT, median, normal_cdf, quantile, robust_sigma};

    #[test]
    fn val_table_values() {
        // NIST-EH (e-Handbook of Statistical Methods), 1.3.6.7.1: cumulative normal at 1.96 is 0.97500.
        assert!((normal_cdf(1.96) - 0.975_00).abs() < 5e-6);
        assert!((normal_cdf(SIGMAS_OF_95_PERCENT) - 0.975).abs() < 1e-12);
        assert_eq!(median(&[3.0, 1.0, f64::NAN, 2.0]), Some(2.0));
        assert_eq!(quantile(&[0.0, 10.0], 0.25), Some(2.5));
        assert_eq!(median(&[]), None);
        assert!((robust_sigma(&[-1.0, 0.0, 1.0]).unwrap() - 1.482_602_218_505_602).abs() < 1e-12);
    }
}
