//! The kneeboard card: front what is flown and inside which limits, back how. Large enough to be read in the cockpit, in black and
//! white too. Always two pages.

use super::parts;
use crate::model::{Block, Cell, ColumnHead, Document, Table};
use maneuver::brief::{Brief, Verdict};
use maneuver::patter::{Said, Voice};
use maneuver::rigid::RigidFlight;

/// Limits that stand on the card.
const LIMITS_MOST: usize = 4;
/// And where there is no flight.
const REFUSED_LIMITS_MOST: usize = 10;

/// With the words and both pictures, then with less; what the front has no room for stands on the back where that has.
pub(super) fn versions(brief: &Brief) -> Vec<Document> {
    let shapes = [
        (true, [2, 0]),
        (true, [1, 1]),
        (true, [1, 0]),
        (true, [0, 1]),
        (false, [2, 0]),
        (false, [1, 1]),
        (false, [1, 0]),
        (false, [0, 1]),
        (false, [0, 0]),
    ];
    shapes.map(|(words, pictures)| document(brief, words, pictures)).into()
}

/// `pictures`: how many of each side of the figure, on the front and on the back.
fn document(brief: &Brief, words: bool, pictures: [usize; 2]) -> Document {
    let drawn = parts::telling_on_a_card(brief);
    let (in_front, behind) = drawn[..pictures[0] + pictures[1]].split_at(pictures[0]);
    let mut blocks = Vec::new();
    parts::verdict(&mut blocks, brief);
    front(&mut blocks, brief, in_front);
    blocks.push(Block::PageBreak);
    back(&mut blocks, brief, words);
    figures(&mut blocks, brief, behind);
    Document { title: crate::brief::title(brief), subtitle: crate::brief::subtitle(brief), blocks }
}

fn front(blocks: &mut Vec<Block>, brief: &Brief, shown: &[parts::Draw]) {
    blocks.extend(parts::facts(brief));
    blocks.extend(parts::checkpoints(brief).into_iter().map(Block::Table));
    figures(blocks, brief, shown);
    // In a column of its own: pictures that follow each other share a row.
    blocks
        .extend(parts::margins(brief, LIMITS_MOST).map(|drawn| Block::Columns(vec![vec![drawn]])));
}

fn figures(blocks: &mut Vec<Block>, brief: &Brief, shown: &[parts::Draw]) {
    for draw in shown {
        blocks.extend(parts::drawn(brief, *draw).into_iter().map(Block::Figure));
    }
}

fn back(blocks: &mut Vec<Block>, brief: &Brief, words: bool) {
    if brief.sides.is_empty() {
        blocks.push(Block::Heading(2, "No card: nothing here is to be flown".into()));
        blocks.extend(parts::limits(brief, REFUSED_LIMITS_MOST).map(Block::Table));
        return;
    }
    blocks.push(Block::Heading(2, "Hands and feet".into()));
    match hands(brief) {
        Some(table) => blocks.push(Block::Table(table)),
        None => blocks.push(Block::Paragraph("Not computed for this flight.".into())),
    }
    if words {
        blocks.extend(said(brief).map(Block::Table));
    }
    let mut gates = Vec::new();
    crate::brief::gates(&mut gates, brief);
    // a hazard is shown, never prepared
    let before = match brief.verdict {
        Verdict::Hazard => Vec::new(),
        _ => vec![
            Block::Heading(3, "Before each".into()),
            Block::Boxes(BEFORE.map(str::to_owned).into()),
        ],
    };
    blocks.push(Block::Columns(vec![gates, before]));
    blocks.extend(parts::escape(brief));
}

/// What is looked at before each figure; the safety sheet says it in full.
const BEFORE: [&str; 5] = [
    "area clear, both ways",
    "height over the floor",
    "belts, loose articles",
    "fuel, engine, a field within reach",
    "references chosen",
];

/// Feet and stick at the checkpoints, one side beside the other.
fn hands(brief: &Brief) -> Option<Table> {
    let flown: Vec<(&maneuver::ReferenceFlight, &RigidFlight)> = brief
        .sides
        .iter()
        .zip(&brief.hands)
        .filter_map(|(side, flown)| Some((side, flown.as_ref().ok()?)))
        .collect();
    let (reference, _) = flown.first()?;
    let mut columns = vec![ColumnHead::words("at")];
    let sided = brief.maneuver.sided(&reference.form);
    for (side, _) in &flown {
        let way = side.direction.word();
        let first = if side.parts.len() > 1 { "first " } else { "" };
        let of = |what: &str| match sided {
            true => format!("{first}{way} figure: {what}"),
            false => what.to_owned(),
        };
        columns.push(ColumnHead::number(&of("feet"), "%"));
        columns.push(ColumnHead::number(&of("aileron"), "%"));
    }
    let sides: Vec<Vec<crate::hands::AtPlace>> =
        flown.iter().map(|(side, flight)| crate::hands::at_places(side, flight)).collect();
    let row = |index: usize| -> Vec<Cell> {
        let mut cells = vec![Cell::Text(sides[0][index].place.clone())];
        for side in &sides {
            let at = side.get(index);
            cells.push(at.map_or_else(|| "–".into(), |at| at.feet.clone()).into());
            cells.push(at.map_or_else(|| "–".into(), |at| at.stick.clone()).into());
        }
        cells
    };
    let rows = (0..sides[0].len()).map(row).collect();
    Some(Table { caption: "Shares of travel".into(), columns, rows })
}

/// The words of the demonstration of the first side.
fn said(brief: &Brief) -> Option<Table> {
    let sheet = brief.patter.iter().find(|sheet| sheet.voice == Voice::Demonstrating)?;
    let progress = brief.maneuver.shape().progress;
    let phases = brief.sides.first().map_or(&[][..], |flight| &flight.phases);
    let row = |said: &Said| -> Vec<Cell> {
        let several = sheet.lines.iter().any(|said| said.part > 0);
        let place = crate::patter::place(said, (progress, phases), several);
        vec![place.into(), Cell::Said(said.text.clone())]
    };
    let caption = match brief.maneuver.shape().sided {
        true => format!("Said, to the {}", sheet.direction.word()),
        false => "Said".into(),
    };
    Some(Table {
        caption,
        columns: vec![ColumnHead::words("at"), ColumnHead::words("words")],
        rows: sheet.lines.iter().map(row).collect(),
    })
}
