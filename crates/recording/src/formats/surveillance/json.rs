//! JSON of every shape to rows, as it streams by: nothing is kept but the rows.

use super::fields::{Field, RELATIVE, field};
use super::malformed;
use super::rows::{Cell, Cells, Row, Rows};
use crate::error::ReadError;
use crate::normal::assemble::line_list;
use serde::de::{DeserializeSeed, Deserializer, IgnoredAny, MapAccess, SeqAccess, Visitor};

/// One broken line in so many is told and left out; more are an error.
const BROKEN_SHARE: usize = 100;
/// Rows by place are looked at so far.
const PLACES_MOST: usize = 256;
/// A row by place has at least so many cells.
const CELLS_LEAST: usize = 3;

/// The rows of a document, or of one document a line, and what places are counted in.
///
/// # Errors
/// Malformed with the line when it is no JSON, or when more than one line in a hundred is not.
pub(super) fn rows(bytes: &[u8]) -> Result<(Rows, &'static str), ReadError> {
    let first = bytes.split(|&byte| byte == b'\n').find(|line| !line.trim_ascii().is_empty());
    let whole_line = first.is_some_and(|line| serde_json::from_slice::<IgnoredAny>(line).is_ok());
    let lines = bytes.split(|&byte| byte == b'\n').filter(|line| !line.trim_ascii().is_empty());
    if whole_line && lines.take(2).count() > 1 {
        return json_lines(bytes).map(|rows| (rows, "line"));
    }
    let mut rows = Rows::default();
    let mut deserializer = serde_json::Deserializer::from_slice(bytes);
    let done = Table { rows: &mut rows, line: 0 }
        .deserialize(&mut deserializer)
        .and_then(|_| deserializer.end());
    match done {
        Ok(()) => Ok((rows, "record")),
        Err(error) => Err(broken(&error, 1)),
    }
}

fn json_lines(bytes: &[u8]) -> Result<Rows, ReadError> {
    let mut rows = Rows::default();
    let mut first_error = None;
    let mut count = 0;
    for (index, line) in bytes.split(|&byte| byte == b'\n').enumerate() {
        if line.trim_ascii().is_empty() {
            continue;
        }
        count += 1;
        let number = index as u64 + 1;
        let before = rows.all.len();
        let mut deserializer = serde_json::Deserializer::from_slice(line);
        let done = Table { rows: &mut rows, line: number }
            .deserialize(&mut deserializer)
            .and_then(|_| deserializer.end());
        if let Err(error) = done {
            rows.all.truncate(before);
            rows.broken.push(number);
            first_error.get_or_insert((error, number));
        }
    }
    match first_error {
        Some((error, line)) if rows.broken.len() * BROKEN_SHARE >= count => {
            let more = line_list(&rows.broken);
            let inner = broken(&error, line);
            Err(malformed(format!("lines {more} are no JSON: {inner}"), line, inner.hint()))
        }
        _ => Ok(rows),
    }
}

fn broken(error: &serde_json::Error, first_line: u64) -> ReadError {
    let line = first_line + (error.line() as u64).saturating_sub(1);
    let hint = if error.is_eof() {
        "the file was cut off: copy it again"
    } else {
        "copy the file again; if it was edited by hand, look at this place"
    };
    let why = error.to_string();
    let why = why.split(" at line ").next().unwrap_or_default();
    malformed(format!("no JSON at column {} ({why})", error.column()), line, hint)
}

/// What a value was.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Met {
    /// A cell, or something that holds no rows.
    Nothing,
    /// Rows by names.
    Records,
    /// Rows by place, relative to a stamp.
    Relative,
    /// Columns by names.
    Columns,
}

/// Visits of single values, each by one function that takes a cell.
macro_rules! cells {
    () => {
        fn visit_unit<E: serde::de::Error>(self) -> Result<Self::Value, E> {
            Ok(self.cell(Cell::Null))
        }
        fn visit_bool<E: serde::de::Error>(self, value: bool) -> Result<Self::Value, E> {
            Ok(self.cell(Cell::Number(f64::from(u8::from(value)))))
        }
        fn visit_i64<E: serde::de::Error>(self, value: i64) -> Result<Self::Value, E> {
            Ok(self.cell(Cell::Number(value as f64)))
        }
        fn visit_u64<E: serde::de::Error>(self, value: u64) -> Result<Self::Value, E> {
            Ok(self.cell(Cell::Number(value as f64)))
        }
        fn visit_f64<E: serde::de::Error>(self, value: f64) -> Result<Self::Value, E> {
            Ok(self.cell(Cell::Number(value)))
        }
        fn visit_str<E: serde::de::Error>(self, value: &str) -> Result<Self::Value, E> {
            Ok(self.cell(Cell::Text(value)))
        }
    };
}

