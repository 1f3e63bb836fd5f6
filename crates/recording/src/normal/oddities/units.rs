//! Units that contradict one another.

use super::pressure::density_ratio;
use super::{FLYING_MPS, LOOKS_LEAST, LOOKS_MOST, Onward, speed_over_time, suspect};
use crate::normal::assemble::{Draft, distance_m, median};
use crate::normal::{Fix, QuantityKind as Q};
use base::factors::{M_PER_FT, MPS_PER_FPM, MPS_PER_KMH, MPS_PER_KT, MPS_PER_MPH};
use base::math;

/// Units a speed may have been written in, and what one of each is in m/s.
const SPEEDS: [(&str, f64); 5] = [
    ("m/s", 1.0),
    ("kt", MPS_PER_KT),
    ("km/h", MPS_PER_KMH),
    ("mph", MPS_PER_MPH),
    ("ft/s", M_PER_FT),
];

/// What mix-up of units makes values so many times too large, within `near` of it (natural logarithm). `read` is the unit they
/// were read in; where a format has one of its own it is among the first three.
fn mixed_up(ratio: f64, read: Option<&str>, truths: &[(&str, f64)], near: f64) -> Option<String> {
    let meant = |unit: &&(&str, f64)| read.is_none_or(|read| read == unit.0);
    let reads = SPEEDS[..if read.is_some() { SPEEDS.len() } else { 3 }].iter().filter(meant);
    let pairs = reads.flat_map(|read| truths.iter().map(move |truth| (read, truth)));
    pairs
        .filter(|(read, truth)| read.0 != truth.0)
        .map(|(read, truth)| (math::ln(ratio * truth.1 / read.1).abs(), read.0, truth.0))
        .filter(|(miss, ..)| *miss < near)
        .min_by(|a, b| a.0.total_cmp(&b.0))
        .map(|(_, read, truth)| format!("{truth} read as {read} would do that"))
}

pub(super) fn ground_speed_unit(draft: &mut Draft, fixes: &[Fix]) {
    let step = fixes.len().div_ceil(LOOKS_MOST).max(1);
    let ratios: Vec<f64> = fixes
        .windows(3)
        .step_by(step)
        .filter_map(|three| {
            let span_s = three[2].time_s - three[0].time_s;
            let moved_m = distance_m(&three[0], &three[1]) + distance_m(&three[1], &three[2]);
            let moved_mps = moved_m / span_s;
            let usable = span_s < 30.0 && moved_mps > FLYING_MPS;
            three[1].ground_speed_mps.filter(|_| usable).map(|said| said / moved_mps)
        })
        .collect();
    let count = ratios.len();
    let Some(ratio) = median(ratios).filter(|_| count >= LOOKS_LEAST) else { return };
    if ratio <= 0.0 || math::ln(ratio).abs() < 0.1 {
        return;
    }
    let origin = draft.speed_origin.as_ref();
    let name = origin.map_or_else(
        || "the ground speed".to_owned(),
        |(column, unit)| format!("the ground speed (column {column}, {unit})"),
    );
    let cause = mixed_up(ratio, origin.map(|(_, unit)| *unit), &SPEEDS, 0.06);
    let what = format!("{name} is {ratio:.2} times what the positions move at ({count} steps)");
    suspect(draft, &what, cause);
}

/// Heights that change at another rate than the vertical speed beside them says.
pub(super) fn climb_unit(draft: &mut Draft, fixes: &[Fix]) {
    const HEIGHTS: [(&str, f64); 6] = [
        ("m and m/s", 1.0),
        ("ft and m/s", M_PER_FT),
        ("m and ft/min", 1.0 / MPS_PER_FPM),
        ("ft and ft/min", M_PER_FT / MPS_PER_FPM),
        ("ft and ft/s", 1.0),
        ("m and kt", 1.0 / MPS_PER_KT),
    ];
    let column = |get: fn(&Fix) -> Option<f64>| -> (Vec<f64>, Vec<f64>) {
        fixes.iter().filter_map(|fix| Some((fix.time_s, get(fix)?))).unzip()
    };
    let climbs = fixes.iter().any(|fix| fix.climb_mps.is_some());
    let panel = draft.series.iter().any(|series| series.quantity == Q::VerticalSpeedMps);
    if !climbs && !panel {
        return;
    }
    let (climb, height) = (column(|fix| fix.climb_mps), column(|fix| fix.height_m));
    let mut found = Vec::new();
    if let Some(slope) = followed((&climb.0, &climb.1), (&height.0, &height.1)) {
        found.push((
            "the height of the fixes".to_owned(),
            "their vertical speed".to_owned(),
            slope,
        ));
    }
    let of = |q: Q| draft.series.iter().find(|series| series.quantity == q);
    if let Some(vertical) = of(Q::VerticalSpeedMps) {
        let panel = of(Q::PressureAltitudeM).or(of(Q::IndicatedAltitudeM));
        let (name, height): (_, Column<'_>) = match panel {
            Some(series) => (series.origin.clone(), (&series.times_s, &series.values)),
            None => ("the height of the fixes".to_owned(), (&height.0, &height.1)),
        };
        if let Some(slope) = followed((&vertical.times_s, &vertical.values), height) {
            found.push((name, vertical.origin.clone(), slope));
        }
    }
    for (height, climb, slope) in found {
        if math::ln(slope).abs() > 0.4 {
            let what = format!("{height} changes by {slope:.3} m for each meter {climb} makes");
            let cause = HEIGHTS
                .iter()
                .filter(|pair| pair.1 != 1.0 && math::ln(slope * pair.1).abs() < 0.25)
                .map(|pair| format!("{} taken for m and m/s would do that", pair.0))
                .next();
            suspect(draft, &what, cause);
        }
    }
}

