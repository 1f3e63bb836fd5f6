//! Captures of GDL 90 messages: the own airplane once a second by satellite, its pressure and geometric altitude, and the
//! traffic around it, of which the user may choose one by address or callsign.
//!
//! Frames stand between flag bytes, escaped, with a checksum; a frame whose checksum fails is left out and told with its
//! byte. The only clock is the second of the day in the heartbeat; reports belong to the heartbeat before them, unless ways
//! and speeds say otherwise (`clock`).
//!
//! Frames, messages, fields: GDL 90 Data Interface Specification, 560-1058-00 revision A, sections 2 and 3.

mod clock;
#[cfg(test)]
mod tests;

use crate::error::{Place, ReadError};
use crate::formats::csv::clock::roll_over;
use crate::formats::{Format, ReadOptions, count_places_in};
use crate::normal::assemble::Draft;
use crate::normal::{Fix, HeightDatum, NoteKind, QuantityKind, Recording, Series};
use base::factors::{M_PER_FT, MPS_PER_FPM, MPS_PER_KT};
use memchr::memchr;
use std::borrow::Cow;
use std::collections::BTreeMap;

/// The entry of the table of formats.
pub const FORMAT: Format =
    Format { key: KEY, title: "GDL 90 messages", endings: &["dat", "gdl90", "bin"], score, read };

const KEY: &str = "gdl90";
const FLAG: u8 = 0x7e;
const ESCAPE: u8 = 0x7d;
/// Longest message of the specification, an uplink of 432 bytes and its head, with room for escapes.
const FRAME_MOST: usize = 1024;
/// Degrees of one count of a position: 24 bits are a circle.
const COUNT_DEG: f64 = 180.0 / 8_388_608.0;

const HEARTBEAT: u8 = 0;
const OWNSHIP: u8 = 10;
const GEOMETRIC_ALTITUDE: u8 = 11;
const TRAFFIC: u8 = 20;

fn score(head: &[u8]) -> u8 {
    let holding = Frames::new(head).filter(|(_, frame)| frame.is_ok()).take(3).count();
    match holding {
        3.. => 245,
        2 => 180,
        _ => 0,
    }
}

/// The messages of a capture with the byte each begins at; `Err` for a frame whose checksum fails.
struct Frames<'a> {
    bytes: &'a [u8],
    at: usize,
}

impl<'a> Frames<'a> {
    fn new(bytes: &'a [u8]) -> Self {
        // what stands before the first flag is the rest of a frame
        let at = memchr(FLAG, bytes).unwrap_or(bytes.len());
        Self { bytes, at }
    }
}

impl<'a> Iterator for Frames<'a> {
    type Item = (usize, Result<Cow<'a, [u8]>, ()>);
    fn next(&mut self) -> Option<Self::Item> {
        loop {
            let start = self.at;
            let length = memchr(FLAG, self.bytes.get(start..)?)?;
            self.at = start + length + 1;
            match length {
                0 => {}
                1..=FRAME_MOST => return Some((start, opened(&self.bytes[start..start + length]))),
                _ => return Some((start, Err(()))),
            }
        }
    }
}

/// Escapes taken back, checksum checked and taken off; few frames hold an escape.
fn opened(frame: &[u8]) -> Result<Cow<'_, [u8]>, ()> {
    if memchr(ESCAPE, frame).is_none() {
        return checked(frame).map(Cow::Borrowed);
    }
    let mut out = Vec::with_capacity(frame.len());
    let mut escaped = false;
    for &byte in frame {
        match byte {
            ESCAPE if !escaped => escaped = true,
            _ => {
                out.push(if escaped { byte ^ 0x20 } else { byte });
                escaped = false;
            }
        }
    }
    let length = checked(&out)?.len();
    out.truncate(length);
    Ok(Cow::Owned(out))
}

/// The message in front of a checksum that holds.
fn checked(frame: &[u8]) -> Result<&[u8], ()> {
    let (message, &[low, high]) = frame.split_last_chunk::<2>().ok_or(())?;
    let holds = !message.is_empty() && checksum(message) == u16::from_le_bytes([low, high]);
    if holds { Ok(message) } else { Err(()) }
}

/// Cyclic redundancy check of 16 bits, polynomial 0x1021, as the specification computes it.
fn checksum(message: &[u8]) -> u16 {
    message
        .iter()
        .fold(0, |sum, &byte| CHECKS[usize::from(sum >> 8)] ^ (sum << 8) ^ u16::from(byte))
}

/// What the eight steps of a byte make of the upper half of the sum.
const CHECKS: [u16; 256] = {
    let mut table = [0; 256];
    let mut index = 0;
    while index < 256 {
        let mut sum = (index as u16) << 8;
        let mut step = 0;
        while step < 8 {
            sum = if sum & 0x8000 == 0 { sum << 1 } else { (sum << 1) ^ 0x1021 };
            step += 1;
        }
        table[index] = sum;
        index += 1;
    }
    table
};