/// A seed that takes whatever comes.
macro_rules! takes_any {
    ($type:ty, $value:ty) => {
        impl<'de> DeserializeSeed<'de> for $type {
            type Value = $value;
            fn deserialize<D: Deserializer<'de>>(
                self,
                deserializer: D,
            ) -> Result<$value, D::Error> {
                deserializer.deserialize_any(self)
            }
        }
    };
}

/// The outermost value: a list of records, or an object.
struct Table<'r> {
    rows: &'r mut Rows,
    /// Line to count rows by; 0 counts the rows themselves.
    line: u64,
}

takes_any!(Table<'_>, Met);

impl<'de> Visitor<'de> for Table<'_> {
    type Value = Met;
    fn expecting(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        out.write_str("a list of records or an object")
    }
    fn visit_seq<A: SeqAccess<'de>>(self, list: A) -> Result<Met, A::Error> {
        list_of_rows(list, self.rows, self.line, &mut Vec::new())
    }
    fn visit_map<A: MapAccess<'de>>(self, map: A) -> Result<Met, A::Error> {
        Record { rows: self.rows, line: self.line, names: &mut Vec::new() }.visit_map(map)
    }
}

fn list_of_rows<'de, A: SeqAccess<'de>>(
    mut list: A,
    rows: &mut Rows,
    line: u64,
    names: &mut Vec<Option<Field>>,
) -> Result<Met, A::Error> {
    let mut met = Met::Nothing;
    while let Some(found) = list.next_element_seed(Record { rows, line, names })? {
        if found != Met::Nothing {
            met = found;
        }
    }
    Ok(met)
}

/// One record: an object by names, or a list by place.
struct Record<'r> {
    rows: &'r mut Rows,
    line: u64,
    /// Meanings by place, once a list has named them.
    names: &'r mut Vec<Option<Field>>,
}

takes_any!(Record<'_>, Met);

impl Record<'_> {
    fn cell(self, _: Cell<'_>) -> Met {
        Met::Nothing
    }
    fn next_line(&self) -> u64 {
        if self.line > 0 { self.line } else { self.rows.all.len() as u64 + 1 }
    }
}

impl<'de> Visitor<'de> for Record<'_> {
    type Value = Met;
    cells!();
    fn expecting(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        out.write_str("a record")
    }
    fn visit_seq<A: SeqAccess<'de>>(self, mut list: A) -> Result<Met, A::Error> {
        let mut row = Row::new(self.next_line());
        let unnamed = self.names.is_empty();
        let places = if unnamed { RELATIVE } else { self.names.as_slice() };
        let mut titles = Vec::new();
        let mut at = 0;
        loop {
            let field = places.get(at).copied().flatten();
            let title = (unnamed && at == titles.len() && at < PLACES_MOST).then_some(&mut titles);
            let into = One { cells: &mut self.rows.cells, row: &mut row, field, title };
            if list.next_element_seed(into)?.is_none() {
                break;
            }
            at += 1;
        }
        // a first list of nothing but names, two of them known
        if unnamed && titles.len() == at && titles.iter().flatten().count() >= 2 {
            *self.names = titles;
            return Ok(Met::Nothing);
        }
        // less than a time and a place is no row, and would cost more than it says
        if at >= CELLS_LEAST {
            self.rows.all.push(&row);
        }
        Ok(if unnamed { Met::Relative } else { Met::Records })
    }
    fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Met, A::Error> {
        let first = self.rows.all.len();
        let mut own = Row::new(self.next_line());
        let mut any = false;
        let mut met = Met::Nothing;
        loop {
            let known = self.rows.unread.len();
            let Some(key) = map.next_key_seed(KeyOf { rows: self.rows })? else { break };
            let left = self.rows.unread.len() > known;
            any |= matches!(key, Key::Known(_));
            let value = Value {
                rows: self.rows,
                own: &mut own,
                key,
                first,
                line: self.line,
                names: self.names,
            };
            match map.next_value_seed(value)? {
                Met::Nothing => {}
                found => {
                    // rows stood there: it was read after all
                    if left {
                        self.rows.unread.remove(known);
                    }
                    met = found;
                }
            }
        }
        if met == Met::Nothing {
            if any {
                self.rows.all.push(&own);
            }
            return Ok(Met::Records);
        }
        // what stands beside rows holds for all of them
        let stamp = own.get(Field::Time);
        let all = &mut self.rows.all;
        for at in first..all.len() {
            let (elapsed, time) = (all.get(at, Field::Elapsed), all.get(at, Field::Time));
            if met == Met::Relative {
                let time = if stamp.is_nan() { elapsed } else { stamp + elapsed };
                all.set(at, Field::Time, time);
            } else if time.is_nan() {
                all.set(at, Field::Time, stamp);
            }
            all.name(at, own.address, own.callsign);
        }
        Ok(Met::Records)
    }
}

