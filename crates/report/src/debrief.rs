//! The debrief as a document: the recording, the whole flight, each attempt measured and judged, with its pictures.

pub(crate) mod compare;
pub(crate) mod events;

use crate::SAFETY_SENTENCE;
use crate::model::{Block, Cell, ColumnHead, Document, Table, Tone};
use crate::numbers::{SIGMAS_OF_95_PERCENT, banded, banded_or_dash, clock, fixed};
use crate::pictures;
use crate::trace::Trace;
use assess::attempt::{
    Attempt, AttemptCheckpoint, AttemptPart, FaultFound, Finding, Verdict, probability_words,
};
use assess::debrief::Debrief;
use base::factors::MPS_PER_KT;
use maneuver::definition::Progress;
use maneuver::{Direction, ReferenceFlight};

/// The document of a debrief without reference flights.
#[must_use]
pub fn document(debrief: &Debrief) -> Document {
    document_with(debrief, &[], None)
}

/// The document of a debrief; `references` belong to the attempts by position, a missing one draws the attempt alone. `only`: the place
/// of the attempt that is told in full, from nil; else all are. The list of all stands in front either way.
#[must_use]
pub fn document_with(
    debrief: &Debrief,
    references: &[Option<ReferenceFlight>],
    only: Option<usize>,
) -> Document {
    let mut blocks = Vec::new();
    whole_flight(&mut blocks, debrief);
    events::section(&mut blocks, debrief);
    if only.is_none() {
        compare::section(&mut blocks, debrief);
    }
    for (index, attempt) in told_in_full(debrief, only) {
        let reference = references.get(index).and_then(Option::as_ref);
        one_attempt(&mut blocks, debrief, index + 1, attempt, reference);
    }
    blocks.push(Block::Heading(2, "Read with this".into()));
    let notes: Vec<String> = debrief.notes.iter().map(|note| note.text.clone()).collect();
    if !notes.is_empty() {
        blocks.push(Block::List(notes));
    }
    blocks.push(Block::Paragraph(
        "Values stand with their 95 % band. Where band and tolerance overlap, the recording cannot tell; the examiner \
         judges the whole."
            .into(),
    ));
    blocks.push(Block::Caution(SAFETY_SENTENCE.into()));
    Document {
        title: format!("Debrief: {}", debrief.recording.name),
        subtitle: subtitle(debrief),
        blocks,
    }
}

/// The attempts that are told in full, with their places.
pub(crate) fn told_in_full(
    debrief: &Debrief,
    only: Option<usize>,
) -> impl Iterator<Item = (usize, &Attempt)> {
    let attempts = debrief.attempts.iter().enumerate();
    attempts.filter(move |(index, _)| only.is_none_or(|only| only == *index))
}

/// The attempts alone, with what the reader and the reconstruction had to say.
#[must_use]
pub fn found(debrief: &Debrief) -> Document {
    let mut blocks = Vec::new();
    whole_flight(&mut blocks, debrief);
    let notes: Vec<String> = debrief.notes.iter().map(|note| note.text.clone()).collect();
    if !notes.is_empty() {
        blocks.push(Block::Heading(2, "Read with this".into()));
        blocks.push(Block::List(notes));
    }
    Document {
        title: format!("Attempts: {}", debrief.recording.name),
        subtitle: subtitle(debrief),
        blocks,
    }
}

pub(crate) fn subtitle(debrief: &Debrief) -> String {
    let recording = &debrief.recording;
    let start = recording.start.map_or_else(
        || "start not stated".into(),
        |start| start.plus_seconds(-start.fraction_s()).to_string(),
    );
    let airplane = debrief.airplane_name.as_deref().unwrap_or("airplane not stated");
    format!(
        "{start}, {} recorded, read as {}; {airplane}; standard: {}",
        clock(recording.duration_s()),
        recording.format,
        debrief.standard_title
    )
}

