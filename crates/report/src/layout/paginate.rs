//! Pieces on pages: head of the first page, what stands together kept together, foot of every page.

use super::compose::{Composer, GUTTER, Piece, rule, words};
use super::face::Widths;
use super::{Element, Ink, Item, Kind, Page, Pages, Placed, Sheet, Try};
use crate::SAFETY_SENTENCE;
use crate::model::Document;

/// A rest this small is no overflow, points.
const SLACK: f64 = 0.01;

/// The pages of a document at the sizes tried, and what does not fit.
pub(super) fn pages(document: &Document, sheet: &Sheet, tried: Try, widths: &mut Widths) -> Pages {
    let elements = vec![Element { kind: Kind::Decoration, parent: None }];
    let mut composer = Composer { sheet, tried, widths, elements, scenes: Vec::new() };
    let width = sheet.size.width - 2.0 * sheet.edge;
    let head = title(&mut composer, document, width);
    let pieces = composer.blocks(&document.blocks, width);
    let foot = foot(&mut composer, width);
    let room = sheet.size.height - 2.0 * sheet.edge - foot.height - 0.6 * tried.text;
    let mut filler = Filler { sheet, room, pages: vec![Page::default()], y: 0.0, overflow: vec![] };
    filler.put(&head);
    let mut rest = pieces.as_slice();
    while !rest.is_empty() {
        let chain = rest.iter().position(|piece| !piece.with_next).map_or(rest.len(), |at| at + 1);
        let (together, after) = rest.split_at(chain);
        filler.chain(together);
        rest = after;
    }
    let Filler { mut pages, mut overflow, .. } = filler;
    if let Some(most) = sheet.pages.filter(|most| pages.len() > *most) {
        overflow.push(format!("{} pages, {most} are there", pages.len()));
    }
    let count = pages.len();
    for (index, page) in pages.iter_mut().enumerate() {
        let top = sheet.size.height - sheet.edge - foot.height;
        page.placed.extend(foot.moved([sheet.edge, top]));
        let number = format!("{} of {count}", index + 1);
        page.placed.push(page_number(&mut composer, &number, width, top));
    }
    overflow.extend(beyond_edges(&mut composer, &pages));
    Pages {
        title: document.title.clone(),
        subtitle: document.subtitle.clone(),
        size: sheet.size,
        pages,
        elements: composer.elements,
        scenes: composer.scenes,
        text: tried.text,
        overflow,
    }
}

/// Fills pages from the top.
struct Filler<'a> {
    sheet: &'a Sheet,
    room: f64,
    pages: Vec<Page>,
    y: f64,
    overflow: Vec<String>,
}

impl Filler<'_> {
    fn begin_page(&mut self) {
        self.pages.push(Page::default());
        self.y = 0.0;
    }

    fn put(&mut self, piece: &Piece) {
        if self.y > 0.0 {
            self.y += piece.gap;
        }
        let at = [self.sheet.edge, self.sheet.edge + self.y];
        let page = self.pages.last_mut().expect("there is a page");
        page.placed.extend(piece.moved(at));
        self.y += piece.height;
    }

    /// Pieces that stand on one page; only what is higher than a page is parted.
    fn chain(&mut self, together: &[Piece]) {
        let high: f64 = together.iter().map(|piece| piece.gap + piece.height).sum();
        let begins = together.first().is_some_and(|piece| piece.begins_page);
        if self.y > 0.0 && (begins || self.y + high > self.room + SLACK) {
            self.begin_page();
        }
        for piece in together {
            if self.y > 0.0 && self.y + piece.gap + piece.height > self.room + SLACK {
                self.begin_page();
            }
            if let Some(head) = piece.head.as_deref().filter(|_| self.y <= 0.0) {
                self.put(head);
            }
            if self.y + piece.height > self.room + SLACK {
                self.overflow.push(format!("a piece {:.0} points high on a page", piece.height));
            }
            self.put(piece);
        }
    }
}

