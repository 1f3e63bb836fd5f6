//! What rounding does to recorded velocities: a track in whole degrees or a speed in whole knots stands still and then jumps, and a
//! smoother that takes each for news flies the jumps.

use base::factors::RAD_PER_DEG;
use base::numerics::statistics::{median, quantile};
use recording::Fix;

/// So many values at least, as a share, are the same as the one before where rounding is coarse.
const REPEATED_LEAST: f64 = 0.05;
/// A step is the least change between neighbors but for so many of them.
const STEP_QUANTILE: f64 = 0.05;
/// Values nearer than this are the same.
const SAME: f64 = 1e-6;
/// Rounding below this is lost in the receiver's own noise, m/s (common practice, no source).
const LEAST_MPS: f64 = 0.05;

/// One standard deviation of a velocity that rounding alone makes, m/s: a value is anywhere within its step.
pub(super) fn of_velocities(fixes: &[Fix]) -> f64 {
    let speeds: Vec<f64> = fixes.iter().filter_map(|fix| fix.ground_speed_mps).collect();
    let tracks: Vec<f64> = fixes.iter().filter_map(|fix| fix.track_deg).collect();
    let usual_mps = median(&speeds).unwrap_or(0.0);
    let square = step(&speeds).powi(2) + (usual_mps * RAD_PER_DEG * step(&tracks)).powi(2);
    (square / 12.0).sqrt()
}

/// The step by which values change, in order of time; nil where rounding is not to be seen.
fn step(values: &[f64]) -> f64 {
    let changes: Vec<f64> = values.windows(2).map(|pair| (pair[1] - pair[0]).abs()).collect();
    let jumps: Vec<f64> = changes.iter().copied().filter(|change| *change > SAME).collect();
    let repeated = changes.len() - jumps.len();
    if (repeated as f64) < REPEATED_LEAST * changes.len() as f64 {
        return 0.0;
    }
    quantile(&jumps, STEP_QUANTILE).unwrap_or(0.0)
}

/// How much of a velocity is news, for each fix: a reading that is repeated because it is coarse tells one thing once.
pub(super) fn news(fixes: &[Fix], grain_mps: f64) -> Vec<f64> {
    let mut news = vec![1.0; fixes.len()];
    if grain_mps < LEAST_MPS {
        return news;
    }
    let reading = |k: usize| (fixes[k].ground_speed_mps, fixes[k].track_deg);
    let mut from = 0;
    for k in 1..=fixes.len() {
        if k == fixes.len() || reading(k) != reading(from) {
            news[from..k].fill(1.0 / (k - from) as f64);
            from = k;
        }
    }
    news
}

#[cfg(test)]
mod tests {
    use super::{news, of_velocities};
    use recording::Fix;

    /// Fixes of a gentle turn at 50 m/s, tracks rounded to a step.
    fn turning(step_deg: f64) -> Vec<Fix> {
        let one = |k: u32| {
            let track = 100.0 + 0.3 * f64::from(k);
            let (latitude_deg, longitude_deg) = (47.0, 9.0);
            Fix {
                time_s: f64::from(k),
                latitude_deg,
                longitude_deg,
                height_m: Some(900.0),
                ground_speed_mps: Some(50.0),
                track_deg: Some((track / step_deg).round() * step_deg),
                climb_mps: None,
            }
        };
        (0..200).map(one).collect()
    }

    #[test]
    fn val_tracks_in_whole_degrees_are_as_coarse_as_that() {
        // Evenly spread over its step a value has the root of a twelfth of it: 50 m/s over 57.3 over 3.46.
        let fixes = turning(1.0);
        let grain_mps = of_velocities(&fixes);
        assert!((grain_mps - 0.252).abs() < 0.001, "{grain_mps}");
        let known = news(&fixes, grain_mps);
        // Three or four readings in a row are one.
        assert!((known.iter().sum::<f64>() - 60.0).abs() < 3.0);
        let fine = turning(0.01);
        assert!(of_velocities(&fine) < 0.01 && news(&fine, 0.0).iter().all(|share| *share > 0.999));
    }
}
