//! Text for a terminal: 80 columns, readable without color. Control characters from files never reach the terminal.

use crate::SAFETY_SENTENCE;
use crate::model::{Align, Block, Cell, Document, Table};

const WIDTH: usize = 80;
const COLUMN_GAP: usize = 2;
/// A column of words is never squeezed below this.
const COLUMN_LEAST: usize = 10;
/// A longer word may be broken before other columns are squeezed.
const WORD_MOST: usize = 24;

/// The document as text.
#[must_use]
pub fn text(document: &Document) -> Vec<u8> {
    let mut out = String::new();
    paragraph(&mut out, &document.title, "");
    out.push_str(&"═".repeat(length(&document.title).min(WIDTH)));
    out.push('\n');
    paragraph(&mut out, &document.subtitle, "");
    out.push('\n');
    for block in &document.blocks {
        write_block(&mut out, block);
    }
    out.push('\n');
    out.push_str(&"─".repeat(WIDTH));
    out.push('\n');
    paragraph(&mut out, SAFETY_SENTENCE, "");
    out.into_bytes()
}

fn write_block(out: &mut String, block: &Block) {
    match block {
        Block::Heading(level, text) => {
            out.push('\n');
            paragraph(out, text, "");
            let rule = if *level <= 2 { "─" } else { "·" };
            out.push_str(&rule.repeat(length(&clean(text)).min(WIDTH)));
            out.push('\n');
        }
        Block::Paragraph(text) => paragraph(out, text, ""),
        Block::List(lines) => {
            for line in lines {
                paragraph(out, &format!("• {line}"), "  ");
            }
        }
        Block::Table(table) => write_table(out, table),
        Block::Verdict(tone, text) => paragraph(out, &format!("{} {text}", tone.sign()), "  "),
        Block::Figure(_) => {}
        // it ends every text
        Block::Caution(text) if text == SAFETY_SENTENCE => {}
        Block::Caution(text) => paragraph(out, &format!("! {text}"), "  "),
        Block::Facts(facts) => {
            for fact in facts {
                paragraph(out, &format!("• {}", fact.line()), "  ");
            }
        }
        Block::Lead(head, text) => paragraph(out, &format!("{head}: {text}"), "  "),
        Block::Boxes(lines) => {
            for line in lines {
                paragraph(out, &format!("[ ] {line}"), "    ");
            }
        }
        Block::Columns(columns) => {
            for block in columns.iter().flatten() {
                write_block(out, block);
            }
        }
        Block::PageBreak => {}
    }
}

/// Wrapped to the width; lines after the first are indented.
fn paragraph(out: &mut String, text: &str, indent: &str) {
    for (index, line) in wrap(&clean(text), WIDTH - length(indent)).into_iter().enumerate() {
        if index > 0 {
            out.push_str(indent);
        }
        out.push_str(&line);
        out.push('\n');
    }
}

fn write_table(out: &mut String, table: &Table) {
    out.push('\n');
    paragraph(out, &table.caption, "");
    let head: Vec<String> = table.columns.iter().map(|column| clean(&column.title)).collect();
    let units: Vec<String> = table.columns.iter().map(|column| column.unit.to_string()).collect();
    let body: Vec<Vec<String>> =
        table.rows.iter().map(|row| row.iter().map(cell).collect()).collect();
    let widths = widths(table, &head, &units, &body);
    let rule =
        "─".repeat(widths.iter().map(|w| w + COLUMN_GAP).sum::<usize>().saturating_sub(COLUMN_GAP));
    let with_units = units.iter().any(|unit| !unit.is_empty());
    write_row(out, table, &widths, &head);
    if with_units {
        write_row(out, table, &widths, &units);
    }
    out.push_str(&rule);
    out.push('\n');
    for row in &body {
        write_row(out, table, &widths, row);
    }
}

fn cell(cell: &Cell) -> String {
    match cell.tone() {
        None => clean(cell.words()),
        Some(tone) => clean(&format!("{} {}", tone.sign(), cell.words())),
    }
}

