//! Rows logged evenly but stamped in whole seconds: near the turn of the second such stamps repeat and skip (11, 11, 13),
//! and differences taken from them are wrong by a factor. The rows are spread evenly within what the stamps allow.

#![allow(clippy::float_cmp, reason = "whole seconds are exact")]

use super::build::Table;
use super::meanings::Meaning;
use crate::normal::assemble::{Draft, distance_m, median};
use crate::normal::{Fix, NoteKind};

/// Fewer repeats or skips than this are single faults, not a clock that is cut to whole seconds.
const PAIRS_LEAST: usize = 3;
/// A step of more seconds than this is a hole in the rows, whatever the clock.
const HOLE_S: f64 = 2.0;
/// Rows looked ahead for the next stamp that binds: bounds the cost to this many looks a row.
const AHEAD_MOST: usize = 1024;

/// Spreads the rows of a clock of whole seconds that repeats and skips about equally often, and tells it. A step of two
/// seconds over which the position moves twice as far is a row missing, and then the stamps are left alone.
pub(crate) fn spread(table: &mut Table, draft: &mut Draft) {
    if table.times_s.iter().any(|time_s| time_s.is_finite() && time_s.fract() != 0.0) {
        return;
    }
    let rows: Vec<usize> =
        (0..table.times_s.len()).filter(|&row| table.times_s[row].is_finite()).collect();
    let stamps: Vec<f64> = rows.iter().map(|&row| table.times_s[row]).collect();
    let stale: Vec<bool> = (0..rows.len()).map(|at| at > 0 && copied(table, &rows, at)).collect();
    let steps = || (1..rows.len()).filter(|&at| !stale[at]).map(|at| stamps[at] - stamps[at - 1]);
    let repeats = steps().filter(|step| *step == 0.0).count();
    let skips = steps().filter(|step| *step == HOLE_S).count();
    let even = repeats.max(skips) * 4 <= repeats.min(skips) * 5;
    let onward = steps().all(|step| step >= 0.0) && median(steps().collect()) == Some(1.0);
    if repeats < PAIRS_LEAST || skips < PAIRS_LEAST || !(even && onward) {
        return;
    }
    if moved_over_skips(table, &rows).is_some_and(|ratio| ratio > 1.5) {
        return;
    }
    let counts = counts(&stamps, &stale);
    let lowest: Vec<f64> = stamps.iter().zip(&counts).map(|(stamp, count)| stamp - count).collect();
    for ((row, offset), count) in rows.iter().zip(straightest(&lowest)).zip(&counts) {
        table.times_s[*row] = count + offset;
    }
    let text = format!(
        "times are whole seconds of which {repeats} repeat and {skips} are skipped: the rows are taken as evenly spaced within those seconds, and all are kept"
    );
    draft.note(NoteKind::Odd, text);
}

/// Whether a row repeats the stamp and the position of the one before.
fn copied(table: &Table, rows: &[usize], at: usize) -> bool {
    let (row, before) = (rows[at], rows[at - 1]);
    let (Some(latitude), Some(longitude)) =
        (table.values(Meaning::Latitude), table.values(Meaning::Longitude))
    else {
        return false;
    };
    table.times_s[row] == table.times_s[before]
        && latitude[row] == latitude[before]
        && longitude[row] == longitude[before]
}

/// How far the position moves over a step of two seconds, in steps of the row after it.
fn moved_over_skips(table: &Table, rows: &[usize]) -> Option<f64> {
    let (latitude, longitude) =
        (table.values(Meaning::Latitude)?, table.values(Meaning::Longitude)?);
    let place = |at: usize| Fix {
        time_s: 0.0,
        latitude_deg: latitude[rows[at]],
        longitude_deg: longitude[rows[at]],
        height_m: None,
        ground_speed_mps: None,
        track_deg: None,
        climb_mps: None,
    };
    let skipped = |at: usize| table.times_s[rows[at]] - table.times_s[rows[at - 1]] == HOLE_S;
    let ratios = (1..rows.len().saturating_sub(1)).filter(|&at| skipped(at)).filter_map(|at| {
        let onward_m = distance_m(&place(at), &place(at + 1));
        (onward_m > 5.0).then(|| distance_m(&place(at - 1), &place(at)) / onward_m)
    });
    median(ratios.collect())
}

/// Rows counted in seconds: one a row, none for a copy, and the whole step over a hole.
fn counts(stamps: &[f64], stale: &[bool]) -> Vec<f64> {
    let mut count = 0.0;
    (0..stamps.len())
        .map(|at| {
            if at > 0 && !stale[at] {
                let step_s = stamps[at] - stamps[at - 1];
                count += if step_s > HOLE_S { step_s } else { 1.0 };
            }
            count
        })
        .collect()
}

/// The straightest path of the offset between rows counted and time: at each row within one second above the lowest the
/// stamp allows. Where one constant offset fits, it is that; where the logger's second is not ours, a slope; always the
/// shortest path between the bounds (the taut string). Linear in practice.
fn straightest(lowest: &[f64]) -> Vec<f64> {
    let mut out = vec![0.0; lowest.len()];
    let mut apex = (0, start(lowest.iter()));
    let end = (lowest.len() - 1, start(lowest.iter().rev()));
    out[0] = apex.1;
    while apex.0 < end.0 {
        let next = bend(lowest, apex, end);
        let slope = (next.1 - apex.1) / (next.0 - apex.0) as f64;
        for (steps, offset) in out[apex.0 + 1..=next.0].iter_mut().enumerate() {
            *offset = apex.1 + slope * (steps + 1) as f64;
        }
        apex = next;
    }
    out
}

/// The middle of what the first rows allow together.
fn start<'a>(lowest: impl Iterator<Item = &'a f64>) -> f64 {
    let (mut low, mut high) = (f64::NEG_INFINITY, f64::INFINITY);
    for bound in lowest {
        if *bound > high || bound + 1.0 < low {
            break;
        }
        (low, high) = (low.max(*bound), high.min(bound + 1.0));
    }
    0.5 * (low + high)
}

/// Where the string from an apex first touches a bound and bends, or the end.
fn bend(lowest: &[f64], apex: (usize, f64), end: (usize, f64)) -> (usize, f64) {
    let (mut low, mut high) = ((f64::NEG_INFINITY, apex), (f64::INFINITY, apex));
    let last = end.0.min(apex.0 + AHEAD_MOST);
    for (at, &lowest) in lowest.iter().enumerate().take(last + 1).skip(apex.0 + 1) {
        let (from, to) = if at == end.0 { (end.1, end.1) } else { (lowest, lowest + 1.0) };
        let steps = (at - apex.0) as f64;
        let (floor, ceiling) = ((from - apex.1) / steps, (to - apex.1) / steps);
        if ceiling < low.0 {
            return low.1;
        }
        if floor > high.0 {
            return high.1;
        }
        if floor >= low.0 {
            low = (floor, (at, from));
        }
        if ceiling <= high.0 {
            high = (ceiling, (at, to));
        }
    }
    if last == end.0 {
        return end;
    }
    // nothing binds: go on level, or as nearly as the bounds allow
    let halfway = apex.0 + AHEAD_MOST / 2;
    (halfway, apex.1 + 0.0_f64.clamp(low.0, high.0) * (halfway - apex.0) as f64)
}
