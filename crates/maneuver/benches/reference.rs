//! Reference flights: solved as a point mass, and flown at six degrees of freedom.
//! Goals on one core: a scheduled point mass under 2 milliseconds, six degrees under 30.

#![allow(missing_docs, reason = "the macros of the harness make items without")]

use std::hint::black_box;

use base::kinds::{GeometricHeight, TrueHeading};
use criterion::{Criterion, criterion_group, criterion_main};
use flight::air::Day;
use flight::airplane::bundled;
use maneuver::reference::Entry;
use maneuver::{Direction, catalog, rigid};

/// Maneuver and form.
const FLOWN: &[(&str, &str)] = &[
    ("steep-turn", "45"),
    ("chandelle", "shallow"),
    ("chandelle", "steep"),
    ("lazy-eight", "standard"),
    ("wing-over", "60"),
];

fn flights(criterion: &mut Criterion) {
    let day = Day::standard();
    for id in ["plover-160", "sandpiper-550"] {
        let airplane = bundled::load(id).expect("a bundled airplane");
        let mut group = criterion.benchmark_group(id);
        group.sample_size(10);
        for (name, key) in FLOWN {
            let maneuver = catalog::find(name).expect("in the catalogue");
            let form = *maneuver.forms().iter().find(|form| form.key == *key).expect("a form");
            let entry = Entry {
                form,
                direction: Direction::Left,
                mass: airplane.masses.typical,
                height: GeometricHeight::from_m(1000.0),
                heading: TrueHeading::NORTH,
                speed: None,
            };
            let reference = maneuver.fly(&airplane, &day, &entry).expect("it is flown");
            group.bench_function(format!("{name} {key}, point mass"), |bench| {
                bench.iter(|| maneuver.fly(&airplane, &day, black_box(&entry)));
            });
            group.bench_function(format!("{name} {key}, six degrees"), |bench| {
                bench.iter(|| rigid::fly(&airplane, &day, &entry, black_box(&reference)));
            });
        }
        group.finish();
    }
}

criterion_group!(benches, flights);
criterion_main!(benches);
