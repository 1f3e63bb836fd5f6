//! Fuzzes one reader: `hostile KEY [--seconds N] [--executions N] [--seed N] [--folder DIR] [--scratch DIR]`, or
//! `hostile --list`.
//!
//! Inputs are mutated fixtures; an input that goes a way not seen before joins them. The input being read stands in a
//! file of the scratch folder, so that one that hangs or ends the program is not lost; other faults are made short and kept
//! in the other folder. Exit status 1 when something did not hold.

#![allow(
    clippy::print_stdout,
    clippy::print_stderr,
    reason = "a program that talks to the terminal"
)]

use hostile::hold::{self, Read};
use hostile::mutate::{self, Stock};
use hostile::random::Random;
use hostile::{dictionary, minimize, pack, seeds};
use recording::{ReadError, ReadOptions, Recording, formats};
use std::collections::BTreeSet;
use std::fs::File;
use std::io::{Seek, Write};
use std::path::{Path, PathBuf};
use std::process::ExitCode;
use std::sync::atomic::{AtomicU64, Ordering};
use std::time::{Duration, Instant};

/// Inputs that are kept because they went a new way.
const POOL_MOST: usize = 6000;
/// Longer inputs are not kept: they cost more than they find.
const POOL_LENGTH_MOST: usize = 6 << 10;
/// As many different faults end a run.
const FAULTS_MOST: usize = 12;
/// An input that takes this long hangs.
const HANG: Duration = Duration::from_secs(120);

struct Plan {
    key: String,
    seconds: f64,
    executions: u64,
    seed: u64,
    folder: PathBuf,
    scratch: PathBuf,
}

fn main() -> ExitCode {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    if arguments.first().is_some_and(|first| first == "--list") {
        formats::ALL.iter().for_each(|format| println!("{}", format.key));
        println!("read");
        return ExitCode::SUCCESS;
    }
    match plan(&arguments).and_then(|plan| fuzz(&plan)) {
        Ok(0) => ExitCode::SUCCESS,
        Ok(_) => ExitCode::FAILURE,
        Err(message) => {
            eprintln!("{message}");
            ExitCode::from(2)
        }
    }
}

fn plan(arguments: &[String]) -> Result<Plan, String> {
    let key = arguments
        .first()
        .ok_or("hostile KEY [--seconds N] [--executions N] [--seed N] [--folder DIR]")?;
    let mut plan = Plan {
        key: key.clone(),
        seconds: 20.0,
        executions: u64::MAX,
        seed: 1,
        folder: std::env::temp_dir(),
        scratch: std::env::temp_dir(),
    };
    for pair in arguments[1..].chunks(2) {
        let [name, value] = pair else { return Err(format!("{}: a value is missing", pair[0])) };
        let wrong = |_| format!("{name} {value}: not a number");
        match name.as_str() {
            "--seconds" => plan.seconds = value.parse().map_err(|_| format!("{name} {value}"))?,
            "--executions" => plan.executions = value.parse().map_err(wrong)?,
            "--seed" => plan.seed = value.parse().map_err(wrong)?,
            "--scratch" => plan.scratch = PathBuf::from(value),
            "--folder" => plan.folder = PathBuf::from(value),
            _ => return Err(format!("{name}: not known")),
        }
    }
    Ok(plan)
}

type Reader = Box<dyn Fn(&[u8], &ReadOptions) -> Result<Recording, ReadError>>;

fn reader(key: &str) -> Result<(Reader, Vec<Vec<u8>>), String> {
    let all = seeds::all();
    if key == "read" {
        return Ok((Box::new(recording::read), seeds::packed(&all)));
    }
    let format = formats::ALL.iter().find(|format| format.key == key);
    let format = format.ok_or_else(|| format!("{key}: no reader of this key; see --list"))?;
    Ok((Box::new(|bytes, options| format.read(bytes, options)), seeds::of(format, &all)))
}

/// State shared with the watch: when the present input was begun, ms since the start, 0 when none is read.
static BEGUN_MS: AtomicU64 = AtomicU64::new(0);

/// Ends the program when one input takes too long; the input stands in the file.
fn watch(start: Instant, key: String) {
    std::thread::spawn(move || {
        loop {
            std::thread::sleep(Duration::from_secs(1));
            let begun = BEGUN_MS.load(Ordering::Relaxed);
            let now = start.elapsed().as_millis() as u64;
            if begun != 0 && now.saturating_sub(begun) > HANG.as_millis() as u64 {
                eprintln!("{key}: one input takes more than {} s", HANG.as_secs());
                std::process::abort();
            }
        }
    });
}

struct Tally {
    executions: u64,
    slowest: Duration,
    most_memory: u64,
    faults: BTreeSet<String>,
}

