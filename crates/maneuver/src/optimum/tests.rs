//! Best flights against optima computed elsewhere (checks/optimum: CasADi with Ipopt on the same equations; figures of its README typed in).

use base::factors::RAD_PER_DEG;
use flight::airplane::Airplane;
use flight::point_mass::{DensityColumn, PointMass, state};

use super::climb::{Climb, solve_climb};
use super::history::where_turned;
use super::{Limits, Mesh};
use crate::solve::tests::{airplane_a, navion};

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
        checks::assert_near("gain", end[state::HEIGHT], gain_m, 2e-4 * gain_m);
    }
}

/// Case 1c of the airplane A: bank programmed, pull free.
#[test]
fn val_best_climb_with_the_bank_programmed() {
    let a = airplane_a();
    let body = body(&a, 1000.0);
    let asked = Climb { limits: limits(30.0), time_max_s: 31.7 };
    let bank_rad = 30.0 * RAD_PER_DEG;
    let found = super::programmed::solve_programmed(
        &body,
        (50.0, 0.0),
        (&asked, bank_rad),
        &Mesh::default(),
    )
    .unwrap();
    let flown = found.history.fly(&body, 50.0, 0.0).unwrap();
    let end = flown.state(flown.end_s);
    checks::assert_near("gain", end[state::HEIGHT], 217.208, 2e-4 * 217.208);
    checks::assert_near("time of the first phase", found.phases_s[0], 10.9479, 0.02);
}

/// Case 4: objective, power, height at course 90.
#[test]
fn val_wing_over() {
    use super::wing_over::{WingOver, solve_wing_over};
    let (a, n) = (airplane_a(), navion());
    let cases = [
        (&a, 1000.0, 50.0, 60.0, [2.093_685, 0.587_223, 86.260]),
        (&a, 1000.0, 50.0, 80.0, [2.890_030, 0.620_231, 79.798]),
        (&n, 1247.379, 53.6448, 70.0, [2.404_259, 0.7535, 95.038]),
    ];
    for (airplane, mass_kg, speed_mps, bank_deg, [objective, power, height_m]) in cases {
        let body = body(airplane, mass_kg);
        let limits = Limits { load_min: 0.0, load_max: 3.0, ..limits(bank_deg) };
        let asked = WingOver { limits, climb_45_rad: 25.0 * RAD_PER_DEG };
        let mesh = Mesh { intervals: 10, ..Mesh::default() };
        let found = solve_wing_over(&body, (speed_mps, 0.0), &asked, &mesh).unwrap();
        checks::assert_near("objective", found.objective, objective, 2e-4 * objective);
        checks::assert_near("power", found.history.power_share, power, 5e-4);
        let flown = found.history.fly(&body, speed_mps, 0.0).unwrap();
        let quarter = 90.0 * RAD_PER_DEG;
        let top = where_turned(&flown, &body, &found.history, quarter).unwrap();
        checks::assert_near("height at 90", top.state[state::HEIGHT], height_m, 0.1);
        let end = flown.state(flown.end_s);
        checks::assert_near("height at the end", end[state::HEIGHT], 0.0, 0.05);
        checks::assert_near("speed at the end", end[state::SPEED], speed_mps, 0.01);
    }
}

