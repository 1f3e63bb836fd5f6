//! A page that needs nothing else: style, font and pictures are inside it. Two themes with a switch that needs no script.

use super::{style, svg};
use crate::SAFETY_SENTENCE;
use crate::model::{Align, Block, Cell, Document, Table, Tone};
use crate::scene::Scene;
use maud::{DOCTYPE, Markup, PreEscaped, html as markup};

/// Atkinson Hyperlegible Next, SIL Open Font License 1.1 (see `data/fonts/OFL.txt`).
pub const FONT: &[u8] =
    include_bytes!("../../../../data/fonts/atkinson-hyperlegible-next-latin-wght-normal.woff2");
/// A picture wider than this takes a whole row.
const WIDE: f64 = 600.0;

/// The document as a page.
#[must_use]
pub fn html(document: &Document) -> Vec<u8> {
    let page = markup! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                title { (document.title) }
                style { (PreEscaped(sheet())) }
            }
            body {
                header {
                    span.mark { "Skychalk" }
                    h1 { (document.title) }
                    fieldset.theme {
                        label { input type="radio" name="theme" id="theme-board"; "board" }
                        label { input type="radio" name="theme" id="theme-paper"; "paper" }
                    }
                    p { (document.subtitle) }
                }
                main { (blocks(&document.blocks)) }
                footer { (SAFETY_SENTENCE) }
            }
        }
    };
    let mut text = page.into_string();
    text.push('\n');
    text.into_bytes()
}

/// The document as a part of a page that has [`style_sheet`]: an article without style, font or script of its own.
#[must_use]
pub fn html_fragment(document: &Document) -> String {
    let article = markup! {
        article {
            header.document { h1 { (document.title) } p { (document.subtitle) } }
            (blocks(&document.blocks))
        }
    };
    article.into_string()
}

/// The style of pages and fragments, with the font at this address.
#[must_use]
pub fn style_sheet(font_address: &str) -> String {
    format!(
        "{}\n{}\n{}\n{}",
        font_face(font_address),
        style::token_rules(),
        style::PAGE_RULES,
        style::PICTURE_RULES
    )
}

fn sheet() -> String {
    style_sheet(&font_inside())
}

/// The rule that names the font at this address.
pub(super) fn font_face(address: &str) -> String {
    format!(
        "@font-face{{font-family:\"Atkinson Hyperlegible Next\";src:url({address}) \
         format(\"woff2\");font-weight:200 800;font-display:swap}}"
    )
}

/// The font as an address that holds it.
pub(super) fn font_inside() -> String {
    format!("data:font/woff2;base64,{}", base64(FONT))
}

/// Blocks in order; figures that follow one another share a grid.
fn blocks(list: &[Block]) -> Markup {
    let groups = list.chunk_by(|a, b| matches!((a, b), (Block::Figure(_), Block::Figure(_))));
    markup! {
        @for group in groups {
            @if matches!(group.first(), Some(Block::Figure(_))) {
                div.figures { @for block in group { (one(block)) } }
            } @else {
                @for block in group { (one(block)) }
            }
        }
    }
}

fn one(block: &Block) -> Markup {
    markup! {
        @match block {
            Block::Heading(level, text) => {
                @if *level <= 2 { h2 { (text) } } @else { h3 { (text) } }
            }
            Block::Paragraph(text) => p { (text) },
            Block::List(lines) => ul { @for line in lines { li { (line) } } },
            Block::Table(grid) => (table(grid)),
            Block::Verdict(tone, text) => p.verdict { (toned(*tone, text)) },
            Block::Figure(scene) => (figure(scene)),
            Block::Caution(text) => p.caution { (text) },
            Block::Facts(facts) => ul.facts { @for fact in facts { li { (fact.line()) } } },
            Block::Lead(head, text) => p.lead { strong { (head) } ": " (text) },
            Block::Boxes(lines) => ul.boxes { @for line in lines { li { (line) } } },
            Block::Columns(columns) => @for column in columns { (blocks(column)) },
            Block::PageBreak => {},
        }
    }
}

