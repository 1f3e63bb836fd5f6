//! Legs of a course over the ground: how straight each is, and how square they stand to each other.

use super::{measure, place_sigma_m};
use crate::attempt::{Estimate, Measure};
use crate::part::Part;
use crate::trace::{STEP_S, smooth};
use base::factors::RAD_PER_DEG;
use base::math::{atan2, cos, hypot, sin, wrap_pi};
use maneuver::standard::{Measured, MeasuredAt};

/// A leg is flown with less bank than this, degrees, for so long at the least, s.
const LEG_BANK_DEG: f64 = 6.0;
const LEG_LEAST_S: f64 = 5.0;

/// A straight leg.
struct Leg {
    places: Vec<usize>,
    track_rad: f64,
    length_m: f64,
    /// Root mean square distance across from its line, m.
    wander_m: f64,
}

pub(super) fn measures(part: &Part<'_>) -> Vec<Measure> {
    let legs = legs(part).unwrap_or_default();
    let sigma_m = |leg: &Leg| place_sigma_m(part, &leg.places).unwrap_or(f64::INFINITY).min(1e6);
    let wander = legs.iter().max_by(|a, b| a.wander_m.total_cmp(&b.wander_m));
    let corner = |two: &[Leg]| {
        let turned = part.sign() * wrap_pi(two[1].track_rad - two[0].track_rad) / RAD_PER_DEG;
        let sigma = two.iter().map(|leg| sigma_m(leg) / leg.length_m.max(1.0) / RAD_PER_DEG);
        Estimate { value: (turned - 90.0).abs(), sigma: sigma.fold(0.0, hypot) }
    };
    let corners = legs.windows(2).map(corner);
    let opposite = legs.windows(3).map(|three| {
        let (a, b) = (three[0].length_m, three[2].length_m);
        let sigma = hypot(sigma_m(&three[0]), sigma_m(&three[2]));
        let mean = 0.5 * (a + b).max(1.0);
        Estimate { value: 100.0 * (a - b).abs() / mean, sigma: 100.0 * sigma / mean }
    });
    let most =
        |all: &mut dyn Iterator<Item = Estimate>| all.max_by(|a, b| a.value.total_cmp(&b.value));
    vec![
        measure(
            "leg_wander_greatest_m",
            Measured::DistanceM,
            MeasuredAt::Greatest,
            wander.map(|leg| Estimate { value: leg.wander_m, sigma: sigma_m(leg) }),
        ),
        measure(
            "leg_angle_off_square_greatest_deg",
            Measured::HeadingErrorDeg,
            MeasuredAt::Greatest,
            most(&mut corners.into_iter()),
        ),
        measure(
            "opposite_legs_apart_greatest_percent",
            Measured::RadiusErrorPercent,
            MeasuredAt::Greatest,
            most(&mut opposite.into_iter()),
        ),
    ]
}

/// The legs between the corners, in time order.
fn legs(part: &Part<'_>) -> Option<Vec<Leg>> {
    let trace = part.trace;
    let (north, east) = (trace.north_m.as_ref()?, trace.east_m.as_ref()?);
    let all: Vec<usize> = part.all().collect();
    let banks: Vec<f64> = all.iter().map(|&i| trace.bank_deg.value[i]).collect();
    let bank = smooth(&banks, (1.0 / STEP_S) as usize);
    let straight: Vec<(usize, bool)> =
        all.iter().zip(&bank).map(|(&i, bank)| (i, bank.abs() < LEG_BANK_DEG)).collect();
    let long = (LEG_LEAST_S / STEP_S) as usize;
    let leg = |run: &[(usize, bool)]| {
        let places: Vec<usize> = run.iter().map(|one| one.0).collect();
        let (first, last) = (places[0], places[places.len() - 1]);
        let way = [north.value[last] - north.value[first], east.value[last] - east.value[first]];
        let track_rad = atan2(way[1], way[0]);
        let across = |&i: &usize| {
            let (n, e) = (north.value[i] - north.value[first], east.value[i] - east.value[first]);
            e * cos(track_rad) - n * sin(track_rad)
        };
        let mean = places.iter().map(across).sum::<f64>() / places.len() as f64;
        let square = |i: &usize| (across(i) - mean) * (across(i) - mean);
        let wander_m = (places.iter().map(square).sum::<f64>() / places.len() as f64).sqrt();
        Leg { track_rad, length_m: hypot(way[0], way[1]), wander_m, places }
    };
    let runs = straight.chunk_by(|a, b| a.1 == b.1).filter(|run| run[0].1 && run.len() >= long);
    Some(runs.map(leg).collect())
}
