//! A map of columns that people can save, reuse and edit: a TOML file, `skychalk.columns/1` (docs/recording-columns.md).
//! What it says is taken as said; what it leaves open is found as without it.

use super::clock::{self, DateOrder};
use super::meanings::{self, Meaning, Unit, unit, unit_names};
use crate::normal::QuantityKind as Q;
use base::typed_toml::{self, Faults, Section, distance};

#[cfg(test)]
mod tests;

/// Name of the form and its version, the first line of every map.
pub const SCHEMA: &str = "skychalk.columns/1";
/// What is written for a column that is not to be read.
pub(crate) const NOT_READ: &str = "not-read";
/// What is written for a sign that is turned.
const TURNED: &str = "turned";
/// Longest time between rows that is believed, s.
const ROW_INTERVAL_MOST_S: f64 = 60.0;
/// The orders of a date, by what is written.
const DATE_ORDERS: [(&str, DateOrder); 2] =
    [("day-month-year", DateOrder::DayFirst), ("month-day-year", DateOrder::MonthFirst)];
/// The marks between columns, by what is written.
const DELIMITERS: [(&str, u8); 5] =
    [(",", b','), (";", b';'), ("tab", b'\t'), ("\t", b'\t'), ("|", b'|')];

/// What is said of a table and of its columns.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct ColumnMap {
    /// Name of the file it was read from, for messages.
    pub name: String,
    /// What stands between columns.
    pub delimiter: Option<u8>,
    /// What stands between whole and fraction, `b'.'` or `b','`.
    pub decimal_mark: Option<u8>,
    /// Line of the names, counted from one.
    pub header_line: Option<u64>,
    /// First line of data, counted from one.
    pub data_line: Option<u64>,
    /// What local times are ahead of UTC, s.
    pub utc_offset_s: Option<f64>,
    /// Order of slashed dates.
    pub(crate) date_order: Option<DateOrder>,
    /// Time from row to row, for tables without a clock, s.
    pub row_interval_s: Option<f64>,
    /// Whether columns that are not named here are left unread; else they are known by their names.
    pub others_not_read: bool,
    /// In the order of the file.
    pub columns: Vec<MappedColumn>,
}

/// What is said of one column.
#[derive(Debug, Clone, PartialEq)]
pub struct MappedColumn {
    /// Line in the map, for messages.
    pub line: usize,
    /// As the header of the table spells it.
    pub name: String,
    /// Which of the columns it is, counted from one, where the name does not tell.
    pub position: Option<usize>,
    /// What it holds; `None` when it is not to be read.
    pub meaning: Option<Meaning>,
    /// Unit; `None` leaves it to the header and the data.
    pub unit: Option<Unit>,
    /// Whether the sign is turned.
    pub turned: bool,
    /// What a normal load reads in level flight, g: 1 or, when it is written less gravity, 0.
    pub at_rest_g: Option<f64>,
    /// Whether a table without this column is read all the same.
    pub optional: bool,
}

impl ColumnMap {
    /// Reads a map.
    ///
    /// # Errors
    /// Every fault of the file, each with its line: not TOML, unknown keys, meanings or units, positions taken twice.
    pub fn from_toml(text: &str, name: &str) -> Result<Self, Faults> {
        typed_toml::read(text, name, |root| {
            let schema = root.text("schema");
            if schema.as_deref().is_some_and(|schema| schema != SCHEMA) {
                root.fault(
                    "schema",
                    "this is not a map of columns",
                    format!("schema = {SCHEMA:?}"),
                );
            }
            let mut map = root.optional_section("table").map_or_else(Self::default, |table| {
                let map = of_table(&table);
                table.refuse_unknown();
                map
            });
            map.name = name.to_owned();
            map.columns.extend(root.sections("column").iter().filter_map(of_column));
            refuse_doubles(&map, root);
            Some(map)
        })
    }

