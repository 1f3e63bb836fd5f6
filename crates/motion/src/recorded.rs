//! Sensors besides the satellite receiver: recorded airspeed, attitude, temperature, height. Each has a delay and a bias of its own.

use base::numerics::statistics::median;
use recording::{QuantityKind, Recording, Series};

/// Value of a series at a time by linear interpolation; `None` outside it or in a hole of more than 3 s.
pub(crate) fn at(series: &Series, time_s: f64) -> Option<f64> {
    let after = series.times_s.partition_point(|&t| t < time_s);
    if after == 0 {
        return (series.times_s.first().copied()? - time_s < 1e-9).then(|| series.values[0]);
    }
    let (t0, t1) = (series.times_s[after - 1], *series.times_s.get(after)?);
    if t1 - t0 > 3.0 {
        return None;
    }
    let share = (time_s - t0) / (t1 - t0);
    Some(series.values[after - 1] + share * (series.values[after] - series.values[after - 1]))
}

/// How fast a series bends at a time: the second difference of its samples, a measure of what interpolation misses.
pub(crate) fn bend_at(series: &Series, time_s: f64) -> f64 {
    let after = series
        .times_s
        .partition_point(|&t| t < time_s)
        .clamp(2, series.values.len().saturating_sub(2).max(2));
    let value = |i: usize| series.values.get(i).copied().unwrap_or(f64::NAN);
    let second = |i: usize| (value(i + 1) - 2.0 * value(i) + value(i - 1)).abs();
    let found = second(after - 1).max(second(after));
    if found.is_finite() { found } else { 0.0 }
}

/// Delay of a recorded series behind a reference curve, s: the lag in [-0.5, 2] with the least spread of differences. `None` when
/// there is too little movement to tell.
pub(crate) fn delay_s(
    series: &Series,
    time_s: &[f64],
    reference: &[f64],
    least_spread: f64,
) -> Option<f64> {
    const STEP_S: f64 = 0.1;
    let spread = |lag: f64| {
        let differences: Vec<f64> = time_s
            .iter()
            .zip(reference)
            .filter_map(|(t, wanted)| at(series, t + lag).map(|value| value - wanted))
            .filter(|difference| difference.is_finite())
            .collect();
        if differences.len() < 60 {
            return f64::NAN;
        }
        let middle = median(&differences).unwrap_or(0.0);
        differences.iter().map(|d| (d - middle).abs().min(15.0)).sum::<f64>()
            / differences.len() as f64
    };
    let moved = reference
        .iter()
        .filter(|value| value.is_finite())
        .fold((f64::MAX, f64::MIN), |(low, high), v| (low.min(*v), high.max(*v)));
    if moved.1 - moved.0 < least_spread {
        return None;
    }
    let lags: Vec<f64> = (-5..=20).map(|i| STEP_S * f64::from(i)).collect();
    let costs: Vec<f64> = lags.iter().map(|lag| spread(*lag)).collect();
    let best = (0..lags.len())
        .filter(|i| costs[*i].is_finite())
        .min_by(|a, b| costs[*a].total_cmp(&costs[*b]))?;
    if best == 0 || best + 1 == lags.len() {
        return Some(lags[best]);
    }
    // Parabola through the three nearest.
    let (a, b, c) = (costs[best - 1], costs[best], costs[best + 1]);
    let shift = 0.5 * (a - c) / (a - 2.0 * b + c);
    Some(lags[best] + STEP_S * if shift.is_finite() { shift.clamp(-1.0, 1.0) } else { 0.0 })
}

/// Calibrated airspeed as recorded (indicated taken for it where that is all there is), if any.
pub(crate) fn airspeed(recording: &Recording) -> Option<(&Series, QuantityKind)> {
    [
        QuantityKind::CalibratedAirspeedMps,
        QuantityKind::IndicatedAirspeedMps,
        QuantityKind::TrueAirspeedMps,
    ]
    .into_iter()
    .find_map(|kind| recording.series_of(kind).map(|series| (series, kind)))
}
