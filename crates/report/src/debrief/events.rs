//! Limits passed anywhere in the flight.

use assess::debrief::Debrief;
use assess::events::SafetyEvent;

use crate::model::{Block, Cell, ColumnHead, Table, Tone};
use crate::numbers::{banded, clock, fixed};

/// The section of safety events; what could not be looked for is said.
pub(crate) fn section(blocks: &mut Vec<Block>, debrief: &Debrief) {
    let events = &debrief.events;
    if events.checks.is_empty() {
        return;
    }
    blocks.push(Block::Heading(2, "Limits, in the whole flight".into()));
    for event in events.events.iter().filter(|event| event.is_exceedance()) {
        let sure = if event.sure { "" } else { "perhaps " };
        blocks.push(Block::Caution(format!(
            "Report before the next flight: {sure}{} at {}: {}.",
            event.kind.title(),
            clock(event.worst_s),
            event.words()
        )));
    }
    if events.events.is_empty() {
        blocks.push(Block::Paragraph("Of what could be looked for, nothing was passed.".into()));
    } else {
        blocks.push(Block::Table(table(&events.events)));
    }
    let not_looked = events.checks.iter().filter_map(|check| {
        check.why_not.as_ref().map(|why| format!("{}: cannot tell, {why}", check.kind.title()))
    });
    let not_looked: Vec<String> = not_looked.collect();
    if !not_looked.is_empty() {
        blocks.push(Block::List(not_looked));
    }
}

fn table(events: &[SafetyEvent]) -> Table {
    let row = |event: &SafetyEvent| -> Vec<Cell> {
        let decimals = match event.unit {
            "g" => 2,
            "deg" => 1,
            _ => 0,
        };
        let (tone, sure) = if event.sure {
            (Tone::NotMet, "passed")
        } else {
            (Tone::CannotTell, "perhaps passed")
        };
        let during = match (event.attempt, event.expected) {
            (Some(index), true) => format!("attempt {}, part of the figure", index + 1),
            (Some(index), false) => format!("attempt {}", index + 1),
            (None, _) => String::new(),
        };
        vec![
            clock(event.begin_s).into(),
            fixed(event.end_s - event.begin_s, 1).into(),
            event.kind.title().into(),
            Cell::from(banded(event.worst, decimals)).of(event.unit),
            Cell::from(fixed(event.limit, decimals)).of(event.unit),
            Cell::Named(event.unit, event.unit.into()),
            Cell::Verdict(tone, sure.into()),
            during.into(),
        ]
    };
    Table {
        caption: "Limits passed, or perhaps passed (values with their 95 % band)".into(),
        columns: vec![
            ColumnHead::number("at", "min:s"),
            ColumnHead::number("for", "s"),
            ColumnHead::words("what"),
            ColumnHead::number("worst", ""),
            ColumnHead::number("limit", ""),
            ColumnHead::words("unit"),
            ColumnHead::words("sure"),
            ColumnHead::words("during"),
        ],
        rows: events.iter().map(row).collect(),
    }
}
