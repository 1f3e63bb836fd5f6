//! From what a reader found to the normal form: order in time, doubles, gaps, jumps and implausible values, the same
//! for every format. Nothing is repaired in silence: each change and each oddity is a note.
//!
//! Cost: linear in the number of samples when they are in order, n log n when they have to be sorted.

#![allow(clippy::float_cmp, reason = "a repeated time or frozen value is the same bits again")]

use crate::error::{Place, ReadError};
use crate::normal::{
    CLIMB_PLAUSIBLE_MPS, Fix, GROUND_SPEED_PLAUSIBLE_MPS, Gap, HEIGHT_PLAUSIBLE_M, HeightDatum,
    Note, NoteKind, QuantityKind, Recording, Series,
};
use crate::normal::{device, heights, oddities};
use base::factors::RAD_PER_DEG;
use base::math;
use base::time::UtcInstant;

/// A clock this far from the rest of the file is a fault of the recorder, s.
const CLOCK_FAULT_S: f64 = 2.0 * 86_400.0;
/// Times beyond this are none, on whatever clock, s: some three thousand years.
const TIME_MOST_S: f64 = 1e11;
/// A hole is longer than so many usual steps.
const GAP_STEPS: f64 = 3.0;
/// And at least so long, s.
const GAP_LEAST_S: f64 = 2.0;
/// Faster than any airplane these lessons are flown in, m/s: positions further apart have jumped.
const JUMP_SPEED_MPS: f64 = 350.0;
/// As many fixes elsewhere in a row are a real change of place (two flights in one file, a recorder carried on), not a slip.
pub(crate) const ELSEWHERE_FIXES: usize = 10;
/// Fewer equal samples than this say nothing about a frozen sensor.
const FROZEN_SAMPLES: usize = 60;
/// Directions; written beyond a full turn by some.
const TRACK_PLAUSIBLE_DEG: std::ops::RangeInclusive<f64> = -720.0..=720.0;
/// Times nearer than this are the same: nothing is left between them once times are rounded to the microsecond, s.
const APART_S: f64 = 1.5e-6;
/// Mean radius of the earth, m: plenty for step lengths.
const EARTH_RADIUS_M: f64 = 6_371_000.0;

/// What a reader collects before times are made relative.
#[derive(Debug)]
pub(crate) struct Draft {
    /// Key of the format.
    pub(crate) format: &'static str,
    /// Name of the file.
    pub(crate) name: String,
    /// Whether times are seconds since 1970 in UTC; else they count from an unknown moment.
    pub(crate) epoch: bool,
    /// Fixes with the line each comes from, times as read.
    pub(crate) fixes: Vec<(Fix, u64)>,
    /// Datum of the heights of the fixes.
    pub(crate) height_datum: HeightDatum,
    /// Series, times as read.
    pub(crate) series: Vec<Series>,
    /// Notes so far.
    pub(crate) notes: Vec<Note>,
    /// Times of fixes that begin a new piece by the file's own word (segment borders), as read.
    pub(crate) breaks: Vec<f64>,
    /// What the ground speed is called in the file and its unit there, for messages.
    pub(crate) speed_origin: Option<String>,
    /// Whether the user said which way the accelerations of a device count.
    pub(crate) force_sign_stated: bool,
}

impl Draft {
    /// An empty draft.
    pub(crate) fn new(format: &'static str, name: &str) -> Self {
        Self {
            format,
            name: name.to_owned(),
            epoch: false,
            fixes: Vec::new(),
            height_datum: HeightDatum::NotStated,
            series: Vec::new(),
            notes: Vec::new(),
            breaks: Vec::new(),
            speed_origin: None,
            force_sign_stated: false,
        }
    }
    /// Adds a note.
    pub(crate) fn note(&mut self, kind: NoteKind, text: impl Into<String>) {
        self.notes.push(Note { kind, text: text.into() });
    }
    /// Orders, cleans and measures; see the module.
    ///
    /// # Errors
    /// Malformed when nothing is left that could have been flown.
    pub(crate) fn finish(self) -> Result<Recording, ReadError> {
        Ok(self.finish_telling()?.0)
    }

