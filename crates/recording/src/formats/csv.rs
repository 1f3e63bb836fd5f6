//! Tables of comma-, semicolon- or tab-separated values. The map of columns is found from the names and units of the
//! header; what the header leaves open is deduced from the data and told in a note, or asked for.
//!
//! * [`meanings`]: names, meanings and units, one row each. [`header`]: header lines to a map of columns.
//! * [`columns`]: a map of columns as a file that people save and edit. [`sensors`]: tables of one phone sensor.
//! * `table`: delimiter, header lines, numbers. `clock`: dates and times. `deduce`: units from the data.
//! * `rows`: cells to numbers. `spread`: rows of a clock of whole seconds. `build`: columns to fixes and series.

pub(crate) mod build;
pub(crate) mod clock;
pub mod columns;
pub(crate) mod deduce;
pub mod header;
mod long;
mod marks;
pub mod meanings;
mod rows;
pub mod sensors;
mod spread;
mod table;
#[cfg(test)]
mod tests;

use crate::error::ReadError;
use crate::formats::{Format, ReadOptions};
use crate::normal::assemble::Draft;
use crate::normal::{NoteKind, Recording};
use columns::{ColumnMap, MappedColumn};
use header::{Column, Unread};
use marks::Mark;
use meanings::{Dimension, Meaning};
use table::{Layout, malformed};

/// The entry of the table of formats.
pub const FORMAT: Format = Format {
    key: table::KEY,
    title: "CSV table (comma, semicolon or tab separated, columns named)",
    endings: &["csv", "tsv", "txt"],
    score,
    read,
};

/// Widest table that is read.
const COLUMNS_MOST: usize = 4096;
/// Longest line that is read, bytes.
const LINE_MOST: usize = 1 << 20;

/// What a table scores.
pub(crate) const SCORE_MOST: u8 = 120;

fn score(head: &[u8]) -> u8 {
    if head.starts_with(b"<") || head.contains(&0) {
        return 0;
    }
    match table::layout(head, None) {
        Ok(_) => SCORE_MOST,
        Err(_) => {
            let line = head.split(|&byte| byte == b'\n').next().unwrap_or(head);
            let marks = line.iter().filter(|byte| b",;\t".contains(byte)).count();
            if marks >= 2 && line.iter().all(|&byte| byte >= b' ' || byte == b'\t' || byte == b'\r')
            {
                20
            } else {
                0
            }
        }
    }
}

/// Reads a table and says how it was read: the columns read with their units, signs and rest, and those that were not.
/// The map reads the same file to the same recording.
///
/// # Errors
/// As the reader of the format.
pub fn read_with_columns(
    bytes: &[u8],
    options: &ReadOptions,
) -> Result<(Recording, ColumnMap), ReadError> {
    let (draft, mut map) = draft_with_columns(bytes, options)?;
    let (recording, turned) = draft.finish_telling()?;
    for column in map.columns.iter_mut().filter(|column| turned && column.is_device_force()) {
        column.turned = !column.turned;
    }
    Ok((recording, map))
}

fn draft_with_columns(
    bytes: &[u8],
    options: &ReadOptions,
) -> Result<(Draft, ColumnMap), ReadError> {
    let hint = options.sensor_hint.or_else(|| sensors::SensorHint::of_name(&options.name));
    let (named, renamed) = sensors::with_names(bytes, hint);
    let bytes = named.as_ref();
    let layout = table::layout(bytes, options.columns.as_ref())?;
    if layout.header.iter().any(|line| line.len() > COLUMNS_MOST) {
        return Err(rows::too_long(layout.header_line, 0));
    }
    let (columns, unread) = header::map(&layout.header, options)?;
    require_columns(&columns, &layout, interval_s(options))?;
    let mut draft = Draft::new(table::KEY, &options.name);
    if let Some(renamed) = renamed {
        draft.note(NoteKind::Assumed, renamed);
    }
    let of_device = |column: &Column| column.meaning.dimension() == Dimension::Acceleration;
    draft.force_sign_stated = columns.iter().any(|column| column.mapped && of_device(column));
    let map = options.columns.as_ref();
    let marks =
        marks::decide(bytes, &layout, &columns, map.and_then(|map| map.decimal_mark), &mut draft)?;
    let data = rows::read(bytes, &layout, &columns, &marks, &mut draft)?;
    tell_unread(&unread, &mut draft);
    let said = build::Said {
        header_line: layout.header_line,
        interval_s: interval_s(options),
        utc_offset_s: map.and_then(|map| map.utc_offset_s),
        date_order: map.and_then(|map| map.date_order),
    };
    let (draft, settled) = build::build(draft, columns, data, &said)?;
    let map = saved(&layout, &marks, &said, settled, &unread);
    Ok((draft, map))
}

