//! The best chandelle of the reference airplane A (invented there), for a comparison by wall clock: arguments are the number of
//! intervals and of repeats; prints milliseconds of a cold solve (median), the height gained and the objective in meters.

#![allow(clippy::disallowed_methods, reason = "a bench reads the clock and its arguments")]
#![allow(clippy::print_stdout, reason = "its answer is what it prints")]

use std::time::Instant;

use base::factors::RAD_PER_DEG;
use base::units::Area;
use flight::airplane::{Airplane, Thrust, bundled};
use flight::point_mass::{DensityColumn, PointMass, state};
use maneuver::optimum::climb::{Climb, solve_climb};
use maneuver::optimum::{Limits, Mesh};

fn airplane_a() -> Airplane {
    let mut airplane = bundled::load("plover-160").expect("it is bundled");
    airplane.wing_area = Area::from_m2(16.2);
    let polar = &mut airplane.aerodynamics;
    (polar.drag_zero_lift, polar.drag_induced, polar.lift_max) = (0.034, 0.0566, 1.45);
    (polar.lift_slope_per_rad, polar.lift_at_zero_incidence) = (4.9, 0.26);
    airplane.thrust = Thrust::Polynomial {
        static_n: 2750.0,
        slope_n_per_mps: -14.0,
        curvature_n_per_mps2: -0.12,
    };
    airplane
}

fn main() {
    let numbers: Vec<usize> = std::env::args().filter_map(|word| word.parse().ok()).collect();
    let [intervals, repeats] = numbers[..] else {
        return println!("intervals and repeats, please");
    };
    let airplane = airplane_a();
    let air = DensityColumn::constant(1.225);
    let body = PointMass { airplane: &airplane, mass_kg: 1000.0, air };
    let limits = Limits {
        lift_rate_per_s: 0.5,
        roll_rate_radps: 30.0 * RAD_PER_DEG,
        load_min: 0.5,
        load_max: 2.5,
        bank_max_rad: 30.0 * RAD_PER_DEG,
        stall_margin: 1.05,
    };
    let asked = Climb { limits, time_max_s: 31.7 };
    // A quarter of the intervals first: the fine mesh begins near its answer.
    let mesh = if intervals % 4 == 0 {
        Mesh { intervals: intervals / 4, doublings: 2, accuracy: 0.0 }
    } else {
        Mesh { intervals, doublings: 0, accuracy: 0.0 }
    };
    let solve = || solve_climb(&body, (50.0, 0.0), &asked, &mesh).expect("it is solved");
    let mut times_ms = Vec::new();
    for _ in 0..repeats.max(1) {
        let begin = Instant::now();
        std::hint::black_box(solve());
        times_ms.push(1e3 * begin.elapsed().as_secs_f64());
    }
    times_ms.sort_by(f64::total_cmp);
    let found = solve();
    let flown = found.history.fly(&body, 50.0, 0.0).expect("it is flown");
    let height_m = flown.state(flown.end_s)[state::HEIGHT];
    println!("{} {height_m} {}", times_ms[times_ms.len() / 2], found.objective);
}