/// A report of the own airplane or of traffic.
#[derive(Debug, Clone, Copy)]
struct Report {
    time_s: f64,
    address: u32,
    callsign: [u8; 8],
    latitude_deg: f64,
    longitude_deg: f64,
    pressure_altitude_m: Option<f64>,
    geometric_height_m: Option<f64>,
    speed_mps: Option<f64>,
    climb_mps: Option<f64>,
    /// Kind of the angle (1 track, 2 magnetic heading, 3 true heading) and degrees.
    angle: (u8, f64),
}

fn report(message: &[u8], time_s: f64) -> Option<Report> {
    let all: &[u8; 28] = message.try_into().ok()?;
    let signed = |at: usize| {
        let value = i32::from_be_bytes([all[at], all[at + 1], all[at + 2], 0]) >> 8;
        f64::from(value) * COUNT_DEG
    };
    let (latitude_deg, longitude_deg) = (signed(5), signed(8));
    // position not valid: no accuracy is given and both are zero
    if all[13] >> 4 == 0 && latitude_deg == 0.0 && longitude_deg == 0.0 {
        return None;
    }
    let altitude = (u16::from(all[11]) << 4) | (u16::from(all[12]) >> 4);
    let speed = (u16::from(all[14]) << 4) | (u16::from(all[15]) >> 4);
    let climb = (i16::from_be_bytes([all[15] << 4 | all[16] >> 4, all[16] << 4])) >> 4;
    let mut callsign = [b' '; 8];
    callsign.copy_from_slice(&all[19..27]);
    Some(Report {
        time_s,
        address: u32::from_be_bytes([0, all[2], all[3], all[4]]),
        callsign,
        latitude_deg,
        longitude_deg,
        geometric_height_m: None,
        pressure_altitude_m: (altitude != 0xfff)
            .then(|| (f64::from(altitude) * 25.0 - 1000.0) * M_PER_FT),
        speed_mps: (speed != 0xfff).then(|| f64::from(speed) * MPS_PER_KT),
        climb_mps: (climb != -0x800).then(|| f64::from(climb) * 64.0 * MPS_PER_FPM),
        angle: (all[12] & 3, f64::from(all[17]) * 360.0 / 256.0),
    })
}

/// What is collected message by message.
#[derive(Debug, Default)]
struct State {
    clock_s: Option<f64>,
    own: Vec<Report>,
    traffic: Vec<Report>,
    messages: usize,
    before_clock: usize,
    broken: Vec<u64>,
    not_read: BTreeMap<u8, usize>,
}

/// Reads the whole file. Linear in its size.
fn read(bytes: &[u8], options: &ReadOptions) -> Result<Recording, ReadError> {
    let mut state = State::default();
    for (byte, frame) in Frames::new(bytes) {
        match frame {
            Ok(message) => take(&message, options.aircraft.is_some(), &mut state),
            Err(()) => state.broken.push(byte as u64),
        }
    }
    refuse(&state)?;
    let mut draft = Draft::new(KEY, &options.name);
    tell(&state, &mut draft);
    let mut reports = state.own;
    if let Some(wanted) = &options.aircraft
        && !reports.iter().any(|report| called(report, wanted))
    {
        reports = state.traffic;
        reports.retain(|report| called(report, wanted));
    }
    if reports.is_empty() {
        let what = "no report of a position";
        return Err(malformed(
            what.into(),
            0,
            "the receiver had no fix, or no such aircraft was near: check the capture and the name",
        ));
    }
    place_in_time(&mut reports, &mut draft);
    put(&reports, &mut draft);
    drop(reports);
    let mut recording = draft.finish()?;
    // a binary file has no lines
    count_places_in(&mut recording, "report");
    Ok(recording)
}

fn take(message: &[u8], traffic: bool, state: &mut State) {
    state.messages += 1;
    let kind = message[0];
    if kind == HEARTBEAT && message.len() == 7 {
        let second = f64::from(u16::from_le_bytes([message[3], message[4]]))
            + if message[2] & 0x80 == 0 { 0.0 } else { 65_536.0 };
        state.clock_s = Some(second).filter(|second| *second < 86_400.0);
        return;
    }
    match (kind, state.clock_s) {
        (OWNSHIP | GEOMETRIC_ALTITUDE, None) => state.before_clock += 1,
        (OWNSHIP, Some(time_s)) => state.own.extend(report(message, time_s)),
        (GEOMETRIC_ALTITUDE, Some(time_s)) if message.len() == 5 => {
            let feet = f64::from(i16::from_be_bytes([message[1], message[2]])) * 5.0;
            // it follows the report of the same second
            let own = state.own.last_mut();
            if let Some(own) = own.filter(|own| (time_s - own.time_s).abs() < 1.5) {
                own.geometric_height_m.get_or_insert(feet * M_PER_FT);
            }
        }
        (TRAFFIC, Some(time_s)) if traffic => state.traffic.extend(report(message, time_s)),
        (TRAFFIC, _) => {}
        (other, _) => *state.not_read.entry(other).or_default() += 1,
    }
}

/// Whether a report is of the aircraft that is called so.
fn called(report: &Report, wanted: &str) -> bool {
    let callsign = String::from_utf8_lossy(&report.callsign);
    callsign.trim().eq_ignore_ascii_case(wanted.trim())
        || format!("{:06x}", report.address).eq_ignore_ascii_case(wanted.trim())
}

