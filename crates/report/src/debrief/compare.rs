//! Attempts at the same maneuver side by side: findings and measures, one column an attempt.

use assess::attempt::{Attempt, Estimate, Finding, Verdict};
use assess::debrief::Debrief;

use crate::model::{Block, Cell, ColumnHead, Table, Tone};
use crate::numbers::{banded_or_dash, clock};

/// More columns than this do not fit a page: the last ones are shown.
const COLUMNS_MOST: usize = 6;

/// One table for each maneuver attempted more than once, in the order of first attempts.
pub(crate) fn section(blocks: &mut Vec<Block>, debrief: &Debrief) {
    let mut seen: Vec<&str> = Vec::new();
    let mut tables = Vec::new();
    for attempt in &debrief.attempts {
        if seen.contains(&attempt.maneuver) {
            continue;
        }
        seen.push(attempt.maneuver);
        let same = |(_, other): &(usize, &Attempt)| other.maneuver == attempt.maneuver;
        let all: Vec<(usize, &Attempt)> =
            debrief.attempts.iter().enumerate().filter(same).collect();
        if all.len() > 1 {
            tables.push(Block::Table(table(&all)));
        }
    }
    if !tables.is_empty() {
        blocks.push(Block::Heading(2, "Side by side".into()));
        blocks.append(&mut tables);
    }
}

fn table(all: &[(usize, &Attempt)]) -> Table {
    let shown = &all[all.len().saturating_sub(COLUMNS_MOST)..];
    let title = maneuver::catalog::find(all[0].1.maneuver).map_or(all[0].1.maneuver, |m| m.title());
    let left_out = all.len() - shown.len();
    let caption = if left_out > 0 {
        format!("{title}: the last {} of {} attempts", shown.len(), all.len())
    } else {
        format!("{title}: {} attempts", all.len())
    };
    let mut columns = vec![ColumnHead::words("what")];
    columns.extend(shown.iter().map(|(index, _)| ColumnHead::words(&format!("no. {}", index + 1))));
    let mut rows = vec![
        words("at", shown, |attempt| clock(attempt.start_s)),
        words("side", shown, |attempt| assess::attempt::way(attempt.direction).into()),
        words("help", shown, |attempt| attempt.flown.help.words().into()),
    ];
    rows.extend(finding_rows(shown));
    Table { caption, columns, rows }
}

fn words(what: &str, shown: &[(usize, &Attempt)], of: impl Fn(&Attempt) -> String) -> Vec<Cell> {
    let mut row = vec![Cell::Text(what.into())];
    row.extend(shown.iter().map(|(_, attempt)| Cell::Text(of(attempt))));
    row
}

/// Findings of whole and parts, with the part they belong to.
fn findings(attempt: &Attempt) -> Vec<(usize, &Finding)> {
    let parts = attempt.parts.iter().enumerate();
    let of_parts = parts.flat_map(|(k, part)| part.findings.iter().map(move |f| (k + 1, f)));
    attempt.findings.iter().map(|f| (0, f)).chain(of_parts).collect()
}

fn finding_rows(shown: &[(usize, &Attempt)]) -> Vec<Vec<Cell>> {
    let mut keys: Vec<(usize, &str, Cell)> = Vec::new();
    for (_, attempt) in shown {
        let several = attempt.parts.len() > 1;
        for (part, finding) in findings(attempt) {
            if !keys.iter().any(|(k, id, _)| (*k, *id) == (part, finding.id.as_str())) {
                let place =
                    if several && part > 0 { format!("part {part}: ") } else { String::new() };
                let title = format!("{place}{}, {}", finding.title, finding.unit);
                keys.push((part, &finding.id, Cell::Named(finding.unit, title)));
            }
        }
    }
    let one = |(part, id, title): &(usize, &str, Cell)| {
        let mut row = vec![title.clone()];
        row.extend(shown.iter().map(|(_, attempt)| {
            let all = findings(attempt);
            let found = all.iter().find(|(k, f)| (k, f.id.as_str()) == (part, *id));
            found.map_or_else(|| Cell::Text("-".into()), |(_, finding)| cell(finding))
        }));
        row
    };
    keys.iter().map(one).collect()
}

fn cell(finding: &Finding) -> Cell {
    let decimals = match finding.unit {
        "ft" => 0,
        "g" => 2,
        _ => 1,
    };
    let tone = match finding.verdict {
        Verdict::Met => Tone::Met,
        Verdict::NotMet => Tone::NotMet,
        Verdict::CannotTell => Tone::CannotTell,
    };
    let value: Option<Estimate> = finding.estimate;
    let words = format!("{} {}", banded_or_dash(value, decimals), finding.verdict.words());
    Cell::Verdict(tone, words).of(finding.unit)
}