/// Case 5: quickest turns, and the closed forms of the sustained one.
#[test]
fn val_level_turns() {
    use super::sustained::{bank_at, best_rate};
    use super::turn::{LevelTurn, solve_turn};
    let (a, n) = (airplane_a(), navion());
    let steep = base::math::acos(1.0 / 2.5);
    let cases = [
        (&a, 1000.0, 50.0, 180.0, steep, false, [9.8518, 49.610]),
        (&a, 1000.0, 38.768_31, 360.0, 60.0 * RAD_PER_DEG, true, [17.7352, 43.635]),
        (&n, 1247.379, 36.0588, 180.0, 60.0 * RAD_PER_DEG, true, [11.6316, 37.667]),
        (&n, 1247.379, 53.6448, 360.0, steep, false, [17.3646, 40.218]),
    ];
    for (airplane, mass_kg, speed_mps, turn_deg, bank_max_rad, hold, wanted) in cases {
        let body = body(airplane, mass_kg);
        let asked = LevelTurn {
            turn_rad: turn_deg * RAD_PER_DEG,
            bank_max_rad,
            roll_rate_radps: 30.0 * RAD_PER_DEG,
            stall_margin: 1.05,
            hold,
        };
        let found = solve_turn(&body, (speed_mps, 0.0), &asked, &Mesh::default()).unwrap();
        checks::assert_near("time", found.phases_s.iter().sum(), wanted[0], 5e-4 * wanted[0]);
        let flown = found.history.fly(&body, speed_mps, 0.0).unwrap();
        let end = flown.state(flown.end_s);
        checks::assert_near("speed", end[state::SPEED], wanted[1], 0.05);
        checks::assert_near("height held", end[state::HEIGHT], 0.0, 1e-6);
    }
    for (airplane, mass_kg, speed_mps, bank_deg) in
        [(&a, 1000.0, 39.246, 60.796), (&n, 1247.379, 36.059, 48.666)]
    {
        let (speed, load) = best_rate(&body(airplane, mass_kg), 0.0, 1.05, 3.8).unwrap();
        // There from a grid of speeds a few thousandths apart.
        checks::assert_near("best speed", speed, speed_mps, 4e-3);
        checks::assert_near("best bank", bank_at(load) / RAD_PER_DEG, bank_deg, 1e-3);
    }
}

/// Eight seconds for half a turn at 30 degrees of bank are not enough at 50 m/s (five degrees a second at the start).
#[test]
fn prop_a_turn_that_cannot_be_made_in_the_time_is_refused() {
    let a = airplane_a();
    let asked = Climb { limits: limits(30.0), time_max_s: 8.0 };
    let refused = solve_climb(&body(&a, 1000.0), (50.0, 0.0), &asked, &Mesh::default());
    let refused = refused.unwrap_err();
    assert!(refused.violation > 1e-3 && refused.to_string().contains("missed by"), "{refused}");
}

/// The overlay of the demo airplane: more height than its chandelle in the same time, by less than a tenth; left mirrors right.
#[test]
fn prop_the_overlay_gains_more_than_the_schedule() {
    use crate::catalog;
    use crate::definition::Direction;
    use crate::reference::Entry;
    let airplane = flight::airplane::bundled::load("plover-160").unwrap();
    let day = flight::air::Day::standard();
    let chandelle = catalog::ALL.iter().find(|maneuver| maneuver.id() == "chandelle").unwrap();
    let entry = Entry {
        form: chandelle.forms()[0],
        direction: Direction::Right,
        mass: airplane.masses.typical,
        height: base::kinds::GeometricHeight::from_m(900.0),
        heading: base::kinds::TrueHeading::from_deg(40.0),
        speed: None,
    };
    let scheduled = chandelle.fly(&airplane, &day, &entry).unwrap();
    let (first, last) = (scheduled.samples.first().unwrap(), scheduled.samples.last().unwrap());
    let overlay = super::overlay::of_chandelle(&airplane, &day, &entry, &scheduled).unwrap();
    let share = overlay.gain_m / (last.height_m - first.height_m);
    println!("{} against {}", overlay.gain_m, last.height_m - first.height_m);
    assert!((1.0..1.15).contains(&share), "{share}");
    let end = overlay.samples.last().unwrap();
    checks::assert_near("turned", end.turned_rad / RAD_PER_DEG, 180.0, 0.01);
    checks::assert_near("begins", overlay.samples[0].heading_rad / RAD_PER_DEG, 40.0, 1e-9);
    let left = Entry { direction: Direction::Left, ..entry };
    let mirrored = super::overlay::of_chandelle(&airplane, &day, &left, &scheduled).unwrap();
    let other = mirrored.samples.last().unwrap();
    checks::assert_near("height", other.height_m, end.height_m, 1e-9);
    checks::assert_near(
        "bank",
        mirrored.samples[60].bank_rad,
        -overlay.samples[60].bank_rad,
        1e-12,
    );
}
