//! Documents for paper: what is taken along, folded, written on. Each is one file and one line in a list.
//!
//! * `one_page`: the brief on one page. `card`: the kneeboard card. `safety`: the safety sheet.
//! * `debrief`: the debrief sheet. `parts`: what several of them say.

mod card;
mod debrief;
mod one_page;
mod parts;
mod safety;

pub use debrief::debrief;

use crate::layout::{PageSize, Sheet, Try};
use crate::model::Document;
use maneuver::brief::Brief;

/// A kind of paper.
#[derive(Debug, Clone, Copy)]
pub struct Paper {
    /// Stable key: "card".
    pub key: &'static str,
    /// As people call it.
    pub title: &'static str,
    /// Keys of the sizes it is made for, the usual one first.
    pub sizes: &'static [&'static str],
    /// How it is set.
    pub set: Setting,
}

/// How a paper is set on a page, whatever its size.
#[derive(Debug, Clone, Copy)]
pub struct Setting {
    /// Pages it may fill; `None` for as many as it takes.
    pub pages: Option<usize>,
    /// Free edge, points.
    pub edge: f64,
    /// What may be tried, in groups, as [`Sheet::tries`].
    pub tries: &'static [&'static [Try]],
    /// How many of its last versions are bare, as [`Sheet::bare`].
    pub bare: usize,
    /// Tables against running text.
    pub table: f64,
    /// Least width of a picture beside another, points.
    pub picture_least: f64,
    /// Least size of the letters of a picture, points.
    pub letters_least: f64,
}

impl Paper {
    /// The sheet for a size, with what the foot says beside the caution.
    #[must_use]
    pub fn sheet(&self, size: PageSize, mark: String) -> Sheet {
        let Setting { pages, edge, tries, bare, table, picture_least, letters_least } = self.set;
        Sheet { size, edge, pages, tries, bare, table, picture_least, letters_least, mark }
    }
}

const fn sized(text: f64, pictures: f64) -> Try {
    Try { text, pictures }
}

/// One page: pictures give way before words do, and both before what is said.
const ONE_PAGE: &[&[Try]] = &[
    &[
        sized(10.0, 1.0),
        sized(10.0, 0.9),
        sized(9.5, 1.0),
        sized(9.5, 0.85),
        sized(9.0, 0.95),
        sized(9.0, 0.8),
        sized(8.5, 0.9),
        sized(8.5, 0.75),
    ],
    &[sized(8.0, 0.85), sized(8.0, 0.65), sized(7.5, 0.6)],
];

/// A card: what is said gives way before it becomes too small to be read in the cockpit, and pictures do before their lettering crowds.
/// The back with its words decides the size of the text; the front may have room for whole pictures at any.
const CARD: &[&[Try]] = &[
    &[sized(11.0, 1.0), sized(11.0, 0.9), sized(11.0, 0.8)],
    &[sized(10.0, 1.0), sized(10.0, 0.9), sized(10.0, 0.8)],
    &[sized(9.0, 1.0), sized(9.0, 0.9), sized(9.0, 0.8)],
    &[
        sized(8.5, 1.0),
        sized(8.5, 0.8),
        sized(8.0, 1.0),
        sized(8.0, 0.8),
        sized(7.5, 1.0),
        sized(7.5, 0.75),
    ],
];

/// Least size of the letters of a picture: on a sheet, and on a card, points.
const LETTERS: f64 = 6.0;
const LETTERS_ON_A_CARD: f64 = 6.5;

const LARGE: &[&str] = &["a4", "letter"];
const ANY: &[&str] = &["a4", "letter", "a5", "half-letter"];

/// Everything a document says, over as many pages as it takes.
pub const WHOLE: Paper = Paper {
    key: "whole",
    title: "everything, over as many pages as it takes",
    sizes: ANY,
    set: Setting {
        pages: None,
        edge: 42.0,
        tries: &[&[sized(9.5, 1.0)]],
        bare: 0,
        table: 0.95,
        picture_least: 200.0,
        letters_least: LETTERS,
    },
};

/// A paper of a brief.
#[derive(Debug, Clone, Copy)]
pub struct BriefPaper {
    /// The paper.
    pub paper: Paper,
    /// Its versions for a brief, the fullest first.
    pub versions: fn(&Brief) -> Vec<Document>,
}

/// Every paper of a brief, the usual one first.
pub const OF_BRIEF: &[BriefPaper] = &[
    BriefPaper {
        paper: Paper {
            key: "brief",
            title: "the brief on one page",
            sizes: LARGE,
            set: Setting {
                pages: Some(1),
                edge: 36.0,
                tries: ONE_PAGE,
                bare: 1,
                table: 0.95,
                picture_least: 200.0,
                letters_least: LETTERS,
            },
        },
        versions: one_page::versions,
    },
    BriefPaper {
        paper: Paper {
            key: "card",
            title: "the kneeboard card, front and back",
            sizes: &["a5", "half-letter"],
            set: Setting {
                pages: Some(2),
                edge: 24.0,
                tries: CARD,
                bare: 2,
                table: 1.2,
                picture_least: 150.0,
                letters_least: LETTERS_ON_A_CARD,
            },
        },
        versions: card::versions,
    },
    BriefPaper {
        paper: Paper {
            key: "safety",
            title: "the safety sheet, to be ticked off",
            sizes: ANY,
            set: Setting {
                pages: None,
                edge: 42.0,
                tries: &[&[sized(10.0, 1.0)]],
                bare: 0,
                table: 0.95,
                picture_least: 200.0,
                letters_least: LETTERS,
            },
        },
        versions: |brief| vec![safety::document(brief)],
    },
    BriefPaper { paper: WHOLE, versions: |brief| vec![crate::brief::document(brief)] },
];

/// The debrief sheet: an attempt a sheet, what to change first, pictures on the back.
pub const DEBRIEF: Paper = Paper {
    key: "debrief",
    title: "the debrief sheet",
    set: Setting { tries: &[&[sized(9.0, 1.0)]], ..WHOLE.set },
    ..WHOLE
};
