//! Rows of all shapes: numbers by field, aircraft by address and callsign.

use super::fields::{Field, NUMBERS, field};
use crate::formats::csv::clock::{self, DateOrder, Reading};
use crate::formats::csv::meanings::Unit;
use std::collections::HashMap;

/// Addresses and callsigns that are kept; a table of more is no recording of a flight.
const NAMES_MOST: usize = 20_000;
/// Names that are not read are listed so far.
const UNREAD_MOST: usize = 40;
/// Keys of objects that are remembered.
const KEYS_MOST: usize = 128;
/// No name.
pub(super) const NOBODY: u32 = u32::MAX;

/// One cell.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Cell<'a> {
    /// Nothing.
    Null,
    /// A number; true is 1.
    Number(f64),
    /// A text.
    Text(&'a str),
}

/// One row while its cells come.
#[derive(Debug, Clone)]
pub(super) struct Row {
    /// Line or record, from one.
    pub(super) line: u64,
    /// Index of the address, of the callsign.
    pub(super) address: u32,
    pub(super) callsign: u32,
    numbers: [f64; NUMBERS],
    /// A bit for each field that has a number.
    filled: u32,
}

impl Row {
    /// A row of nothing.
    pub(super) fn new(line: u64) -> Self {
        let numbers = [f64::NAN; NUMBERS];
        Self { line, address: NOBODY, callsign: NOBODY, numbers, filled: 0 }
    }
    /// The number of a field, NaN when absent.
    pub(super) fn get(&self, field: Field) -> f64 {
        self.numbers[field as usize]
    }
    fn set(&mut self, field: Field, value: f64) {
        self.numbers[field as usize] = value;
        self.filled |= 1 << field as usize;
    }
    /// Fields that have a number, by index.
    fn fields(&self) -> impl Iterator<Item = usize> + use<> {
        let filled = self.filled;
        (0..NUMBERS).filter(move |field| filled & (1 << field) != 0)
    }
}

/// Rows by column: a field that no row has takes no memory.
#[derive(Debug, Default)]
pub(super) struct Table {
    lines: Vec<u64>,
    addresses: Vec<u32>,
    callsigns: Vec<u32>,
    /// By field; the last rows of a column may be missing.
    numbers: [Vec<f64>; NUMBERS],
}

/// A row of a table.
#[derive(Debug, Clone, Copy)]
pub(super) struct Seen<'t> {
    table: &'t Table,
    at: usize,
}

impl Seen<'_> {
    /// The number of a field, NaN when absent.
    pub(super) fn get(self, field: Field) -> f64 {
        self.table.get(self.at, field)
    }
    pub(super) fn line(self) -> u64 {
        self.table.lines[self.at]
    }
    pub(super) fn address(self) -> u32 {
        self.table.addresses[self.at]
    }
    pub(super) fn callsign(self) -> u32 {
        self.table.callsigns[self.at]
    }
}

