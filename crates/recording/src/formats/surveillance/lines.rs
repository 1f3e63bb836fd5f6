//! Tables of comma-separated values with a column of addresses or callsigns, and message logs, to rows.

use super::fields::{Field, field};
use super::malformed;
use super::rows::{Cell, Row, Rows};
use crate::decimal;
use crate::error::ReadError;
use crate::formats::ReadOptions;
use crate::formats::csv::meanings::{Unit, unit, unit_names};

/// The header is among so many first lines.
const PREAMBLE_MOST: usize = 20;
/// Longest line of a header, bytes.
const HEADER_MOST: usize = 1 << 16;

/// Where the data of a table begin and what its columns hold.
pub(super) struct Header {
    delimiter: u8,
    data_byte: usize,
    data_line: u64,
    columns: Vec<Option<(Field, Option<Unit>)>>,
    names: Vec<String>,
}

/// The header of a table of surveillance: time, place, and who it is.
pub(super) fn header(bytes: &[u8]) -> Option<Header> {
    let mut at = 0;
    for number in 1..=PREAMBLE_MOST as u64 {
        let end = bytes[at..].iter().position(|&byte| byte == b'\n').map(|n| at + n + 1)?;
        let line = bytes[at..end].strip_prefix(b"\xef\xbb\xbf").unwrap_or(&bytes[at..end]);
        if line.len() > HEADER_MOST {
            return None;
        }
        if !line.windows(3).any(|part| part.eq_ignore_ascii_case(b"lat")) {
            at = end;
            continue;
        }
        let line = String::from_utf8_lossy(line);
        for delimiter in [',', ';', '\t'] {
            let names: Vec<String> = line
                .trim_end()
                .split(delimiter)
                .map(|n| n.trim().trim_matches('"').to_owned())
                .collect();
            let columns: Vec<_> = names.iter().map(|name| field(name)).collect();
            let has = |wanted| columns.iter().flatten().any(|(field, _)| *field == wanted);
            let who = has(Field::Address) || has(Field::Callsign);
            if who && has(Field::Time) && has(Field::Latitude) && has(Field::Longitude) {
                let delimiter = delimiter as u8;
                return Some(Header {
                    delimiter,
                    data_byte: end,
                    data_line: number + 1,
                    columns,
                    names,
                });
            }
        }
        at = end;
    }
    None
}

/// Reads a table.
///
/// # Errors
/// Malformed when there is no header; Ambiguous when the user names a column or unit that is not there.
pub(super) fn table(bytes: &[u8], options: &ReadOptions) -> Result<Rows, ReadError> {
    let Some(header) = header(bytes) else {
        return Err(malformed(
            "no line names time, latitude, longitude and address or callsign".into(),
            1,
            "name the columns timestamp, icao24, latitude, longitude, altitude, groundspeed, track",
        ));
    };
    let mut rows = Rows::default();
    for (field, unit) in header.columns.iter().flatten() {
        if let Some(unit) = unit {
            rows.state_unit(*field, unit.clone());
        }
    }
    for (name, column) in header.names.iter().zip(&header.columns) {
        if column.is_none() && !name.is_empty() {
            rows.leave(name);
        }
    }
    stated_units(&header, options, &mut rows)?;
    let mut reader = ::csv::ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .delimiter(header.delimiter)
        .from_reader(&bytes[header.data_byte..]);
    let mut record = ::csv::ByteRecord::new();
    while reader.read_byte_record(&mut record).map_err(|error| broken(&error, &header))? {
        let line = record.position().map_or(0, |at| at.line() - 1) + header.data_line;
        let mut row = Row::new(line);
        let mut filled = 0;
        for (cell, column) in record.iter().zip(&header.columns) {
            if let (Some((field, _)), false) = (column, cell.is_empty()) {
                filled += 1;
                // Most are plain numbers: those need not be looked at as text.
                match number(*field, cell) {
                    Some(number) => rows.cells.put(&mut row, *field, Cell::Number(number)),
                    None => {
                        let text = String::from_utf8_lossy(cell);
                        rows.cells.put(&mut row, *field, of_text(*field, &text));
                    }
                }
            }
        }
        // a time alone is no row
        if filled > 1 {
            rows.all.push(&row);
        } else {
            rows.broken.push(line);
        }
    }
    Ok(rows)
}

