//! The debrief sheet: the whole flight, then a sheet for each attempt: words and numbers in front, what to change next before them,
//! pictures on the back.

use crate::debrief as told;
use crate::model::{Block, Document};
use crate::numbers::{clock, fixed};
use assess::attempt::{Attempt, probability_words};
use assess::debrief::Debrief;
use maneuver::ReferenceFlight;

/// The sheet; `references` belong to the attempts by position, a missing one draws the attempt alone. `only`: the place of the attempt
/// that has a sheet, from nil; else all have.
#[must_use]
pub fn debrief(
    debrief: &Debrief,
    references: &[Option<ReferenceFlight>],
    only: Option<usize>,
) -> Document {
    let mut blocks = Vec::new();
    told::whole_flight(&mut blocks, debrief);
    told::events::section(&mut blocks, debrief);
    if only.is_none() {
        told::compare::section(&mut blocks, debrief);
    }
    let notes: Vec<String> = debrief.notes.iter().map(|note| note.text.clone()).collect();
    if !notes.is_empty() {
        blocks.push(Block::Heading(2, "Read with this".into()));
        blocks.push(Block::List(notes));
    }
    blocks.push(Block::Paragraph(
        "Values stand with their 95 % band. Where band and tolerance overlap, the recording cannot tell; the examiner judges \
         the whole."
            .into(),
    ));
    for (index, attempt) in told::told_in_full(debrief, only) {
        blocks.push(Block::PageBreak);
        let reference = references.get(index).and_then(Option::as_ref);
        one_attempt(&mut blocks, debrief, (index + 1, attempt), reference);
    }
    Document {
        title: format!("Debrief: {}", debrief.recording.name),
        subtitle: told::subtitle(debrief),
        blocks,
    }
}

fn one_attempt(
    blocks: &mut Vec<Block>,
    debrief: &Debrief,
    (number, attempt): (usize, &Attempt),
    reference: Option<&ReferenceFlight>,
) {
    let name = format!("{number}. {}{}", told::name(attempt), told::to_the(attempt.direction));
    blocks.push(Block::Heading(2, name));
    blocks.push(Block::Paragraph(format!(
        "At {}, {} s. Flown: {}. Confidence that this is what was flown: {}. Clearing turns in the three minutes before: {}.",
        clock(attempt.start_s),
        fixed(attempt.end_s - attempt.start_s, 0),
        told::flown(attempt),
        probability_words(attempt.confidence),
        attempt.clearing.words()
    )));
    let limits = attempt.notes.iter().filter_map(|note| note.strip_prefix("limit: "));
    blocks.extend(limits.map(|text| Block::Caution(format!("Limit: {text}"))));
    let others = attempt.notes.iter().filter(|note| !note.starts_with("limit: "));
    let others: Vec<String> = others.cloned().collect();
    if !others.is_empty() {
        blocks.push(Block::List(others));
    }
    coaching(blocks, attempt);
    told::judged(blocks, attempt);
    told::all_checkpoints(blocks, attempt);
    told::faults(blocks, attempt);
    blocks.extend(told::wind(debrief, attempt).map(Block::Paragraph));
    let mut pictures = Vec::new();
    told::figures(&mut pictures, debrief, attempt, reference);
    // the front of a sheet is read, its back looked at
    if pictures.iter().any(|block| matches!(block, Block::Figure(_))) {
        blocks.push(Block::PageBreak);
    }
    blocks.append(&mut pictures);
}

/// One thing to change; then what to keep, and the drill.
fn coaching(blocks: &mut Vec<Block>, attempt: &Attempt) {
    let coaching = &attempt.coaching;
    if let Some(change) = &coaching.change {
        blocks.push(Block::Lead("Change next".into(), begun_large(change)));
    }
    let beside = [
        ("keep", &coaching.strength),
        ("hands and feet", &coaching.side),
        ("practise", &coaching.drill),
    ];
    let line = |(head, text): (&str, &Option<String>)| Some(format!("{head}: {}", text.as_ref()?));
    let lines: Vec<String> = beside.into_iter().filter_map(line).collect();
    if !lines.is_empty() {
        blocks.push(Block::List(lines));
    }
}

/// With a capital at its begin.
fn begun_large(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}
