//! What a comma inside a number means, decided from the whole column: `5,280` beside `980` is five thousand and more,
//! `5,280` beside `4,5` is a little over five.

use super::header::Column;
use super::meanings::Dimension;
use super::table::Layout;
use crate::error::ReadError;
use crate::normal::NoteKind;
use crate::normal::assemble::Draft;

/// How a comma in the numbers of a column is read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Mark {
    /// Between whole and fraction.
    Decimal,
    /// Between thousands.
    Thousands,
}

/// What the cells of a column show.
#[derive(Debug, Default, Clone)]
struct Seen {
    /// Cells that can be both, the first of them as an example.
    open: usize,
    example: String,
    /// A comma that can only stand before a fraction.
    decimal: Option<String>,
    /// A comma that can only stand between thousands.
    thousands: Option<String>,
    /// A whole number below a thousand without a comma.
    small: Option<String>,
    /// A number of a thousand and more without a comma.
    large: Option<String>,
    /// A fraction after a point.
    point: Option<String>,
}

/// The mark of every column, time columns included. Reads the table once more, and only where commas can be in cells.
///
/// # Errors
/// Ambiguous when nothing in the column or the table tells.
pub(crate) fn decide(
    bytes: &[u8],
    layout: &Layout,
    columns: &[Column],
    said: Option<u8>,
    draft: &mut Draft,
) -> Result<Vec<Mark>, ReadError> {
    let usual = match said {
        Some(b'.') => Mark::Thousands,
        Some(_) => Mark::Decimal,
        None if layout.delimiter == b',' => Mark::Thousands,
        None => Mark::Decimal,
    };
    let sign = if layout.delimiter == b',' { b'"' } else { b',' };
    if said.is_some() || !bytes[layout.data_byte..].contains(&sign) {
        return Ok(vec![usual; columns.len()]);
    }
    let seen = look(bytes, layout, columns);
    let whole = Whole::of(&seen);
    let mut marks = Vec::with_capacity(columns.len());
    for (column, seen) in columns.iter().zip(&seen) {
        marks.push(of_column(column, seen, &whole, usual, draft)?);
    }
    Ok(marks)
}

fn look(bytes: &[u8], layout: &Layout, columns: &[Column]) -> Vec<Seen> {
    let mut seen = vec![Seen::default(); columns.len()];
    let mut reader = layout.reader(bytes);
    let mut record = ::csv::ByteRecord::new();
    // an error is met again, and told, when the rows are read
    while reader.read_byte_record(&mut record).unwrap_or(false) {
        for (column, seen) in columns.iter().zip(&mut seen) {
            if column.meaning.dimension() != Dimension::Time
                && let Some(cell) = record.get(column.index)
            {
                seen.add(cell.trim_ascii());
            }
        }
    }
    seen
}

impl Seen {
    fn add(&mut self, cell: &[u8]) {
        let text = || String::from_utf8_lossy(cell).chars().take(24).collect::<String>();
        let digits = cell.strip_prefix(b"-").or_else(|| cell.strip_prefix(b"+")).unwrap_or(cell);
        if !digits.first().is_some_and(u8::is_ascii_digit)
            || !digits.iter().all(|byte| byte.is_ascii_digit() || b".,".contains(byte))
        {
            return;
        }
        if !digits.contains(&b',') {
            if digits.contains(&b'.') {
                self.point.get_or_insert_with(text);
            } else if digits.len() > 3 {
                self.large.get_or_insert_with(text);
            } else if digits != b"0" {
                self.small.get_or_insert_with(text);
            }
            return;
        }
        let (whole, fraction) = match digits.iter().position(|&byte| byte == b'.') {
            Some(at) => (&digits[..at], true),
            None => (digits, false),
        };
        let groups: Vec<&[u8]> = whole.split(|&byte| byte == b',').collect();
        let first = groups[0];
        let grouped = groups.len() > 1
            && (1..=3).contains(&first.len())
            && first[0] != b'0'
            && groups[1..].iter().all(|group| group.len() == 3);
        if !grouped {
            self.decimal.get_or_insert_with(text);
        } else if fraction || groups.len() > 2 {
            self.thousands.get_or_insert_with(text);
        } else {
            if self.open == 0 {
                self.example = text();
            }
            self.open += 1;
        }
    }
}

/// What all columns together show.
struct Whole {
    decimal: Option<String>,
    point: Option<String>,
}

