//! Flight recorder files of the FAI (IGC data file standard): fixed columns, one record a line, any 8-bit text.
//!
//! Read are the date, B records (fixes) with the extensions the I record declares, and the height datum headers.
//! A broken B record is left out with its line, column and reason while fewer than one in a hundred are broken;
//! beyond that the file is refused at the first of them, because nothing says that the rest is right.
//!
//! Columns and extension codes: FAI-IGC, appendix A.

#[cfg(test)]
mod tests;

use crate::error::{Place, ReadError};
use crate::formats::{Format, ReadOptions};
use crate::normal::assemble::{Draft, distance_m, line_list, median};
use crate::normal::{Fix, HeightDatum, NoteKind, QuantityKind, Recording, Series};
use base::factors::{K_AT_ZERO_C, MPS_PER_KMH};
use base::math;

/// The entry of the table of formats.
pub const FORMAT: Format =
    Format { key: KEY, title: "IGC flight recorder file (FAI)", endings: &["igc"], score, read };

const KEY: &str = "igc";
/// Bytes of a B record without extensions.
const B_WIDTH: usize = 35;
/// One broken record in so many is told and left out; more are an error.
const BROKEN_SHARE: usize = 100;
/// Slower than this, positions say little about speed, m/s.
const MOVING_MPS: f64 = 8.0;
const DAY_S: f64 = 86_400.0;

fn score(head: &[u8]) -> u8 {
    let lines = || head.split(|&byte| byte == b'\n').take(200);
    let fixes = lines().filter(|line| fix_shape(line)).count();
    let dated = lines().any(|line| line.starts_with(b"HFDTE"));
    let maker = head.first() == Some(&b'A')
        && head.len() > 4
        && head[1..4].iter().all(u8::is_ascii_alphanumeric);
    match (maker, dated, fixes) {
        (true, true, _) | (_, true, 1..) => 220,
        (true, false, 1..) => 200,
        (false, false, 2..) => 150,
        _ => 0,
    }
}

fn fix_shape(line: &[u8]) -> bool {
    line.len() >= 25 && line[0] == b'B' && line[1..14].iter().all(u8::is_ascii_digit)
}

/// One declared extension of the B record.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Extension {
    code: String,
    /// Columns from one, inclusive, as the I record counts.
    from: usize,
    to: usize,
}

/// Why and where a record is broken: column from one, reason.
type Broken = (usize, String);

#[derive(Debug, Default)]
struct State {
    extensions: Vec<Extension>,
    /// Days since 1970 of the date header.
    day: Option<f64>,
    added_s: f64,
    last_s: Option<f64>,
    broken: Vec<(u64, u64, Broken)>,
    records: usize,
    poor: Vec<u64>,
    pressure: Vec<(f64, f64)>,
    raw: Vec<Vec<(f64, f64)>>,
}

/// Reads the whole file. Linear in its size.
fn read(bytes: &[u8], options: &ReadOptions) -> Result<Recording, ReadError> {
    let mut draft = Draft::new(KEY, &options.name);
    let mut state = State::default();
    let mut at = 0;
    for (index, line) in bytes.split(|&byte| byte == b'\n').enumerate() {
        let number = index as u64 + 1;
        read_line(line.trim_ascii_end(), number, at, &mut state, &mut draft);
        at += line.len() as u64 + 1;
    }
    refuse_broken(&state)?;
    if state.day.is_none() {
        draft.note(NoteKind::Missing, "no date record (HFDTE): the start is not known");
    }
    draft.epoch = state.day.is_some();
    let of_day = state.day.unwrap_or(0.0) * DAY_S;
    tell_lines(&state, &mut draft);
    heights(&mut state, &mut draft);
    extensions(&mut state, &mut draft);
    if draft.epoch {
        shift(&mut draft, of_day);
    }
    draft.finish()
}

fn shift(draft: &mut Draft, by_s: f64) {
    draft.fixes.iter_mut().for_each(|(fix, _)| fix.time_s += by_s);
    for series in &mut draft.series {
        series.times_s.iter_mut().for_each(|time_s| *time_s += by_s);
    }
}

