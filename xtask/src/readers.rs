//! The readers beside peers: packages of the Python registry read the same outside recordings (IGC, GPX, NMEA); their fixes
//! are compared with the figures that the tests of `recording` hold, and their times with ours. Tables are read by Python's
//! own `csv`, each column that is a number in the first row made numbers; only their times are compared.
//!
//! `--write` writes the figures anew. Times count only in a release build: `cargo run --release -p xtask -- readers`.
//! Needs the outside recordings (beside the folder that `SKYCHALK_CHECKS` names), Python 3 with `venv`, and the registry.

use std::path::{Path, PathBuf};
use std::process::Command;
use std::time::Instant;

use crate::python::{Folder, install};

/// The peers, with their versions pinned, and what one of them needs.
const PACKAGES: &[&str] =
    &["aerofiles==1.5.6", "gpxpy==1.6.2", "pynmea2==1.19.0", "python-dateutil==2.9.0.post0"];
/// Where the figures stand.
const FIGURES: &str = "crates/recording/tests/peers.csv";
/// Folders that peers read, and a part of a name that they leave out: a file of heights without positions.
const FOLDERS: &[&str] = &["csv", "igc", "gpx", "nmea"];
/// Of tables only times are compared.
const TABLES: &str = "csv,";
const LEFT_OUT: &str = "_baro";
/// Each file is read so many times; the fastest counts.
const LAPS: usize = 5;
/// Prints a line of figures for each file, and after them seconds a reading.
const SCRIPT: &str = r#"
import csv, sys, time
import gpxpy, pynmea2
from aerofiles.igc import Reader

def igc(path):
    with open(path, encoding="utf-8", errors="replace") as file:
        fixes = Reader().read(file)["fix_records"][1]
    return [(f["datetime"].timestamp(), f["lat"], f["lon"], f["gps_alt"]) for f in fixes]

def gpx(path):
    with open(path) as file:
        tracks = gpxpy.parse(file).tracks
    points = (p for track in tracks for segment in track.segments for p in segment.points)
    return [(p.time.timestamp(), p.latitude, p.longitude, p.elevation) for p in points]

def nmea(path):
    fixes = []
    with open(path, errors="replace") as file:
        for line in file:
            try:
                said = pynmea2.parse(line.strip(), check=True)
            except pynmea2.ParseError:
                continue
            if said.sentence_type == "GGA" and int(said.gps_qual or 0) > 0:
                t = said.timestamp
                seconds = t.hour * 3600 + t.minute * 60 + t.second + t.microsecond * 1e-6
                fixes.append((seconds, said.latitude, said.longitude, said.altitude))
    return fixes

def number(cell):
    try:
        return float(cell)
    except ValueError:
        return None

def table(path):
    with open(path, errors="replace", newline="") as file:
        rows = [row for row in csv.reader(file) if row]
    wanted = [at for at, cell in enumerate(rows[-2]) if number(cell) is not None]
    columns = [[number(row[at]) if at < len(row) else None for row in rows] for at in wanted]
    return [(0, 0, 0, len(column)) for column in columns]

laps = int(sys.argv[1])
for path in sys.argv[2:]:
    folder, name = path.split("/")[-2:]
    best = None
    for _ in range(laps):
        begin = time.perf_counter()
        fixes = {"igc": igc, "gpx": gpx, "nmea": nmea, "csv": table}[folder](path)
        took = time.perf_counter() - begin
        best = took if best is None else min(best, took)
    sums = [sum(fix[at] for fix in fixes) for at in (1, 2, 3)]
    ends = [*fixes[0][:3], *fixes[-1][:3]]
    print(",".join([folder, name, str(len(fixes)), *map(repr, ends), *(f"{s:.6f}" for s in sums)]), best)
"#;

