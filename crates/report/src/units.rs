//! Documents in the reader's units. Documents are written in those of the trade: knots, feet, feet a minute, kilograms, nautical
//! miles. Numbers of tables, facts and pictures come in the reader's units alone; sentences keep their own, as rules and manuals
//! have them, with the reader's behind.

use crate::model::{Block, Cell, Document, Fact, Table};
use crate::numbers::fixed;
use crate::scene::{Item, Scene};
use base::factors::{KG_PER_LB, M_PER_FT, M_PER_NM, MPS_PER_FPM, MPS_PER_KMH, MPS_PER_KT};
use std::ops::Range;

/// Units that a document can be had in.
#[derive(Debug, Clone, Copy)]
pub struct Units {
    /// Stable key: "kmh-m".
    pub key: &'static str,
    /// As people call them.
    pub title: &'static str,
    /// What stands for a unit of the document; what is not here stays.
    shown: &'static [Shown],
}

/// What stands for a unit.
#[derive(Debug, Clone, Copy)]
struct Shown {
    /// The unit of the document.
    unit: &'static str,
    /// The unit that stands for it.
    name: &'static str,
    /// The same, said aloud.
    spoken: &'static str,
    /// How many of these one of the document's makes.
    factor: f64,
    /// Decimals more than those of the document.
    decimals_more: usize,
}

const fn shown(unit: &'static str, name: &'static str, factor: f64) -> Shown {
    Shown { unit, name, spoken: name, factor, decimals_more: 0 }
}

/// Knots are not converted twice: factors are quotients of the one list of the project.
const KMH_PER_KT: f64 = MPS_PER_KT / MPS_PER_KMH;

/// All of them, the units of the documents first.
pub const ALL: &[Units] = &[
    Units { key: "kt-ft", title: "kt, ft, kg", shown: &[] },
    Units { key: "kt-ft-lb", title: "kt, ft, lb", shown: &[shown("kg", "lb", 1.0 / KG_PER_LB)] },
    Units {
        key: "kmh-m",
        title: "km/h, m, kg",
        shown: &[
            shown("kt", "km/h", KMH_PER_KT),
            shown("knots", "km/h", KMH_PER_KT),
            shown("KIAS", "km/h IAS", KMH_PER_KT),
            shown("kt CAS", "km/h CAS", KMH_PER_KT),
            shown("ft", "m", M_PER_FT),
            Shown { spoken: "meters", ..shown("feet", "m", M_PER_FT) },
            Shown { decimals_more: 1, ..shown("ft/min", "m/s", MPS_PER_FPM) },
            shown("NM", "km", M_PER_NM / 1000.0),
        ],
    },
];

/// Units by key.
#[must_use]
pub fn find(key: &str) -> Option<&'static Units> {
    ALL.iter().find(|units| units.key == key)
}

/// What may stand between two numbers of one unit.
const BETWEEN: [&str; 8] =
    [" to ", " and ", " instead of ", " against ", " or ", " ± ", "–", ", limit "];
/// Units in sentences, those first that begin with others.
const IN_SENTENCES: [&str; 7] = ["ft/min", "knots", "feet", "kt", "ft", "kg", "NM"];

/// A number or two with a unit behind, in a text.
struct Quantity {
    whole: Range<usize>,
    first: Range<usize>,
    second: Option<Range<usize>>,
    unit: &'static str,
}

impl Units {
    /// The document in these units.
    #[must_use]
    pub fn document(&self, mut document: Document) -> Document {
        if !self.shown.is_empty() {
            document.subtitle = self.also(&document.subtitle);
            self.blocks(&mut document.blocks);
        }
        document
    }

    fn blocks(&self, blocks: &mut [Block]) {
        for block in blocks {
            match block {
                Block::Heading(_, text) | Block::Paragraph(text) | Block::Caution(text) => {
                    *text = self.also(text);
                }
                Block::Verdict(_, text) | Block::Lead(_, text) => *text = self.also(text),
                Block::List(lines) | Block::Boxes(lines) => {
                    for line in lines {
                        *line = self.also(line);
                    }
                }
                Block::Facts(facts) => facts.iter_mut().for_each(|fact| self.fact(fact)),
                Block::Table(table) => self.table(table),
                Block::Figure(scene) => self.scene(scene),
                Block::Columns(columns) => columns.iter_mut().for_each(|one| self.blocks(one)),
                Block::PageBreak => {}
            }
        }
    }

