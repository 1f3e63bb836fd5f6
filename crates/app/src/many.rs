//! Many flights at once: each recording is a flight of its own, debriefed in parallel, written in the order given.
//!
//! A flight is read, debriefed, written and forgotten: memory is that of a few flights, however many there are. Time grows with
//! the hours recorded, over the processors. A recording that cannot be read is told and does not stop the others.

use std::path::{Path, PathBuf};
use std::sync::Mutex;
use std::sync::atomic::{AtomicUsize, Ordering};

use assess::Verdict;
use assess::attempt::{Attempt, Finding, probability_words, way};
use assess::debrief::Debrief;
use report::numbers::clock;

use crate::answer::Answer;
use crate::debrief::{Brought, Told, debrief};
use crate::error::{AppError, Outcome};
use crate::{files, table};

pub use maneuver::standard::Standard;
pub use recording::ReadOptions;

/// Forms that many flights can be had in.
pub const FORMATS: [&str; 3] = ["text", "json", "csv"];
/// Folders within folders are followed so far.
const DEPTH_MOST: usize = 16;
/// What is wrong with so many recordings is told of each; of those after them how many there were.
const TOLD_MOST: usize = 10;
/// Flights worked on before the next batch is begun, for each processor.
const BATCH: usize = 8;

/// What is asked of every flight.
#[derive(Debug)]
pub struct Asked<'a> {
    /// How each is read.
    pub reading: ReadOptions,
    /// What is known of all.
    pub told: &'a Told,
    /// The standard to judge by.
    pub standard: &'a Standard,
    /// One of [`FORMATS`].
    pub format: &'a str,
}

/// The recordings that are meant: files as they are, and what lies in folders, sorted by name.
///
/// # Errors
/// A folder that cannot be read.
pub fn recordings(paths: &[PathBuf]) -> Result<Vec<PathBuf>, AppError> {
    let mut out = Vec::new();
    for path in paths {
        add(&mut out, path, 0)?;
    }
    Ok(out)
}

fn add(out: &mut Vec<PathBuf>, path: &Path, depth: usize) -> Result<(), AppError> {
    if !path.is_dir() || depth > DEPTH_MOST {
        out.push(path.to_path_buf());
        return Ok(());
    }
    let failed = |error: std::io::Error| AppError::File {
        name: path.to_string_lossy().into_owned(),
        what: format!("the folder cannot be read: {error}"),
        hint: "check the name and your rights to it".into(),
    };
    let entries = std::fs::read_dir(path).map_err(failed)?;
    let mut inside: Vec<PathBuf> = entries
        .map(|entry| entry.map(|entry| entry.path()))
        .collect::<Result<_, _>>()
        .map_err(failed)?;
    inside.sort();
    for path in inside.iter().filter(|path| !is_hidden(path)) {
        add(out, path, depth + 1)?;
    }
    Ok(())
}

fn is_hidden(path: &Path) -> bool {
    path.file_name().is_some_and(|name| name.to_string_lossy().starts_with('.'))
}

/// Where the answer and its side remarks go.
pub trait Sink {
    /// Part of the answer.
    ///
    /// # Errors
    /// It cannot be written.
    fn write(&mut self, part: &str) -> Result<(), AppError>;
    /// So many of so many are done, and what there is to say about one of them.
    fn done(&mut self, done: usize, all: usize, remark: Option<&str>);
}

/// One flight as it will be written.
struct Rendered {
    text: String,
    attempts: usize,
    /// Why there is no debrief.
    failed: Option<String>,
}