/// Title and subtitle over a rule.
fn title(composer: &mut Composer, document: &Document, width: f64) -> Piece {
    let text = composer.text();
    let (large, small) = (text.times(1.9).strong(), text.times(0.95).muted());
    let element = composer.element(Kind::Heading(1, document.title.clone()), None);
    let under = composer.element(Kind::Paragraph, None);
    let mut piece = Piece::default();
    for line in composer.lines(large, &document.title, width) {
        piece.placed.push(words(element, large, [0.0, piece.height + large.base()], &line));
        piece.height += large.line() * 0.94;
    }
    for line in composer.lines(small, &document.subtitle, width) {
        piece.placed.push(words(under, small, [0.0, piece.height + small.base()], &line));
        piece.height += small.line();
    }
    piece.height += 0.4 * text.size;
    piece.placed.push(rule([0.0, piece.height], [width, piece.height], 1.4, Ink::Full));
    piece.height += 0.1 * text.size;
    piece
}

/// The caution on the left, what the figures are on the right, above it room for the number of the page.
fn foot(composer: &mut Composer, width: f64) -> Piece {
    let small = composer.text().times(0.8).muted();
    let mark = composer.sheet.mark.clone();
    let aside = composer.width(small, &mark).max(composer.width(small, "100 of 100"));
    let caution = composer.lines(small, SAFETY_SENTENCE, width - aside - GUTTER);
    let mut piece = Piece::default();
    piece.placed.push(rule([0.0, 0.0], [width, 0.0], 0.5, Ink::Hairline));
    let top = 0.35 * small.size;
    for (index, line) in caution.iter().enumerate() {
        let at = [0.0, top + small.base() + index as f64 * small.line()];
        piece.placed.push(words(0, small, at, line));
    }
    let left = width - composer.width(small, &mark);
    piece.placed.push(words(0, small, [left, top + small.base()], &mark));
    piece.height = top + caution.len().max(2) as f64 * small.line();
    piece
}

fn page_number(composer: &mut Composer, number: &str, width: f64, top: f64) -> Placed {
    let small = composer.text().times(0.8).muted();
    let left = composer.sheet.edge + width - composer.width(small, number);
    let at = [left, top + 0.35 * small.size + small.base() + small.line()];
    words(0, small, at, number)
}

/// What reaches beyond the free edge of its page.
fn beyond_edges(composer: &mut Composer, pages: &[Page]) -> Vec<String> {
    let size = composer.sheet.size;
    let edge = composer.sheet.edge - SLACK;
    let mut out = Vec::new();
    for (index, page) in pages.iter().enumerate() {
        for placed in &page.placed {
            let (from, to, what) = extent(composer, &placed.item);
            let inside = from[0] >= edge
                && from[1] >= edge
                && to[0] <= size.width - edge
                && to[1] <= size.height - edge;
            if !inside {
                out.push(format!("page {}: {what} reaches beyond the edge", index + 1));
            }
        }
    }
    out
}

/// The corners of an item, and what it is.
fn extent(composer: &mut Composer, item: &Item) -> ([f64; 2], [f64; 2], String) {
    let square = |at: [f64; 2], side: f64| [at[0] + side, at[1] + side];
    match item {
        Item::Words(words) => {
            let wide = composer.widths.of(words.cut, &words.text) * words.size;
            let what = format!("{:?}", words.text);
            ([words.at[0], words.at[1] - 0.7 * words.size], [words.at[0] + wide, words.at[1]], what)
        }
        Item::Rule { from, to, .. } => (*from, *to, "a rule".into()),
        Item::Sign { at, side, .. } => (*at, square(*at, *side), "a sign".into()),
        Item::Box { at, side } => (*at, square(*at, *side), "a box".into()),
        Item::Scene { at, scale, scene } => {
            let scene = &composer.scenes[*scene];
            let to = [at[0] + scale * scene.width, at[1] + scale * scene.height];
            (*at, to, format!("the picture {:?}", scene.title))
        }
    }
}
