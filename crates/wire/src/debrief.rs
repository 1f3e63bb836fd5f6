//! `skychalk.debrief/1` and `skychalk.find/1`: what was found in a recording, measured and judged.

use crate::brief::SAFETY_SENTENCE;
use crate::number::{Estimate, EstimateColumn, estimate, maybe, rounded, seconds};
use assess::attempt::{self as engine, way};
use assess::debrief::Debrief as EngineDebrief;
use assess::events::{EventCheck as EngineCheck, SafetyEvent};
use base::factors::{M_PER_FT, MPS_PER_KT, RAD_PER_DEG};
use maneuver::Direction;
use maneuver::definition::Progress;
use motion::{Column, Motion};
use recording::{QuantityKind, Recording};
use schemars::JsonSchema;
use serde::Serialize;
use std::collections::BTreeMap;

/// Name of the debrief and its version.
pub const SCHEMA: &str = "skychalk.debrief/1";
/// Name of the list of attempts and its version.
pub const FIND_SCHEMA: &str = "skychalk.find/1";
/// Name of the debriefs of several flights and its version.
pub const MANY_SCHEMA: &str = "skychalk.debriefs/1";
/// Greatest number of points of the strip.
const STRIP_POINTS_MAX: usize = 600;

/// A debrief.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Debrief {
    /// Always `skychalk.debrief/1`.
    pub schema: &'static str,
    /// The recording it is about.
    pub recording: RecordingOut,
    /// Name of the airplane, when known.
    pub airplane: Option<String>,
    /// The standard judged by.
    pub standard: StandardOut,
    /// The whole flight, thinned: height against time. Null when no height was recorded.
    pub strip: Option<Strip>,
    /// Attempts in time order.
    pub attempts: Vec<Attempt>,
    /// Limits passed, or perhaps passed, anywhere in the flight, in time order.
    pub events: Vec<Event>,
    /// Every kind of event, and why it could not be looked for.
    pub event_checks: Vec<EventCheck>,
    /// What could not be had, what was assumed, and cautions.
    pub notes: Vec<String>,
}

/// Debriefs of several flights, each recording a flight of its own, in the order given.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Debriefs {
    /// Always `skychalk.debriefs/1`.
    pub schema: &'static str,
    /// One entry a recording.
    pub flights: Vec<OneFlight>,
}

/// One of several flights: its debrief, or why there is none.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[serde(untagged)]
pub enum OneFlight {
    /// It was read.
    Debrief(Box<Debrief>),
    /// It was not.
    Failure(crate::error::Failure),
}

/// A limit passed, or perhaps passed.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Event {
    /// Stable key of its kind: `load-over-limit`.
    pub kind: &'static str,
    /// As people call it.
    pub title: &'static str,
    /// First moment past the limit, seconds from the first sample.
    pub begin_s: f64,
    /// Last moment past it.
    pub end_s: f64,
    /// The value farthest past it, in `unit`.
    pub worst: Option<Estimate>,
    /// When that was.
    pub worst_s: f64,
    /// The limit, in `unit`.
    pub limit: f64,
    /// Unit.
    pub unit: &'static str,
    /// True when the whole 95 % band of the worst value is past the limit; else it was perhaps passed.
    pub sure: bool,
    /// True when a limit of the airplane was passed: report it before the next flight.
    pub report_before_next_flight: bool,
    /// The attempt during which it happened, from 1; null outside attempts.
    pub attempt: Option<usize>,
    /// True when the figure flown is meant to come there.
    pub expected: bool,
    /// Where the limit is from.
    pub source: String,
    /// In words, with numbers.
    pub text: String,
}

/// Whether a kind of event could be looked for.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct EventCheck {
    /// Stable key of the kind.
    pub kind: &'static str,
    /// True when it was looked for.
    pub checked: bool,
    /// Why it was not.
    pub why_not: Option<String>,
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

/// Attempts only.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Find {
    /// Always `skychalk.find/1`.
    pub schema: &'static str,
    /// The recording searched.
    pub recording: RecordingOut,
    /// Attempts in time order.
    pub attempts: Vec<FoundAttempt>,
    /// What could not be had and what was assumed.
    pub notes: Vec<String>,
}

