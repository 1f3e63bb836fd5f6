//! The brief as a document: verdict, numbers at the checkpoints, limits, pictures, how it is flown, safety sheet.

use crate::SAFETY_SENTENCE;
use crate::model::{Block, Cell, ColumnHead, Document, Table, Tone};
use crate::numbers::{fixed, signed};
use crate::pictures;
use crate::trace::Trace;
use base::factors::{M_PER_FT, MPS_PER_KT, RAD_PER_DEG};
use flight::air::Day;
use maneuver::brief::{Brief, Limit, LimitSide, SafetyLine, Verdict, Whose};
use maneuver::optimum::overlay::Overlay;
use maneuver::{ReferenceFlight, Sourced};

/// The document of a brief.
#[must_use]
pub fn document(brief: &Brief) -> Document {
    let mut blocks = Vec::new();
    verdict(&mut blocks, brief);
    for (index, flight) in brief.sides.iter().enumerate() {
        let best = brief.best_gains.get(index).and_then(|found| found.as_ref().ok());
        side(&mut blocks, brief, flight, best);
        if let Some(eye) = brief.eyes.get(index) {
            crate::seat::section(&mut blocks, flight, eye);
        }
        if let Some(flown) = brief.hands.get(index) {
            crate::hands::section(&mut blocks, flight, flown);
        }
    }
    crate::hands::difference(&mut blocks, brief);
    best_gains(&mut blocks, brief);
    limits(&mut blocks, brief);
    crate::fit::sections(&mut blocks, brief);
    found(&mut blocks, brief);
    flown(&mut blocks, brief);
    crate::patter::section(&mut blocks, brief);
    safety(&mut blocks, brief);
    blocks.push(Block::Heading(2, "Sources".into()));
    blocks.push(Block::List(sources(brief)));
    Document { title: title(brief), subtitle: subtitle(brief), blocks }
}

pub(crate) fn title(brief: &Brief) -> String {
    format!("{}, {}", brief.maneuver.title(), brief.form.title)
}

pub(crate) fn subtitle(brief: &Brief) -> String {
    format!(
        "{}, {} kg, entry at {} ft; {}",
        brief.airplane_name,
        fixed(brief.mass.to_kg(), 0),
        fixed(brief.height.to_ft(), 0),
        day(&brief.day, brief.field_told)
    )
}

fn day(day: &Day, field_told: bool) -> String {
    let speed_kt = day.wind.speed.to_kt();
    let wind = if speed_kt < 0.5 {
        "calm".into()
    } else {
        let from = crate::numbers::from_words(day.wind.from.to_deg());
        format!("wind from {from}° true at {} kt", fixed(speed_kt, 0))
    };
    let field = if field_told {
        format!("a field {} ft high", fixed(day.field_elevation.to_ft(), 0))
    } else {
        "sea level (field elevation not told)".into()
    };
    format!(
        "QNH {} hPa, {} °C at {field}, {wind}",
        fixed(day.qnh.to_hpa(), 0),
        fixed(day.temperature_at_field.to_c(), 0)
    )
}

/// The sources that a brief names, each with its title.
pub(crate) fn sources(brief: &Brief) -> Vec<String> {
    brief.sources.iter().map(|key| maneuver::sources::titled(key)).collect()
}

/// The sign of a verdict. A hazard never gets an approving one.
pub(crate) const fn tone(verdict: Verdict) -> Tone {
    match verdict {
        Verdict::WithinComputedLimits | Verdict::WithinComputedLimitsWith => Tone::Met,
        Verdict::Hazard => Tone::Hazard,
        Verdict::OutsideLimits => Tone::NotMet,
    }
}

pub(crate) fn verdict(blocks: &mut Vec<Block>, brief: &Brief) {
    let words = brief.verdict.words();
    let words = match brief.verdict {
        _ if brief.reasons.is_empty() => words.to_string(),
        Verdict::WithinComputedLimits => words.to_string(),
        Verdict::WithinComputedLimitsWith => format!("{words} what is listed here"),
        Verdict::Hazard => format!("{words}; it needs what is listed here"),
        Verdict::OutsideLimits => format!("{words}, because"),
    };
    if let Some(hazard) = brief.maneuver.hazard() {
        blocks.push(Block::Caution(format!("A hazard, not an exercise: {}", with_source(&hazard))));
    }
    blocks.push(Block::Verdict(tone(brief.verdict), words));
    if !brief.reasons.is_empty() {
        blocks.push(Block::List(brief.reasons.clone()));
    }
    if brief.infeasible.is_some() {
        blocks.push(Block::Caution("Cannot be flown as asked.".into()));
    }
    blocks.extend(brief.heading_note().map(Block::Paragraph));
    blocks.push(Block::Paragraph(brief.maneuver.purpose().text.into()));
}