/// Debriefs every recording as a flight of its own.
///
/// # Errors
/// A format that is none of [`FORMATS`]; the sink cannot be written. A recording that cannot be read is told beside the answer;
/// when none can, the last error is returned.
pub fn debriefs(
    paths: &[PathBuf],
    asked: &Asked<'_>,
    threads: usize,
    sink: &mut dyn Sink,
) -> Result<Outcome, AppError> {
    if !FORMATS.contains(&asked.format) {
        let what = format!("several flights cannot be had as {}", asked.format);
        return Err(AppError::request(what, format!("one of: {}", FORMATS.join(", "))));
    }
    let (mut done, mut attempts, mut failures, mut written) = (0, 0, 0, 0);
    for batch in paths.chunks(BATCH * threads.max(1)) {
        for one in in_parallel(batch, threads.max(1), &|path| render(path, asked)) {
            done += 1;
            attempts += one.attempts;
            failures += usize::from(one.failed.is_some());
            let told = one.failed.as_deref().filter(|_| failures <= TOLD_MOST);
            sink.done(done, paths.len(), told);
            if !one.text.is_empty() {
                let before = match (written, asked.format) {
                    (0, _) => head(asked.format),
                    (_, "json") => ",\n".into(),
                    _ => String::new(),
                };
                sink.write(&before)?;
                sink.write(&one.text)?;
                written += 1;
            }
        }
    }
    if let Some(more) = failures.checked_sub(TOLD_MOST).filter(|more| *more > 0) {
        let remark = format!("{more} more could not be read either");
        sink.done(done, paths.len(), Some(&remark));
    }
    if failures == paths.len() {
        let what = format!("none of {} recordings could be read", paths.len());
        return Err(AppError::request(what, "see what was said about each"));
    }
    if written == 0 {
        sink.write(&head(asked.format))?;
    }
    sink.write(tail(asked.format))?;
    Ok(if attempts == 0 { Outcome::Nothing } else { Outcome::Done })
}

/// The results in the order of the items, worked out by so many threads.
fn in_parallel<T: Sync, R: Send>(
    items: &[T],
    threads: usize,
    work: &(dyn Fn(&T) -> R + Sync),
) -> Vec<R> {
    let next = AtomicUsize::new(0);
    let results: Mutex<Vec<Option<R>>> = Mutex::new(items.iter().map(|_| None).collect());
    std::thread::scope(|scope| {
        for _ in 0..threads.min(items.len()) {
            scope.spawn(|| {
                loop {
                    let index = next.fetch_add(1, Ordering::Relaxed);
                    let Some(item) = items.get(index) else { break };
                    let result = work(item);
                    results.lock().expect("no thread panics while it holds the lock")[index] =
                        Some(result);
                }
            });
        }
    });
    let results = results.into_inner().expect("every thread has ended");
    results.into_iter().map(|result| result.expect("every item was worked on")).collect()
}

fn render(path: &Path, asked: &Asked<'_>) -> Rendered {
    let name = path.to_string_lossy().into_owned();
    let answer = files::bytes(path).and_then(|bytes| {
        let brought = Brought { name: name.clone(), bytes, reading: asked.reading.clone() };
        debrief(vec![brought], asked.told, asked.standard)
    });
    match answer {
        Ok(answer) => Rendered {
            text: match asked.format {
                "json" => answer.json().trim_end().to_string(),
                "csv" => table::debrief_of(&name, &answer.debrief),
                _ => lines(&name, &answer.debrief),
            },
            attempts: answer.debrief.attempts.len(),
            failed: None,
        },
        Err(error) => Rendered {
            text: if asked.format == "json" {
                error.to_json().trim_end().into()
            } else {
                String::new()
            },
            attempts: 0,
            failed: Some(format!("{error} ({})", error.hint())),
        },
    }
}

fn head(format: &str) -> String {
    match format {
        "json" => format!("{{\"schema\":\"{}\",\"flights\":[\n", wire::debrief::MANY_SCHEMA),
        "csv" => table::debriefs_head(),
        _ => String::new(),
    }
}

fn tail(format: &str) -> &'static str {
    match format {
        "json" => "\n]}\n",
        "text" => {
            "Training aid, not approved data: the flight manual, placards, local rules and a qualified instructor decide.\n"
        }
        _ => "",
    }
}

