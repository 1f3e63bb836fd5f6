//! Good files of every format, from the fixtures of the readers: a new format with a fixture is covered.

use crate::pack;
use recording::formats::{self, Format};
use recording::{ReadOptions, read};
use std::path::{Path, PathBuf};

/// One good file.
#[derive(Debug, Clone)]
pub struct Seed {
    /// Name of the file.
    pub name: String,
    /// Key of the format that reads it; "container" when a container holds it.
    pub format: &'static str,
    /// Its content.
    pub bytes: Vec<u8>,
}

/// Folder of the fixtures.
#[must_use]
pub fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../recording/tests/fixtures")
}

/// Every fixture that is read without error, by name; failures of earlier runs (folder `fuzz`) are not seeds here.
///
/// # Panics
/// When the folder cannot be read, or a format has no fixture: add one.
#[must_use]
pub fn all() -> Vec<Seed> {
    let entries = std::fs::read_dir(folder()).expect("the folder of fixtures");
    let mut paths: Vec<PathBuf> = entries
        .filter_map(|entry| Some(entry.ok()?.path()))
        .filter(|path| path.is_file())
        .collect();
    paths.sort();
    let mut out = Vec::new();
    for path in paths {
        let bytes = std::fs::read(&path).expect("a fixture that can be read");
        let name = path.file_name().map_or_else(String::new, |n| n.to_string_lossy().into_owned());
        let options = ReadOptions { name: name.clone(), ..ReadOptions::default() };
        let Ok(recording) = read(&bytes, &options) else { continue };
        let bare = direct(&bytes, &options).is_some_and(|key| key == recording.format);
        let format = if bare { recording.format } else { "container" };
        out.push(Seed { name, format, bytes });
    }
    for format in formats::ALL {
        assert!(
            out.iter().any(|seed| seed.format == format.key),
            "no fixture of the format {} in crates/recording/tests/fixtures: add a good file",
            format.key
        );
    }
    out
}

/// Every good file, and each once more in a zip archive and a gzip stream; two of them together.
#[must_use]
pub fn packed(all: &[Seed]) -> Vec<Vec<u8>> {
    let mut out: Vec<Vec<u8>> = all.iter().map(|seed| seed.bytes.clone()).collect();
    for seed in all {
        out.push(pack::gzip(&seed.bytes));
        out.push(pack::zip(&[(&seed.name, &seed.bytes)]));
    }
    for pair in all.windows(2) {
        out.push(pack::zip(&[(&pair[0].name, &pair[0].bytes), (&pair[1].name, &pair[1].bytes)]));
    }
    out
}

/// Key of the format whose own reader scores highest and reads the bytes.
fn direct(bytes: &[u8], options: &ReadOptions) -> Option<&'static str> {
    let head = &bytes[..bytes.len().min(8192)];
    let best = formats::ALL.iter().max_by_key(|format| (format.score)(head))?;
    best.read(bytes, options).ok().map(|recording| recording.format)
}

/// The good files of one format.
#[must_use]
pub fn of(format: &Format, all: &[Seed]) -> Vec<Vec<u8>> {
    all.iter().filter(|seed| seed.format == format.key).map(|seed| seed.bytes.clone()).collect()
}
