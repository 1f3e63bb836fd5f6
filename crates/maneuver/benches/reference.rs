//! Reference flights of the whole catalogue, solved as a point mass and measured by the time of the processor; a few also flown at
//! six degrees of freedom. Goals on one core: a scheduled point mass under 2 milliseconds, six degrees under 30.

#![allow(missing_docs, reason = "the macros of the harness make items without")]
#![allow(clippy::disallowed_methods, reason = "a bench reads the clock")]

use std::hint::black_box;
use std::time::{Duration, Instant};

use base::kinds::{GeometricHeight, TrueHeading};
use criterion::measurement::{Measurement, ValueFormatter, WallTime};
use criterion::{Criterion, criterion_group, criterion_main};
use flight::air::Day;
use flight::airplane::{Airplane, bundled};
use maneuver::reference::Entry;
use maneuver::{Direction, Form, catalog, rigid};

/// Time this thread has had of the processor where the system tells it, else by the clock on the wall: others may share the machine.
struct ProcessorTime(WallTime, Instant);

impl Measurement for ProcessorTime {
    type Intermediate = Duration;
    type Value = Duration;
    fn start(&self) -> Duration {
        let told = std::fs::read_to_string("/proc/thread-self/schedstat").ok();
        let nanoseconds = told.and_then(|text| text.split(' ').next()?.parse().ok());
        nanoseconds.map_or_else(|| self.1.elapsed(), Duration::from_nanos)
    }
    fn end(&self, begun: Duration) -> Duration {
        self.start().saturating_sub(begun)
    }
    fn add(&self, a: &Duration, b: &Duration) -> Duration {
        *a + *b
    }
    fn zero(&self) -> Duration {
        Duration::ZERO
    }
    fn to_f64(&self, value: &Duration) -> f64 {
        self.0.to_f64(value)
    }
    fn formatter(&self) -> &dyn ValueFormatter {
        self.0.formatter()
    }
}

/// Maneuver and form that six degrees are measured on.
const RIGID: &[(&str, &str)] = &[
    ("steep-turn", "45"),
    ("chandelle", "shallow"),
    ("chandelle", "steep"),
    ("lazy-eight", "standard"),
    ("wing-over", "60"),
];

fn entry(airplane: &Airplane, form: Form) -> Entry {
    Entry {
        form,
        direction: Direction::Left,
        mass: airplane.masses.typical,
        height: GeometricHeight::from_m(1000.0),
        heading: TrueHeading::NORTH,
        speed: None,
    }
}

fn flights(criterion: &mut Criterion<ProcessorTime>) {
    let day = Day::standard();
    for (id, _) in bundled::ALL {
        let airplane = bundled::load(id).expect("a bundled airplane");
        let mut group = criterion.benchmark_group(*id);
        group.sample_size(10);
        for maneuver in catalog::ALL {
            for form in maneuver.forms() {
                let entry = entry(&airplane, *form);
                // What cannot be flown is not measured.
                let Ok(reference) = maneuver.fly(&airplane, &day, &entry) else { continue };
                let name = format!("{} {}", maneuver.id(), form.key);
                group.bench_function(format!("{name}, point mass"), |bench| {
                    bench.iter(|| maneuver.fly(&airplane, &day, black_box(&entry)));
                });
                if RIGID.contains(&(maneuver.id(), form.key)) {
                    group.bench_function(format!("{name}, six degrees"), |bench| {
                        bench.iter(|| rigid::fly(&airplane, &day, &entry, black_box(&reference)));
                    });
                }
            }
        }
        group.finish();
    }
}

criterion_group! {
    name = benches;
    config = Criterion::default()
        .with_measurement(ProcessorTime(WallTime, Instant::now()))
        .warm_up_time(Duration::from_millis(300))
        .measurement_time(Duration::from_secs(1));
    targets = flights
}
criterion_main!(benches);
