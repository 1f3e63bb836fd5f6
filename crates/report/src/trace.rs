//! A flight, computed or reconstructed, ready to be drawn: in the frame of its entry, with its bands.

use crate::scene::Role;
use assess::attempt::{Attempt, AttemptPart, BANK_HELD_SHARES, Estimate};
use assess::refly::Refly;
use base::factors::{M_PER_FT, MPS_PER_KT, RAD_PER_DEG};
use base::math::{cos, sin};
use flight::trajectory::FlightSample;
use maneuver::definition::Progress;
use maneuver::{Direction, ReferenceFlight};
use motion::{Column, Motion};

/// A flight to be drawn.
#[derive(Debug, Clone, PartialEq)]
pub struct Trace {
    /// Reference, attempt or re-flight.
    pub role: Role,
    /// What the progress counts.
    pub progress: Progress,
    /// In time order.
    pub points: Vec<TracePoint>,
    /// Where each part begins, degrees of progress, and which way it turns (+1 right).
    pub parts: Vec<(f64, f64)>,
    /// Degrees of progress of the checkpoints, over all parts, with the text to write there.
    pub checkpoints: Vec<(f64, String)>,
    /// True heading at the start, degrees.
    pub entry_heading_deg: f64,
    /// Motion of the air over the ground, north and east, m/s, when known.
    pub wind_mps: Option<(f64, f64)>,
    /// What lies on the ground, in the frame of the entry.
    pub marks: Vec<TraceMark>,
    /// Further quantities, one value a point.
    pub columns: Vec<TraceColumn>,
    /// Banks that a standard asks to be held, where it does.
    pub banks_wanted: Vec<BankWanted>,
}

/// A bank that is to be held.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BankWanted {
    /// From and to, degrees of progress.
    pub progress_deg: [f64; 2],
    /// The edges of its tolerance, degrees, right positive.
    pub bank_deg: [f64; 2],
}

/// Something on the ground: a point or a line.
#[derive(Debug, Clone, PartialEq)]
pub struct TraceMark {
    /// As people call it.
    pub name: &'static str,
    /// Along and right of the entry, m.
    pub line_m: Vec<(f64, f64)>,
}

/// A quantity of a computed flight that has no place in every flight.
#[derive(Debug, Clone, PartialEq)]
pub struct TraceColumn {
    /// As people call it.
    pub title: &'static str,
    /// Unit of the values.
    pub unit: &'static str,
    /// One value a point; not a number where it has no meaning.
    pub values: Vec<f64>,
}

/// One instant of a flight.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TracePoint {
    /// Since the start of the flight or recording.
    pub time_s: f64,
    /// Degrees of progress (turn, pitch travelled, ...), summed over the parts: the clock of the pictures.
    pub progress_deg: f64,
    /// Along the heading at the start.
    pub along_m: f64,
    /// To the right of it.
    pub right_m: f64,
    /// One standard deviation of the place on the map.
    pub place_sigma_m: f64,
    /// Above the height at the start.
    pub up_m: f64,
    /// The same in feet with its sigma.
    pub up_ft: Option<Estimate>,
    /// Bank, right positive.
    pub bank_deg: Option<Estimate>,
    /// Pitch.
    pub pitch_deg: Option<Estimate>,
    /// Heading relative to the start, right positive, not folded.
    pub azimuth_deg: f64,
    /// Calibrated airspeed: the kind that the stall speed beside it is, too.
    pub speed_kt: Option<Estimate>,
    /// Calibrated stall speed at this load, where computed.
    pub stall_kt: Option<f64>,
    /// What to draw the ribbon with: pitch, else the path angle.
    pub nose_deg: f64,
}

impl Trace {
    /// From a computed flight. Linear in its samples.
    #[must_use]
    pub fn of_reference(flight: &ReferenceFlight, wind_mps: Option<(f64, f64)>) -> Self {
        let Some(start) = flight.samples.first() else { return Self::empty(Role::Reference) };
        let frame = Frame::new(start.heading_rad, start.north_m, start.east_m);
        let (mut parts, mut checkpoints, mut points) = (Vec::new(), Vec::new(), Vec::new());
        let mut offset_deg = 0.0;
        for part in &flight.parts {
            parts.push((offset_deg, part.direction.sign()));
            for at in part.checkpoints.iter().filter(|at| at.progress_deg.abs() > 0.5) {
                checkpoints
                    .push((offset_deg + at.progress_deg, place_text(flight, at.progress_deg)));
            }
            let range = part.first..(part.last + 1).min(flight.samples.len());
            for sample in flight.samples.get(range).unwrap_or_default() {
                points.push(reference_point(sample, start, &frame, offset_deg));
            }
            offset_deg = points.last().map_or(offset_deg, |p: &TracePoint| p.progress_deg);
        }
        let entry_heading_deg = start.heading_rad / RAD_PER_DEG;
        Self {
            role: Role::Reference,
            progress: flight.progress,
            points,
            parts,
            checkpoints,
            entry_heading_deg,
            wind_mps,
            marks: flight.marks.iter().map(|mark| trace_mark(mark, &frame)).collect(),
            columns: flight.columns.iter().map(trace_column).collect(),
            banks_wanted: Vec::new(),
        }
    }

