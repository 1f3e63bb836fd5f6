//! What is odd in the samples of a recording, whatever its format: clocks that step, positions that stand still while the
//! airplane moves, frozen sensors, units that contradict one another, pressure against geometric height. Each is told with
//! its place; only what is certainly wrong is changed, and told as well.
//!
//! Thresholds are common practice, no source: wide of what happens in flight. Cost: linear in the number of samples.

#![allow(clippy::float_cmp, reason = "a repeated position or value is the same bits again")]

use super::assemble::{Draft, counted, distance_m, lines_text, median};
use super::{Fix, HeightDatum, NoteKind, QuantityKind as Q, Series};
use base::factors::{M_PER_FT, MPS_PER_FPM, MPS_PER_KMH, MPS_PER_KT, MPS_PER_MPH, PA_PER_HPA};
use base::math;

/// Slower than this an airplane may be taxiing, m/s.
const FLYING_MPS: f64 = 15.0;
/// Below this a receiver may rightly report the same position twice, m/s.
const MOVING_MPS: f64 = 5.0;
/// A step of the clock is at least so long, s.
const STEP_LEAST_S: f64 = 2.0;
/// More steps back than this are rows out of order, not a clock that was set.
const STEPS_MOST: usize = 5;
/// A position that moved less than this may be the same for its rounding (0.001 minutes are 1.9 m), m.
const ROUNDING_M: f64 = 4.0;
/// A position held for longer is stale at any speed of a moving airplane, s.
const HELD_LONG_S: f64 = 3.0;
/// A frozen stretch has so many samples,
const FROZEN_SAMPLES: usize = 60;
/// is so long, s,
const FROZEN_S: f64 = 20.0;
/// and so many times longer than values usually hold.
const FROZEN_TIMES: usize = 20;
/// Comparisons are made at so many places of a recording at most.
const LOOKS_MOST: usize = 4000;
/// Fewer comparisons than this decide nothing.
const LOOKS_LEAST: usize = 10;

/// A place in a recording: its time and, where known, its line.
pub(crate) fn place(time_s: f64, line: u64) -> String {
    if line == 0 { format!("{time_s:.1} s") } else { format!("{time_s:.1} s (line {line})") }
}

// --- clocks --------------------------------------------------------------------------------------------------------

/// Clocks that were set back during the recording: the part before the step is moved so that time runs on, since the rows
/// themselves run on. Called before anything is sorted.
pub(crate) fn set_back(draft: &mut Draft) {
    let of_fixes = || draft.fixes.iter().map(|(fix, _)| fix.time_s);
    let of_series = || draft.series.first().map_or(&[][..], |series| &series.times_s);
    let sorted =
        if draft.fixes.is_empty() { of_series().is_sorted() } else { of_fixes().is_sorted() };
    if sorted {
        return;
    }
    let times: Vec<f64> =
        if draft.fixes.is_empty() { of_series().to_vec() } else { of_fixes().collect() };
    let usual_s =
        median(times.windows(2).map(|pair| pair[1] - pair[0]).filter(|s| *s > 0.0).collect());
    let Some(usual_s) = usual_s else { return };
    let least_s = STEP_LEAST_S.max(3.0 * usual_s);
    let steps: Vec<usize> =
        (1..times.len()).filter(|&at| times[at] < times[at - 1] - least_s).collect();
    let backward = times.windows(2).filter(|pair| pair[1] < pair[0]).count();
    if steps.is_empty() || steps.len() > STEPS_MOST || backward > steps.len() + STEPS_MOST {
        return;
    }
    if !draft.fixes.is_empty() && !steps.iter().all(|&at| runs_on(&draft.fixes, at, usual_s)) {
        return;
    }
    for &at in steps.iter().rev() {
        let (before, after) = (times[at - 1], times[at]);
        let back_s = before - after;
        let line = draft.fixes.get(at).map_or(0, |(_, line)| *line);
        for (fix, _) in draft.fixes.iter_mut().take(at) {
            fix.time_s -= back_s + usual_s;
        }
        for series in &mut draft.series {
            move_before(series, before, after, usual_s);
        }
        let line = if line == 0 { String::new() } else { format!(" at line {line}") };
        draft.note(
            NoteKind::Odd,
            format!("the clock steps back by {back_s:.1} s{line} while the rows run on: what was recorded before is moved by that"),
        );
    }
}

