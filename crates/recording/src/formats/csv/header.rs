//! From header lines to a map of columns: which column means what, in which unit.

use super::columns::MappedColumn;
use super::meanings::{
    Dimension, MEANINGS, Meaning, NEUTRAL, NOT_UNITS, UNITS, Unit, VECTORS, unit, unit_names,
};
use crate::error::{ReadError, readable};
use crate::formats::ReadOptions;
use base::typed_toml::distance;
use std::collections::{HashMap, HashSet};
use std::sync::OnceLock;

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
    /// Whether the unit was stated, not deduced.
    pub stated: bool,
    /// Whether the values are read with their sign turned.
    pub turned: bool,
    /// What a normal load reads in level flight, g, where the user said it or it was found; one when it is absolute.
    pub at_rest_g: Option<f64>,
    /// Whether the user's map names it: then nothing about it is deduced that the map says.
    pub mapped: bool,
}

impl Column {
    /// A column with nothing said of it but its meaning and, perhaps, its unit.
    pub(crate) fn new(index: usize, name: String, meaning: Meaning, unit: Option<Unit>) -> Self {
        let stated = unit.is_some();
        Self { index, name, meaning, unit, stated, turned: false, at_rest_g: None, mapped: false }
    }
}

/// A column that is not read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Unread {
    /// Index in the row, from zero.
    pub index: usize,
    /// As the header spells it.
    pub name: String,
    /// Why it is not, when there is more to say than that its name is not known.
    pub why: Option<String>,
}

impl std::fmt::Display for Unread {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match &self.why {
            Some(why) => write!(out, "{} ({why})", self.name),
            None => out.write_str(&self.name),
        }
    }
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
    for (meaning, phrase) in phrases_ending_in(last) {
        let Some(start) = cleaned.len().checked_sub(phrase.len()) else { continue };
        let ends = phrase.iter().eq(&cleaned[start..]);
        let neutral = || cleaned[..start].iter().all(|word| is_neutral(word));
        if ends && best.is_none_or(|(most, _)| phrase.len() > most) && neutral() {
            best = Some((phrase.len(), *meaning));
        }
    }
    best.map(|(_, meaning)| meaning)
}

/// A phrase in words, and what it means.
type Phrase = (Meaning, Vec<String>);

/// The phrases of the table by their last word, in the order of the table: a header is looked up, not searched for.
fn phrases_ending_in(last: &str) -> &'static [Phrase] {
    static INDEX: OnceLock<HashMap<String, Vec<Phrase>>> = OnceLock::new();
    let index = INDEX.get_or_init(|| {
        let mut index: HashMap<String, Vec<Phrase>> = HashMap::new();
        let mut add = |meaning: Meaning, phrase: &str| {
            let words: Vec<String> = phrase.split(' ').map(str::to_owned).collect();
            let last = words.last().cloned().unwrap_or_default();
            index.entry(last).or_default().push((meaning, words));
        };
        for (meaning, phrases) in MEANINGS {
            phrases.iter().for_each(|phrase| add(*meaning, phrase));
        }
        for (meanings, names, joined) in VECTORS {
            for (meaning, axis) in meanings.iter().zip(["x", "y", "z"]) {
                for name in *names {
                    add(*meaning, &format!("{name} {axis}"));
                    add(*meaning, &format!("{axis} {name}"));
                    add(*meaning, &format!("{name} {axis} axis"));
                    add(*meaning, &format!("{axis} axis {name}"));
                }
                joined.iter().for_each(|name| add(*meaning, &format!("{name}{axis}")));
            }
        }
        index
    });
    index.get(last).map_or(&[], Vec::as_slice)
}

fn is_neutral(word: &str) -> bool {
    static SET: OnceLock<HashSet<&str>> = OnceLock::new();
    SET.get_or_init(|| NEUTRAL.iter().copied().collect()).contains(word)
}

/// `ahrs1` is `ahrs`; words of the table that end in a digit themselves (`e1`) stay.
fn without_number(word: &str) -> &str {
    let bare = word.trim_end_matches(|letter: char| letter.is_ascii_digit());
    if is_neutral(bare) { bare } else { word }
}

/// Whether a cell is nothing but a unit, as in a line of units below the names.
pub(crate) fn is_unit(text: &str) -> bool {
    let text = text.trim().trim_matches(|c| "()[]".contains(c));
    if text.bytes().all(|byte| byte.is_ascii_digit() || b"+-.:".contains(&byte)) {
        return false;
    }
    static SET: OnceLock<HashSet<&str>> = OnceLock::new();
    let set = SET.get_or_init(|| UNITS.iter().flat_map(|(_, names, ..)| *names).copied().collect());
    set.contains(text.to_lowercase().as_str())
}

