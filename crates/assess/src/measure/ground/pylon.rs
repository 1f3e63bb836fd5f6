//! The pylon that the wing points at: the place nearest to all lines along the wing in the middle of the turn, how far off the wing it
//! wanders, and the height against the pivotal one.
//!
//! The pivotal height in a wind is airspeed times what the nose makes good over the ground, by gravity; the handbook's square of the
//! speed over the ground is exact in a calm alone.

use super::{measure, over_ground_mps, place_sigma_m};
use crate::attempt::{Estimate, Measure};
use crate::part::{MIDDLE, Part};
use base::factors::{M_PER_FT, MPS_PER_KT, RAD_PER_DEG, STANDARD_GRAVITY_MPS2};
use base::math::{atan2, cos, hypot, sin};
use maneuver::standard::{Measured, MeasuredAt};

/// Speed made good along the nose and airspeed are known to about this share of the pivotal height.
const PIVOTAL_SHARE: f64 = 0.03;

pub(super) fn measures(part: &Part<'_>, ground_ft: Option<f64>) -> Vec<Measure> {
    let pylon = pylon(part);
    let angle = Measured::AngleOffPylonDeg;
    let height = Measured::HeightChangeFt;
    vec![
        measure(
            "pylon_distance_mean_m",
            Measured::DistanceM,
            MeasuredAt::Throughout,
            pylon.as_ref().map(|pylon| pylon.distance),
        ),
        measure(
            "pylon_off_wing_greatest_deg",
            angle,
            MeasuredAt::Greatest,
            pylon.as_ref().map(|pylon| pylon.off(|all| all.fold(0.0, f64::max))),
        ),
        measure(
            "pylon_off_wing_rms_deg",
            angle,
            MeasuredAt::Throughout,
            pylon.as_ref().map(|pylon| {
                let n = pylon.off_deg.len() as f64;
                pylon.off(|all| (all.map(|off| off * off).sum::<f64>() / n).sqrt())
            }),
        ),
        measure(
            "pivotal_height_error_mean_ft",
            height,
            MeasuredAt::Throughout,
            ground_ft.and_then(|ground_ft| mean_error(part, ground_ft)),
        ),
        measure("pivotal_height_error_spread_ft", height, MeasuredAt::Greatest, spread(part)),
    ]
}

/// A pylon and how the wing points at it.
struct Pylon {
    distance: Estimate,
    /// Without sign.
    off_deg: Vec<f64>,
    sigma_deg: f64,
}

impl Pylon {
    fn off(&self, of: impl Fn(&mut dyn Iterator<Item = f64>) -> f64) -> Estimate {
        Estimate { value: of(&mut self.off_deg.iter().copied()), sigma: self.sigma_deg }
    }
}

/// The place nearest, in least squares of the distances across, to the lines along the wing.
fn pylon(part: &Part<'_>) -> Option<Pylon> {
    let trace = part.trace;
    let (north, east) = (trace.north_m.as_ref()?, trace.east_m.as_ref()?);
    let places = part.between(MIDDLE.0, MIDDLE.1);
    if places.len() < 20 {
        return None;
    }
    // The nose stands across the wing: along it the pylon has no distance.
    let nose = |i: usize| {
        let rad = trace.heading_deg.value[i] * RAD_PER_DEG;
        [cos(rad), sin(rad)]
    };
    let (mut m, mut v) = ([0.0; 3], [0.0; 2]);
    for &i in &places {
        let [a, b] = nose(i);
        let along = a * north.value[i] + b * east.value[i];
        m = [m[0] + a * a, m[1] + a * b, m[2] + b * b];
        v = [v[0] + a * along, v[1] + b * along];
    }
    let determinant = m[0] * m[2] - m[1] * m[1];
    if determinant <= 1e-3 * m[0] * m[2] {
        return None;
    }
    let at = [(v[0] * m[2] - v[1] * m[1]) / determinant, (v[1] * m[0] - v[0] * m[1]) / determinant];
    let way = |i: usize| [at[0] - north.value[i], at[1] - east.value[i]];
    let off = |&i: &usize| {
        let ([a, b], [x, y]) = (nose(i), way(i));
        (atan2(a * x + b * y, (a * y - b * x).abs()) / RAD_PER_DEG).abs()
    };
    let off_deg: Vec<f64> = places.iter().map(off).collect();
    let n = places.len() as f64;
    let distance_m = places.iter().map(|&i| hypot(way(i)[0], way(i)[1])).sum::<f64>() / n;
    let place_m = place_sigma_m(part, &places)?;
    let heading = places.iter().map(|&i| trace.heading_deg.sigma[i]).sum::<f64>() / n;
    let sigma_deg = hypot(heading, place_m / distance_m.max(1.0) / RAD_PER_DEG);
    Some(Pylon { distance: Estimate { value: distance_m, sigma: place_m }, off_deg, sigma_deg })
}

/// Pivotal height at a place, ft.
fn pivotal_ft(part: &Part<'_>, index: usize) -> Option<f64> {
    let trace = part.trace;
    let [north, east] = over_ground_mps(trace, index)?;
    let heading_rad = trace.heading_deg.value[index] * RAD_PER_DEG;
    let ahead_mps = north * cos(heading_rad) + east * sin(heading_rad);
    let speed_mps = MPS_PER_KT * trace.tas_kt.as_ref().unwrap_or(&trace.cas_kt).value[index];
    Some(speed_mps * ahead_mps / STANDARD_GRAVITY_MPS2 / M_PER_FT)
}

/// Height above the pivotal one along the middle of the turn, ft, if the ground were at nil; and the pivotal height in the mean.
fn errors(part: &Part<'_>) -> Option<(Vec<f64>, f64)> {
    let places = part.between(MIDDLE.0, MIDDLE.1);
    let pivotal: Vec<f64> = places.iter().map(|&i| pivotal_ft(part, i)).collect::<Option<_>>()?;
    if pivotal.len() < 8 {
        return None;
    }
    let height = &part.trace.height_ft.value;
    let errors = places.iter().zip(&pivotal).map(|(&i, pivotal)| height[i] - pivotal).collect();
    Some((errors, pivotal.iter().sum::<f64>() / pivotal.len() as f64))
}

/// Mean height above the pivotal one.
fn mean_error(part: &Part<'_>, ground_ft: f64) -> Option<Estimate> {
    let (errors, pivotal) = errors(part)?;
    let value = errors.iter().sum::<f64>() / errors.len() as f64 - ground_ft;
    let height = part.trace.height_ft.sigma[part.start];
    Some(Estimate { value, sigma: hypot(height, PIVOTAL_SHARE * pivotal) })
}

/// Greatest less least height above the pivotal one: needs no elevation of the ground.
fn spread(part: &Part<'_>) -> Option<Estimate> {
    let (errors, pivotal) = errors(part)?;
    Some(Estimate { value: crate::trace::spread(&errors), sigma: PIVOTAL_SHARE * pivotal })
}

/// Mean departure from the pivotal height, up or down, as a share of it; needs the ground.
pub(crate) fn pivotal_height_off(part: &Part<'_>, ground_ft: f64) -> Option<Estimate> {
    let (errors, pivotal) = errors(part)?;
    let mean =
        errors.iter().map(|error| (error - ground_ft).abs()).sum::<f64>() / errors.len() as f64;
    let height = part.trace.height_ft.sigma[part.start] / pivotal;
    Some(Estimate { value: mean / pivotal, sigma: hypot(PIVOTAL_SHARE, height) })
}
