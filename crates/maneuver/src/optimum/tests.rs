//! Best flights against optima computed elsewhere (checks/optimum: CasADi with Ipopt on the same equations; figures of its README typed in).

use base::factors::RAD_PER_DEG;
use flight::airplane::Airplane;
use flight::point_mass::{DensityColumn, PointMass, state};

use super::climb::{Climb, solve_climb};
use super::{Limits, Mesh};
use crate::solve::tests::airplane_a;

fn body(airplane: &Airplane, mass_kg: f64) -> PointMass<'_> {
    PointMass { airplane, mass_kg, air: DensityColumn::constant(1.225) }
}

fn limits(bank_max_deg: f64) -> Limits {
    Limits {
        lift_rate_per_s: 0.5,
        roll_rate_radps: 30.0 * RAD_PER_DEG,
        load_min: 0.5,
        load_max: 2.5,
        bank_max_rad: bank_max_deg * RAD_PER_DEG,
        stall_margin: 1.05,
    }
}

/// Case 1a and 1b of the airplane A.
#[test]
fn val_best_climb() {
    let a = airplane_a();
    let body = body(&a, 1000.0);
    for (bank_deg, time_max_s, gain_m) in [(30.0, 31.7, 219.664), (60.0, 12.0, 118.789)] {
        let asked = Climb { limits: limits(bank_deg), time_max_s };
        let found = solve_climb(&body, (50.0, 0.0), &asked, &Mesh::default()).unwrap();
        let flown = found.history.fly(&body, 50.0, 0.0).unwrap();
        let end = flown.state(flown.end_s);
        println!("{} {:?} its {} n {} {:?}", found.objective, found.change, found.iterations, found.intervals, end);
        checks::assert_near("gain", end[state::HEIGHT], gain_m, 2e-4 * gain_m);
    }
}
