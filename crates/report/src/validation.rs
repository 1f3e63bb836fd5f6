//! The engine held against published figures: a table for each group, what was not met and what was not made.

use validation::{Check, Group, Verdict};

use crate::model::{Block, Cell, ColumnHead, Document, Table, Tone};
use crate::numbers::significant;

/// Significant digits of values and references, and of differences and tolerances.
const DIGITS: (usize, usize) = (6, 2);

/// The checks of these groups, in their order, with a summary at the end.
#[must_use]
pub fn document(groups: &[&Group], checks: &[Check]) -> Document {
    let mut blocks = Vec::new();
    for group in groups {
        let of_group: Vec<&Check> = checks.iter().filter(|c| c.group == group.name).collect();
        blocks.extend(section(group, &of_group));
    }
    let all: Vec<&Check> = checks.iter().collect();
    let tone = match count(&all, Verdict::NotMet) {
        0 if count(&all, Verdict::Met) > 0 => Tone::Met,
        0 => Tone::CannotTell,
        _ => Tone::NotMet,
    };
    blocks.push(Block::Heading(2, "Together".into()));
    blocks.push(Block::Verdict(tone, summary(&all)));
    Document {
        title: "Validation".into(),
        subtitle: "The engine against published figures, value by value".into(),
        blocks,
    }
}

fn section(group: &Group, checks: &[&Check]) -> Vec<Block> {
    let mut blocks = vec![
        Block::Heading(2, group.name.into()),
        Block::Paragraph(group.about.into()),
        Block::Paragraph(summary(checks)),
    ];
    let made: Vec<&Check> =
        checks.iter().copied().filter(|check| check.verdict != Verdict::Skipped).collect();
    for of_source in made.chunk_by(|a, b| a.source == b.source) {
        blocks.push(Block::Table(Table {
            caption: of_source[0].source.clone(),
            columns: columns(),
            rows: of_source.iter().map(|check| row(group, check)).collect(),
        }));
    }
    let said = |check: &&&Check| check.verdict == Verdict::NotMet && !check.note.is_empty();
    let missed = checks.iter().filter(said).map(|check| format!("{}: {}", check.id, check.note));
    let remarks: Vec<String> = missed.chain(skipped(checks)).collect();
    if !remarks.is_empty() {
        blocks.push(Block::List(remarks));
    }
    blocks
}

fn columns() -> Vec<ColumnHead> {
    let numbers = ["value", "reference", "difference", "tolerance"];
    std::iter::once(ColumnHead::words("check"))
        .chain(numbers.map(|title| ColumnHead::number(title, "")))
        .chain(["unit", "verdict"].map(ColumnHead::words))
        .collect()
}

fn row(group: &Group, check: &Check) -> Vec<Cell> {
    let figure = |value: Option<f64>, digits| {
        Cell::Text(value.map_or_else(|| "–".into(), |value| significant(value, digits)))
    };
    let short = check.id.strip_prefix(group.name).unwrap_or(&check.id);
    let tone = match check.verdict {
        Verdict::Met => Tone::Met,
        Verdict::NotMet => Tone::NotMet,
        Verdict::Skipped => Tone::CannotTell,
    };
    vec![
        // Blanks, so that a narrow column breaks between words.
        short.replace('-', " ").trim().into(),
        figure(check.value, DIGITS.0),
        figure(check.reference, DIGITS.0),
        figure(check.difference, DIGITS.1),
        figure(check.tolerance, DIGITS.1),
        check.unit.into(),
        Cell::Verdict(tone, check.verdict.word().into()),
    ]
}

/// Why checks were not made, each reason once with the count of its checks.
fn skipped(checks: &[&Check]) -> Vec<String> {
    let mut reasons: Vec<(&str, usize)> = Vec::new();
    for check in checks.iter().filter(|check| check.verdict == Verdict::Skipped) {
        match reasons.iter_mut().find(|(why, _)| *why == check.note) {
            Some((_, count)) => *count += 1,
            None => reasons.push((&check.note, 1)),
        }
    }
    reasons.into_iter().map(|(why, count)| format!("{count} skipped: {why}")).collect()
}

fn summary(checks: &[&Check]) -> String {
    let count = |verdict| count(checks, verdict);
    let (met, not_met, skipped) =
        (count(Verdict::Met), count(Verdict::NotMet), count(Verdict::Skipped));
    format!("{} checks: {met} met, {not_met} not met, {skipped} skipped", checks.len())
}

fn count(checks: &[&Check], verdict: Verdict) -> usize {
    checks.iter().filter(|check| check.verdict == verdict).count()
}
