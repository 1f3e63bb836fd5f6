//! Blocks as pieces: what is not parted by the end of a page, with places from the top left corner of the piece.

use super::face::{ASCENT_EM, CAPITAL_EM, Cut, DESCENT_EM, Widths};
use super::{Element, Ink, Item, Kind, Placed, Sheet, Try, Words, lettering, lines, table};
use crate::SAFETY_SENTENCE;
use crate::model::{Block, Fact, Tone};
use crate::scene::Scene;

/// Height of a line, ems.
pub(super) const LINE_EM: f64 = 1.3;
/// Between two columns, or two pictures, points.
pub(super) const GUTTER: f64 = 16.0;
/// A picture wider than this takes a whole row, units of the picture.
const WIDE: f64 = 600.0;
/// A picture so many times as wide as high is a strip: made narrower it would free no room.
const STRIP: f64 = 4.0;

/// A unit of a picture is no larger than this, points; a picture no higher than this share of a page.
const SCALE_MOST: f64 = 0.9;
const HIGH_MOST: f64 = 0.75;

/// What stands together.
#[derive(Debug, Clone, Default)]
pub(super) struct Piece {
    /// Room before it where something stands above.
    pub(super) gap: f64,
    /// Its height.
    pub(super) height: f64,
    /// What it holds.
    pub(super) placed: Vec<Placed>,
    /// Whether it stands on the page of the next one.
    pub(super) with_next: bool,
    /// What is set again above it when it begins a page.
    pub(super) head: Option<std::rc::Rc<Self>>,
    /// Whether it begins a page.
    pub(super) begins_page: bool,
}

impl Piece {
    /// Everything of it moved.
    pub(super) fn moved(&self, by: [f64; 2]) -> impl Iterator<Item = Placed> + '_ {
        let to = move |at: [f64; 2]| [at[0] + by[0], at[1] + by[1]];
        self.placed.iter().map(move |placed| {
            let mut item = placed.item.clone();
            match &mut item {
                Item::Words(words) => words.at = to(words.at),
                Item::Rule { from: a, to: b, .. } => (*a, *b) = (to(*a), to(*b)),
                Item::Sign { at, .. } | Item::Box { at, .. } | Item::Scene { at, .. } => {
                    *at = to(*at);
                }
            }
            Placed { element: placed.element, item }
        })
    }
}

/// How words are set.
#[derive(Debug, Clone, Copy)]
pub(super) struct Setting {
    pub(super) size: f64,
    pub(super) cut: Cut,
    pub(super) ink: Ink,
}

impl Setting {
    /// Height of a line.
    pub(super) fn line(self) -> f64 {
        self.size * LINE_EM
    }
    /// Base line of the first line under a top.
    pub(super) fn base(self) -> f64 {
        self.size * (ASCENT_EM + (LINE_EM - ASCENT_EM - DESCENT_EM) / 2.0)
    }
    pub(super) fn strong(self) -> Self {
        Self { cut: Cut { weight: super::face::Weight::Bold, ..self.cut }, ..self }
    }
    pub(super) fn muted(self) -> Self {
        Self { ink: Ink::Muted, ..self }
    }
    pub(super) fn times(self, factor: f64) -> Self {
        Self { size: self.size * factor, ..self }
    }
}

/// Makes pieces of blocks.
pub(super) struct Composer<'a> {
    pub(super) sheet: &'a Sheet,
    pub(super) tried: Try,
    pub(super) widths: &'a mut Widths,
    pub(super) elements: Vec<Element>,
    pub(super) scenes: Vec<Scene>,
}

