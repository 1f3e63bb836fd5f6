//! Pictures as SVG 1.1: one scene inside a page, or all pictures of a document on one sheet that needs nothing else.

use super::style;
use crate::SAFETY_SENTENCE;
use crate::model::{Block, Cell, Document, Table};
use crate::scene::{Anchor, Item, Point, Scene, Style};
use std::fmt::Write as _;

const GAP: f64 = 28.0;
const EDGE: f64 = 24.0;
const HEAD: f64 = 76.0;
const FOOT: f64 = 40.0;
/// Pictures go beside one another up to this width.
const SHEET_WIDTH: f64 = 940.0;
const CAPTION: f64 = 22.0;
/// Height of a line of the head, and how many letters go on it.
const LINE: f64 = 20.0;
const LINE_LETTERS: usize = 100;

/// One picture as an `svg` element with title and description; colors come from the style sheet around it.
#[must_use]
pub fn scene_svg(scene: &Scene) -> String {
    let mut out = format!(
        r#"<svg class="scene" role="img" xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {} {}">"#,
        number(scene.width),
        number(scene.height)
    );
    titles(&mut out, scene);
    items(&mut out, scene);
    out.push_str("</svg>");
    out
}

/// All pictures of a document on one sheet, under its verdict and reasons: a picture is never a plan without them.
#[must_use]
pub fn svg(document: &Document) -> Vec<u8> {
    let said = said(document);
    let head = HEAD + LINE * said.len() as f64;
    let (places, width, height) = layout(document, head);
    let mut out = format!(
        r#"<svg class="scene" xmlns="http://www.w3.org/2000/svg" width="{0}" height="{1}" viewBox="0 0 {0} {1}">"#,
        number(width),
        number(height)
    );
    let _ = write!(out, "<title>{}</title>", escape(&document.title));
    let _ = write!(
        out,
        "<style>{}\n.sheet {{ fill: #fcfbf7; }}\nsvg.scene text.title {{ font-size: 24px; font-weight: 700; }}</style>",
        style::picture_rules_on_paper()
    );
    let _ = write!(
        out,
        r#"<rect class="sheet" width="{}" height="{}"/>"#,
        number(width),
        number(height)
    );
    let line = |out: &mut String, y: f64, class: &str, text: &str| {
        let _ = write!(
            out,
            r#"<text class="{class}" x="{}" y="{}">{}</text>"#,
            number(EDGE),
            number(y),
            escape(text)
        );
    };
    line(&mut out, 36.0, "title", &document.title);
    line(&mut out, 60.0, "small muted", &document.subtitle);
    for (index, text) in said.iter().enumerate() {
        line(&mut out, HEAD + LINE * (index as f64 + 0.4), "label", text);
    }
    for (place, heading, scene) in places {
        let caption = if heading.is_empty() {
            scene.title.clone()
        } else {
            format!("{}: {}", scene.title, uncapped(heading))
        };
        let (x, y) = (number(place.x), number(place.y));
        let _ = write!(
            out,
            r#"<text class="label" x="{x}" y="{}">{}</text>"#,
            number(place.y - 8.0),
            escape(&caption)
        );
        let (wide, high) = (number(scene.width), number(scene.height));
        let _ = write!(
            out,
            r#"<svg class="scene" role="img" x="{x}" y="{y}" width="{wide}" height="{high}" viewBox="0 0 {wide} {high}">"#
        );
        titles(&mut out, scene);
        items(&mut out, scene);
        out.push_str("</svg>");
    }
    line(&mut out, height - 16.0, "small", SAFETY_SENTENCE);
    out.push_str("</svg>\n");
    out.into_bytes()
}

/// A heading in the middle of a line.
fn uncapped(heading: &str) -> String {
    let mut letters = heading.chars();
    letters.next().map_or_else(String::new, |first| first.to_lowercase().chain(letters).collect())
}

/// What stands before the first heading in words: verdict, reasons, cautions, tables by rows; wrapped to the sheet.
fn said(document: &Document) -> Vec<String> {
    let top = document.blocks.iter().take_while(|block| !matches!(block, Block::Heading(..)));
    let mut out = Vec::new();
    for block in top {
        match block {
            Block::Verdict(_, text) | Block::Caution(text) => out.extend(wrapped(text)),
            Block::List(lines) => out.extend(lines.iter().flat_map(|line| wrapped(line))),
            Block::Table(table) => out.extend(rows(table)),
            Block::Facts(facts) => out.extend(facts.iter().flat_map(|fact| wrapped(&fact.line()))),
            Block::Lead(head, text) => out.extend(wrapped(&format!("{head}: {text}"))),
            Block::Boxes(_)
            | Block::Columns(_)
            | Block::Heading(..)
            | Block::PageBreak
            | Block::Paragraph(_)
            | Block::Figure(_) => {}
        }
    }
    out
}

