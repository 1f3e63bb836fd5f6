//! Zip archives and gzip streams: opened by content, within limits, to a list of named files.
//!
//! What a header declares about sizes is not believed: bytes are counted as they come out. Files that no format knows are
//! passed over after their first bytes. An archive of one recording is that recording; of the sensors of one phone it is
//! one recording (`phone`); of several recordings it is a question to the user.

pub(crate) mod phone;
#[cfg(test)]
mod tests;

use super::csv::sensors::SensorHint;
use super::{ReadOptions, best, read_content};
use crate::error::{Place, ReadError};
use crate::normal::{Note, NoteKind, Recording};
use std::io::{Cursor, Read};

/// Most that comes out of one file, bytes, nested archives counted together.
const SIZE_MOST: u64 = 256 << 20;
/// From here on the ratio counts, bytes.
const RATIO_FREE: u64 = 8 << 20;
/// More bytes out for each byte in are a bomb: tables of flights pack to a tenth or a hundredth.
const RATIO_MOST: u64 = 200;
/// Most files of an archive.
const ENTRIES_MOST: usize = 2000;
/// Archives in archives.
const DEPTH_MOST: usize = 3;
/// As much of a file is opened to see whether a format knows it.
const HEAD_BYTES: u64 = 8192;
/// Looks less like a recording than this: read only when nothing else is there.
const SCORE_LEAST: u8 = 100;

/// A file out of an archive.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Entry {
    /// As the archive names it; of a gzip stream, the name of the file.
    pub name: String,
    /// Its content.
    pub bytes: Vec<u8>,
}

/// What was found in a container.
#[derive(Debug, Default)]
struct Found {
    entries: Vec<Entry>,
    /// Names of files that no format knows.
    passed_over: Vec<String>,
    /// Bytes that came out.
    out: u64,
}

enum Kind {
    Gzip,
    Zip,
}

fn kind(bytes: &[u8]) -> Option<Kind> {
    match bytes {
        [0x1f, 0x8b, 8, ..] => Some(Kind::Gzip),
        [b'P', b'K', 3, 4, ..] | [b'P', b'K', 5, 6, ..] => Some(Kind::Zip),
        _ => None,
    }
}

/// Whether the content is one that [`open`] opens.
#[must_use]
pub fn is_container(bytes: &[u8]) -> bool {
    kind(bytes).is_some()
}

/// The files of a zip archive or gzip stream that a format may know, nested archives opened.
///
/// # Errors
/// Malformed when it is damaged, Limit when it is too large, too deep, or a bomb, Unsupported when it is encrypted or
/// packed in a way that is not read.
pub fn open(bytes: &[u8], name: &str) -> Result<Vec<Entry>, ReadError> {
    let mut found = Found::default();
    unpack(bytes, name, 0, &mut found)?;
    Ok(found.entries)
}

/// Reads the recording in a container.
pub(super) fn read(bytes: &[u8], options: &ReadOptions) -> Result<Recording, ReadError> {
    let mut found = Found::default();
    unpack(bytes, &options.name, 0, &mut found)?;
    choose(found, options)
}

fn unpack(bytes: &[u8], name: &str, depth: usize, found: &mut Found) -> Result<(), ReadError> {
    if depth >= DEPTH_MOST {
        return Err(limit(format!("archives nested more than {DEPTH_MOST} deep"), name));
    }
    match kind(bytes) {
        Some(Kind::Gzip) => {
            let inner = name.strip_suffix(".gz").unwrap_or(name).to_owned();
            let stream = flate2::read::MultiGzDecoder::new(bytes);
            take(stream, inner, bytes.len() as u64, depth, found)
        }
        Some(Kind::Zip) => unzip(bytes, name, depth, found),
        None => Ok(()),
    }
}

fn unzip(bytes: &[u8], name: &str, depth: usize, found: &mut Found) -> Result<(), ReadError> {
    let mut archive = zip::ZipArchive::new(Cursor::new(bytes))
        .map_err(|error| damaged(name, &error.to_string()))?;
    if archive.len() > ENTRIES_MOST {
        return Err(limit(format!("an archive of more than {ENTRIES_MOST} files"), name));
    }
    for index in 0..archive.len() {
        let file = archive.by_index(index).map_err(|error| match error {
            zip::result::ZipError::UnsupportedArchive(why) => ReadError::Unsupported {
                what: format!("{name}: file {} of the archive cannot be opened: {why}", index + 1),
                hint: "unpack the archive and bring the recording itself, without a password"
                    .into(),
            },
            zip::result::ZipError::CompressionMethodNotSupported(method) => {
                ReadError::Unsupported {
                    what: format!("{name}: file {} is packed by method {method}", index + 1),
                    hint: "unpack the archive and bring the recording itself".into(),
                }
            }
            other => damaged(name, &other.to_string()),
        })?;
        let entry = String::from_utf8_lossy(file.name_raw()).into_owned();
        if file.is_dir() || hidden(&entry) {
            continue;
        }
        let packed = file.compressed_size();
        take(file, entry, packed, depth, found)?;
    }
    Ok(())
}

/// Files that systems put beside the user's own.
fn hidden(name: &str) -> bool {
    name.split(['/', '\\']).any(|part| part.starts_with('.') || part == "__MACOSX")
}

