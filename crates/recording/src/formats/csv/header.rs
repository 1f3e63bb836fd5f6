//! From header lines to a map of columns: which column means what, in which unit.

use super::meanings::{
    Dimension, MEANINGS, Meaning, NEUTRAL, NOT_UNITS, UNITS, Unit, unit, unit_names,
};
use crate::error::{ReadError, readable};
use crate::formats::ReadOptions;

/// One column that is understood.
#[derive(Debug, Clone, PartialEq)]
pub struct Column {
    /// Index in the row, from zero.
    pub index: usize,
    /// As the header spells it.
    pub name: String,
    /// What it holds.
    pub meaning: Meaning,
    /// Stated by the header or by the user; `None` when it has to be deduced.
    pub unit: Option<Unit>,
}

/// What a header cell says.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Cell {
    pub(crate) meaning: Meaning,
    pub(crate) unit: Option<Unit>,
    /// A unit in brackets that is not known.
    pub(crate) unknown_unit: Option<String>,
}

/// Splits a header into lower-case words: at anything but letters and digits, and where small letters meet capitals
/// (`GndSpd` is "gnd spd", `AltMSL` is "alt msl", `VSpdG` is "v spd g").
pub(crate) fn words(text: &str) -> Vec<String> {
    let letters: Vec<char> = text.chars().collect();
    let mut out: Vec<String> = Vec::new();
    let mut open = false;
    for (index, &letter) in letters.iter().enumerate() {
        if !letter.is_alphanumeric() {
            open = false;
            continue;
        }
        let previous = index.checked_sub(1).map(|at| letters[at]);
        let next_small = letters.get(index + 1).is_some_and(|next| next.is_lowercase());
        let rises = letter.is_uppercase() && previous.is_some_and(char::is_lowercase);
        let ends_capitals =
            letter.is_uppercase() && previous.is_some_and(char::is_uppercase) && next_small;
        if !open || rises || ends_capitals {
            out.push(String::new());
        }
        open = true;
        if let Some(word) = out.last_mut() {
            word.extend(letter.to_lowercase());
        }
    }
    out
}

/// Understands one header cell, or not.
pub(crate) fn understand(text: &str) -> Option<Cell> {
    let text = text.trim().trim_start_matches('\u{feff}').trim_matches('"').trim();
    if !text.contains(char::is_alphabetic) {
        return None;
    }
    let (name, bracket) = split_bracket(text);
    let all = words(name);
    if let Some(meaning) = meaning_of(&all) {
        let (unit, unknown_unit) = bracket_unit(meaning, bracket);
        return Some(Cell { meaning, unit, unknown_unit });
    }
    // the unit may be the last words of the name: ground_speed_kt, locationTimestamp_since1970
    let all: Vec<String> = all.into_iter().filter(|word| word != "since1970").collect();
    for tail in 1..=2.min(all.len().saturating_sub(1)) {
        let (head, last) = all.split_at(all.len() - tail);
        let Some(meaning) = meaning_of(head) else { continue };
        if let Some(found) = unit(meaning.dimension(), &last.join(" ")) {
            return Some(Cell { meaning, unit: Some(found), unknown_unit: None });
        }
    }
    let meaning = meaning_of(&all)?;
    let (unit, unknown_unit) = bracket_unit(meaning, bracket);
    Some(Cell { meaning, unit, unknown_unit })
}

fn bracket_unit(meaning: Meaning, bracket: Option<&str>) -> (Option<Unit>, Option<String>) {
    let Some(text) = bracket.filter(|text| !text.is_empty()) else { return (None, None) };
    let found = unit(meaning.dimension(), text);
    let no_unit = NOT_UNITS.contains(&text.to_lowercase().as_str());
    let unknown = (found.is_none() && !no_unit).then(|| text.to_owned());
    (found, unknown)
}

fn split_bracket(text: &str) -> (&str, Option<&str>) {
    for (open, close) in [('(', ')'), ('[', ']')] {
        if let (Some(from), Some(to)) = (text.find(open), text.rfind(close))
            && from < to
        {
            return (text[..from].trim(), Some(text[from + 1..to].trim()));
        }
    }
    (text, None)
}