/// A recording.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct RecordingOut {
    /// Name of the file.
    pub file: String,
    /// Key of the format it was read by.
    pub format: &'static str,
    /// Instant of time zero, when the file says it (RFC 3339, UTC).
    pub start: Option<String>,
    /// Last sample, seconds from the first.
    pub duration_s: f64,
    /// What recorded: `gnss`, `airspeed`, `pressure`, `temperature`, `attitude`, `heading`, `force`, `rotation`, `engine`.
    pub sensors: Vec<&'static str>,
}

/// A standard.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct StandardOut {
    /// Stable key.
    pub id: String,
    /// Title with edition.
    pub title: String,
}

/// Height against time, thinned.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Strip {
    /// Seconds from the first sample.
    pub time_s: Vec<f64>,
    /// Height, ft.
    pub height_ft: Vec<f64>,
}

/// A maneuver found, without its measures.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct FoundAttempt {
    /// What was found.
    #[serde(flatten)]
    pub found: FoundHead,
    /// Only for figures of two halves.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub parts: Option<Vec<FoundPart>>,
    /// What spoke for and against.
    pub evidence: Vec<String>,
}

/// One half of a figure of two halves.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct FoundPart {
    /// `left`, `right`, or `none`.
    pub direction: &'static str,
    /// Begin, seconds from the first sample.
    pub start_s: f64,
    /// End.
    pub end_s: f64,
}

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

/// The head of an attempt.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct FoundHead {
    /// Catalogue key.
    pub maneuver: &'static str,
    /// Form key that fits best.
    pub form: &'static str,
    /// Way of the first part: `left`, `right`, or `none` for a figure that goes neither way.
    pub direction: &'static str,
    /// Probability that this is what was flown, 0 to 1.
    pub confidence: f64,
    /// First movement of the figure, seconds from the first sample.
    pub start_s: f64,
    /// Figure finished.
    pub end_s: f64,
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

/// What was seen of a fault.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Evidence {
    /// In words, with numbers.
    pub text: String,
    /// How far past the line, in multiples of the tolerance.
    pub severity: f64,
}

/// The motion over an attempt, as columns of the length of `time_s`; a column the recording cannot support is null.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Track {
    /// Seconds from the first sample.
    pub time_s: Vec<f64>,
    /// Degrees of heading turned since the start of the part being flown, positive in its direction.
    pub turn_deg: Option<EstimateColumn>,
    /// Over the ground, from the origin of the reconstruction, north.
    pub north_m: Option<EstimateColumn>,
    /// Over the ground, from the origin of the reconstruction, east.
    pub east_m: Option<EstimateColumn>,
    /// Height.
    pub height_ft: Option<EstimateColumn>,
    /// Bank, right positive.
    pub bank_deg: Option<EstimateColumn>,
    /// Pitch, up positive.
    pub pitch_deg: Option<EstimateColumn>,
    /// Heading from true north; does not jump at north.
    pub heading_deg: Option<EstimateColumn>,
    /// Calibrated airspeed.
    pub cas_kt: Option<EstimateColumn>,
    /// Lift over weight.
    pub load_factor: Option<EstimateColumn>,
}

impl From<&EngineDebrief> for Debrief {
    fn from(debrief: &EngineDebrief) -> Self {
        let mut notes: Vec<String> = debrief.notes.iter().map(|note| note.text.clone()).collect();
        notes.push(SAFETY_SENTENCE.into());
        Self {
            schema: SCHEMA,
            recording: RecordingOut::from(&debrief.recording),
            airplane: debrief.airplane_name.clone(),
            standard: StandardOut {
                id: debrief.standard_id.clone(),
                title: debrief.standard_title.clone(),
            },
            strip: strip(&debrief.motion),
            attempts: debrief.attempts.iter().map(|a| attempt(a, &debrief.motion)).collect(),
            events: debrief.events.events.iter().map(event).collect(),
            event_checks: debrief.events.checks.iter().map(check).collect(),
            notes,
        }
    }
}

impl Find {
    /// The list of attempts of a recording; `notes` are those of reader, reconstruction and search.
    #[must_use]
    pub fn new(
        recording: &Recording,
        attempts: &[engine::Attempt],
        notes: &[recording::Note],
    ) -> Self {
        Self {
            schema: FIND_SCHEMA,
            recording: RecordingOut::from(recording),
            attempts: attempts.iter().map(found).collect(),
            notes: notes.iter().map(|note| note.text.clone()).collect(),
        }
    }
}