fn refuse(state: &State) -> Result<(), ReadError> {
    if state.messages == 0 {
        return Err(malformed(
            "no frame whose checksum holds".into(),
            state.broken.first().copied().unwrap_or(0),
            "check that the capture holds the bytes as they came",
        ));
    }
    if state.broken.len() > state.messages {
        let what = format!(
            "{} of {} frames are broken",
            state.broken.len(),
            state.broken.len() + state.messages
        );
        return Err(malformed(
            what,
            state.broken[0],
            "nothing says that the rest is right: capture again",
        ));
    }
    if state.own.is_empty() && state.traffic.is_empty() && state.before_clock > 0 {
        return Err(malformed(
            "no heartbeat gives the time: the reports cannot be placed in time".into(),
            0,
            "capture the heartbeat messages too",
        ));
    }
    Ok(())
}

fn tell(state: &State, draft: &mut Draft) {
    if let Some(first) = state.broken.first() {
        let count = state.broken.len();
        let text = format!("{count} broken frames left out, first at byte {first}");
        draft.note(NoteKind::LeftOut, text);
    }
    if state.before_clock > 0 {
        let text = format!("{} reports before the first heartbeat left out", state.before_clock);
        draft.note(NoteKind::LeftOut, text);
    }
    if !state.not_read.is_empty() {
        let kinds = state.not_read.iter().map(|(kind, count)| format!("{kind} ({count})"));
        let text = format!("messages not read: {}", kinds.collect::<Vec<_>>().join(", "));
        draft.note(NoteKind::LeftOut, text);
    }
    draft.note(
        NoteKind::Assumed,
        "times are whole seconds of the heartbeat: a report may be up to a second older or younger",
    );
    draft.note(NoteKind::Missing, "no message gives a date: the start is not known");
}

/// Seconds of the day to seconds that run on over midnight, and stamps that lag to where ways and speeds put them.
fn place_in_time(reports: &mut [Report], draft: &mut Draft) {
    let mut times_s: Vec<f64> = reports.iter().map(|report| report.time_s).collect();
    if roll_over(&mut times_s) > 0 {
        draft.note(NoteKind::Odd, "the recording passes midnight");
    }
    reports.iter_mut().zip(times_s).for_each(|(report, time_s)| report.time_s = time_s);
    let Some(counted) = clock::counted(reports) else { return };
    let moved = reports
        .iter()
        .zip(&counted)
        .filter(|(report, time_s)| (report.time_s - *time_s).abs() > 0.5);
    let moved = moved.count();
    if moved > 0 {
        let text = format!(
            "{moved} of {} reports follow a heartbeat of another second: placed where the way between reports and their speed put them",
            reports.len()
        );
        draft.note(NoteKind::Odd, text);
        reports.iter_mut().zip(counted).for_each(|(report, time_s)| report.time_s = time_s);
    }
}

fn put(reports: &[Report], draft: &mut Draft) {
    let geometric = reports.iter().any(|report| report.geometric_height_m.is_some());
    draft.height_datum = if geometric { HeightDatum::Ellipsoid } else { HeightDatum::Pressure };
    if !geometric {
        draft.note(NoteKind::Missing, "no geometric altitude: pressure altitude stands in for it");
    }
    draft.fixes.reserve_exact(reports.len());
    for (index, report) in reports.iter().enumerate() {
        let height = if geometric { report.geometric_height_m } else { report.pressure_altitude_m };
        let fix = Fix {
            time_s: report.time_s,
            latitude_deg: report.latitude_deg,
            longitude_deg: report.longitude_deg,
            height_m: height,
            ground_speed_mps: report.speed_mps,
            track_deg: (report.angle.0 == 1).then_some(report.angle.1),
            climb_mps: None,
        };
        draft.fixes.push((fix, index as u64 + 1));
    }
    type Of = fn(&Report) -> Option<f64>;
    let wanted: [(QuantityKind, &str, Of); 4] = [
        (QuantityKind::PressureAltitudeM, "pressure altitude", |r| r.pressure_altitude_m),
        (QuantityKind::VerticalSpeedMps, "vertical velocity", |r| r.climb_mps),
        (QuantityKind::MagneticHeadingDeg, "heading", |r| (r.angle.0 == 2).then_some(r.angle.1)),
        (QuantityKind::TrueHeadingDeg, "true heading", |r| (r.angle.0 == 3).then_some(r.angle.1)),
    ];
    for (quantity, origin, of) in wanted {
        let samples = reports.iter().filter_map(|report| Some((report.time_s, of(report)?)));
        let (times_s, values): (Vec<f64>, Vec<f64>) = samples.unzip();
        if !values.is_empty() {
            draft.series.push(Series { quantity, origin: origin.into(), times_s, values });
        }
    }
}

fn malformed(what: String, byte: u64, hint: &str) -> ReadError {
    ReadError::Malformed {
        format: KEY,
        what,
        place: Place { line: 0, byte: Some(byte) },
        hint: hint.to_owned(),
    }
}