fn read_line(line: &[u8], number: u64, byte: u64, state: &mut State, draft: &mut Draft) {
    match line.first() {
        Some(b'B') => {
            state.records += 1;
            if let Err(reason) = read_fix(line, number, state, draft) {
                state.broken.push((number, byte, reason));
            }
        }
        Some(b'I') => match declared(line) {
            Ok(extensions) => {
                if state.raw.is_empty() {
                    state.raw = vec![Vec::new(); extensions.len()];
                    state.extensions = extensions;
                }
            }
            Err((column, reason)) => draft.note(
                NoteKind::LeftOut,
                format!("line {number}, column {column}: {reason}; no extensions are read"),
            ),
        },
        Some(b'H') if line.starts_with(b"HFDTE") => read_date(line, number, state, draft),
        Some(b'H') if line.len() >= 5 && &line[2..5] == b"ALG" => {
            let text = String::from_utf8_lossy(line).to_uppercase();
            if text.contains("ELL") {
                draft.height_datum = HeightDatum::Ellipsoid;
            } else if text.contains("GEO") {
                draft.height_datum = HeightDatum::MeanSeaLevel;
            }
        }
        _ => {}
    }
}

/// `HFDTE150419`, `HFDTEDATE:040920,01`: the first one counts, midnight is found from the times.
fn read_date(line: &[u8], number: u64, state: &mut State, draft: &mut Draft) {
    let digits: Vec<u8> = line[5..]
        .iter()
        .copied()
        .skip_while(|byte| !byte.is_ascii_digit())
        .take_while(u8::is_ascii_digit)
        .collect();
    let pair = |at: usize| {
        digits.get(at..at + 2).map(|two| i16::from(two[0] - b'0') * 10 + i16::from(two[1] - b'0'))
    };
    let date = (|| {
        let (day, month, year) = (pair(0)?, pair(2)?, pair(4)?);
        let year = if year >= 80 { 1900 + year } else { 2000 + year };
        jiff::civil::Date::new(year, month.try_into().ok()?, day.try_into().ok()?).ok()
    })();
    let zero = jiff::civil::Date::constant(1970, 1, 1);
    match date.and_then(|date| zero.until(date).ok()) {
        Some(span) if state.day.is_none() => state.day = Some(f64::from(span.get_days())),
        Some(_) => {}
        None => draft.note(
            NoteKind::LeftOut,
            format!("line {number}, column 6: the date is not ddmmyy and is not used"),
        ),
    }
}

/// The I record: `I083638FXA3941ENL`.
fn declared(line: &[u8]) -> Result<Vec<Extension>, Broken> {
    let count = digits(line, 2, 2)? as usize;
    (0..count)
        .map(|index| {
            let at = 4 + index * 7;
            let from = digits(line, at, 2)? as usize;
            let to = digits(line, at + 2, 2)? as usize;
            let code = line
                .get(at + 3..at + 6)
                .ok_or_else(|| (at + 4, "the record of extensions ends early".to_owned()))?;
            if !code.iter().all(u8::is_ascii_alphanumeric) {
                return Err((at + 4, "the code of an extension is three letters or digits".into()));
            }
            if from <= B_WIDTH || to < from {
                return Err((at, format!("columns {from} to {to} cannot be an extension")));
            }
            Ok(Extension { code: String::from_utf8_lossy(code).to_uppercase(), from, to })
        })
        .collect()
}

/// A number of so many digits at a column counted from one.
fn digits(line: &[u8], column: usize, count: usize) -> Result<f64, Broken> {
    let Some(part) = line.get(column - 1..column - 1 + count) else {
        return Err((
            line.len() + 1,
            format!("the record ends after {} of its columns", line.len()),
        ));
    };
    let mut value = 0.0;
    for (index, &byte) in part.iter().enumerate() {
        if !byte.is_ascii_digit() {
            let found = (byte as char).escape_default();
            return Err((column + index, format!("a digit is expected, not '{found}'")));
        }
        value = value * 10.0 + f64::from(byte - b'0');
    }
    Ok(value)
}

/// A signed number: `00573`, `-0037`.
fn signed(line: &[u8], column: usize, count: usize) -> Result<f64, Broken> {
    match line.get(column - 1) {
        Some(b'-') => Ok(-digits(line, column + 1, count - 1)?),
        Some(b'+') => digits(line, column + 1, count - 1),
        _ => digits(line, column, count),
    }
}

