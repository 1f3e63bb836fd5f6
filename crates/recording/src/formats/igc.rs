//! Flight recorder files of the FAI (IGC data file standard): fixed columns, one record a line, any 8-bit text.
//!
//! Read are the date, B records (fixes) with the extensions the I record declares, K records with those of the J record,
//! and the height datum headers.
//! A broken B record is left out with its line, column and reason while fewer than one in a hundred are broken;
//! beyond that the file is refused at the first of them, because nothing says that the rest is right.
//!
//! Columns and extension codes: FAI-IGC, appendix A.

mod digits;
mod extensions;
#[cfg(test)]
mod tests;

use crate::error::{Place, ReadError};
use crate::formats::{Format, ReadOptions};
use crate::normal::assemble::{Draft, counted, line_list, lines_text};
use crate::normal::{Fix, HeightDatum, NoteKind, QuantityKind, Recording, Series};
use base::math;
use digits::{ZEROS, eight_digits};
use memchr::memchr;

/// The entry of the table of formats.
pub const FORMAT: Format =
    Format { key: KEY, title: "IGC flight recorder file (FAI)", endings: &["igc"], score, read };

const KEY: &str = "igc";
/// Bytes of a B record without extensions.
const B_WIDTH: usize = 35;
/// Bytes of a K record without extensions.
const K_WIDTH: usize = 7;
/// One broken record in so many is told and left out; more are an error.
const BROKEN_SHARE: usize = 100;
/// As many broken records are told one by one, the others together.
const BROKEN_SHOWN: usize = 5;
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

/// Time, angles and validity where a B record has them.
fn like_fix(line: &[u8]) -> bool {
    line.len() >= B_WIDTH
        && line[1..14].iter().all(u8::is_ascii_digit)
        && b"NS".contains(&line[14])
        && b"EW".contains(&line[23])
        && b"AV".contains(&line[24])
}

/// One declared extension of the B record.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Extension {
    code: String,
    /// Columns from one, inclusive, as the I record counts.
    from: usize,
    to: usize,
    /// Whether its values are of use.
    read: bool,
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
    /// Beside the fixes, m.
    pressure_m: Vec<f64>,
    /// Values of each extension as written, beside the fixes; NaN where a record has none. Nothing of those not read.
    raw: Vec<Vec<f64>>,
    /// Declared by the J record, written in K records at times of their own.
    slow_extensions: Vec<Extension>,
    slow_raw: Vec<Samples>,
    slow_broken: Vec<u64>,
    /// Column that the extensions of the B record end at, and lines of records that end before.
    width: usize,
    short: Vec<u64>,
    /// Lines of extensions that are no numbers, once an extension.
    unreadable: Vec<u64>,
    /// Lines that look like a B record under another letter.
    misnamed: Vec<u64>,
    /// More decimals of latitude and longitude, and of the second.
    decimals: [Option<Decimals>; 3],
}

/// Values with times of their own.
#[derive(Debug, Clone, Default)]
struct Samples {
    times_s: Vec<f64>,
    values: Vec<f64>,
}

/// Where further decimals stand: columns from one, and what a whole unit is in them.
#[derive(Debug, Clone, Copy)]
struct Decimals {
    from: usize,
    width: usize,
    unit: f64,
}

