//! Limits passed anywhere in the flight.

use crate::number::{Estimate, maybe, rounded, seconds};
use assess::events::{EventCheck as EngineCheck, SafetyEvent};
use schemars::JsonSchema;
use serde::Serialize;

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

pub(super) fn event(event: &SafetyEvent) -> Event {
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

pub(super) fn check(check: &EngineCheck) -> EventCheck {
    EventCheck {
        kind: check.kind.key(),
        checked: check.why_not.is_none(),
        why_not: check.why_not.clone(),
    }
}