/// Whether the position runs on over a step of the clock: it moves no further than in a few usual steps, and much less than
/// it would if the time were true.
fn runs_on(fixes: &[(Fix, u64)], at: usize, usual_s: f64) -> bool {
    let (before, after) = (&fixes[at - 1].0, &fixes[at].0);
    let moved_m = distance_m(before, after);
    let speed_mps = before.ground_speed_mps.or_else(|| {
        let earlier = &fixes.get(at.checked_sub(2)?)?.0;
        Some(distance_m(earlier, before) / (before.time_s - earlier.time_s).abs().max(1e-3))
    });
    let speed_mps = speed_mps.filter(|speed| speed.is_finite()).unwrap_or(0.0);
    let true_m = speed_mps * (before.time_s - after.time_s).abs();
    moved_m < 3.0 * speed_mps * usual_s + 50.0 && (speed_mps < FLYING_MPS || moved_m < 0.5 * true_m)
}

/// The same step in a series of the same clock.
fn move_before(series: &mut Series, before_s: f64, after_s: f64, usual_s: f64) {
    let near_s = STEP_LEAST_S.max(3.0 * usual_s);
    let step = (1..series.times_s.len()).find(|&at| {
        let (a, b) = (series.times_s[at - 1], series.times_s[at]);
        b < a && (a - before_s).abs() < near_s && (b - after_s).abs() < near_s
    });
    if let Some(at) = step {
        let back_s = before_s - after_s + usual_s;
        series.times_s[..at].iter_mut().for_each(|time_s| *time_s -= back_s);
    }
}

/// Clocks that were set forward: a hole in time that the position does not show. Only told, since a hole may be a hole.
fn set_forward(draft: &mut Draft, fixes: &[Fix], lines: &[u64]) {
    let steps = || fixes.windows(2).map(|pair| pair[1].time_s - pair[0].time_s);
    if steps().all(|step_s| step_s < 5.0 * STEP_LEAST_S) {
        return;
    }
    let Some(usual_s) = median(steps().collect()) else { return };
    for at in 2..fixes.len().saturating_sub(1) {
        let (before, after) = (&fixes[at - 1], &fixes[at]);
        let hole_s = after.time_s - before.time_s;
        if hole_s < 5.0 * STEP_LEAST_S.max(usual_s) {
            continue;
        }
        let speed = |a: &Fix, b: &Fix| distance_m(a, b) / (b.time_s - a.time_s);
        let speeds = [speed(&fixes[at - 2], before), speed(after, &fixes[at + 1])];
        let slower = speeds[0].min(speeds[1]);
        let moved_m = distance_m(before, after);
        if slower > FLYING_MPS
            && moved_m < 3.0 * slower * usual_s
            && moved_m < 0.1 * slower * hole_s
        {
            let text = format!(
                "the clock steps forward by {hole_s:.1} s at {} while the position moves {moved_m:.0} m only: it was set, or the airplane came back to the same place",
                place(before.time_s, lines[at - 1])
            );
            draft.note(NoteKind::Odd, text);
        }
    }
}

// --- positions that stand still -------------------------------------------------------------------------------------

/// Positions repeated while the airplane moves are stale: the first is kept, for its time is the best known. Fixes are in
/// order of time.
pub(crate) fn drop_stale(draft: &mut Draft) {
    let fixes = &draft.fixes;
    let same = |a: usize, b: usize| {
        let (a, b) = (&fixes[a].0, &fixes[b].0);
        a.latitude_deg == b.latitude_deg && a.longitude_deg == b.longitude_deg
    };
    let mut stale = vec![false; fixes.len()];
    let mut longest: Option<(usize, f64)> = None;
    let mut first = 0;
    while first < fixes.len() {
        let mut last = first;
        while last + 1 < fixes.len() && same(first, last + 1) {
            last += 1;
        }
        if last > first && moves(fixes, first, last) {
            stale[first + 1..=last].iter_mut().for_each(|stale| *stale = true);
            let held_s = fixes[last].0.time_s - fixes[first].0.time_s;
            if longest.is_none_or(|(_, most_s)| held_s > most_s) {
                longest = Some((first, held_s));
            }
        }
        first = last + 1;
    }
    let lines: Vec<u64> =
        stale.iter().zip(fixes).filter(|(stale, _)| **stale).map(|(_, (_, line))| *line).collect();
    let Some((at, held_s)) = longest else { return };
    let text = format!(
        "{} left out: the position stands still while the airplane moves, for {held_s:.1} s at most, from line {}; {}",
        counted(lines.len(), "stale fix", "stale fixes"),
        fixes[at].1,
        lines_text(&lines)
    );
    let mut keep = stale.iter().map(|stale| !stale);
    draft.fixes.retain(|_| keep.next().unwrap_or(true));
    draft.note(NoteKind::LeftOut, text);
}