    fn of(&self, unit: &str) -> Option<&'static Shown> {
        self.shown.iter().find(|shown| shown.unit == unit)
    }

    /// What stands for a unit of the document, and how many of these one of the document's makes; `None` when it stays.
    #[must_use]
    pub fn unit(&self, unit: &str) -> Option<(&'static str, f64)> {
        self.of(unit).map(|shown| (shown.name, shown.factor))
    }

    fn fact(&self, fact: &mut Fact) {
        if let Some(shown) = self.of(fact.unit) {
            fact.value = numbers_in(&fact.value, shown);
            fact.unit = shown.name;
        }
        fact.words = self.also(&fact.words);
    }

    fn table(&self, table: &mut Table) {
        table.caption = self.also(&table.caption);
        for (index, head) in table.columns.iter_mut().enumerate() {
            let shown = self.of(head.unit);
            for cell in table.rows.iter_mut().filter_map(|row| row.get_mut(index)) {
                match shown {
                    Some(shown) => converted(cell, shown),
                    None => self.cell(cell),
                }
            }
            if let Some(shown) = shown {
                head.unit = shown.name;
            }
        }
    }

    fn cell(&self, cell: &mut Cell) {
        match cell {
            Cell::Text(text) | Cell::Verdict(_, text) => *text = self.also(text),
            Cell::Said(text) => *text = self.alone(text, |shown| shown.spoken),
            Cell::Named(unit, text) => {
                if let (Some(shown), Some(at)) = (self.of(unit), text.rfind(*unit)) {
                    text.replace_range(at..at + unit.len(), shown.name);
                }
            }
            Cell::In(unit, inner) => match self.of(unit) {
                Some(shown) => converted(inner, shown),
                None => self.cell(inner),
            },
        }
    }

    fn scene(&self, scene: &mut Scene) {
        scene.title = self.also(&scene.title);
        scene.description = self.also(&scene.description);
        scene.convert_scales(self);
        for item in &mut scene.items {
            if let Item::Text(_, text, ..) = item {
                *text = self.alone(text, |shown| shown.name);
            }
        }
    }

    /// A sentence with these units behind its own: "1,500 ft (457 m)".
    #[must_use]
    pub fn also(&self, text: &str) -> String {
        self.replaced(text, |own, numbers, shown, nil| match nil {
            true => own.into(),
            false => format!("{own} ({numbers} {})", shown.name),
        })
    }

    /// A text in these units alone.
    fn alone(&self, text: &str, name: fn(&Shown) -> &'static str) -> String {
        self.replaced(text, |_, numbers, shown, _| format!("{numbers} {}", name(shown)))
    }

    fn replaced(&self, text: &str, put: impl Fn(&str, &str, &Shown, bool) -> String) -> String {
        let (mut out, mut done) = (String::with_capacity(text.len()), 0);
        for Quantity { whole, first, second, unit } in quantities(text) {
            let Some(shown) = self.of(unit) else { continue };
            let one = |range: &Range<usize>| in_unit(&text[range.clone()], shown);
            let numbers = match &second {
                Some(second) => {
                    format!("{}{}{}", one(&first), &text[first.end..second.start], one(second))
                }
                None => one(&first),
            };
            let nil = [Some(&first), second.as_ref()]
                .into_iter()
                .flatten()
                .all(|range| value(&text[range.clone()]) == 0.0);
            out.push_str(&text[done..whole.start]);
            out.push_str(&put(&text[whole.clone()], &numbers, shown, nil));
            done = whole.end;
        }
        out.push_str(&text[done..]);
        out
    }
}

/// Every number of a cell in the unit that stands for its own.
fn converted(cell: &mut Cell, shown: &Shown) {
    match cell {
        Cell::Text(text) | Cell::Verdict(_, text) | Cell::Said(text) | Cell::Named(_, text) => {
            *text = numbers_in(text, shown);
        }
        Cell::In(_, inner) => converted(inner, shown),
    }
}

/// Every number of a text in the unit that stands for its own, whose name gives way where it is told.
fn numbers_in(text: &str, shown: &Shown) -> String {
    let (mut out, mut done) = (String::with_capacity(text.len()), 0);
    for range in numbers(text) {
        out.push_str(&text[done..range.start]);
        out.push_str(&in_unit(&text[range.clone()], shown));
        done = range.end;
        if let Some((unit, end)) = unit_behind(text, done).filter(|(unit, _)| *unit == shown.unit) {
            out.push_str(&text[done..end - unit.len()]);
            out.push_str(shown.name);
            done = end;
        }
    }
    out.push_str(&text[done..]);
    out
}

