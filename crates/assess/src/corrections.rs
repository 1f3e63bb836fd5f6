//! What the user says about the attempts found: another name, other limits, no maneuver at all, or one that was missed. A correction
//! is kept: what is measured, judged and coached is what the user named.

use crate::attempt::{probability_words, way};
use crate::find::{Found, FoundPart, Phases};
use crate::trace::{STEP_S, Trace};
use maneuver::Direction;
use maneuver::definition::{Maneuver, Progress};

/// A correction; which attempt it belongs to is told by time.
#[derive(Debug, Clone, Copy)]
pub struct Correction {
    /// A moment within the attempt, s from the first sample.
    pub at_s: f64,
    /// What the user says.
    pub says: Says,
}

/// What the user says of an attempt.
#[derive(Debug, Clone, Copy)]
pub enum Says {
    /// It was none.
    NotAManeuver,
    /// It was this, or began and ended there, or both; what is not said stays as found.
    Was {
        /// Another name.
        maneuver: Option<&'static dyn Maneuver>,
        /// Which way it, or its first half, went.
        direction: Option<Direction>,
        /// First movement, s from the first sample.
        start_s: Option<f64>,
        /// Figure finished, s from the first sample.
        end_s: Option<f64>,
    },
}

/// A correction that fits nothing.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[error("{what}")]
pub struct Misfit {
    /// Which correction, counted from nil.
    pub index: usize,
    /// What does not fit.
    pub what: String,
    /// What to do.
    pub hint: String,
}

/// An attempt belongs to a moment this close to it, s.
const NEAR_S: f64 = 3.0;
/// A recording that goes so far the other way speaks against a direction that is told, deg.
const AGAINST_DEG: f64 = 30.0;
/// The shortest attempt, s.
const SHORTEST_S: f64 = 2.0;

/// Applies every correction in turn.
pub(crate) fn apply(
    found: &mut Vec<Found>,
    trace: &Trace,
    corrections: &[Correction],
) -> Result<(), Misfit> {
    for (index, correction) in corrections.iter().enumerate() {
        let misfit = |(what, hint): (String, String)| Misfit { index, what, hint };
        one(found, trace, correction).map_err(misfit)?;
    }
    found.sort_by_key(|found| found.parts[0].start);
    Ok(())
}

type Fault = (String, String);

fn one(found: &mut Vec<Found>, trace: &Trace, correction: &Correction) -> Result<(), Fault> {
    let at_s = correction.at_s;
    let away = |found: &Found| {
        let (start_s, end_s) = span(found, trace);
        (start_s - at_s).max(at_s - end_s).max(0.0)
    };
    let nearest = (0..found.len()).min_by(|a, b| away(&found[*a]).total_cmp(&away(&found[*b])));
    let here = nearest.filter(|index| away(&found[*index]) <= NEAR_S);
    match (correction.says, here) {
        (Says::NotAManeuver, Some(index)) => {
            found.remove(index);
            Ok(())
        }
        (Says::Was { maneuver, direction, start_s, end_s }, Some(index)) => {
            let (from_s, to_s) = span(&found[index], trace);
            let limits = limits(trace, start_s.unwrap_or(from_s), end_s.unwrap_or(to_s))?;
            rename(&mut found[index], trace, maneuver, limits);
            direction.map_or(Ok(()), |direction| turn(&mut found[index], trace, direction))
        }
        (
            Says::Was {
                maneuver: Some(maneuver),
                direction,
                start_s: Some(start_s),
                end_s: Some(end_s),
            },
            None,
        ) => {
            let mut new = made(trace, maneuver, limits(trace, start_s, end_s)?);
            direction.map_or(Ok(()), |direction| turn(&mut new, trace, direction))?;
            found.push(new);
            Ok(())
        }
        (_, None) => {
            let hint = match nearest.map(|index| &found[index]) {
                Some(found) => {
                    let (start_s, end_s) = span(found, trace);
                    let way = way(found.parts[0].direction);
                    format!(
                        "the nearest is a {} ({way}) from {start_s:.0} to {end_s:.0} s; to add one that was missed give maneuver, \
                         start and end",
                        found.maneuver
                    )
                }
                None => "none was found; to add one give maneuver, start and end".into(),
            };
            Err((format!("no attempt was found at {at_s:.0} s"), hint))
        }
    }
}

fn span(found: &Found, trace: &Trace) -> (f64, f64) {
    let (first, last) = (found.parts[0], found.parts[found.parts.len() - 1]);
    (trace.time_s[first.start], trace.time_s[last.end])
}