/// Whether the airplane moves while the position from `first` to `last` is the same: by the speed recorded, else by how far
/// away the next position is.
fn moves(fixes: &[(Fix, u64)], first: usize, last: usize) -> bool {
    let held_s = fixes[last].0.time_s - fixes[first].0.time_s;
    let said = fixes[first..=last].iter().filter_map(|(fix, _)| fix.ground_speed_mps);
    if let Some(speed_mps) = median(said.collect()) {
        // on the ground a single repeated position does no harm
        let fast = speed_mps > FLYING_MPS || (speed_mps > MOVING_MPS && held_s > HELD_LONG_S);
        return fast && speed_mps * held_s > ROUNDING_M;
    }
    let Some((next, _)) = fixes.get(last + 1) else { return false };
    let ahead_m = distance_m(&fixes[first].0, next);
    let speed_mps = ahead_m / (next.time_s - fixes[first].0.time_s);
    let came = first.checked_sub(1).map(|before| {
        distance_m(&fixes[before].0, &fixes[first].0)
            / (fixes[first].0.time_s - fixes[before].0.time_s)
    });
    speed_mps > 2.0 * MOVING_MPS
        && ahead_m > 5.0 * ROUNDING_M
        && came.is_none_or(|speed| speed > MOVING_MPS)
}

// --- after times are relative ----------------------------------------------------------------------------------------

/// Everything that is told once fixes and series are in order and times are relative. `lines` are those of the fixes.
pub(crate) fn tell(draft: &mut Draft, fixes: &[Fix], lines: &[u64]) {
    set_forward(draft, fixes, lines);
    frozen_stretches(draft, fixes);
    ground_speed_unit(draft, fixes);
    climb_unit(draft, fixes);
    airspeed_units(draft, fixes);
    pressure_against_height(draft, fixes);
}

/// Whether a value of this quantity never holds to the last digit in flight for long: temperatures, engine speeds, winds and
/// accuracies do.
const fn lively(quantity: Q) -> bool {
    matches!(
        quantity,
        Q::IndicatedAirspeedMps
            | Q::CalibratedAirspeedMps
            | Q::TrueAirspeedMps
            | Q::PressureAltitudeM
            | Q::BankDeg
            | Q::PitchDeg
            | Q::MagneticHeadingDeg
            | Q::TrueHeadingDeg
            | Q::VerticalSpeedMps
            | Q::NormalLoadG
            | Q::LateralLoadG
            | Q::LongitudinalLoadG
            | Q::RollRateRadps
            | Q::PitchRateRadps
            | Q::YawRateRadps
            | Q::DeviceForceXMps2
            | Q::DeviceForceYMps2
            | Q::DeviceForceZMps2
            | Q::DeviceRateXRadps
            | Q::DeviceRateYRadps
            | Q::DeviceRateZRadps
    )
}

fn frozen_stretches(draft: &mut Draft, fixes: &[Fix]) {
    let mut speed = None;
    let mut notes = Vec::new();
    for series in draft.series.iter().filter(|series| lively(series.quantity)) {
        let Some((first, last)) = longest_frozen(series) else { continue };
        let speed = speed.get_or_insert_with(|| speed_over_time(fixes, &draft.series));
        let (from_s, to_s) = (series.times_s[first], series.times_s[last]);
        let flying = match speed {
            Some((times_s, values)) => {
                at(times_s, values, f64::midpoint(from_s, to_s)).is_some_and(|v| v > FLYING_MPS)
            }
            None => true,
        };
        let value = series.values[first];
        if flying {
            notes.push(format!(
                "{} holds {value:.3} for {:.1} s from {from_s:.1} s ({}): a frozen sensor?",
                series.origin,
                to_s - from_s,
                counted(last - first + 1, "sample", "samples")
            ));
        }
    }
    for text in notes {
        draft.note(NoteKind::Odd, text);
    }
}

