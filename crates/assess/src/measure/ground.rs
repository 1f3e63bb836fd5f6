//! The track over the ground in the wind found: the circle that fits it best and the bank that this circle needs; the pylon that the
//! wings point at, and the pivotal height; the legs of a course.
//!
//! `round`: circles. `pylon`: pylons. `legs`: straight legs and the angles between them.

mod legs;
mod pylon;
mod round;
#[cfg(test)]
mod tests;

use crate::attempt::{Estimate, Measure};
use crate::part::Part;
use crate::trace::{STEP_S, Trace};
use base::math::{atan2, hypot};
use maneuver::standard::{Measured, MeasuredAt};

pub(crate) use pylon::pivotal_height_off;
pub(crate) use round::circle;

/// Figures whose track over the ground is a circle or half of one.
const ROUND: [&str; 3] = ["turns-around-a-point", "s-turns", "steep-spiral"];
/// Speed over the ground is read over so long to each side, s.
const OVER_S: f64 = 1.0;

/// Every measure of the track over the ground that the figure calls for. `ground_ft` is the elevation of the ground, where known.
pub(super) fn measures(part: &Part<'_>, ground_ft: Option<f64>) -> Vec<Measure> {
    match part.maneuver {
        "eights-on-pylons" => pylon::measures(part, ground_ft),
        "rectangular-course" => legs::measures(part),
        figure if ROUND.contains(&figure) => round::measures(part),
        _ => Vec::new(),
    }
}

fn measure(
    key: &'static str,
    quantity: Measured,
    place: MeasuredAt,
    estimate: Option<Estimate>,
) -> Measure {
    Measure { key, quantity, place, estimate }
}

/// Velocity over the ground at a place, north and east, m/s.
fn over_ground_mps(trace: &Trace, index: usize) -> Option<[f64; 2]> {
    let (north, east) = (trace.north_m.as_ref()?, trace.east_m.as_ref()?);
    let half = (OVER_S / STEP_S) as usize;
    let (from, to) = (index.saturating_sub(half), (index + half).min(trace.len() - 1));
    let over_s = trace.time_s[to] - trace.time_s[from];
    let rate = |values: &[f64]| (values[to] - values[from]) / over_s;
    (over_s > 0.0).then(|| [rate(&north.value), rate(&east.value)])
}

/// Speed over the ground, m/s, and the angle from the way through the air to the track, rad, at a place.
fn speed_and_drift(trace: &Trace, index: usize) -> Option<(f64, f64)> {
    let [north, east] = over_ground_mps(trace, index)?;
    let wind = trace.wind_mps.as_ref().map_or([0.0; 2], |wind| [wind[0][index], wind[1][index]]);
    let air_rad = atan2(east - wind[1], north - wind[0]);
    Some((hypot(north, east), base::math::wrap_pi(atan2(east, north) - air_rad)))
}

/// How well places over the ground are known against each other, m: the mean sigma of one axis.
fn place_sigma_m(part: &Part<'_>, places: &[usize]) -> Option<f64> {
    let (north, east) = (part.trace.north_m.as_ref()?, part.trace.east_m.as_ref()?);
    let sum: f64 = places.iter().map(|&i| hypot(north.sigma[i], east.sigma[i])).sum();
    Some(sum / places.len().max(1) as f64 * std::f64::consts::FRAC_1_SQRT_2)
}
