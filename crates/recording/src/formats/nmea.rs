//! Logs of NMEA 0183 sentences: position and motion of a satellite receiver, heading of a compass.
//!
//! Read are RMC, GGA, GNS, GLL and ZDA, which carry a time, and VTG, HDT, HDG and HDM, which do not and are joined to the
//! epoch they stand beside, whatever the talker. What stands before the `$` of a line (a time stamp of the logger) is
//! skipped. A sentence whose checksum fails or that breaks off is left out and told with its line. Memory: one epoch for
//! each time of day, whatever the number of sentences.
//!
//! * `sentence`: a line to fields. `epoch`: sentences of one time joined. `beside`: sentences without a time.
//!
//! Sentences and fields: NMEA 0183 (IEC 61162-1), approved sentences.

mod beside;
mod epoch;
mod sentence;
#[cfg(test)]
mod tests;

use crate::error::{Place, ReadError};
use crate::formats::{Format, ReadOptions};
use crate::normal::assemble::{Draft, counted, lines_text};
use crate::normal::{HeightDatum, NoteKind, Recording};
use beside::Beside;
use epoch::{Epoch, Epochs};
use sentence::{Broken, Sentence};
use std::collections::BTreeMap;

/// The entry of the table of formats.
pub const FORMAT: Format = Format {
    key: KEY,
    title: "NMEA 0183 sentences",
    endings: &["nmea", "log", "txt"],
    score,
    read,
};

const KEY: &str = "nmea";
/// Room is made for so many at once at most: eleven days at one a second.
const EPOCHS_EXPECTED_MOST: usize = 1 << 20;
/// After so many epochs it is known how many the rest of the file will hold, about.
const EPOCHS_LOOKED_AT: usize = 64;
/// Dilution of precision beyond which a position is poor (common practice, no source).
const DILUTION_POOR: f64 = 5.0;

fn score(head: &[u8]) -> u8 {
    // the last line of the head may be cut
    let lines = || head.split(|&byte| byte == b'\n').take(100);
    let sentences =
        lines().filter_map(sentence::find).filter(|s| s.checksum_holds() != Some(false));
    let (mut checked, mut plain) = (0, 0);
    for sentence in sentences {
        match sentence.checksum_holds() {
            Some(_) => checked += 1,
            None => plain += 1,
        }
    }
    match (checked, plain) {
        (2.., _) => 240,
        (1, _) => 180,
        (0, 2..) => 150,
        (0, 1) => 60,
        _ => faulty_only(head),
    }
}

/// Sentences all of whose checksums fail are still of this format: the reader says so.
fn faulty_only(head: &[u8]) -> u8 {
    let any = head.split(|&byte| byte == b'\n').take(20).filter_map(sentence::find).next();
    if any.is_some() { 40 } else { 0 }
}

/// What is collected line by line.
#[derive(Debug, Default)]
struct State {
    epochs: Epochs,
    beside: Beside,
    sentences: usize,
    checksums: bool,
    faulty: Vec<u64>,
    broken: Vec<(u64, String)>,
    not_read: BTreeMap<String, usize>,
    /// Lines that hold none.
    no_sentence: Vec<u64>,
}

/// Reads the whole file. Linear in its size.
fn read(bytes: &[u8], options: &ReadOptions) -> Result<Recording, ReadError> {
    let mut state = State::default();
    let mut read_bytes = 0;
    let mut expected = false;
    for (index, line) in bytes.split(|&byte| byte == b'\n').enumerate() {
        read_bytes += line.len() + 1;
        if !expected && state.epochs.count() == EPOCHS_LOOKED_AT {
            expected = true;
            let rest = bytes.len() / read_bytes * EPOCHS_LOOKED_AT * 17 / 16;
            state.epochs.reserve(rest.min(EPOCHS_EXPECTED_MOST));
        }
        match sentence::find(line) {
            Some(sentence) => take(&sentence, index as u64 + 1, &mut state),
            None if sentence::is_other(line) => {}
            None => state.no_sentence.push(index as u64 + 1),
        }
    }
    refuse(&state)?;
    let mut draft = Draft::new(KEY, &options.name);
    tell(&state, &mut draft);
    let mut epochs = state.epochs.finish(&mut draft);
    state.beside.join(&mut epochs, &mut draft);
    epoch::make_fixes(&epochs, &mut draft);
    tell_quality(&epochs, &mut draft);
    drop(epochs);
    if draft.fixes.is_empty() && draft.series.is_empty() {
        return Err(malformed(
            format!("{} sentences, and none with a valid position", state.sentences),
            0,
            "the receiver had no fix while this was logged; record with a view of the sky",
        ));
    }
    draft.finish()
}

