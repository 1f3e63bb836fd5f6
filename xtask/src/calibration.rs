//! How well the reconstruction knows how well it knows, on drawn lessons: `cargo xtask calibration [--flights N] [--first SEED]
//! [--recorder KEY]... [--by-figure]`. Builds itself for release; two threads.

use std::path::Path;
use std::sync::Mutex;
use std::sync::atomic::{AtomicU64, Ordering};

use synthetic::calibration::{Group, Outcome, QUANTITIES, Scored, run_flown, summarize};
use synthetic::lesson::Lesson;
use synthetic::recorders::{self, Recorder};

/// What was asked for.
struct Asked {
    flights: u64,
    first: u64,
    recorders: Vec<&'static Recorder>,
    by_figure: bool,
}

/// Flies, records, reconstructs, prints.
pub(crate) fn run(root: &Path, arguments: &[String]) -> Result<(), String> {
    let asked = asked(arguments)?;
    if let Some(result) = crate::release::again(root, "calibration", arguments) {
        return result;
    }
    let outcomes = fly_all(&asked);
    for (index, recorder) in asked.recorders.iter().enumerate() {
        let of: Vec<&Outcome> = outcomes.iter().map(|(_, each)| &each[index]).collect();
        print(recorder, &of, asked.by_figure);
    }
    Ok(())
}

fn asked(arguments: &[String]) -> Result<Asked, String> {
    let mut asked = Asked { flights: 200, first: 1, recorders: Vec::new(), by_figure: false };
    let mut rest = arguments.iter();
    while let Some(flag) = rest.next() {
        if flag == "--by-figure" {
            asked.by_figure = true;
            continue;
        }
        let value = rest.next().ok_or_else(|| format!("{flag} wants a value"))?;
        let number = || value.parse().map_err(|_| format!("{flag}: not a number: {value}"));
        match flag.as_str() {
            "--flights" => asked.flights = number()?,
            "--first" => asked.first = number()?,
            "--recorder" => asked.recorders.push(recorders::find(value).ok_or_else(|| {
                let keys: Vec<&str> = recorders::ALL.iter().map(|known| known.key).collect();
                format!("no recorder {value:?}; there are {}", keys.join(", "))
            })?),
            _ => {
                return Err(format!(
                    "{flag} is not known: --flights, --first, --recorder, --by-figure"
                ));
            }
        }
    }
    if asked.recorders.is_empty() {
        asked.recorders = recorders::ALL.iter().collect();
    }
    Ok(asked)
}

/// Outcomes of each recorder, by seed, in the order of the seeds.
fn fly_all(asked: &Asked) -> Vec<(u64, Vec<Outcome>)> {
    let next = AtomicU64::new(asked.first);
    let done = Mutex::new(Vec::new());
    let work = || {
        loop {
            let seed = next.fetch_add(1, Ordering::Relaxed);
            if seed >= asked.first + asked.flights {
                return;
            }
            let lesson = Lesson::draw(seed);
            let flight = lesson.fly();
            let each = asked.recorders.iter().map(|recorder| match &flight {
                Some(flight) => run_flown(&lesson, flight, recorder),
                None => Outcome::NotFlown,
            });
            let each = (seed, each.collect());
            done.lock().expect("no thread panics with the lock").push(each);
        }
    };
    std::thread::scope(|scope| {
        for _ in 0..2 {
            scope.spawn(work);
        }
    });
    let mut outcomes = done.into_inner().expect("no thread panics with the lock");
    outcomes.sort_by_key(|(seed, _)| *seed);
    outcomes
}

fn print(recorder: &Recorder, outcomes: &[&Outcome], by_figure: bool) {
    let mut scored: Vec<Scored> = Vec::new();
    let (mut not_flown, mut refused) = (0, Vec::new());
    for outcome in outcomes {
        match outcome {
            Outcome::Scored(attempts) => scored.extend(attempts.iter().cloned()),
            Outcome::NotFlown => not_flown += 1,
            Outcome::Refused(why) => refused.push(why.as_str()),
        }
    }
    println!("\n{}: {}", recorder.key, recorder.about);
    println!(
        "{} attempts of {} flights, {not_flown} not flown, {} refused {}",
        scored.len(),
        outcomes.len(),
        refused.len(),
        refused.first().unwrap_or(&"")
    );
    for group in Group::ALL {
        let of = |one: &&Scored| one.group == group;
        table(group.word(), scored.iter().filter(of).collect());
    }
    table("all", scored.iter().collect());
    if by_figure {
        let mut figures: Vec<&str> = scored.iter().map(|one| one.figure).collect();
        figures.sort_unstable();
        figures.dedup();
        for figure in figures {
            table(figure, scored.iter().filter(|one| one.figure == figure).collect());
        }
    }
}

fn table(words: &str, scored: Vec<&Scored>) {
    if scored.is_empty() {
        return;
    }
    println!(
        "  {words:<14} {:>8} {:>9}  {:>6} {:<15}  {:>6} {:<13}",
        "attempts", "rms", "cover", "(interval)", "ratio", "(interval)"
    );
    let (mut calibrated, mut had) = (0, 0);
    for (index, quantity) in QUANTITIES.iter().enumerate() {
        let Some(one) = summarize(scored.iter().copied(), index) else { continue };
        let mark = if one.calibrated() { "" } else { "*" };
        calibrated += usize::from(one.calibrated());
        had += 1;
        println!(
            "    {:<13} {:>7} {:>8.3} {:<5} {:>6.3} ({:.3} to {:.3})  {:>6.2} ({:.2} to {:.2}) {mark}",
            quantity.name,
            one.attempts,
            one.rms,
            quantity.unit_name,
            one.cover,
            one.cover_interval.0,
            one.cover_interval.1,
            one.ratio,
            one.ratio_interval.0,
            one.ratio_interval.1
        );
    }
    println!("    {calibrated} of {had} calibrated");
}
