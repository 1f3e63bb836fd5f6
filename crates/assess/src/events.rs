//! Safety events: limits of the airplane and rules of the air that were passed, or may have been, anywhere in the flight.
//!
//! Each kind is a signal over the trace, a limit, and the side that is past it. Places past it that follow each other within two
//! seconds are one event; it is sure when the whole 95 % band of its worst value is past, else perhaps. What could not be looked
//! for is said, with the reason. Linear in the length of the recording.

mod kinds;
mod scan;

use std::ops::RangeInclusive;

use base::numerics::statistics::SIGMAS_OF_95_PERCENT;
use flight::airplane::Airplane;
use recording::Recording;

use crate::attempt::{Attempt, Estimate};
use crate::trace::Trace;

pub use kinds::EventKind;

/// What is looked for besides the limits of the airplane.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Watch {
    /// Nearer to the stall than this is an event, kt.
    pub stall_margin_kt: f64,
    /// Greatest engine speed, rpm, when told.
    pub engine_speed_max_rpm: Option<f64>,
}

impl Default for Watch {
    /// Three knots over the stall (common practice, no source); the engine speed is not watched.
    fn default() -> Self {
        Self { stall_margin_kt: 3.0, engine_speed_max_rpm: None }
    }
}

/// A limit passed, or perhaps passed.
#[derive(Debug, Clone, PartialEq)]
pub struct SafetyEvent {
    /// What.
    pub kind: EventKind,
    /// First moment past the limit, s.
    pub begin_s: f64,
    /// Last moment past it, s.
    pub end_s: f64,
    /// The value farthest past it, in `unit`.
    pub worst: Estimate,
    /// When that was, s.
    pub worst_s: f64,
    /// The limit, in `unit`.
    pub limit: f64,
    /// Unit.
    pub unit: &'static str,
    /// Whether the whole 95 % band of the worst value is past it.
    pub sure: bool,
    /// Where the limit is from.
    pub source: String,
    /// The attempt during which it happened: its place in the list.
    pub attempt: Option<usize>,
    /// Whether the figure flown is meant to come there: the stall of a stall.
    pub expected: bool,
}

impl SafetyEvent {
    /// Whether it is one to report before the next flight: a limit of the airplane was passed.
    #[must_use]
    pub const fn is_exceedance(&self) -> bool {
        self.kind.is_exceedance()
    }
    /// In words, with numbers: "load factor 3.90 ± 0.39 g, perhaps past 3.80: limit load of the normal category".
    #[must_use]
    pub fn words(&self) -> String {
        let band = SIGMAS_OF_95_PERCENT * self.worst.sigma;
        let sure = if self.sure { "past" } else { "perhaps past" };
        let (value, limit, unit, source) = (self.worst.value, self.limit, self.unit, &self.source);
        let decimals = match unit {
            "g" => 2,
            "deg" => 1,
            _ => 0,
        };
        let what = self.kind.what();
        format!(
            "{what} {value:.decimals$} ± {band:.decimals$} {unit}, {sure} {limit:.decimals$}: {source}"
        )
    }
}

/// Whether a kind of event could be looked for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct EventCheck {
    /// The kind.
    pub kind: EventKind,
    /// Why it could not be looked for; `None` when it was.
    pub why_not: Option<String>,
}

/// The events of a flight, in time order, and what was looked for.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Events {
    /// In time order.
    pub events: Vec<SafetyEvent>,
    /// Every kind, in the order of the list.
    pub checks: Vec<EventCheck>,
}

/// What the events of a flight are looked for in.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Flight<'a> {
    pub(crate) trace: &'a Trace,
    pub(crate) recording: &'a Recording,
    pub(crate) airplane: Option<&'a Airplane>,
    pub(crate) ground_ft: Option<f64>,
    pub(crate) watch: &'a Watch,
}

/// Looks for every kind of event in the whole flight; the floors are those of the attempts.
pub(crate) fn find(flight: &Flight<'_>, attempts: &[Attempt]) -> Events {
    let mut out = Events::default();
    for kind in EventKind::ALL {
        let found = kinds::look(*kind, flight, attempts);
        let why_not = found.as_ref().err().cloned();
        out.checks.push(EventCheck { kind: *kind, why_not });
        out.events.extend(found.unwrap_or_default());
    }
    for event in &mut out.events {
        let inside = |attempt: &Attempt| {
            attempt.start_s <= event.worst_s && event.worst_s <= attempt.end_s + AFTER_S
        };
        event.attempt = event.attempt.or_else(|| attempts.iter().position(inside));
        event.expected =
            event.attempt.is_some_and(|index| event.kind.belongs_to(attempts[index].maneuver));
    }
    out.events.sort_by(|a, b| a.begin_s.total_cmp(&b.begin_s));
    out
}

/// A recovery belongs to its attempt, s.
const AFTER_S: f64 = 3.0;

/// What was passed within places, as lines for the notes of an attempt: "limit: load factor 3.90 ...".
pub(crate) fn lines(flight: &Flight<'_>, places: RangeInclusive<usize>) -> Vec<String> {
    let of_attempts = [
        EventKind::NeverExceed,
        EventKind::LoadHigh,
        EventKind::LoadLow,
        EventKind::StallMargin,
        EventKind::Bank,
        EventKind::Pitch,
    ];
    let worst = |kind: EventKind| {
        let signal = kinds::signal(kind, flight).ok()?;
        scan::worst(flight.trace, &signal, places.clone())
    };
    of_attempts
        .into_iter()
        .filter_map(worst)
        .map(|event| format!("limit: {}", event.words()))
        .collect()
}
