//! Rows of a table to columns of numbers and time cells, in one pass over the bytes.
//!
//! Without a quote in the data a row is split where its delimiters stand, and numbers are read on the way; with one, the
//! library splits. Both give the same rows (a test holds them together).

use super::header::Column;
use super::marks::{self, Mark};
use super::meanings::{Dimension, Meaning};
use super::table::{Layout, malformed, number};
use super::{COLUMNS_MOST, Data, LINE_MOST, Texts};
use crate::decimal;
use crate::error::{Place, ReadError};
use crate::normal::NoteKind;
use crate::normal::assemble::{Draft, counted, lines_text, tell_open_end};
use memchr::{memchr, memchr_iter, memchr2};

/// One column that is read, in the order of the file.
struct Slot {
    /// Index in the row.
    index: usize,
    /// Index among the columns.
    at: usize,
    time: bool,
    meaning: Meaning,
    mark: Mark,
}

/// Cells that are no numbers, by column.
#[derive(Default, Clone)]
struct Bad {
    count: usize,
    line: u64,
    text: String,
}

struct Rows {
    slots: Vec<Slot>,
    data: Data,
    bad: Vec<Bad>,
    short: Vec<u64>,
    /// Lines of rows with more cells than the header has.
    long: Vec<u64>,
    /// Cells of the header.
    width: usize,
}

/// Reads every row after the header.
pub(super) fn read(
    bytes: &[u8],
    layout: &Layout,
    columns: &[Column],
    marks: &[Mark],
    draft: &mut Draft,
) -> Result<Data, ReadError> {
    let data = &bytes[layout.data_byte..];
    let mut rows = Rows::new(columns, marks, layout, data);
    if memchr(b'"', data).is_some() {
        rows.quoted(bytes, layout)?;
    } else {
        rows.plain(data, layout)?;
    }
    rows.tell(columns, layout.header_line, draft)?;
    tell_open_end(data, draft);
    Ok(rows.data)
}

impl Rows {
    fn new(columns: &[Column], marks: &[Mark], layout: &Layout, data: &[u8]) -> Self {
        let time = |column: &Column| column.meaning.dimension() == Dimension::Time;
        let mut slots: Vec<Slot> = columns
            .iter()
            .enumerate()
            .zip(marks)
            .map(|((at, column), &mark)| Slot {
                index: column.index,
                at,
                time: time(column),
                meaning: column.meaning,
                mark,
            })
            .collect();
        slots.sort_by_key(|slot| slot.index);
        // as many rows as the first line's length suggests, never more than the bytes could hold
        let first = memchr(b'\n', data).map_or(data.len(), |at| at + 1);
        let guess = (data.len() / first.max(2 * slots.len()).max(2)) * 17 / 16 + 1;
        Self {
            slots,
            data: Data {
                lines: Vec::with_capacity(guess),
                numbers: columns
                    .iter()
                    .map(|column| Vec::with_capacity(if time(column) { 0 } else { guess }))
                    .collect(),
                texts: columns.iter().map(|_| Texts::default()).collect(),
            },
            bad: vec![Bad::default(); columns.len()],
            short: Vec::new(),
            long: Vec::new(),
            width: layout.header.iter().map(Vec::len).max().unwrap_or(0),
        }
    }

    /// A cell by the careful way.
    #[inline(never)]
    fn cell(&mut self, slot: usize, cell: &[u8], line: u64) {
        let Slot { at, time, meaning, mark, .. } = self.slots[slot];
        if time {
            self.data.texts[at].push(cell);
            return;
        }
        let value = match number(cell, mark) {
            Some(Ok(value)) => value,
            None if cell.trim_ascii().is_empty() => f64::NAN,
            None => {
                note_bad(&mut self.bad[at], line, b"nan");
                f64::NAN
            }
            Some(Err(())) => in_words(meaning, cell).unwrap_or_else(|| {
                note_bad(&mut self.bad[at], line, cell);
                f64::NAN
            }),
        };
        self.data.numbers[at].push(value);
    }

    fn begin(&mut self, line: u64) {
        self.data.lines.push(u32::try_from(line).unwrap_or(u32::MAX));
    }

