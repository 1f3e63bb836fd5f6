//! The brief on one page: what a student takes along to the airplane.

use super::parts;
use crate::model::{Block, Document};
use maneuver::brief::Brief;
use maneuver::definition::Progress;

/// Limits that stand on the page.
const LIMITS_MOST: usize = 8;

/// The page with two pictures a side and the errors to watch for, then with fewer.
pub(super) fn versions(brief: &Brief) -> Vec<Document> {
    let shapes = [(2, true), (1, true), (1, false), (0, false)];
    shapes.map(|(pictures, errors)| document(brief, pictures, errors)).into()
}

fn document(brief: &Brief, pictures_of_side: usize, errors: bool) -> Document {
    let mut blocks = Vec::new();
    parts::verdict(&mut blocks, brief);
    blocks.push(Block::Paragraph(format!("The figure: {}.", brief.maneuver.purpose().text)));
    blocks.extend(parts::facts(brief));
    let how = vec![
        Block::Heading(3, "How it is flown".into()),
        Block::Paragraph(crate::brief::with_source(&brief.form.description)),
    ];
    blocks.extend(tables(brief, how));
    // a page has room for the shape first, a card for the nose
    let mut draw = parts::telling(brief);
    if brief.maneuver.shape().progress == Progress::Turn {
        draw.reverse();
    }
    for draw in &draw[..pictures_of_side] {
        blocks.extend(parts::drawn(brief, *draw).into_iter().map(Block::Figure));
    }
    blocks.extend(limits_and_gates(brief));
    let faults = brief.maneuver.errors();
    if errors && !faults.is_empty() {
        blocks.push(Block::Heading(3, "Errors to watch for".into()));
        blocks.push(Block::List(faults.iter().map(|line| line.text.to_owned()).collect()));
    }
    let yours = parts::yours_to_check(brief).len();
    blocks.push(Block::Caution(format!(
        "The safety sheet belongs to this page: {yours} points, and the rules of the country, are yours to check."
    )));
    Document { title: crate::brief::title(brief), subtitle: crate::brief::subtitle(brief), blocks }
}

/// One table with how it is flown beside it, or several beside one another.
fn tables(brief: &Brief, how: Vec<Block>) -> Vec<Block> {
    let mut columns: Vec<Vec<Block>> =
        parts::checkpoints(brief).into_iter().map(|table| vec![Block::Table(table)]).collect();
    if columns.len() % 2 == 1 {
        columns.push(how);
        return pairs(columns);
    }
    pairs(columns).into_iter().chain(how).collect()
}

/// Columns in rows of two.
fn pairs(columns: Vec<Vec<Block>>) -> Vec<Block> {
    columns.chunks(2).map(|pair| Block::Columns(pair.to_vec())).collect()
}

fn limits_and_gates(brief: &Brief) -> Option<Block> {
    let limits = parts::limits(brief, LIMITS_MOST)?;
    let mut gates = Vec::new();
    crate::brief::gates(&mut gates, brief);
    gates.extend(parts::escape(brief));
    Some(Block::Columns(vec![vec![Block::Table(limits)], gates]))
}
