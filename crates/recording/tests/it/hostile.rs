//! Broken files: made from every good file in every way of [`hostile::classes`], and those that fuzzing found.

#![allow(clippy::disallowed_methods, reason = "tests read fixtures and manifests")]

#[path = "../../benches/readers/texts.rs"]
mod texts;

use hostile::classes::{ALL, Class, Says};
use hostile::random::Random;
use hostile::seeds::{self, Seed};
use recording::{ReadError, ReadOptions, Recording, formats, read};

fn options(name: &str) -> ReadOptions {
    ReadOptions { name: name.into(), ..ReadOptions::default() }
}

/// Whether two recordings hold the same samples.
fn same(a: &Recording, b: &Recording) -> bool {
    a.fixes == b.fixes && a.series == b.series && a.start == b.start
}

fn samples(recording: &Recording) -> usize {
    recording.fixes.len() + recording.series.iter().map(|s| s.values.len()).sum::<usize>()
}

/// Whether a recording says something that the good one does not.
fn more_said(broken: &Recording, good: &Recording) -> bool {
    broken.notes.iter().any(|note| !good.notes.contains(note))
}

/// An error that says where, unless it is about the file as a whole, and what to do.
fn placed(error: &ReadError) -> bool {
    let hinted = !error.hint().trim().is_empty() && !error.to_string().trim().is_empty();
    hinted
        && match error {
            // "the whole file" is a place where nothing of it can be read
            ReadError::Malformed { place, .. } => {
                place.line > 0 || place.byte.is_some() || error.to_string().contains("whole file")
            }
            _ => true,
        }
}

/// What is wrong with how a broken file was read.
fn judge(class: &Class, seed: &Seed, good: &Recording, bytes: &[u8]) -> Result<char, String> {
    let outcome = hostile::hold::run(&read, bytes);
    if let Some(fault) = outcome.fault {
        return Err(fault);
    }
    match (read(bytes, &options(&seed.name)), class.says) {
        (Err(error), Says::Same) => Err(format!("refused: {error}")),
        (Err(error), _) if !placed(&error) => Err(format!("no place or hint: {error:?}")),
        (Err(_), _) => Ok('E'),
        (Ok(_), Says::Error) => Err("read, though it must be refused".into()),
        (Ok(broken), Says::Same) if !same(&broken, good) => Err("other values".into()),
        (Ok(_), Says::Same) => Ok('='),
        (Ok(broken), says) => match (same(&broken, good), more_said(&broken, good)) {
            (true, _) => Ok('='),
            (false, true) => Ok('N'),
            (false, false) if says == Says::Told => Err("other values, and nothing said".into()),
            (false, false) if samples(&broken) < samples(good) && says != Says::Cut => {
                let changed = bytes.iter().zip(&seed.bytes).position(|(a, b)| a != b).unwrap_or(0);
                let around = |bytes: &[u8]| {
                    let (from, to) = (changed.saturating_sub(24), (changed + 24).min(bytes.len()));
                    String::from_utf8_lossy(&bytes[from..to]).into_owned()
                };
                Err(format!(
                    "samples lost, and nothing said: byte {changed}, {:?} for {:?}",
                    around(bytes),
                    around(&seed.bytes)
                ))
            }
            (false, false) => Ok('.'),
        },
    }
}

