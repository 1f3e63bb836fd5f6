//! Tables of comma-, semicolon- or tab-separated values. The map of columns is found from the names and units of the
//! header; what the header leaves open is deduced from the data and told in a note, or asked for.
//!
//! * [`meanings`]: names, meanings and units, one row each. [`header`]: header lines to a map of columns.
//! * [`columns`]: a map of columns as a file that people save and edit. [`sensors`]: tables of one phone sensor.
//! * `table`: delimiter, header lines, numbers. `clock`: dates and times. `deduce`: units from the data.
//! * `spread`: rows of a clock of whole seconds. `build`: columns to fixes and series.

pub(crate) mod build;
pub(crate) mod clock;
pub mod columns;
pub(crate) mod deduce;
pub mod header;
pub mod meanings;
pub mod sensors;
mod spread;
mod table;
#[cfg(test)]
mod tests;

use crate::error::ReadError;
use crate::formats::{Format, ReadOptions};
use crate::normal::{NoteKind, Recording, assemble::Draft};
use header::Column;
use meanings::{Dimension, Meaning};
use table::{Layout, malformed, number};

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

fn score(head: &[u8]) -> u8 {
    if head.starts_with(b"<") || head.contains(&0) {
        return 0;
    }
    match table::layout(head) {
        Ok(_) => 120,
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

/// The map of columns that would be used, and the names of the columns that would not.
///
/// # Errors
/// As [`FORMAT`]'s reader for the header: no header, an unknown unit.
pub fn describe_columns(
    bytes: &[u8],
    options: &ReadOptions,
) -> Result<(Vec<Column>, Vec<String>), ReadError> {
    header::map(&table::layout(bytes)?.header, options)
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
    let layout = table::layout(bytes)?;
    let (columns, not_read) = header::map(&layout.header, options)?;
    require_columns(&columns, &layout)?;
    let mut draft = Draft::new(table::KEY, &options.name);
    let data = read_rows(bytes, &layout, &columns, &mut draft)?;
    if !not_read.is_empty() {
        draft.note(NoteKind::LeftOut, format!("columns not read: {}", not_read.join(", ")));
    }
    build::build(draft, columns, data, layout.header_line)
}

fn require_columns(columns: &[Column], layout: &Layout) -> Result<(), ReadError> {
    let timed = columns.iter().any(|column| {
        column.meaning.dimension() == Dimension::Time
            && !matches!(column.meaning, Meaning::Date | Meaning::UtcOffset)
    });
    if !timed {
        return Err(malformed(
            "no column of times",
            layout.header_line,
            "name the column of times time, elapsed_s, utc, timestamp, or date and time",
        ));
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

/// Cells that are no numbers, by column.
#[derive(Default, Clone)]
struct Bad {
    count: usize,
    line: u64,
    text: String,
}

fn read_rows(
    bytes: &[u8],
    layout: &Layout,
    columns: &[Column],
    draft: &mut Draft,
) -> Result<Data, ReadError> {
    let mut reader = ::csv::ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .delimiter(layout.delimiter)
        .comment(Some(b'#'))
        .from_reader(&bytes[layout.data_byte..]);
    let rows = (bytes.len() - layout.data_byte) / 64;
    let is_time: Vec<bool> =
        columns.iter().map(|column| column.meaning.dimension() == Dimension::Time).collect();
    let mut data = Data {
        lines: Vec::with_capacity(rows),
        numbers: is_time
            .iter()
            .map(|&time| Vec::with_capacity(if time { 0 } else { rows }))
            .collect(),
        texts: columns.iter().map(|_| Texts::default()).collect(),
    };
    let mut bad = vec![Bad::default(); columns.len()];
    let mut record = ::csv::ByteRecord::new();
    let needed = columns.iter().map(|column| column.index).max().unwrap_or(0);
    let mut short: Vec<u64> = Vec::new();
    let comma = layout.delimiter != b',';
    loop {
        let more = reader.read_byte_record(&mut record).map_err(|error| broken(&error, layout))?;
        if !more {
            break;
        }
        let line = record.position().map_or(0, |at| at.line() - 1) + layout.data_line;
        if record.len() > COLUMNS_MOST {
            return Err(too_wide(line));
        }
        if record.len() <= needed {
            short.push(line);
        }
        data.lines.push(u32::try_from(line).unwrap_or(u32::MAX));
        for (at, column) in columns.iter().enumerate() {
            let cell = record.get(column.index).unwrap_or(b"");
            if is_time[at] {
                data.texts[at].push(cell);
                continue;
            }
            let value = match number(cell, comma) {
                None => {
                    if !cell.trim_ascii().is_empty() {
                        note_bad(&mut bad[at], line, b"nan");
                    }
                    f64::NAN
                }
                Some(Ok(value)) => value,
                Some(Err(())) => {
                    note_bad(&mut bad[at], line, cell);
                    f64::NAN
                }
            };
            data.numbers[at].push(value);
        }
    }
    tell_rows(&data, columns, &bad, &short, draft)?;
    Ok(data)
}

fn note_bad(bad: &mut Bad, line: u64, cell: &[u8]) {
    if bad.count == 0 {
        bad.line = line;
        bad.text = String::from_utf8_lossy(cell).trim().chars().take(24).collect();
    }
    bad.count += 1;
}

fn tell_rows(
    data: &Data,
    columns: &[Column],
    bad: &[Bad],
    short: &[u64],
    draft: &mut Draft,
) -> Result<(), ReadError> {
    if data.lines.is_empty() {
        return Err(malformed(
            "a header but no rows of data",
            0,
            "the recording is empty or was cut off; record again or choose another file",
        ));
    }
    if !short.is_empty() {
        let list = crate::normal::assemble::line_list(short);
        let text =
            format!("{} rows end before the last column that is read, lines {list}", short.len());
        draft.note(NoteKind::Odd, text);
    }
    for (column, bad) in columns.iter().zip(bad).filter(|(_, bad)| bad.count > 0) {
        let absent = bad.text.eq_ignore_ascii_case("nan");
        if bad.count * 2 > data.lines.len() && !absent {
            let position = matches!(column.meaning, Meaning::Latitude | Meaning::Longitude);
            let what = format!("column {}: '{}' is not a number", column.name, bad.text);
            let hint = "most of the column is not numbers: degrees are written 47.3825, south and west negative";
            if position {
                return Err(malformed(&what, bad.line, hint));
            }
        }
        let text = format!(
            "column {}: {} cells are not numbers and left out, first at line {} ('{}')",
            column.name, bad.count, bad.line, bad.text
        );
        draft.note(NoteKind::LeftOut, text);
    }
    Ok(())
}

fn too_wide(line: u64) -> ReadError {
    ReadError::Limit {
        what: format!("more than {COLUMNS_MOST} columns"),
        place: crate::error::Place { line, byte: None },
        hint: "this is no table of a flight; check that the right file was chosen".into(),
    }
}

fn broken(error: &::csv::Error, layout: &Layout) -> ReadError {
    let line = error.position().map_or(0, |at| at.line() - 1 + layout.data_line);
    malformed(
        &format!("the row cannot be read ({error})"),
        line,
        "open the file in an editor and look at this line",
    )
}
