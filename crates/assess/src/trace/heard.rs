//! A recorded series on the time grid of the trace.

use base::factors::RAD_PER_DEG;
use base::frames::Attitude;
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
    let mut before = Before::default();
    let at = |t: &f64| {
        let (k, share) = before.advance(&times[..n], *t);
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

/// The sample before a time that only grows, and the share of the step to the next.
#[derive(Default)]
struct Before(usize);

impl Before {
    fn advance(&mut self, times: &[f64], time_s: f64) -> (usize, f64) {
        while self.0 + 2 < times.len() && times[self.0 + 1] <= time_s {
            self.0 += 1;
        }
        let (from, to) = (times[self.0], times[self.0 + 1]);
        (self.0, ((time_s - from) / (to - from)).clamp(0.0, 1.0))
    }
}

/// Heading, pitch and bank in degrees at the times, turned from sample to sample about one axis: over the top of a loop heading and bank
/// change sides between two samples, and each by itself would pass through a roll that was not flown. `None` unless the three were
/// sampled together. Linear.
pub(super) fn turned_on_grid(
    [heading, pitch, bank]: [&Series; 3],
    time_s: &[f64],
) -> Option<[Vec<f64>; 3]> {
    let times = &heading.times_s;
    let n = times.len();
    let together = |other: &Series| {
        other.times_s.len() == n
            && other.values.len() == n
            && other.times_s.iter().zip(times).all(|(a, b)| (a - b).abs() < 1e-6)
    };
    if n < SAMPLES_LEAST || heading.values.len() != n || !together(pitch) || !together(bank) {
        return None;
    }
    let at = |k: usize| Attitude {
        heading_rad: heading.values[k] * RAD_PER_DEG,
        pitch_rad: pitch.values[k] * RAD_PER_DEG,
        bank_rad: bank.values[k] * RAD_PER_DEG,
    };
    let mut before = Before::default();
    let mut out = [0, 1, 2].map(|_| Vec::with_capacity(time_s.len()));
    for t in time_s {
        let (k, share) = before.advance(times, *t);
        let Attitude { heading_rad, pitch_rad, bank_rad } = at(k).between(&at(k + 1), share);
        for (out, rad) in out.iter_mut().zip([heading_rad, pitch_rad, bank_rad]) {
            out.push(rad / RAD_PER_DEG);
        }
    }
    out.iter().flatten().all(|value| value.is_finite()).then_some(out)
}
