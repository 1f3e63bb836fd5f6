//! The patter sheet: sentences with their places, times and seconds.

use crate::brief::{subtitle, title, verdict};
use crate::model::{Block, Cell, ColumnHead, Document, Table, Tone};
use crate::numbers::{fixed, signed};
use maneuver::brief::Brief;
use maneuver::definition::{Progress, When};
use maneuver::patter::{Said, Script, SecondsFit, Sheet, SpeakingRate, Voice};

/// The document of the words of a brief. `voice`: only that one.
#[must_use]
pub fn document(
    brief: &Brief,
    script: &Script,
    rate: SpeakingRate,
    voice: Option<Voice>,
) -> Document {
    let mut blocks = Vec::new();
    verdict(&mut blocks, brief);
    let sheets = brief.patter.iter().filter(|sheet| voice.is_none_or(|voice| voice == sheet.voice));
    let mut last = None;
    for sheet in sheets {
        if last != Some(sheet.direction) && brief.maneuver.shape().sided {
            blocks.push(Block::Heading(2, format!("To the {}", sheet.direction.word())));
            last = Some(sheet.direction);
        }
        blocks.push(Block::Table(table(sheet, brief.maneuver.shape().progress, phases(brief))));
    }
    if brief.patter.is_empty() && !brief.sides.is_empty() {
        blocks.push(Block::Paragraph(nothing(brief)));
    }
    blocks.push(Block::Paragraph(how(script, rate)));
    blocks.push(Block::Caution(crate::SAFETY_SENTENCE.into()));
    Document { title: format!("Patter: {}", title(brief)), subtitle: subtitle(brief), blocks }
}

/// Names of the phases of the figure; none where it has no phases.
fn phases(brief: &Brief) -> &[&'static str] {
    brief.sides.first().map_or(&[], |flight| &flight.phases)
}

/// Why there is nothing to say.
fn nothing(brief: &Brief) -> String {
    let why = match brief.maneuver.hazard() {
        Some(_) => "it is shown as a hazard",
        None => "this form is shown as history",
    };
    format!("No patter: {why}.")
}

/// Whose words, at what rate, and how the seconds are reckoned.
fn how(script: &Script, rate: SpeakingRate) -> String {
    let words = script.own.as_ref().map_or_else(
        || "Words of the program, common practice, no source".to_string(),
        |name| format!("Words of {name}"),
    );
    let reason = if rate == SpeakingRate::USUAL {
        format!(", {}", SpeakingRate::USUAL_REASON)
    } else {
        String::new()
    };
    format!(
        "{words}; {} words a minute{reason}. Seconds: what the words take, numbers as they are spoken, and how many there are \
         until the next sentence.",
        fixed(rate.to_wpm(), 0)
    )
}

/// The sentences of one sheet.
fn table(sheet: &Sheet, progress: Progress, phases: &[&str]) -> Table {
    let several = sheet.lines.iter().any(|said| said.part > 0);
    let row = |said: &Said| -> Vec<Cell> {
        vec![
            place(said, (progress, phases), several).into(),
            signed(said.time_s, 1).into(),
            Cell::Said(words(said)),
            seconds(said).into(),
            fit(said),
        ]
    };
    let title = sheet.voice.title();
    Table {
        caption: format!("{}{}", title[..1].to_uppercase(), &title[1..]),
        columns: vec![
            ColumnHead::words(progress.word()),
            ColumnHead::number("time", "s"),
            ColumnHead::words("said"),
            ColumnHead::number("takes / has", "s"),
            ColumnHead::words("fits"),
        ],
        rows: sheet.lines.iter().map(row).collect(),
    }
}

/// "before", "45°", in the second part "2: 45°", "after"; in a figure of phases the phase.
pub(crate) fn place(said: &Said, (progress, phases): (Progress, &[&str]), several: bool) -> String {
    let part = if several && said.when != When::Before {
        format!("{}: ", said.part + 1)
    } else {
        String::new()
    };
    match said.when {
        When::Before => "before".into(),
        When::At(progress_deg) if !phases.is_empty() => {
            let index = (progress_deg / 100.0).max(0.0) as usize;
            phases[index.min(phases.len() - 1)].into()
        }
        When::At(progress_deg) => format!("{part}{}{}", fixed(progress_deg, 0), progress.sign()),
        When::After => format!("{part}after"),
    }
}

fn words(said: &Said) -> String {
    match said.fit {
        SecondsFit::NeverReached => format!("({})", said.text),
        SecondsFit::Full | SecondsFit::Short { .. } | SecondsFit::TooLong { .. } => {
            said.text.clone()
        }
    }
}

fn seconds(said: &Said) -> String {
    let has = said.window_s.map_or_else(|| "–".into(), |window_s| fixed(window_s, 1));
    format!("{} / {has}", fixed(said.seconds, 1))
}

fn fit(said: &Said) -> Cell {
    match said.fit {
        SecondsFit::Full => Cell::Verdict(Tone::Met, "in full".into()),
        SecondsFit::Short { full_s } => {
            Cell::Verdict(Tone::Met, format!("short form; in full {} s", fixed(full_s, 1)))
        }
        SecondsFit::TooLong { full_s } => Cell::Verdict(
            Tone::NotMet,
            format!("too long, short form too; in full {} s", fixed(full_s, 1)),
        ),
        SecondsFit::NeverReached => {
            Cell::Verdict(Tone::NotMet, "never said: the part ends before".into())
        }
    }
}

/// The words of the demonstration, for the brief; the other voices have a sheet of their own.
pub(crate) fn section(blocks: &mut Vec<Block>, brief: &Brief) {
    let sheets: Vec<&Sheet> =
        brief.patter.iter().filter(|sheet| sheet.voice == Voice::Demonstrating).collect();
    if sheets.is_empty() {
        return;
    }
    blocks.push(Block::Heading(2, "Patter of the demonstration".into()));
    for sheet in sheets {
        let mut table = table(sheet, brief.maneuver.shape().progress, phases(brief));
        let word = sheet.direction.word();
        table.caption = if brief.maneuver.shape().sided {
            format!(
                "To the {word}; the words for directing and monitoring stand in the patter sheet"
            )
        } else {
            "The words for directing and monitoring stand in the patter sheet.".into()
        };
        blocks.push(Block::Table(table));
    }
}
