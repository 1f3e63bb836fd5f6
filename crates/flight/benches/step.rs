//! The rigid airplane: one evaluation of all forces, one step, one trim, one minute of maneuver.
//! Goals: a trim under 200 microseconds, the minute under 5 milliseconds (at one evaluation a step, at the step of the program's own
//! flights, and by the rule that chooses its steps).

#![allow(missing_docs, reason = "the macros of the harness make items without")]
#![allow(clippy::print_stdout, reason = "a bench prints")]

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

/// Step of the program's own flights of the rigid body: two between nodes 0.05 s apart.
const OWN_STEP_S: f64 = 0.025;

/// A minute of maneuvers by each rule, and how far its end is from that of steps of a millisecond.
fn minute(criterion: &mut Criterion) {
    let scene = Scene::new(Earth::FLAT);
    let (vehicle, world) = (&scene.vehicle, scene.world());
    let (start, trimmed) = scene.level();
    let rate = |t: f64, y: &StateArray| vehicle.rate(&world, t, y, &hands(&start, &trimmed, t, y));
    let by_four = |step_s: f64| {
        let mut state = black_box(start);
        for step in 0..(60.0 / step_s).round() as u32 {
            state = runge_kutta_4(rate, f64::from(step) * step_s, &state, step_s);
        }
        state
    };
    let by_one = || {
        let (mut state, mut rule) = (black_box(start), AdamsBashforth2::new());
        for step in 0..7200 {
            state = rule.step(rate, f64::from(step) * STEP_S, &state, STEP_S);
        }
        state
    };
    let control = Control {
        relative: 1e-6,
        absolute: 1e-6,
        step_first: 0.01,
        step_max: 1.0,
        steps_max: 100_000,
    };
    let adaptive = || {
        let flown = integrate::<COUNT>(rate, (0.0, 60.0), black_box(start), &control, &[]);
        assert_eq!(flown.stop, Stop::End);
        flown.state_end
    };
    let exact = by_four(0.001);
    let mut group = criterion.benchmark_group("minute");
    group.sample_size(30);
    let rules: [(&str, &dyn Fn() -> StateArray, f64); 5] = [
        ("one evaluation a step, 1/120 s", &by_one, 2.0),
        ("Runge-Kutta 4, 1/120 s", &|| by_four(STEP_S), 0.05),
        ("Runge-Kutta 4, 0.01 s", &|| by_four(0.01), 0.05),
        ("Runge-Kutta 4, 0.025 s, the program's own", &|| by_four(OWN_STEP_S), 0.05),
        ("Dormand-Prince 5(4), 1e-6", &adaptive, 0.05),
    ];
    for (name, fly, within_m) in rules {
        let end = fly();
        let apart_m = (0..3).map(|i| (end[i] - exact[i]) * (end[i] - exact[i])).sum::<f64>().sqrt();
        println!("{name}: ends {apart_m:.1e} m from the flight in steps of a millisecond");
        assert!(apart_m < within_m, "{name}: {apart_m} m");
        group.bench_function(name, |bench| bench.iter(fly));
    }
    group.finish();
}

criterion_group!(benches, steps, minute);
criterion_main!(benches);
