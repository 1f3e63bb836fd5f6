//! Whether a turn goes round a place on the ground or drifts with the air: circles laid through both ways.

use crate::trace::{STEP_S, Trace};
use base::factors::MPS_PER_KT;
use base::math::{exp, hypot, ln};
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
    match (departure(&over_ground), departure(&through_air)) {
        (Some(ground), Some(air)) => (ln((ground + ROUND_ENOUGH) / (air + ROUND_ENOUGH)), sigma),
        _ => UNKNOWN,
    }
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