/// A column with its times.
type Column<'a> = (&'a [f64], &'a [f64]);

/// By how much a height changes for each meter a vertical speed makes, over spans of ten seconds; `None` when the one does
/// not follow the other.
fn followed(climb: Column<'_>, height: Column<'_>) -> Option<f64> {
    const SPAN_S: f64 = 10.0;
    let (times_s, climbs) = climb;
    let mut pairs: Vec<(f64, f64)> = Vec::new();
    let mut start: Option<(f64, f64)> = None;
    let mut made_m = 0.0;
    let mut heights = Onward::new(height.0, height.1);
    for index in 0..times_s.len() {
        let Some(height_m) = heights.at(times_s[index]) else {
            start = None;
            continue;
        };
        if let (Some((from_s, from_m)), Some(before)) = (start, index.checked_sub(1)) {
            let step_s = times_s[index] - times_s[before];
            made_m += 0.5 * (climbs[index] + climbs[before]) * step_s;
            if step_s > SPAN_S {
                start = None;
            } else if times_s[index] - from_s >= SPAN_S {
                pairs.push((made_m, height_m - from_m));
                start = None;
            }
        }
        if start.is_none() {
            start = Some((times_s[index], height_m));
            made_m = 0.0;
        }
    }
    let sum = |product: fn(&(f64, f64)) -> f64| pairs.iter().map(product).sum::<f64>();
    let (xx, xy, yy) = (sum(|p| p.0 * p.0), sum(|p| p.0 * p.1), sum(|p| p.1 * p.1));
    let follows = pairs.len() >= LOOKS_LEAST && xy > 0.0 && xy * xy > 0.7 * xx * yy;
    follows.then(|| xy / xx)
}

/// Airspeeds far from the speed over the ground, which is first brought to what an airspeed indicator shows at that height:
/// wind explains up to a half or so.
pub(super) fn airspeed_units(draft: &mut Draft, fixes: &[Fix]) {
    let airspeeds = [Q::IndicatedAirspeedMps, Q::CalibratedAirspeedMps, Q::TrueAirspeedMps];
    if !draft.series.iter().any(|series| airspeeds.contains(&series.quantity)) {
        return;
    }
    let Some((times_s, speeds)) = speed_over_time(fixes, &[]) else { return };
    let heights = heights_over_time(draft, fixes);
    for quantity in airspeeds {
        let Some(series) = draft.series.iter().find(|series| series.quantity == quantity) else {
            continue;
        };
        let thinned = quantity != Q::TrueAirspeedMps;
        let step = series.values.len().div_ceil(LOOKS_MOST).max(1);
        let samples = series.times_s.iter().zip(&series.values).step_by(step);
        let mut grounds = Onward::new(&times_s, &speeds);
        let mut heights = Onward::new(&heights.0, &heights.1);
        let ratios: Vec<f64> = samples
            .filter_map(|(time_s, value)| {
                let ground = grounds.at(*time_s)?;
                let height_m = heights.at(*time_s).filter(|_| thinned).unwrap_or(0.0);
                let shown = ground * density_ratio(height_m).sqrt();
                (ground > 2.0 * FLYING_MPS && *value > 0.0).then(|| value / shown)
            })
            .collect();
        let count = ratios.len();
        let Some(ratio) = median(ratios).filter(|_| count >= LOOKS_LEAST) else { continue };
        if math::ln(ratio).abs() > 0.45 {
            let ground = match thinned && !heights.is_empty() {
                true => "the speed over the ground, thinned with the air at its height,",
                false => "the speed over the ground",
            };
            let origin = &series.origin;
            let what =
                format!("{origin} is {ratio:.2} times {ground} in the median ({count} samples)");
            let read = draft.speed_units.iter().find(|(name, _)| name == origin);
            let cause = mixed_up(ratio, read.map(|(_, unit)| *unit), &SPEEDS[..3], 0.25);
            suspect(draft, &what, cause);
        }
    }
}

/// Pressure altitudes, else heights of the fixes, m, with their times.
fn heights_over_time(draft: &Draft, fixes: &[Fix]) -> (Vec<f64>, Vec<f64>) {
    let of = |q: Q| draft.series.iter().find(|series| series.quantity == q);
    match of(Q::PressureAltitudeM).or(of(Q::IndicatedAltitudeM)) {
        Some(series) => (series.times_s.clone(), series.values.clone()),
        None => fixes.iter().filter_map(|fix| Some((fix.time_s, fix.height_m?))).unzip(),
    }
}