fn figure(scene: &Scene) -> Markup {
    let wide = scene.width > WIDE;
    let picture = PreEscaped(svg::scene_svg(scene));
    markup! {
        figure.wide[wide] {
            figcaption { (scene.title) }
            @if wide {
                // on a narrow screen it is moved sideways, for its words would be too small to read
                div.scroll tabindex="0" role="region" aria-label=(scene.title) { (picture) }
            } @else {
                (picture)
            }
        }
    }
}

fn table(grid: &Table) -> Markup {
    let right = |index: usize| grid.columns.get(index).is_some_and(|c| c.align == Align::Right);
    markup! {
        div.scroll tabindex="0" role="region" aria-label=(grid.caption) {
            table {
                caption { (grid.caption) }
                thead { tr {
                    @for (index, column) in grid.columns.iter().enumerate() {
                        th.right[right(index)] scope="col" {
                            (column.title)
                            @if !column.unit.is_empty() { " " span.unit { (column.unit) } }
                        }
                    }
                } }
                tbody {
                    @for row in &grid.rows { tr {
                        @for (index, cell) in row.iter().enumerate() {
                            td.right[right(index)] { (cell_markup(cell)) }
                        }
                    } }
                }
            }
        }
    }
}

fn cell_markup(cell: &Cell) -> Markup {
    markup! {
        @match cell.tone() {
            None => (cell.words()),
            Some(tone) => (toned(tone, cell.words())),
        }
    }
}

/// The strokes of a sign in a square of 20: a tick in a ring, a cross, a broken ring with a wave, a triangle with a stroke.
pub(super) const fn sign_path(tone: Tone) -> &'static str {
    match tone {
        Tone::Met => "M10 2a8 8 0 1 1 0 16a8 8 0 1 1 0-16M6 10.5l3 3l5-6.5",
        Tone::NotMet => "M4 4L16 16M16 4L4 16",
        Tone::CannotTell => {
            "M3 6.5A8 8 0 0 1 17 6.5M17 13.5A8 8 0 0 1 3 13.5M5.5 10q2.25-3 4.5 0t4.5 0"
        }
        Tone::Hazard => "M10 2L18.5 17.5H1.5ZM10 8v4.5M10 15v.2",
    }
}

/// A verdict: the word with its sign.
fn toned(tone: Tone, text: &str) -> Markup {
    let class = match tone {
        Tone::Met => "met",
        Tone::NotMet => "not-met",
        Tone::CannotTell => "cannot-tell",
        Tone::Hazard => "hazard",
    };
    let path = sign_path(tone);
    markup! {
        span class={ "tone " (class) } {
            svg viewBox="0 0 20 20" aria-hidden="true" { path d=(path) {} }
            (text)
        }
    }
}

/// RFC-4648 base64 with padding.
fn base64(bytes: &[u8]) -> String {
    const LETTERS: &[u8; 64] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    let mut out = String::with_capacity(bytes.len().div_ceil(3) * 4);
    for group in bytes.chunks(3) {
        let byte = |index: usize| u32::from(group.get(index).copied().unwrap_or(0));
        let word = byte(0) << 16 | byte(1) << 8 | byte(2);
        for index in 0..4 {
            if index <= group.len() {
                let letter = (word >> (18 - 6 * index)) & 63;
                out.push(char::from(LETTERS[letter as usize]));
            } else {
                out.push('=');
            }
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::base64;

    /// Test vectors of RFC-4648, section 10.
    #[test]
    fn val_base64_is_that_of_the_rfc() {
        let vectors =
            [("", ""), ("f", "Zg=="), ("fo", "Zm8="), ("foo", "Zm9v"), ("foob", "Zm9vYg==")];
        for (plain, coded) in vectors {
            assert_eq!(base64(plain.as_bytes()), coded);
        }
        assert_eq!(base64(b"foobar"), "Zm9vYmFy");
    }
}
