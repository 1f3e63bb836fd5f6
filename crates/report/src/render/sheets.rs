//! Pages as SVG (one under the other) and as a page for a browser that prints them, one to a sheet. The font is inside.

use std::fmt::Write as _;

use super::{html, style, svg};
use crate::layout::face::Weight;
use crate::layout::{Ink, Item, Pages, Placed, Words};
use crate::model::Tone;

/// Between pages on the screen, points.
const GAP: f64 = 14.0;

/// Pages as SVG, one under the other.
#[must_use]
pub fn svg_pages(pages: &Pages) -> Vec<u8> {
    let step = pages.size.height + GAP;
    let high = step * pages.pages.len() as f64 - GAP;
    let (wide, high) = (number(pages.size.width), number(high));
    let mut out = format!(
        r#"<svg xmlns="http://www.w3.org/2000/svg" width="{wide}pt" height="{high}pt" viewBox="0 0 {wide} {high}">"#
    );
    let _ = write!(out, "<title>{}</title>", svg::escape(&pages.title));
    let _ = write!(out, "<style>{}</style>", rules());
    for (index, _) in pages.pages.iter().enumerate() {
        let top = number(step * index as f64);
        let _ = write!(out, r#"<g transform="translate(0 {top})">{}</g>"#, page(pages, index));
    }
    out.push_str("</svg>\n");
    out.into_bytes()
}

/// Pages for a browser: on the screen one under the other, printed one to a sheet of their size.
#[must_use]
pub fn html_pages(pages: &Pages) -> Vec<u8> {
    let (wide, high) = (number(pages.size.width), number(pages.size.height));
    let count = pages.pages.len();
    let mut out = format!(
        "<!DOCTYPE html><html lang=\"en\"><head><meta charset=\"utf-8\"><meta name=\"viewport\" \
         content=\"width=device-width, initial-scale=1\"><title>{}</title><style>{}\
         @page{{size:{wide}pt {high}pt;margin:0}}\
         body{{margin:0;background:#d9d8d2}}\
         section{{width:min({wide}pt,100%);margin:{GAP}pt auto;line-height:0}}\
         section>svg{{width:100%;height:auto}}\
         @media print{{body{{background:none}}section{{margin:0;width:{wide}pt}}\
         section+section{{break-before:page}}}}</style></head><body>",
        svg::escape(&pages.title),
        rules()
    );
    for index in 0..count {
        let _ = write!(
            out,
            r#"<section aria-label="page {} of {count}"><svg viewBox="0 0 {wide} {high}">{}</svg></section>"#,
            index + 1,
            page(pages, index)
        );
    }
    out.push_str("</body></html>\n");
    out.into_bytes()
}

/// Rules of words and pictures on white paper.
fn rules() -> String {
    let font = html::font_face(&html::font_inside());
    let ink = |name: &str| style::printed(&format!("var(--{name})"));
    format!(
        "{font}{}.w{{font-family:\"Atkinson Hyperlegible Next\",sans-serif;fill:{}}}\
         .w.b{{font-weight:700}}.w.t{{font-variant-numeric:tabular-nums}}.w.m{{fill:{}}}.w.h{{fill:{}}}.w.l{{fill:{}}}\
         .p{{fill:#ffffff}}.s{{fill:none;stroke:{};stroke-linecap:round;stroke-linejoin:round}}",
        style::printed(style::PICTURE_RULES),
        ink("ink"),
        ink("muted"),
        ink("rule"),
        ink("limit"),
        ink("ink")
    )
}

/// One page: white paper and what stands on it.
fn page(pages: &Pages, index: usize) -> String {
    let (wide, high) = (number(pages.size.width), number(pages.size.height));
    let mut out = format!(r#"<rect class="p" width="{wide}" height="{high}"/>"#);
    for placed in &pages.pages[index].placed {
        item(&mut out, pages, placed);
    }
    out
}

fn item(out: &mut String, pages: &Pages, placed: &Placed) {
    match &placed.item {
        Item::Words(words) => line_of_words(out, words),
        Item::Rule { from, to, width, ink } => {
            let [x1, y1, x2, y2] = [from[0], from[1], to[0], to[1]].map(number);
            let color = style::printed(&format!("var(--{})", ink.token()));
            let _ = write!(
                out,
                r#"<line x1="{x1}" y1="{y1}" x2="{x2}" y2="{y2}" stroke="{color}" stroke-width="{}"/>"#,
                number(*width)
            );
        }
        Item::Sign { at, side, tone } => sign(out, *at, *side, *tone),
        Item::Box { at, side } => {
            let [x, y, side] = [at[0], at[1], *side].map(number);
            let _ = write!(
                out,
                r#"<rect class="s" x="{x}" y="{y}" width="{side}" height="{side}" stroke-width="0.8"/>"#
            );
        }
        Item::Scene { at, scale, scene } => {
            let scene = &pages.scenes[*scene];
            let [x, y] = at.map(number);
            let [wide, high] = [scene.width, scene.height].map(|length| number(length * scale));
            let _ = write!(
                out,
                r#"<svg class="scene" role="img" x="{x}" y="{y}" width="{wide}" height="{high}" viewBox="0 0 {} {}">"#,
                number(scene.width),
                number(scene.height)
            );
            svg::titles(out, scene);
            svg::items(out, scene);
            out.push_str("</svg>");
        }
    }
}

fn line_of_words(out: &mut String, words: &Words) {
    let mut class = String::from("w");
    let classes = [
        (words.cut.weight == Weight::Bold, " b"),
        (words.cut.tabular, " t"),
        (words.ink == Ink::Muted, " m"),
        (words.ink == Ink::Hairline, " h"),
        (words.ink == Ink::Limit, " l"),
    ];
    classes.iter().filter(|(holds, _)| *holds).for_each(|(_, name)| class.push_str(name));
    let _ = write!(
        out,
        r#"<text class="{class}" x="{}" y="{}" font-size="{}">{}</text>"#,
        number(words.at[0]),
        number(words.at[1]),
        number(words.size),
        svg::escape(&words.text)
    );
}

fn sign(out: &mut String, at: [f64; 2], side: f64, tone: Tone) {
    let _ = write!(
        out,
        r#"<svg class="s" x="{}" y="{}" width="{side}" height="{side}" viewBox="0 0 20 20" stroke-width="1.8"><path d="{}"/></svg>"#,
        number(at[0]),
        number(at[1]),
        html::sign_path(tone),
        side = number(side)
    );
}

/// A length to the hundredth of a point, without needless zeros.
fn number(value: f64) -> String {
    format!("{}", (value * 100.0).round() / 100.0 + 0.0)
}
