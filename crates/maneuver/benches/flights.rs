//! Best flights, as a slider would ask for them. Goal: a climb of 80 intervals in a tenth, better a thirtieth, of what CasADi with
//! Ipopt takes (`cargo xtask peers` flies both).

#![allow(missing_docs, reason = "the macros of the harness make items without")]

use std::hint::black_box;

use base::factors::RAD_PER_DEG;
use base::units::Area;
use criterion::{Criterion, criterion_group, criterion_main};
use flight::airplane::{Airplane, Thrust, bundled};
use flight::point_mass::{DensityColumn, PointMass};
use maneuver::optimum::climb::{Climb, solve_climb};
use maneuver::optimum::wing_over::{WingOver, solve_wing_over};
use maneuver::optimum::{Limits, Mesh};

/// The airplane A of the reference optima (invented there).
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

fn best(criterion: &mut Criterion) {
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
    let mut group = criterion.benchmark_group("best flight");
    let asked = Climb { limits, time_max_s: 31.7 };
    for (name, intervals, doublings) in
        [("climb, 80 intervals by halving 10", 10, 3), ("climb, 80 intervals at once", 80, 0)]
    {
        let mesh = Mesh { intervals, doublings, accuracy: 0.0 };
        group.bench_function(name, |bench| {
            bench.iter(|| {
                solve_climb(&body, black_box((50.0, 0.0)), &asked, &mesh).expect("it is solved")
            });
        });
    }
    let limits =
        Limits { load_min: 0.0, load_max: 3.0, bank_max_rad: 60.0 * RAD_PER_DEG, ..limits };
    let asked = WingOver { limits, climb_45_rad: 25.0 * RAD_PER_DEG };
    let mesh = Mesh { intervals: 10, doublings: 2, accuracy: 0.0 };
    group.bench_function("wing-over, 40 intervals a phase", |bench| {
        bench.iter(|| {
            solve_wing_over(&body, black_box((50.0, 0.0)), &asked, &mesh).expect("it is solved")
        });
    });
    group.finish();
}

criterion_group! {
    name = benches;
    config = Criterion::default().sample_size(20).warm_up_time(std::time::Duration::from_millis(300))
        .measurement_time(std::time::Duration::from_secs(1));
    targets = best
}
criterion_main!(benches);