    /// Splits at every delimiter. A row ends with a line feed, a carriage return or both; empty rows and comments are
    /// skipped.
    fn plain(&mut self, data: &[u8], layout: &Layout) -> Result<(), ReadError> {
        let mut line = layout.data_line;
        let mut at = 0;
        while let Some(&first) = data.get(at) {
            match first {
                b'\n' => {
                    line += 1;
                    at += 1;
                }
                b'\r' => at += 1,
                b'#' => at += memchr(b'\n', &data[at..]).unwrap_or(data.len() - at),
                _ => {
                    let (end, before) = self.row(data, at, layout.delimiter, line);
                    let rest = end;
                    let end = end + memchr2(b'\n', b'\r', &data[end..]).unwrap_or(data.len() - end);
                    if end - at > LINE_MOST {
                        return Err(too_long(line, layout.data_byte + at));
                    }
                    self.measure(&data[rest..end], before, layout.delimiter, line);
                    at = end;
                }
            }
        }
        Ok(())
    }

    /// Reads the row at a byte and returns a byte in its last cell that is read, and the number of cells before that.
    fn row(&mut self, data: &[u8], start: usize, delimiter: u8, line: u64) -> (usize, usize) {
        self.begin(line);
        let ends = |byte: u8| byte == delimiter || byte == b'\n' || byte == b'\r';
        let cell_end = |from: usize| {
            data[from..].iter().position(|&b| ends(b)).map_or(data.len(), |n| from + n)
        };
        let (mut at, mut index, mut over, mut told) = (start, 0, false, false);
        for slot in 0..self.slots.len() {
            let Slot { index: wanted, at: column, time, mark, .. } = self.slots[slot];
            while index < wanted && !over {
                at = cell_end(at);
                over = data.get(at) != Some(&delimiter);
                at += usize::from(!over);
                index += 1;
            }
            if over {
                if !std::mem::replace(&mut told, true) {
                    self.short.push(line);
                }
                self.cell(slot, b"", line);
                continue;
            }
            let mut from = at;
            while data.get(from) == Some(&b' ') {
                from += 1;
            }
            if !time
                && let Some((value, length)) =
                    decimal::prefix(&data[from..], mark == Mark::Decimal && delimiter != b',')
                && data.get(from + length).is_none_or(|&byte| ends(byte))
            {
                self.data.numbers[column].push(value);
                // the same cell may be read by two columns: stay before it
                if self.slots.get(slot + 1).is_none_or(|next| next.index != wanted) {
                    at = from + length;
                }
                continue;
            }
            self.cell(slot, &data[at..cell_end(at)], line);
        }
        (at, index)
    }

    /// Tells a row that has more cells than the header: `rest` are those after so many.
    fn measure(&mut self, rest: &[u8], before: usize, delimiter: u8, line: u64) {
        if before + memchr_iter(delimiter, rest).count() < self.width {
            return;
        }
        let unnamed = rest.split(|&byte| byte == delimiter).skip(self.width.saturating_sub(before));
        if unnamed.into_iter().any(|cell| !cell.trim_ascii().is_empty()) {
            self.long.push(line);
        }
    }

    /// Lets the library split.
    fn quoted(&mut self, bytes: &[u8], layout: &Layout) -> Result<(), ReadError> {
        let mut reader = layout.reader(bytes);
        let mut record = ::csv::ByteRecord::new();
        while reader.read_byte_record(&mut record).map_err(|error| broken(&error, layout))? {
            let place = record.position();
            let line = place.map_or(0, |at| at.line() - 1) + layout.data_line;
            if record.as_slice().len() > LINE_MOST || record.len() > COLUMNS_MOST {
                let byte = place.map_or(0, |at| usize::try_from(at.byte()).unwrap_or(0));
                return Err(too_long(line, layout.data_byte + byte));
            }
            self.begin(line);
            if record.iter().skip(self.width).any(|cell| !cell.trim_ascii().is_empty()) {
                self.long.push(line);
            }
            if self.slots.last().is_some_and(|last| record.len() <= last.index) {
                self.short.push(line);
            }
            for slot in 0..self.slots.len() {
                let cell = record.get(self.slots[slot].index).unwrap_or(b"");
                self.cell(slot, cell, line);
            }
        }
        Ok(())
    }

