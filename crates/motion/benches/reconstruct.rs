//! Time and memory of a reconstruction: one hour of five fixes a second with airspeed, ten such hours, and one hour of a panel log with
//! attitude. Wanted of the first are 150 ms on one core and 64 MiB, and ten times as much of the second. The figures an hour are
//! printed at the end.

#[path = "../tests/it/closed_form.rs"]
mod closed_form;

use std::hint::black_box;
use std::time::Instant;

use criterion::{Criterion, criterion_group, criterion_main};
use motion::{Known, reconstruct};

const CASES: [(&str, f64, bool); 3] = [
    ("one hour at 5 Hz with airspeed", 1.0, false),
    ("ten hours", 10.0, false),
    ("one hour of a panel", 1.0, true),
];
const BYTES_PER_MIB: f64 = 1_048_576.0;

#[allow(
    clippy::disallowed_methods,
    clippy::print_stdout,
    reason = "a bench reads the clock and tells its figures"
)]
fn reconstruction(bench: &mut Criterion) {
    let mut group = bench.benchmark_group("reconstruct");
    group.sample_size(10);
    for (name, hours, panel) in CASES {
        let recording = closed_form::lesson(hours, panel);
        let run = || reconstruct(black_box(&recording), &Known::default()).expect("a motion");
        group.bench_function(name, |b| b.iter(run));
        let started = Instant::now();
        let held = allocation_counter::measure(|| drop(run()));
        let ms = started.elapsed().as_secs_f64() * 1e3 / hours;
        let mib = held.bytes_max as f64 / BYTES_PER_MIB / hours;
        println!("{name}: {ms:.0} ms and {mib:.1} MiB an hour");
    }
    group.finish();
}

criterion_group!(benches, reconstruction);
criterion_main!(benches);
