//! The circle that fits the track best, how far off it the track is, and how the bank compares with the one that keeps it.

use super::{measure, place_sigma_m, speed_and_drift};
use crate::attempt::{Estimate, Measure};
use crate::part::Part;
use base::factors::{RAD_PER_DEG, STANDARD_GRAVITY_MPS2};
use base::math::{atan, cos, hypot};
use maneuver::standard::{Measured, MeasuredAt};

/// Rolling in and out at both ends is not held against the radius, as shares of the turn.
const STEADY: (f64, f64) = (0.2, 0.85);

pub(super) fn measures(part: &Part<'_>) -> Vec<Measure> {
    let round = circle(part);
    let percent = Measured::RadiusErrorPercent;
    vec![
        measure(
            "radius_mean_m",
            Measured::DistanceM,
            MeasuredAt::Throughout,
            round.map(|round| Estimate { value: round.radius_m, sigma: round.sigma_m }),
        ),
        measure(
            "radius_error_greatest_percent",
            percent,
            MeasuredAt::Greatest,
            round.map(|round| round.percent(round.greatest_m)),
        ),
        measure(
            "radius_error_rms_percent",
            percent,
            MeasuredAt::Throughout,
            round.map(|round| round.percent(round.rms_m)),
        ),
        measure(
            "bank_over_that_of_the_circle_greatest_deg",
            Measured::BankKeptDeg,
            MeasuredAt::Greatest,
            round.and_then(|round| bank_over(part, &round)),
        ),
    ]
}

/// A half of S-turns is on its circle from so many degrees after its begin to so many before its end. Where it begins and ends is known
/// to half a second's flight, m.
const HALF_DEG: (f64, f64) = (40.0, 30.0);
const CROSSING_SIGMA_M: f64 = 25.0;

/// A circle fitted to the track.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Circle {
    pub(crate) radius_m: f64,
    pub(crate) sigma_m: f64,
    /// Nearest to the center.
    pub(crate) least_m: f64,
    greatest_m: f64,
    rms_m: f64,
}

impl Circle {
    fn percent(self, off_m: f64) -> Estimate {
        let share = |m: f64| 100.0 * m / self.radius_m;
        Estimate { value: share(off_m), sigma: share(self.sigma_m) }
    }
    /// Mean over the steady part of the bank that keeps a circle of so many times this radius in the wind, degrees.
    pub(crate) fn bank_for_deg(self, part: &Part<'_>, times: f64) -> Option<f64> {
        let places = part.between(STEADY.0, STEADY.1);
        let needed = |&i: &usize| bank_needed_deg(part, i, times * self.radius_m);
        let banks = places.iter().map(needed).collect::<Option<Vec<f64>>>()?;
        (!banks.is_empty()).then(|| banks.iter().sum::<f64>() / banks.len() as f64)
    }
}

/// Bank that keeps a radius over the ground at the speed over it: `tan(bank) = G^2 / (g R cos(drift))`, the wind triangle.
fn bank_needed_deg(part: &Part<'_>, index: usize, radius_m: f64) -> Option<f64> {
    let (ground_mps, drift_rad) = speed_and_drift(part.trace, index)?;
    let across = ground_mps * ground_mps / (radius_m * cos(drift_rad).max(0.3));
    Some(atan(across / STANDARD_GRAVITY_MPS2) / RAD_PER_DEG)
}

/// How far the bank goes over the one that keeps the mean circle, at the most.
fn bank_over(part: &Part<'_>, round: &Circle) -> Option<Estimate> {
    let over = |&i: &usize| {
        let bank = part.bank(i);
        let needed = bank_needed_deg(part, i, round.radius_m)?;
        Some(Estimate { value: bank.value - needed, sigma: bank.sigma })
    };
    let all: Vec<Estimate> =
        part.between(STEADY.0, STEADY.1).iter().map(over).collect::<Option<_>>()?;
    all.into_iter().max_by(|a, b| a.value.total_cmp(&b.value))
}

/// The circle of a part: of a half of S-turns the one about the middle between its two crossings of the road; else the nearest to the
/// track in least squares of the distances.
pub(crate) fn circle(part: &Part<'_>) -> Option<Circle> {
    let (north, east) = (part.trace.north_m.as_ref()?, part.trace.east_m.as_ref()?);
    if part.maneuver == "s-turns" {
        let middle = |values: &[f64]| 0.5 * (values[part.start] + values[part.end]);
        let center = [middle(&north.value), middle(&east.value)];
        let places = part.between_deg(HALF_DEG.0, part.turned().value - HALF_DEG.1);
        let circle = about(part, center, &places)?;
        return Some(Circle { sigma_m: hypot(circle.sigma_m, CROSSING_SIGMA_M), ..circle });
    }
    let places = part.between(STEADY.0, STEADY.1);
    about(part, nearest_center(part, &places)?, &places)
}