/// Reads one file within the limits, if a format may know it; opens it if it is a container itself.
fn take(
    mut stream: impl Read,
    name: String,
    packed: u64,
    depth: usize,
    found: &mut Found,
) -> Result<(), ReadError> {
    let mut bytes = Vec::new();
    let failed = |error: std::io::Error| damaged(&name, &error.to_string());
    stream.by_ref().take(HEAD_BYTES).read_to_end(&mut bytes).map_err(failed)?;
    let nested = is_container(&bytes);
    found.out += bytes.len() as u64;
    if !nested && best(&bytes).is_none() && phone::sensor(&name, &bytes).is_none() {
        found.passed_over.push(name);
        return Ok(());
    }
    let by_ratio = packed.saturating_mul(RATIO_MOST).max(RATIO_FREE);
    let most = by_ratio.min(SIZE_MOST.saturating_sub(found.out));
    let more = stream.take(most + 1).read_to_end(&mut bytes).map_err(failed)? as u64;
    found.out += more;
    if more > most {
        return Err(limit(
            format!("{} bytes open to more than {}", packed, bytes.len() - 1),
            &name,
        ));
    }
    if nested {
        return unpack(&bytes, &name, depth + 1, found);
    }
    found.entries.push(Entry { name, bytes });
    Ok(())
}

// --- which of them ---------------------------------------------------------------------------------------------------

fn choose(found: Found, options: &ReadOptions) -> Result<Recording, ReadError> {
    let Found { mut entries, mut passed_over, .. } = found;
    if let Some(wanted) = &options.entry {
        let index = entries.iter().position(|entry| named(&entry.name, wanted));
        let Some(index) = index else {
            return Err(ReadError::Ambiguous {
                what: format!("the archive holds no recording called {wanted}"),
                hint: format!("it holds {}", names(&entries)),
            });
        };
        return read_one(&entries[index], options);
    }
    let likely = |entry: &Entry| {
        phone::sensor(&entry.name, &entry.bytes).is_some()
            || best(&entry.bytes).is_some_and(|(score, _)| score >= SCORE_LEAST)
    };
    if entries.iter().any(likely) {
        let (kept, weak) = entries.into_iter().partition::<Vec<_>, _>(likely);
        entries = kept;
        passed_over.extend(weak.into_iter().map(|entry| entry.name));
    }
    // the standard's own name for the first document of a KMZ
    if let Some(main) = entries.iter().position(|entry| entry.name == "doc.kml") {
        let main = entries.swap_remove(main);
        passed_over.extend(entries.drain(..).map(|entry| entry.name));
        entries.push(main);
    }
    let mut recording = match entries.as_slice() {
        [] => {
            return Err(ReadError::Unsupported {
                what: "no file of the archive is a recording that can be read".into(),
                hint: format!("it holds {}", listed(&passed_over)),
            });
        }
        [one] => read_one(one, options)?,
        several => match phone::sensors(several) {
            Some(sensors) => phone::read_together(several, &sensors, options)?,
            None => {
                return Err(ReadError::Several {
                    entries: several.iter().map(|entry| entry.name.clone()).collect(),
                    hint: format!("say which with --entry NAME: {}", names(several)),
                });
            }
        },
    };
    if !passed_over.is_empty() {
        let text = format!("files of the archive not read: {}", listed(&passed_over));
        recording.notes.push(Note { kind: NoteKind::LeftOut, text });
    }
    Ok(recording)
}

/// Reads a file of an archive; its name there may say which sensor it is of.
fn read_one(entry: &Entry, options: &ReadOptions) -> Result<Recording, ReadError> {
    let sensor_hint = options.sensor_hint.or_else(|| SensorHint::of_name(&entry.name));
    read_content(&entry.bytes, &ReadOptions { sensor_hint, ..options.clone() })
}

/// Whether a file is meant: by its whole name in the archive or its last part, whatever the case.
fn named(name: &str, wanted: &str) -> bool {
    let last = name.rsplit(['/', '\\']).next().unwrap_or(name);
    name.eq_ignore_ascii_case(wanted) || last.eq_ignore_ascii_case(wanted)
}

fn names(entries: &[Entry]) -> String {
    listed(&entries.iter().map(|entry| entry.name.clone()).collect::<Vec<_>>())
}

fn listed(names: &[String]) -> String {
    let shown = names.iter().take(12).map(|name| name.chars().take(80).collect::<String>());
    let list = shown.collect::<Vec<_>>().join(", ");
    match names.len() {
        0 => "nothing".into(),
        1..=12 => list,
        more => format!("{list} and {} more", more - 12),
    }
}

fn damaged(name: &str, why: &str) -> ReadError {
    ReadError::Malformed {
        format: "archive",
        what: format!("{name} cannot be opened ({why})"),
        place: Place::default(),
        hint: "the file was cut off or damaged on its way: copy it again".into(),
    }
}

fn limit(what: String, name: &str) -> ReadError {
    ReadError::Limit {
        what: format!("{name}: {what}"),
        place: Place::default(),
        hint: "no recording of a flight is packed like this; unpack it yourself and bring the recording alone".into(),
    }
}
