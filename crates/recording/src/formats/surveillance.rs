//! Decoded surveillance (ADS-B) tables: rows of time, address, place, altitude, ground speed, track and vertical rate, once a
//! second or so and in coarse steps; and the single messages they are made of.
//!
//! Shapes: JSON records, JSON columns, JSON lines, rows of numbers relative to a time stamp, tables of comma-separated
//! values with a column of addresses or callsigns, and message logs (`MSG,3,...`). Several aircraft in one table are a
//! question to the user. Altitude is pressure altitude where it comes in the steps of a transponder (25 ft).
//!
//! * `fields`: what a name means. `json`, `lines`: content to rows. `rows`: rows of all shapes. `build`: rows to fixes
//!   and series.
//!
//! Steps and meanings: ICAO Annex 10 volume IV and Doc 9871 (25-ft altitude code, 64-ft/min vertical rate).

mod build;
mod fields;
mod json;
mod lines;
mod rows;
#[cfg(test)]
mod tests;

use crate::error::{Place, ReadError};
use crate::formats::{Format, ReadOptions, count_places_in};
use crate::normal::Recording;
use crate::normal::assemble::tell_open_end;

/// The entry of the table of formats.
pub const FORMAT: Format = Format {
    key: KEY,
    title: "surveillance (ADS-B) table in JSON or CSV",
    endings: &["json", "jsonl", "csv", "txt"],
    score,
    read,
};

const KEY: &str = "surveillance";

fn score(head: &[u8]) -> u8 {
    let text = head.strip_prefix(b"\xef\xbb\xbf").unwrap_or(head).trim_ascii_start();
    if text.starts_with(b"MSG,") {
        return 240;
    }
    if text.starts_with(b"[") || text.starts_with(b"{") {
        // a table that names none of our fields is told so
        return if fields::quoted_any(text) { 230 } else { 30 };
    }
    if lines::header(head).is_some() { 200 } else { 0 }
}

/// Reads the whole file. Linear in its size.
fn read(bytes: &[u8], options: &ReadOptions) -> Result<Recording, ReadError> {
    let text = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
    let start = text.trim_ascii_start();
    let (rows, counted_by) = match start.first() {
        Some(b'[' | b'{') => json::rows(text)?,
        _ if start.starts_with(b"MSG,") => (lines::messages(text)?, "line"),
        _ => (lines::table(text, options)?, "line"),
    };
    let mut draft = build::draft(rows, options)?;
    if counted_by == "line" {
        tell_open_end(bytes, &mut draft);
    }
    let mut recording = draft.finish()?;
    if counted_by != "line" {
        count_places_in(&mut recording, counted_by);
    }
    Ok(recording)
}

fn malformed(what: String, line: u64, hint: &str) -> ReadError {
    ReadError::Malformed {
        format: KEY,
        what,
        place: Place { line, byte: None },
        hint: hint.to_owned(),
    }
}