impl Composer<'_> {
    /// Running text.
    pub(super) fn text(&self) -> Setting {
        Setting { size: self.tried.text, cut: Cut::TEXT, ink: Ink::Full }
    }
    /// A new element.
    pub(super) fn element(&mut self, kind: Kind, parent: Option<usize>) -> usize {
        self.elements.push(Element { kind, parent });
        self.elements.len() - 1
    }
    /// Lines of a text in a width, points.
    pub(super) fn lines(&mut self, setting: Setting, text: &str, width: f64) -> Vec<String> {
        lines::broken(self.widths, setting.cut, text, width / setting.size)
    }
    /// Width of a text on one line, points.
    pub(super) fn width(&mut self, setting: Setting, text: &str) -> f64 {
        self.widths.of(setting.cut, text) * setting.size
    }

    /// Pieces of blocks in a column of a width.
    pub(super) fn blocks(&mut self, blocks: &[Block], width: f64) -> Vec<Piece> {
        let figures = |a: &Block, b: &Block| matches!((a, b), (Block::Figure(_), Block::Figure(_)));
        let mut pieces = Vec::new();
        let mut break_next = false;
        for group in blocks.chunk_by(figures) {
            let first = pieces.len();
            match &group[0] {
                Block::Figure(_) => {
                    let scenes = group.iter().filter_map(|block| match block {
                        Block::Figure(scene) => Some(scene),
                        _ => None,
                    });
                    self.figures(&mut pieces, &scenes.collect::<Vec<_>>(), width);
                }
                Block::PageBreak => break_next = true,
                block => self.block(&mut pieces, block, width),
            }
            if break_next && let Some(piece) = pieces.get_mut(first) {
                piece.begins_page = true;
                break_next = false;
            }
        }
        pieces
    }

    fn block(&mut self, out: &mut Vec<Piece>, block: &Block, width: f64) {
        let text = self.text();
        match block {
            Block::Heading(level, words) => self.heading(out, *level, words, width),
            Block::Paragraph(words) => {
                let element = self.element(Kind::Paragraph, None);
                self.paragraph(out, element, (text, words), [0.0, width]);
            }
            Block::List(lines) => self.list(out, lines, width, false),
            Block::Boxes(lines) => self.list(out, lines, width, true),
            Block::Table(grid) => table::pieces(self, out, grid, width),
            Block::Verdict(tone, words) => self.signed(out, *tone, (text.strong(), words), width),
            // it stands at the foot of every page
            Block::Caution(words) if words == SAFETY_SENTENCE => {}
            Block::Caution(words) => self.signed(out, Tone::Hazard, (text, words), width),
            Block::Facts(facts) => self.facts(out, facts, width),
            Block::Lead(head, words) => self.lead(out, head, words, width),
            Block::Columns(columns) => self.columns(out, columns, width),
            Block::Figure(_) | Block::PageBreak => {}
        }
    }

    fn heading(&mut self, out: &mut Vec<Piece>, level: u8, words: &str, width: f64) {
        let text = self.text().strong();
        let (setting, gap) = if level <= 2 { (text.times(1.25), 1.0) } else { (text, 0.7) };
        let element = self.element(Kind::Heading(level.max(2), words.to_owned()), None);
        let first = out.len();
        self.paragraph(out, element, (setting, words), [0.0, width]);
        for piece in &mut out[first..] {
            piece.with_next = true;
        }
        if let Some(piece) = out.get_mut(first) {
            piece.gap = gap * text.size;
        }
    }

    /// A paragraph from a left edge in a width; no line of it stands alone on a page.
    pub(super) fn paragraph(
        &mut self,
        out: &mut Vec<Piece>,
        element: usize,
        (setting, words): (Setting, &str),
        [left, width]: [f64; 2],
    ) {
        let lines = self.lines(setting, words, width - left);
        let count = lines.len();
        for (index, text) in lines.into_iter().enumerate() {
            let words = Words {
                at: [left, setting.base()],
                size: setting.size,
                cut: setting.cut,
                ink: setting.ink,
                text,
            };
            out.push(Piece {
                gap: if index == 0 { 0.45 * setting.size } else { 0.0 },
                height: setting.line(),
                placed: vec![Placed { element, item: Item::Words(words) }],
                with_next: (index == 0 && count > 1) || index + 2 == count,
                ..Piece::default()
            });
        }
    }

    /// A paragraph with the sign of a verdict before it.
    fn signed(
        &mut self,
        out: &mut Vec<Piece>,
        tone: Tone,
        (setting, words): (Setting, &str),
        width: f64,
    ) {
        let element = self.element(Kind::Paragraph, None);
        let first = out.len();
        self.paragraph(out, element, (setting, words), [1.45 * setting.size, width]);
        let side = setting.size;
        let at = [0.0, setting.base() - (CAPITAL_EM * setting.size + side) / 2.0];
        let sign = Placed { element, item: Item::Sign { at, side, tone } };
        if let Some(piece) = out.get_mut(first) {
            piece.placed.insert(0, sign);
        }
    }

    fn list(&mut self, out: &mut Vec<Piece>, lines: &[String], width: f64, boxes: bool) {
        let list = self.element(Kind::List, None);
        let text = self.text();
        let indent = if boxes { 1.5 } else { 0.95 } * text.size;
        for (index, line) in lines.iter().enumerate() {
            let element = self.element(Kind::Item, Some(list));
            let first = out.len();
            self.paragraph(out, element, (text, line), [indent, width]);
            let Some(piece) = out.get_mut(first) else { continue };
            piece.gap = if index == 0 { 0.35 } else { 0.2 } * text.size;
            let item = if boxes {
                let side = 0.85 * text.size;
                let top = text.base() - (CAPITAL_EM * text.size + side) / 2.0;
                Item::Box { at: [0.0, top], side }
            } else {
                Item::Words(Words {
                    at: [0.15 * text.size, text.base()],
                    size: text.size,
                    cut: text.cut,
                    ink: text.ink,
                    text: "•".into(),
                })
            };
            piece.placed.insert(0, Placed { element, item });
        }
    }

    /// Facts in a row, hairlines between them.
    fn facts(&mut self, out: &mut Vec<Piece>, facts: &[Fact], width: f64) {
        let text = self.text();
        let (number, small) = (text.times(1.75).strong(), text.times(0.92));
        let list = self.element(Kind::List, None);
        let cell = width / facts.len().max(1) as f64;
        let mut piece = Piece { gap: 0.8 * text.size, ..Piece::default() };
        for (index, fact) in facts.iter().enumerate() {
            let pad = if index == 0 { 0.0 } else { 0.7 * text.size };
            let left = index as f64 * cell + pad;
            let element = self.element(Kind::Item, Some(list));
            let value_wide = self.width(number, &fact.value);
            piece.placed.push(words(element, number, [left, number.base()], &fact.value));
            let unit_at = [left + value_wide + 0.3 * small.size, number.base()];
            piece.placed.push(words(element, small, unit_at, fact.unit));
            let under = self.lines(small, &fact.words, cell - pad - 0.4 * text.size);
            let mut height = number.line();
            for line in under {
                let at = [left, height + small.base()];
                piece.placed.push(words(element, small.muted(), at, &line));
                height += small.line();
            }
            piece.height = piece.height.max(height);
        }
        for index in 1..facts.len() {
            let x = index as f64 * cell;
            let ends = ([x, 0.2 * text.size], [x, piece.height]);
            piece.placed.push(rule(ends.0, ends.1, 0.5, Ink::Hairline));
        }
        out.push(piece);
    }

    /// A word above a sentence in large type, a stroke beside both.
    fn lead(&mut self, out: &mut Vec<Piece>, head: &str, sentence: &str, width: f64) {
        let text = self.text();
        let element = self.element(Kind::Paragraph, None);
        let left = 0.9 * text.size;
        let mut parts = Vec::new();
        self.paragraph(&mut parts, element, (text.muted(), head), [left, width]);
        self.paragraph(&mut parts, element, (text.times(1.25).strong(), sentence), [left, width]);
        parts.iter_mut().for_each(|part| part.gap = 0.0);
        let mut piece = Piece { gap: 0.9 * text.size, ..stacked(&parts, 0.0) };
        piece.placed.push(rule([1.0, 0.0], [1.0, piece.height], 2.0, Ink::Full));
        out.push(piece);
    }

    /// Columns side by side, as one piece.
    fn columns(&mut self, out: &mut Vec<Piece>, columns: &[Vec<Block>], width: f64) {
        let count = columns.len().max(1) as f64;
        let wide = (width - (count - 1.0) * GUTTER) / count;
        let mut whole = Piece { gap: 0.9 * self.tried.text, ..Piece::default() };
        for (index, column) in columns.iter().enumerate() {
            let parts = self.blocks(column, wide);
            let one = stacked(&parts, index as f64 * (wide + GUTTER));
            whole.height = whole.height.max(one.height);
            whole.placed.extend(one.placed);
        }
        out.push(whole);
    }

    /// Pictures in rows, as many side by side as are wide enough.
    fn figures(&mut self, out: &mut Vec<Piece>, scenes: &[&Scene], width: f64) {
        let fit =
            ((width + GUTTER) / (self.sheet.picture_least + GUTTER)).floor().max(1.0) as usize;
        let mut rest = scenes;
        while let Some(first) = rest.first() {
            let narrow = rest.iter().take_while(|scene| scene.width <= WIDE).count();
            let count = if first.width > WIDE { 1 } else { narrow.min(fit).max(1) };
            let (row, after) = rest.split_at(count);
            rest = after;
            let cells = if first.width > WIDE { 1 } else { fit.min(scenes.len()) };
            out.push(self.figure_row(row, cells, width));
        }
    }

    fn figure_row(&mut self, row: &[&Scene], cells: usize, width: f64) -> Piece {
        let caption = self.text().strong();
        let cell = (width - (cells as f64 - 1.0) * GUTTER) / cells as f64;
        let mut piece = Piece { gap: 0.8 * caption.size, ..Piece::default() };
        for (index, scene) in row.iter().enumerate() {
            let left = index as f64 * (cell + GUTTER);
            let title = self.element(Kind::Caption, None);
            let mut top = 0.0;
            for line in self.lines(caption, &scene.title, cell) {
                piece.placed.push(words(title, caption, [left, top + caption.base()], &line));
                top += caption.line();
            }
            let element = self.element(Kind::Figure(said(scene)), None);
            // neither larger than on the screen nor higher than leaves room for its caption
            let high = HIGH_MOST * (self.sheet.size.height - 2.0 * self.sheet.edge);
            let strip = scene.width >= STRIP * scene.height;
            let share = if strip { 1.0 } else { self.tried.pictures };
            let scale = (share * cell / scene.width).min(SCALE_MOST).min(high / scene.height);
            let least = self.sheet.letters_least;
            self.scenes.push(lettering::legible(scene, scale, least, self.widths));
            let item = Item::Scene { at: [left, top], scale, scene: self.scenes.len() - 1 };
            piece.placed.push(Placed { element, item });
            piece.height = piece.height.max(top + scale * scene.height);
        }
        piece
    }
}

/// A picture in words.
fn said(scene: &Scene) -> String {
    if scene.description.is_empty() { scene.title.clone() } else { scene.description.clone() }
}

/// Words on a line.
pub(super) fn words(element: usize, setting: Setting, at: [f64; 2], text: &str) -> Placed {
    let Setting { size, cut, ink } = setting;
    Placed { element, item: Item::Words(Words { at, size, cut, ink, text: text.to_owned() }) }
}

/// A straight line that means nothing.
pub(super) fn rule(from: [f64; 2], to: [f64; 2], width: f64, ink: Ink) -> Placed {
    Placed { element: 0, item: Item::Rule { from, to, width, ink } }
}

/// Pieces one under the other as one, moved to the right.
fn stacked(parts: &[Piece], right: f64) -> Piece {
    let mut one = Piece::default();
    for (index, part) in parts.iter().enumerate() {
        one.height += if index == 0 { 0.0 } else { part.gap };
        let top = one.height;
        one.placed.extend(part.moved([right, top]));
        one.height += part.height;
    }
    one
}
