//! The formats, one file or folder each, and the list of them. Detection is by content; the file name is only a hint.

pub mod containers;
pub mod csv;
mod encoding;
mod extras;
pub mod gdl90;
pub mod gpx;
pub mod igc;
pub mod kml;
pub mod nmea;
mod stamp;
pub mod surveillance;
mod xml;

use crate::error::{ReadError, make_readable};
use crate::normal::{Note, NoteKind, Recording};

/// As much of a file is looked at to know its format.
const HEAD_BYTES: usize = 8192;

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
    /// Whether this is one table of several that the units and the map are said of: columns it has not may be another's.
    pub one_of_several: bool,
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
    /// Reads the whole file; call [`Self::read`], which makes what is said fit to be shown.
    pub read: fn(bytes: &[u8], options: &ReadOptions) -> Result<Recording, ReadError>,
}

impl Format {
    /// Reads the whole file.
    ///
    /// # Errors
    /// What the reader found.
    pub fn read(&self, bytes: &[u8], options: &ReadOptions) -> Result<Recording, ReadError> {
        shown((self.read)(bytes, options))
    }
}

/// Text of a file in notes and errors, fit to be shown.
fn shown(result: Result<Recording, ReadError>) -> Result<Recording, ReadError> {
    match result {
        Ok(mut recording) => {
            recording.notes.iter_mut().for_each(|note| make_readable(&mut note.text));
            recording.series.iter_mut().for_each(|series| make_readable(&mut series.origin));
            Ok(recording)
        }
        Err(mut error) => {
            error.make_readable();
            Err(error)
        }
    }
}

/// Every format, in the order they are tried when scores are equal.
pub const ALL: &[Format] = &[
    csv::FORMAT,
    gdl90::FORMAT,
    gpx::FORMAT,
    igc::FORMAT,
    kml::FORMAT,
    nmea::FORMAT,
    surveillance::FORMAT,
];

/// Opens archives, makes text UTF-8, probes the content and reads it by the format that scores highest.
///
/// # Errors
/// Unsupported when no format knows the content; else what the reader found.
pub fn read(bytes: &[u8], options: &ReadOptions) -> Result<Recording, ReadError> {
    shown(if containers::is_container(bytes) {
        containers::read(bytes, options)
    } else {
        let wanted = options.entry.as_deref().filter(|_| !options.one_of_several);
        read_content(bytes, options).map(|mut recording| {
            if let Some(wanted) = wanted {
                let text = format!("--entry {wanted} is not used: this is no archive");
                recording.notes.push(Note { kind: NoteKind::LeftOut, text });
            }
            recording
        })
    })
}

/// The format of what is no archive. Who gives a map of columns says that it is a table, whatever its names.
fn format_of(bytes: &[u8], options: &ReadOptions) -> Option<&'static Format> {
    let table = || options.columns.as_ref().filter(|_| !bytes.is_empty()).map(|_| &csv::FORMAT);
    best(bytes).map(|(_, format)| format).or_else(table)
}

/// Whether the content is one table, whose columns [`csv::read_with_columns`] tells.
#[must_use]
pub fn is_table(bytes: &[u8], options: &ReadOptions) -> bool {
    !containers::is_container(bytes)
        && format_of(bytes, options).is_some_and(|format| format.key == csv::FORMAT.key)
}

/// Reads what is no archive.
fn read_content(bytes: &[u8], options: &ReadOptions) -> Result<Recording, ReadError> {
    let file = bytes;
    let (bytes, said) = encoding::to_utf8(file);
    let Some(format) = format_of(&bytes, options) else { return Err(unknown(&bytes)) };
    let mut recording = (format.read)(&bytes, options).map_err(|mut error| {
        // What was decoded has other places than the file that the user opens.
        if let ReadError::Malformed { place, .. } | ReadError::Limit { place, .. } = &mut error {
            place.byte = place.byte.map(|byte| encoding::byte_in_file(file, &bytes, byte));
        }
        error
    })?;
    if let Some(text) = said {
        recording.notes.push(Note { kind: NoteKind::Assumed, text });
    }
    tell_unused(format, options, &mut recording);
    Ok(recording)
}

/// Words of the user that the format of the file has no use for; of several recordings they may be another's.
fn tell_unused(format: &Format, options: &ReadOptions, recording: &mut Recording) {
    if options.one_of_several {
        return;
    }
    let table = format.key == csv::FORMAT.key;
    let of_many = [kml::FORMAT.key, surveillance::FORMAT.key, gdl90::FORMAT.key];
    let fixed = [igc::FORMAT.key, nmea::FORMAT.key, gdl90::FORMAT.key];
    let units: Vec<String> =
        options.units.iter().map(|(column, unit)| format!("--unit {column}={unit}")).collect();
    let unused = [
        (options.columns.is_some() && !table, "the column map".to_owned()),
        (options.row_interval_s.is_some() && !table, "--row-interval".to_owned()),
        (options.aircraft.is_some() && !of_many.contains(&format.key), "--aircraft".to_owned()),
        (!units.is_empty() && fixed.contains(&format.key), units.join(", ")),
    ];
    for (_, what) in unused.into_iter().filter(|(unused, _)| *unused) {
        let text = format!("{what} is not used: this is {}", format.title);
        recording.notes.push(Note { kind: NoteKind::LeftOut, text });
    }
}

/// Says in the notes what places are counted in, where they are not lines: "record", "report".
fn count_places_in(recording: &mut Recording, what: &str) {
    for note in &mut recording.notes {
        for before in [" ", "("] {
            note.text = note.text.replace(&format!("{before}line "), &format!("{before}{what} "));
            note.text = note.text.replace(&format!("{before}lines "), &format!("{before}{what}s "));
        }
    }
}

/// The format that looks most like the content, and how much; the first of the list among equals. To look for a table is
/// dearer than all the rest together, so it is done only where no other format is surer than a table can be.
fn best(bytes: &[u8]) -> Option<(u8, &'static Format)> {
    let head = &bytes[..bytes.len().min(HEAD_BYTES)];
    let mut found: Option<(u8, &'static Format)> = None;
    for format in ALL.iter().rev() {
        let table = format.key == csv::FORMAT.key;
        if table && found.is_some_and(|(score, _)| score > csv::SCORE_MOST) {
            continue;
        }
        let score = (format.score)(head);
        if score > 0 && found.is_none_or(|(most, _)| score >= most) {
            found = Some((score, format));
        }
    }
    found
}

fn unknown(bytes: &[u8]) -> ReadError {
    if bytes.is_empty() {
        return ReadError::Unsupported {
            what: "the file is empty".into(),
            hint: "copy it from the device again".into(),
        };
    }
    ReadError::Unsupported {
        what: "not a recording that can be read".into(),
        hint: format!(
            "known formats: {}, each also in a zip archive or packed by gzip",
            ALL.iter().map(|f| f.title).collect::<Vec<_>>().join(", ")
        ),
    }
}
