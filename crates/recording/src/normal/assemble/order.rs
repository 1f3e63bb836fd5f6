//! Clocks: samples days away from the rest, order in time, repeated times, time zero.

use super::{Draft, TIME_MOST_S, counted, lines_text, median, relative_s};
use crate::normal::{Fix, Note, NoteKind};

/// A clock this far from the rest of the file is a fault of the recorder, s.
const CLOCK_FAULT_S: f64 = 2.0 * 86_400.0;
/// Times nearer than this are the same: nothing is left between them once times are rounded to the microsecond, s.
const APART_S: f64 = 1.5e-6;

impl Draft {
    /// Samples days away from the middle of the recording have a wrong clock, not a wrong order.
    pub(super) fn drop_clock_faults(&mut self) {
        let of_fixes = || self.fixes.iter().map(|(fix, _)| fix.time_s);
        let middle_s = (spread_s(of_fixes()) > CLOCK_FAULT_S).then(|| median(of_fixes().collect()));
        if let Some(middle_s) = middle_s.flatten() {
            let wrong = |fix: &Fix| (fix.time_s - middle_s).abs() > CLOCK_FAULT_S;
            let lines: Vec<u64> =
                self.fixes.iter().filter(|(fix, _)| wrong(fix)).map(|(_, line)| *line).collect();
            if !lines.is_empty() {
                self.fixes.retain(|(fix, _)| !wrong(fix));
                let text = format!(
                    "{} with a clock days away from the rest left out, {}",
                    counted(lines.len(), "fix", "fixes"),
                    lines_text(&lines)
                );
                self.note(NoteKind::LeftOut, text);
            }
        }
        let mut notes = Vec::new();
        for series in &mut self.series {
            let possible = series.times_s.iter().all(|time_s| time_s.abs() <= TIME_MOST_S);
            if possible && spread_s(series.times_s.iter().copied()) <= CLOCK_FAULT_S {
                continue;
            }
            let mut known = series.times_s.clone();
            known.retain(|time_s| time_s.abs() <= TIME_MOST_S);
            let middle_s = median(known).unwrap_or(f64::NAN);
            if series.times_s.iter().all(|time_s| (time_s - middle_s).abs() <= CLOCK_FAULT_S) {
                continue;
            }
            let before = series.times_s.len();
            let pairs = series.times_s.iter().copied().zip(series.values.iter().copied());
            let kept = pairs.filter(|(time_s, _)| (time_s - middle_s).abs() <= CLOCK_FAULT_S);
            (series.times_s, series.values) = kept.unzip();
            let text = format!(
                "{} of {} with a clock days away from the rest left out",
                counted(before - series.times_s.len(), "sample", "samples"),
                series.origin
            );
            notes.push(Note { kind: NoteKind::LeftOut, text });
        }
        self.notes.append(&mut notes);
    }

    /// Returns whether they had to be sorted and how many repeated a time.
    pub(super) fn order_fixes(&mut self) -> (bool, usize) {
        if self.fixes.windows(2).all(|pair| pair[1].0.time_s - pair[0].0.time_s >= APART_S) {
            return (false, 0);
        }
        let backward =
            self.fixes.windows(2).filter(|pair| pair[1].0.time_s < pair[0].0.time_s).count();
        if backward > 0 {
            let first = self.fixes.windows(2).find(|pair| pair[1].0.time_s < pair[0].0.time_s);
            let line = first.map_or(0, |pair| pair[1].1);
            let text = if backward * 2 > self.fixes.len() {
                "rows run backwards in time (newest first): turned around".to_owned()
            } else {
                let times = counted(backward, "time", "times");
                format!("time steps back {times}, first at line {line}: sorted by time")
            };
            self.note(NoteKind::Odd, text);
            self.fixes.sort_by(|a, b| a.0.time_s.total_cmp(&b.0.time_s));
        }
        let before = self.fixes.len();
        let mut first = 0;
        self.fixes.dedup_by(|later, earlier| {
            let same = later.0.time_s - earlier.0.time_s < APART_S;
            if same && first == 0 {
                first = later.1;
            }
            same
        });
        let doubles = before - self.fixes.len();
        if doubles > 0 {
            let text = format!(
                "{} left out for repeating the time of the one before, first at line {first}",
                counted(doubles, "fix", "fixes")
            );
            self.note(NoteKind::LeftOut, text);
        }
        (backward > 0, doubles)
    }

    /// `told` has what fixes and other series of the same rows have told: it is not told again.
    pub(super) fn order_series(&mut self, index: usize, told: &mut Vec<(bool, usize)>) {
        let series = &mut self.series[index];
        if series.times_s.windows(2).all(|pair| pair[1] - pair[0] >= APART_S) {
            return;
        }
        let mut pairs: Vec<(f64, f64)> =
            series.times_s.iter().copied().zip(series.values.iter().copied()).collect();
        let before = pairs.len();
        let sorted = pairs.is_sorted_by(|a, b| a.0 <= b.0);
        pairs.sort_by(|a, b| a.0.total_cmp(&b.0));
        pairs.dedup_by(|later, earlier| later.0 - earlier.0 < APART_S);
        let doubles = before - pairs.len();
        (series.times_s, series.values) = pairs.into_iter().unzip();
        if !told.iter().any(|(order, count)| (*order || sorted) && *count >= doubles) {
            told.push((!sorted, doubles));
            let origin = &series.origin;
            let order = if sorted { "" } else { "sorted by time, " };
            let doubles = counted(doubles, "sample that repeats", "samples that repeat");
            let text = format!("{origin}: {order}{doubles} a time left out");
            self.note(NoteKind::Odd, text);
        }
    }

    /// The first time of all.
    pub(super) fn zero_s(&self) -> f64 {
        let of_series = self.series.iter().filter_map(|series| series.times_s.first().copied());
        let of_fixes = self.fixes.first().map(|(fix, _)| fix.time_s);
        of_series.chain(of_fixes).fold(f64::INFINITY, f64::min)
    }

    /// Makes times count from the first sample. Series of one table have the same times: they are computed once.
    pub(super) fn rebase_series(&mut self, zero_s: f64) {
        let mut known: Option<(Vec<f64>, usize)> = None;
        for index in 0..self.series.len() {
            let (done, rest) = self.series.split_at_mut(index);
            let Some((series, others)) = rest.split_first_mut() else { break };
            let times_s = &mut series.times_s;
            match &known {
                Some((raw_s, at)) if raw_s == times_s => {
                    times_s.copy_from_slice(&done[*at].times_s);
                }
                _ => {
                    if !others.is_empty() {
                        known = Some((times_s.clone(), index));
                    }
                    times_s.iter_mut().for_each(|time_s| *time_s = relative_s(*time_s, zero_s));
                }
            }
        }
    }
}

/// Latest less earliest; 0 of nothing.
fn spread_s(times_s: impl Iterator<Item = f64>) -> f64 {
    let (least, most) = times_s
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(least, most), time_s| {
            (least.min(time_s), most.max(time_s))
        });
    (most - least).max(0.0)
}