fn side(blocks: &mut Vec<Block>, brief: &Brief, flight: &ReferenceFlight, best: Option<&Overlay>) {
    let several = flight.parts.len() > 1;
    let heading = if !brief.maneuver.sided(&flight.form) {
        "The reference flight".into()
    } else if several && brief.maneuver.shape().alternating {
        format!(
            "To the {}, then to the {}",
            flight.direction.word(),
            flight.direction.opposite().word()
        )
    } else {
        format!("To the {}", flight.direction.word())
    };
    blocks.push(Block::Heading(2, heading));
    for (index, part) in flight.parts.iter().enumerate() {
        let caption = if several && !brief.maneuver.shape().alternating {
            format!("Reference flight, part {}", index + 1)
        } else if several {
            format!("Reference flight, part to the {}", part.direction.word())
        } else {
            "Reference flight at the checkpoints".into()
        };
        blocks.push(Block::Table(checkpoints(caption, flight, part)));
    }
    let air = brief.day.wind.velocity();
    let trace = [Trace::of_reference(flight, Some((air.x, air.y)))];
    let best = best.map(|best| Trace::of_best(&best.samples, flight.direction));
    let beside: Vec<Trace> = trace.iter().cloned().chain(best).collect();
    let drawn = [
        pictures::outside(&trace),
        pictures::plan(&trace),
        pictures::curves(&beside),
        pictures::nose_trace(&trace),
    ];
    blocks.extend(drawn.into_iter().flatten().map(Block::Figure));
}

/// The physical best beside the schedule.
fn best_gains(blocks: &mut Vec<Block>, brief: &Brief) {
    if brief.best_gains.is_empty() {
        return;
    }
    blocks.push(Block::Heading(2, "Greatest gain in the same time: no target".into()));
    let mut lines = Vec::new();
    for (flight, found) in brief.sides.iter().zip(&brief.best_gains) {
        let way = flight.direction.word();
        let best = match found {
            Ok(best) => best,
            Err(why) => {
                lines.push(format!("to the {way}: {why}"));
                continue;
            }
        };
        let [first, last] = [flight.samples.first(), flight.samples.last()];
        let scheduled_m =
            first.zip(last).map_or(0.0, |(first, last)| last.height_m - first.height_m);
        lines.push(format!(
            "to the {way}: {} ft at most in {} s, where the schedule gains {} ft; bank at most {}°, load {} to {} g",
            fixed(best.gain_m / M_PER_FT, 0),
            fixed(best.time_s, 1),
            fixed(scheduled_m / M_PER_FT, 0),
            fixed(best.bank_max_rad / RAD_PER_DEG, 0),
            fixed(best.loads.0, 1),
            fixed(best.loads.1, 1)
        ));
    }
    blocks.push(Block::List(lines));
    blocks.push(Block::Paragraph(
        "The most height that this airplane can gain in a turn of 180° within that time, found by optimal control: a hard pull at first, \
         then near the best climb speed, a zoom at the end. It is drawn beside the curves. A chandelle is judged against its \
         schedule, never against this."
            .into(),
    ));
}

fn checkpoints(
    caption: String,
    flight: &ReferenceFlight,
    part: &maneuver::reference::ReferencePart,
) -> Table {
    let entry_m = flight.samples.first().map_or(0.0, |sample| sample.height_m);
    let row = |at: &maneuver::reference::Checkpoint| -> Vec<Cell> {
        let s = &at.sample;
        let margin_mps = s.calibrated_airspeed_mps - s.stall_speed_mps;
        [
            place(flight, at.progress_deg),
            fixed(s.time_s, 1),
            fixed(s.bank_rad / RAD_PER_DEG, 0),
            signed(s.pitch_rad / RAD_PER_DEG, 1),
            fixed(s.indicated_airspeed_mps / MPS_PER_KT, 0),
            fixed(s.height_m / M_PER_FT, 0),
            signed((s.height_m - entry_m) / M_PER_FT, 0),
            fixed(s.load_factor, 2),
            fixed(margin_mps / MPS_PER_KT, 0),
        ]
        .map(Cell::Text)
        .into()
    };
    Table {
        caption,
        columns: vec![
            place_head(flight),
            ColumnHead::number("time", "s"),
            ColumnHead::number("bank", "°"),
            ColumnHead::number("pitch", "°"),
            ColumnHead::number("IAS", "kt"),
            ColumnHead::number("height", "ft"),
            ColumnHead::number("from entry", "ft"),
            ColumnHead::number("load", "g"),
            ColumnHead::number("over stall", "kt CAS"),
        ],
        rows: part.checkpoints.iter().map(row).collect(),
    }
}

