//! Handbook rows (checks/numeric-checks-handbook.csv; each row names its book there) that concern loads, stalls, turns, energy.

use base::factors::{M_PER_FT, MPS_PER_KT, RAD_PER_DEG, STANDARD_GRAVITY_MPS2};
use base::units::{Angle, LoadFactor, Mass};
use checks::{Row, Table, assert_near};
use flight::airplane::bundled;
use flight::envelope::{
    bank_for_rate_rad, level_turn_bank, level_turn_load_factor, level_turn_radius_m,
    level_turn_rate_radps, normal_category_limit_load,
};

/// The number after `key=` in the inputs of a row.
fn input(row: &Row<'_>, key: &str) -> Option<f64> {
    let inputs = row.text("inputs");
    let at = inputs.find(&format!("{key}="))? + key.len() + 1;
    let number: String =
        inputs[at..].chars().take_while(|c| c.is_ascii_digit() || matches!(c, '.' | '-')).collect();
    number.parse().ok()
}

/// What the engine says for a row; `None` for rows that are not computed here.
fn computed(row: &Row<'_>) -> Option<f64> {
    let (topic, quantity) = (row.text("topic"), row.text("quantity"));
    let bank = input(row, "bank").map(|degrees| degrees * RAD_PER_DEG);
    let speed = input(row, "TAS").map(|knots| knots * MPS_PER_KT);
    let load = input(row, "n").map(LoadFactor::from_g);
    Some(match (topic, quantity) {
        ("load_factor", "bank at which a level turn reaches n") => level_turn_bank(load?).to_deg(),
        ("load_factor", _) => level_turn_load_factor(Angle::from_rad(bank?)).to_g(),
        ("stall_vs_bank", "stall speed") => {
            input(row, "Vs1g")? * level_turn_load_factor(Angle::from_rad(bank?)).to_g().sqrt()
        }
        ("stall_vs_bank", _) => stall_factor(level_turn_load_factor(Angle::from_rad(bank?))),
        ("stall_vs_load", _) => stall_factor(load?),
        ("turn_radius", "bank for radius 1 NM") => {
            let (v, r) = (speed?, base::factors::M_PER_NM);
            base::math::atan(v * v / (STANDARD_GRAVITY_MPS2 * r)) / RAD_PER_DEG
        }
        // This row is worked with g = 10 m/s2 on purpose.
        ("turn_radius", "radius, exercise uses g=10") => return None,
        ("turn_radius", _) => level_turn_radius_m(speed?, bank?) / M_PER_FT,
        ("turn_rate", "time for 360 deg") => {
            360.0 * RAD_PER_DEG / level_turn_rate_radps(speed?, bank?)
        }
        ("turn_rate", _) => level_turn_rate_radps(speed?, bank?) / RAD_PER_DEG,
        ("standard_rate", "bank exact") => {
            bank_for_rate_rad(speed?, 3.0 * RAD_PER_DEG) / RAD_PER_DEG
        }
        ("standard_rate", "radius") => speed? / (3.0 * RAD_PER_DEG) / M_PER_FT,
        ("limit_load", "normal category n = min(3.8, 2.1+24000/(W+10000))") => {
            normal_category_limit_load(Mass::from_lb(input(row, "W")?)).to_g()
        }
        _ => return None,
    })
}

/// Ratio of stall speeds by the engine's own stall speed.
fn stall_factor(load: LoadFactor) -> f64 {
    let airplane = bundled::load("plover-160").expect("a bundled airplane");
    let mass = airplane.masses.typical;
    airplane.stall_speed(mass, load) / airplane.stall_speed(mass, LoadFactor::from_g(1.0))
}

#[test]
fn val_handbook_rows() {
    let Some(table) = Table::read("numeric-checks-handbook.csv") else { return };
    let mut n_checked = 0;
    for row in table.rows() {
        if let Some(value) = computed(&row) {
            let name =
                format!("{} {} {}", row.text("topic"), row.text("quantity"), row.text("inputs"));
            let tolerance = row.number("tolerance_suggested");
            assert_near(
                &name,
                value,
                row.number("expected"),
                if tolerance.is_nan() { 0.005 } else { tolerance },
            );
            n_checked += 1;
        }
    }
    println!("{n_checked} handbook rows checked");
    assert!(n_checked >= 75, "only {n_checked} rows were recognized");
}

