//! A document as a list of blocks: what is said, not how it looks.

use crate::scene::Scene;

/// A document.
#[derive(Debug, Clone, PartialEq)]
pub struct Document {
    /// What it is about.
    pub title: String,
    /// The choice, in one line.
    pub subtitle: String,
    /// In reading order.
    pub blocks: Vec<Block>,
}

/// A block of a document.
#[derive(Debug, Clone, PartialEq)]
pub enum Block {
    /// A heading, level 2 or 3.
    Heading(u8, String),
    /// A paragraph.
    Paragraph(String),
    /// A list of short lines.
    List(Vec<String>),
    /// A table.
    Table(Table),
    /// A verdict with its sign.
    Verdict(Tone, String),
    /// A picture.
    Figure(Scene),
    /// Something to be careful with.
    Caution(String),
    /// A few numbers that are read first.
    Facts(Vec<Fact>),
    /// What is read before all else: a word that says what it is, and the sentence.
    Lead(String, String),
    /// Things to be ticked off, with a pen or in the mind.
    Boxes(Vec<String>),
    /// Side by side where there is room, else one after the other.
    Columns(Vec<Vec<Self>>),
    /// On paper what follows begins a page.
    PageBreak,
}

/// A number that is read first.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fact {
    /// The number.
    pub value: String,
    /// Its unit, empty for none.
    pub unit: &'static str,
    /// What it is, in a few words.
    pub words: String,
}

impl Fact {
    /// The fact in running text: "entry: 97 kt".
    #[must_use]
    pub fn line(&self) -> String {
        let unit = if self.unit.is_empty() { String::new() } else { format!(" {}", self.unit) };
        format!("{}: {}{unit}", self.words, self.value)
    }
}

/// What a verdict says; carried by a word and a sign, never by one of them alone.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Tone {
    /// Inside.
    Met,
    /// Outside.
    NotMet,
    /// Cannot be told.
    CannotTell,
    /// Shown, not approved of.
    Hazard,
}

impl Tone {
    /// The sign in plain text.
    #[must_use]
    pub const fn sign(self) -> &'static str {
        match self {
            Self::Met => "✓",
            Self::NotMet => "✗",
            Self::CannotTell => "~",
            Self::Hazard => "!",
        }
    }
}

/// A table.
#[derive(Debug, Clone, PartialEq)]
pub struct Table {
    /// What it shows.
    pub caption: String,
    /// The columns.
    pub columns: Vec<ColumnHead>,
    /// Rows of as many cells as there are columns.
    pub rows: Vec<Vec<Cell>>,
}

/// The head of a column.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ColumnHead {
    /// What it holds.
    pub title: String,
    /// Unit, empty for words.
    pub unit: &'static str,
    /// Where its cells stand.
    pub align: Align,
}

impl ColumnHead {
    /// A column of words.
    #[must_use]
    pub fn words(title: &str) -> Self {
        Self { title: title.into(), unit: "", align: Align::Left }
    }
    /// A column of numbers in a unit.
    #[must_use]
    pub fn number(title: &str, unit: &'static str) -> Self {
        Self { title: title.into(), unit, align: Align::Right }
    }
}

/// Where the cells of a column stand.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Align {
    /// Words.
    Left,
    /// Numbers.
    Right,
}

/// A cell.
#[derive(Debug, Clone, PartialEq)]
pub enum Cell {
    /// Words or a number.
    Text(String),
    /// A verdict with its sign.
    Verdict(Tone, String),
    /// Words that are said aloud.
    Said(String),
    /// Words that name this unit, of the cells beside them; their numbers are none of it.
    Named(&'static str, String),
    /// A cell whose numbers are all in this unit, which stands elsewhere in the row.
    In(&'static str, Box<Self>),
}

impl Cell {
    /// Its words.
    #[must_use]
    pub fn words(&self) -> &str {
        match self {
            Self::Text(text) | Self::Verdict(_, text) => text,
            Self::Said(text) | Self::Named(_, text) => text,
            Self::In(_, cell) => cell.words(),
        }
    }
    /// The verdict that it carries.
    #[must_use]
    pub fn tone(&self) -> Option<Tone> {
        match self {
            Self::Verdict(tone, _) => Some(*tone),
            Self::In(_, cell) => cell.tone(),
            Self::Text(_) | Self::Said(_) | Self::Named(..) => None,
        }
    }
    /// The same with its numbers in a unit that stands elsewhere in the row.
    #[must_use]
    pub fn of(self, unit: &'static str) -> Self {
        Self::In(unit, Box::new(self))
    }
}

impl From<String> for Cell {
    fn from(text: String) -> Self {
        Self::Text(text)
    }
}

impl From<&str> for Cell {
    fn from(text: &str) -> Self {
        Self::Text(text.into())
    }
}
