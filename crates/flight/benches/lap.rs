//! Flies the piston trainer for a number of steps of 1/120 s and prints how long one took, in nanoseconds:
//! `lap RULE EARTH FORM STEPS`, with RULE `single` (one evaluation of the forces a step), `runge-kutta-4` or `rate` (the evaluation
//! alone), EARTH `flat` or `wgs84`, FORM of the air forces `components` or `tables`. For comparison within one run (`cargo xtask peers`) and for counting instructions
//! (`cargo xtask instructions`).

#![allow(clippy::print_stdout, clippy::print_stderr, reason = "a program that prints one line")]
#![allow(clippy::disallowed_methods, reason = "it takes the time, and words from the command line")]

#[path = "shared/trainer.rs"]
mod trainer;

use std::hint::black_box;
use std::process::ExitCode;
use std::time::Instant;

use base::numerics::ode::{AdamsBashforth2, runge_kutta_4};
use flight::earth::Earth;
use flight::vehicle::StateArray;
use trainer::Scene;

const STEP_S: f64 = 1.0 / 120.0;

fn main() -> ExitCode {
    let arguments: Vec<String> = std::env::args().skip(1).filter(|a| a != "--bench").collect();
    let words: Vec<&str> = arguments.iter().map(String::as_str).collect();
    let [rule, earth, form, steps] = words[..] else {
        return ExitCode::SUCCESS; // called among all benches: nothing is asked
    };
    let earth = if earth == "flat" { Earth::FLAT } else { Earth::WGS84 };
    let ns = steps.parse().ok().and_then(|steps| lap(rule, earth, form, steps));
    if let Some(ns) = ns {
        println!("{ns:.2}");
        return ExitCode::SUCCESS;
    }
    eprintln!(
        "lap: RULE is single, runge-kutta-4 or rate; EARTH flat or wgs84; FORM components or tables; STEPS a number"
    );
    ExitCode::from(2)
}

/// Nanoseconds a step; `None` for an unknown rule.
fn lap(rule: &str, earth: Earth, form: &str, steps: u32) -> Option<f64> {
    let scene = match form {
        "components" => Scene::new(earth),
        "tables" => Scene::tabulated(earth),
        _ => return None,
    };
    let (vehicle, world) = (&scene.vehicle, scene.world());
    let (start, inputs) = scene.level();
    let mut state = start;
    let rate = |t: f64, y: &StateArray| vehicle.rate(&world, t, y, &inputs);
    let mut single = AdamsBashforth2::new();
    let begin = Instant::now();
    for step in 0..steps {
        let time_s = f64::from(step) * STEP_S;
        match rule {
            "single" => state = single.step(rate, time_s, &state, STEP_S),
            "runge-kutta-4" => state = runge_kutta_4(rate, time_s, &state, STEP_S),
            "rate" => {
                black_box(rate(time_s, black_box(&state)));
            }
            _ => return None,
        }
    }
    let ns = begin.elapsed().as_nanos() as f64 / f64::from(steps.max(1));
    // Hands off, the trimmed airplane is somewhere near for a while: a lap that flew away would measure something else.
    assert!(
        steps > 30_000 || vehicle.check(&vehicle.instant(&world, 0.0, &state, &inputs)).is_ok()
    );
    Some(ns)
}
