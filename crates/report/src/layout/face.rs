//! The faces of the papers: shaping and widths. Two weights, embedded in the program; the same on every machine.

use std::collections::HashMap;
use std::sync::LazyLock;

use harfrust::{Feature, FontRef, ShapeOptions, ShaperData, Tag, UnicodeBuffer};

/// Atkinson Hyperlegible Next, SIL Open Font License 1.1 (see `data/fonts/OFL.txt`).
const REGULAR: &[u8] =
    include_bytes!("../../../../data/fonts/atkinson-hyperlegible-next-regular.ttf");
const BOLD: &[u8] = include_bytes!("../../../../data/fonts/atkinson-hyperlegible-next-bold.ttf");

/// Height of the face over its base line, ems.
pub(crate) const ASCENT_EM: f64 = 0.984;
/// Depth of the face under its base line, ems.
pub(crate) const DESCENT_EM: f64 = 0.316;
/// Height of capitals and figures, ems.
pub(crate) const CAPITAL_EM: f64 = 0.668;

/// Weight of a face.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Weight {
    /// Running text.
    Regular,
    /// Headings and what is read first.
    Bold,
}

/// How words are set: weight, and whether figures have one width so that columns of them line up.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Cut {
    /// Weight.
    pub weight: Weight,
    /// Figures of one width.
    pub tabular: bool,
}

impl Cut {
    /// Running text.
    pub const TEXT: Self = Self { weight: Weight::Regular, tabular: false };
    /// Headings.
    pub const STRONG: Self = Self { weight: Weight::Bold, tabular: false };
    /// Columns of figures.
    pub const FIGURES: Self = Self { weight: Weight::Regular, tabular: true };
}

/// A glyph of a line, in ems.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Glyph {
    /// Its number in the face; 0 where the face lacks the letter.
    pub(crate) id: u32,
    /// First byte of the text that it stands for.
    pub(crate) from: usize,
    /// To the next glyph.
    pub(crate) advance: f64,
    /// Aside and up from where it would stand.
    pub(crate) offset: [f64; 2],
}

struct Face {
    font: FontRef<'static>,
    data: ShaperData,
}

static FACES: LazyLock<[Face; 2]> = LazyLock::new(|| [REGULAR, BOLD].map(Face::new));

impl Face {
    fn new(bytes: &'static [u8]) -> Self {
        let font = FontRef::from_index(bytes, 0).expect("the embedded faces are fonts");
        let data = ShaperData::new(&font);
        Self { font, data }
    }
}

/// The bytes of a face, for what embeds it.
pub(crate) const fn bytes(weight: Weight) -> &'static [u8] {
    match weight {
        Weight::Regular => REGULAR,
        Weight::Bold => BOLD,
    }
}

/// The glyphs of a text on one line, from left to right.
pub(crate) fn shape(cut: Cut, text: &str) -> Vec<Glyph> {
    let face = &FACES[usize::from(cut.weight == Weight::Bold)];
    let shaper = face.data.shaper(&face.font).build();
    let mut buffer = UnicodeBuffer::new();
    buffer.push_str(text);
    buffer.guess_segment_properties();
    let tabular = [Feature::new(Tag::new(b"tnum"), 1, ..)];
    let features: &[Feature] = if cut.tabular { &tabular } else { &[] };
    let shaped = shaper.shape(buffer, ShapeOptions::new().features(features));
    let em = f64::from(shaper.units_per_em());
    let glyphs = shaped.glyph_infos().iter().zip(shaped.glyph_positions());
    let glyph = |(info, at): (&harfrust::GlyphInfo, &harfrust::GlyphPosition)| Glyph {
        id: info.glyph_id,
        from: info.cluster as usize,
        advance: f64::from(at.x_advance) / em,
        offset: [f64::from(at.x_offset) / em, f64::from(at.y_offset) / em],
    };
    glyphs.map(glyph).collect()
}

/// Widths that were measured before: pages are laid out several times until they fit.
#[derive(Debug, Default)]
pub(crate) struct Widths {
    known: [HashMap<String, f64>; 4],
}

impl Widths {
    /// Width of a text on one line, ems.
    pub(crate) fn of(&mut self, cut: Cut, text: &str) -> f64 {
        let index = usize::from(cut.tabular) + 2 * usize::from(cut.weight == Weight::Bold);
        if let Some(width) = self.known[index].get(text) {
            return *width;
        }
        let width = shape(cut, text).iter().map(|glyph| glyph.advance).sum();
        self.known[index].insert(text.to_owned(), width);
        width
    }
}