/// The rows of a table as lines, every cell with the head of its column.
fn rows(table: &Table) -> Vec<String> {
    let row = |row: &Vec<Cell>| -> String {
        let named = table.columns.iter().zip(row);
        let cells: Vec<String> =
            named.map(|(head, content)| format!("{} {}", head.title, content.words())).collect();
        cells.join(", ")
    };
    table.rows.iter().flat_map(|cells| wrapped(&row(cells))).collect()
}

fn wrapped(text: &str) -> Vec<String> {
    let mut lines = vec![String::new()];
    for word in text.split_whitespace() {
        let last = lines.last_mut().expect("there is a line");
        if !last.is_empty() && last.chars().count() + word.chars().count() >= LINE_LETTERS {
            lines.push(format!("   {word}"));
        } else {
            if !last.is_empty() {
                last.push(' ');
            }
            last.push_str(word);
        }
    }
    lines
}

/// Where each picture goes, with the heading it stands under, and the size of the sheet.
fn layout(document: &Document, head: f64) -> (Vec<(Point, &str, &Scene)>, f64, f64) {
    let (mut x, mut y, mut row) = (EDGE, head + CAPTION, 0.0f64);
    let (mut places, mut heading) = (Vec::new(), "");
    for block in &document.blocks {
        match block {
            Block::Heading(2, text) => heading = text,
            Block::Figure(scene) => {
                if x > EDGE && x + scene.width > SHEET_WIDTH - EDGE {
                    (x, y, row) = (EDGE, y + row + GAP + CAPTION, 0.0);
                }
                places.push((crate::scene::at(x, y), heading, scene));
                x += scene.width + GAP;
                row = row.max(scene.height);
            }
            Block::Heading(..)
            | Block::Paragraph(_)
            | Block::List(_)
            | Block::Table(_)
            | Block::Verdict(..)
            | Block::Facts(_)
            | Block::Lead(..)
            | Block::Boxes(_)
            | Block::Columns(_)
            | Block::PageBreak
            | Block::Caution(_) => {}
        }
    }
    (places, SHEET_WIDTH, y + row + FOOT)
}

pub(super) fn titles(out: &mut String, scene: &Scene) {
    let _ = write!(
        out,
        "<title>{}</title><desc>{}</desc>",
        escape(&scene.title),
        escape(&scene.description)
    );
}

pub(super) fn items(out: &mut String, scene: &Scene) {
    for item in &scene.items {
        let _ = match item {
            Item::Polyline(points, style) => {
                write!(out, r#"<polyline class="{}" points="{}"/>"#, class(*style), list(points))
            }
            Item::Polygon(points, style) => {
                write!(out, r#"<polygon class="{}" points="{}"/>"#, class(*style), list(points))
            }
            Item::Line(from, to, style) => write!(
                out,
                r#"<line class="{}" x1="{}" y1="{}" x2="{}" y2="{}"/>"#,
                class(*style),
                number(from.x),
                number(from.y),
                number(to.x),
                number(to.y)
            ),
            Item::Circle(place, radius, style) => write!(
                out,
                r#"<circle class="{}" cx="{}" cy="{}" r="{}"/>"#,
                class(*style),
                number(place.x),
                number(place.y),
                number(*radius)
            ),
            Item::Text(place, text, anchor, style) => write!(
                out,
                r#"<text class="{}" x="{}" y="{}" text-anchor="{}"{}>{}</text>"#,
                class(*style),
                number(place.x),
                number(place.y),
                anchor_word(*anchor),
                enlarged(scene.lettering, *style),
                escape(text)
            ),
        };
    }
}

/// The size of a text that is not the usual one; an attribute of its own would give way to the style sheet.
fn enlarged(lettering: f64, style: Style) -> String {
    match lettering > 1.0 {
        false => String::new(),
        true => format!(r#" style="font-size:{:.2}px""#, lettering * super::letters(style).0),
    }
}

fn class(style: Style) -> String {
    format!("{} {}", style.mark.class(), style.role.class())
}

const fn anchor_word(anchor: Anchor) -> &'static str {
    match anchor {
        Anchor::Start => "start",
        Anchor::Middle => "middle",
        Anchor::End => "end",
    }
}

fn list(points: &[Point]) -> String {
    points.iter().map(|p| format!("{},{}", number(p.x), number(p.y))).collect::<Vec<_>>().join(" ")
}

/// A coordinate to the tenth, without needless zeros; what is not finite becomes nil (it would make the picture unreadable).
fn number(value: f64) -> String {
    let tenths = (value * 10.0).round();
    if !tenths.is_finite() || tenths == 0.0 {
        return "0".into();
    }
    format!("{}", tenths / 10.0)
}

/// Text as character data or attribute value of XML; characters that XML forbids are replaced.
pub(super) fn escape(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for letter in text.chars() {
        match letter {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            '\t' | '\n' => out.push(letter),
            '\u{fffe}' | '\u{ffff}' => out.push('\u{fffd}'),
            control if control.is_control() => out.push('\u{fffd}'),
            other => out.push(other),
        }
    }
    out
}