impl Table {
    pub(super) fn len(&self) -> usize {
        self.lines.len()
    }
    pub(super) fn is_empty(&self) -> bool {
        self.lines.is_empty()
    }
    pub(super) fn iter(&self) -> impl Iterator<Item = Seen<'_>> {
        (0..self.len()).map(|at| Seen { table: self, at })
    }
    pub(super) fn get(&self, at: usize, field: Field) -> f64 {
        self.numbers[field as usize].get(at).copied().unwrap_or(f64::NAN)
    }
    pub(super) fn set(&mut self, at: usize, field: Field, value: f64) {
        self.put(at, field as usize, value);
    }
    fn put(&mut self, at: usize, field: usize, value: f64) {
        let column = &mut self.numbers[field];
        if column.len() <= at {
            column.resize(at, f64::NAN);
            column.push(value);
        } else {
            column[at] = value;
        }
    }
    pub(super) fn push(&mut self, row: &Row) {
        let at = self.len();
        self.lines.push(row.line);
        self.addresses.push(row.address);
        self.callsigns.push(row.callsign);
        for field in row.fields() {
            self.put(at, field, row.numbers[field]);
        }
    }
    /// Takes what a row says into the row at a place.
    fn fill(&mut self, at: usize, row: &Row) {
        for field in row.fields() {
            self.put(at, field, row.numbers[field]);
        }
        self.name(at, row.address, row.callsign);
    }
    /// Gives a row the names that it has not.
    pub(super) fn name(&mut self, at: usize, address: u32, callsign: u32) {
        for (names, name) in [(&mut self.addresses, address), (&mut self.callsigns, callsign)] {
            if names[at] == NOBODY {
                names[at] = name;
            }
        }
    }
    pub(super) fn truncate(&mut self, count: usize) {
        self.lines.truncate(count);
        self.addresses.truncate(count);
        self.callsigns.truncate(count);
        self.numbers.iter_mut().for_each(|column| column.truncate(count));
    }
    /// Keeps the rows that are marked.
    pub(super) fn retain(&mut self, marks: &[bool]) {
        fn kept<T>(list: &mut Vec<T>, marks: &[bool]) {
            let mut marks = marks.iter();
            list.retain(|_| marks.next().copied().unwrap_or(false));
        }
        kept(&mut self.lines, marks);
        kept(&mut self.addresses, marks);
        kept(&mut self.callsigns, marks);
        self.numbers.iter_mut().for_each(|column| kept(column, marks));
    }
}

/// The rows of a file.
#[derive(Debug, Default)]
pub(super) struct Rows {
    pub(super) all: Table,
    pub(super) cells: Cells,
    /// Units that names of fields state.
    pub(super) units: Vec<(Field, Unit)>,
    /// Lines that are no rows.
    pub(super) broken: Vec<u64>,
    /// Names of cells that are not read.
    pub(super) unread: Vec<String>,
    /// Keys of objects met so far with their meanings, and which is likely to come next.
    keys: Vec<(String, Option<Field>)>,
    next_key: usize,
}

impl Rows {
    /// The meaning of a key of an object. Objects of one file have the same keys in the same order, so that it is looked up
    /// once.
    pub(super) fn meaning(&mut self, key: &str) -> Option<Field> {
        if self.keys.get(self.next_key).is_none_or(|(known, _)| known != key) {
            match self.keys.iter().position(|(known, _)| known == key) {
                Some(at) => self.next_key = at,
                None => {
                    let found = field(key);
                    if found.is_none() {
                        self.leave(key);
                    }
                    if let Some((field, Some(stated))) = &found {
                        self.state_unit(*field, stated.clone());
                    }
                    let found = found.map(|(field, _)| field);
                    if self.keys.len() >= KEYS_MOST {
                        return found;
                    }
                    self.keys.push((key.to_owned(), found));
                    self.next_key = self.keys.len() - 1;
                }
            }
        }
        let found = self.keys[self.next_key].1;
        self.next_key = (self.next_key + 1) % self.keys.len();
        found
    }
    /// Puts a cell into a row, made with those before it if it is not there: for tables of columns.
    pub(super) fn put_at(&mut self, index: usize, field: Field, cell: Cell<'_>) {
        while self.all.len() <= index {
            self.all.push(&Row::new(self.all.len() as u64 + 1));
        }
        let mut row = Row::new(index as u64 + 1);
        self.cells.put(&mut row, field, cell);
        self.all.fill(index, &row);
    }
    /// Remembers a name that is not understood; the first ones do.
    pub(super) fn leave(&mut self, name: &str) {
        if self.unread.len() < UNREAD_MOST && !self.unread.iter().any(|known| known == name) {
            self.unread.push(name.chars().take(40).collect());
        }
    }
    /// Remembers the unit that a name states.
    pub(super) fn state_unit(&mut self, field: Field, unit: Unit) {
        if !self.units.iter().any(|(of, _)| *of == field) {
            self.units.push((field, unit));
        }
    }
}

