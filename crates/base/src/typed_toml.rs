//! TOML files that people write (airplanes, standards), read into typed values.
//!
//! All faults of a file are collected, each with its line, what is wrong and what would be right, so that one pass over the
//! file mends it. Quantities are written with their unit (`"1010 kg"`); a bare number is refused with a hint. A key that
//! nobody asked for is a fault too, with the nearest known name: a misspelled limit must not silently be absent.

use std::cell::{Cell, RefCell};

use toml::Spanned;
use toml::de::{DeTable, DeValue};

use crate::quantity;
use crate::units::Quantity;

/// One fault of a file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fault {
    /// Line, counted from one.
    pub line: usize,
    /// What is wrong: lower case, no final period.
    pub what: String,
    /// What to do.
    pub hint: String,
}

/// The faults of a file: at least one.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Faults {
    /// Name of the file, for messages.
    pub name: String,
    /// In the order of lines.
    pub faults: Vec<Fault>,
}

impl std::error::Error for Faults {}

impl std::fmt::Display for Faults {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        for (index, Fault { line, what, .. }) in self.faults.iter().enumerate() {
            let separator = if index == 0 { "" } else { "\n" };
            write!(out, "{separator}{}, line {line}: {what}", self.name)?;
        }
        Ok(())
    }
}

impl Faults {
    /// The hints, one line a fault that has one.
    #[must_use]
    pub fn hint(&self) -> String {
        let line = |fault: &Fault| format!("line {}: {}", fault.line, fault.hint);
        self.faults
            .iter()
            .filter(|fault| !fault.hint.is_empty())
            .map(line)
            .collect::<Vec<_>>()
            .join("\n")
    }
}

/// Reads a file through a function that asks for its values; gives the value only when no fault was found.
///
/// # Errors
/// Every fault of the file.
pub fn read<T>(
    text: &str,
    name: &str,
    build: impl FnOnce(&Section<'_>) -> Option<T>,
) -> Result<T, Faults> {
    let faults = RefCell::new(Vec::new());
    let built = match DeTable::parse(text) {
        Ok(table) => {
            let section = Section {
                text,
                faults: &faults,
                title: String::new(),
                at: 0,
                table: table.get_ref(),
                asked: RefCell::default(),
                all_asked: Cell::new(false),
            };
            let built = build(&section);
            section.refuse_unknown();
            built
        }
        Err(error) => {
            let at = error.span().map_or(0, |span| span.start);
            let what = error.message().lines().collect::<Vec<_>>().join(" ");
            let hint = "the file is not TOML here: check quotes, brackets and equal signs".into();
            faults.borrow_mut().push(Fault { line: line_at(text, at), what, hint });
            None
        }
    };
    let mut faults = faults.into_inner();
    faults.sort_by_key(|fault| fault.line);
    match built {
        Some(value) if faults.is_empty() => Ok(value),
        _ => Err(Faults { name: name.into(), faults }),
    }
}

/// A table of the file.
pub struct Section<'f> {
    text: &'f str,
    faults: &'f RefCell<Vec<Fault>>,
    title: String,
    at: usize,
    table: &'f DeTable<'f>,
    asked: RefCell<Vec<&'static str>>,
    all_asked: Cell<bool>,
}

impl std::fmt::Debug for Section<'_> {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(out, "Section({})", self.title)
    }
}

/// A number with few digits that a range holds: the middle of it, rounded as far as it stays inside.
fn example_within(range: &std::ops::RangeInclusive<f64>) -> f64 {
    let middle = 0.5 * (range.start() + range.end());
    let rounded = |digits: i32| {
        let unit = 10_f64.powi(digits);
        (middle * unit).round() / unit
    };
    (0..4)
        .map(rounded)
        .find(|number| *number != 0.0 && range.contains(number))
        .unwrap_or(*range.start())
}

