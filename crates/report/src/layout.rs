//! Documents laid out on pages: between the document model and the renderers of papers. Everything has a place, in points
//! (1/72 inch) from the top left corner of its page; what is said and in which order it is read stay known.
//!
//! * `face`: the faces, shaping, widths. `lines`: line breaking.
//! * `compose`: blocks as pieces that are not parted. `table`: tables. `lettering`: texts of pictures. `paginate`: pieces on pages.

mod compose;
pub(crate) mod face;
mod lettering;
mod lines;
mod paginate;
mod table;

pub use lettering::{Lettered, lettering};

use crate::model::{Document, Tone};
use crate::scene::Scene;
use face::Cut;

/// A size of paper.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PageSize {
    /// Stable key: "a4".
    pub key: &'static str,
    /// As people call it.
    pub title: &'static str,
    /// Width, points.
    pub width: f64,
    /// Height, points.
    pub height: f64,
}

/// Every size of paper.
pub const SIZES: &[PageSize] = &[
    PageSize { key: "a4", title: "A4, 210 × 297 mm", width: 595.28, height: 841.89 },
    PageSize { key: "letter", title: "Letter, 8.5 × 11 in", width: 612.0, height: 792.0 },
    PageSize { key: "a5", title: "A5, 148 × 210 mm", width: 419.53, height: 595.28 },
    PageSize {
        key: "half-letter",
        title: "Half letter, 5.5 × 8.5 in",
        width: 396.0,
        height: 612.0,
    },
];

/// The size with this key.
#[must_use]
pub fn size(key: &str) -> Option<&'static PageSize> {
    SIZES.iter().find(|size| size.key == key)
}

/// How a document is put on paper.
#[derive(Debug, Clone, PartialEq)]
pub struct Sheet {
    /// The paper.
    pub size: PageSize,
    /// Free edge, points.
    pub edge: f64,
    /// Pages it may fill; `None` for as many as it takes.
    pub pages: Option<usize>,
    /// What may be tried, in groups: within a group a fuller version of the document goes before a larger size.
    pub tries: &'static [&'static [Try]],
    /// How many of the last versions of a document, the bare ones, are tried in the last group only.
    pub bare: usize,
    /// Tables against running text.
    pub table: f64,
    /// Width that a picture has at least before two stand side by side, points.
    pub picture_least: f64,
    /// Least size of the letters of a picture, points.
    pub letters_least: f64,
    /// What the foot of every page says beside the caution: program, version, mark of the figures, date when one was told.
    pub mark: String,
}

/// A size to try.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Try {
    /// Running text, points.
    pub text: f64,
    /// Share of their width that pictures are drawn at, those that are no more than a strip excepted.
    pub pictures: f64,
}

/// What a place on a page holds is part of what: the order of reading.
#[derive(Debug, Clone, PartialEq)]
pub struct Element {
    /// What it is.
    pub kind: Kind,
    /// What it is a part of; `None` at the top.
    pub parent: Option<usize>,
}

/// What an element is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Kind {
    /// Nothing that is read: rules, the foot, the head of a table again.
    Decoration,
    /// A heading of a level, 1 for the title.
    Heading(u8, String),
    /// Words.
    Paragraph,
    /// Short lines.
    List,
    /// One of them.
    Item,
    /// A table.
    Table,
    /// What it shows.
    Caption,
    /// A row.
    Row,
    /// The head of a column.
    HeadCell,
    /// A cell.
    Cell,
    /// A picture, in words.
    Figure(String),
}

/// Something at a place.
#[derive(Debug, Clone, PartialEq)]
pub struct Placed {
    /// Index of the element it belongs to.
    pub element: usize,
    /// What it is.
    pub item: Item,
}

/// What can stand on a page. Lengths in points, x to the right, y down.
#[derive(Debug, Clone, PartialEq)]
pub enum Item {
    /// Words on one line.
    Words(Words),
    /// A straight line.
    Rule {
        /// From.
        from: [f64; 2],
        /// To.
        to: [f64; 2],
        /// Width.
        width: f64,
        /// Color.
        ink: Ink,
    },
    /// The sign of a verdict in a square.
    Sign {
        /// Top left corner.
        at: [f64; 2],
        /// Its side.
        side: f64,
        /// Which.
        tone: Tone,
    },
    /// An empty square to tick.
    Box {
        /// Top left corner.
        at: [f64; 2],
        /// Its side.
        side: f64,
    },
    /// A picture, by its index in [`Pages::scenes`].
    Scene {
        /// Top left corner.
        at: [f64; 2],
        /// Points for a unit of the picture.
        scale: f64,
        /// Which.
        scene: usize,
    },
}

/// Words on one line.
#[derive(Debug, Clone, PartialEq)]
pub struct Words {
    /// Beginning of the base line.
    pub at: [f64; 2],
    /// Size of the face.
    pub size: f64,
    /// Cut of the face.
    pub cut: Cut,
    /// Color.
    pub ink: Ink,
    /// The words.
    pub text: String,
}

/// Colors of words and rules, by meaning.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ink {
    /// Text.
    Full,
    /// Lesser text.
    Muted,
    /// Hairlines.
    Hairline,
    /// Limits and hazards.
    Limit,
}

impl Ink {
    /// The token of the look that it is.
    #[must_use]
    pub const fn token(self) -> &'static str {
        match self {
            Self::Full => "ink",
            Self::Muted => "muted",
            Self::Hairline => "rule",
            Self::Limit => "limit",
        }
    }
}

/// A page.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Page {
    /// In the order of reading.
    pub placed: Vec<Placed>,
}

/// A document on pages.
#[derive(Debug, Clone, PartialEq)]
pub struct Pages {
    /// What it is about.
    pub title: String,
    /// The choice, in one line.
    pub subtitle: String,
    /// The paper.
    pub size: PageSize,
    /// The pages.
    pub pages: Vec<Page>,
    /// The elements; the first is decoration.
    pub elements: Vec<Element>,
    /// The pictures.
    pub scenes: Vec<Scene>,
    /// Size of the running text, points.
    pub text: f64,
    /// What did not fit, in words; empty when everything has its place.
    pub overflow: Vec<String>,
}

/// Lays a document out: the first of the sizes of text and pictures at which it fits. Linear in the document for each that is tried.
#[must_use]
pub fn lay(document: &Document, sheet: &Sheet) -> Pages {
    lay_first(std::slice::from_ref(document), sheet)
}

/// As [`lay`], for the first of several versions of a document that fits, the fullest first. The bare ones among the last
/// are tried in the last group of sizes only. When none fits it is laid out with its [`Pages::overflow`] told.
///
/// # Panics
/// There is no version.
#[must_use]
pub fn lay_first(versions: &[Document], sheet: &Sheet) -> Pages {
    let mut widths = face::Widths::default();
    let mut last = None;
    let last_group = sheet.tries.len().saturating_sub(1);
    let of_group = |(index, group): (usize, &&'static [Try])| {
        let group: &'static [Try] = group;
        let left_out = if index < last_group { sheet.bare } else { 0 };
        let bare = left_out.min(versions.len().saturating_sub(1));
        let full = &versions[..versions.len() - bare];
        full.iter().flat_map(move |document| group.iter().map(move |tried| (document, *tried)))
    };
    for (document, tried) in sheet.tries.iter().enumerate().flat_map(of_group) {
        let pages = paginate::pages(document, sheet, tried, &mut widths);
        if pages.overflow.is_empty() {
            return pages;
        }
        last = Some(pages);
    }
    last.expect("there is a version and a size to try")
}