    /// As [`Self::finish`], and whether the accelerations of a device were turned around.
    ///
    /// # Errors
    /// As [`Self::finish`].
    pub(crate) fn finish_telling(mut self) -> Result<(Recording, bool), ReadError> {
        self.clean_fixes();
        self.drop_clock_faults();
        oddities::set_back(&mut self);
        let mut told = vec![self.order_fixes()];
        self.drop_jumps();
        oddities::drop_stale(&mut self);
        for index in 0..self.series.len() {
            self.order_series(index, &mut told);
        }
        self.drop_frozen();
        let zero_s = self.zero_s();
        self.rebase_series(zero_s);
        self.drop_implausible_samples();
        heights::drop_jumps(&mut self);
        let mut lines = Vec::with_capacity(self.fixes.len());
        // in the same memory
        let fixes: Vec<Fix> = std::mem::take(&mut self.fixes)
            .into_iter()
            .map(|(fix, line)| {
                lines.push(line);
                Fix { time_s: relative_s(fix.time_s, zero_s), ..fix }
            })
            .collect();
        let gaps = self.find_gaps(&fixes, &lines, zero_s);
        self.find_jumps(&fixes, &lines);
        let turned = !self.force_sign_stated && device::settle_sign(&mut self, &fixes);
        oddities::tell(&mut self, &fixes, &lines);
        if fixes.is_empty() && self.series.is_empty() {
            return Err(self.nothing_left());
        }
        let start = (self.epoch && zero_s.is_finite())
            .then(|| UtcInstant::from_unix_microseconds((zero_s * 1e6).round() as i64));
        let recording = Recording {
            format: self.format,
            name: self.name,
            start,
            fixes,
            height_datum: self.height_datum,
            series: self.series,
            gaps,
            notes: self.notes,
        };
        Ok((recording, turned))
    }

    fn nothing_left(&self) -> ReadError {
        let why = self.notes.iter().find(|note| note.kind == NoteKind::LeftOut);
        let why = why.map_or(String::new(), |note| format!(": {}", note.text));
        ReadError::Malformed {
            format: self.format,
            what: format!("no sample is left that an airplane can give{why}"),
            place: Place::default(),
            hint: "check that the right file was chosen and that its columns and units are what they are called".into(),
        }
    }

    /// Positions that cannot be are left out; heights, speeds and climbs that no airplane has become absent.
    fn clean_fixes(&mut self) {
        let mut nowhere: Vec<u64> = Vec::new();
        let mut blanked: [Vec<u64>; 4] = Default::default();
        self.fixes.retain_mut(|(fix, line)| {
            let here = placed(fix);
            if !here {
                nowhere.push(*line);
                return false;
            }
            let members = [
                (&mut fix.height_m, &HEIGHT_PLAUSIBLE_M),
                (&mut fix.ground_speed_mps, &GROUND_SPEED_PLAUSIBLE_MPS),
                (&mut fix.climb_mps, &CLIMB_PLAUSIBLE_MPS),
                (&mut fix.track_deg, &TRACK_PLAUSIBLE_DEG),
            ];
            for ((member, plausible), lines) in members.into_iter().zip(&mut blanked) {
                if member.is_some_and(|value| !plausible.contains(&value)) {
                    *member = None;
                    lines.push(*line);
                }
            }
            if let Some(track_deg) = &mut fix.track_deg {
                *track_deg = within_turn_deg(*track_deg);
            }
            true
        });
        self.tell_cleaned(&nowhere, &blanked);
    }

    fn tell_cleaned(&mut self, nowhere: &[u64], blanked: &[Vec<u64>; 4]) {
        if !nowhere.is_empty() {
            let text = format!(
                "{} that cannot be (beyond 90 or 180 degrees, not a number, or exactly 0,0) left out, {}",
                counted(nowhere.len(), "position", "positions"),
                lines_text(nowhere)
            );
            self.note(NoteKind::LeftOut, text);
        }
        let names = [
            ("height", HEIGHT_PLAUSIBLE_M, "m"),
            ("ground speed", GROUND_SPEED_PLAUSIBLE_MPS, "m/s"),
            ("climb", CLIMB_PLAUSIBLE_MPS, "m/s"),
            ("track", TRACK_PLAUSIBLE_DEG, "deg"),
        ];
        for ((name, plausible, unit), lines) in names.iter().zip(blanked) {
            if !lines.is_empty() {
                let text = format!(
                    "{} that cannot be (outside {} to {} {unit}) left out, {}",
                    counted(lines.len(), name, &format!("{name}s")),
                    plausible.start(),
                    plausible.end(),
                    lines_text(lines)
                );
                self.note(NoteKind::LeftOut, text);
            }
        }
    }

