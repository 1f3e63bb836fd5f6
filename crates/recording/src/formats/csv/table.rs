//! The bytes of a table: delimiter, preamble, header lines, and numbers out of cells.

use super::LINE_MOST;
use super::columns::ColumnMap;
use super::header::{is_unit, understand};
use super::marks::{Mark, marked_number};
use super::rows::too_long;
use crate::decimal;
use crate::error::{Place, ReadError};

/// How many lines the header may come after.
const PREAMBLE_MOST: usize = 60;
/// Format key.
pub(crate) const KEY: &str = "csv";

/// How a table is laid out.
#[derive(Debug)]
pub(crate) struct Layout {
    pub(crate) delimiter: u8,
    /// Cells of the header lines.
    pub(crate) header: Vec<Vec<String>>,
    /// Line numbers of the header, for messages.
    pub(crate) header_line: u64,
    /// Byte at which the data begin, and the line there.
    pub(crate) data_byte: usize,
    pub(crate) data_line: u64,
}

impl Layout {
    /// A reader of the rows of data.
    pub(crate) fn reader<'b>(&self, bytes: &'b [u8]) -> ::csv::Reader<&'b [u8]> {
        ::csv::ReaderBuilder::new()
            .has_headers(false)
            .flexible(true)
            .delimiter(self.delimiter)
            .comment(Some(b'#'))
            .from_reader(&bytes[self.data_byte..])
    }
}

struct Line<'a> {
    number: u64,
    end: usize,
    text: std::borrow::Cow<'a, str>,
}

/// Finds the delimiter and the header lines.
///
/// # Errors
/// Malformed when there is nothing, a line is endless, or no line names two known columns.
pub(crate) fn layout(bytes: &[u8], map: Option<&ColumnMap>) -> Result<Layout, ReadError> {
    if bytes.iter().all(u8::is_ascii_whitespace) {
        return Err(malformed("the file is empty", 1, "record again or choose another file"));
    }
    let lines = first_lines(bytes)?;
    let Some((best_at, delimiter)) = names(&lines, map) else {
        return Err(malformed(
            "no line names the columns (looked for two known names such as time, latitude, altitude)",
            1,
            "add a first line with the names of the columns, for example time,lat,lon,alt,ground_speed",
        ));
    };
    let is_data = |line: &Line<'_>| looks_like_data(&cells(&line.text, delimiter));
    let is_header = |line: &Line<'_>| {
        let cells = cells(&line.text, delimiter);
        cells.len() > 1 && cells.iter().filter(|cell| understand(cell).is_some()).count() >= 2
    };
    let said = map.is_some_and(|map| map.header_line.is_some());
    let mut first = best_at;
    while !said && first > 0 && is_header(&lines[first - 1]) {
        first -= 1;
    }
    let mut after = best_at + 1;
    let data_line = map.and_then(|map| map.data_line);
    while lines.get(after).is_some_and(|line| match data_line {
        Some(data_line) => line.number < data_line,
        None => !is_data(line),
    }) {
        after += 1;
    }
    let header = lines[first..after].iter().map(|line| cells(&line.text, delimiter)).collect();
    let data_line = lines[after - 1].number + 1;
    Ok(Layout {
        delimiter,
        header,
        header_line: lines[first].number,
        data_byte: lines[after - 1].end,
        data_line,
    })
}

/// The line that names most columns and the delimiter by which it does; both as the user's map says them, if it does.
fn names(lines: &[Line<'_>], map: Option<&ColumnMap>) -> Option<(usize, u8)> {
    let said = map.and_then(|map| map.delimiter);
    let line_said = map.and_then(|map| map.header_line);
    let in_map = |cell: &str| {
        map.is_some_and(|map| map.columns.iter().any(|column| column.name.trim() == cell.trim()))
    };
    let mut best: Option<(usize, usize, u8)> = None;
    for delimiter in [b',', b';', b'\t', b'|'].into_iter().filter(|d| said.is_none_or(|s| s == *d))
    {
        for (at, line) in lines.iter().enumerate() {
            if line_said.is_some_and(|said| said != line.number) {
                continue;
            }
            // one cell alone names no table
            if !line.text.as_bytes().contains(&delimiter) {
                continue;
            }
            let cells = cells(&line.text, delimiter);
            let known = cells.iter().filter(|c| understand(c).is_some() || in_map(c)).count();
            if known >= 2 && best.is_none_or(|(most, ..)| known > most) {
                best = Some((known, at, delimiter));
            }
        }
    }
    best.map(|(_, at, delimiter)| (at, delimiter))
}

/// The first lines that are not blank and no comment.
fn first_lines(bytes: &[u8]) -> Result<Vec<Line<'_>>, ReadError> {
    let mut out = Vec::new();
    let mut at = 0;
    let mut number = 0;
    while at < bytes.len() && out.len() < PREAMBLE_MOST {
        number += 1;
        let end = bytes[at..].iter().position(|&b| b == b'\n').map_or(bytes.len(), |n| at + n + 1);
        if end - at > LINE_MOST {
            return Err(too_long(number, at));
        }
        let text = String::from_utf8_lossy(&bytes[at..end]);
        let blank = text.trim().is_empty();
        if !blank && !text.trim_start().starts_with('#') {
            out.push(Line { number, end, text });
        }
        at = end;
    }
    Ok(out)
}

pub(super) fn cells(line: &str, delimiter: u8) -> Vec<String> {
    let mut out = vec![String::new()];
    let mut quoted = false;
    for letter in line.trim_end_matches(['\r', '\n']).chars() {
        match letter {
            '"' => quoted = !quoted,
            _ if letter as u32 == u32::from(delimiter) && !quoted => out.push(String::new()),
            _ => {
                if let Some(cell) = out.last_mut() {
                    cell.push(letter);
                }
            }
        }
    }
    out
}

/// Numbers and clock readings outnumber words.
fn looks_like_data(cells: &[String]) -> bool {
    let filled = || cells.iter().map(|cell| cell.trim()).filter(|cell| !cell.is_empty());
    let numeric = filled().filter(|cell| {
        let bytes = cell.as_bytes();
        let signed = bytes.len() > 1 && b"+-.".contains(&bytes[0]);
        bytes[0].is_ascii_digit() || (signed && bytes[1].is_ascii_digit())
    });
    let units = filled().filter(|cell| is_unit(cell)).count();
    let names = filled().filter(|cell| understand(cell).is_some()).count();
    numeric.count() * 4 > filled().count() && units + names < 2
}

/// Malformed at a line of the table.
pub(crate) fn malformed(what: &str, line: u64, hint: &str) -> ReadError {
    ReadError::Malformed {
        format: KEY,
        what: what.to_owned(),
        place: Place { line, byte: None },
        hint: hint.to_owned(),
    }
}

/// A cell as a number: `None` when empty, `Some(Err)` when it is something else.
pub(crate) fn number(cell: &[u8], mark: Mark) -> Option<Result<f64, ()>> {
    let cell = cell.trim_ascii();
    if cell.is_empty() {
        return None;
    }
    if let Some((value, end)) = decimal::prefix(cell, mark == Mark::Decimal)
        && end == cell.len()
    {
        return Some(Ok(value));
    }
    let Ok(text) = std::str::from_utf8(cell) else { return Some(Err(())) };
    match text.parse::<f64>().ok().or_else(|| marked_number(text, mark)) {
        Some(value) if value.is_finite() => Some(Ok(value)),
        Some(value) if value.is_nan() => None,
        _ => Some(Err(())),
    }
}