/// Reads the whole file. Linear in its size.
fn read(bytes: &[u8], options: &ReadOptions) -> Result<Recording, ReadError> {
    let mut draft = Draft::new(KEY, &options.name);
    let mut state = State::default();
    let mut at = 0;
    let mut number = 0;
    while at < bytes.len() {
        number += 1;
        let end = memchr(b'\n', &bytes[at..]).map_or(bytes.len(), |length| at + length);
        let line = bytes[at..end].trim_ascii_end();
        if state.records == 0 && line.first() == Some(&b'B') {
            let fixes = bytes.len() / line.len().max(B_WIDTH);
            draft.fixes.reserve(fixes);
            state.pressure_m.reserve(fixes);
            for (extension, raw) in state.extensions.iter().zip(&mut state.raw) {
                raw.reserve(if extension.read { fixes } else { 0 });
            }
        }
        read_line(line, number, at as u64, &mut state, &mut draft);
        at = end + 1;
    }
    refuse_broken(&state)?;
    if state.day.is_none() {
        draft.note(NoteKind::Missing, "no date record (HFDTE): the start is not known");
    }
    draft.epoch = state.day.is_some();
    let of_day = state.day.unwrap_or(0.0) * DAY_S;
    tell_lines(&state, &mut draft);
    heights(&mut state, &mut draft);
    extensions::read(state, &mut draft);
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
        Some(b'I') => declare(line, number, B_WIDTH, state, draft),
        Some(b'J') => declare(line, number, K_WIDTH, state, draft),
        Some(b'K') if !state.slow_extensions.is_empty() && read_slow(line, state).is_err() => {
            state.slow_broken.push(number);
        }
        Some(b'H') if line.starts_with(b"HFDTE") => read_date(line, number, state, draft),
        Some(b'H') if line.len() >= 5 && &line[2..5] == b"ALG" => {
            let text = String::from_utf8_lossy(line).to_uppercase();
            if text.contains("ELL") {
                draft.height_datum = HeightDatum::Ellipsoid;
            } else if text.contains("GEO") {
                draft.height_datum = HeightDatum::MeanSeaLevel;
            }
        }
        _ if like_fix(line) => state.misnamed.push(number),
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

/// An I or J record; the first of each counts.
fn declare(line: &[u8], number: u64, least: usize, state: &mut State, draft: &mut Draft) {
    let extensions =
        if least == B_WIDTH { &mut state.extensions } else { &mut state.slow_extensions };
    match declared(line, least) {
        Ok(found) if extensions.is_empty() => {
            *extensions = found;
            if least == K_WIDTH {
                state.slow_raw = vec![Samples::default(); state.slow_extensions.len()];
            } else {
                // records before the declaration have none
                let absent = vec![f64::NAN; draft.fixes.len()];
                state.raw = vec![absent; state.extensions.len()];
                state.width = state.extensions.iter().map(|e| e.to).max().unwrap_or(0);
                state.decimals = ["LAD", "LOD", "TDS"].map(|code| decimals(&state.extensions, code));
            }
        }
        Ok(found) if *extensions == found => {}
        Ok(_) => draft.note(
            NoteKind::Odd,
            format!("line {number}: extensions are declared again and otherwise; the first declaration counts"),
        ),
        Err((column, reason)) => draft.note(
            NoteKind::LeftOut,
            format!("line {number}, column {column}: {reason}; no extensions are read"),
        ),
    }
}

/// A K record: time, then the values the J record declares.
fn read_slow(line: &[u8], state: &mut State) -> Result<(), Broken> {
    let (hour, minute, second) = (digits(line, 2, 2)?, digits(line, 4, 2)?, digits(line, 6, 2)?);
    let mut time_s = hour * 3600.0 + minute * 60.0 + second + state.added_s;
    if state.last_s.is_some_and(|last_s| last_s - time_s > 0.5 * DAY_S) {
        time_s += DAY_S;
    }
    for (extension, raw) in state.slow_extensions.iter().zip(&mut state.slow_raw) {
        let value = signed(line, extension.from, extension.to + 1 - extension.from)?;
        raw.times_s.push(time_s);
        raw.values.push(value);
    }
    Ok(())
}

/// The I or J record: `I083638FXA3941ENL`; columns up to `least` are taken.
fn declared(line: &[u8], least: usize) -> Result<Vec<Extension>, Broken> {
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
            if from <= least || to < from {
                return Err((at, format!("columns {from} to {to} cannot be an extension")));
            }
            let code = String::from_utf8_lossy(code).to_uppercase();
            let read = extensions::is_read(&code, least == B_WIDTH);
            Ok(Extension { code, from, to, read })
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
    plain_digits(part).ok_or_else(|| {
        let index = part.iter().position(|byte| !byte.is_ascii_digit()).unwrap_or(0);
        let found = (part[index] as char).escape_default();
        (column + index, format!("a digit is expected, not '{found}'"))
    })
}

/// A signed number: `00573`, `-0037`.
#[inline]
fn signed(line: &[u8], column: usize, count: usize) -> Result<f64, Broken> {
    match line.get(column - 1) {
        Some(b'-') => Ok(-digits(line, column + 1, count - 1)?),
        Some(b'+') => digits(line, column + 1, count - 1),
        _ => digits(line, column, count),
    }
}

/// As [`digits`] where the width is known beforehand and at most eight: all of them at once. The columns before are those of the
/// record too, so that eight can be taken that end there.
#[inline]
fn fixed<const WIDTH: usize>(line: &[u8], column: usize) -> Result<u32, Broken> {
    const { assert!(WIDTH > 0 && WIDTH <= 8) };
    let before = 8 - WIDTH;
    let end = column - 1 + WIDTH;
    let chunk = |from: usize| Some(u64::from_le_bytes(*line.get(from..)?.first_chunk()?));
    // What is not of the number is filled with zeros before it.
    let zeros = ZEROS & !(u64::MAX << (8 * before as u32));
    let eight = match end.checked_sub(8) {
        Some(from) => {
            chunk(from).map(|eight| (eight >> (8 * before as u32)) << (8 * before as u32))
        }
        None => chunk(column - 1).map(|eight| eight << (8 * before as u32)),
    };
    match eight.and_then(|eight| eight_digits(eight | zeros)) {
        Some(value) => Ok(value),
        None => digits(line, column, WIDTH).map(|value| value as u32),
    }
}

/// Five columns of a height, the first of which may be a sign.
#[inline]
fn height(line: &[u8], column: usize) -> Result<f64, Broken> {
    match line.get(column - 1) {
        Some(b'-' | b'+') => signed(line, column, 5),
        _ => fixed::<5>(line, column).map(f64::from),
    }
}

/// As [`signed`], for a field that may be anything.
#[inline]
fn signed_digits(field: &[u8]) -> Option<f64> {
    match field {
        [] | [b'-' | b'+'] => None,
        [b'-', digits @ ..] => Some(-plain_digits(digits)?),
        [b'+', digits @ ..] => plain_digits(digits),
        digits => plain_digits(digits),
    }
}

fn read_fix(line: &[u8], number: u64, state: &mut State, draft: &mut Draft) -> Result<(), Broken> {
    if line.len() < B_WIDTH {
        return Err((
            line.len() + 1,
            format!("the record has {} of {B_WIDTH} columns", line.len()),
        ));
    }
    let of_day = fixed::<6>(line, 2)?;
    let (hour, minute, second) = (of_day / 10_000, of_day / 100 % 100, of_day % 100);
    if hour > 23 || minute > 59 || second > 60 {
        return Err((2, "no time of day".to_owned()));
    }
    let [more_latitude, more_longitude, sub_s] =
        state.decimals.map(|decimals| decimals_of(line, decimals));
    let latitude = angle::<2, 7>(line, 8, more_latitude)?;
    let longitude = angle::<3, 8>(line, 16, more_longitude)?;
    let sub_s = sub_s.unwrap_or(0.0);
    let valid = match line[24] {
        b'A' => true,
        b'V' => false,
        other => {
            let found = (other as char).escape_default();
            return Err((25, format!("fix validity is A or V, not '{found}'")));
        }
    };
    let (pressure_m, height_m) = (height(line, 26)?, height(line, 31)?);
    let mut time_s = f64::from(hour * 3600 + minute * 60 + second) + sub_s + state.added_s;
    if state.last_s.is_some_and(|last_s| last_s - time_s > 0.5 * DAY_S) {
        state.added_s += DAY_S;
        time_s += DAY_S;
    }
    state.last_s = Some(time_s);
    if line.len() < state.width {
        state.short.push(number);
    }
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
    state.pressure_m.push(pressure_m);
    for (extension, raw) in state.extensions.iter().zip(&mut state.raw) {
        if !extension.read {
            continue;
        }
        let field = line.get(extension.from - 1..extension.to).unwrap_or_default();
        let value = signed_digits(field);
        // blanks are a value that is absent
        if value.is_none() && !field.trim_ascii().is_empty() {
            state.unreadable.push(number);
        }
        raw.push(value.unwrap_or(f64::NAN));
    }
    Ok(())
}

/// Where an extension of further decimals stands: `36` in two digits is 0.36.
fn decimals(extensions: &[Extension], code: &str) -> Option<Decimals> {
    let found = extensions.iter().find(|extension| extension.code == code)?;
    let width = found.to + 1 - found.from;
    Some(Decimals { from: found.from, width, unit: math::pow(10.0, width as f64) })
}

fn decimals_of(line: &[u8], decimals: Option<Decimals>) -> Option<f64> {
    let Decimals { from, width, unit } = decimals?;
    Some(plain_digits(line.get(from - 1..from - 1 + width)?)? / unit)
}

/// Digits throughout, or nothing; exact up to fifteen.
#[inline]
fn plain_digits(part: &[u8]) -> Option<f64> {
    if part.len() > 15 {
        return part.iter().try_fold(0.0, |value, byte| {
            byte.is_ascii_digit().then(|| value * 10.0 + f64::from(byte - b'0'))
        });
    }
    let (value, plain) = part.iter().fold((0_u64, true), |(value, plain), byte| {
        let digit = byte.wrapping_sub(b'0');
        (value * 10 + u64::from(digit), plain & (digit < 10))
    });
    plain.then_some(value as f64)
}

/// `4549172N`: whole degrees in so many digits, minutes in thousandths, all digits together so many, and, where declared, more digits of
/// minutes.
#[inline]
fn angle<const WIDTH: usize, const ALL: usize>(
    line: &[u8],
    column: usize,
    extra: Option<f64>,
) -> Result<f64, Broken> {
    let both = fixed::<ALL>(line, column)?;
    let (degrees, minutes_thousandth) = (both / 100_000, both % 100_000);
    let most = if WIDTH == 2 { 90.0 } else { 180.0 };
    if minutes_thousandth >= 60_000 {
        return Err((column + WIDTH, "60 minutes or more".to_owned()));
    }
    let minutes = f64::from(minutes_thousandth) + extra.unwrap_or(0.0);
    let value = f64::from(degrees) + minutes / 60_000.0;
    if value > most {
        return Err((column, format!("more than {most} degrees")));
    }
    match (line[column + WIDTH + 4], WIDTH) {
        (b'N', 2) | (b'E', 3) => Ok(value),
        (b'S', 2) | (b'W', 3) => Ok(-value),
        (other, _) => {
            let found = (other as char).escape_default();
            let wanted = if WIDTH == 2 { "N or S" } else { "E or W" };
            Err((column + WIDTH + 5, format!("{wanted} is expected, not '{found}'")))
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
    for (line, _, (column, reason)) in state.broken.iter().take(BROKEN_SHOWN) {
        draft.note(
            NoteKind::LeftOut,
            format!("line {line}, column {column}: broken B record left out: {reason}"),
        );
    }
    let more: Vec<u64> = state.broken.iter().skip(BROKEN_SHOWN).map(|(line, ..)| *line).collect();
    if !more.is_empty() {
        let text = format!("{} more broken B records left out, {}", more.len(), lines_text(&more));
        draft.note(NoteKind::LeftOut, text);
    }
    if !state.misnamed.is_empty() {
        let text = format!(
            "{} like a B record but with another letter left out, {}",
            counted(state.misnamed.len(), "line", "lines"),
            lines_text(&state.misnamed)
        );
        draft.note(NoteKind::LeftOut, text);
    }
    if !state.unreadable.is_empty() {
        let text = format!(
            "{} left out, {}",
            counted(
                state.unreadable.len(),
                "extension that is no number",
                "extensions that are no numbers"
            ),
            lines_text(&state.unreadable)
        );
        draft.note(NoteKind::LeftOut, text);
    }
    if !state.short.is_empty() {
        let text = format!(
            "{} B records end before their extensions, {}: what is missing is left out",
            state.short.len(),
            lines_text(&state.short)
        );
        draft.note(NoteKind::LeftOut, text);
    }
    if !state.poor.is_empty() {
        let text = format!(
            "{} marked V (no height by satellite), {}",
            counted(state.poor.len(), "fix is", "fixes are"),
            lines_text(&state.poor)
        );
        draft.note(NoteKind::Odd, text);
    }
    if !state.slow_broken.is_empty() {
        let text = format!(
            "{} broken K records left out, lines {}",
            state.slow_broken.len(),
            line_list(&state.slow_broken)
        );
        draft.note(NoteKind::LeftOut, text);
    }
    if state.added_s > 0.0 {
        draft.note(NoteKind::Odd, "the recording passes midnight");
    }
}

/// Pressure altitude becomes a series; where no height by satellite was recorded it stands in for it.
fn heights(state: &mut State, draft: &mut Draft) {
    let recorded = draft.fixes.iter().any(|(fix, _)| fix.height_m.is_some_and(|m| m != 0.0));
    let pressure = state.pressure_m.iter().any(|altitude_m| *altitude_m != 0.0);
    if !recorded {
        for ((fix, _), altitude_m) in draft.fixes.iter_mut().zip(&state.pressure_m) {
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
    let times_s = draft.fixes.iter().map(|(fix, _)| fix.time_s).collect();
    let values = std::mem::take(&mut state.pressure_m);
    let origin = "B record, pressure altitude".to_owned();
    draft.series.push(Series {
        quantity: QuantityKind::PressureAltitudeM,
        origin,
        times_s,
        values,
    });
}
