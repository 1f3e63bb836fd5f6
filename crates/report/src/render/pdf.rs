//! Pages as PDF: embedded subsets of the faces, pictures as vectors, order of reading and outline for those who do not see the
//! page. Nothing of the machine or the clock goes into it.

mod picture;
mod tags;

use krilla::SerializeSettings;
use krilla::color::rgb;
use krilla::configure::Configuration;
use krilla::destination::XyzDestination;
use krilla::geom::{PathBuilder, Point, Rect};
use krilla::metadata::{Metadata, PageLayout};
use krilla::num::NormalizedF32;
use krilla::outline::{Outline, OutlineNode};
use krilla::page::PageSettings;
use krilla::paint::{Fill, LineCap, LineJoin, Stroke, StrokeDash};
use krilla::surface::Surface;
use krilla::text::{Font, GlyphId, KrillaGlyph};

use super::look::{self, Rgb};
use crate::layout::face::{self, Cut, Weight};
use crate::layout::{Item, Kind, Pages, Words};
use crate::model::Tone;

/// Pages as PDF 1.7.
#[must_use]
pub fn pdf(pages: &Pages) -> Vec<u8> {
    written(pages, Configuration::default()).expect("without a validator nothing is refused")
}

fn written(pages: &Pages, configuration: Configuration) -> krilla::error::KrillaResult<Vec<u8>> {
    let settings = SerializeSettings { configuration, ..SerializeSettings::default() };
    let mut document = krilla::Document::new_with(settings);
    let fonts = Fonts::new();
    let mut tags = tags::Tags::of(&pages.elements);
    let mut outline = Outline::new();
    for (index, page) in pages.pages.iter().enumerate() {
        let (wide, high) = (pages.size.width as f32, pages.size.height as f32);
        let size = PageSettings::from_wh(wide, high).expect("a page has a size");
        let mut sheet = document.start_page_with(size);
        let mut surface = sheet.surface();
        for group in page.placed.chunk_by(|a, b| a.element == b.element) {
            let element = group[0].element;
            if let Some(node) = heading(pages, element, &group[0].item, index)
                && tags.is_new(element)
            {
                outline.push_child(node);
            }
            tags.begin(&mut surface, element);
            for placed in group {
                item(&mut surface, &fonts, pages, &placed.item);
            }
            surface.end_tagged();
        }
        surface.finish();
        sheet.finish();
    }
    document.set_outline(outline);
    document.set_tag_tree(tags.tree());
    document.set_metadata(metadata(pages));
    document.finish()
}

fn metadata(pages: &Pages) -> Metadata {
    Metadata::new()
        .title(pages.title.clone())
        .description(pages.subtitle.clone())
        .language("en".into())
        .creator(format!("Skychalk {}", env!("CARGO_PKG_VERSION")))
        .page_layout(PageLayout::SinglePage)
}

/// An entry of the outline for a heading below the title.
fn heading(pages: &Pages, element: usize, item: &Item, page: usize) -> Option<OutlineNode> {
    let Kind::Heading(2, words) = &pages.elements[element].kind else { return None };
    let Item::Words(at) = item else { return None };
    let top = (at.at[1] - 1.2 * at.size).max(0.0);
    let place = XyzDestination::new(page, Point::from_xy(0.0, top as f32));
    Some(OutlineNode::new(words.clone(), place))
}

/// The faces as the PDF holds them, and the looks of pictures.
struct Fonts {
    regular: Font,
    bold: Font,
    looks: look::Looks,
}

impl Fonts {
    fn new() -> Self {
        let font = |weight| {
            Font::new(face::bytes(weight).into(), 0).expect("the embedded faces are fonts")
        };
        Self {
            regular: font(Weight::Regular),
            bold: font(Weight::Bold),
            looks: look::Looks::default(),
        }
    }
    fn of(&self, weight: Weight) -> Font {
        match weight {
            Weight::Regular => self.regular.clone(),
            Weight::Bold => self.bold.clone(),
        }
    }
}

/// Glyphs of a line as they are drawn.
fn glyphs(cut: Cut, text: &str) -> Vec<KrillaGlyph> {
    let shaped = face::shape(cut, text);
    let end = |from: usize| {
        let after = shaped.iter().map(|glyph| glyph.from).filter(|other| *other > from);
        after.min().unwrap_or(text.len())
    };
    let one = |glyph: &face::Glyph| {
        KrillaGlyph::new(
            GlyphId::new(glyph.id),
            glyph.advance as f32,
            glyph.offset[0] as f32,
            glyph.offset[1] as f32,
            0.0,
            glyph.from..end(glyph.from),
            None,
        )
    };
    shaped.iter().map(one).collect()
}

fn item(surface: &mut Surface, fonts: &Fonts, pages: &Pages, item: &Item) {
    match item {
        Item::Words(words) => line_of_words(surface, fonts, words),
        Item::Rule { from, to, width, ink: color } => {
            let line = path(&[*from, *to], false);
            let pen = pen(look::token(color.token()), 1.0, *width);
            stroked(surface, line, Stroke { line_cap: LineCap::Butt, ..pen });
        }
        Item::Sign { at, side, tone } => sign(surface, *at, *side, *tone),
        Item::Box { at, side } => {
            let [x, y] = *at;
            let corners = [[x, y], [x + side, y], [x + side, y + side], [x, y + side]];
            stroked(surface, path(&corners, true), pen(look::token("ink"), 1.0, 0.8));
        }
        Item::Scene { at, scale, scene } => {
            picture::draw(surface, fonts, &pages.scenes[*scene], (*at, *scale));
        }
    }
}

