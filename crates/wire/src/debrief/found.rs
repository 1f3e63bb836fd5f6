//! Attempts as they were found, without their measures.

use super::{FIND_SCHEMA, RecordingOut};
use crate::number::seconds;
use assess::attempt::{self as engine, probability_rounded, way};
use assess::debrief::Debrief as EngineDebrief;
use recording::Recording;
use schemars::JsonSchema;
use serde::Serialize;

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
pub struct FoundPart {
    /// `left`, `right`, or `none`.
    pub direction: &'static str,
    /// Begin, seconds from the first sample.
    pub start_s: f64,
    /// End.
    pub end_s: f64,
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

pub(super) fn head(attempt: &engine::Attempt) -> FoundHead {
    FoundHead {
        maneuver: attempt.maneuver,
        form: attempt.form,
        direction: way(attempt.direction),
        confidence: probability_rounded(attempt.confidence),
        start_s: seconds(attempt.start_s),
        end_s: seconds(attempt.end_s),
    }
}

/// A figure of two halves has parts even when only one half was flown.
pub(super) fn has_parts(attempt: &engine::Attempt) -> bool {
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