/// A cell that is a plain number, of a column that may hold numbers.
fn number(field: Field, cell: &[u8]) -> Option<f64> {
    let named = matches!(field, Field::Address | Field::Callsign | Field::Register);
    if named { None } else { decimal::parse(cell.trim_ascii()) }
}

/// A cell of text: numbers of times are numbers, not dates.
fn of_text(field: Field, text: &str) -> Cell<'_> {
    let text = text.trim();
    if text.is_empty() {
        return Cell::Null;
    }
    if matches!(field, Field::Address | Field::Callsign | Field::Register) {
        return Cell::Text(text);
    }
    decimal::parse(text.as_bytes()).map_or(Cell::Text(text), Cell::Number)
}

/// Units by the user's word.
fn stated_units(header: &Header, options: &ReadOptions, rows: &mut Rows) -> Result<(), ReadError> {
    for (name, text) in &options.units {
        let at = header.names.iter().position(|known| known.eq_ignore_ascii_case(name.trim()));
        let column = at.and_then(|at| header.columns[at].as_ref());
        let Some((field, dimension)) = column.and_then(|(f, _)| Some((*f, f.dimension()?))) else {
            return Err(ReadError::Ambiguous {
                what: format!(
                    "--unit {name}={text}: no column {name} with a unit is read from this file"
                ),
                hint: format!("the columns are {}", header.names.join(", ")),
            });
        };
        let Some(stated) = unit(dimension, text) else {
            return Err(ReadError::Ambiguous {
                what: format!("column {name}: the unit '{text}' is not known"),
                hint: format!(
                    "say which it is with --unit {name}=UNIT, one of {}",
                    unit_names(dimension)
                ),
            });
        };
        rows.units.retain(|(of, _)| *of != field);
        rows.units.push((field, stated));
    }
    Ok(())
}

fn broken(error: &::csv::Error, header: &Header) -> ReadError {
    let line = error.position().map_or(0, |at| at.line() - 1 + header.data_line);
    malformed(
        format!("the row cannot be read ({error})"),
        line,
        "open the file in an editor and look at this line",
    )
}

/// Places of a message log that are read: MSG, kind, three numbers of the receiver, then these.
const MESSAGE: [(usize, Field); 9] = [
    (4, Field::Address),
    (10, Field::Callsign),
    (11, Field::Altitude),
    (12, Field::GroundSpeed),
    (13, Field::Track),
    (14, Field::Latitude),
    (15, Field::Longitude),
    (16, Field::VerticalRate),
    (21, Field::OnGround),
];

/// Reads a message log: one message a line, date and time in the seventh and eighth place, as logged in the two after.
///
/// # Errors
/// Malformed when no line carries a date and time.
pub(super) fn messages(bytes: &[u8]) -> Result<Rows, ReadError> {
    let mut rows = Rows::default();
    let mut undated = 0;
    for (index, line) in bytes.split(|&byte| byte == b'\n').enumerate() {
        let number = index as u64 + 1;
        let line = String::from_utf8_lossy(line.trim_ascii());
        if line.is_empty() {
            continue;
        }
        let places: Vec<&str> = line.split(',').take(32).map(str::trim).collect();
        if places[0] != "MSG" || places.len() < 17 {
            rows.broken.push(number);
            continue;
        }
        let moment = [(6, 7), (8, 9)]
            .into_iter()
            .find(|(date, time)| !places[*date].is_empty() && !places[*time].is_empty());
        let Some((date, time)) = moment else {
            undated += 1;
            continue;
        };
        let mut row = Row::new(number);
        let stamp = format!("{} {}", places[date], places[time]);
        rows.cells.put(&mut row, Field::Time, Cell::Text(&stamp));
        for (at, field) in MESSAGE {
            let text = places.get(at).copied().unwrap_or("");
            rows.cells.put(&mut row, field, of_text(field, text));
        }
        rows.all.push(&row);
    }
    if rows.all.is_empty() {
        let what = if undated > 0 {
            format!(
                "the date and time of all {undated} messages are empty: they cannot be placed in time"
            )
        } else {
            "no line is a message with its places filled".to_owned()
        };
        return Err(malformed(what, 1, "log the messages again with the times of the receiver"));
    }
    Ok(rows)
}
