//! The ground track of figures round a point: the circle that fits it best, and how far off it the track is.

use crate::attempt::{Estimate, Measure};
use crate::part::Part;
use base::math::hypot;
use maneuver::standard::{Measured, MeasuredAt};

/// Figures whose track over the ground is a circle or half of one.
const ROUND: [&str; 3] = ["turns-around-a-point", "s-turns", "steep-spiral"];
/// Rolling in and out at both ends is not held against the radius, as shares of the turn.
const STEADY: (f64, f64) = (0.2, 0.85);

pub(super) fn measures(part: &Part<'_>) -> Vec<Measure> {
    if !ROUND.contains(&part.maneuver) {
        return Vec::new();
    }
    let round = circle(part);
    let add = |key, quantity, place, estimate| Measure { key, quantity, place, estimate };
    let percent = Measured::RadiusErrorPercent;
    vec![
        add(
            "radius_mean_m",
            Measured::DistanceM,
            MeasuredAt::Throughout,
            round.map(|round| Estimate { value: round.radius_m, sigma: round.sigma_m }),
        ),
        add(
            "radius_error_greatest_percent",
            percent,
            MeasuredAt::Greatest,
            round.map(|round| round.percent(round.greatest_m)),
        ),
        add(
            "radius_error_rms_percent",
            percent,
            MeasuredAt::Throughout,
            round.map(|round| round.percent(round.rms_m)),
        ),
    ]
}

/// A circle fitted to the track.
#[derive(Debug, Clone, Copy)]
struct Round {
    radius_m: f64,
    sigma_m: f64,
    greatest_m: f64,
    rms_m: f64,
}

impl Round {
    fn percent(self, off_m: f64) -> Estimate {
        let share = |m: f64| 100.0 * m / self.radius_m;
        Estimate { value: share(off_m), sigma: share(self.sigma_m) }
    }
}

/// The circle nearest to the track in least squares of `x² + y² = 2 a x + 2 b y + c` about its mean, which is linear.
fn circle(part: &Part<'_>) -> Option<Round> {
    let (north, east) = (part.trace.north_m.as_ref()?, part.trace.east_m.as_ref()?);
    let places = part.between(STEADY.0, STEADY.1);
    let n = places.len();
    if n < 20 {
        return None;
    }
    let mean = |values: &[f64]| places.iter().map(|&i| values[i]).sum::<f64>() / n as f64;
    let (north_0, east_0) = (mean(&north.value), mean(&east.value));
    let points: Vec<(f64, f64)> =
        places.iter().map(|&i| (north.value[i] - north_0, east.value[i] - east_0)).collect();
    let sum = |of: &dyn Fn(f64, f64) -> f64| points.iter().map(|&(x, y)| of(x, y)).sum::<f64>();
    let (xx, yy, xy) = (sum(&|x, _| x * x), sum(&|_, y| y * y), sum(&|x, y| x * y));
    let (xz, yz) = (sum(&|x, y| x * (x * x + y * y)), sum(&|x, y| y * (x * x + y * y)));
    let determinant = xx * yy - xy * xy;
    // A straight track has no circle.
    if determinant <= 1e-6 * (xx + yy) * (xx + yy) {
        return None;
    }
    let a = 0.5 * (xz * yy - yz * xy) / determinant;
    let b = 0.5 * (yz * xx - xz * xy) / determinant;
    let off: Vec<f64> = points.iter().map(|&(x, y)| hypot(x - a, y - b)).collect();
    let radius_m = off.iter().sum::<f64>() / n as f64;
    let greatest_m = off.iter().map(|r| (r - radius_m).abs()).fold(0.0, f64::max);
    let rms_m =
        (off.iter().map(|r| (r - radius_m) * (r - radius_m)).sum::<f64>() / n as f64).sqrt();
    let sigma_m = places.iter().map(|&i| hypot(north.sigma[i], east.sigma[i])).sum::<f64>()
        / n as f64
        * std::f64::consts::FRAC_1_SQRT_2;
    (radius_m.is_finite() && radius_m > 0.0).then_some(Round {
        radius_m,
        sigma_m,
        greatest_m,
        rms_m,
    })
}
