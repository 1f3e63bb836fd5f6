//! From what a reader found to the normal form: order in time, doubles, gaps, jumps and implausible values, the same
//! for every format. Nothing is repaired in silence: each change and each oddity is a note.
//!
//! * `order`: clocks. `clean`: what cannot be. `holes`: gaps and jumps. `words`: what the notes share.
//!
//! Cost: linear in the number of samples when they are in order, n log n when they have to be sorted.

mod clean;
mod holes;
mod order;
mod words;

use crate::error::{Place, ReadError};
use crate::normal::{Fix, HeightDatum, Note, NoteKind, Recording, Series};
use crate::normal::{device, heights, oddities};
use base::factors::RAD_PER_DEG;
use base::math;
use base::time::UtcInstant;

pub(crate) use clean::ELSEWHERE_FIXES;
pub(crate) use holes::gaps_of;
pub(crate) use words::{counted, line_list, lines_text, tell_open_end};

/// Times beyond this are none, on whatever clock, s: some three thousand years.
const TIME_MOST_S: f64 = 1e11;
/// Faster than any airplane these lessons are flown in, m/s: positions further apart have jumped.
const JUMP_SPEED_MPS: f64 = 350.0;
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
    /// The column of the ground speed and the unit it was read in.
    pub(crate) speed_origin: Option<(String, &'static str)>,
    /// Units that speeds were read in, by the name of their column; of a format with units of its own, nothing.
    pub(crate) speed_units: Vec<(String, &'static str)>,
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
            speed_units: Vec::new(),
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
    let microseconds = (time_s - zero_s) * 1e6;
    // As `round` does, which is a call where the processor is not asked for more than it must have; times are far below its bound.
    let rounded = if microseconds.abs() < 1e15 {
        (microseconds + f64::copysign(0.5, microseconds)) as i64 as f64
    } else {
        microseconds.round()
    };
    rounded / 1e6
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
    let (east, north) = apart_rad(a, b);
    EARTH_RADIUS_M * math::hypot(north, east)
}

/// How far one fix is to the east and to the north of another, m; as [`distance_m`].
pub(crate) fn apart_m(a: &Fix, b: &Fix) -> (f64, f64) {
    let (east, north) = apart_rad(a, b);
    (EARTH_RADIUS_M * east, EARTH_RADIUS_M * north)
}

/// Direction from one fix to another, from true north.
pub(crate) fn course_rad(a: &Fix, b: &Fix) -> f64 {
    let (east, north) = apart_rad(a, b);
    math::atan2(east, north)
}

fn apart_rad(a: &Fix, b: &Fix) -> (f64, f64) {
    let north = (b.latitude_deg - a.latitude_deg) * RAD_PER_DEG;
    let middle = 0.5 * (a.latitude_deg + b.latitude_deg) * RAD_PER_DEG;
    let east = math::wrap_pi((b.longitude_deg - a.longitude_deg) * RAD_PER_DEG);
    (east * math::cos(middle), north)
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