/// A place of the figure as a cell: its count of degrees, or the phase that begins there, by its number in the pictures and its name.
pub(crate) fn place(flight: &ReferenceFlight, progress_deg: f64) -> String {
    match flight.phase_at(progress_deg) {
        None => fixed(progress_deg, 0),
        Some(name) if name == "end" || name.starts_with("half way") => name,
        Some(name) => format!("{} {name}", crate::trace::place_text(flight, progress_deg)),
    }
}

/// The head of a column of [`place`]s.
pub(crate) fn place_head(flight: &ReferenceFlight) -> ColumnHead {
    if flight.phases.is_empty() {
        return ColumnHead::number(flight.progress.word(), flight.progress.sign());
    }
    ColumnHead::words("begins")
}

fn limits(blocks: &mut Vec<Block>, brief: &Brief) {
    if brief.limits.is_empty() {
        return;
    }
    blocks.push(Block::Heading(2, "Limits and margins".into()));
    let row = |limit: &Limit| -> Vec<Cell> {
        let decimals = limit_decimals(limit);
        let (tone, word) =
            if limit.kept { (Tone::Met, "kept") } else { (Tone::NotMet, "not kept") };
        let bound = match limit.side {
            LimitSide::Above => "at most",
            LimitSide::Below => "at least",
        };
        vec![
            limit.title.into(),
            Cell::from(fixed(limit.value, decimals)).of(limit.unit),
            Cell::from(format!("{bound} {}", fixed(limit.limit, decimals))).of(limit.unit),
            Cell::from(signed(limit.margin, decimals)).of(limit.unit),
            Cell::Named(limit.unit, unit_text(limit.unit).into()),
            Cell::Verdict(tone, word.into()),
            source_words(limit.source).into(),
        ]
    };
    blocks.push(Block::Table(Table {
        caption: "Worst values over the sides".into(),
        columns: vec![
            ColumnHead::words("limit"),
            ColumnHead::number("value", ""),
            ColumnHead::number("bound", ""),
            ColumnHead::number("margin", ""),
            ColumnHead::words("unit"),
            ColumnHead::words("computed"),
            ColumnHead::words("source"),
        ],
        rows: brief.limits.iter().map(row).collect(),
    }));
}

/// Tenths of a knot where whole ones would show a margin that is not there; else as [`decimals`].
pub(crate) fn limit_decimals(limit: &Limit) -> usize {
    if limit.unit == "kt" && limit.margin.abs() < 10.0 { 1 } else { decimals(limit.unit) }
}

pub(crate) fn decimals(unit: &str) -> usize {
    match unit {
        "g" => 2,
        "ft" | "kt" | "m" | "%" => 0,
        "NM" => 2,
        _ => 1,
    }
}

/// What the form left open and was found, and how well its conditions are met.
fn found(blocks: &mut Vec<Block>, brief: &Brief) {
    if brief.sides.iter().all(|side| side.unknowns.is_empty() && side.conditions.is_empty()) {
        return;
    }
    blocks.push(Block::Heading(2, "Found for this airplane and day".into()));
    let mut rows: Vec<Vec<Cell>> = Vec::new();
    for flight in &brief.sides {
        let sided = brief.maneuver.sided(&flight.form);
        let word = if sided { flight.direction.word() } else { "either" };
        for unknown in &flight.unknowns {
            let value = fixed(unknown.value, decimals(unknown.unit).max(1));
            rows.push(vec![
                word.into(),
                unknown.name.into(),
                Cell::from(value).of(unknown.unit),
                Cell::Named(unknown.unit, unit_text(unknown.unit).into()),
                "found".into(),
            ]);
        }
        for condition in &flight.conditions {
            let decimals = decimals(condition.unit).max(1);
            let wanted = fixed(condition.wanted, decimals);
            let reached = fixed(condition.reached, decimals);
            let sign = if reached == wanted { "reached" } else { "not reached" };
            let wanted = format!("asked for: {wanted}, {sign}");
            rows.push(vec![
                word.into(),
                condition.name.into(),
                Cell::from(reached).of(condition.unit),
                Cell::Named(condition.unit, unit_text(condition.unit).into()),
                Cell::from(wanted).of(condition.unit),
            ]);
        }
    }
    blocks.push(Block::Table(Table {
        caption: "What the form leaves open, solved; what it asks for".into(),
        columns: vec![
            ColumnHead::words("side"),
            ColumnHead::words("what"),
            ColumnHead::number("value", ""),
            ColumnHead::words("unit"),
            ColumnHead::words("how"),
        ],
        rows,
    }));
}