/// What a key is.
#[derive(Debug, Clone, Copy)]
enum Key {
    Known(Field),
    /// Names of the places of rows.
    Columns,
    Other,
}

struct KeyOf<'r> {
    rows: &'r mut Rows,
}

takes_any!(KeyOf<'_>, Key);

impl Visitor<'_> for KeyOf<'_> {
    type Value = Key;
    fn expecting(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        out.write_str("a key")
    }
    fn visit_str<E: serde::de::Error>(self, key: &str) -> Result<Key, E> {
        if key == "columns" {
            return Ok(Key::Columns);
        }
        Ok(self.rows.meaning(key).map_or(Key::Other, Key::Known))
    }
}

/// The value at a key of an object.
struct Value<'r> {
    rows: &'r mut Rows,
    own: &'r mut Row,
    key: Key,
    /// Rows of this object begin here.
    first: usize,
    line: u64,
    names: &'r mut Vec<Option<Field>>,
}

takes_any!(Value<'_>, Met);

impl Value<'_> {
    fn cell(self, cell: Cell<'_>) -> Met {
        if let Key::Known(field) = self.key {
            self.rows.cells.put(self.own, field, cell);
        }
        Met::Nothing
    }
}

impl<'de> Visitor<'de> for Value<'_> {
    type Value = Met;
    cells!();
    fn expecting(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        out.write_str("a cell, a column or rows")
    }
    fn visit_seq<A: SeqAccess<'de>>(self, mut list: A) -> Result<Met, A::Error> {
        match self.key {
            Key::Known(field) => {
                let mut index = self.first;
                while list.next_element_seed(OfColumn { rows: self.rows, index, field })?.is_some()
                {
                    index += 1;
                }
                Ok(Met::Columns)
            }
            Key::Columns => {
                let mut unread = Row::new(0);
                let cells = &mut self.rows.cells;
                self.names.clear();
                loop {
                    let row = &mut unread;
                    let title = (self.names.len() < PLACES_MOST).then_some(&mut *self.names);
                    if list.next_element_seed(One { cells, row, field: None, title })?.is_none() {
                        return Ok(Met::Nothing);
                    }
                }
            }
            Key::Other => list_of_rows(list, self.rows, self.line, self.names),
        }
    }
    fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Met, A::Error> {
        let Key::Known(field) = self.key else {
            while map.next_entry::<IgnoredAny, IgnoredAny>()?.is_some() {}
            return Ok(Met::Nothing);
        };
        // a column whose cells are named by their row
        let mut index = self.first;
        while map.next_key::<IgnoredAny>()?.is_some() {
            map.next_value_seed(OfColumn { rows: self.rows, index, field })?;
            index += 1;
        }
        Ok(Met::Columns)
    }
}

/// Passes over lists and objects that stand where a cell is expected.
macro_rules! passes_over {
    () => {
        fn expecting(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
            out.write_str("a cell")
        }
        fn visit_seq<A: SeqAccess<'de>>(self, mut list: A) -> Result<(), A::Error> {
            while list.next_element::<IgnoredAny>()?.is_some() {}
            Ok(())
        }
        fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<(), A::Error> {
            while map.next_entry::<IgnoredAny, IgnoredAny>()?.is_some() {}
            Ok(())
        }
    };
}

/// A cell of a column.
struct OfColumn<'r> {
    rows: &'r mut Rows,
    index: usize,
    field: Field,
}

takes_any!(OfColumn<'_>, ());

impl OfColumn<'_> {
    fn cell(self, cell: Cell<'_>) {
        self.rows.put_at(self.index, self.field, cell);
    }
}

impl<'de> Visitor<'de> for OfColumn<'_> {
    type Value = ();
    cells!();
    passes_over!();
}

/// A cell of a row by place; where it may be a title, its meaning as one.
struct One<'r> {
    cells: &'r mut Cells,
    row: &'r mut Row,
    field: Option<Field>,
    title: Option<&'r mut Vec<Option<Field>>>,
}

takes_any!(One<'_>, ());

impl One<'_> {
    fn cell(self, cell: Cell<'_>) {
        if let (Some(titles), Cell::Text(text)) = (self.title, cell) {
            titles.push(field(text).map(|(field, _)| field));
        }
        if let Some(field) = self.field {
            self.cells.put(self.row, field, cell);
        }
    }
}

impl<'de> Visitor<'de> for One<'_> {
    type Value = ();
    cells!();
    passes_over!();
}
