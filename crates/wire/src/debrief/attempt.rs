//! An attempt, measured and judged.

use super::finding::{fault, finding};
use super::found::{has_parts, head};
use super::track::track;
use super::{Fault, Finding, FoundHead, Track};
use crate::number::{Estimate, estimate, maybe, rounded, seconds};
use assess::attempt::{self as engine, way};
use maneuver::definition::Progress;
use motion::Motion;
use schemars::JsonSchema;
use serde::Serialize;
use std::collections::BTreeMap;

/// A maneuver found, measured and judged.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Attempt {
    /// What was found.
    #[serde(flatten)]
    pub found: FoundHead,
    /// What the checkpoints are counted in: `turn` (degrees of heading), `pitch` and `roll` (degrees travelled),
    /// `pitch-and-roll`, `phase` (100 for each phase done).
    pub progress: &'static str,
    /// Degrees of heading turned from start to wings level; null for figures of two halves, whose parts carry it.
    pub turned_deg: Option<Estimate>,
    /// At the checkpoints; empty for figures of two halves, whose parts carry them.
    pub checkpoints: Vec<Checkpoint>,
    /// Numbers by key, unit last; null when the recording cannot support it. Empty for figures of two halves.
    pub measures: BTreeMap<String, Option<Estimate>>,
    /// Only for figures of two halves.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub parts: Option<Vec<Part>>,
    /// Measures held against the standard.
    pub findings: Vec<Finding>,
    /// Faults named, worst first in each part.
    pub faults: Vec<Fault>,
    /// What to keep, what to change, what to practise.
    pub coaching: Coaching,
    /// The motion over the attempt.
    pub track: Track,
    /// Clearing turns in the three minutes before it: `seen`, `not seen` or `cannot tell`.
    pub clearing_turns: &'static str,
    /// Who flew it, and with what help.
    pub flown: Flown,
    /// What spoke for and against.
    pub evidence: Vec<String>,
    /// What could not be measured.
    pub notes: Vec<String>,
}

/// One half of a figure of two halves.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Part {
    /// `left`, `right`, or `none`.
    pub direction: &'static str,
    /// Begin, seconds from the first sample.
    pub start_s: f64,
    /// End.
    pub end_s: f64,
    /// Degrees turned from start to wings level.
    pub turned_deg: Option<Estimate>,
    /// At the checkpoints.
    pub checkpoints: Vec<Checkpoint>,
    /// Numbers by key, unit last; null when the recording cannot support it.
    pub measures: BTreeMap<String, Option<Estimate>>,
}

/// The state at a checkpoint. What the recording cannot support is null.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Checkpoint {
    /// Degrees of heading turned since the start of the part.
    pub turn_deg: f64,
    /// Progress in what the figure is counted in, where that is not turn.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub progress_deg: Option<f64>,
    /// Seconds from the first sample.
    pub time_s: f64,
    /// Bank, right positive.
    pub bank_deg: Option<Estimate>,
    /// Pitch, up positive.
    pub pitch_deg: Option<Estimate>,
    /// Pitch change since the start of the part.
    pub pitch_change_deg: Option<Estimate>,
    /// Calibrated airspeed.
    pub cas_kt: Option<Estimate>,
    /// Height.
    pub height_ft: Option<Estimate>,
    /// Lift over weight.
    pub load_factor: Option<Estimate>,
}

/// Who flew an attempt, and with what help.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Flown {
    /// Name, as told; null when not.
    pub by: Option<String>,
    /// `not stated`, `demonstrated`, `talked through`, `prompted`, `unaided` or `taken over`.
    pub help: &'static str,
    /// What else was noted.
    pub remark: Option<String>,
}

/// What to keep, what to change, what to practise.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Coaching {
    /// For the student to answer before the figures are seen.
    pub questions: Vec<&'static str>,
    /// What was best; null when nothing was surely met.
    pub strength: Option<String>,
    /// The one thing to change next; null when no fault is named.
    pub change: Option<String>,
    /// Hands and feet to the side flown, where they differ from left to right.
    pub side: Option<String>,
    /// What to practise for it.
    pub drill: Option<String>,
}

pub(super) fn attempt(attempt: &engine::Attempt, motion: &Motion) -> Attempt {
    let several = has_parts(attempt);
    let whole = attempt.parts.first().filter(|_| !several);
    let number = |index: usize| several.then_some(index + 1);
    let of_parts = || attempt.parts.iter().enumerate();
    let mut findings: Vec<Finding> = attempt.findings.iter().map(|f| finding(f, None)).collect();
    findings
        .extend(of_parts().flat_map(|(index, part)| {
            part.findings.iter().map(move |f| finding(f, number(index)))
        }));
    let faults = of_parts()
        .flat_map(|(index, part)| {
            part.faults.iter().map(move |f| fault(f, attempt.maneuver, number(index)))
        })
        .collect();
    Attempt {
        found: head(attempt),
        progress: attempt.parts.first().map_or(Progress::Turn, |part| part.progress).key(),
        turned_deg: whole.map(|part| estimate(part.turned_deg)),
        checkpoints: whole.map(checkpoints).unwrap_or_default(),
        measures: whole.map_or_else(|| numbers(&attempt.measures), measures),
        parts: several.then(|| attempt.parts.iter().map(part).collect()),
        findings,
        faults,
        clearing_turns: attempt.clearing.words(),
        flown: Flown {
            by: attempt.flown.by.clone(),
            help: attempt.flown.help.words(),
            remark: attempt.flown.remark.clone(),
        },
        coaching: coaching(&attempt.coaching),
        track: track(attempt, motion),
        evidence: attempt.evidence.clone(),
        notes: attempt.notes.clone(),
    }
}

fn part(part: &engine::AttemptPart) -> Part {
    Part {
        direction: way(part.direction),
        start_s: seconds(part.start_s),
        end_s: seconds(part.end_s),
        turned_deg: Some(estimate(part.turned_deg)),
        checkpoints: checkpoints(part),
        measures: measures(part),
    }
}

fn measures(part: &engine::AttemptPart) -> BTreeMap<String, Option<Estimate>> {
    numbers(&part.measures)
}

fn numbers(measures: &[engine::Measure]) -> BTreeMap<String, Option<Estimate>> {
    measures.iter().map(|m| (m.key.to_string(), maybe(m.estimate))).collect()
}

fn checkpoints(part: &engine::AttemptPart) -> Vec<Checkpoint> {
    let one = |at: &engine::AttemptCheckpoint| Checkpoint {
        turn_deg: rounded(at.turn_deg, 2),
        progress_deg: (part.progress != Progress::Turn).then(|| rounded(at.progress_deg, 2)),
        time_s: seconds(at.time_s),
        bank_deg: maybe(at.bank_deg),
        pitch_deg: maybe(at.pitch_deg),
        pitch_change_deg: maybe(at.pitch_change_deg),
        cas_kt: maybe(at.cas_kt),
        height_ft: maybe(at.height_ft),
        load_factor: maybe(at.load_factor),
    };
    part.checkpoints.iter().map(one).collect()
}

fn coaching(coaching: &assess::coach::Coaching) -> Coaching {
    Coaching {
        questions: coaching.questions.clone(),
        strength: coaching.strength.clone(),
        change: coaching.change.clone(),
        side: coaching.side.clone(),
        drill: coaching.drill.clone(),
    }
}
