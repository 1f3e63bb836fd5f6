//! What is odd in the samples of a recording, whatever its format: clocks that step, positions that stand still while the
//! airplane moves, frozen sensors, units that contradict one another, pressure against geometric height. Each is told with
//! its place; only what is certainly wrong is changed, and told as well.
//!
//! Thresholds are common practice, no source: wide of what happens in flight. Cost: linear in the number of samples.

#![allow(clippy::float_cmp, reason = "a repeated position or value is the same bits again")]

mod clocks;
mod pressure;
mod still;
mod units;

use super::assemble::{Draft, distance_m};
use super::{Fix, NoteKind, QuantityKind as Q, Series};
pub(crate) use clocks::set_back;
pub(crate) use still::drop_stale;

/// Slower than this an airplane may be taxiing, m/s.
const FLYING_MPS: f64 = 15.0;
/// A step of the clock is at least so long, s.
const STEP_LEAST_S: f64 = 2.0;
/// Comparisons are made at so many places of a recording at most.
const LOOKS_MOST: usize = 4000;
/// Fewer comparisons than this decide nothing.
const LOOKS_LEAST: usize = 10;

/// A place in a recording: its time and, where known, its line.
pub(crate) fn place(time_s: f64, line: u64) -> String {
    if line == 0 { format!("{time_s:.1} s") } else { format!("{time_s:.1} s (line {line})") }
}

/// Everything that is told once fixes and series are in order and times are relative. `lines` are those of the fixes.
pub(crate) fn tell(draft: &mut Draft, fixes: &[Fix], lines: &[u64]) {
    clocks::set_forward(draft, fixes, lines);
    still::frozen_stretches(draft, fixes);
    units::ground_speed_unit(draft, fixes);
    units::climb_unit(draft, fixes);
    units::airspeed_units(draft, fixes);
    pressure::pressure_against_height(draft, fixes);
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
    fn is_empty(&self) -> bool {
        self.times_s.is_empty()
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

/// Tells values that contradict others.
pub(crate) fn suspect(draft: &mut Draft, what: &str, cause: Option<String>) {
    let cause = cause.map_or(String::new(), |cause| format!(" ({cause})"));
    draft.note(NoteKind::Odd, format!("{what}: wrong unit suspected{cause}; used as stated"));
}
