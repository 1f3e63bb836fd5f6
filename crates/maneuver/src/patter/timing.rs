//! Sentences in time: when each begins, what it takes, what there is.

use base::factors::RAD_PER_DEG;
use flight::trajectory::FlightSample;

use super::fill::{Values, fill};
use super::{BREATH_S, Said, Script, ScriptLine, SecondsFit, Sheet, SpeakingRate, Voice};
use crate::definition::When;
use crate::reference::{ReferenceFlight, ReferencePart};

/// A part that ends this close before a place has reached it, degrees: rounding of a solution.
const CLOSE_DEG: f64 = 1.0;

/// The words of a script for one flight, in one voice, at a speaking rate.
///
/// Work and memory grow with the lines times the samples of a part.
#[must_use]
pub fn sheet(flight: &ReferenceFlight, script: &Script, voice: Voice, rate: SpeakingRate) -> Sheet {
    let begins: Vec<Option<f64>> = script.lines.iter().map(|line| begin_s(flight, line)).collect();
    let mut lines: Vec<Said> = script
        .lines
        .iter()
        .enumerate()
        .filter(|(_, line)| !is_outside(flight, line))
        .map(|(index, line)| {
            let window_s = begins[index].and_then(|at_s| window_s(&begins, at_s));
            said(flight, line, (voice, rate), (begins[index], window_s))
        })
        .collect();
    lines.extend(outside(flight, script, voice, rate));
    lines.sort_by(|a, b| a.time_s.total_cmp(&b.time_s));
    Sheet { direction: flight.direction, voice, rate, lines }
}

/// Whether a sentence is said before the flight or after it, where nothing hurries.
fn is_outside(flight: &ReferenceFlight, line: &ScriptLine) -> bool {
    match line.when {
        When::Before => line.part == 0,
        When::At(_) => false,
        When::After => line.part + 1 >= flight.parts.len(),
    }
}

/// When a sentence within the flight begins; `None` outside it and for a place that is never reached.
fn begin_s(flight: &ReferenceFlight, line: &ScriptLine) -> Option<f64> {
    if is_outside(flight, line) {
        return None;
    }
    let part = flight.parts.get(line.part)?;
    let samples = flight.part_samples(part);
    match line.when {
        When::Before => samples.first().map(|sample| sample.time_s),
        When::At(progress_deg) => at(samples, progress_deg).map(|sample| sample.time_s),
        When::After => samples.last().map(|sample| sample.time_s),
    }
}

/// State where a part first comes to a progress, linear between samples.
fn at(samples: &[FlightSample], progress_deg: f64) -> Option<FlightSample> {
    let progress_rad = progress_deg * RAD_PER_DEG;
    let Some(after) = samples.iter().position(|sample| sample.progress_rad >= progress_rad) else {
        let close =
            |last: &&FlightSample| progress_rad - last.progress_rad <= CLOSE_DEG * RAD_PER_DEG;
        return samples.last().filter(close).copied();
    };
    let (b, a) = (&samples[after], after.checked_sub(1).map(|before| &samples[before]));
    let mixed = a.map_or(*b, |a| {
        let passed = (progress_rad - a.progress_rad) / (b.progress_rad - a.progress_rad);
        a.mixed(b, passed.clamp(0.0, 1.0))
    });
    Some(mixed)
}

/// Seconds from a begin to the next later one.
fn window_s(begins: &[Option<f64>], at_s: f64) -> Option<f64> {
    let later = begins.iter().flatten().filter(|begin| **begin > at_s);
    later.copied().min_by(f64::total_cmp).map(|next| next - at_s)
}

/// One sentence within the flight.
fn said(
    flight: &ReferenceFlight,
    line: &ScriptLine,
    (voice, rate): (Voice, SpeakingRate),
    (begin_s, window_s): (Option<f64>, Option<f64>),
) -> Said {
    let full = filled(flight, line, line.text(voice));
    let full_s = rate.seconds(super::spoken_words(&full));
    let said = |text: String, fit| {
        let seconds = rate.seconds(super::spoken_words(&text));
        let time_s = begin_s.unwrap_or_else(|| end_s(flight, line.part));
        Said { part: line.part, when: line.when, time_s, seconds, window_s, text, fit }
    };
    if begin_s.is_none() {
        return said(full, SecondsFit::NeverReached);
    }
    let fits = |seconds: f64| window_s.is_none_or(|window_s| seconds + BREATH_S <= window_s);
    if fits(full_s) {
        return said(full, SecondsFit::Full);
    }
    let short = filled(flight, line, &line.short);
    let short_s = rate.seconds(super::spoken_words(&short));
    if fits(short_s) {
        said(short, SecondsFit::Short { full_s })
    } else {
        said(short, SecondsFit::TooLong { full_s })
    }
}

fn end_s(flight: &ReferenceFlight, part: usize) -> f64 {
    let part = flight.parts.get(part).or(flight.parts.last());
    part.map_or(0.0, |part| flight.samples[part.last].time_s)
}

/// The sentences before and after the flight, one after the other.
fn outside(
    flight: &ReferenceFlight,
    script: &Script,
    voice: Voice,
    rate: SpeakingRate,
) -> Vec<Said> {
    let make = |line: &ScriptLine| {
        let text = filled(flight, line, line.text(voice));
        let seconds = rate.seconds(super::spoken_words(&text));
        let (part, when, fit) = (line.part, line.when, SecondsFit::Full);
        Said { part, when, time_s: 0.0, seconds, window_s: None, text, fit }
    };
    let of = |before: bool| {
        let lines = script.lines.iter().filter(|line| is_outside(flight, line));
        lines.filter(move |line| (line.when == When::Before) == before).map(make)
    };
    let mut before: Vec<Said> = of(true).collect();
    let mut time_s = 0.0;
    for line in before.iter_mut().rev() {
        time_s -= line.seconds + BREATH_S;
        line.time_s = time_s;
    }
    let mut time_s = last_word_s(flight, script, voice, rate);
    for mut line in of(false) {
        line.time_s = time_s;
        time_s += line.seconds + BREATH_S;
        before.push(line);
    }
    before
}

/// When the flight has ended and the last sentence within it is said.
fn last_word_s(flight: &ReferenceFlight, script: &Script, voice: Voice, rate: SpeakingRate) -> f64 {
    let end_s = flight.samples.last().map_or(0.0, |sample| sample.time_s);
    let last = script
        .lines
        .iter()
        .filter_map(|line| Some((begin_s(flight, line)?, line)))
        .max_by(|a, b| a.0.total_cmp(&b.0));
    last.map_or(end_s, |(begin_s, line)| {
        let words = super::spoken_words(&filled(flight, line, line.text(voice)));
        end_s.max(begin_s + rate.seconds(words) + BREATH_S)
    })
}

fn filled(flight: &ReferenceFlight, line: &ScriptLine, text: &str) -> String {
    let part: Option<&ReferencePart> = flight.parts.get(line.part).or(flight.parts.last());
    let Some(part) = part else { return text.into() };
    let samples = flight.part_samples(part);
    // What is quoted for the end is what the flight ends with: progress may come to its last value a little before.
    let end_rad = (line.value_at_deg + CLOSE_DEG) * RAD_PER_DEG;
    let last = samples.last().filter(|last| last.progress_rad <= end_rad).copied();
    let Some(sample) = last.or_else(|| at(samples, line.value_at_deg)) else {
        return text.into();
    };
    let entry_m = flight.samples.first().map_or(0.0, |sample| sample.height_m);
    fill(text, &Values { sample: &sample, entry_m, direction: part.direction })
}