impl From<&EngineDebrief> for Find {
    fn from(debrief: &EngineDebrief) -> Self {
        Self::new(&debrief.recording, &debrief.attempts, &debrief.notes)
    }
}

impl From<&Recording> for RecordingOut {
    fn from(recording: &Recording) -> Self {
        Self {
            file: recording.name.clone(),
            format: recording.format,
            start: recording.start.map(|start| start.to_string()),
            duration_s: seconds(recording.duration_s()),
            sensors: sensors(recording),
        }
    }
}

/// The sorts of sensors of a recording, in a fixed order, each once.
#[must_use]
pub fn sensors(recording: &Recording) -> Vec<&'static str> {
    const ORDER: [&str; 11] = [
        "gnss",
        "airspeed",
        "pressure",
        "temperature",
        "attitude",
        "heading",
        "force",
        "rotation",
        "magnetometer",
        "engine",
        "wind",
    ];
    let mut seen: Vec<&str> = recording.series.iter().map(|s| sensor(s.quantity)).collect();
    if !recording.fixes.is_empty() {
        seen.push("gnss");
    }
    ORDER.into_iter().filter(|name| seen.contains(name)).collect()
}

fn sensor(quantity: QuantityKind) -> &'static str {
    use QuantityKind as Q;
    match quantity {
        Q::IndicatedAirspeedMps | Q::CalibratedAirspeedMps | Q::TrueAirspeedMps => "airspeed",
        Q::PressureAltitudeM
        | Q::IndicatedAltitudeM
        | Q::StaticPressurePa
        | Q::VerticalSpeedMps => "pressure",
        Q::OutsideAirTemperatureK => "temperature",
        Q::BankDeg | Q::PitchDeg => "attitude",
        Q::MagneticHeadingDeg | Q::TrueHeadingDeg => "heading",
        Q::NormalLoadG
        | Q::LateralLoadG
        | Q::LongitudinalLoadG
        | Q::DeviceForceXMps2
        | Q::DeviceForceYMps2
        | Q::DeviceForceZMps2 => "force",
        Q::DeviceRateXRadps
        | Q::DeviceRateYRadps
        | Q::DeviceRateZRadps
        | Q::RollRateRadps
        | Q::PitchRateRadps
        | Q::YawRateRadps => "rotation",
        Q::DeviceFieldXMicrotesla | Q::DeviceFieldYMicrotesla | Q::DeviceFieldZMicrotesla => {
            "magnetometer"
        }
        Q::EngineSpeedRpm => "engine",
        Q::HorizontalAccuracyM => "gnss",
        Q::WindSpeedMps | Q::WindFromDeg => "wind",
    }
}

fn event(event: &SafetyEvent) -> Event {
    Event {
        kind: event.kind.key(),
        title: event.kind.title(),
        begin_s: seconds(event.begin_s),
        end_s: seconds(event.end_s),
        worst: maybe(Some(event.worst)),
        worst_s: seconds(event.worst_s),
        limit: rounded(event.limit, 3),
        unit: event.unit,
        sure: event.sure,
        report_before_next_flight: event.is_exceedance(),
        attempt: event.attempt.map(|index| index + 1),
        expected: event.expected,
        source: event.source.clone(),
        text: event.words(),
    }
}

fn check(check: &EngineCheck) -> EventCheck {
    EventCheck {
        kind: check.kind.key(),
        checked: check.why_not.is_none(),
        why_not: check.why_not.clone(),
    }
}

fn strip(motion: &Motion) -> Option<Strip> {
    let height = motion.height_m.as_ref()?;
    let step = motion.time_s.len().div_ceil(STRIP_POINTS_MAX).max(1);
    let thin = |values: &[f64]| values.iter().step_by(step).copied().collect::<Vec<_>>();
    Some(Strip {
        time_s: thin(&motion.time_s).into_iter().map(seconds).collect(),
        height_ft: thin(&height.value).into_iter().map(|m| rounded(m / M_PER_FT, 1)).collect(),
    })
}

