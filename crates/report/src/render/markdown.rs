//! Markdown for pages that are read in a repository: the words and tables of a document; pictures are named, not drawn.

use crate::model::{Align, Block, Document, Table};

/// Renders a document as GitHub-flavored Markdown.
#[must_use]
pub fn markdown(document: &Document) -> Vec<u8> {
    let mut out = format!("# {}\n\n{}\n", text(&document.title), text(&document.subtitle));
    push_blocks(&mut out, &document.blocks);
    out.into_bytes()
}

fn push_blocks(out: &mut String, blocks: &[Block]) {
    for block in blocks {
        if !matches!(block, Block::Columns(_) | Block::PageBreak) {
            out.push('\n');
        }
        match block {
            Block::Heading(level, title) => {
                out.push_str(&"#".repeat(usize::from(*level).clamp(2, 6)));
                out.push_str(&format!(" {}\n", text(title)));
            }
            Block::Paragraph(words) => out.push_str(&format!("{}\n", text(words))),
            Block::List(lines) => {
                for line in lines {
                    out.push_str(&format!("* {}\n", text(line)));
                }
            }
            Block::Boxes(lines) => {
                for line in lines {
                    out.push_str(&format!("* [ ] {}\n", text(line)));
                }
            }
            Block::Facts(facts) => {
                for fact in facts {
                    out.push_str(&format!("* {}\n", text(&fact.line())));
                }
            }
            Block::Lead(head, words) => {
                out.push_str(&format!("**{}:** {}\n", text(head), text(words)));
            }
            Block::Columns(columns) => columns.iter().for_each(|blocks| push_blocks(out, blocks)),
            Block::PageBreak => {}
            Block::Table(table) => push_table(out, table),
            Block::Verdict(tone, words) => {
                out.push_str(&format!("**{} {}**\n", tone.sign(), text(words)));
            }
            Block::Figure(scene) => {
                out.push_str(&format!("_{}: {}_\n", text(&scene.title), text(&scene.description)));
            }
            Block::Caution(words) => out.push_str(&format!("> **Caution.** {}\n", text(words))),
        }
    }
}

fn push_table(out: &mut String, table: &Table) {
    out.push_str(&format!("{}\n\n|", text(&table.caption)));
    for head in &table.columns {
        let unit = if head.unit.is_empty() { String::new() } else { format!(" ({})", head.unit) };
        out.push_str(&format!(" {}{unit} |", text(&head.title)));
    }
    out.push_str("\n|");
    for head in &table.columns {
        out.push_str(if head.align == Align::Right { "---:|" } else { "---|" });
    }
    out.push('\n');
    for row in &table.rows {
        out.push('|');
        for cell in row {
            let words = match cell.tone() {
                None => text(cell.words()),
                Some(tone) => format!("{} {}", tone.sign(), text(cell.words())),
            };
            out.push_str(&format!(" {words} |"));
        }
        out.push('\n');
    }
}

/// Words on one line, with the signs that Markdown would take for itself made harmless.
fn text(words: &str) -> String {
    let mut out = String::with_capacity(words.len());
    for sign in words.chars() {
        match sign {
            '\n' | '\r' => out.push(' '),
            '|' | '*' | '_' | '`' | '<' | '[' | ']' | '\\' | '#' => out.extend(['\\', sign]),
            sign => out.push(sign),
        }
    }
    out
}