impl<'f> Section<'f> {
    fn get(&self, key: &'static str) -> Option<&'f Spanned<DeValue<'f>>> {
        self.asked.borrow_mut().push(key);
        self.table.iter().find(|(known, _)| known.get_ref().as_ref() == key).map(|(_, value)| value)
    }
    fn place(&self, key: &str) -> usize {
        let found = self.table.iter().find(|(known, _)| known.get_ref().as_ref() == key);
        found.map_or(self.at, |(known, _)| known.span().start)
    }
    /// Reports a fault at a key (or at the head of the section when the key is absent).
    pub fn fault(&self, key: &str, what: impl Into<String>, hint: impl Into<String>) {
        let line = line_at(self.text, self.place(key));
        self.faults.borrow_mut().push(Fault { line, what: what.into(), hint: hint.into() });
    }
    /// Reports a fault at a line that is known from elsewhere.
    pub fn fault_at(&self, line: usize, what: impl Into<String>, hint: impl Into<String>) {
        self.faults.borrow_mut().push(Fault { line, what: what.into(), hint: hint.into() });
    }
    /// Line of a key, counted from one; that of the head of the section when the key is absent.
    #[must_use]
    pub fn line(&self, key: &str) -> usize {
        line_at(self.text, self.place(key))
    }
    fn name(&self, key: &str) -> String {
        if self.title.is_empty() { key.into() } else { format!("{}.{key}", self.title) }
    }
    fn missing(&self, key: &str, example: &str) {
        self.fault(
            key,
            format!("{} is missing", self.name(key)),
            format!("add a line: {key} = {example}"),
        );
    }
    /// Whether a key is present.
    #[must_use]
    pub fn has(&self, key: &str) -> bool {
        self.table.iter().any(|(known, _)| known.get_ref().as_ref() == key)
    }
    /// A table that must be there.
    #[must_use]
    pub fn section(&self, key: &'static str) -> Option<Self> {
        let found = self.optional_section(key);
        if found.is_none() && !self.has(key) {
            self.fault(
                key,
                format!("block [{}] is missing", self.name(key)),
                format!("add a block [{}]", self.name(key)),
            );
        }
        found
    }
    /// A table that may be absent.
    #[must_use]
    pub fn optional_section(&self, key: &'static str) -> Option<Self> {
        let value = self.get(key)?;
        match value.get_ref() {
            DeValue::Table(table) => Some(self.child(self.name(key), self.place(key), table)),
            other => {
                let hint = format!("write [{}] on a line of its own", self.name(key));
                self.fault(
                    key,
                    format!("{} must be a block, not {}", self.name(key), other.type_str()),
                    hint,
                );
                None
            }
        }
    }
    /// An array of tables; empty when absent.
    #[must_use]
    pub fn sections(&self, key: &'static str) -> Vec<Self> {
        let Some(value) = self.get(key) else { return Vec::new() };
        let DeValue::Array(array) = value.get_ref() else {
            self.fault(
                key,
                format!("{} must be a list of blocks", self.name(key)),
                format!("write [[{}]]", self.name(key)),
            );
            return Vec::new();
        };
        let mut out = Vec::new();
        for (index, item) in array.iter().enumerate() {
            match item.get_ref() {
                DeValue::Table(table) => {
                    out.push(self.child(
                        format!("{}[{}]", self.name(key), index + 1),
                        item.span().start,
                        table,
                    ));
                }
                _ => self.fault(
                    key,
                    format!("{} must hold blocks", self.name(key)),
                    format!("write [[{}]]", self.name(key)),
                ),
            }
        }
        out
    }
    fn child(&self, title: String, at: usize, table: &'f DeTable<'f>) -> Self {
        Self {
            text: self.text,
            faults: self.faults,
            title,
            at,
            table,
            asked: RefCell::default(),
            all_asked: Cell::new(false),
        }
    }
    /// A text that must be there and not be blank.
    #[must_use]
    pub fn text(&self, key: &'static str) -> Option<String> {
        let found = self.optional_text(key);
        if found.is_none() && !self.has(key) {
            self.missing(key, "\"...\"");
        }
        found
    }
    /// A text that may be absent.
    #[must_use]
    pub fn optional_text(&self, key: &'static str) -> Option<String> {
        let value = self.get(key)?;
        match value.get_ref().as_str() {
            Some(text) if !text.trim().is_empty() => Some(text.to_string()),
            _ => {
                self.fault(
                    key,
                    format!("{} must be a text in quotes, not blank", self.name(key)),
                    format!("{key} = \"...\""),
                );
                None
            }
        }
    }
    /// A list of texts; empty when absent.
    #[must_use]
    pub fn texts(&self, key: &'static str) -> Vec<String> {
        let Some(value) = self.get(key) else { return Vec::new() };
        let array = value.get_ref().as_array();
        let texts = array.and_then(|array| {
            array.iter().map(|item| item.get_ref().as_str().map(String::from)).collect()
        });
        texts.unwrap_or_else(|| {
            self.fault(
                key,
                format!("{} must be a list of texts", self.name(key)),
                format!("{key} = [\"...\", \"...\"]"),
            );
            Vec::new()
        })
    }
    /// One of a few words.
    #[must_use]
    pub fn choice<T: Copy>(&self, key: &'static str, words: &[(&str, T)]) -> Option<T> {
        let word = self.text(key)?;
        let found = words.iter().find(|(known, _)| *known == word).map(|(_, value)| *value);
        if found.is_none() {
            let known = words.iter().map(|(known, _)| *known).collect::<Vec<_>>().join(", ");
            self.fault(
                key,
                format!("{}: {word:?} is not known", self.name(key)),
                format!("one of: {known}"),
            );
        }
        found
    }
    /// A quantity with its unit that must be there.
    #[must_use]
    pub fn quantity<Q: Quantity>(&self, key: &'static str) -> Option<Q> {
        let found = self.optional_quantity(key);
        if found.is_none() && !self.has(key) {
            self.missing(key, &format!("\"... {}\"", Q::UNITS[0].symbol));
        }
        found
    }
    /// A quantity with its unit that may be absent.
    #[must_use]
    pub fn optional_quantity<Q: Quantity>(&self, key: &'static str) -> Option<Q> {
        let value = self.get(key)?;
        let text = match value.get_ref() {
            DeValue::String(text) => text.to_string(),
            DeValue::Float(number) => number.as_str().to_string(),
            DeValue::Integer(number) => number.as_str().to_string(),
            other => other.type_str().to_string(),
        };
        match quantity::parse::<Q>(&text) {
            Ok(quantity) => Some(quantity),
            Err(error) => {
                self.fault(key, format!("{}: {error}", self.name(key)), error.hint());
                None
            }
        }
    }
    /// A quantity that must be there and positive.
    #[must_use]
    pub fn positive<Q: Quantity>(&self, key: &'static str) -> Option<Q> {
        let value: Q = self.quantity(key)?;
        if value.to_si() > 0.0 {
            return Some(value);
        }
        self.fault(
            key,
            format!("{} must be above zero", self.name(key)),
            "check the sign and the unit",
        );
        None
    }
    /// A quantity that must be there and lie in a range that every thing of its kind keeps: outside is a slip of the figure
    /// or of its unit.
    #[must_use]
    pub fn within<Q: Quantity>(&self, key: &'static str, least: Q, most: Q) -> Option<Q> {
        let value: Q = self.quantity(key)?;
        if (least.to_si()..=most.to_si()).contains(&value.to_si()) {
            return Some(value);
        }
        let unit = &Q::UNITS[0];
        let words = |quantity: Q| {
            format!("{:.4}", (quantity.to_si() - unit.offset) / unit.scale)
                .trim_end_matches('0')
                .trim_end_matches('.')
                .to_string()
        };
        self.fault(
            key,
            format!(
                "{} is outside {} to {} {}",
                self.name(key),
                words(least),
                words(most),
                unit.symbol
            ),
            "check the figure and its unit",
        );
        None
    }
    /// A pure number that must be there and lie in a range.
    #[must_use]
    pub fn number(&self, key: &'static str, range: std::ops::RangeInclusive<f64>) -> Option<f64> {
        let found = self.optional_number(key, range);
        if found.is_none() && !self.has(key) {
            self.missing(key, "...");
        }
        found
    }
    /// A pure number that may be absent and must lie in a range.
    #[must_use]
    pub fn optional_number(
        &self,
        key: &'static str,
        range: std::ops::RangeInclusive<f64>,
    ) -> Option<f64> {
        let value = self.get(key)?;
        let number: Option<f64> = match value.get_ref() {
            DeValue::Float(number) => number.as_str().replace('_', "").parse().ok(),
            DeValue::Integer(number) => number.as_str().replace('_', "").parse().ok(),
            _ => None,
        };
        match number {
            Some(number) if range.contains(&number) => Some(number),
            Some(number) => {
                let what = format!(
                    "{} is {number}, outside {} to {}",
                    self.name(key),
                    range.start(),
                    range.end()
                );
                self.fault(key, what, "check the figure and what it is divided by");
                None
            }
            None => {
                let what = format!("{} must be a number without unit or quotes", self.name(key));
                self.fault(key, what, format!("{key} = {}", example_within(&range)));
                None
            }
        }
    }
    /// A list of pure numbers; empty when absent.
    #[must_use]
    pub fn numbers(&self, key: &'static str) -> Vec<f64> {
        let Some(value) = self.get(key) else { return Vec::new() };
        let one = |item: &Spanned<DeValue<'_>>| match item.get_ref() {
            DeValue::Float(number) => number.as_str().parse().ok(),
            DeValue::Integer(number) => number.as_str().parse().ok(),
            _ => None,
        };
        let numbers: Option<Vec<f64>> =
            value.get_ref().as_array().and_then(|array| array.iter().map(one).collect());
        numbers.filter(|list| list.iter().all(|number| number.is_finite())).unwrap_or_else(|| {
            self.fault(
                key,
                format!("{} must be a list of numbers", self.name(key)),
                format!("{key} = [1, 2, 3]"),
            );
            Vec::new()
        })
    }
    /// Every key of the section with its pure number: for sections whose keys the file chooses. Keys in alphabetical order.
    #[must_use]
    pub fn number_entries(&self) -> Vec<(&'f str, f64)> {
        self.all_asked.set(true);
        let mut out = Vec::new();
        for (key, value) in self.table {
            let key = key.get_ref().as_ref();
            let number = match value.get_ref() {
                DeValue::Float(number) => number.as_str().replace('_', "").parse().ok(),
                DeValue::Integer(number) => number.as_str().replace('_', "").parse().ok(),
                _ => None,
            };
            match number.filter(|number: &f64| number.is_finite()) {
                Some(number) => out.push((key, number)),
                None => self.fault(
                    key,
                    format!("{} must be a number without unit or quotes", self.name(key)),
                    format!("{key:?} = 0.5"),
                ),
            }
        }
        out
    }
    /// Yes or no, `false` when absent.
    #[must_use]
    pub fn flag(&self, key: &'static str) -> bool {
        let Some(value) = self.get(key) else { return false };
        value.get_ref().as_bool().unwrap_or_else(|| {
            self.fault(
                key,
                format!("{} must be true or false", self.name(key)),
                format!("{key} = true"),
            );
            false
        })
    }
    /// Reports keys that nobody asked for. Call it last; the root section is done by [`read`].
    pub fn refuse_unknown(&self) {
        if self.all_asked.get() {
            return;
        }
        let asked = self.asked.borrow();
        for (key, _) in self.table {
            let key = key.get_ref().as_ref();
            if !asked.contains(&key) {
                let near = asked
                    .iter()
                    .min_by_key(|known| distance(known, key))
                    .filter(|known| distance(known, key) <= 3);
                let hint = near.map_or_else(
                    || format!("known here: {}", asked.join(", ")),
                    |known| format!("did you mean {known}?"),
                );
                self.fault(key, format!("{} is not known", self.name(key)), hint);
            }
        }
    }
}

