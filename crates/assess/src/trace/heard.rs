//! A recorded series on the time grid of the trace.

use base::factors::RAD_PER_DEG;
use base::math::wrap_pi;
use recording::Series;

/// Steps wider than this show nothing of a maneuver, s.
const STEP_MOST_S: f64 = 2.5;
/// Fewer samples are no recording of a flight.
const SAMPLES_LEAST: usize = 10;

/// Values at the times, linear between samples, angles in degrees the short way round. `None` when the samples are few or far
/// between. Linear.
pub(super) fn on_grid(series: &Series, time_s: &[f64], angle: bool) -> Option<Vec<f64>> {
    let (times, values) = (&series.times_s, &series.values);
    let n = times.len().min(values.len());
    let span_s = times.last()? - times.first()?;
    if n < SAMPLES_LEAST || span_s / (n as f64) > STEP_MOST_S {
        return None;
    }
    let mut k = 0;
    let at = |t: &f64| {
        while k + 2 < n && times[k + 1] <= *t {
            k += 1;
        }
        let share = ((t - times[k]) / (times[k + 1] - times[k])).clamp(0.0, 1.0);
        let step = values[k + 1] - values[k];
        if angle && step.abs() > 180.0 {
            let short = wrap_pi(step * RAD_PER_DEG) / RAD_PER_DEG;
            wrap_pi((values[k] + share * short) * RAD_PER_DEG) / RAD_PER_DEG
        } else {
            values[k] + share * step
        }
    };
    let values: Vec<f64> = time_s.iter().map(at).collect();
    values.iter().all(|value| value.is_finite()).then_some(values)
}
