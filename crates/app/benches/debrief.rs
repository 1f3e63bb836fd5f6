//! The debrief of one hour of flying, from bytes to findings, beside reading alone: the ratio is what reconstruction and
//! assessment cost. Linear in the length of the recording; the page solves a reference flight for each attempt when the
//! airplane is known.

#![allow(missing_docs, reason = "the macros of the harness make items without")]

use app::answer::Wanted;
use app::debrief::{Brought, Told, debrief};
use app::{Answer, choose};
use assess::debrief::DebriefContext;
use criterion::{Criterion, criterion_group, criterion_main};
use std::hint::black_box;
use synthetic::receiver::Receiver;
use synthetic::{demo, table};

/// About an hour: the invented lesson three times over, as a CSV file with this many fixes a second.
fn hour(fixes_per_second: usize) -> Brought {
    let airplane = choose::known_airplane(demo::AIRPLANE).expect("the demo airplane is known");
    let day = demo::day();
    let lesson = demo::script();
    let script = [lesson.as_slice(), &lesson, &lesson].concat();
    let flown = synthetic::fly(demo::setting(&airplane, &day), &script).expect("it can be flown");
    let fixes = Receiver::usual(10 / fixes_per_second, 9, 5).fixes(&flown);
    let bytes = table::csv("Invented: three lessons.", demo::start(), &fixes).into_bytes();
    Brought::new("hour.csv", bytes)
}

#[allow(clippy::print_stdout, reason = "a bench tells what it worked on")]
fn debriefs(criterion: &mut Criterion) {
    let standard = choose::known_standard(choose::usual_standard()).expect("bundled");
    let unknown = Told::default();
    let known = Told { airplane: choose::known_airplane(demo::AIRPLANE).ok(), ..Told::default() };
    for fixes_per_second in [1, 5] {
        let recording = hour(fixes_per_second);
        let mut group = criterion.benchmark_group(format!("one hour at {fixes_per_second} Hz"));
        group.sample_size(10);
        let options = recording::ReadOptions { name: "hour.csv".into(), ..Default::default() };
        group.bench_function("read", |bencher| {
            bencher.iter(|| recording::read(black_box(&recording.bytes), &options));
        });
        group.bench_function("debrief", |bencher| {
            bencher.iter(|| debrief(black_box(vec![recording.clone()]), &unknown, &standard));
        });
        group.bench_function("debrief with the airplane known", |bencher| {
            bencher.iter(|| debrief(black_box(vec![recording.clone()]), &known, &standard));
        });
        let read = recording::read(&recording.bytes, &options).expect("it can be read");
        let motion = motion::reconstruct(&read, &motion::Known::default()).expect("a motion");
        for (name, airplane) in [
            ("find, measure, judge, coach", None),
            ("the same with the airplane known", known.airplane.as_ref()),
        ] {
            let context =
                DebriefContext { airplane, standard: &standard, ground_elevation_m: None };
            let run = || assess::debrief::debrief(read.clone(), motion.clone(), &context);
            group.bench_function(name, |bencher| bencher.iter(|| black_box(run())));
            println!("{name}: {} attempts, each with its re-flights", run().attempts.len());
        }
        let answer =
            debrief(vec![recording.clone()], &known, &standard).expect("it can be debriefed");
        group.bench_function("reference flights and the page", |bencher| {
            bencher.iter(|| app::answer::render(black_box(&answer), &Wanted::format("html")));
        });
        group.bench_function("write JSON", |bencher| bencher.iter(|| black_box(&answer).json()));
        group.finish();
    }
}

/// One attempt of the lesson cut out of its recording, the one with the most faults that are flown again, from motion to coaching: no
/// re-flight of it takes longer than the whole.
#[allow(clippy::print_stdout, reason = "a bench tells what it worked on")]
fn one_attempt(criterion: &mut Criterion) {
    /// Flown straight before and after it, s.
    const AROUND_S: f64 = 30.0;
    let standard = choose::known_standard(choose::usual_standard()).expect("bundled");
    let airplane = choose::known_airplane(demo::AIRPLANE).expect("the demo airplane is known");
    let day = demo::day();
    let flown = synthetic::fly(demo::setting(&airplane, &day), &demo::script()).expect("it flies");
    let fixes = Receiver::usual(2, 9, 5).fixes(&flown);
    let context =
        DebriefContext { airplane: Some(&airplane), standard: &standard, ground_elevation_m: None };
    let options = recording::ReadOptions { name: "lesson.csv".into(), ..Default::default() };
    let debriefed = |fixes: &[recording::Fix]| {
        let bytes = table::csv("Invented: one lesson.", demo::start(), fixes).into_bytes();
        let read = recording::read(&bytes, &options).expect("it can be read");
        let motion = motion::reconstruct(&read, &motion::Known::default()).expect("a motion");
        let debrief = assess::debrief::debrief(read.clone(), motion.clone(), &context);
        (read, motion, debrief)
    };
    let reflown = |attempt: &assess::attempt::Attempt| {
        let faults = attempt.parts.iter().flat_map(|part| &part.faults);
        faults.filter(|fault| fault.refly.is_some()).count()
    };
    let (_, _, whole) = debriefed(&fixes);
    let richest = whole.attempts.iter().max_by_key(|attempt| reflown(attempt)).expect("attempts");
    let zero_s = fixes[0].time_s;
    let near = richest.start_s - AROUND_S..=richest.end_s + AROUND_S;
    let inside = |fix: &&recording::Fix| near.contains(&(fix.time_s - zero_s));
    let cut: Vec<_> = fixes.iter().filter(inside).cloned().collect();
    let (read, motion, debrief) = debriefed(&cut);
    for attempt in &debrief.attempts {
        println!(
            "{} of {:.0} s, {} re-flights",
            attempt.maneuver,
            attempt.end_s - attempt.start_s,
            reflown(attempt)
        );
    }
    criterion.bench_function("one attempt: find, measure, judge, fly again", |bencher| {
        bencher
            .iter(|| black_box(assess::debrief::debrief(read.clone(), motion.clone(), &context)));
    });
}

criterion_group!(benches, debriefs, one_attempt);
criterion_main!(benches);