fn head(attempt: &engine::Attempt) -> FoundHead {
    FoundHead {
        maneuver: attempt.maneuver,
        form: attempt.form,
        direction: way(attempt.direction),
        confidence: rounded(attempt.confidence, 3),
        start_s: seconds(attempt.start_s),
        end_s: seconds(attempt.end_s),
    }
}

/// A figure of two halves has parts even when only one half was flown.
fn has_parts(attempt: &engine::Attempt) -> bool {
    let figure = maneuver::catalog::find(attempt.maneuver);
    attempt.parts.len() > 1 || figure.is_some_and(|figure| figure.shape().parts > 1)
}

fn found(attempt: &engine::Attempt) -> FoundAttempt {
    let part = |part: &engine::AttemptPart| FoundPart {
        direction: way(part.direction),
        start_s: seconds(part.start_s),
        end_s: seconds(part.end_s),
    };
    FoundAttempt {
        found: head(attempt),
        parts: has_parts(attempt).then(|| attempt.parts.iter().map(part).collect()),
        evidence: attempt.evidence.clone(),
    }
}

fn attempt(attempt: &engine::Attempt, motion: &Motion) -> Attempt {
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
        .flat_map(|(index, part)| part.faults.iter().map(move |f| fault(f, number(index))))
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

fn finding(finding: &engine::Finding, part: Option<usize>) -> Finding {
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

fn fault(fault: &engine::FaultFound, part: Option<usize>) -> Fault {
    let known = assess::faults::of(fault.id);
    Fault {
        id: fault.id,
        part,
        evidence: Evidence { text: fault.evidence.clone(), severity: rounded(fault.severity, 3) },
        what: known.map_or("", |known| known.what),
        why: known.map_or("", |known| known.why),
        remedy: known.map_or("", |known| known.remedy),
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

fn coaching(coaching: &assess::coach::Coaching) -> Coaching {
    Coaching {
        questions: coaching.questions.clone(),
        strength: coaching.strength.clone(),
        change: coaching.change.clone(),
        side: coaching.side.clone(),
        drill: coaching.drill.clone(),
    }
}

fn track(attempt: &engine::Attempt, motion: &Motion) -> Track {
    let first = motion.time_s.partition_point(|&t| t < attempt.start_s);
    let after = motion.time_s.partition_point(|&t| t <= attempt.end_s).max(first);
    let cut = |column: &Option<Column>, scale: f64| {
        column.as_ref().map(|column| EstimateColumn {
            value: column.value[first..after].iter().map(|v| rounded(v / scale, 3)).collect(),
            sigma: column.sigma[first..after].iter().map(|v| rounded(v / scale, 4)).collect(),
        })
    };
    Track {
        time_s: motion.time_s[first..after].iter().map(|&t| seconds(t)).collect(),
        turn_deg: turned(attempt, motion, first..after),
        north_m: cut(&motion.north_m, 1.0),
        east_m: cut(&motion.east_m, 1.0),
        height_ft: cut(&motion.height_m, M_PER_FT),
        bank_deg: cut(&motion.bank_rad, RAD_PER_DEG),
        pitch_deg: cut(&motion.pitch_rad, RAD_PER_DEG),
        heading_deg: cut(&motion.heading_rad, RAD_PER_DEG),
        cas_kt: cut(&motion.calibrated_airspeed_mps, MPS_PER_KT),
        load_factor: cut(&motion.load_factor, 1.0),
    }
}

/// Heading turned since the start of the part being flown. The heading at the start is taken as known: the band of the
/// column is that of the heading alone.
fn turned(
    attempt: &engine::Attempt,
    motion: &Motion,
    window: std::ops::Range<usize>,
) -> Option<EstimateColumn> {
    let heading = motion.heading_rad.as_ref()?;
    let mut value = Vec::with_capacity(window.len());
    for index in window.clone() {
        let time_s = motion.time_s[index];
        let part = attempt.parts.iter().rev().find(|part| part.start_s <= time_s);
        let part = part.or(attempt.parts.first())?;
        let (start, _) = heading.at(motion.place_at(part.start_s)?);
        let turn_rad = part.direction.map_or(1.0, Direction::sign) * (heading.value[index] - start);
        value.push(rounded(turn_rad / RAD_PER_DEG, 3));
    }
    let sigma = heading.sigma[window].iter().map(|s| rounded(s / RAD_PER_DEG, 4)).collect();
    Some(EstimateColumn { value, sigma })
}