impl Whole {
    fn of(seen: &[Seen]) -> Self {
        let first =
            |get: fn(&Seen) -> &Option<String>| seen.iter().find_map(|seen| get(seen).clone());
        Self { decimal: first(|seen| &seen.decimal), point: first(|seen| &seen.point) }
    }
}

fn of_column(
    column: &Column,
    seen: &Seen,
    whole: &Whole,
    usual: Mark,
    draft: &mut Draft,
) -> Result<Mark, ReadError> {
    if seen.decimal.is_some() {
        return Ok(Mark::Decimal);
    }
    if seen.open == 0 {
        return Ok(if seen.thousands.is_some() { Mark::Thousands } else { usual });
    }
    let (mark, why) = if let Some(cell) = seen.thousands.as_ref().or(seen.point.as_ref()) {
        (Mark::Thousands, format!("the column has {cell}, too"))
    } else if let Some(cell) = &seen.large {
        (Mark::Decimal, format!("the column has {cell} without a comma"))
    } else if let Some(cell) = &whole.decimal {
        (Mark::Decimal, format!("another column has {cell}"))
    } else if let Some(cell) = &seen.small {
        (
            Mark::Thousands,
            format!("only numbers of a thousand and more have a comma, {cell} has none"),
        )
    } else if let Some(cell) = &whole.point {
        (Mark::Thousands, format!("another column has {cell}"))
    } else {
        return Err(ReadError::Ambiguous {
            what: format!(
                "column {}: {} may be thousands or a fraction",
                column.name, seen.example
            ),
            hint:
                "say which by decimal_mark = \",\" or \".\" in a column map, given with --columns"
                    .into(),
        });
    };
    let plain: String = match mark {
        Mark::Thousands => seen.example.replace(',', ""),
        Mark::Decimal => seen.example.replace(',', "."),
    };
    let text = format!("column {}: {} is taken as {plain}: {why}", column.name, seen.example);
    draft.note(NoteKind::Assumed, text);
    Ok(mark)
}

/// A number that the standard parser does not know: with commas, or with blanks or apostrophes between thousands.
pub(crate) fn marked_number(text: &str, mark: Mark) -> Option<f64> {
    let text: String =
        text.chars().filter(|c| !matches!(c, '\'' | '’' | '\u{a0}' | '\u{202f}')).collect();
    let plain = match (mark, text.rfind(',')) {
        (_, None) => text,
        (Mark::Thousands, Some(_)) => text.replace(',', ""),
        (Mark::Decimal, Some(at)) => {
            let (whole, fraction) = (text[..at].replace('.', ""), &text[at + 1..]);
            if whole.contains(',') {
                return None;
            }
            format!("{whole}.{fraction}")
        }
    };
    plain.parse().ok()
}

/// A latitude or longitude in words: `N47.38`, `47.38 S`, `47 22.95 N`, `8°31'12"W`; degrees, north and east positive.
pub(crate) fn angle_in_words(cell: &[u8], latitude: bool) -> Option<f64> {
    let text = std::str::from_utf8(cell).ok()?.trim();
    let upper = text.to_ascii_uppercase();
    let letters: Vec<char> = upper.chars().filter(char::is_ascii_alphabetic).collect();
    let negative = match letters[..] {
        [] => upper.starts_with('-'),
        ['N'] if latitude => false,
        ['E'] if !latitude => false,
        ['S'] if latitude => true,
        ['W'] if !latitude => true,
        _ => return None,
    };
    let inner = upper.trim_matches(|c: char| "NSEW".contains(c) || c.is_whitespace());
    let marks = |c: char| c.is_whitespace() || "°º'′\"″:".contains(c);
    let parts: Vec<f64> = inner
        .trim_start_matches(['+', '-'])
        .split(marks)
        .filter(|part| !part.is_empty())
        .map(|part| part.replace(',', ".").parse().ok())
        .collect::<Option<_>>()?;
    let (degrees, minutes, seconds) = match parts[..] {
        [degrees] => (degrees, 0.0, 0.0),
        [degrees, minutes] => (degrees, minutes, 0.0),
        [degrees, minutes, seconds] => (degrees, minutes, seconds),
        _ => return None,
    };
    let fits = (0.0..=180.0).contains(&degrees)
        && (0.0..60.0).contains(&minutes)
        && (0.0..60.0).contains(&seconds);
    let value = degrees + minutes / 60.0 + seconds / 3600.0;
    fits.then_some(if negative { -value } else { value })
}