/// One flight in a few lines.
fn lines(name: &str, debrief: &Debrief) -> String {
    let count = debrief.attempts.len();
    let mut out = format!(
        "{name}: {} recorded, {count} attempt{}\n",
        clock(debrief.recording.duration_s()),
        if count == 1 { "" } else { "s" }
    );
    for attempt in &debrief.attempts {
        let said = |verdict: Verdict| findings(attempt).filter(|f| f.verdict == verdict).count();
        out.push_str(&format!(
            "  {} {} {}, {}, confidence {}: {} met, {} not met, {} cannot tell\n",
            clock(attempt.start_s),
            attempt.maneuver,
            attempt.form,
            way(attempt.direction),
            probability_words(attempt.confidence),
            said(Verdict::Met),
            said(Verdict::NotMet),
            said(Verdict::CannotTell)
        ));
    }
    for event in debrief.events.events.iter().filter(|event| event.is_exceedance()) {
        out.push_str(&format!(
            "  report before the next flight: {} {}\n",
            clock(event.worst_s),
            event.words()
        ));
    }
    out
}

fn findings(attempt: &Attempt) -> impl Iterator<Item = &Finding> {
    attempt.findings.iter().chain(attempt.parts.iter().flat_map(|part| &part.findings))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[derive(Default)]
    struct Kept {
        text: String,
        done: Vec<(usize, usize)>,
        remarks: Vec<String>,
    }

    impl Sink for Kept {
        fn write(&mut self, part: &str) -> Result<(), AppError> {
            self.text.push_str(part);
            Ok(())
        }
        fn done(&mut self, done: usize, all: usize, remark: Option<&str>) {
            self.done.push((done, all));
            self.remarks.extend(remark.map(String::from));
        }
    }

    /// A folder of three demo flights and one file that is none, under the system's place for such things.
    fn folder(name: &str) -> PathBuf {
        let folder = std::env::temp_dir().join(format!("skychalk-{name}-{}", std::process::id()));
        std::fs::create_dir_all(folder.join("b")).unwrap();
        let bytes = crate::demo::recording().bytes;
        for file in ["a.csv", "b/c.csv", "d.csv"] {
            std::fs::write(folder.join(file), &bytes).unwrap();
        }
        std::fs::write(folder.join("e.txt"), "no recording").unwrap();
        folder
    }

    #[test]
    fn prop_many_flights_are_debriefed_in_order_and_a_bad_one_stops_none() {
        let folder = folder("many");
        let paths = recordings(std::slice::from_ref(&folder)).unwrap();
        assert_eq!(paths.len(), 4);
        let told = Told::default();
        let standard = crate::choose::standard(crate::choose::usual_standard()).unwrap();
        let run = |format: &str, threads: usize| {
            let reading = ReadOptions::default();
            let asked = Asked { reading, told: &told, standard: &standard, format };
            let mut kept = Kept::default();
            let outcome = debriefs(&paths, &asked, threads, &mut kept).unwrap();
            assert_eq!((outcome, kept.done.last()), (Outcome::Done, Some(&(4, 4))));
            assert_eq!(kept.remarks.len(), 1, "{:?}", kept.remarks);
            kept.text
        };
        let json = run("json", 2);
        assert_eq!(json, run("json", 1));
        let found: Vec<usize> =
            ["a.csv", "c.csv", "d.csv"].iter().filter_map(|name| json.find(name)).collect();
        assert!(found.len() == 3 && found.is_sorted(), "{found:?}");
        assert_eq!(json.matches("skychalk.debrief/1").count(), 3);
        assert_eq!(json.matches("skychalk.error/1").count(), 1);
        let csv = run("csv", 2);
        assert!(csv.starts_with("recording,attempt,maneuver"), "{}", &csv[..60]);
        assert!(csv.lines().count() > 30);
        assert!(run("text", 2).contains("attempt"));
        let asked = Asked {
            reading: ReadOptions::default(),
            told: &told,
            standard: &standard,
            format: "pdf",
        };
        assert!(debriefs(&paths, &asked, 1, &mut Kept::default()).is_err());
        std::fs::remove_dir_all(&folder).unwrap();
    }

    #[test]
    fn prop_results_come_in_order_whoever_worked_them_out() {
        let items: Vec<u64> = (0..100).collect();
        for threads in [1, 2, 7] {
            let doubled = in_parallel(&items, threads, &|item| 2 * item);
            assert_eq!(doubled, items.iter().map(|item| 2 * item).collect::<Vec<_>>());
        }
    }
}