/// A written number's value.
fn value(number: &str) -> f64 {
    number.replace(',', "").replace('−', "-").parse().unwrap_or(f64::NAN)
}

/// A written number in another unit, as many decimals as it had and those more that the unit needs, its sign and its commas kept.
fn in_unit(number: &str, shown: &Shown) -> String {
    let decimals = number.split_once('.').map_or(0, |(_, behind)| behind.len());
    let text = fixed(value(number) * shown.factor, decimals + shown.decimals_more);
    let text = if number.contains(',') { parted(&text) } else { text };
    if number.starts_with('+') { format!("+{text}") } else { text }
}

/// Thousands parted by commas.
fn parted(number: &str) -> String {
    let whole = number.find('.').unwrap_or(number.len());
    let first = number.find(|c: char| c.is_ascii_digit()).unwrap_or(0);
    let mut out = String::from(&number[..first]);
    for (index, digit) in number[first..whole].chars().enumerate() {
        if index > 0 && (whole - first - index).is_multiple_of(3) {
            out.push(',');
        }
        out.push(digit);
    }
    out.push_str(&number[whole..]);
    out
}

/// Where the numbers of a text stand: digits with commas between thousands, decimals and a sign; none that is part of a word.
fn numbers(text: &str) -> Vec<Range<usize>> {
    let all: Vec<(usize, char)> = text.char_indices().collect();
    let digit = |index: usize| all.get(index).is_some_and(|(_, c)| c.is_ascii_digit());
    let word = |index: usize| all.get(index).is_some_and(|(_, c)| c.is_alphanumeric());
    let (mut out, mut at) = (Vec::new(), 0);
    while at < all.len() {
        let before = at.checked_sub(1);
        let inside = before.is_some_and(|index| word(index) || matches!(all[index].1, '.' | ','));
        if !digit(at) || inside {
            at += 1;
            continue;
        }
        let signed = before.is_some_and(|index| {
            matches!(all[index].1, '+' | '−' | '-') && !index.checked_sub(1).is_some_and(word)
        });
        let mut end = at;
        while digit(end)
            || (all.get(end).is_some_and(|(_, c)| *c == '.') && digit(end + 1))
            || (all.get(end).is_some_and(|(_, c)| *c == ',')
                && (1..4).all(|far| digit(end + far))
                && !digit(end + 4))
        {
            end += 1;
        }
        // "90-degree", "3rd": a word that begins with a number
        let hyphen = all.get(end).is_some_and(|(_, c)| *c == '-') && word(end + 1);
        if !word(end) && !hyphen {
            let start = if signed { all[at - 1].0 } else { all[at].0 };
            out.push(start..all.get(end).map_or(text.len(), |(place, _)| *place));
        }
        at = end;
    }
    out
}

/// The unit behind a number that ends there, and where its name ends.
fn unit_behind(text: &str, end: usize) -> Option<(&'static str, usize)> {
    let rest = text[end..].strip_prefix(' ')?;
    let unit = IN_SENTENCES.into_iter().find(|unit| rest.starts_with(unit))?;
    let next = rest[unit.len()..].chars().next();
    let ends = !next.is_some_and(|c| c.is_alphanumeric() || matches!(c, '/' | '-'));
    ends.then_some((unit, end + 1 + unit.len()))
}

/// Numbers of a text with a unit behind them.
fn quantities(text: &str) -> Vec<Quantity> {
    let numbers = numbers(text);
    let unit_at = |end: usize| unit_behind(text, end);
    let (mut out, mut index) = (Vec::new(), 0);
    while let Some(first) = numbers.get(index) {
        let pair = numbers.get(index + 1).filter(|second| {
            BETWEEN.contains(&&text[first.end..second.start]) && unit_at(second.end).is_some()
        });
        let last = pair.unwrap_or(first);
        if let Some((unit, end)) = unit_at(last.end) {
            let (first, second) = (first.clone(), pair.cloned());
            out.push(Quantity { whole: first.start..end, first, second, unit });
        }
        index += if pair.is_some() { 2 } else { 1 };
    }
    out
}

#[cfg(test)]
mod tests;