/// Natural widths; while the table is too wide, the widest column that can give way does, words before numbers.
fn widths(table: &Table, head: &[String], units: &[String], body: &[Vec<String>]) -> Vec<usize> {
    let natural = |index: usize| {
        let cells = body.iter().filter_map(|row| row.get(index));
        let widest = cells.chain(units.get(index)).map(|cell| length(cell)).max().unwrap_or(0);
        let right = table.columns[index].align == Align::Right;
        let word = head[index].split(' ').map(length).max().unwrap_or(0);
        widest.max(if right { word } else { length(&head[index]) })
    };
    // the longest word of a column, which is cut only where there is no other way
    let word = |index: usize| {
        let cells = body.iter().filter_map(|row| row.get(index)).chain(head.get(index));
        let words = cells.flat_map(|cell| cell.split_whitespace());
        words.map(length).max().unwrap_or(0).clamp(COLUMN_LEAST, WORD_MOST)
    };
    let words: Vec<usize> = (0..table.columns.len()).map(word).collect();
    let least = vec![COLUMN_LEAST; words.len()];
    let mut widths: Vec<usize> = (0..table.columns.len()).map(natural).collect();
    let total = |widths: &[usize]| widths.iter().map(|w| w + COLUMN_GAP).sum::<usize>();
    while total(&widths) > WIDTH + COLUMN_GAP {
        let give = |align: Align, least: &[usize]| {
            (0..widths.len())
                .filter(|&i| table.columns[i].align == align && widths[i] > least[i])
                .max_by_key(|&i| widths[i])
        };
        let index = [(Align::Left, &words), (Align::Right, &words)]
            .into_iter()
            .chain([(Align::Left, &least), (Align::Right, &least)])
            .find_map(|(align, least)| give(align, least));
        let Some(index) = index else { break };
        widths[index] -= 1;
    }
    widths
}

/// One row, as many lines high as its highest cell.
fn write_row(out: &mut String, table: &Table, widths: &[usize], row: &[String]) {
    let cells: Vec<Vec<String>> =
        row.iter().zip(widths).map(|(cell, &width)| wrap(cell, width)).collect();
    let height = cells.iter().map(Vec::len).max().unwrap_or(0);
    for line_index in 0..height {
        let mut line = String::new();
        for (index, lines) in cells.iter().enumerate() {
            let part = lines.get(line_index).map_or("", String::as_str);
            let fill = " ".repeat(widths[index].saturating_sub(length(part)));
            match table.columns[index].align {
                Align::Left => line.extend([part, &fill]),
                Align::Right => line.extend([fill.as_str(), part]),
            }
            line.push_str(&" ".repeat(COLUMN_GAP));
        }
        out.push_str(line.trim_end());
        out.push('\n');
    }
}

/// Lines of at most `width` characters, broken at blanks, a longer word where it must be. Never empty.
fn wrap(text: &str, width: usize) -> Vec<String> {
    let width = width.max(1);
    let mut lines = vec![String::new()];
    for word in text.split_whitespace() {
        let mut rest: Vec<char> = word.chars().collect();
        loop {
            let line = lines.last_mut().expect("there is always a line");
            let used = length(line);
            let blank = usize::from(used > 0);
            if used + blank + rest.len() <= width {
                line.extend(" ".chars().take(blank).chain(rest));
                break;
            }
            if used == 0 {
                line.extend(rest.drain(..break_of(&rest, width)));
            }
            lines.push(String::new());
        }
    }
    lines
}

/// How many letters of a word too long for a line stand on it: up to a mark that parts it, else as many as fit.
fn break_of(word: &[char], width: usize) -> usize {
    let parts = |letter: &char| ['_', '-', '/', ',', '.'].contains(letter);
    word[..width].iter().rposition(parts).filter(|at| at * 2 >= width).map_or(width, |at| at + 1)
}

/// Control characters (escape sequences of terminals among them) replaced.
fn clean(text: &str) -> String {
    text.chars().map(|letter| if letter.is_control() { '\u{fffd}' } else { letter }).collect()
}

fn length(text: &str) -> usize {
    text.chars().count()
}
