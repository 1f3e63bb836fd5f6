//! The formats, one file or folder each, and the list of them. Detection is by content; the file name is only a hint.

pub mod csv;
mod extras;
pub mod gpx;
pub mod igc;
pub mod nmea;

use crate::error::ReadError;
use crate::normal::Recording;

/// What the user said about the file.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct ReadOptions {
    /// Name of the file, for messages.
    pub name: String,
    /// Units given by the user for columns, by column name: `("ground_speed", "kt")`.
    pub units: Vec<(String, String)>,
    /// What the user's map of columns says; tables only.
    pub columns: Option<csv::columns::ColumnMap>,
    /// Time from row to row of a table without a clock, by the user's word, s.
    pub row_interval_s: Option<f64>,
    /// Which sensor a table with columns x, y, z holds, where only the name of its file tells.
    pub sensor_hint: Option<csv::sensors::SensorHint>,
    /// Which aircraft of a table of several: its address or its callsign.
    pub aircraft: Option<String>,
    /// Which file of an archive of several: its name in the archive.
    pub entry: Option<String>,
}

/// One format: how it is known, told from others, and read.
#[derive(Debug, Clone, Copy)]
pub struct Format {
    /// Stable key.
    pub key: &'static str,
    /// As people call it, with the standard that defines it.
    pub title: &'static str,
    /// Usual endings of file names.
    pub endings: &'static [&'static str],
    /// How much the first bytes look like it: 0 not at all, 255 certainly.
    pub score: fn(head: &[u8]) -> u8,
    /// Reads the whole file.
    pub read: fn(bytes: &[u8], options: &ReadOptions) -> Result<Recording, ReadError>,
}

/// Every format, in the order they are tried when scores are equal.
pub const ALL: &[Format] = &[csv::FORMAT, gpx::FORMAT, igc::FORMAT, nmea::FORMAT];

/// Probes the content and reads it by the format that scores highest.
///
/// # Errors
/// Unsupported when no format knows the content; else what the reader found.
pub fn read(bytes: &[u8], options: &ReadOptions) -> Result<Recording, ReadError> {
    let head = &bytes[..bytes.len().min(8192)];
    if let Some(known) = not_read_yet(head) {
        return Err(known);
    }
    let best =
        ALL.iter().map(|format| ((format.score)(head), format)).filter(|(score, _)| *score > 0);
    match best.max_by_key(|(score, _)| *score) {
        Some((_, format)) => (format.read)(bytes, options),
        None if bytes.is_empty() => Err(ReadError::Unsupported {
            what: "the file is empty".into(),
            hint: "copy it from the device again".into(),
        }),
        None => Err(ReadError::Unsupported {
            what: "not a recording that can be read".into(),
            hint: format!(
                "known formats: {}",
                ALL.iter().map(|f| f.title).collect::<Vec<_>>().join(", ")
            ),
        }),
    }
}

/// Content that is known and not read: said so, before a reader complains of a missing header.
fn not_read_yet(head: &[u8]) -> Option<ReadError> {
    let marked = head.starts_with(b"\xff\xfe") || head.starts_with(b"\xfe\xff");
    let pairs = || head.chunks_exact(2).take(32);
    let wide = |zero: usize| {
        pairs().len() > 3 && pairs().all(|pair| pair[zero] == 0 && pair[1 - zero] != 0)
    };
    if marked || wide(0) || wide(1) {
        return Some(ReadError::Unsupported {
            what: "this is UTF-16 text".into(),
            hint: "save it as UTF-8 in the program that wrote it, or in an editor".into(),
        });
    }
    None
}