fn read_fix(line: &[u8], number: u64, state: &mut State, draft: &mut Draft) -> Result<(), Broken> {
    if line.len() < B_WIDTH {
        return Err((
            line.len() + 1,
            format!("the record has {} of {B_WIDTH} columns", line.len()),
        ));
    }
    let (hour, minute, second) = (digits(line, 2, 2)?, digits(line, 4, 2)?, digits(line, 6, 2)?);
    if hour > 23.0 || minute > 59.0 || second > 60.0 {
        return Err((2, "no time of day".to_owned()));
    }
    let extra = |code: &str| extension_digits(line, state, code);
    let latitude = angle(line, 8, 2, extra("LAD"))?;
    let longitude = angle(line, 16, 3, extra("LOD"))?;
    let sub_s = extra("TDS").unwrap_or(0.0);
    let valid = match line[24] {
        b'A' => true,
        b'V' => false,
        other => {
            let found = (other as char).escape_default();
            return Err((25, format!("fix validity is A or V, not '{found}'")));
        }
    };
    let pressure_m = signed(line, 26, 5)?;
    let height_m = signed(line, 31, 5)?;
    let mut time_s = hour * 3600.0 + minute * 60.0 + second + sub_s + state.added_s;
    if state.last_s.is_some_and(|last_s| last_s - time_s > 0.5 * DAY_S) {
        state.added_s += DAY_S;
        time_s += DAY_S;
    }
    state.last_s = Some(time_s);
    if !valid {
        state.poor.push(number);
    }
    let fix = Fix {
        time_s,
        latitude_deg: latitude,
        longitude_deg: longitude,
        height_m: valid.then_some(height_m),
        ground_speed_mps: None,
        track_deg: None,
        climb_mps: None,
    };
    draft.fixes.push((fix, number));
    state.pressure.push((time_s, pressure_m));
    for (extension, raw) in state.extensions.iter().zip(&mut state.raw) {
        if let Ok(value) = signed(line, extension.from, extension.to + 1 - extension.from) {
            raw.push((time_s, value));
        }
    }
    Ok(())
}

/// Extra decimals: `36` in a two-digit extension is 0.36.
fn extension_digits(line: &[u8], state: &State, code: &str) -> Option<f64> {
    let found = state.extensions.iter().find(|extension| extension.code == code)?;
    let width = found.to + 1 - found.from;
    let value = digits(line, found.from, width).ok()?;
    Some(value / math::pow(10.0, width as f64))
}

/// `4549172N`: whole degrees, minutes in thousandths and, where declared, more digits of minutes.
fn angle(line: &[u8], column: usize, width: usize, extra: Option<f64>) -> Result<f64, Broken> {
    let degrees = digits(line, column, width)?;
    let minutes_thousandth = digits(line, column + width, 5)?;
    let most = if width == 2 { 90.0 } else { 180.0 };
    if minutes_thousandth >= 60_000.0 {
        return Err((column + width, "60 minutes or more".to_owned()));
    }
    let value = degrees + (minutes_thousandth + extra.unwrap_or(0.0)) / 60_000.0;
    if value > most {
        return Err((column, format!("more than {most} degrees")));
    }
    match (line[column + width + 4], width) {
        (b'N', 2) | (b'E', 3) => Ok(value),
        (b'S', 2) | (b'W', 3) => Ok(-value),
        (other, _) => {
            let found = (other as char).escape_default();
            let wanted = if width == 2 { "N or S" } else { "E or W" };
            Err((column + width + 5, format!("{wanted} is expected, not '{found}'")))
        }
    }
}

fn refuse_broken(state: &State) -> Result<(), ReadError> {
    let malformed = |what: String, place: Place, hint: &str| ReadError::Malformed {
        format: KEY,
        what,
        place,
        hint: hint.to_owned(),
    };
    if state.records == 0 {
        return Err(malformed(
            "no B record: the file holds no fixes".into(),
            Place::default(),
            "the recorder wrote no positions or the file was cut off; copy it from the recorder again",
        ));
    }
    match state.broken.first() {
        Some((line, byte, (column, reason)))
            if state.broken.len() * BROKEN_SHARE >= state.records =>
        {
            Err(malformed(
                format!(
                    "broken B record (column {column}: {reason}; {} of {} records are broken)",
                    state.broken.len(),
                    state.records
                ),
                Place { line: *line, byte: Some(*byte + *column as u64 - 1) },
                "copy the file from the recorder again, or delete the broken lines if the rest can be trusted",
            ))
        }
        _ => Ok(()),
    }
}