    /// The map as a file that [`Self::from_toml`] reads to the same map; `of` says in a comment what it was made from.
    #[must_use]
    pub fn to_toml(&self, of: &str) -> String {
        let mut out = format!(
            "# Columns of {}: correct what is wrong and give it with --columns.\nschema = {SCHEMA:?}\n\n[table]\n",
            printable(of)
        );
        let mut line = |key: &str, value: Option<String>, comment: &str| {
            let (mark, value) = match value {
                Some(value) => ("", value),
                None => ("# ", comment.to_owned()),
            };
            out += &format!("{mark}{key} = {value}\n");
        };
        let written = DELIMITERS.iter().find(|(_, byte)| Some(*byte) == self.delimiter);
        line("delimiter", written.map(|(word, _)| quoted(word)), "\",\"");
        line(
            "decimal_mark",
            self.decimal_mark.map(|mark| quoted(&char::from(mark).to_string())),
            "\".\"",
        );
        line("header_line", self.header_line.map(|line| line.to_string()), "1");
        line("data_line", self.data_line.map(|line| line.to_string()), "2");
        line("utc_offset", self.utc_offset_s.map(|s| quoted(&clock::offset_text(s))), "\"+02:00\"");
        let order = DATE_ORDERS.iter().find(|(_, order)| Some(*order) == self.date_order);
        line("date_order", order.map(|(word, _)| quoted(word)), "\"day-month-year\"");
        line("row_interval_s", self.row_interval_s.map(|s| format!("{s:?}")), "1.0");
        line("other_columns", self.others_not_read.then(|| quoted(NOT_READ)), "\"by-name\"");
        let (plain, others): (Vec<&MappedColumn>, Vec<&MappedColumn>) =
            self.columns.iter().partition(|column| {
                column.meaning.is_none() && column.position.is_none() && column.optional
            });
        if !plain.is_empty() {
            let names: Vec<String> =
                plain.iter().map(|column| format!("  {},\n", quoted(&column.name))).collect();
            out += &format!("not_read = [\n{}]\n", names.concat());
        }
        for column in others {
            out += &column.to_toml();
        }
        out
    }
}

impl MappedColumn {
    /// Whether it is an axis of a device's accelerometer.
    pub(crate) const fn is_device_force(&self) -> bool {
        matches!(
            self.meaning,
            Some(Meaning::Sensor(Q::DeviceForceXMps2 | Q::DeviceForceYMps2 | Q::DeviceForceZMps2))
        )
    }
    fn to_toml(&self) -> String {
        let mut out = format!("\n[[column]]\nname = {}\n", quoted(&self.name));
        if let Some(position) = self.position {
            out += &format!("position = {position}\n");
        }
        let meaning = self.meaning.map_or(NOT_READ, Meaning::key);
        out += &format!("meaning = {}\n", quoted(meaning));
        if let Some(unit) = &self.unit {
            out += &format!("unit = {}\n", quoted(unit.name));
        }
        if self.turned {
            out += &format!("sign = {}\n", quoted(TURNED));
        }
        if let Some(at_rest_g) = self.at_rest_g {
            out += &format!("at_rest_g = {at_rest_g}\n");
        }
        if self.optional {
            out += "optional = true\n";
        }
        out
    }
}

fn of_table(table: &Section<'_>) -> ColumnMap {
    let word = |key| table.has(key).then(|| table.optional_text(key)).flatten();
    let delimiter = chosen(table, "delimiter", &DELIMITERS);
    let decimal_mark = chosen(table, "decimal_mark", &[(".", b'.'), (",", b',')]);
    if delimiter.is_some() && delimiter == decimal_mark {
        table.fault(
            "decimal_mark",
            "the decimal mark is the delimiter",
            "give two different marks",
        );
    }
    let utc_offset_s = word("utc_offset").and_then(|text| {
        let found = clock::offset(&text);
        if found.is_none() {
            table.fault(
                "utc_offset",
                format!("utc_offset: {text:?} is no offset"),
                "utc_offset = \"+02:00\"",
            );
        }
        found
    });
    let line = |key| {
        let number = table.optional_number(key, 1.0..=1e6)?;
        if number.fract() != 0.0 {
            table.fault(key, format!("table.{key} must be a whole number"), format!("{key} = 2"));
        }
        Some(number as u64)
    };
    let (header_line, data_line) = (line("header_line"), line("data_line"));
    if header_line.zip(data_line).is_some_and(|(header, data)| data <= header) {
        table.fault(
            "data_line",
            "the data begin before the names end",
            "data_line comes after header_line",
        );
    }
    let not_read = |name: String| MappedColumn {
        line: table.line("not_read"),
        name,
        position: None,
        meaning: None,
        unit: None,
        turned: false,
        at_rest_g: None,
        optional: true,
    };
    ColumnMap {
        columns: table.texts("not_read").into_iter().map(not_read).collect(),
        delimiter,
        decimal_mark,
        header_line,
        data_line,
        utc_offset_s,
        date_order: chosen(table, "date_order", &DATE_ORDERS),
        row_interval_s: table.optional_number("row_interval_s", 1e-4..=ROW_INTERVAL_MOST_S),
        others_not_read: chosen(table, "other_columns", &[("by-name", false), (NOT_READ, true)])
            .unwrap_or(false),
        ..ColumnMap::default()
    }
}