fn fuzz(plan: &Plan) -> Result<usize, String> {
    std::panic::set_hook(Box::new(|_| {}));
    let (read, good) = reader(&plan.key)?;
    let read = &*read;
    let words = dictionary::words(&plan.key);
    let mut random = Random::new(plan.seed);
    let mut pool = good;
    let mut ways = BTreeSet::new();
    let mut tally =
        Tally { executions: 0, slowest: Duration::ZERO, most_memory: 0, faults: BTreeSet::new() };
    let present = plan.scratch.join(format!("{}.input", plan.key));
    let io = |error: std::io::Error| format!("{}: {error}", present.display());
    let mut file = File::create(&present).map_err(io)?;
    let start = Instant::now();
    watch(start, plan.key.clone());
    while tally.executions < plan.executions && tally.faults.len() < FAULTS_MOST {
        if tally.executions.is_multiple_of(64) && start.elapsed().as_secs_f64() > plan.seconds {
            break;
        }
        let mut bytes = pick(&pool, &mut random).cloned().unwrap_or_default();
        mutate::mutate(&mut bytes, &Stock { words: &words, others: &pool }, &mut random);
        if plan.key == "read" {
            bytes = wrapped(bytes, &mut random);
        }
        keep(&mut file, &bytes).map_err(io)?;
        BEGUN_MS.store(start.elapsed().as_millis() as u64 + 1, Ordering::Relaxed);
        let outcome = hold::run(read, &bytes);
        BEGUN_MS.store(0, Ordering::Relaxed);
        tally.executions += 1;
        tally.slowest = tally.slowest.max(outcome.time);
        tally.most_memory = tally.most_memory.max(outcome.memory);
        if let Some(fault) = outcome.fault {
            report(plan, read, &bytes, &fault, &mut tally)?;
        } else if ways.insert(outcome.way)
            && pool.len() < POOL_MOST
            && bytes.len() <= POOL_LENGTH_MOST
        {
            pool.push(bytes);
        }
    }
    let _ = std::fs::remove_file(&present);
    println!(
        "{:<6} {:>10} executions in {:>6.1} s, {:>5} ways, slowest {:>6.1} ms, most {:>6.2} MiB, {} faults",
        plan.key,
        tally.executions,
        start.elapsed().as_secs_f64(),
        ways.len(),
        tally.slowest.as_secs_f64() * 1e3,
        tally.most_memory as f64 / f64::from(1 << 20),
        tally.faults.len()
    );
    Ok(tally.faults.len())
}

/// Mostly the shortest of four: short inputs go as many ways as long ones in a fraction of the time. Every input of the
/// pool keeps its chance.
fn pick<'a>(pool: &'a [Vec<u8>], random: &mut Random) -> Option<&'a Vec<u8>> {
    let picks = if random.below(8) == 0 { 1 } else { 4 };
    (0..picks).filter_map(|_| random.pick(pool)).min_by_key(|bytes| bytes.len())
}

/// Now and then in a container, since damage to a packed stream seldom comes through its checksum.
fn wrapped(bytes: Vec<u8>, random: &mut Random) -> Vec<u8> {
    match random.below(8) {
        0 => pack::gzip(&bytes),
        1 => pack::zip(&[("a.csv", &bytes)]),
        _ => bytes,
    }
}

/// Length first, so that what an earlier, longer input left behind does not count.
fn keep(file: &mut File, bytes: &[u8]) -> std::io::Result<()> {
    file.rewind()?;
    let mut framed = (bytes.len() as u64).to_le_bytes().to_vec();
    framed.extend_from_slice(bytes);
    file.write_all(&framed)
}

/// Makes a failing input short and keeps it, once a kind of fault.
fn report(
    plan: &Plan,
    read: Read<'_>,
    bytes: &[u8],
    fault: &str,
    tally: &mut Tally,
) -> Result<(), String> {
    let kind = kind(fault);
    if !tally.faults.insert(kind.clone()) {
        return Ok(());
    }
    let same =
        |bytes: &[u8]| hold::run(read, bytes).fault.is_some_and(|other| self::kind(&other) == kind);
    let short = minimize::minimize(bytes, same);
    let path = free_name(&plan.folder, &plan.key);
    std::fs::write(&path, &short).map_err(|error| format!("{}: {error}", path.display()))?;
    println!("{}: {fault}; {} bytes kept as {}", plan.key, short.len(), path.display());
    Ok(())
}

fn free_name(folder: &Path, key: &str) -> PathBuf {
    let names = (1..).map(|number| folder.join(format!("{key}-{number}.bin")));
    names.into_iter().find(|path| !path.exists()).expect("numbers do not end")
}

/// A fault without its numbers.
fn kind(fault: &str) -> String {
    fault.chars().filter(|letter| !letter.is_ascii_digit()).take(60).collect()
}
