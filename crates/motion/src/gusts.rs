//! How restless the air is, from how restless the flying is where nothing much is flown.
//!
//! A vertical gust `w` pulls the airplane along in about half a second (`tau = 2 W / (rho V S a g)`), so gusts that are kept for some
//! seconds make accelerations of some `0.7 w` a second, kept for `tau`: to a smoother of places a jerk of intensity in proportion to
//! the square of `w`. Hands make one too, but not everywhere: the quieter part of the flight tells.

use base::numerics::statistics::robust_sigma;
use recording::{QuantityKind, Recording};

/// The share of the flight that is taken to be flown quietly.
const QUIET_SHARE: f64 = 0.3;
/// Intensity of vertical jerk (m2/s5) that gusts of one meter a second make, found on invented flights.
const JERK_BY_GUSTS: f64 = 0.5;
/// Intensity that hands make even in still air, m2/s5, found on the same.
const JERK_BY_HANDS: f64 = 0.01;
/// Air is never quite still, and gusts beyond the greatest are weather that nobody flies lessons in, m/s.
pub(crate) const MPS: (f64, f64) = (0.1, 4.0);

/// Over all days with and without, where places alone are too coarse to show them, m/s.
const UNSEEN_MPS: f64 = 0.5;

/// Gusts, one standard deviation a component, m/s; `quick` when vertical velocities were recorded. Shape: `time_s` and `flying` one entry a knot, `jerk_down` (m2/s5) one an
/// interval.
pub(crate) fn usual_mps(time_s: &[f64], jerk_down: &[f64], flying: &[bool], quick: bool) -> f64 {
    let mut flown: Vec<(f64, f64)> = time_s
        .windows(2)
        .zip(jerk_down)
        .zip(flying)
        .filter(|(_, flies)| **flies)
        .map(|((pair, jerk), _)| (*jerk, pair[1] - pair[0]))
        .collect();
    let quiet = quieter(&mut flown, QUIET_SHARE);
    let by_gusts = (quiet - JERK_BY_HANDS).max(0.0);
    let least = if quick { MPS.0 } else { UNSEEN_MPS };
    (by_gusts / JERK_BY_GUSTS).sqrt().clamp(least, MPS.1)
}

/// The value, the first of each pair, below which things are for a share of the time, the second.
fn quieter(flown: &mut [(f64, f64)], share: f64) -> f64 {
    flown.sort_by(|a, b| a.0.total_cmp(&b.0));
    let wanted_s = share * flown.iter().map(|one| one.1).sum::<f64>();
    let mut passed_s = 0.0;
    let reached = |(_, step_s): &&(f64, f64)| {
        passed_s += step_s;
        passed_s >= wanted_s
    };
    flown.iter().find(reached).map_or(0.0, |one| one.0)
}

/// Forces felt by a device are averaged over so long, s: engine and hum are gone, gusts are not.
const BIN_S: f64 = 0.5;
/// Second difference of such means, one standard deviation, m/s2, that gusts of one meter a second make. Reckoned for accelerations
/// of 0.68 a second kept for 0.43 s (an airplane of 620 Pa at 55 m/s in gusts of 400 m) it is 0.87; what gusts do to airspeed and
/// incidence of invented flights with a device shows less.
const BIN_BY_GUST: f64 = 0.72;
/// What hands and the device itself make of it, m/s2 (our judgement, no source).
const BIN_BY_HANDS: f64 = 0.1;
/// Fewer means tell nothing.
const BINS_LEAST: usize = 60;

/// The same from a device that feels forces, however it lies; `None` without one.
pub(crate) fn by_device_mps(recording: &Recording) -> Option<f64> {
    use QuantityKind as Q;
    let [x, y, z] = [Q::DeviceForceXMps2, Q::DeviceForceYMps2, Q::DeviceForceZMps2]
        .map(|kind| recording.series_of(kind));
    let (x, y, z) = (x?, y?, z?);
    let mut bins: Vec<(i64, f64, f64)> = Vec::new();
    for (i, time_s) in x.times_s.iter().enumerate() {
        let (Some(y), Some(z)) = (y.values.get(i), z.values.get(i)) else { break };
        let size = (x.values[i] * x.values[i] + y * y + z * z).sqrt();
        let bin = (time_s / BIN_S).floor() as i64;
        match bins.last_mut() {
            Some(last) if last.0 == bin => {
                last.1 += size;
                last.2 += 1.0;
            }
            _ => bins.push((bin, size, 1.0)),
        }
    }
    let mean = |bin: &(i64, f64, f64)| bin.1 / bin.2;
    let bends: Vec<f64> = bins
        .windows(3)
        .filter(|three| three[2].0 == three[0].0 + 2)
        .map(|three| mean(&three[2]) - 2.0 * mean(&three[1]) + mean(&three[0]))
        .collect();
    if bends.len() < BINS_LEAST {
        return None;
    }
    let found = robust_sigma(&bends)?;
    let by_gusts = (found * found - BIN_BY_HANDS * BIN_BY_HANDS).max(0.0).sqrt();
    Some((by_gusts / BIN_BY_GUST).clamp(MPS.0, MPS.1))
}
