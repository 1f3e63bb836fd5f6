//! Measures held against a tolerance, faults, re-flights.

use crate::number::{Estimate, estimate, maybe, rounded, seconds};
use assess::attempt as engine;
use schemars::JsonSchema;
use serde::Serialize;
use std::collections::BTreeMap;

/// A measure held against a tolerance.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Finding {
    /// Key of the row of the standard.
    pub id: String,
    /// As printed.
    pub title: String,
    /// Which half, from 1; only for figures of two halves.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub part: Option<usize>,
    /// The measured number, in `unit`; null when it could not be measured.
    pub value: Option<Estimate>,
    /// When it was read, seconds from the first sample; null for numbers of the whole figure.
    pub at_s: Option<f64>,
    /// Unit.
    pub unit: &'static str,
    /// Lower edge of what is allowed, in `unit`; null for no bound.
    pub low: Option<f64>,
    /// Upper edge of what is allowed, in `unit`; null for no bound.
    pub high: Option<f64>,
    /// How far inside the nearest edge the number lies, in `unit`; negative outside.
    pub margin: Option<f64>,
    /// As printed.
    pub tolerance: String,
    /// Where the tolerance comes from.
    pub source: String,
    /// True for a marking band of our own: a training aid, no published figure.
    pub training_aid: bool,
    /// Mark on the scale of our own, where the row has one: `excellent`, `satisfactory or better`, `satisfactory`, `needs work`,
    /// `cannot tell`.
    pub mark: Option<&'static str>,
    /// `met`, `not met` or `cannot tell`.
    pub verdict: &'static str,
    /// Seconds outside, for rows that hold at many places.
    pub seconds_outside: Option<f64>,
    /// Whether an excursion was corrected before the end, for rows that hold at many places.
    pub corrected: Option<bool>,
    /// Why, when it cannot be told.
    pub why: Option<String>,
}

/// A fault seen.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Fault {
    /// Fault key.
    pub id: &'static str,
    /// Which half, from 1; only for figures of two halves.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub part: Option<usize>,
    /// What was seen.
    pub evidence: Evidence,
    /// What it is.
    pub what: &'static str,
    /// Why it matters.
    pub why: &'static str,
    /// What to try next time.
    pub remedy: &'static str,
    /// What usually brings it about.
    pub usual_causes: &'static [&'static str],
    /// What most likely brought it about here; null when that cannot be told or several things explain it as well.
    pub cause: Option<String>,
    /// The same part flown again with this mended; null where that cannot be done.
    pub refly: Option<ReflyOut>,
    /// Where line and advice are from.
    pub source: &'static str,
}

/// What was seen of a fault.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Evidence {
    /// In words, with numbers.
    pub text: String,
    /// How far past the line, in multiples of the tolerance.
    pub severity: f64,
}

/// A part flown again with one thing mended, all else as flown.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct ReflyOut {
    /// Key of what was mended.
    pub mended: &'static str,
    /// The outcome in a sentence.
    pub sentence: String,
    /// False when a limit, the stall or the floor is passed: not to be put forward.
    pub offered: bool,
    /// Limits passed, and what could not be looked at.
    pub passes: Vec<String>,
    /// Numbers by key, unit last.
    pub figures: BTreeMap<&'static str, ReflyFigure>,
    /// Where it went.
    pub path: ReflyPath,
}

/// One number of a re-flight.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct ReflyFigure {
    /// As flown.
    pub flown: f64,
    /// With the cause mended.
    pub mended: Estimate,
}

/// The path of a re-flight, as columns of the length of `time_s`; places are empty where the recording has none.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct ReflyPath {
    /// Seconds from the first sample.
    pub time_s: Vec<f64>,
    /// Degrees of heading turned since the start of the part.
    pub turn_deg: Vec<f64>,
    /// Over the ground, from the origin of the reconstruction, north.
    pub north_m: Vec<f64>,
    /// Over the ground, from the origin of the reconstruction, east.
    pub east_m: Vec<f64>,
    /// Height.
    pub height_ft: Vec<f64>,
    /// Bank, right positive.
    pub bank_deg: Vec<f64>,
    /// Calibrated airspeed.
    pub cas_kt: Vec<f64>,
    /// Lift over weight.
    pub load_factor: Vec<f64>,
}

pub(super) fn finding(finding: &engine::Finding, part: Option<usize>) -> Finding {
    Finding {
        id: finding.id.clone(),
        title: finding.title.clone(),
        part,
        value: maybe(finding.estimate),
        at_s: finding.at_s.map(seconds),
        unit: finding.unit,
        low: finding.low.map(|v| rounded(v, 3)),
        high: finding.high.map(|v| rounded(v, 3)),
        margin: finding.margin.filter(|m| m.is_finite()).map(|m| rounded(m, 3)),
        tolerance: finding.tolerance.clone(),
        source: finding.source.clone(),
        training_aid: finding.training_aid,
        mark: finding.mark,
        verdict: finding.verdict.words(),
        seconds_outside: finding.seconds_outside.map(seconds),
        corrected: finding.corrected,
        why: finding.why.clone(),
    }
}

pub(super) fn fault(fault: &engine::FaultFound, maneuver: &str, part: Option<usize>) -> Fault {
    let known = assess::faults::of(fault.id);
    Fault {
        id: fault.id,
        part,
        evidence: Evidence { text: fault.evidence.clone(), severity: rounded(fault.severity, 3) },
        what: known.map_or("", |known| known.what),
        why: known.map_or("", |known| known.why),
        remedy: known.map_or("", |known| known.remedy_in(maneuver)),
        usual_causes: known.map_or(&[], |known| known.causes),
        cause: fault.cause.clone(),
        refly: fault.refly.as_ref().map(reflown),
        source: known.map_or("", |known| known.source),
    }
}

fn reflown(refly: &assess::refly::Refly) -> ReflyOut {
    let figure = |figure: &assess::refly::ReflyFigure| {
        let shown =
            ReflyFigure { flown: rounded(figure.flown, 2), mended: estimate(figure.mended) };
        (figure.key, shown)
    };
    let column =
        |values: &[f64], digits| values.iter().map(|value| rounded(*value, digits)).collect();
    let path = &refly.path;
    ReflyOut {
        mended: refly.mend.key(),
        sentence: refly.sentence.clone(),
        offered: refly.offered,
        passes: refly.passes.clone(),
        figures: refly.figures.iter().map(figure).collect(),
        path: ReflyPath {
            time_s: path.time_s.iter().map(|&time_s| seconds(time_s)).collect(),
            turn_deg: column(&path.turn_deg, 2),
            north_m: column(&path.north_m, 1),
            east_m: column(&path.east_m, 1),
            height_ft: column(&path.height_ft, 1),
            bank_deg: column(&path.bank_deg, 2),
            cas_kt: column(&path.cas_kt, 2),
            load_factor: column(&path.load_factor, 3),
        },
    }
}
