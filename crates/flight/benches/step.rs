//! The rigid airplane: one evaluation of all forces, one step, one trim, one minute of maneuver.
//! Goals: a trim under 200 microseconds, the minute under 5 milliseconds.

#![allow(missing_docs, reason = "the macros of the harness make items without")]

#[path = "shared/trainer.rs"]
mod trainer;

use std::hint::black_box;

use base::numerics::ode::{AdamsBashforth2, Control, Stop, integrate, runge_kutta_4};
use criterion::{Criterion, criterion_group, criterion_main};
use flight::earth::Earth;
use flight::trim::trim;
use flight::vehicle::{COUNT, StateArray};
use trainer::{Scene, hands};

const STEP_S: f64 = 1.0 / 120.0;

fn steps(criterion: &mut Criterion) {
    for (name, earth) in [("flat", Earth::FLAT), ("wgs84", Earth::WGS84)] {
        let scene = Scene::new(earth);
        let (vehicle, world) = (&scene.vehicle, scene.world());
        let (state, inputs) = scene.level();
        let rate = |t: f64, y: &StateArray| vehicle.rate(&world, t, y, &inputs);
        let mut group = criterion.benchmark_group(name);
        group.bench_function("rate", |bench| bench.iter(|| rate(0.0, black_box(&state))));
        group.bench_function("instant with shares", |bench| {
            bench.iter(|| vehicle.instant(&world, 0.0, black_box(&state), &inputs));
        });
        let mut single = AdamsBashforth2::new();
        group.bench_function("step of one evaluation", |bench| {
            bench.iter(|| single.step(rate, 0.0, black_box(&state), STEP_S));
        });
        group.bench_function("step of Runge-Kutta 4", |bench| {
            bench.iter(|| runge_kutta_4(rate, 0.0, black_box(&state), STEP_S));
        });
        for (name, conditions) in
            [("trim level", scene.conditions()), ("trim climbing turn", scene.climbing_turn())]
        {
            assert!(trim(vehicle, &world, &conditions).expect("good conditions").converged());
            group.bench_function(name, |bench| {
                bench.iter(|| trim(vehicle, &world, black_box(&conditions)));
            });
        }
        group.finish();
    }
}

fn minute(criterion: &mut Criterion) {
    let scene = Scene::new(Earth::FLAT);
    let (vehicle, world) = (&scene.vehicle, scene.world());
    let (start, trimmed) = scene.level();
    let rate = |t: f64, y: &StateArray| vehicle.rate(&world, t, y, &hands(&trimmed, t, y));
    let fixed = |start: &StateArray| {
        let mut state = *start;
        for step in 0..6000 {
            state = runge_kutta_4(rate, f64::from(step) * 0.01, &state, 0.01);
        }
        state
    };
    let control = Control {
        relative: 1e-7,
        absolute: 1e-7,
        step_first: 0.01,
        step_max: 1.0,
        steps_max: 100_000,
    };
    let adaptive =
        |start: &StateArray| integrate::<COUNT>(rate, (0.0, 60.0), *start, &control, &[]);
    let flown = adaptive(&start);
    assert_eq!(flown.stop, Stop::End);
    let (one, other) = (fixed(&start), flown.state_end);
    let apart = (0..3).map(|i| (one[i] - other[i]).abs()).fold(0.0, f64::max);
    assert!(apart < 0.5, "the two fly the same minute: {apart} m apart");
    let mut group = criterion.benchmark_group("minute");
    group.sample_size(30);
    group
        .bench_function("Runge-Kutta 4 at 100 Hz", |bench| bench.iter(|| fixed(black_box(&start))));
    group.bench_function("Dormand-Prince 5(4)", |bench| bench.iter(|| adaptive(black_box(&start))));
    group.finish();
}

criterion_group!(benches, steps, minute);
criterion_main!(benches);