fn line_at(text: &str, byte: usize) -> usize {
    text.as_bytes()[..byte.min(text.len())].iter().filter(|&&b| b == b'\n').count() + 1
}

/// Edit distance between two short words: how many letters to change, add or drop.
#[must_use]
pub fn distance(a: &str, b: &str) -> usize {
    let b: Vec<char> = b.chars().collect();
    let mut row: Vec<usize> = (0..=b.len()).collect();
    for (i, letter) in a.chars().enumerate() {
        let mut diagonal = row[0];
        row[0] = i + 1;
        for (j, other) in b.iter().enumerate() {
            let change = diagonal + usize::from(letter != *other);
            diagonal = row[j + 1];
            row[j + 1] = change.min(row[j] + 1).min(diagonal + 1);
        }
    }
    row[b.len()]
}

#[cfg(test)]
mod tests {
    use super::{distance, read};
    use crate::units::Mass;

    #[test]
    fn every_fault_is_told_with_its_line() {
        let text = "[mass]\nempty = 600\nmaximun = \"1000 kg\"\n";
        let faults = read(text, "x.toml", |root| {
            let mass = root.section("mass")?;
            let empty = mass.positive::<Mass>("empty");
            let maximum = mass.positive::<Mass>("maximum");
            mass.refuse_unknown();
            Some((empty?, maximum?))
        })
        .unwrap_err();
        let told: Vec<(usize, &str)> =
            faults.faults.iter().map(|fault| (fault.line, fault.what.as_str())).collect();
        assert_eq!(told[0], (1, "mass.maximum is missing"));
        assert_eq!(told[1], (2, "mass.empty: mass needs a unit: \"600\""));
        assert_eq!(told[2], (3, "mass.maximun is not known"));
        assert!(faults.hint().contains("did you mean maximum?"));
    }

    /// What a hint gives as an example is taken.
    #[test]
    fn prop_an_example_lies_in_its_range() {
        for range in [0.005..=0.2, 0.0..=1.0, -2.0..=-0.2, -0.8..=0.2, 20.0..=60.0, 0.0004..=0.0005]
        {
            let example = super::example_within(&range);
            assert!(range.contains(&example), "{example} in {range:?}");
        }
        let number = |text: &str| {
            read(text, "x.toml", |root| root.number("drag_zero_lift", 0.005..=0.2))
                .map_err(|e| e.hint())
        };
        let hint = number("drag_zero_lift = \"much\"").unwrap_err();
        let example = hint.lines().find(|line| line.contains(" = ")).unwrap();
        let example = &example[example.find("drag_zero_lift").unwrap()..];
        assert!(number(example.trim_end_matches('.')).is_ok(), "{hint}");
    }

    #[test]
    fn broken_toml_is_told_with_its_line() {
        let faults = read("a = 1\nb = = 2\n", "x.toml", |_| Some(())).unwrap_err();
        assert_eq!(faults.faults[0].line, 2);
    }

    #[test]
    fn distances() {
        assert_eq!(distance("maximun", "maximum"), 1);
        assert_eq!(distance("", "abc"), 3);
    }
}