    /// The physical best beside a reference flight of one part, without labels of its own. Linear in its samples.
    #[must_use]
    pub fn of_best(samples: &[FlightSample], direction: Direction) -> Self {
        let Some(start) = samples.first() else { return Self::empty(Role::Best) };
        let frame = Frame::new(start.heading_rad, start.north_m, start.east_m);
        let points = samples.iter().map(|at| reference_point(at, start, &frame, 0.0)).collect();
        Self {
            points,
            parts: vec![(0.0, direction.sign())],
            entry_heading_deg: start.heading_rad / RAD_PER_DEG,
            ..Self::empty(Role::Best)
        }
    }

    /// From an attempt in a reconstructed motion; `None` when the motion has no heading or no place. Linear in the window.
    #[must_use]
    pub fn of_attempt(attempt: &Attempt, motion: &Motion) -> Option<Self> {
        let heading = motion.heading_rad.as_ref()?;
        let (north, east) = (motion.north_m.as_ref()?, motion.east_m.as_ref()?);
        let start = motion.place_at(attempt.start_s)?;
        let entry_rad = heading.at(start).0;
        let frame = Frame::new(entry_rad, north.at(start).0, east.at(start).0);
        let start_m = motion.height_m.as_ref().map_or(0.0, |height| height.at(start).0);
        let (mut parts, mut checkpoints, mut points) = (Vec::new(), Vec::new(), Vec::new());
        let (mut offset_deg, mut banks_wanted) = (0.0, Vec::new());
        for part in &attempt.parts {
            let sign = part.direction.map_or(1.0, Direction::sign);
            parts.push((offset_deg, sign));
            for at in part.checkpoints.iter().filter(|at| at.progress_deg.abs() > 0.5) {
                let text = progress_text(part.progress, at.progress_deg);
                checkpoints.push((offset_deg + at.progress_deg, text));
            }
            let part_rad = heading.at(motion.place_at(part.start_s)?).0;
            let first = motion.time_s.partition_point(|&t| t < part.start_s);
            let after = motion.time_s.partition_point(|&t| t <= part.end_s);
            for index in first..after {
                let turned_rad = sign * (heading.value[index] - part_rad);
                let turned_deg = turned_rad / RAD_PER_DEG;
                let progress_deg = offset_deg + progress(part, motion.time_s[index], turned_deg);
                let azimuth_deg = (heading.value[index] - entry_rad) / RAD_PER_DEG;
                let (along_m, right_m) = frame.place(north.value[index], east.value[index]);
                let place_sigma_m = north.sigma[index].max(east.sigma[index]);
                points.push(TracePoint {
                    progress_deg,
                    along_m,
                    right_m,
                    place_sigma_m,
                    azimuth_deg,
                    ..attempt_point(motion, index, start_m)
                });
            }
            let end_deg = points.last().map_or(offset_deg, |p: &TracePoint| p.progress_deg);
            banks_wanted.extend(bank_wanted(part, [offset_deg, end_deg]));
            offset_deg = end_deg;
        }
        let wind = |column: &Option<Column>| column.as_ref().map(|column| column.at(start).0);
        let wind_mps = wind(&motion.wind_north_mps).zip(wind(&motion.wind_east_mps));
        let entry_heading_deg = entry_rad / RAD_PER_DEG;
        Some(Self {
            role: Role::Attempt,
            progress: attempt.parts.first().map_or(Progress::Turn, |part| part.progress),
            points,
            parts,
            checkpoints,
            entry_heading_deg,
            wind_mps,
            marks: Vec::new(),
            columns: Vec::new(),
            banks_wanted,
        })
    }