    /// Samples that no airplane gives, after times have been made relative.
    fn drop_implausible_samples(&mut self) {
        let mut notes = Vec::new();
        for series in &mut self.series {
            let plausible = series.quantity.plausible();
            let Some(first) = series.values.iter().position(|value| !plausible.contains(value))
            else {
                continue;
            };
            let before = series.values.len();
            let first_s = series.times_s[first];
            let pairs = series.times_s.iter().copied().zip(series.values.iter().copied());
            (series.times_s, series.values) =
                pairs.filter(|(_, value)| plausible.contains(value)).unzip();
            let text = format!(
                "{} of {} that cannot be left out, first at {first_s:.1} s",
                counted(before - series.values.len(), "sample", "samples"),
                series.origin
            );
            notes.push(Note { kind: NoteKind::LeftOut, text });
        }
        self.series.retain(|series| !series.values.is_empty());
        self.notes.append(&mut notes);
    }

    /// Fixes that jump away and back are slips of the receiver and are left out; a change of place that lasts stays and is
    /// told by [`Self::find_jumps`]. Linear time.
    fn drop_jumps(&mut self) {
        let reachable = |a: &Fix, b: &Fix| within(a, b, (b.time_s - a.time_s).max(1.0));
        if self.fixes.windows(2).all(|pair| reachable(&pair[0].0, &pair[1].0)) {
            return;
        }
        let mut keep = vec![true; self.fixes.len()];
        let mut last: Option<usize> = None;
        let mut away: Vec<usize> = Vec::new();
        for index in 0..self.fixes.len() {
            let fix = &self.fixes[index].0;
            let Some(known) = last else {
                last = Some(index);
                continue;
            };
            if reachable(&self.fixes[known].0, fix) {
                for slip in away.drain(..) {
                    keep[slip] = false;
                }
                last = Some(index);
                continue;
            }
            if away.last().is_some_and(|&before| !reachable(&self.fixes[before].0, fix)) {
                for slip in away.drain(..) {
                    keep[slip] = false;
                }
            }
            away.push(index);
            if away.len() >= ELSEWHERE_FIXES {
                away.clear();
                last = Some(index);
            }
        }
        // Too few at the end to tell a slip from a new place: a slip, for nothing is lost that could be measured.
        for slip in away {
            keep[slip] = false;
        }
        let lines: Vec<u64> = self
            .fixes
            .iter()
            .zip(&keep)
            .filter(|(_, keep)| !**keep)
            .map(|((_, line), _)| *line)
            .collect();
        if lines.is_empty() {
            return;
        }
        let mut kept = keep.iter();
        self.fixes.retain(|_| kept.next().copied().unwrap_or(true));
        let text = format!(
            "{} out: the position jumps away and back (over {JUMP_SPEED_MPS} m/s), {}",
            counted(lines.len(), "fix left", "fixes left"),
            lines_text(&lines)
        );
        self.note(NoteKind::LeftOut, text);
    }