pub(crate) fn whole_flight(blocks: &mut Vec<Block>, debrief: &Debrief) {
    if let Some(scene) = pictures::strip(&debrief.motion, &debrief.attempts) {
        blocks.push(Block::Figure(scene));
    }
    if debrief.attempts.is_empty() {
        let titles: Vec<&str> = maneuver::catalog::sought().map(|m| m.title()).collect();
        blocks.push(Block::Verdict(Tone::CannotTell, "no attempts found".into()));
        blocks.push(Block::Paragraph(format!(
            "Looked for: {}, over {} of recording.",
            titles.join(", "),
            clock(debrief.recording.duration_s())
        )));
        return;
    }
    let row = |(index, attempt): (usize, &Attempt)| -> Vec<Cell> {
        let count = |verdict: Verdict| findings(attempt).filter(|f| f.verdict == verdict).count();
        vec![
            (index + 1).to_string().into(),
            clock(attempt.start_s).into(),
            name(attempt).into(),
            attempt.direction.map_or("\u{2013}", Direction::word).into(),
            probability_words(attempt.confidence).into(),
            count(Verdict::Met).to_string().into(),
            count(Verdict::NotMet).to_string().into(),
            count(Verdict::CannotTell).to_string().into(),
        ]
    };
    blocks.push(Block::Table(Table {
        caption: "Attempts found".into(),
        columns: vec![
            ColumnHead::number("no.", ""),
            ColumnHead::number("at", "min:s"),
            ColumnHead::words("maneuver"),
            ColumnHead::words("side"),
            ColumnHead::number("confidence", ""),
            ColumnHead::number("met", ""),
            ColumnHead::number("not met", ""),
            ColumnHead::number("cannot tell", ""),
        ],
        rows: debrief.attempts.iter().enumerate().map(row).collect(),
    }));
}

/// Findings of the whole and of the parts.
fn findings(attempt: &Attempt) -> impl Iterator<Item = &Finding> {
    attempt.findings.iter().chain(attempt.parts.iter().flat_map(|part| &part.findings))
}

/// Title of the maneuver and its form, as far as the catalogue knows them.
pub(crate) fn name(attempt: &Attempt) -> String {
    let Some(maneuver) = maneuver::catalog::find(attempt.maneuver) else {
        return format!("{}, {}", attempt.maneuver, attempt.form);
    };
    let form = maneuver.forms().iter().find(|form| form.key == attempt.form);
    let several = maneuver.forms().len() > 1;
    match form.filter(|_| several) {
        Some(form) => format!("{}, {}", maneuver.title(), form.title),
        None => maneuver.title().into(),
    }
}

/// " to the left"; nothing for a figure that goes neither way.
pub(crate) fn to_the(direction: Option<Direction>) -> String {
    direction.map_or_else(String::new, |direction| format!(" to the {}", direction.word()))
}

fn one_attempt(
    blocks: &mut Vec<Block>,
    debrief: &Debrief,
    number: usize,
    attempt: &Attempt,
    reference: Option<&ReferenceFlight>,
) {
    let heading = format!("{number}. {}{}", name(attempt), to_the(attempt.direction));
    blocks.push(Block::Heading(2, heading));
    blocks.push(Block::Paragraph(format!(
        "From {} to {} ({} s). Confidence that this is what was flown: {}.",
        clock(attempt.start_s),
        clock(attempt.end_s),
        fixed(attempt.end_s - attempt.start_s, 0),
        probability_words(attempt.confidence)
    )));
    blocks.push(Block::Paragraph(format!(
        "Flown: {}. Clearing turns in the three minutes before: {}.",
        flown(attempt),
        attempt.clearing.words()
    )));
    let limit = |note: &&String| note.starts_with("limit: ");
    for note in attempt.notes.iter().filter(limit) {
        let text = note.trim_start_matches("limit: ");
        blocks.push(Block::Caution(format!("Limit: {text}")));
    }
    blocks.extend(wind(debrief, attempt).map(Block::Paragraph));
    faults(blocks, attempt);
    coaching(blocks, attempt);
    judged(blocks, attempt);
    all_checkpoints(blocks, attempt);
    figures(blocks, debrief, attempt, reference);
    let notes = attempt.notes.iter().filter(|note| !limit(note));
    let remarks: Vec<String> = notes.chain(&attempt.evidence).cloned().collect();
    if !remarks.is_empty() {
        blocks.push(Block::Heading(3, "How it was found, and what could not be measured".into()));
        blocks.push(Block::List(remarks));
    }
}