/// What cells say, over all rows.
#[derive(Debug, Default)]
pub(super) struct Cells {
    /// Addresses and callsigns.
    pub(super) names: Vec<String>,
    /// Their places among the names.
    index: HashMap<String, u32>,
    /// The two names met last.
    last: [u32; 2],
    /// Whether times are seconds since 1970.
    pub(super) epoch: bool,
    /// What a number of a time is in seconds.
    scale: Option<f64>,
    /// Lines of cells that are no numbers, once a cell.
    pub(super) unreadable: Vec<u64>,
    /// Times that name no zone.
    pub(super) unzoned: usize,
}

impl Cells {
    /// Puts a cell into a row.
    pub(super) fn put(&mut self, row: &mut Row, field: Field, cell: Cell<'_>) {
        match (field, cell) {
            (_, Cell::Null) => {}
            (Field::Address | Field::Callsign, cell) => {
                let name = match cell {
                    Cell::Text(text) => self.name(text),
                    Cell::Number(number) => self.name(&number.to_string()),
                    Cell::Null => NOBODY,
                };
                let into =
                    if field == Field::Address { &mut row.address } else { &mut row.callsign };
                *into = name;
            }
            (Field::Time | Field::PositionTime, cell) => row.set(field, self.seconds(cell)),
            (Field::Altitude, Cell::Text(text)) if text.trim().eq_ignore_ascii_case("ground") => {
                row.set(Field::OnGround, 1.0);
            }
            (Field::Register, Cell::Text(text)) => {
                let value = u32::from_str_radix(text.trim(), 16).map_or(f64::NAN, f64::from);
                row.set(field, value);
            }
            (_, Cell::Text(text)) => {
                let value = match text.trim() {
                    "true" | "True" | "TRUE" => Some(1.0),
                    "false" | "False" | "FALSE" => Some(0.0),
                    text => text.parse().ok(),
                };
                match value.filter(|value: &f64| value.is_finite()) {
                    Some(value) => row.set(field, value),
                    None => self.unreadable.push(row.line),
                }
            }
            (_, Cell::Number(value)) if value.is_finite() => row.set(field, value),
            (_, Cell::Number(_)) => self.unreadable.push(row.line),
        }
    }
    fn name(&mut self, text: &str) -> u32 {
        let text = text.trim();
        if text.is_empty() || text == "nan" || text == "None" {
            return NOBODY;
        }
        let text = &text[..text.floor_char_boundary(40)];
        // rows of one aircraft repeat its address and its callsign
        let again = |at: &u32| self.names.get(*at as usize).is_some_and(|name| name == text);
        if let Some(at) = self.last.iter().copied().find(again) {
            return at;
        }
        if let Some(at) = self.index.get(text).copied() {
            self.last = [at, self.last[0]];
            return at;
        }
        let Some(at) =
            u32::try_from(self.names.len()).ok().filter(|_| self.names.len() < NAMES_MOST)
        else {
            return NOBODY;
        };
        self.names.push(text.to_owned());
        self.index.insert(text.to_owned(), at);
        at
    }
    /// A time cell in seconds; NaN when it is none.
    fn seconds(&mut self, cell: Cell<'_>) -> f64 {
        let reading = match cell {
            Cell::Null => None,
            Cell::Number(number) => Some(Reading::Number(number)),
            Cell::Text(text) => clock::read(text.as_bytes(), DateOrder::DayFirst),
        };
        match reading {
            Some(Reading::Epoch(seconds)) => {
                self.epoch = true;
                seconds
            }
            Some(Reading::Civil(seconds)) => {
                self.epoch = true;
                self.unzoned += 1;
                seconds
            }
            Some(Reading::Number(number)) => {
                let scale = *self.scale.get_or_insert_with(|| {
                    let mut scales = [1.0, 1e-3, 1e-6, 1e-9].into_iter();
                    scales.find(|scale| clock::is_epoch(number * scale)).unwrap_or(1.0)
                });
                self.epoch |= clock::is_epoch(number * scale);
                number * scale
            }
            _ => f64::NAN,
        }
    }
}
