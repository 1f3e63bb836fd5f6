//! Values that stand still while the airplane moves: stale positions, frozen sensors.

#![allow(clippy::float_cmp, reason = "a repeated position or value is the same bits again")]

use super::{FLYING_MPS, at, speed_over_time};
use crate::normal::assemble::{Draft, counted, distance_m, lines_text, median};
use crate::normal::{Fix, NoteKind, QuantityKind as Q, Series};

/// Below this a receiver may rightly report the same position twice, m/s.
const MOVING_MPS: f64 = 5.0;
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

pub(super) fn frozen_stretches(draft: &mut Draft, fixes: &[Fix]) {
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