/// The meaning whose phrase is the longest end of the words, if the rest is neutral.
fn meaning_of(all: &[String]) -> Option<Meaning> {
    let cleaned: Vec<&str> = all.iter().map(|word| without_number(word)).collect();
    let last = *cleaned.last()?;
    let mut best: Option<(usize, Meaning)> = None;
    for (meaning, phrases) in MEANINGS {
        for phrase in phrases.iter().filter(|phrase| phrase.ends_with(last)) {
            let length = phrase.split(' ').count();
            let Some(start) = cleaned.len().checked_sub(length) else { continue };
            let ends = phrase.split(' ').eq(cleaned[start..].iter().copied());
            let neutral = || cleaned[..start].iter().all(|word| NEUTRAL.contains(word));
            if ends && best.is_none_or(|(most, _)| length > most) && neutral() {
                best = Some((length, *meaning));
            }
        }
    }
    best.map(|(_, meaning)| meaning)
}

/// `ahrs1` is `ahrs`; words of the table that end in a digit themselves (`e1`) stay.
fn without_number(word: &str) -> &str {
    let bare = word.trim_end_matches(|letter: char| letter.is_ascii_digit());
    if NEUTRAL.contains(&bare) { bare } else { word }
}

/// Whether a cell is nothing but a unit, as in a line of units below the names.
pub(crate) fn is_unit(text: &str) -> bool {
    let text = text.trim().trim_matches(|c| "()[]".contains(c));
    if text.bytes().all(|byte| byte.is_ascii_digit() || b"+-.:".contains(&byte)) {
        return false;
    }
    let text = text.to_lowercase();
    UNITS.iter().any(|(_, names, ..)| names.contains(&text.as_str()))
}

/// Makes the map of columns from the header lines (names first, possibly short names or units below).
///
/// # Errors
/// Ambiguous when a column the fixes need carries an unknown unit, or the user's option does.
pub(crate) fn map(
    lines: &[Vec<String>],
    options: &ReadOptions,
) -> Result<(Vec<Column>, Vec<String>), ReadError> {
    let width = lines.iter().map(Vec::len).max().unwrap_or(0);
    let mut columns: Vec<Column> = Vec::new();
    let mut not_read = Vec::new();
    for index in 0..width {
        let cells = || lines.iter().filter_map(|line| line.get(index)).map(|cell| cell.trim());
        let Some(name) = cells().find(|cell| !cell.is_empty() && !is_unit(cell)) else { continue };
        let name = readable(name);
        let name = name.as_ref();
        let Some(mut cell) = cells().find_map(understand) else {
            not_read.push(name.to_owned());
            continue;
        };
        if cell.unit.is_none() {
            let below = cells().skip(1).map(|text| text.trim_matches(|c| "()[]".contains(c)));
            cell.unit = below.filter_map(|text| unit(cell.meaning.dimension(), text)).next();
        }
        let stated = stated_unit(name, cell.meaning.dimension(), options)?;
        if let Some(unknown) = cell.unknown_unit.filter(|_| stated.is_none()) {
            if cell.meaning.of_fix() && cell.meaning.dimension() != Dimension::Time {
                return Err(unknown_unit(name, &unknown, cell.meaning.dimension()));
            }
            not_read.push(format!("{name} (unit '{unknown}' not known)"));
            continue;
        }
        // the same thing twice: the first column counts
        if columns.iter().any(|known| known.meaning == cell.meaning) {
            not_read.push(name.to_owned());
            continue;
        }
        let unit = stated.or(cell.unit);
        columns.push(Column { index, name: name.to_owned(), meaning: cell.meaning, unit });
    }
    check_options(&columns, options)?;
    Ok((columns, not_read))
}

fn unknown_unit(name: &str, given: &str, dimension: Dimension) -> ReadError {
    ReadError::Ambiguous {
        what: format!("column {name}: the unit '{given}' is not known"),
        hint: format!("say which it is with --unit {name}=UNIT, one of {}", unit_names(dimension)),
    }
}

fn stated_unit(
    name: &str,
    dimension: Dimension,
    options: &ReadOptions,
) -> Result<Option<Unit>, ReadError> {
    let Some((_, text)) = options.units.iter().find(|(of, _)| same_column(of, name)) else {
        return Ok(None);
    };
    match unit(dimension, text) {
        Some(found) => Ok(Some(found)),
        None => Err(unknown_unit(name, text, dimension)),
    }
}

fn check_options(columns: &[Column], options: &ReadOptions) -> Result<(), ReadError> {
    for (of, text) in &options.units {
        if !columns.iter().any(|column| same_column(of, &column.name)) {
            let known: Vec<&str> = columns.iter().map(|column| column.name.as_str()).collect();
            return Err(ReadError::Ambiguous {
                what: format!("--unit {of}={text}: no column {of} is read from this file"),
                hint: format!("the columns read are {}", known.join(", ")),
            });
        }
    }
    Ok(())
}

fn same_column(option: &str, name: &str) -> bool {
    option.trim().eq_ignore_ascii_case(name.trim()) || words(option) == words(name)
}
