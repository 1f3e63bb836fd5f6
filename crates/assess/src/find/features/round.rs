//! Whether a turn goes round a place on the ground or drifts with the air: circles laid through both ways, and of half turns how
//! square their ends are crossed.

use crate::trace::{STEP_S, Trace};
use base::factors::{MPS_PER_KT, RAD_PER_DEG};
use base::math::{atan2, exp, hypot, ln, wrap_pi};
use std::ops::RangeInclusive;

/// The roll-in and the roll-out belong to no circle, degrees of turn.
const ROLLING_IN_DEG: f64 = 30.0;
const ROLLING_OUT_DEG: f64 = 25.0;
/// Departures from a circle that say nothing, as a share of its radius: nobody flies rounder.
const ROUND_ENOUGH: f64 = 0.025;
/// What the ratio says in wind, and in a calm, where both ways are the same: a calm is a wind of this share of the airspeed.
const WINDY_SIGMA: f64 = 0.25;
const CALM_SIGMA: f64 = 2.5;
const CALM_SHARE: f64 = 0.04;
/// A half turn goes through so many degrees; a line is crossed over so long to each side, s; nobody crosses it squarer, degrees.
const HALF_TURN_DEG: (f64, f64) = (150.0, 210.0);
const CROSSED_S: f64 = 0.5;
const SQUARE_ENOUGH_DEG: f64 = 4.0;
/// Without positions or wind nothing is known.
const UNKNOWN: (f64, f64) = (0.0, 3.0);

/// Logarithm of the ratio of the departures, ground over air, and its sigma.
pub(super) fn roundness(trace: &Trace, range: RangeInclusive<usize>, sign: f64) -> (f64, f64) {
    let (Some(north), Some(east), Some(wind)) = (&trace.north_m, &trace.east_m, &trace.wind_mps)
    else {
        return UNKNOWN;
    };
    let heading = &trace.heading_deg.value;
    let (start, end) = (*range.start(), *range.end());
    let turned = |i: usize| sign * (heading[i] - heading[start]);
    let all = turned(end);
    let inside: Vec<usize> = range
        .filter(|&i| turned(i) > ROLLING_IN_DEG && turned(i) < all - ROLLING_OUT_DEG)
        .collect();
    if inside.len() < 8 {
        return UNKNOWN;
    }
    let over_ground: Vec<[f64; 2]> =
        inside.iter().map(|&i| [north.value[i], east.value[i]]).collect();
    let mut blown = [0.0; 2];
    let mut last = inside[0];
    let through_air: Vec<[f64; 2]> = inside
        .iter()
        .zip(&over_ground)
        .map(|(&i, at)| {
            let step_s = STEP_S * (i - last) as f64;
            blown[0] += step_s * wind[0][i];
            blown[1] += step_s * wind[1][i];
            last = i;
            [at[0] - blown[0], at[1] - blown[1]]
        })
        .collect();
    let speed_mps = MPS_PER_KT * trace.cas_kt.value[inside[0]].max(1.0);
    let wind_mps = hypot(wind[0][inside[0]], wind[1][inside[0]]);
    let sigma = WINDY_SIGMA + CALM_SIGMA * exp(-wind_mps / (CALM_SHARE * speed_mps));
    if (HALF_TURN_DEG.0..=HALF_TURN_DEG.1).contains(&all) {
        return (crossings(trace, wind, start, end), sigma);
    }
    match (departure(&over_ground), departure(&through_air)) {
        (Some(ground), Some(air)) => (ln((ground + ROUND_ENOUGH) / (air + ROUND_ENOUGH)), sigma),
        _ => UNKNOWN,
    }
}

/// The same for a half turn, on whose arc every circle lies well: how square its ends are crossed. From a line over the ground the way
/// leads off at a right angle and comes back at one; in a turn that drifts the way through the air does. Logarithm of the ratio of the
/// departures from it, ground over air.
fn crossings(trace: &Trace, wind: &[Vec<f64>; 2], start: usize, end: usize) -> f64 {
    let (Some(north), Some(east)) = (&trace.north_m, &trace.east_m) else { return UNKNOWN.0 };
    let half = (CROSSED_S / STEP_S) as usize;
    let (mut blown, mut places) = ([0.0; 2], Vec::new());
    let (first, last) = (start.saturating_sub(half), (end + half).min(trace.len() - 1));
    let winds = wind[0][first..=last].iter().zip(&wind[1][first..=last]);
    for (i, (by_north, by_east)) in (first..).zip(winds) {
        places.push([north.value[i], east.value[i], blown[0], blown[1]]);
        blown = [blown[0] + STEP_S * by_north, blown[1] + STEP_S * by_east];
    }
    let off_deg = |air: f64| {
        let at = |i: usize| {
            let [north, east, by_north, by_east] = places[i - first];
            [north - air * by_north, east - air * by_east]
        };
        let way = |from: usize, to: usize| {
            let (from, to) = (at(from), at(to));
            atan2(to[1] - from[1], to[0] - from[0])
        };
        let chord = way(start, end);
        let square = |place: usize| {
            let (from, to) = (place.saturating_sub(half).max(first), (place + half).min(last));
            wrap_pi(way(from, to) - chord).abs() / RAD_PER_DEG - 90.0
        };
        hypot(square(start), square(end)) + SQUARE_ENOUGH_DEG
    };
    ln(off_deg(0.0) / off_deg(1.0))
}

/// Root mean square departure from the best circle, as a share of its radius (least squares on the squares of the radii).
fn departure(points: &[[f64; 2]]) -> Option<f64> {
    let n = points.len() as f64;
    let mean = |axis: usize| points.iter().map(|p| p[axis]).sum::<f64>() / n;
    let middle = [mean(0), mean(1)];
    let (mut uu, mut vv, mut uv, mut uz, mut vz) = (0.0, 0.0, 0.0, 0.0, 0.0);
    for p in points {
        let (u, v) = (p[0] - middle[0], p[1] - middle[1]);
        let z = u * u + v * v;
        (uu, vv, uv) = (uu + u * u, vv + v * v, uv + u * v);
        (uz, vz) = (uz + 0.5 * u * z, vz + 0.5 * v * z);
    }
    let determinant = uu * vv - uv * uv;
    if determinant <= 1e-9 * uu * vv {
        return None;
    }
    let center = [(uz * vv - vz * uv) / determinant, (vz * uu - uz * uv) / determinant];
    let radius_m = (center[0] * center[0] + center[1] * center[1] + (uu + vv) / n).sqrt();
    let square = |p: &[f64; 2]| {
        let away =
            hypot(p[0] - middle[0] - center[0], p[1] - middle[1] - center[1]) / radius_m - 1.0;
        away * away
    };
    Some((points.iter().map(square).sum::<f64>() / n).sqrt())
}

#[cfg(test)]
mod tests {
    use super::departure;
    use base::math::{cos, sin};

    #[test]
    fn prop_a_circle_departs_from_none_and_an_ellipse_does() {
        let round = |a: f64, b: f64| -> Vec<[f64; 2]> {
            (0..90).map(|i| 0.05 * f64::from(i)).map(|t| [a * cos(t), 7.0 + b * sin(t)]).collect()
        };
        assert!(departure(&round(300.0, 300.0)).unwrap() < 1e-9);
        assert!(departure(&round(300.0, 400.0)).unwrap() > 0.05);
        assert!(departure(&[[0.0, 0.0], [1.0, 1.0], [2.0, 2.0]]).is_none());
    }
}