/// The longest stretch of one value, when it is far longer than values usually hold and not the whole series.
fn longest_frozen(series: &Series) -> Option<(usize, usize)> {
    let (mut held, mut most) = (1, 1);
    for pair in series.values.windows(2) {
        held = if pair[0] == pair[1] { held + 1 } else { 1 };
        most = most.max(held);
    }
    if most < FROZEN_SAMPLES {
        return None;
    }
    let mut runs: Vec<(usize, usize)> = Vec::new();
    let mut first = 0;
    for at in 1..=series.values.len() {
        if at == series.values.len() || series.values[at] != series.values[first] {
            runs.push((at - first, first));
            first = at;
        }
    }
    let (length, first) = *runs.iter().max_by_key(|run| run.0)?;
    let last = first + length - 1;
    if length < FROZEN_SAMPLES
        || length == series.values.len()
        || series.times_s[last] - series.times_s[first] < FROZEN_S
    {
        return None;
    }
    // how long the value of a middle sample outside the stretch holds
    let mut lengths: Vec<usize> =
        runs.iter().filter(|run| run.1 != first).map(|run| run.0).collect();
    lengths.sort_unstable();
    let half = (series.values.len() - length) / 2;
    let mut sum = 0;
    let usual = lengths.iter().find(|length| {
        sum += **length;
        sum > half
    })?;
    (length >= FROZEN_TIMES * usual).then_some((first, last))
}

/// Speeds by the best source there is, m/s, with their times.
fn speed_over_time(fixes: &[Fix], series: &[Series]) -> Option<(Vec<f64>, Vec<f64>)> {
    let said: (Vec<f64>, Vec<f64>) =
        fixes.iter().filter_map(|fix| Some((fix.time_s, fix.ground_speed_mps?))).unzip();
    if !said.0.is_empty() {
        return Some(said);
    }
    if fixes.len() > 2 {
        let moved = fixes.windows(2).map(|pair| {
            (pair[1].time_s, distance_m(&pair[0], &pair[1]) / (pair[1].time_s - pair[0].time_s))
        });
        return Some(moved.unzip());
    }
    let airspeeds = [Q::TrueAirspeedMps, Q::CalibratedAirspeedMps, Q::IndicatedAirspeedMps];
    let found = airspeeds.iter().find_map(|q| series.iter().find(|s| s.quantity == *q))?;
    Some((found.times_s.clone(), found.values.clone()))
}

/// The value at a time, linear between samples no more than ten seconds apart; none outside.
pub(crate) fn at(times_s: &[f64], values: &[f64], time_s: f64) -> Option<f64> {
    between(times_s, values, time_s, times_s.partition_point(|t| *t < time_s))
}

/// The same for times asked for in rising order: the place is found from the one before.
struct Onward<'a> {
    times_s: &'a [f64],
    values: &'a [f64],
    after: usize,
}

impl<'a> Onward<'a> {
    fn new(times_s: &'a [f64], values: &'a [f64]) -> Self {
        Self { times_s, values, after: 0 }
    }
    fn at(&mut self, time_s: f64) -> Option<f64> {
        while self.times_s.get(self.after).is_some_and(|t| *t < time_s) {
            self.after += 1;
        }
        between(self.times_s, self.values, time_s, self.after)
    }
}

/// As [`at`]; `after` counts the samples before the time.
fn between(times_s: &[f64], values: &[f64], time_s: f64, after: usize) -> Option<f64> {
    if times_s.get(after) == Some(&time_s) {
        return values.get(after).copied();
    }
    let before = after.checked_sub(1)?;
    let (a, b) = (times_s[before], *times_s.get(after)?);
    let share = (time_s - a) / (b - a);
    (b - a <= 10.0).then(|| values[before] + share * (values[after] - values[before]))
}