    /// A part of an attempt flown again with one thing mended, in the frame of the attempt; `None` when the motion has no heading or
    /// no place. Linear in its points.
    #[must_use]
    pub fn of_refly(
        attempt: &Attempt,
        motion: &Motion,
        (part, refly): (usize, &Refly),
    ) -> Option<Self> {
        let flown = Self::of_attempt(attempt, motion)?;
        let heading = motion.heading_rad.as_ref()?;
        let (north, east) = (motion.north_m.as_ref()?, motion.east_m.as_ref()?);
        let start = motion.place_at(attempt.start_s)?;
        let entry_rad = heading.at(start).0;
        let frame = Frame::new(entry_rad, north.at(start).0, east.at(start).0);
        let start_m = motion.height_m.as_ref()?.at(start).0;
        let begins = attempt.parts.get(part)?;
        let part_rad = heading.at(motion.place_at(begins.start_s)?).0;
        let (offset_deg, sign) = *flown.parts.get(part)?;
        let path = &refly.path;
        if path.north_m.is_empty() || begins.progress != Progress::Turn {
            return None;
        }
        let known = |value| Some(Estimate { value, sigma: 0.0 });
        let point = |k: usize| {
            let (along_m, right_m) = frame.place(path.north_m[k], path.east_m[k]);
            let up_m = path.height_ft[k] * M_PER_FT - start_m;
            TracePoint {
                time_s: path.time_s[k],
                progress_deg: offset_deg + path.turn_deg[k],
                along_m,
                right_m,
                place_sigma_m: 0.0,
                up_m,
                up_ft: known(up_m / M_PER_FT),
                bank_deg: known(path.bank_deg[k]),
                pitch_deg: None,
                azimuth_deg: (part_rad - entry_rad) / RAD_PER_DEG + sign * path.turn_deg[k],
                speed_kt: known(path.cas_kt[k]),
                stall_kt: None,
                nose_deg: path.path_deg[k],
            }
        };
        Some(Self {
            role: Role::Reflight,
            points: (0..path.time_s.len()).map(point).collect(),
            parts: vec![(offset_deg, sign)],
            checkpoints: Vec::new(),
            ..flown
        })
    }

    /// The same flight under another role.
    #[must_use]
    pub fn with_role(mut self, role: Role) -> Self {
        self.role = role;
        self
    }

    /// The point nearest in progress at or after this count of degrees; the last one beyond the end. `None` when empty.
    #[must_use]
    pub fn at_progress(&self, progress_deg: f64) -> Option<&TracePoint> {
        self.points.iter().find(|point| point.progress_deg >= progress_deg).or(self.points.last())
    }

    /// Degrees of progress of the whole.
    #[must_use]
    pub fn progress_max_deg(&self) -> f64 {
        self.points.iter().map(|point| point.progress_deg).fold(0.0, f64::max)
    }

    /// About `count` points, first and last kept.
    pub(crate) fn thinned(&self, count: usize) -> Vec<TracePoint> {
        let step = self.points.len().div_ceil(count).max(1);
        let mut out: Vec<TracePoint> = self.points.iter().step_by(step).copied().collect();
        if let Some(last) = self.points.last().filter(|last| out.last() != Some(*last)) {
            out.push(*last);
        }
        out
    }

    fn empty(role: Role) -> Self {
        Self {
            role,
            progress: Progress::Turn,
            points: Vec::new(),
            parts: Vec::new(),
            checkpoints: Vec::new(),
            entry_heading_deg: 0.0,
            wind_mps: None,
            marks: Vec::new(),
            columns: Vec::new(),
            banks_wanted: Vec::new(),
        }
    }
}

/// The bank that a part is held against all through its middle, where the standard has such a row; the middle is that of the progress.
fn bank_wanted(part: &AttemptPart, [from_deg, to_deg]: [f64; 2]) -> Option<BankWanted> {
    let sign = part.direction?.sign();
    let row = part.findings.iter().find(|row| row.id == "bank" && row.seconds_outside.is_some())?;
    let edges = [row.low?, row.high?].map(|edge| sign * edge);
    let at = |share: f64| from_deg + share * (to_deg - from_deg);
    Some(BankWanted {
        progress_deg: [at(BANK_HELD_SHARES.0), at(BANK_HELD_SHARES.1)],
        bank_deg: [edges[0].min(edges[1]), edges[0].max(edges[1])],
    })
}

/// The frame of an entry: along its heading, to its right.
struct Frame {
    cos_entry: f64,
    sin_entry: f64,
    north_m: f64,
    east_m: f64,
}

impl Frame {
    fn new(heading_rad: f64, north_m: f64, east_m: f64) -> Self {
        Self { cos_entry: cos(heading_rad), sin_entry: sin(heading_rad), north_m, east_m }
    }
    fn place(&self, north_m: f64, east_m: f64) -> (f64, f64) {
        let (north, east) = (north_m - self.north_m, east_m - self.east_m);
        (
            north * self.cos_entry + east * self.sin_entry,
            east * self.cos_entry - north * self.sin_entry,
        )
    }
}