fn chosen<T: Copy>(section: &Section<'_>, key: &'static str, words: &[(&str, T)]) -> Option<T> {
    // asked for all the same, so that it counts as known
    if section.has(key) { section.choice(key, words) } else { section.optional_text(key).and(None) }
}

fn of_column(section: &Section<'_>) -> Option<MappedColumn> {
    let line = section.line("name");
    let name = section.text("name");
    let position = section.optional_number("position", 1.0..=4096.0).map(|number| number as usize);
    let meaning = section.text("meaning").and_then(|word| {
        let found = meaning_of_key(&word);
        if found.is_none() {
            let hint = nearest_meaning(&word);
            section.fault("meaning", format!("meaning: {word:?} is not known"), hint);
        }
        found
    });
    let unit = section.optional_text("unit").and_then(|text| {
        let dimension = meaning??.dimension();
        let found = unit(dimension, &text);
        if found.is_none() {
            section.fault(
                "unit",
                format!("unit: {text:?} is not known here"),
                format!("one of: {}", unit_names(dimension)),
            );
        }
        found
    });
    let turned = chosen(section, "sign", &[("as-written", false), (TURNED, true)]).unwrap_or(false);
    let at_rest_g = section.optional_number("at_rest_g", 0.0..=1.0);
    if at_rest_g.is_some_and(|g| g > 0.0 && g < 1.0) {
        section.fault("at_rest_g", "at_rest_g is 0 or 1", "0 when gravity is taken off, else 1");
    }
    let optional = section.flag("optional");
    section.refuse_unknown();
    Some(MappedColumn {
        line,
        name: name?,
        position,
        meaning: meaning?,
        unit,
        turned,
        at_rest_g,
        optional,
    })
}

fn refuse_doubles(map: &ColumnMap, root: &Section<'_>) {
    for (index, column) in map.columns.iter().enumerate() {
        let before = &map.columns[..index];
        let same =
            |other: &&MappedColumn| other.name == column.name && other.position == column.position;
        if let Some(other) = before.iter().find(same) {
            let what = format!("column {:?} is mapped on line {} already", column.name, other.line);
            root.fault_at(column.line, what, "tell two columns of one name apart by position = 7");
        }
        let double =
            |other: &&MappedColumn| other.meaning.is_some() && other.meaning == column.meaning;
        if let Some(other) = before.iter().find(double) {
            let key = column.meaning.map_or("", Meaning::key);
            let what = format!(
                "{key} is the meaning of column {:?} on line {} already",
                other.name, other.line
            );
            root.fault_at(column.line, what, format!("give one of them meaning = {NOT_READ:?}"));
        }
    }
}

/// The meaning of a key; `Some(None)` for a column that is not to be read.
fn meaning_of_key(word: &str) -> Option<Option<Meaning>> {
    if word == NOT_READ {
        return Some(None);
    }
    meanings::all().find(|meaning| meaning.key() == word).map(Some)
}

fn nearest_meaning(word: &str) -> String {
    let keys = || meanings::all().map(Meaning::key).chain([NOT_READ]);
    let near = keys().min_by_key(|key| distance(key, word)).filter(|key| distance(key, word) <= 4);
    let inside = || keys().find(|key| key.contains(word) && word.len() > 2);
    match near.or_else(inside) {
        Some(near) => format!("did you mean {near}?"),
        None => format!("one of: {}", keys().collect::<Vec<_>>().join(", ")),
    }
}

fn printable(text: &str) -> String {
    text.chars().filter(|letter| !letter.is_control()).collect()
}

/// A TOML basic string.
fn quoted(text: &str) -> String {
    let mut out = String::from("\"");
    for letter in text.chars() {
        match letter {
            '"' | '\\' => out.extend(['\\', letter]),
            _ if letter.is_control() => out += &format!("\\u{:04X}", letter as u32),
            _ => out.push(letter),
        }
    }
    out + "\""
}
