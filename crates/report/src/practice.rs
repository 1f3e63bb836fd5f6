//! The sheet of a practice flight: what to do with it, and the answer when it is asked for.

use crate::SAFETY_SENTENCE;
use crate::model::{Block, Document};
use crate::numbers::clock;
use assess::practice::Planted;

/// The sheet.
#[must_use]
pub fn document(planted: &Planted, airplane: &str, seed: u64, revealed: bool) -> Document {
    let title = maneuver::catalog::find(planted.maneuver).map_or(planted.maneuver, |m| m.title());
    let mut blocks = Vec::new();
    if revealed {
        answer(&mut blocks, planted);
    } else {
        blocks.push(Block::Paragraph(
            "The flight holds one fault. Debrief it: name the fault, its cause, its cure, and what you would let the student \
             practise; then ask for the answer with --reveal and the same seed."
                .into(),
        ));
    }
    blocks.push(Block::Caution(SAFETY_SENTENCE.into()));
    Document {
        title: format!("Practice: {title} to the {}", planted.direction.word()),
        subtitle: format!("{airplane}; drawn from seed {seed}; computed, flown by nobody"),
        blocks,
    }
}

fn answer(blocks: &mut Vec<Block>, planted: &Planted) {
    let fault = planted.fault;
    blocks.push(Block::Heading(2, format!("The fault: {}", fault.id.replace('-', " "))));
    let (from_s, to_s) = planted.part_s;
    blocks.push(Block::Paragraph(format!(
        "From {} to {}: {}. It matters because {}.",
        clock(from_s),
        clock(to_s),
        fault.what,
        fault.why
    )));
    blocks.push(Block::List(vec![
        format!("how it shows: {}", fault.measured),
        format!("usual causes: {}", fault.causes.join("; ")),
        format!("cure: {}", fault.remedy_in(planted.maneuver)),
        format!("practise: {}", fault.drill),
    ]));
}