// --- units that contradict one another -------------------------------------------------------------------------------

/// Units a speed may have been written in, and what one of each is in m/s.
const SPEEDS: [(&str, f64); 5] = [
    ("m/s", 1.0),
    ("kt", MPS_PER_KT),
    ("km/h", MPS_PER_KMH),
    ("mph", MPS_PER_MPH),
    ("ft/s", M_PER_FT),
];

/// What mix-up of units makes values so many times too large, within `near` of it (natural logarithm).
fn mixed_up(ratio: f64, units: &[(&str, f64)], near: f64) -> Option<String> {
    let pairs = units.iter().flat_map(|read| units.iter().map(move |truth| (read, truth)));
    pairs
        .filter(|(read, truth)| read.0 != truth.0)
        .map(|(read, truth)| (math::ln(ratio * truth.1 / read.1).abs(), read.0, truth.0))
        .filter(|(miss, ..)| *miss < near)
        .min_by(|a, b| a.0.total_cmp(&b.0))
        .map(|(_, read, truth)| format!("{truth} read as {read} would do that"))
}

fn suspect(draft: &mut Draft, what: &str, cause: Option<String>) {
    let cause = cause.map_or(String::new(), |cause| format!(" ({cause})"));
    draft.note(NoteKind::Odd, format!("{what}: wrong unit suspected{cause}; used as stated"));
}

fn ground_speed_unit(draft: &mut Draft, fixes: &[Fix]) {
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
    let what = format!(
        "{} is {ratio:.2} times what the positions move at ({count} steps)",
        draft.speed_origin.as_deref().unwrap_or("the ground speed")
    );
    suspect(draft, &what, mixed_up(ratio, &SPEEDS, 0.06));
}