fn take(sentence: &Sentence<'_>, line: u64, state: &mut State) {
    state.sentences += 1;
    match sentence.checksum_holds() {
        Some(true) => state.checksums = true,
        Some(false) => return state.faulty.push(line),
        // where the file writes checksums, a sentence without one was cut
        None if state.checksums => return state.faulty.push(line),
        None => {}
    }
    let result: Result<(), Broken> = match sentence.kind {
        b"RMC" => epoch::position_minimum(sentence, line, &mut state.epochs),
        b"GGA" => epoch::fix_data(sentence, line, &mut state.epochs),
        b"GNS" => epoch::fix_data_of_systems(sentence, line, &mut state.epochs),
        b"GLL" => epoch::position_only(sentence, line, &mut state.epochs),
        b"ZDA" => epoch::date_only(sentence, line, &mut state.epochs),
        b"VTG" => state.beside.course_and_speed(sentence, state.epochs.count()),
        b"HDT" | b"HDG" | b"HDM" => state.beside.heading(sentence, state.epochs.count()),
        // satellites in view and in use, and messages: no part of a motion
        b"GSV" | b"GSA" | b"TXT" => Ok(()),
        kind => {
            let kind = String::from_utf8_lossy(kind).into_owned();
            *state.not_read.entry(kind).or_default() += 1;
            Ok(())
        }
    };
    if let Err(reason) = result {
        state.broken.push((line, reason));
    }
}

fn refuse(state: &State) -> Result<(), ReadError> {
    if state.sentences == 0 {
        return Err(malformed(
            "no line holds a sentence".into(),
            1,
            "sentences begin with $ and name their kind in five letters, like $GPRMC",
        ));
    }
    let bad = state.faulty.len() + state.broken.len();
    if bad * 2 > state.sentences {
        let first =
            state.faulty.first().into_iter().chain(state.broken.iter().map(|(line, _)| line));
        return Err(malformed(
            format!(
                "{} of {} sentences fail their checksum and {} are broken",
                state.faulty.len(),
                state.sentences,
                state.broken.len()
            ),
            first.min().copied().unwrap_or(0),
            "nothing says that the rest is right: look at the cable or speed of the line, and record again",
        ));
    }
    Ok(())
}

fn tell(state: &State, draft: &mut Draft) {
    if !state.faulty.is_empty() {
        let text = format!(
            "{} with a wrong or missing checksum left out, {}",
            counted(state.faulty.len(), "sentence", "sentences"),
            lines_text(&state.faulty)
        );
        draft.note(NoteKind::LeftOut, text);
    }
    if let Some((line, reason)) = state.broken.first() {
        let text = format!(
            "{} left out, first at line {line}: {reason}",
            counted(state.broken.len(), "broken sentence", "broken sentences")
        );
        draft.note(NoteKind::LeftOut, text);
    }
    if !state.no_sentence.is_empty() {
        let text = format!(
            "{} without a sentence left out, {}",
            counted(state.no_sentence.len(), "line", "lines"),
            lines_text(&state.no_sentence)
        );
        draft.note(NoteKind::LeftOut, text);
    }
    if !state.not_read.is_empty() {
        let each = state.not_read.iter().take(12).map(|(kind, count)| format!("{kind} ({count})"));
        let list = each.collect::<Vec<_>>().join(", ");
        draft.note(NoteKind::LeftOut, format!("kinds of sentences not read: {list}"));
    }
}

fn tell_quality(epochs: &[Epoch], draft: &mut Draft) {
    let count = |of: fn(&Epoch) -> bool| epochs.iter().filter(|epoch| of(epoch)).count();
    let void = count(|epoch| epoch.void);
    if void > 0 {
        let text = format!("{void} of {} epochs without a valid fix left out", epochs.len());
        draft.note(NoteKind::Missing, text);
    }
    let estimated = count(|epoch| epoch.estimated);
    if estimated > 0 {
        let text = format!(
            "{estimated} positions are estimated, set by hand or simulated by the receiver's own word, and left out"
        );
        draft.note(NoteKind::LeftOut, text);
    }
    let poor = count(|epoch| epoch.usable() && epoch.dilution.is_some_and(|d| d > DILUTION_POOR));
    if poor > 0 {
        let text =
            format!("{poor} fixes with a horizontal dilution of precision over {DILUTION_POOR}");
        draft.note(NoteKind::Odd, text);
    }
    let heights = epochs.iter().filter(|epoch| epoch.usable() && epoch.height_m.is_some());
    let separated = heights.clone().filter(|epoch| epoch.separation_m.is_some_and(|m| m != 0.0));
    if separated.count() > 0 {
        draft.height_datum = HeightDatum::MeanSeaLevel;
    } else if heights.count() > 0 {
        draft.height_datum = HeightDatum::NotStated;
        draft.note(
            NoteKind::Assumed,
            "the height of the geoid is not given or zero throughout: heights may be above sea level or above the ellipsoid",
        );
    }
}

fn malformed(what: String, line: u64, hint: &str) -> ReadError {
    ReadError::Malformed {
        format: KEY,
        what,
        place: Place { line, byte: None },
        hint: hint.to_owned(),
    }
}