/// Rows typed in: FAA-H-8083-25 chapter 5 (2 g at 60 degrees), FAA-H-8083-3A p. 9-2 (3 g at 70), a worked example (2,208 ft).
#[test]
fn val_handbook_rows_typed_in() {
    assert_near("n at 60", level_turn_load_factor(Angle::from_deg(60.0)).to_g(), 2.0, 1e-9);
    assert_near("n at 70", level_turn_load_factor(Angle::from_deg(70.0)).to_g(), 3.0, 0.1);
    assert_near(
        "radius",
        level_turn_radius_m(120.0 * MPS_PER_KT, 30.0 * RAD_PER_DEG) / M_PER_FT,
        2208.0,
        2.0,
    );
    assert_near("doubled at 4 g", stall_factor(LoadFactor::from_g(4.0)), 2.0, 1e-9);
}

/// Maneuvering speed falls with the square root of weight (PHAK chapter 5): 105 kt at 2,550 lb is 93.0 kt at 2,000 lb.
#[test]
fn val_maneuvering_speed_by_weight() {
    let mut airplane = bundled::load("plover-160").expect("a bundled airplane");
    airplane.position_error.clear();
    airplane.masses.maximum = Mass::from_lb(2550.0);
    airplane.speeds.maneuvering = base::kinds::IndicatedAirspeed::from_kt(105.0);
    assert_near("V_A", airplane.maneuvering_speed(Mass::from_lb(2000.0)).to_kt(), 93.0, 0.1);
}

/// checks/manoeuvre/level_turn_closed_form.csv.
#[test]
fn val_level_turns() {
    let Some(table) = Table::read("manoeuvre/level_turn_closed_form.csv") else { return };
    for row in table.rows() {
        let (speed, bank) =
            (row.number("TAS_kt") * MPS_PER_KT, row.number("bank_deg") * RAD_PER_DEG);
        let load = level_turn_load_factor(Angle::from_rad(bank));
        assert_near("n", load.to_g(), row.number("n"), 1e-6);
        assert_near(
            "rate",
            level_turn_rate_radps(speed, bank) / RAD_PER_DEG,
            row.number("rate_deg_s"),
            1e-5,
        );
        assert_near("radius", level_turn_radius_m(speed, bank), row.number("radius_m"), 1e-3);
        assert_near("stall factor", stall_factor(load), row.number("stall_factor"), 1e-6);
    }
}

/// checks/manoeuvre/loop_energy_closed_form.csv and the constant-load row of the handbook table: the equations of motion
/// flown through a loop with thrust equal to drag.
#[test]
fn val_loops_flown() {
    let Some(table) = Table::read("manoeuvre/loop_energy_closed_form.csv") else { return };
    for row in table.rows() {
        let (radius, entry) = (row.number("radius_m"), row.number("V0_m_s"));
        // V' = -g sin(theta), theta' = V / R: the loop of constant radius without drag.
        let rate =
            |_: f64, x: &[f64; 2]| [-STANDARD_GRAVITY_MPS2 * base::math::sin(x[1]), x[0] / radius];
        let control = base::numerics::ode::Control {
            relative: 1e-11,
            absolute: 1e-11,
            step_first: 0.01,
            step_max: 1.0,
            steps_max: 10_000,
        };
        let top = |_: f64, x: &[f64; 2]| x[1] - std::f64::consts::PI;
        let half =
            base::numerics::ode::integrate(rate, (0.0, 100.0), [entry, 0.0], &control, &[&top]);
        assert_near("speed at the top", half.state_end[0], row.number("V_top_m_s"), 1e-4);
        assert_near("time", 2.0 * half.t_end, row.number("loop_time_s"), 1e-3);
    }
}