/// A table of checkpoints for each part.
pub(crate) fn all_checkpoints(blocks: &mut Vec<Block>, attempt: &Attempt) {
    let several = attempt.parts.len() > 1;
    for (index, part) in attempt.parts.iter().enumerate() {
        let of = if several {
            format!("Part {}{}", index + 1, to_the(part.direction).replacen(" to", ", to", 1))
        } else {
            "At the checkpoints".into()
        };
        blocks.push(Block::Table(checkpoints(of, part)));
    }
}

/// Who flew it and with what help, in words.
pub(crate) fn flown(attempt: &Attempt) -> String {
    let flown = &attempt.flown;
    let by = flown.by.as_ref().map_or_else(String::new, |by| format!("by {by}, "));
    let remark = flown.remark.as_ref().map_or_else(String::new, |remark| format!(" ({remark})"));
    format!("{by}{}{remark}", flown.help.words())
}

/// The wind that the airspeeds of an attempt rest on, at its start.
pub(crate) fn wind(debrief: &Debrief, attempt: &Attempt) -> Option<String> {
    let motion = &debrief.motion;
    let place = motion.place_at(attempt.start_s)?;
    let (north, north_sigma) = motion.wind_north_mps.as_ref()?.at(place);
    let (east, east_sigma) = motion.wind_east_mps.as_ref()?.at(place);
    let band_kt = SIGMAS_OF_95_PERCENT * north_sigma.max(east_sigma) / MPS_PER_KT;
    let words = match flight::wind::Wind::from_velocity(north, east) {
        calm if calm.is_calm() => "Wind: calm".to_owned(),
        _ => format!("Wind: from {} (degrees true)", crate::numbers::wind(north, east)),
    };
    Some(format!("{words}, each component ± {} kt.", fixed(band_kt, 1)))
}

/// Faults of all parts with the number of the part, worst first.
fn worst_first(attempt: &Attempt) -> Vec<(usize, &FaultFound)> {
    let mut found: Vec<(usize, &FaultFound)> = Vec::new();
    for (index, part) in attempt.parts.iter().enumerate() {
        found.extend(part.faults.iter().map(|fault| (index, fault)));
    }
    found.sort_by(|a, b| b.1.severity.total_cmp(&a.1.severity));
    found
}

pub(crate) fn faults(blocks: &mut Vec<Block>, attempt: &Attempt) {
    let found = worst_first(attempt);
    if found.is_empty() {
        return;
    }
    blocks.push(Block::Heading(3, "Seen, the largest first".into()));
    let line = |(_, fault): &(usize, &FaultFound)| {
        let cause =
            fault.cause.as_ref().map_or_else(String::new, |cause| format!("; cause: {cause}"));
        format!("{}: {}{cause}", fault.id.replace('-', " "), fault.evidence)
    };
    blocks.push(Block::List(found.iter().map(line).collect()));
    let mut told: Vec<String> = Vec::new();
    for refly in found.iter().filter_map(|(_, fault)| fault.refly.as_ref()) {
        let line = match refly.offered {
            true => refly.sentence.clone(),
            false => format!("not offered ({}): {}", refly.passes.join("; "), refly.sentence),
        };
        if !told.contains(&line) {
            told.push(line);
        }
    }
    if !told.is_empty() {
        blocks.push(Block::Heading(3, "Flown again with one thing mended".into()));
        blocks.push(Block::List(told));
    }
}

