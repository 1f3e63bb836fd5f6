//! `skychalk.debrief/1` and `skychalk.find/1`: what was found in a recording, measured and judged.

mod attempt;
mod event;
mod finding;
mod found;
mod recorded;
mod track;

pub use attempt::{Attempt, Checkpoint, Coaching, Flown, Part};
pub use event::{Event, EventCheck};
pub use finding::{Evidence, Fault, Finding, ReflyFigure, ReflyOut, ReflyPath};
pub use found::{Find, FoundAttempt, FoundHead, FoundPart};
pub use recorded::{RecordingOut, sensors};
pub use track::Track;

use attempt::attempt;
use event::{check, event};

use crate::brief::SAFETY_SENTENCE;
use crate::number::{rounded, seconds};
use assess::debrief::Debrief as EngineDebrief;
use base::factors::M_PER_FT;
use motion::Motion;
use schemars::JsonSchema;
use serde::Serialize;

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

fn strip(motion: &Motion) -> Option<Strip> {
    let height = motion.height_m.as_ref()?;
    let step = motion.time_s.len().div_ceil(STRIP_POINTS_MAX).max(1);
    let thin = |values: &[f64]| values.iter().step_by(step).copied().collect::<Vec<_>>();
    Some(Strip {
        time_s: thin(&motion.time_s).into_iter().map(seconds).collect(),
        height_ft: thin(&height.value).into_iter().map(|m| rounded(m / M_PER_FT, 1)).collect(),
    })
}
