//! Places of a signal past its limit, joined into events.

use std::ops::RangeInclusive;

use base::numerics::statistics::SIGMAS_OF_95_PERCENT;

use super::{EventKind, SafetyEvent};
use crate::attempt::Estimate;
use crate::trace::Trace;

/// Past it again within this time is the same event, s.
const JOINED_S: f64 = 2.0;

/// Which way a limit is passed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Side {
    Above,
    Below,
}

/// A signal with its limit.
#[derive(Debug, Clone)]
pub(super) struct Signal {
    pub(super) kind: EventKind,
    pub(super) values: Vec<Estimate>,
    pub(super) limit: f64,
    pub(super) unit: &'static str,
    pub(super) side: Side,
    pub(super) source: String,
}

impl Signal {
    /// How far past the limit; not a number, an endless one, and one without a band are not past.
    fn past(&self, index: usize) -> Option<f64> {
        let Estimate { value, sigma } = self.values[index];
        let sign = if self.side == Side::Above { 1.0 } else { -1.0 };
        let past = sign * (value - self.limit);
        (past > 0.0 && value.is_finite() && sigma.is_finite()).then_some(past)
    }
    fn event(&self, time_s: &[f64], (first, last): (usize, usize)) -> SafetyEvent {
        let past = |i: &usize| self.past(*i).unwrap_or(f64::NEG_INFINITY);
        let surely = |i: &usize| past(i) - SIGMAS_OF_95_PERCENT * self.values[*i].sigma;
        let farthest = |key: &dyn Fn(&usize) -> f64| {
            (first..=last).max_by(|a, b| key(a).total_cmp(&key(b)).then(b.cmp(a))).unwrap_or(first)
        };
        let surest = farthest(&surely);
        let sure = surely(&surest) > 0.0;
        // Where one place is surely past, the farthest of the sure ones is told; else the most likely worst.
        let worst = if sure {
            farthest(&|i| if surely(i) > 0.0 { past(i) } else { f64::NEG_INFINITY })
        } else {
            farthest(&past)
        };
        SafetyEvent {
            kind: self.kind,
            begin_s: time_s[first],
            end_s: time_s[last],
            worst: self.values[worst],
            worst_s: time_s[worst],
            limit: self.limit,
            unit: self.unit,
            sure,
            source: self.source.clone(),
            attempt: None,
            expected: false,
        }
    }
}

/// The events of a signal over the trace.
pub(super) fn events(trace: &Trace, signal: &Signal) -> Vec<SafetyEvent> {
    events_at(&trace.time_s, Some(&trace.usable), signal)
}

/// The events of a signal at its own times; where it is not usable there is none.
pub(super) fn events_at(
    time_s: &[f64],
    usable: Option<&[bool]>,
    signal: &Signal,
) -> Vec<SafetyEvent> {
    let mut spans: Vec<(usize, usize)> = Vec::new();
    for i in 0..time_s.len().min(signal.values.len()) {
        if usable.is_some_and(|usable| !usable[i]) || signal.past(i).is_none() {
            continue;
        }
        match spans.last_mut() {
            Some(span) if time_s[i] - time_s[span.1] <= JOINED_S => span.1 = i,
            _ => spans.push((i, i)),
        }
    }
    spans.into_iter().map(|span| signal.event(time_s, span)).collect()
}

/// All that is past within places as one event; `None` when nothing is.
pub(super) fn worst(
    trace: &Trace,
    signal: &Signal,
    places: RangeInclusive<usize>,
) -> Option<SafetyEvent> {
    let past = |i: &usize| signal.past(*i).is_some();
    let first = places.clone().find(past)?;
    let last = places.rev().find(past)?;
    Some(signal.event(&trace.time_s, (first, last)))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn signal(values: &[(f64, f64)], limit: f64, side: Side) -> Signal {
        let values = values.iter().map(|&(value, sigma)| Estimate { value, sigma }).collect();
        let source = "limit load".into();
        Signal { kind: EventKind::LoadHigh, values, limit, unit: "g", side, source }
    }

    fn told(values: &[(f64, f64)], limit: f64, side: Side) -> Vec<SafetyEvent> {
        let time_s: Vec<f64> = (0..values.len()).map(|i| i as f64).collect();
        events_at(&time_s, None, &signal(values, limit, side))
    }

    #[test]
    fn prop_a_limit_is_told_with_how_sure_it_was_passed() {
        assert!(told(&[(3.7, 0.2), (1.0, 0.1)], 3.8, Side::Above).is_empty());
        let perhaps = told(&[(3.9, 0.2)], 3.8, Side::Above);
        assert_eq!(perhaps[0].words(), "load factor 3.90 ± 0.39 g, perhaps past 3.80: limit load");
        assert!(told(&[(4.4, 0.2)], 3.8, Side::Above)[0].sure);
        assert!(told(&[(4.4, f64::NAN), (f64::NAN, 0.1)], 3.8, Side::Above).is_empty());
        let below = told(&[(-2.0, 0.1)], -1.5, Side::Below);
        assert!(below[0].words().contains(", past -1.50"));
    }

    #[test]
    fn prop_what_is_past_within_two_seconds_is_one_event() {
        let (over, under) = ((4.5, 0.1), (1.0, 0.1));
        let found = told(&[over, under, (4.8, 0.1), under, under, under, over], 3.8, Side::Above);
        let spans: Vec<[f64; 3]> = found.iter().map(|e| [e.begin_s, e.end_s, e.worst_s]).collect();
        assert_eq!(spans, [[0.0, 2.0, 2.0], [6.0, 6.0, 6.0]]);
        // Farther out but unsure: the sure one is told.
        let found = told(&[(4.5, 0.1), (5.0, 2.0)], 3.8, Side::Above);
        assert!(found[0].sure && (found[0].worst.value - 4.5).abs() < 1e-9);
    }
}