/// The time from row to row by the user's word: the option before the map.
fn interval_s(options: &ReadOptions) -> Option<f64> {
    options.row_interval_s.or_else(|| options.columns.as_ref()?.row_interval_s)
}

fn tell_unread(unread: &[Unread], draft: &mut Draft) {
    let (twice, others): (Vec<&Unread>, Vec<&Unread>) = unread
        .iter()
        .partition(|column| column.why.as_ref().is_some_and(|why| why.starts_with("column ")));
    for column in twice {
        let why = column.why.as_deref().unwrap_or_default();
        let text = format!("column {} ({}) is not read, {why}", column.index + 1, column.name);
        draft.note(NoteKind::LeftOut, text);
    }
    if !others.is_empty() {
        let names: Vec<String> = others.iter().map(ToString::to_string).collect();
        draft.note(NoteKind::LeftOut, format!("columns not read: {}", names.join(", ")));
    }
}

/// How a table was read, as a map.
fn saved(
    layout: &Layout,
    marks: &[Mark],
    said: &build::Said,
    settled: Vec<Column>,
    unread: &[Unread],
) -> ColumnMap {
    let mut columns: Vec<(usize, MappedColumn)> = Vec::with_capacity(settled.len() + unread.len());
    for column in settled {
        let mapped = MappedColumn {
            line: 0,
            name: column.name,
            position: None,
            meaning: Some(column.meaning),
            unit: column.unit,
            turned: column.turned,
            at_rest_g: column.at_rest_g,
            optional: false,
        };
        columns.push((column.index, mapped));
    }
    for column in unread {
        let mapped = MappedColumn {
            line: 0,
            name: column.name.clone(),
            position: None,
            meaning: None,
            unit: None,
            turned: false,
            at_rest_g: None,
            optional: true,
        };
        columns.push((column.index, mapped));
    }
    columns.sort_by_key(|(index, _)| *index);
    let names: Vec<String> = columns.iter().map(|(_, column)| column.name.clone()).collect();
    for (index, column) in &mut columns {
        let twice = names.iter().filter(|name| **name == column.name).count() > 1;
        column.position = twice.then_some(*index + 1);
    }
    let decimal = marks.iter().all(|mark| *mark == marks[0]).then(|| match marks[0] {
        Mark::Decimal => b',',
        Mark::Thousands => b'.',
    });
    ColumnMap {
        delimiter: Some(layout.delimiter),
        decimal_mark: decimal,
        utc_offset_s: said.utc_offset_s,
        date_order: said.date_order,
        row_interval_s: said.interval_s,
        columns: columns.into_iter().map(|(_, column)| column).collect(),
        ..ColumnMap::default()
    }
}

/// The cells of the columns that are read.
#[derive(Debug)]
pub(crate) struct Data {
    /// Line of each row.
    pub(crate) lines: Vec<u32>,
    /// One list a column, NaN where the cell is empty; nothing for time columns.
    pub(crate) numbers: Vec<Vec<f64>>,
    /// Time cells, one list a column; nothing for the others.
    pub(crate) texts: Vec<Texts>,
}

/// Cells of one column, one after another.
#[derive(Debug, Default)]
pub(crate) struct Texts {
    bytes: Vec<u8>,
    ends: Vec<usize>,
}

