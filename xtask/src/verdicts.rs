//! How often a verdict is wrong or cannot be told, on drawn lessons: `cargo xtask verdicts [--flights N] [--first SEED] [--recorder KEY]...
//! [--standard KEY] [--each]`. The same judge is given the motion as it was flown, without error, and the recording; `--each` writes
//! every pair as a line of CSV before the tables. Builds itself for release; two threads.

use std::path::Path;
use std::sync::Mutex;
use std::sync::atomic::{AtomicU64, Ordering};

use assess::attempt::Finding;
use assess::debrief::{Debrief, DebriefContext, debrief};
use maneuver::standard::{Standard, bundled};
use motion::{Known, Motion, reconstruct};
use recording::{ReadOptions, Recording};
use synthetic::lesson::Lesson;
use synthetic::recorders::{self, Recorder};

#[path = "../../crates/assess/tests/it/tally.rs"]
mod tally;
use tally::{Pair, Tally};

/// What was asked for.
struct Asked {
    flights: u64,
    first: u64,
    recorders: Vec<&'static Recorder>,
    standard: Standard,
    each: bool,
}

/// Debriefs of the truth and of a recording, by seed and place of the recorder.
type Debriefs = Vec<(u64, usize, Debrief, Debrief)>;

/// Flies, records, judges twice, prints.
pub(crate) fn run(root: &Path, arguments: &[String]) -> Result<(), String> {
    let asked = asked(arguments)?;
    if let Some(result) = crate::release::again(root, "verdicts", arguments) {
        return result;
    }
    let debriefs = judge_all(&asked);
    if asked.each {
        println!(
            "recorder,seed,maneuver,row,at_s,low,high,flown,verdict_flown,read,sigma,verdict_read,supported"
        );
    }
    let mut tallies: Vec<Tally> = asked.recorders.iter().map(|_| Tally::default()).collect();
    for (seed, index, truth, found) in &debriefs {
        if asked.each {
            for pair in tally::pairs(truth, found) {
                println!("{},{seed},{}", asked.recorders[*index].key, line(&pair));
            }
        }
        tallies[*index].add(truth, found);
    }
    for (recorder, tally) in asked.recorders.iter().zip(&tallies) {
        tally.print(recorder.key);
    }
    Ok(())
}

fn asked(arguments: &[String]) -> Result<Asked, String> {
    let load = |key: &str| bundled::load(key).ok_or_else(|| format!("no standard {key:?}"));
    let mut asked = Asked {
        flights: 200,
        first: 1,
        recorders: Vec::new(),
        standard: load("faa-commercial")?,
        each: false,
    };
    let mut rest = arguments.iter();
    while let Some(flag) = rest.next() {
        if flag == "--each" {
            asked.each = true;
            continue;
        }
        let value = rest.next().ok_or_else(|| format!("{flag} wants a value"))?;
        let number = || value.parse().map_err(|_| format!("{flag}: not a number: {value}"));
        match flag.as_str() {
            "--flights" => asked.flights = number()?,
            "--first" => asked.first = number()?,
            "--standard" => asked.standard = load(value)?,
            "--recorder" => asked
                .recorders
                .push(recorders::find(value).ok_or_else(|| format!("no recorder {value:?}"))?),
            _ => {
                return Err(format!(
                    "{flag} is not known: --flights, --first, --recorder, --standard, --each"
                ));
            }
        }
    }
    if asked.recorders.is_empty() {
        let usual = ["satellite-5hz", "satellite-1hz", "panel"];
        asked.recorders = usual.iter().filter_map(|key| recorders::find(key)).collect();
    }
    Ok(asked)
}

/// In the order of the seeds.
fn judge_all(asked: &Asked) -> Debriefs {
    let next = AtomicU64::new(asked.first);
    let done = Mutex::new(Vec::new());
    let work = || {
        loop {
            let seed = next.fetch_add(1, Ordering::Relaxed);
            if seed >= asked.first + asked.flights {
                return;
            }
            let judged = of_lesson(asked, seed);
            done.lock().expect("no thread panics with the lock").extend(judged);
        }
    };
    std::thread::scope(|scope| {
        for _ in 0..2 {
            scope.spawn(work);
        }
    });
    let mut done = done.into_inner().expect("no thread panics with the lock");
    done.sort_by_key(|(seed, index, ..)| (*seed, *index));
    done
}

fn of_lesson(asked: &Asked, seed: u64) -> Debriefs {
    let lesson = Lesson::draw(seed);
    let Some(flight) = lesson.fly() else { return Vec::new() };
    let one = |(index, recorder): (usize, &&'static Recorder)| {
        let log = (recorder.log)(&lesson, &flight);
        let options = ReadOptions { name: recorder.key.into(), ..ReadOptions::default() };
        let recording = recording::read(&log.bytes(), &options).ok()?;
        let motion = reconstruct(&recording, &Known::default()).ok()?;
        let truth =
            judged(Recording::empty("csv", "truth"), flight.motion(log.zero_s()), &asked.standard);
        Some((seed, index, truth, judged(recording, motion, &asked.standard)))
    };
    asked.recorders.iter().enumerate().filter_map(one).collect()
}

fn judged(recording: Recording, motion: Motion, standard: &Standard) -> Debrief {
    let context = DebriefContext { airplane: None, standard, ground_elevation_m: None };
    debrief(recording, motion, &context)
}

fn line(pair: &Pair<'_>) -> String {
    let number = |value: Option<f64>| value.map_or_else(String::new, |value| format!("{value:.4}"));
    let value = |finding: &Finding| number(finding.estimate.map(|one| one.value));
    let (truth, said) = (pair.truth, pair.said);
    [
        pair.maneuver.to_string(),
        truth.id.clone(),
        number(said.at_s),
        number(said.low),
        number(said.high),
        value(truth),
        truth.verdict.words().to_string(),
        value(said),
        number(said.estimate.map(|one| one.sigma)),
        said.verdict.words().to_string(),
        pair.is_supported().to_string(),
    ]
    .join(",")
}