/// Limits as places of the trace.
fn limits(trace: &Trace, start_s: f64, end_s: f64) -> Result<(usize, usize), Fault> {
    let (first_s, last_s) = (trace.time_s[0], trace.time_s[trace.len() - 1]);
    if !(end_s - start_s >= SHORTEST_S && start_s >= first_s && end_s <= last_s) {
        let what = format!("an attempt cannot last from {start_s:.1} to {end_s:.1} s");
        return Err((what, format!("give times in order between {first_s:.0} and {last_s:.0} s")));
    }
    let place = |time_s: f64| (((time_s - first_s) / STEP_S).round() as usize).min(trace.len() - 1);
    Ok((place(start_s), place(end_s)))
}

fn rename(
    found: &mut Found,
    trace: &Trace,
    maneuver: Option<&'static dyn Maneuver>,
    (start, end): (usize, usize),
) {
    let was = format!(
        "found as {} with confidence {}",
        found.maneuver,
        probability_words(found.confidence)
    );
    let named = maneuver.filter(|maneuver| maneuver.id() != found.maneuver);
    match named {
        Some(maneuver) => *found = made(trace, maneuver, (start, end)),
        None => {
            let last = found.parts.len() - 1;
            found.parts.retain(|part| part.end > start && part.start < end);
            if found.parts.len() <= last {
                found.parts.truncate(last.max(1));
            }
            let (first, last) = (0, found.parts.len() - 1);
            found.parts[first].start = start;
            found.parts[last].end = end;
            found.parts[last].level = found.parts[last].level.clamp(start, end);
        }
    }
    found.confidence = 1.0;
    found.evidence.insert(0, format!("as the user says; {was}"));
}

/// An attempt of which only name and limits are told.
fn made(trace: &Trace, maneuver: &'static dyn Maneuver, (start, end): (usize, usize)) -> Found {
    let shape = maneuver.shape();
    let progress = match shape.progress {
        Progress::Position => Progress::Turn,
        other => other,
    };
    let cuts = match shape.parts {
        2 => vec![start, reversal(trace, start, end), end],
        _ => vec![start, end],
    };
    let part = |cut: &[usize]| FoundPart {
        direction: shape.sided.then(|| side(trace, progress, cut[0], cut[1])),
        progress,
        start: cut[0],
        end: cut[1],
        level: cut[1],
        phases: match progress {
            Progress::Phase => Phases::new(&[(cut[0], 0.0), (cut[1], shape.span_deg)]),
            _ => Phases::default(),
        },
    };
    Found {
        maneuver: maneuver.id(),
        confidence: 1.0,
        evidence: vec!["as the user says".into()],
        parts: cuts.windows(2).filter(|cut| cut[1] > cut[0]).map(part).collect(),
    }
}

/// Where a figure of two halves goes the other way: where it has turned farthest from the line between begin and end.
fn reversal(trace: &Trace, start: usize, end: usize) -> usize {
    let heading = &trace.heading_deg.value;
    let line = |i: usize| {
        let share = (i - start) as f64 / (end - start).max(1) as f64;
        heading[start] + share * (heading[end] - heading[start])
    };
    let away = |i: &usize| (heading[*i] - line(*i)).abs();
    (start..=end).max_by(|a, b| away(a).total_cmp(&away(b))).unwrap_or(start)
}

/// The first part goes the way that is told, each other one as the recording shows. A way that the recording speaks against is
/// refused: what is measured is counted in the way of the part.
fn turn(found: &mut Found, trace: &Trace, direction: Direction) -> Result<(), Fault> {
    let Some(first) = found.parts.first_mut() else { return Ok(()) };
    if first.direction.is_none() {
        let what = format!("a {} goes neither way", found.maneuver);
        return Err((what, "leave the direction away".into()));
    }
    let gone_deg = gone(trace, first.progress, first.start, first.end);
    let against_deg = if direction == Direction::Left { gone_deg } else { -gone_deg };
    if against_deg > AGAINST_DEG {
        let way_gone = way(Some(direction.opposite()));
        let what = format!(
            "it cannot have gone {}: the recording goes {against_deg:.0} deg {way_gone} there",
            way(Some(direction))
        );
        return Err((what, "correct where it began and ended first".into()));
    }
    first.direction = Some(direction);
    Ok(())
}

fn side(trace: &Trace, progress: Progress, start: usize, end: usize) -> Direction {
    if gone(trace, progress, start, end) < 0.0 { Direction::Left } else { Direction::Right }
}

/// How far it turned, or rolled, right positive, deg.
fn gone(trace: &Trace, progress: Progress, start: usize, end: usize) -> f64 {
    let line = match progress {
        Progress::Roll | Progress::PitchAndRoll => &trace.rolled_deg,
        _ => &trace.heading_deg,
    };
    line.value[end] - line.value[start]
}