/// The circle about a center. A place counts by what is turned there: the slow side of the circle is no larger part of it.
fn about(part: &Part<'_>, center: [f64; 2], places: &[usize]) -> Option<Circle> {
    let (north, east) = (part.trace.north_m.as_ref()?, part.trace.east_m.as_ref()?);
    if places.len() < 20 {
        return None;
    }
    let weights: f64 = places.iter().map(|&i| turned(part, i)).sum();
    let away = |i: usize| hypot(north.value[i] - center[0], east.value[i] - center[1]);
    let mean = |of: &dyn Fn(f64) -> f64| {
        places.iter().map(|&i| turned(part, i) * of(away(i))).sum::<f64>() / weights
    };
    let radius_m = mean(&|r| r);
    let most = |of: &dyn Fn(f64) -> f64| {
        places.iter().map(|&i| of(away(i))).fold(f64::NEG_INFINITY, f64::max)
    };
    let circle = Circle {
        radius_m,
        sigma_m: place_sigma_m(part, places)?,
        least_m: -most(&|r| -r),
        greatest_m: most(&|r| (r - radius_m).abs()),
        rms_m: mean(&|r| (r - radius_m) * (r - radius_m)).sqrt(),
    };
    (radius_m.is_finite() && radius_m > 0.0).then_some(circle)
}

/// Center of the circle nearest to places: the one that leaves the least of the distances from it, each place counted by what is
/// turned there. Damped Gauss-Newton steps from the linear fit; no steps are taken that do not bring it nearer.
fn nearest_center(part: &Part<'_>, places: &[usize]) -> Option<[f64; 2]> {
    const STEPS_MOST: usize = 20;
    const NEAR_M: f64 = 1e-3;
    let (north, east) = (part.trace.north_m.as_ref()?, part.trace.east_m.as_ref()?);
    let of = |&i: &usize| (turned(part, i), north.value[i], east.value[i]);
    let points: Vec<(f64, f64, f64)> = places.iter().map(of).collect();
    let mut center = linear_center(&points)?;
    let mut left = Left::at(&points, center);
    for _ in 0..STEPS_MOST {
        let Some([x, y]) = left.step else { break };
        let nearer = [1.0, 0.5, 0.25, 0.125].into_iter().find_map(|share| {
            let next = [center[0] + share * x, center[1] + share * y];
            let there = Left::at(&points, next);
            (there.square < left.square).then_some((next, there))
        });
        let Some((next, there)) = nearer else { break };
        (center, left) = (next, there);
        if hypot(x, y) < NEAR_M {
            break;
        }
    }
    Some(center)
}

/// What is turned at a place since the one before, degrees.
fn turned(part: &Part<'_>, i: usize) -> f64 {
    (part.turn_at(i) - part.turn_at(i.saturating_sub(1))).max(0.0)
}

/// What a center leaves of the distances, and the step to a nearer one.
struct Left {
    square: f64,
    step: Option<[f64; 2]>,
}

impl Left {
    /// With the best radius for this center, the mean distance, the slope of a distance by the center is that of its own less the mean
    /// one.
    fn at(points: &[(f64, f64, f64)], center: [f64; 2]) -> Self {
        let weights: f64 = points.iter().map(|(w, ..)| w).sum();
        let seen = |&(w, x, y): &(f64, f64, f64)| {
            let (x, y) = (x - center[0], y - center[1]);
            let away = hypot(x, y).max(f64::MIN_POSITIVE);
            [w, away, x / away, y / away]
        };
        let mean = |k: usize| {
            points.iter().map(|point| seen(point)[0] * seen(point)[k]).sum::<f64>() / weights
        };
        let means = [mean(1), mean(2), mean(3)];
        let [mut square, mut xx, mut xy, mut yy, mut xr, mut yr] = [0.0; 6];
        for point in points {
            let [w, away, x, y] = seen(point);
            let (r, x, y) = (away - means[0], x - means[1], y - means[2]);
            square += w * r * r;
            (xx, xy, yy) = (xx + w * x * x, xy + w * x * y, yy + w * y * y);
            (xr, yr) = (xr + w * x * r, yr + w * y * r);
        }
        let determinant = xx * yy - xy * xy;
        let solved = [(xr * yy - yr * xy) / determinant, (yr * xx - xr * xy) / determinant];
        let found = solved.iter().all(|one| one.is_finite()).then_some(solved);
        Self { square, step: found }
    }
}

/// Center of the circle that fits points in least squares of `x² + y² = 2 a x + 2 b y + c` about their mean, which is linear.
fn linear_center(points: &[(f64, f64, f64)]) -> Option<[f64; 2]> {
    let n = points.len().max(1) as f64;
    let north_0 = points.iter().map(|(_, x, _)| x).sum::<f64>() / n;
    let east_0 = points.iter().map(|(.., y)| y).sum::<f64>() / n;
    let sum = |of: &dyn Fn(f64, f64) -> f64| {
        points.iter().map(|&(_, x, y)| of(x - north_0, y - east_0)).sum::<f64>()
    };
    let (xx, yy, xy) = (sum(&|x, _| x * x), sum(&|_, y| y * y), sum(&|x, y| x * y));
    let (xz, yz) = (sum(&|x, y| x * (x * x + y * y)), sum(&|x, y| y * (x * x + y * y)));
    let determinant = xx * yy - xy * xy;
    // A straight track has no circle.
    if determinant <= 1e-6 * (xx + yy) * (xx + yy) {
        return None;
    }
    let a = 0.5 * (xz * yy - yz * xy) / determinant;
    let b = 0.5 * (yz * xx - xz * xy) / determinant;
    Some([north_0 + a, east_0 + b])
}
