//! Each reader beside the bare library on the same bytes, turn by turn in one run: the ratio is what the normal form costs.
//! Goal: at most 1.5 times the bare library. `cargo bench -p recording`; `cargo xtask peers readers` adds the peers.
//!
//! With a folder as argument the texts are written there and times are printed for a program to read.

#![allow(missing_docs, reason = "a program")]
#![allow(clippy::unwrap_used, reason = "a bench that cannot go on has failed")]
#![allow(
    clippy::print_stdout,
    clippy::disallowed_methods,
    reason = "a program that measures and prints a table"
)]

mod bare;
mod texts;

use recording::formats;
use std::hint::black_box;
use std::time::Instant;

/// Rounds; the fastest of each counts, since a busy machine only ever adds.
const ROUNDS: usize = 40;

fn main() {
    // cargo passes --bench; a name picks a format
    let arguments: Vec<String> =
        std::env::args().skip(1).filter(|a| !a.starts_with("--")).collect();
    let folder = arguments.iter().find(|argument| argument.contains(std::path::MAIN_SEPARATOR));
    let wanted = arguments.iter().find(|argument| Some(*argument) != folder);
    if folder.is_none() {
        println!(
            "fastest of {ROUNDS} rounds, reader and bare library turn by turn; goal: 1.5 times the bare library"
        );
    }
    for (number, (key, what, text)) in texts::ALL.iter().enumerate() {
        let format = key.split(' ').next().unwrap_or(key);
        let known = formats::ALL.iter().any(|known| known.key == format);
        if !known || wanted.is_some_and(|wanted| wanted != format) {
            continue;
        }
        let text = text();
        let peers: Vec<_> = bare::ALL.iter().filter(|(of, ..)| of == key).collect();
        let (ours, theirs) = race(&text, &peers.iter().map(|(.., run)| *run).collect::<Vec<_>>());
        if let Some(folder) = folder {
            let path = std::path::Path::new(folder).join(format!("{number}.{format}"));
            std::fs::write(&path, &text).unwrap();
            println!("{format}\t{what}\t{ours}\t{}", path.display());
            continue;
        }
        let megabytes = text.len() as f64 * 1e-6;
        println!(
            "{key:<17} {what:<28} {megabytes:>5.2} MB {ours:>8.3} ms {:>6.0} MB/s",
            megabytes / ours * 1e3
        );
        for ((_, name, _), time) in peers.iter().zip(&theirs) {
            println!("      {:>4.2} times {name} ({time:.3} ms)", ours / time);
        }
    }
}

/// Fastest time of the reader and of each bare library, ms.
fn race(text: &[u8], bare: &[fn(&[u8]) -> f64]) -> (f64, Vec<f64>) {
    let options = recording::ReadOptions { name: "bench".into(), ..Default::default() };
    let mut ours = f64::INFINITY;
    let mut theirs = vec![f64::INFINITY; bare.len()];
    for _ in 0..ROUNDS {
        let begin = Instant::now();
        let recording = recording::read(black_box(text), &options).unwrap();
        ours = ours.min(begin.elapsed().as_secs_f64() * 1e3);
        assert!(recording.fixes.len() > 4000, "{} fixes", recording.fixes.len());
        drop(recording);
        for (run, time) in bare.iter().zip(&mut theirs) {
            let begin = Instant::now();
            assert!(black_box(run(black_box(text))) > 0.0);
            *time = time.min(begin.elapsed().as_secs_f64() * 1e3);
        }
    }
    (ours, theirs)
}