impl Texts {
    fn push(&mut self, cell: &[u8]) {
        self.bytes.extend_from_slice(cell.trim_ascii());
        self.ends.push(self.bytes.len());
    }
    /// Whether any cell holds a byte.
    pub(crate) fn holds(&self, byte: u8) -> bool {
        memchr::memchr(byte, &self.bytes).is_some()
    }
    pub(crate) fn iter(&self) -> impl Iterator<Item = &[u8]> {
        let starts = std::iter::once(0).chain(self.ends.iter().copied());
        starts.zip(&self.ends).map(|(start, &end)| &self.bytes[start..end])
    }
}

/// Reads a table. Linear in its size.
fn read(bytes: &[u8], options: &ReadOptions) -> Result<Recording, ReadError> {
    read_draft(bytes, options)?.finish()
}

/// Reads a table on its own clock, to be joined with others or finished.
pub(crate) fn read_draft(bytes: &[u8], options: &ReadOptions) -> Result<Draft, ReadError> {
    match long::parts(bytes).filter(|_| options.columns.is_none()) {
        Some(parts) => long_form(&parts, options),
        None => draft_with_columns(bytes, options).map(|(draft, _)| draft),
    }
}

/// Reads the sensors of a table in long form, each at its own rate.
///
/// # Errors
/// What was found in the first sensor, when none can be read.
fn long_form(parts: &[long::Part], options: &ReadOptions) -> Result<Draft, ReadError> {
    let mut whole = Draft::new(table::KEY, &options.name);
    let mut first_error = None;
    let mut read = 0;
    for part in parts {
        let own = ReadOptions { sensor_hint: part.hint, one_of_several: true, ..options.clone() };
        match draft_with_columns(&part.table, &own) {
            Ok((draft, _)) => {
                whole.epoch |= draft.epoch;
                read += 1;
                take_in(&mut whole, &part.name, draft);
            }
            Err(error) => {
                let text = format!("sensor {}: not read: {error}", part.name);
                whole.note(NoteKind::LeftOut, text);
                first_error.get_or_insert(error);
            }
        }
    }
    match first_error {
        Some(error) if read == 0 => Err(error),
        _ => Ok(whole),
    }
}

/// Takes the samples of one sensor into the whole: each quantity once.
fn take_in(whole: &mut Draft, sensor: &str, part: Draft) {
    for note in part.notes.into_iter().filter(|note| note.kind != NoteKind::Missing) {
        whole.note(note.kind, format!("sensor {sensor}: {}", note.text));
    }
    if whole.fixes.is_empty() {
        whole.fixes = part.fixes;
        whole.height_datum = part.height_datum;
    }
    for mut series in part.series {
        series.origin = format!("{sensor}: {}", series.origin);
        if whole.series.iter().any(|known| known.quantity == series.quantity) {
            let text = format!("{} is recorded by another sensor too; not used", series.origin);
            whole.note(NoteKind::LeftOut, text);
        } else {
            whole.series.push(series);
        }
    }
}

fn require_columns(
    columns: &[Column],
    layout: &Layout,
    interval_s: Option<f64>,
) -> Result<(), ReadError> {
    let timed = columns.iter().any(|column| {
        column.meaning.dimension() == Dimension::Time
            && !matches!(column.meaning, Meaning::Date | Meaning::UtcOffset)
    });
    if !timed && interval_s.is_none() {
        return Err(ReadError::Ambiguous {
            what: format!("no column of times, line {}", layout.header_line),
            hint: "if the rows come at a fixed interval, say it: --row-interval 1s; else name the column of times time, elapsed_s, utc, timestamp, or date and time".into(),
        });
    }
    let has = |meaning| columns.iter().any(|column| column.meaning == meaning);
    if has(Meaning::Latitude) != has(Meaning::Longitude) {
        return Err(malformed(
            "latitude without longitude, or the reverse",
            layout.header_line,
            "name the two columns lat and lon",
        ));
    }
    if columns.iter().all(|column| column.meaning.dimension() == Dimension::Time) {
        return Err(malformed(
            "nothing but times is understood",
            layout.header_line,
            "name the columns for what they hold: lat, lon, alt, ground_speed, ias, pitch, roll",
        ));
    }
    Ok(())
}
