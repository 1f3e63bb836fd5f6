//! The safety sheet: what was checked here, what is yours to check, to be ticked off with a pen.

use super::parts;
use crate::model::{Block, Document};
use maneuver::brief::{Brief, Whose};

pub(super) fn document(brief: &Brief) -> Document {
    let mut blocks = Vec::new();
    parts::verdict(&mut blocks, brief);
    blocks.extend(parts::facts(brief));
    let yours = parts::yours_to_check(brief);
    if !yours.is_empty() {
        blocks.push(Block::Heading(2, "Yours to check".into()));
        blocks.push(Block::Boxes(yours));
    }
    let checked = brief.safety.iter();
    let checked = checked.filter(|l| l.whose == Whose::CheckedHere && l.country.is_none());
    let checked: Vec<String> = checked.map(crate::brief::safety_line).collect();
    if !checked.is_empty() {
        blocks.push(Block::Heading(2, "Checked here".into()));
        blocks.push(Block::List(checked));
    }
    if !brief.gates.is_empty() || brief.recoveries.is_some() || !brief.clearing.is_empty() {
        blocks.push(Block::Heading(2, "Gates and the way out".into()));
        blocks.extend(parts::escape(brief));
        crate::brief::gates(&mut blocks, brief);
        crate::fit::way_out(&mut blocks, brief);
    }
    blocks.extend(parts::limits(brief, usize::MAX).map(Block::Table));
    crate::brief::countries(&mut blocks, brief);
    blocks.push(Block::Heading(2, "Sources".into()));
    blocks.push(Block::List(crate::brief::sources(brief)));
    Document {
        title: format!("Safety sheet: {}", crate::brief::title(brief)),
        subtitle: crate::brief::subtitle(brief),
        blocks,
    }
}