/// Heights that change at another rate than the vertical speed beside them says.
fn climb_unit(draft: &mut Draft, fixes: &[Fix]) {
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

/// Airspeeds far from the speed over the ground: wind and height explain up to a half or so.
fn airspeed_units(draft: &mut Draft, fixes: &[Fix]) {
    let airspeeds = [Q::IndicatedAirspeedMps, Q::CalibratedAirspeedMps, Q::TrueAirspeedMps];
    if !draft.series.iter().any(|series| airspeeds.contains(&series.quantity)) {
        return;
    }
    let Some((times_s, speeds)) = speed_over_time(fixes, &[]) else { return };
    for quantity in airspeeds {
        let Some(series) = draft.series.iter().find(|series| series.quantity == quantity) else {
            continue;
        };
        let step = series.values.len().div_ceil(LOOKS_MOST).max(1);
        let samples = series.times_s.iter().zip(&series.values).step_by(step);
        let mut grounds = Onward::new(&times_s, &speeds);
        let ratios: Vec<f64> = samples
            .filter_map(|(time_s, value)| {
                let ground = grounds.at(*time_s)?;
                (ground > 2.0 * FLYING_MPS && *value > 0.0).then(|| value / ground)
            })
            .collect();
        let count = ratios.len();
        let Some(ratio) = median(ratios).filter(|_| count >= LOOKS_LEAST) else { continue };
        if math::ln(ratio).abs() > 0.45 {
            let what = format!(
                "{} is {ratio:.2} times the speed over the ground in the median ({count} samples)",
                series.origin
            );
            suspect(draft, &what, mixed_up(ratio, &SPEEDS[..3], 0.25));
        }
    }
}

// --- pressure against geometric height --------------------------------------------------------------------------------

/// Sea-level pressure of the standard atmosphere, Pa. Source: DOC-7488, as the next two.
const STANDARD_PRESSURE_PA: f64 = 101_325.0;
/// Temperature over lapse rate at sea level, m.
const STANDARD_SCALE_M: f64 = 288.15 / 0.0065;
/// Gravity over gas constant and lapse rate.
const STANDARD_EXPONENT: f64 = 5.255_88;
/// An altimeter setting beyond these is none of this earth, Pa.
const SETTINGS_PA: std::ops::RangeInclusive<f64> = 92_000.0..=106_000.0;

/// Pressure altitude of a pressure, m.
fn pressure_altitude_m(pressure_pa: f64) -> f64 {
    STANDARD_SCALE_M
        * (1.0 - math::pow(pressure_pa / STANDARD_PRESSURE_PA, 1.0 / STANDARD_EXPONENT))
}

/// The altimeter setting on which a pressure altitude reads as much more as the offset, Pa.
fn setting_pa(offset_m: f64) -> f64 {
    STANDARD_PRESSURE_PA
        * math::pow((1.0 + offset_m / STANDARD_SCALE_M).max(0.0), STANDARD_EXPONENT)
}

fn pressure_against_height(draft: &mut Draft, fixes: &[Fix]) {
    if draft.height_datum == HeightDatum::Pressure {
        return;
    }
    let of = |q: Q| draft.series.iter().find(|series| series.quantity == q);
    let Some(series) = of(Q::PressureAltitudeM).or(of(Q::StaticPressurePa)) else { return };
    let is_pressure = series.quantity == Q::StaticPressurePa;
    let step = fixes.len().div_ceil(LOOKS_MOST).max(1);
    let mut pressures = Onward::new(&series.times_s, &series.values);
    let both: Vec<(f64, f64)> = fixes
        .iter()
        .step_by(step)
        .filter_map(|fix| {
            let value = pressures.at(fix.time_s)?;
            Some((if is_pressure { pressure_altitude_m(value) } else { value }, fix.height_m?))
        })
        .collect();
    let offsets: Vec<f64> =
        both.iter().map(|(pressure_m, height_m)| height_m - pressure_m).collect();
    let Some(offset_m) = median(offsets.clone()).filter(|_| both.len() >= LOOKS_LEAST) else {
        return;
    };
    let spread_m = median(offsets.iter().map(|offset| (offset - offset_m).abs()).collect());
    let origin = series.origin.clone();
    let name = if is_pressure {
        format!("the pressure altitude by {origin}")
    } else {
        format!("the pressure altitude ({origin})")
    };
    let slope = slope(&both);
    if let Some(slope) = slope.filter(|slope| math::ln(*slope).abs() > 0.25) {
        let what =
            format!("the height of the fixes changes by {slope:.2} m for each meter of {name}");
        let feet = math::ln(slope * M_PER_FT).abs().min(math::ln(slope / M_PER_FT).abs()) < 0.2;
        let cause = feet.then(|| "one of the two in feet, taken for meters".to_owned());
        suspect(draft, &what, cause);
        return;
    }
    let setting = setting_pa(offset_m);
    let words = format!(
        "the height of the fixes is {:.0} m {} {name} in the median (half of it within {:.0} m)",
        offset_m.abs(),
        if offset_m < 0.0 { "below" } else { "above" },
        spread_m.unwrap_or(0.0)
    );
    if SETTINGS_PA.contains(&setting) {
        let datum = match draft.height_datum {
            HeightDatum::Ellipsoid => ", if the geoid lay on the ellipsoid",
            HeightDatum::NotStated | HeightDatum::MeanSeaLevel | HeightDatum::Pressure => "",
        };
        let setting_hpa = setting / PA_PER_HPA;
        draft.note(
            NoteKind::Found,
            format!(
                "{words}: an altimeter setting of {setting_hpa:.0} hPa would explain it{datum}"
            ),
        );
    } else {
        draft.note(
            NoteKind::Odd,
            format!("{words}: no altimeter setting explains that; one of the two is wrong"),
        );
    }
}

/// Slope of height on pressure altitude, when both change enough to tell.
fn slope(both: &[(f64, f64)]) -> Option<f64> {
    let count = both.len() as f64;
    let mean = |get: fn(&(f64, f64)) -> f64| both.iter().map(get).sum::<f64>() / count;
    let (mx, my) = (mean(|p| p.0), mean(|p| p.1));
    let sum = |product: &dyn Fn(f64, f64) -> f64| {
        both.iter().map(|p| product(p.0 - mx, p.1 - my)).sum::<f64>()
    };
    let (xx, xy, yy) = (sum(&|x, _| x * x), sum(&|x, y| x * y), sum(&|_, y| y * y));
    let spread_m = (xx / count).sqrt().min((yy / count).sqrt());
    (spread_m > 30.0 && xy > 0.0 && xy * xy > 0.8 * xx * yy).then(|| xy / xx)
}