fn trace_mark(mark: &maneuver::reference::Mark, frame: &Frame) -> TraceMark {
    let place = |&[north_m, east_m]: &[f64; 2]| frame.place(north_m, east_m);
    TraceMark { name: mark.name, line_m: mark.line_m.iter().map(place).collect() }
}

fn trace_column(column: &maneuver::reference::Column) -> TraceColumn {
    let (title, unit) = (column.title, column.unit);
    TraceColumn { title, unit, values: column.values.clone() }
}

fn pick(column: &Option<Column>, index: usize, scale: f64) -> Option<Estimate> {
    let column = column.as_ref()?;
    Some(Estimate { value: column.value[index] / scale, sigma: column.sigma[index] / scale })
}

/// What does not depend on the entry; the rest is filled in by the caller.
fn attempt_point(motion: &Motion, index: usize, start_m: f64) -> TracePoint {
    let up = pick(&motion.height_m, index, 1.0);
    let pitch_deg = pick(&motion.pitch_rad, index, RAD_PER_DEG);
    let path_deg = pick(&motion.path_angle_rad, index, RAD_PER_DEG);
    let feet = |up: Estimate| Estimate {
        value: (up.value - start_m) / M_PER_FT,
        sigma: up.sigma / M_PER_FT,
    };
    TracePoint {
        time_s: motion.time_s[index],
        progress_deg: 0.0,
        along_m: 0.0,
        right_m: 0.0,
        place_sigma_m: 0.0,
        up_m: up.map_or(0.0, |up| up.value - start_m),
        up_ft: up.map(feet),
        bank_deg: pick(&motion.bank_rad, index, RAD_PER_DEG),
        pitch_deg,
        azimuth_deg: 0.0,
        speed_kt: pick(&motion.calibrated_airspeed_mps, index, MPS_PER_KT),
        stall_kt: None,
        nose_deg: pitch_deg.or(path_deg).map_or(0.0, |nose| nose.value),
    }
}

/// A place of the figure in few letters: its count of degrees, or the number of the phase that begins there.
pub(crate) fn place_text(flight: &ReferenceFlight, at_deg: f64) -> String {
    match flight.phases.len() {
        0 => progress_text(flight.progress, at_deg),
        phases => phase_text(phases, at_deg),
    }
}

/// The number of the phase that begins there, from 1; half way through one, that; the end.
fn phase_text(phases: usize, at_deg: f64) -> String {
    let passed = at_deg / 100.0;
    let whole = (passed + 0.01).floor();
    if whole >= phases as f64 {
        return "end".into();
    }
    let half = if passed - whole > 0.25 { "½" } else { "" };
    format!("{}{half}", crate::numbers::fixed(whole + 1.0, 0))
}

/// Progress of a part at a time: the turn, or what it is counted in, with time between its checkpoints.
fn progress(part: &AttemptPart, time_s: f64, turned_deg: f64) -> f64 {
    if part.progress == Progress::Turn {
        return turned_deg;
    }
    let after = part.checkpoints.partition_point(|at| at.time_s <= time_s);
    match (
        after.checked_sub(1).map(|before| &part.checkpoints[before]),
        part.checkpoints.get(after),
    ) {
        (Some(before), Some(next)) => {
            let share = (time_s - before.time_s) / (next.time_s - before.time_s);
            before.progress_deg + share * (next.progress_deg - before.progress_deg)
        }
        (Some(one), None) | (None, Some(one)) => one.progress_deg,
        (None, None) => 0.0,
    }
}

fn progress_text(progress: Progress, at_deg: f64) -> String {
    format!("{}{}", crate::numbers::fixed(at_deg, 0), progress.sign())
}

fn reference_point(
    sample: &FlightSample,
    start: &FlightSample,
    frame: &Frame,
    offset_deg: f64,
) -> TracePoint {
    let exact = |value: f64| Some(Estimate { value, sigma: 0.0 });
    let (along_m, right_m) = frame.place(sample.north_m, sample.east_m);
    let up_m = sample.height_m - start.height_m;
    TracePoint {
        time_s: sample.time_s,
        progress_deg: offset_deg + sample.progress_rad / RAD_PER_DEG,
        along_m,
        right_m,
        place_sigma_m: 0.0,
        up_m,
        up_ft: exact(up_m / M_PER_FT),
        bank_deg: exact(sample.bank_rad / RAD_PER_DEG),
        pitch_deg: exact(sample.pitch_rad / RAD_PER_DEG),
        azimuth_deg: (sample.heading_rad - start.heading_rad) / RAD_PER_DEG,
        speed_kt: exact(sample.calibrated_airspeed_mps / MPS_PER_KT),
        stall_kt: Some(sample.stall_speed_mps / MPS_PER_KT),
        nose_deg: sample.pitch_rad / RAD_PER_DEG,
    }
}