/// One strength, one change, one drill.
fn coaching(blocks: &mut Vec<Block>, attempt: &Attempt) {
    let coaching = &attempt.coaching;
    let mut lines = Vec::new();
    let mut add = |head: &str, text: &Option<String>| {
        lines.extend(text.as_ref().map(|text| format!("{head}: {text}")));
    };
    add("keep", &coaching.strength);
    add("change", &coaching.change);
    add("hands and feet", &coaching.side);
    add("practise", &coaching.drill);
    if !lines.is_empty() {
        blocks.push(Block::Heading(3, "Next time".into()));
        blocks.push(Block::List(lines));
    }
}

/// What to ask the student before the figures are shown.
#[must_use]
pub fn own_account(debrief: &Debrief) -> Vec<Block> {
    let mut blocks = Vec::new();
    if debrief.attempts.iter().all(|attempt| attempt.coaching.questions.is_empty()) {
        return blocks;
    }
    blocks.push(Block::Heading(2, "First, in the student's own words".into()));
    blocks.push(Block::Paragraph("To be answered before the figures below are read.".into()));
    for (index, attempt) in debrief.attempts.iter().enumerate() {
        let heading = format!("{}. {}, at {}", index + 1, name(attempt), clock(attempt.start_s));
        blocks.push(Block::Heading(3, heading));
        let asked = attempt.coaching.questions.iter().map(|text| (*text).to_owned()).collect();
        blocks.push(Block::List(asked));
    }
    blocks
}

pub(crate) fn judged(blocks: &mut Vec<Block>, attempt: &Attempt) {
    let several = attempt.parts.len() > 1;
    let mut rows = Vec::new();
    for finding in &attempt.findings {
        rows.push(finding_row(finding, ""));
    }
    for (index, part) in attempt.parts.iter().enumerate() {
        let place = if several { format!("part {}: ", index + 1) } else { String::new() };
        rows.extend(part.findings.iter().map(|finding| finding_row(finding, &place)));
    }
    if rows.is_empty() {
        blocks.push(Block::Paragraph(
            "The standard in use has no rows for this figure: nothing is judged.".into(),
        ));
        return;
    }
    blocks.push(Block::Table(Table {
        caption: "Held against the standard (values with their 95 % band)".into(),
        columns: vec![
            ColumnHead::words("what"),
            ColumnHead::number("measured", ""),
            ColumnHead::words("unit"),
            ColumnHead::words("tolerance"),
            ColumnHead::words("verdict"),
            ColumnHead::words("source"),
        ],
        rows,
    }));
    let told =
        |place: String, f: &Finding| f.why.as_ref().map(|why| format!("{place}{}: {why}", f.title));
    let mut why: Vec<String> =
        attempt.findings.iter().filter_map(|f| told(String::new(), f)).collect();
    for (index, part) in attempt.parts.iter().enumerate() {
        let place = if several { format!("part {}: ", index + 1) } else { String::new() };
        why.extend(part.findings.iter().filter_map(|f| told(place.clone(), f)));
    }
    let mut seen: Vec<String> = Vec::new();
    why.retain(|line| {
        let new = !seen.contains(line);
        seen.push(line.clone());
        new
    });
    if !why.is_empty() {
        blocks.push(Block::List(why));
    }
}

/// The verdict, by how much, and the mark where there is one: "not met, 3.2 outside", "met, 12 inside; excellent".
fn by_how_much(finding: &Finding, decimals: usize) -> String {
    let margin = finding.margin.filter(|margin| margin.is_finite());
    let by = margin.map_or_else(String::new, |margin| {
        let side = if margin >= 0.0 { "inside" } else { "outside" };
        format!(", {} {side}", fixed(margin.abs(), decimals))
    });
    let mark = finding.mark.filter(|mark| *mark != finding.verdict.words());
    let mark = mark.map_or_else(String::new, |mark| format!("; {mark}"));
    format!("{}{by}{mark}", finding.verdict.words())
}