/// Installs the peers, reads, compares, prints.
pub(crate) fn run(root: &Path, arguments: &[String]) -> Result<(), String> {
    let recordings = recordings(root)?;
    let folder = Folder::new("readers")?;
    let python = install(&folder.0, PACKAGES)?;
    let script = folder.0.join("readers.py");
    std::fs::write(&script, SCRIPT).map_err(|error| format!("{}: {error}", script.display()))?;
    let mut command = Command::new(&python);
    command.arg(&script).arg(LAPS.to_string()).args(&recordings);
    let output = command.output().map_err(|error| format!("{command:?}: {error}"))?;
    if !output.status.success() {
        return Err(format!("{command:?}: {}", String::from_utf8_lossy(&output.stderr)));
    }
    let text = String::from_utf8_lossy(&output.stdout).into_owned();
    let timed: Vec<(&str, f64)> = text.lines().filter_map(figures).collect();
    let compared = timed.iter().copied().filter(|(row, _)| !row.starts_with(TABLES));
    let found: Vec<(&str, f64)> = compared.collect();
    let place = root.join(FIGURES);
    let held = std::fs::read_to_string(&place).map_err(|error| format!("{FIGURES}: {error}"))?;
    if arguments.iter().any(|argument| argument == "--write") {
        let head =
            held.lines().take_while(|line| line.starts_with('#') || line.starts_with("folder"));
        let rows = found.iter().map(|(row, _)| *row);
        let text: Vec<&str> = head.chain(rows).collect();
        let text = text.join("\n") + "\n";
        return std::fs::write(&place, text).map_err(|error| format!("{FIGURES}: {error}"));
    }
    times(&recordings, &timed)?;
    let other: Vec<&str> = found
        .iter()
        .map(|(row, _)| *row)
        .filter(|row| !held.lines().any(|line| line == *row))
        .collect();
    if other.is_empty() {
        println!("all {} rows of {FIGURES} are what the peers read", found.len());
        return Ok(());
    }
    Err(format!("{FIGURES} holds other figures than the peers read now:\n{}", other.join("\n")))
}

fn figures(line: &str) -> Option<(&str, f64)> {
    let (row, took) = line.rsplit_once(' ')?;
    Some((row, took.parse().ok()?))
}

fn recordings(root: &Path) -> Result<Vec<PathBuf>, String> {
    let named = std::env::var_os("SKYCHALK_CHECKS").map(PathBuf::from);
    let checks = named.unwrap_or_else(|| root.join("../shared/checks"));
    let beside = checks.join("../recordings");
    let mut out = Vec::new();
    for folder in FOLDERS {
        let place = beside.join(folder);
        let entries = std::fs::read_dir(&place)
            .map_err(|error| format!("{}: {error} (the outside recordings)", place.display()))?;
        let paths = entries.flatten().map(|entry| entry.path());
        out.extend(paths.filter(|path| !path.to_string_lossy().contains(LEFT_OUT)));
    }
    out.sort();
    Ok(out)
}

/// Our time beside the peer's for each file.
fn times(recordings: &[PathBuf], found: &[(&str, f64)]) -> Result<(), String> {
    println!("{:<44} {:>10} {:>10} {:>8}", "fastest reading", "ours ms", "peer ms", "ratio");
    for (path, (_, peer_s)) in recordings.iter().zip(found) {
        let bytes = std::fs::read(path).map_err(|error| format!("{}: {error}", path.display()))?;
        let options = recording::ReadOptions {
            // some tables have no clock
            row_interval_s: Some(1.0),
            ..recording::ReadOptions::default()
        };
        let lap = |_| {
            let begin = Instant::now();
            let read = std::hint::black_box(recording::read(&bytes, &options));
            (begin.elapsed().as_secs_f64(), read.is_ok())
        };
        let laps: Vec<(f64, bool)> = (0..LAPS).map(lap).collect();
        let name = path.file_name().unwrap_or_default().to_string_lossy();
        if laps.iter().any(|(_, read)| !read) {
            println!("{name:<44} not read without a word of the user");
            continue;
        }
        let ours_s = laps.iter().map(|(took, _)| *took).fold(f64::INFINITY, f64::min);
        println!(
            "{name:<44} {:>10.2} {:>10.2} {:>8.0}",
            1e3 * ours_s,
            1e3 * peer_s,
            peer_s / ours_s
        );
    }
    if cfg!(debug_assertions) {
        println!("this is no release build: our times do not count");
    }
    Ok(())
}