    /// Samples days away from the middle of the recording have a wrong clock, not a wrong order.
    fn drop_clock_faults(&mut self) {
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
    fn order_fixes(&mut self) -> (bool, usize) {
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
    fn order_series(&mut self, index: usize, told: &mut Vec<(bool, usize)>) {
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

    /// A pressure altitude of zero throughout is a recorder without the sensor; other frozen values are only told.
    fn drop_frozen(&mut self) {
        let mut notes = Vec::new();
        self.series.retain(|series| {
            let Some(&first) = series.values.first() else { return false };
            let frozen = series.values.iter().all(|&value| value == first);
            if frozen && first == 0.0 && series.quantity == QuantityKind::PressureAltitudeM {
                let text = format!("{} is zero throughout and is not used", series.origin);
                notes.push(Note { kind: NoteKind::Missing, text });
                return false;
            }
            if frozen && series.values.len() >= FROZEN_SAMPLES {
                let text = format!("{} never changes: a frozen sensor?", series.origin);
                notes.push(Note { kind: NoteKind::Odd, text });
            }
            true
        });
        self.notes.append(&mut notes);
    }

    /// The first time of all.
    fn zero_s(&self) -> f64 {
        let of_series = self.series.iter().filter_map(|series| series.times_s.first().copied());
        let of_fixes = self.fixes.first().map(|(fix, _)| fix.time_s);
        of_series.chain(of_fixes).fold(f64::INFINITY, f64::min)
    }

    /// Makes times count from the first sample. Series of one table have the same times: they are computed once.
    fn rebase_series(&mut self, zero_s: f64) {
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

    fn find_gaps(&mut self, fixes: &[Fix], lines: &[u64], zero_s: f64) -> Vec<Gap> {
        let steps = || fixes.windows(2).map(|pair| pair[1].time_s - pair[0].time_s);
        if self.breaks.is_empty() && steps().all(|step_s| step_s <= GAP_LEAST_S) {
            return Vec::new();
        }
        let Some(usual_s) = median(steps().collect()) else { return Vec::new() };
        let limit_s = (GAP_STEPS * usual_s).max(GAP_LEAST_S);
        let mut borders: Vec<f64> = self.breaks.iter().map(|time_s| time_s - zero_s).collect();
        borders.sort_by(f64::total_cmp);
        let border = |time_s: f64| {
            let next = borders.partition_point(|at| *at < time_s - 1e-6);
            borders.get(next).is_some_and(|at| *at < time_s + 1e-6)
        };
        let gaps: Vec<Gap> = fixes
            .windows(2)
            .filter(|pair| pair[1].time_s - pair[0].time_s > limit_s || border(pair[1].time_s))
            .map(|pair| Gap { from_s: pair[0].time_s, to_s: pair[1].time_s })
            .collect();
        let longest =
            gaps.iter().max_by(|a, b| (a.to_s - a.from_s).total_cmp(&(b.to_s - b.from_s)));
        if let Some(longest) = longest {
            let at = fixes.partition_point(|fix| fix.time_s < longest.from_s);
            let text = format!(
                "{} in the fixes (usual step {usual_s:.2} s), the longest of {:.1} s at {}",
                counted(gaps.len(), "gap", "gaps"),
                longest.to_s - longest.from_s,
                oddities::place(longest.from_s, lines.get(at).copied().unwrap_or(0))
            );
            self.note(NoteKind::Missing, text);
        }
        gaps
    }

    fn find_jumps(&mut self, fixes: &[Fix], lines: &[u64]) {
        let jumped = |at: &usize| {
            let (a, b) = (&fixes[*at - 1], &fixes[*at]);
            !within(a, b, b.time_s - a.time_s)
        };
        let jumps: Vec<usize> = (1..fixes.len()).filter(jumped).collect();
        if let Some(&first) = jumps.first() {
            let text = format!(
                "the position jumps {} (over {JUMP_SPEED_MPS} m/s), first by {:.1} km at {}",
                counted(jumps.len(), "time", "times"),
                distance_m(&fixes[first - 1], &fixes[first]) / 1000.0,
                oddities::place(fixes[first].time_s, lines[first])
            );
            self.note(NoteKind::Odd, text);
        }
    }
}

/// Whether a fix is somewhere at some time.
fn placed(fix: &Fix) -> bool {
    fix.latitude_deg.abs() <= 90.0
        && fix.longitude_deg.abs() <= 180.0
        && fix.time_s.abs() <= TIME_MOST_S
        && !(fix.latitude_deg == 0.0 && fix.longitude_deg == 0.0)
}

/// A direction in [0, 360): a tiny negative one is 0, not the 360 that rounding makes of it.
pub(crate) fn within_turn_deg(angle_deg: f64) -> f64 {
    if (0.0..360.0).contains(&angle_deg) {
        return angle_deg;
    }
    let turned = angle_deg.rem_euclid(360.0);
    if turned < 360.0 { turned } else { 0.0 }
}

/// Since time zero, rounded to the microsecond of the clock.
fn relative_s(time_s: f64, zero_s: f64) -> f64 {
    ((time_s - zero_s) * 1e6).round() / 1e6
}

/// Latest less earliest; 0 of nothing.
fn spread_s(times_s: impl Iterator<Item = f64>) -> f64 {
    let (least, most) = times_s
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(least, most), time_s| {
            (least.min(time_s), most.max(time_s))
        });
    (most - least).max(0.0)
}

/// Whether an airplane comes from one fix to the other in a time.
fn within(a: &Fix, b: &Fix, time_s: f64) -> bool {
    let reach_m = JUMP_SPEED_MPS * time_s;
    // the sides of the triangle are longer than the way: settles nearly every step without an angle
    let north_deg = (b.latitude_deg - a.latitude_deg).abs();
    let east_deg = (b.longitude_deg - a.longitude_deg).abs();
    let sides_m = (north_deg + east_deg) * (RAD_PER_DEG * EARTH_RADIUS_M);
    // a hair less, so that rounding cannot tell otherwise than the distance itself
    sides_m <= 0.999 * reach_m || distance_m(a, b) <= reach_m
}

/// Distance between two fixes over the ground, m; spherical, within 0.6 %.
pub(crate) fn distance_m(a: &Fix, b: &Fix) -> f64 {
    let north = (b.latitude_deg - a.latitude_deg) * RAD_PER_DEG;
    let middle = 0.5 * (a.latitude_deg + b.latitude_deg) * RAD_PER_DEG;
    let east = math::wrap_pi((b.longitude_deg - a.longitude_deg) * RAD_PER_DEG);
    EARTH_RADIUS_M * math::hypot(north, east * math::cos(middle))
}

/// Middle value, `None` of nothing. NaN are ignored. Linear time.
pub(crate) fn median(mut values: Vec<f64>) -> Option<f64> {
    values.retain(|value| !value.is_nan());
    if values.is_empty() {
        return None;
    }
    let middle = values.len() / 2;
    Some(*values.select_nth_unstable_by(middle, f64::total_cmp).1)
}

/// Holes in fixes: longer than three usual steps and two seconds.
pub(crate) fn gaps_of(fixes: &[Fix]) -> Vec<Gap> {
    let steps = fixes.windows(2).map(|pair| pair[1].time_s - pair[0].time_s).collect();
    let Some(usual_s) = median(steps) else { return Vec::new() };
    let limit_s = (GAP_STEPS * usual_s).max(GAP_LEAST_S);
    let hole = |pair: &&[Fix]| pair[1].time_s - pair[0].time_s > limit_s;
    let gap = |pair: &[Fix]| Gap { from_s: pair[0].time_s, to_s: pair[1].time_s };
    fixes.windows(2).filter(hole).map(gap).collect()
}

/// "1 row", "2 rows".
pub(crate) fn counted(count: usize, one: &str, many: &str) -> String {
    format!("{count} {}", if count == 1 { one } else { many })
}

/// "line 3", "lines 3, 7, 9 and 12 more"; lines that are not known are not listed.
pub(crate) fn lines_text(lines: &[u64]) -> String {
    let known: Vec<u64> = lines.iter().copied().filter(|line| *line > 0).collect();
    match known.as_slice() {
        [] => "lines not known".into(),
        [one] => format!("line {one}"),
        all => format!("lines {}", line_list(all)),
    }
}

/// A text of lines whose last one has no end may have been cut inside a number, and nobody can tell.
pub(crate) fn tell_open_end(text: &[u8], draft: &mut Draft) {
    let last = text.trim_ascii_end();
    if last.len() == text.len() && !text.is_empty() {
        let at = last.iter().rposition(|&byte| byte == b'\n').map_or(0, |at| at + 1);
        let shown = String::from_utf8_lossy(&last[at..]);
        let shown: String = shown.chars().rev().take(12).collect();
        let shown: String = shown.chars().rev().collect();
        let text = format!(
            "the last line has no end ('...{shown}'): if the file was cut there, its last value is short"
        );
        draft.note(NoteKind::Odd, text);
    }
}

/// "3, 7, 9 and 12 more".
pub(crate) fn line_list(lines: &[u64]) -> String {
    let shown: Vec<String> = lines.iter().take(5).map(u64::to_string).collect();
    let rest = lines.len().saturating_sub(5);
    if rest > 0 { format!("{} and {rest} more", shown.join(", ")) } else { shown.join(", ") }
}