/// Makes the map of columns from the header lines (names first, possibly short names or units below).
///
/// # Errors
/// Ambiguous when a column the fixes need carries an unknown unit, the user's option does, or the user's map names a column
/// that is not there.
pub(crate) fn map(
    lines: &[Vec<String>],
    options: &ReadOptions,
) -> Result<(Vec<Column>, Vec<Unread>), ReadError> {
    let width = lines.iter().map(Vec::len).max().unwrap_or(0);
    let mut columns: Vec<Column> = Vec::new();
    let mut unread = Vec::new();
    let mut found = vec![false; options.columns.as_ref().map_or(0, |map| map.columns.len())];
    for index in 0..width {
        let cells: Vec<&str> =
            lines.iter().filter_map(|line| line.get(index)).map(|cell| tidy(cell)).collect();
        let Some(&name) = cells.iter().find(|cell| !cell.is_empty() && !is_unit(cell)) else {
            continue;
        };
        let name = readable(name);
        let name = name.as_ref();
        let mapped = mapped(options, &cells, index);
        if let Some((at, _)) = mapped {
            found[at] = true;
        }
        match column(index, name, &cells, mapped.map(|(_, said)| said), options)? {
            // the same thing twice: the first column counts
            Ok(column) => match columns.iter().find(|known| known.meaning == column.meaning) {
                Some(known) => {
                    let why = format!("column {} is read for it: {}", known.index + 1, known.name);
                    unread.push(Unread { index, name: name.to_owned(), why: Some(why) });
                }
                None => columns.push(column),
            },
            Err(why) => unread.push(Unread { index, name: name.to_owned(), why }),
        }
    }
    check_options(&columns, options)?;
    check_map(options, &found, lines)?;
    Ok((columns, unread))
}

/// One column, or why it is not read.
fn column(
    index: usize,
    name: &str,
    cells: &[&str],
    mapped: Option<&MappedColumn>,
    options: &ReadOptions,
) -> Result<Result<Column, Option<String>>, ReadError> {
    let of_header = cells.iter().find_map(|cell| understand(cell));
    let meaning = match (mapped, &of_header) {
        (Some(said), _) => said.meaning,
        (None, _) if options.columns.as_ref().is_some_and(|map| map.others_not_read) => None,
        (None, found) => found.as_ref().map(|cell| cell.meaning),
    };
    let Some(meaning) = meaning else {
        return Ok(Err(mapped.map(|_| "by the column map".to_owned())));
    };
    let dimension = meaning.dimension();
    let of_option = stated_unit(name, dimension, options)?;
    let said = of_option.or_else(|| mapped.and_then(|said| said.unit.clone()));
    let of_header = of_header.filter(|cell| cell.meaning.dimension() == dimension);
    let mut unit_found = of_header.as_ref().and_then(|cell| cell.unit.clone());
    if unit_found.is_none() {
        let below = cells.iter().skip(1).map(|text| text.trim_matches(|c| "()[]".contains(c)));
        unit_found = below.filter_map(|text| unit(dimension, text)).next();
    }
    let unknown = of_header.and_then(|cell| cell.unknown_unit);
    if let Some(unknown) = unknown.filter(|_| said.is_none()) {
        if meaning.of_fix() && dimension != Dimension::Time {
            return Err(unknown_unit(name, &unknown, dimension));
        }
        return Ok(Err(Some(format!("unit '{unknown}' not known"))));
    }
    let unit = said.or(unit_found);
    Ok(Ok(Column {
        turned: mapped.is_some_and(|said| said.turned),
        at_rest_g: mapped.and_then(|said| said.at_rest_g),
        mapped: mapped.is_some(),
        ..Column::new(index, name.to_owned(), meaning, unit)
    }))
}

fn tidy(cell: &str) -> &str {
    cell.trim().trim_start_matches('\u{feff}').trim_matches('"').trim()
}

/// What the user's map says of a column, with its index in the map: by its name, or another way of writing it, and by its
/// position where one is given.
fn mapped<'o>(
    options: &'o ReadOptions,
    cells: &[&str],
    index: usize,
) -> Option<(usize, &'o MappedColumn)> {
    let map = options.columns.as_ref()?;
    let placed = |said: &MappedColumn| said.position.is_none_or(|position| position == index + 1);
    let exact = |said: &MappedColumn| cells.contains(&tidy(&said.name));
    let alike = |said: &MappedColumn| cells.iter().any(|cell| same_column(&said.name, cell));
    let find = |fits: &dyn Fn(&MappedColumn) -> bool| {
        map.columns.iter().enumerate().find(|(_, said)| placed(said) && fits(said))
    };
    find(&exact).or_else(|| find(&alike))
}

fn check_map(
    options: &ReadOptions,
    found: &[bool],
    lines: &[Vec<String>],
) -> Result<(), ReadError> {
    let Some(map) = options.columns.as_ref().filter(|_| !options.one_of_several) else {
        return Ok(());
    };
    let missing = map.columns.iter().zip(found).find(|(said, found)| !**found && !said.optional);
    let Some((said, _)) = missing else { return Ok(()) };
    let names: Vec<&str> = lines.iter().flatten().map(|cell| tidy(cell)).collect();
    let named = names.iter().copied().filter(|name| !name.is_empty() && !is_unit(name));
    let near = named
        .clone()
        .min_by_key(|name| distance(name, &said.name))
        .filter(|name| distance(name, &said.name) <= 3 && *name != said.name);
    let place = said.position.map_or(String::new(), |position| format!(" at position {position}"));
    let hint = match near {
        Some(near) => format!("did you mean {near}? or write optional = true"),
        None => format!(
            "write optional = true, or one of the names of this file: {}",
            named.take(40).collect::<Vec<_>>().join(", ")
        ),
    };
    Err(ReadError::Ambiguous {
        what: format!(
            "{}, line {}: no column {:?}{place} in this file",
            map.name, said.line, said.name
        ),
        hint,
    })
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
    for (of, text) in options.units.iter().filter(|_| !options.one_of_several) {
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