fn flown(blocks: &mut Vec<Block>, brief: &Brief) {
    blocks.push(Block::Heading(2, "How it is flown".into()));
    blocks.push(Block::Paragraph(with_source(&brief.form.description)));
    let sheets =
        [("Entry", brief.maneuver.entry()), ("Errors to watch for", brief.maneuver.errors())];
    for (heading, lines) in sheets {
        if !lines.is_empty() {
            blocks.push(Block::Heading(3, heading.into()));
            blocks.push(Block::List(lines.iter().map(with_source).collect()));
        }
    }
    let steps = brief.maneuver.steps();
    if !steps.is_empty() {
        let line = |step: &maneuver::definition::Step| {
            format!("{}: {}", step.title, with_source(&step.text))
        };
        blocks.push(Block::Heading(3, "Steps toward it".into()));
        blocks.push(Block::List(steps.iter().map(line).collect()));
    }
}

fn safety(blocks: &mut Vec<Block>, brief: &Brief) {
    blocks.push(Block::Heading(2, "Safety".into()));
    blocks.push(Block::Caution(SAFETY_SENTENCE.into()));
    gates(blocks, brief);
    crate::fit::way_out(blocks, brief);
    for (heading, whose) in
        [("Checked here", Whose::CheckedHere), ("Yours to check", Whose::YoursToCheck)]
    {
        let lines =
            brief.safety.iter().filter(|line| line.whose == whose && line.country.is_none());
        let lines: Vec<String> = lines.map(safety_line).collect();
        if !lines.is_empty() {
            blocks.push(Block::Heading(3, heading.into()));
            blocks.push(Block::List(lines));
        }
    }
    countries(blocks, brief);
}

/// A statement with what the computed flight says of it and its source.
pub(crate) fn safety_line(line: &SafetyLine) -> String {
    let stated = with_source(&line.line);
    line.finding.as_ref().map_or(stated.clone(), |finding| format!("{stated}: {finding}"))
}

/// Rules by country, each with who checks it.
pub(crate) fn countries(blocks: &mut Vec<Block>, brief: &Brief) {
    let lines: Vec<&SafetyLine> =
        brief.safety.iter().filter(|line| line.country.is_some()).collect();
    if lines.is_empty() {
        return;
    }
    blocks.push(Block::Heading(3, "Rules by country".into()));
    for of_country in lines.chunk_by(|a, b| a.country == b.country) {
        let row = |line: &&SafetyLine| -> Vec<Cell> {
            let (whose, finding) = match (line.whose, &line.finding) {
                (Whose::CheckedHere, Some(finding)) => ("checked here", finding.as_str()),
                (Whose::CheckedHere, None) => ("checked here", ""),
                (Whose::YoursToCheck, _) => ("yours to check", ""),
            };
            vec![with_source(&line.line).into(), whose.into(), finding.into()]
        };
        blocks.push(Block::Table(Table {
            caption: of_country[0].country.unwrap_or_default().into(),
            columns: ["rule, in our words", "who", "found"].map(ColumnHead::words).into(),
            rows: of_country.iter().map(row).collect(),
        }));
    }
}

/// The gates proposed, in the instructor's units.
pub(crate) fn gates(blocks: &mut Vec<Block>, brief: &Brief) {
    if brief.gates.is_empty() {
        return;
    }
    blocks.push(Block::Heading(3, "Gates proposed: control is taken with".into()));
    blocks.push(Block::List(brief.gates.iter().map(gate_words).collect()));
}

/// "bank beyond 70°".
fn gate_words(gate: &maneuver::brief::Gate) -> String {
    let decimals = usize::from(gate.unit == "g");
    let space = if gate.unit == "deg" { "" } else { " " };
    format!("{} {}{space}{}", gate.what, fixed(gate.value, decimals), unit_text(gate.unit))
}

/// A source key where it is no document.
pub(crate) fn source_words(source: &str) -> String {
    source
        .replace("common-practice", "common practice")
        .replace("training-aid", "training aid")
        .replace("from-memory", "from memory, to be confirmed")
        .replace("as-told", "as told")
}

/// The sign where the trade writes one.
pub(crate) fn unit_text(unit: &'static str) -> &'static str {
    if unit == "deg" { "°" } else { unit }
}

/// A statement with its source in brackets.
pub(crate) fn with_source(line: &Sourced) -> String {
    match line.source {
        "common-practice" => format!("{} [common practice, no source]", line.text),
        "from-memory" => format!("{} [from memory, to be confirmed]", line.text),
        "training-aid" => format!("{} [training aid, our judgement]", line.text),
        source => format!("{} [{source}]", line.text),
    }
}
