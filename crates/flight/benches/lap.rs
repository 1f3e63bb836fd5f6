//! Flies a number of steps and prints how long they took: `lap RULE EARTH STEPS`, with RULE `single` (one evaluation of the
//! forces a step) or `runge-kutta-4`, EARTH `flat` or `wgs84`. For comparison in one run (`cargo xtask peers`) and for
//! counting instructions (`cargo xtask instructions`). Without arguments: a short lap of each.

#![allow(clippy::print_stdout, reason = "a program that prints one line")]
#![allow(
    clippy::disallowed_methods,
    reason = "it takes the time, and its arguments from the command line"
)]

#[path = "../tests/it/rigid_body/airframes.rs"]
mod airframes;

use std::hint::black_box;
use std::time::Instant;

use base::frames::{Attitude, Vec3};
use base::numerics::ode::runge_kutta_4;
use flight::air::{AirColumn, Day};
use flight::controls::Inputs;
use flight::earth::Earth;
use flight::vehicle::{State, StateArray, World};
use flight::wind::Wind;

const STEP_S: f64 = 1.0 / 120.0;

fn main() {
    let arguments: Vec<String> = std::env::args().skip(1).filter(|a| a != "--bench").collect();
    let words: Vec<&str> = arguments.iter().map(String::as_str).collect();
    match words[..] {
        [rule, earth, steps] => lap(rule, earth, steps.parse().unwrap_or(0)),
        _ => {
            for (rule, earth) in [("single", "flat"), ("runge-kutta-4", "wgs84")] {
                lap(rule, earth, 1000);
            }
        }
    }
}

fn lap(rule: &str, earth: &str, steps: usize) {
    let earth = if earth == "flat" { Earth::FLAT } else { Earth::WGS84 };
    let air = AirColumn::of_day(&Day::standard(), -500.0, 8000.0);
    let world = World { earth, air: &air, wind: &Wind::CALM };
    let vehicle = airframes::trainer(1.0, airframes::Scale::ONE);
    let inputs = Inputs { throttle: 0.7, ..Inputs::default() };
    let place = base::geodesy::Geodetic::from_deg(47.0, 8.0, 1200.0);
    let level = Attitude { heading_rad: 0.3, pitch_rad: 0.03, bank_rad: 0.0 };
    let velocity = Vec3::new(48.0, 15.0, 0.0);
    let mut state = State::at(&earth, earth.position(place), velocity, level, Vec3::ZERO);
    state.engine = 220.0;
    let mut state = state.to_array();
    let rate = |t: f64, y: &StateArray| vehicle.rate(&world, t, y, &inputs);
    let begin = Instant::now();
    for step in 0..steps {
        let time_s = step as f64 * STEP_S;
        if rule == "single" {
            let k = rate(time_s, &state);
            state = std::array::from_fn(|i| state[i] + STEP_S * k[i]);
        } else {
            state = runge_kutta_4(rate, time_s, &state, STEP_S);
        }
    }
    let ns = begin.elapsed().as_nanos() as f64 / steps.max(1) as f64;
    let end = State::from_array(black_box(&state));
    let height_m = earth.place(end.position_m).height_m;
    println!(
        "{rule} {steps} steps {ns:.1} ns each, at {:.1} m/s and {height_m:.0} m",
        end.velocity_on(&earth).norm()
    );
}
