//! The sensors of one phone, each a table of its own at its own rate: one recording. Which sensor a table holds stands in
//! the name of its file.

use super::Entry;
use crate::error::ReadError;
use crate::formats::csv::sensors::SensorHint;
use crate::formats::{ReadOptions, best, csv};
use crate::normal::assemble::Draft;
use crate::normal::{Note, NoteKind, Recording};

/// The sensor whose table a file is, by its name and the first of its bytes.
pub(super) fn sensor(name: &str, bytes: &[u8]) -> Option<SensorHint> {
    let hint = SensorHint::of_name(name)?;
    let table = match best(bytes) {
        Some((_, format)) => format.key == csv::FORMAT.key,
        // two columns of which one is called x: nothing but the name says what it is
        None => {
            let line = bytes.split(|&byte| byte == b'\n').next().unwrap_or(bytes);
            let text = line.iter().all(|&byte| byte >= b' ' || byte == b'\t' || byte == b'\r');
            text && line.iter().any(|byte| b",;\t".contains(byte))
        }
    };
    table.then_some(hint)
}

/// The sensor of each file, if this is a set of tables of sensors: at least two different ones, and nothing else.
pub(super) fn sensors(entries: &[Entry]) -> Option<Vec<SensorHint>> {
    let hint = |entry: &Entry| sensor(&entry.name, &entry.bytes);
    let hints: Vec<SensorHint> = entries.iter().map(hint).collect::<Option<_>>()?;
    hints.iter().any(|hint| *hint != hints[0]).then_some(hints)
}

/// Reads each table on its own clock and joins them on the common one.
///
/// # Errors
/// What the first table's reader found, when no table can be read.
pub(super) fn read_together(
    entries: &[Entry],
    sensors: &[SensorHint],
    options: &ReadOptions,
) -> Result<Recording, ReadError> {
    let mut joined = Draft::new(csv::FORMAT.key, &options.name);
    let mut parts: Vec<(&str, Draft)> = Vec::new();
    let mut first_error = None;
    for (at, (entry, hint)) in entries.iter().zip(sensors).enumerate() {
        if let Some(other) = better(entries, sensors, at) {
            let text = format!("{}: the same sensor as {}", entry.name, entries[other].name);
            joined.note(NoteKind::LeftOut, text);
            continue;
        }
        // units and maps that the user gave for one table of many name its columns: each takes those it has
        let own = ReadOptions { sensor_hint: Some(*hint), one_of_several: true, ..options.clone() };
        match csv::read_draft(&entry.bytes, &own) {
            Ok(draft) => parts.push((&entry.name, draft)),
            Err(error) => {
                joined.note(NoteKind::LeftOut, format!("{}: not read: {error}", entry.name));
                first_error.get_or_insert(error);
            }
        }
    }
    if parts.is_empty() {
        return Err(first_error.unwrap_or(ReadError::Unsupported {
            what: "the archive holds no table of a sensor".into(),
            hint: "export the recording again as CSV".into(),
        }));
    }
    joined.epoch = parts.iter().any(|(_, part)| part.epoch);
    for (name, part) in parts {
        join(&mut joined, name, part);
    }
    joined.finish()
}

/// Another file of the same sensor that is the better one: raw values are the worse, else the first counts.
fn better(entries: &[Entry], sensors: &[SensorHint], at: usize) -> Option<usize> {
    let rank = |index: usize| {
        let name = entries[index].name.to_lowercase();
        (name.contains("uncalibrated") || name.contains("raw"), index)
    };
    (0..entries.len())
        .filter(|&other| sensors[other] == sensors[at] && rank(other) < rank(at))
        .min()
}

fn join(joined: &mut Draft, name: &str, part: Draft) {
    if part.epoch != joined.epoch {
        let text = format!("{name}: its times are not on the clock of the other files; not used");
        joined.note(NoteKind::LeftOut, text);
        return;
    }
    let prefixed = part
        .notes
        .into_iter()
        .map(|note| Note { kind: note.kind, text: format!("{name}: {}", note.text) });
    // a table of one sensor has no positions, which is no fault of the recording
    joined
        .notes
        .extend(prefixed.filter(|note| !note.text.contains("no positions in this recording")));
    if joined.fixes.is_empty() {
        joined.fixes = part.fixes;
        joined.height_datum = part.height_datum;
        joined.breaks = part.breaks;
    }
    for series in part.series {
        let known = joined.series.iter().any(|known| known.quantity == series.quantity);
        if known {
            let text = format!("{name}: {} is in another file too; not used", series.origin);
            joined.note(NoteKind::LeftOut, text);
        } else {
            joined.series.push(series);
        }
    }
}