fn finding_row(finding: &Finding, place: &str) -> Vec<Cell> {
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
    let outside = finding.seconds_outside.filter(|s| *s > 0.0).map(|s| {
        let corrected = match finding.corrected {
            Some(true) => ", corrected",
            Some(false) => ", not corrected",
            None => "",
        };
        format!(" ({} s outside{corrected})", fixed(s, 1))
    });
    vec![
        format!("{place}{}{}", finding.title, outside.unwrap_or_default()).into(),
        Cell::from(banded_or_dash(finding.estimate, decimals)).of(finding.unit),
        Cell::Named(finding.unit, finding.unit.into()),
        finding.tolerance.clone().into(),
        Cell::Verdict(tone, by_how_much(finding, decimals)).of(finding.unit),
        if finding.training_aid {
            "training aid, no published figure".into()
        } else {
            finding.source.clone().into()
        },
    ]
}

fn checkpoints(caption: String, part: &AttemptPart) -> Table {
    // Absolute pitch needs the airplane; the change since the start does not.
    let absolute = part.checkpoints.iter().any(|at| at.pitch_deg.is_some());
    let pitch_title = if absolute { "pitch" } else { "pitch change" };
    let row = |at: &AttemptCheckpoint| -> Vec<Cell> {
        let pitch = if absolute { at.pitch_deg } else { at.pitch_change_deg };
        [
            fixed(at.progress_deg, 0),
            fixed(at.time_s - part.start_s, 1),
            banded_or_dash(at.bank_deg, 1),
            banded_or_dash(pitch, 1),
            banded_or_dash(at.cas_kt, 0),
            banded_or_dash(at.height_ft, 0),
            banded_or_dash(at.load_factor, 2),
        ]
        .map(Cell::Text)
        .into()
    };
    Table {
        caption: match part.progress {
            Progress::Turn => format!("{caption}; turned {}°", banded(part.turned_deg, 1)),
            _ => caption,
        },
        columns: vec![
            ColumnHead::number(part.progress.word(), part.progress.sign()),
            ColumnHead::number("time", "s"),
            ColumnHead::number("bank", "°"),
            ColumnHead::number(pitch_title, "°"),
            ColumnHead::number("CAS", "kt"),
            ColumnHead::number("height", "ft"),
            ColumnHead::number("load", "g"),
        ],
        rows: part.checkpoints.iter().map(row).collect(),
    }
}

pub(crate) fn figures(
    blocks: &mut Vec<Block>,
    debrief: &Debrief,
    attempt: &Attempt,
    reference: Option<&ReferenceFlight>,
) {
    let Some(flown) = Trace::of_attempt(attempt, &debrief.motion) else {
        blocks.push(Block::Paragraph(
            "Pictures need place and heading, which this recording does not give.".into(),
        ));
        return;
    };
    let mut traces: Vec<Trace> =
        reference.map(|r| Trace::of_reference(r, None)).into_iter().collect();
    let pitched = flown.points.iter().all(|point| point.pitch_deg.is_some());
    traces.push(flown);
    // The worst fault that a re-flight mends: the third line.
    let mended = worst_first(attempt).into_iter().find_map(|(part, fault)| {
        let refly = fault.refly.as_ref().filter(|refly| refly.offered)?;
        Trace::of_refly(attempt, &debrief.motion, (part, refly))
    });
    traces.extend(mended);
    let drawn = [
        pictures::outside(&traces),
        pictures::plan(&traces),
        pictures::curves(&traces),
        pictures::nose_trace(&traces),
    ];
    blocks.extend(drawn.into_iter().flatten().map(Block::Figure));
    if !pitched {
        blocks.push(Block::Paragraph(
            "The nose trace is not drawn: pitch is not in this recording and the airplane that would give it is not \
             stated."
                .into(),
        ));
    }
}