/// Each class for each good file: an error with place and hint, or a reading with notes. `E` error, `N` notes, `=` nothing
/// lost, `.` damage that looks like data.
#[test]
fn prop_every_broken_file_is_refused_or_told() {
    let seeds = seeds::all();
    let (mut files, mut wrong) = (0, Vec::new());
    for (number, class) in ALL.iter().enumerate() {
        let mut row = String::new();
        for (index, seed) in seeds.iter().enumerate() {
            let mut random = Random::new((number * 1000 + index) as u64);
            let Some(bytes) = (class.make)(seed, &mut random) else {
                row.push(' ');
                continue;
            };
            files += 1;
            let good = read(&seed.bytes, &options(&seed.name)).unwrap();
            match judge(class, seed, &good, &bytes) {
                Ok(letter) => row.push(letter),
                Err(why) => {
                    row.push('!');
                    wrong.push(format!("{} of {}: {why}", class.name, seed.name));
                }
            }
        }
        println!("{:<34} {row}", class.name);
    }
    println!("{files} broken files of {} good ones in {} classes", seeds.len(), ALL.len());
    assert!(files >= 300, "{files} files");
    assert!(wrong.is_empty(), "{} of {files}:\n{}", wrong.len(), wrong.join("\n"));
}

/// The name of a file decides nothing.
#[test]
fn prop_a_wrong_ending_changes_nothing() {
    for seed in seeds::all() {
        let good = read(&seed.bytes, &options(&seed.name)).unwrap();
        for name in ["tune.mp3", "track.gpx", "log.csv", "flight.igc", "", "a\nb\x1b[2J"] {
            let other = read(&seed.bytes, &options(name)).unwrap();
            assert!(same(&good, &other) && good.notes == other.notes, "{} as {name:?}", seed.name);
        }
    }
}

/// What fuzzing found once stays found.
#[test]
fn regress_what_fuzzing_found() {
    let Ok(entries) = std::fs::read_dir(seeds::folder().join("fuzz")) else { return };
    for entry in entries {
        let path = entry.unwrap().path();
        let bytes = std::fs::read(&path).unwrap();
        let outcome = hostile::hold::run(&read, &bytes);
        assert!(outcome.fault.is_none(), "{}: {:?}", path.display(), outcome.fault);
        for format in formats::ALL {
            let outcome = hostile::hold::run(&|bytes, options| format.read(bytes, options), &bytes);
            assert!(
                outcome.fault.is_none(),
                "{} {}: {:?}",
                format.key,
                path.display(),
                outcome.fault
            );
        }
    }
}

/// A format without a target would not be fuzzed with coverage.
#[test]
fn golden_every_format_has_a_fuzz_target() {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../fuzz");
    let manifest = std::fs::read_to_string(folder.join("Cargo.toml")).unwrap();
    for key in formats::ALL.iter().map(|format| format.key).chain(["read"]) {
        assert!(manifest.contains(&format!("name = \"{key}\"")), "fuzz/Cargo.toml: no {key}");
        let target =
            std::fs::read_to_string(folder.join(format!("fuzz_targets/{key}.rs"))).unwrap();
        assert!(target.contains(&format!("insist(\"{key}\"")), "{key}");
    }
}

/// Memory is that of the samples that are kept, whatever text stands around them: at the peak less than four times what the
/// recording itself holds (a fix 88 bytes, a value with its time 16), besides half a megabyte.
#[test]
fn prop_memory_is_that_of_the_samples() {
    for (key, what, text) in texts::ALL {
        let known = |format: &&formats::Format| key.split(' ').next() == Some(format.key);
        let format = formats::ALL.iter().find(known).expect("each text is of a format");
        let text = text();
        let mut held = 0;
        let cost = allocation_counter::measure(|| {
            let recording = format.read(&text, &options("long")).unwrap();
            let values = samples(&recording) - recording.fixes.len();
            held = 88 * recording.fixes.len() + 16 * values;
        });
        let (peak, held) = (cost.bytes_max as f64, held as f64);
        println!(
            "{key:<17} {what:<28} {:>5.2} MB of text, {:>5.2} MB held, peak {:>5.2} MB ({:.1} times), with the text {:.1} times",
            text.len() as f64 * 1e-6,
            held * 1e-6,
            peak * 1e-6,
            peak / held,
            (text.len() as f64 + peak) / held
        );
        assert!(peak < 4.0 * held + 500e3, "{key} {what}: peak {peak}, held {held}");
    }
}