fn tell_lines(state: &State, draft: &mut Draft) {
    for (line, _, (column, reason)) in &state.broken {
        draft.note(
            NoteKind::LeftOut,
            format!("line {line}, column {column}: broken B record left out: {reason}"),
        );
    }
    if !state.poor.is_empty() {
        let text = format!(
            "{} fixes are marked V (no height by satellite), lines {}",
            state.poor.len(),
            line_list(&state.poor)
        );
        draft.note(NoteKind::Odd, text);
    }
    if state.added_s > 0.0 {
        draft.note(NoteKind::Odd, "the recording passes midnight");
    }
}

/// Pressure altitude becomes a series; where no height by satellite was recorded it stands in for it.
fn heights(state: &mut State, draft: &mut Draft) {
    let recorded = draft.fixes.iter().any(|(fix, _)| fix.height_m.is_some_and(|m| m != 0.0));
    let pressure = state.pressure.iter().any(|(_, altitude_m)| *altitude_m != 0.0);
    if !recorded {
        for ((fix, _), (_, altitude_m)) in draft.fixes.iter_mut().zip(&state.pressure) {
            fix.height_m = pressure.then_some(*altitude_m);
        }
        let text = if pressure {
            draft.height_datum = HeightDatum::Pressure;
            "no height by satellite: pressure altitude stands in for it"
        } else {
            "neither height by satellite nor pressure altitude: both are zero throughout"
        };
        draft.note(NoteKind::Missing, text);
    }
    let (times_s, values) = std::mem::take(&mut state.pressure).into_iter().unzip();
    let origin = "B record, pressure altitude".to_owned();
    draft.series.push(Series {
        quantity: QuantityKind::PressureAltitudeM,
        origin,
        times_s,
        values,
    });
}

/// Extensions that are read: code, quantity, unit factor and offset to SI of a value whose decimals are settled.
/// Speeds are in km/h, angles in degrees, temperature in Celsius.
const READ: &[(&str, QuantityKind, f64, f64)] = &[
    ("TAS", QuantityKind::TrueAirspeedMps, MPS_PER_KMH, 0.0),
    ("IAS", QuantityKind::IndicatedAirspeedMps, MPS_PER_KMH, 0.0),
    ("OAT", QuantityKind::OutsideAirTemperatureK, 1.0, K_AT_ZERO_C),
    ("HDT", QuantityKind::TrueHeadingDeg, 1.0, 0.0),
    ("HDM", QuantityKind::MagneticHeadingDeg, 1.0, 0.0),
    ("AOR", QuantityKind::BankDeg, 1.0, 0.0),
    ("AOP", QuantityKind::PitchDeg, 1.0, 0.0),
    ("VAR", QuantityKind::VerticalSpeedMps, 1.0, 0.0),
    ("ACZ", QuantityKind::NormalLoadG, 1.0, 0.0),
];
/// Extensions used elsewhere or that say nothing of the motion.
const KNOWN: &[&str] = &["LAD", "LOD", "TDS", "FXA", "SIU", "ENL", "GFO", "MOP", "EPE", "VXA"];

fn extensions(state: &mut State, draft: &mut Draft) {
    let mut not_read = Vec::new();
    let ground_scale = ground_speed_scale(state, draft);
    for (extension, raw) in state.extensions.iter().zip(&state.raw) {
        let width = extension.to + 1 - extension.from;
        let code = extension.code.as_str();
        let Some((_, quantity, factor, offset)) = READ.iter().find(|(known, ..)| *known == code)
        else {
            match code {
                "GSP" | "TRT" => fill_motion(code, raw, ground_scale, draft),
                _ if KNOWN.contains(&code) => {}
                _ => not_read.push(code),
            }
            continue;
        };
        if raw.iter().all(|(_, value)| *value == 0.0) {
            draft.note(
                NoteKind::Missing,
                format!("extension {code} is zero throughout and is not used"),
            );
            continue;
        }
        let Some(scale) = scale_of(code, width, raw, ground_scale, draft) else { continue };
        let values = raw.iter().map(|(_, value)| value * scale * factor + offset).collect();
        let times_s = raw.iter().map(|(time_s, _)| *time_s).collect();
        let origin = format!("B record, {code}");
        draft.series.push(Series { quantity: *quantity, origin, times_s, values });
    }
    if !not_read.is_empty() {
        draft.note(NoteKind::LeftOut, format!("extensions not read: {}", not_read.join(", ")));
    }
}