fn line_of_words(surface: &mut Surface, fonts: &Fonts, words: &Words) {
    surface.set_stroke(None);
    surface.set_fill(Some(area(look::token(words.ink.token()), 1.0)));
    let start = Point::from_xy(words.at[0] as f32, words.at[1] as f32);
    let glyphs = glyphs(words.cut, &words.text);
    let font = fonts.of(words.cut.weight);
    surface.draw_glyphs(start, &glyphs, font, &words.text, words.size as f32, false);
}

fn area(color: Rgb, opacity: f64) -> Fill {
    let [red, green, blue] = color;
    let opacity = NormalizedF32::new(opacity as f32).unwrap_or(NormalizedF32::ONE);
    Fill { paint: rgb::Color::new(red, green, blue).into(), opacity, ..Fill::default() }
}

/// A pen with round ends.
fn pen(color: Rgb, opacity: f64, width: f64) -> Stroke {
    let [red, green, blue] = color;
    Stroke {
        paint: rgb::Color::new(red, green, blue).into(),
        width: width as f32,
        opacity: NormalizedF32::new(opacity as f32).unwrap_or(NormalizedF32::ONE),
        line_cap: LineCap::Round,
        line_join: LineJoin::Round,
        ..Stroke::default()
    }
}

/// A path through points; `None` for one that has no extent.
fn path(points: &[[f64; 2]], closed: bool) -> Option<krilla::geom::Path> {
    let mut builder = PathBuilder::new();
    for (index, [x, y]) in points.iter().enumerate() {
        let (x, y) = (*x as f32, *y as f32);
        if index == 0 { builder.move_to(x, y) } else { builder.line_to(x, y) }
    }
    if closed {
        builder.close();
    }
    builder.finish()
}

/// A circle by four cubic curves, the usual ones.
fn circle([x, y]: [f64; 2], radius: f64) -> Option<krilla::geom::Path> {
    const HANDLE: f64 = 0.552_284_75;
    let at = |right: f64, down: f64| ((x + radius * right) as f32, (y + radius * down) as f32);
    let mut builder = PathBuilder::new();
    let mut from = [1.0, 0.0];
    let (x0, y0) = at(1.0, 0.0);
    builder.move_to(x0, y0);
    for to in [[0.0, 1.0], [-1.0, 0.0], [0.0, -1.0], [1.0, 0.0]] {
        let (x1, y1) = at(from[0] + HANDLE * to[0], from[1] + HANDLE * to[1]);
        let (x2, y2) = at(to[0] + HANDLE * from[0], to[1] + HANDLE * from[1]);
        let (x3, y3) = at(to[0], to[1]);
        builder.cubic_to(x1, y1, x2, y2, x3, y3);
        from = to;
    }
    builder.close();
    builder.finish()
}

fn stroked(surface: &mut Surface, path: Option<krilla::geom::Path>, stroke: Stroke) {
    let Some(path) = path else { return };
    surface.set_fill(None);
    surface.set_stroke(Some(stroke));
    surface.draw_path(&path);
}

fn filled(surface: &mut Surface, path: Option<krilla::geom::Path>, fill: Fill) {
    let Some(path) = path else { return };
    surface.set_stroke(None);
    surface.set_fill(Some(fill));
    surface.draw_path(&path);
}

/// The sign of a verdict: a tick in a ring, a cross, a broken ring with a wave, a triangle with a stroke.
fn sign(surface: &mut Surface, [left, top]: [f64; 2], side: f64, tone: Tone) {
    let unit = side / 20.0;
    let at = |[x, y]: [f64; 2]| [left + unit * x, top + unit * y];
    let mut draw = |points: &[[f64; 2]], closed: bool| {
        let points: Vec<[f64; 2]> = points.iter().map(|point| at(*point)).collect();
        stroked(surface, path(&points, closed), pen(look::token("ink"), 1.0, 1.9 * unit));
    };
    match tone {
        Tone::Met => {
            draw(&[[6.0, 10.5], [9.0, 13.5], [14.0, 7.0]], false);
            let ring = circle(at([10.0, 10.0]), 8.0 * unit);
            stroked(surface, ring, pen(look::token("ink"), 1.0, 1.6 * unit));
        }
        Tone::NotMet => {
            draw(&[[4.0, 4.0], [16.0, 16.0]], false);
            draw(&[[16.0, 4.0], [4.0, 16.0]], false);
        }
        Tone::CannotTell => {
            let wave = [[5.5, 10.0], [7.75, 8.5], [10.0, 10.0], [12.25, 11.5], [14.5, 10.0]];
            draw(&wave, false);
            let ring = circle(at([10.0, 10.0]), 8.0 * unit);
            let dash =
                StrokeDash { array: vec![(7.0 * unit) as f32, (5.5 * unit) as f32], offset: 0.0 };
            let pen = pen(look::token("ink"), 1.0, 1.6 * unit);
            stroked(surface, ring, Stroke { dash: Some(dash), ..pen });
        }
        Tone::Hazard => {
            draw(&[[10.0, 2.0], [18.5, 17.5], [1.5, 17.5]], true);
            draw(&[[10.0, 8.0], [10.0, 12.5]], false);
            draw(&[[10.0, 15.0], [10.0, 15.2]], false);
        }
    }
}

/// A rectangle.
fn rectangle([x, y]: [f64; 2], wide: f64, high: f64) -> Option<krilla::geom::Path> {
    let rect = Rect::from_xywh(x as f32, y as f32, wide as f32, high as f32)?;
    let mut builder = PathBuilder::new();
    builder.push_rect(rect);
    builder.finish()
}

#[cfg(test)]
mod tests;