    /// What was odd; an error when nothing is left or a position is none.
    fn tell(
        &self,
        columns: &[Column],
        header_line: u64,
        draft: &mut Draft,
    ) -> Result<(), ReadError> {
        let rows = self.data.lines.len();
        if rows == 0 {
            return Err(malformed(
                "a header but no rows of data",
                header_line,
                "the recording is empty or was cut off; record again or choose another file",
            ));
        }
        let short = &self.short;
        if !short.is_empty() {
            let text = format!(
                "{} before the last column that is read, {}",
                counted(short.len(), "row ends", "rows end"),
                lines_text(short)
            );
            draft.note(NoteKind::Odd, text);
        }
        if !self.long.is_empty() {
            let text = format!(
                "{} cells without a name, {}: what stands there is left out",
                counted(self.long.len(), "row has", "rows have"),
                lines_text(&self.long)
            );
            draft.note(NoteKind::LeftOut, text);
        }
        for (column, bad) in columns.iter().zip(&self.bad).filter(|(_, bad)| bad.count > 0) {
            let absent = bad.text.eq_ignore_ascii_case("nan");
            let position = matches!(column.meaning, Meaning::Latitude | Meaning::Longitude);
            if position && bad.count * 2 > rows && !absent {
                let what = format!("column {}: '{}' is not a number", column.name, bad.text);
                let hint = "most of the column is not numbers: degrees are written 47.3825, south and west negative";
                return Err(malformed(&what, bad.line, hint));
            }
            let text = format!(
                "column {}: {} left out, first at line {} ('{}')",
                column.name,
                counted(bad.count, "cell that is no number", "cells that are no numbers"),
                bad.line,
                bad.text
            );
            draft.note(NoteKind::LeftOut, text);
        }
        Ok(())
    }
}

/// A position that is written with letters or minutes.
fn in_words(meaning: Meaning, cell: &[u8]) -> Option<f64> {
    match meaning {
        Meaning::Latitude => marks::angle_in_words(cell, true),
        Meaning::Longitude => marks::angle_in_words(cell, false),
        _ => None,
    }
}

fn note_bad(bad: &mut Bad, line: u64, cell: &[u8]) {
    if bad.count == 0 {
        bad.line = line;
        let shown = &cell[..cell.len().min(400)];
        bad.text = String::from_utf8_lossy(shown).trim().chars().take(24).collect();
    }
    bad.count += 1;
}

/// A line that is none of a table.
pub(super) fn too_long(line: u64, byte: usize) -> ReadError {
    ReadError::Limit {
        what: format!("line {line} is longer than {LINE_MOST} bytes or {COLUMNS_MOST} columns"),
        place: Place { line, byte: Some(byte as u64) },
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

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test that cannot go on has failed")]

    use super::{Draft, Rows};
    use crate::formats::ReadOptions;
    use crate::formats::csv::{header, marks, table};
    use proptest::prelude::*;

    proptest! {
        /// A comment that ends the file without a line end is a row to the library, not to us.
        #[test]
        fn prop_rows_are_split_as_the_library_splits(rows in "([-0-9.,;#a \\t\\r\\n]|\r\n|,,){0,200}") {
            for header in ["t,time_s,lat,lon,x,alt_m,roll_deg\n", "time_s;lat;lon;alt_m;x;roll_deg\n"] {
                let bytes = [header.as_bytes(), b"1,1,46.5,8.25,1,2,3\n1;46,5;8.25;2;3;4\n", rows.as_bytes(), b"\n"].concat();
                let layout = table::layout(&bytes, None).unwrap();
                let (columns, _) = header::map(&layout.header, &ReadOptions::default()).unwrap();
                let data = &bytes[layout.data_byte..];
                let mut draft = Draft::new("csv", "test");
                let marks = marks::decide(&bytes, &layout, &columns, Some(b','), &mut draft).unwrap();
                let (mut ours, mut library) = (Rows::new(&columns, &marks, &layout, data), Rows::new(&columns, &marks, &layout, data));
                ours.plain(data, &layout).unwrap();
                library.quoted(&bytes, &layout).unwrap();
                let bits = |rows: &Rows| -> Vec<Vec<u64>> {
                    rows.data.numbers.iter().map(|all| all.iter().map(|v| v.to_bits()).collect()).collect()
                };
                let texts = |rows: &Rows| -> Vec<Vec<Vec<u8>>> {
                    rows.data.texts.iter().map(|all| all.iter().map(<[u8]>::to_vec).collect()).collect()
                };
                prop_assert_eq!(bits(&ours), bits(&library));
                prop_assert_eq!(texts(&ours), texts(&library));
                prop_assert_eq!(ours.short.len(), library.short.len());
                prop_assert_eq!(ours.long.len(), library.long.len());
            }
        }
    }
}