/// Decimals of an extension. Three digits are the whole number; wider fields add decimals (what recorders do; the
/// ground speed, checked against the positions, decides for the other speeds).
fn scale_of(
    code: &str,
    width: usize,
    raw: &[(f64, f64)],
    ground_scale: Option<f64>,
    draft: &mut Draft,
) -> Option<f64> {
    let by_width = math::pow(10.0, -(width.saturating_sub(3) as f64));
    match code {
        "TAS" | "IAS" => {
            let scale = ground_scale.filter(|_| width == 5 || width == 3).unwrap_or(by_width);
            draft.note(
                NoteKind::Assumed,
                format!("extension {code} is taken as km/h with a step of {scale}"),
            );
            Some(scale)
        }
        "VAR" => Some(0.01),
        // the sign takes one of four places
        "AOR" | "AOP" => Some(math::pow(10.0, -(width.saturating_sub(4) as f64))),
        "ACZ" => {
            let typical = median(raw.iter().map(|(_, value)| *value).collect())?;
            let scale = [1.0, 0.1, 0.01, 0.001]
                .into_iter()
                .find(|scale| (0.7..1.5).contains(&(typical.abs() * scale)));
            let text = match scale {
                Some(scale) => format!(
                    "extension ACZ is taken as g with a step of {scale}: its middle value is {typical}"
                ),
                None => format!(
                    "extension ACZ is not read: its middle value {typical} is not one g in any step"
                ),
            };
            draft.note(NoteKind::Assumed, text);
            scale.map(|scale| scale * typical.signum())
        }
        _ => Some(by_width),
    }
}

/// Step of the ground speed field, found from the positions; `None` when not recorded or not decided.
fn ground_speed_scale(state: &State, draft: &mut Draft) -> Option<f64> {
    let at = state.extensions.iter().position(|extension| extension.code == "GSP")?;
    let raw = &state.raw[at];
    if raw.len() != draft.fixes.len() {
        draft.note(NoteKind::LeftOut, "extension GSP is missing in some records and is not read");
        return None;
    }
    let ratios: Vec<f64> = draft
        .fixes
        .windows(2)
        .zip(raw.windows(2))
        .filter_map(|(fixes, speeds)| {
            let step_s = fixes[1].0.time_s - fixes[0].0.time_s;
            let speed = distance_m(&fixes[0].0, &fixes[1].0) / step_s;
            let mean = 0.5 * (speeds[0].1 + speeds[1].1);
            (step_s > 0.0 && step_s < 20.0 && speed > MOVING_MPS && mean > 0.0)
                .then(|| mean * MPS_PER_KMH / speed)
        })
        .collect();
    let ratio = median(ratios)?;
    let scale = [1.0, 0.1, 0.01].into_iter().find(|scale| (0.7..1.4).contains(&(ratio * scale)));
    match scale {
        Some(scale) => draft.note(
            NoteKind::Assumed,
            format!("extension GSP is taken as km/h with a step of {scale}: it fits the positions"),
        ),
        None => draft.note(
            NoteKind::LeftOut,
            format!(
                "extension GSP is not read: {ratio:.2} of the speed of the positions fits no step"
            ),
        ),
    }
    scale
}

fn fill_motion(code: &str, raw: &[(f64, f64)], ground_scale: Option<f64>, draft: &mut Draft) {
    if raw.len() != draft.fixes.len() {
        return;
    }
    for ((fix, _), (_, value)) in draft.fixes.iter_mut().zip(raw) {
        if code == "GSP" {
            fix.ground_speed_mps = ground_scale.map(|scale| value * scale * MPS_PER_KMH);
        } else if (0.0..=360.0).contains(value) {
            fix.track_deg = Some(value.rem_euclid(360.0));
        }
    }
}
