//! Closed forms and published tables of flight in the vertical plane.

use base::factors::STANDARD_GRAVITY_MPS2;
use base::numerics::ode;

use super::{Command, State, level, path_from_ned, state};
use crate::airplane::{Airplane, Thrust, bundled};
use crate::point_mass::{self, DensityColumn, PointMass};

const FINE: ode::Control = ode::Control {
    relative: 1e-11,
    absolute: 1e-11,
    step_first: 0.01,
    step_max: 1.0,
    steps_max: 10_000,
};

/// An airplane without drag and thrust.
fn frictionless() -> Airplane {
    let mut airplane = bundled::load("sandpiper-550").unwrap();
    airplane.aerodynamics.drag_zero_lift = 0.0;
    airplane.aerodynamics.drag_induced = 0.0;
    airplane.thrust =
        Thrust::Polynomial { static_n: 0.0, slope_n_per_mps: 0.0, curvature_n_per_mps2: 0.0 };
    airplane
}

fn body(airplane: &Airplane) -> PointMass<'_> {
    PointMass {
        airplane,
        mass_kg: airplane.masses.typical.to_kg(),
        air: DensityColumn::constant(1.1),
    }
}

/// Flies a law of load and roll rate until the path has pitched this much; the state and time there.
fn fly(
    body: &PointMass<'_>,
    start: State,
    pitched_rad: f64,
    law: impl Fn(&State) -> (f64, f64),
) -> (State, f64) {
    let derivative = |_: f64, x: &State| {
        let (load_factor, roll_rate_radps) = law(x);
        body.derivative_vertical(x, &Command { load_factor, roll_rate_radps, power_share: 0.0 })
    };
    let there = move |_: f64, x: &State| x[state::PITCHED] - pitched_rad;
    let solution = ode::integrate(derivative, (0.0, 200.0), start, &FINE, &[&there]);
    assert_eq!(solution.stop, ode::Stop::Event(0));
    (solution.state_end, solution.t_end)
}

/// checks/manoeuvre/loop_energy_closed_form.csv (own closed form): speed, load and time round a loop of constant radius.
#[test]
fn val_round_loop_closed_form() {
    use base::math::cos;
    let airplane = frictionless();
    let body = body(&airplane);
    let round = |speed: f64, radius: f64, to_deg: f64| {
        let law = |x: &State| {
            let pull = x[state::SPEED] * x[state::SPEED] / (STANDARD_GRAVITY_MPS2 * radius);
            (pull + cos(x[state::PITCHED]), 0.0)
        };
        fly(&body, level(speed, 1000.0), to_deg * base::factors::RAD_PER_DEG, law)
    };
    // First row of the table: radius 60 m, no load at the top.
    let (top, _) = round(54.240_16, 60.0, 180.0);
    checks::assert_near("speed at the top", top[state::SPEED], 24.256_94, 1e-4);
    let Some(table) = checks::Table::read("manoeuvre/loop_energy_closed_form.csv") else { return };
    assert!(table.len() >= 12);
    for row in table.rows() {
        let (radius, entry) = (row.number("radius_m"), row.number("V0_m_s"));
        let (end, time_s) = round(entry, radius, 360.0);
        checks::assert_near("time", time_s, row.number("loop_time_s"), 1e-4);
        checks::assert_near("speed after the loop", end[state::SPEED], entry, 1e-6);
        checks::assert_near("height after the loop", end[state::HEIGHT], 1000.0, 1e-6);
        for (degrees, speed) in [(45.0, "V_at_45_m_s"), (90.0, "V_at_90_m_s"), (180.0, "V_top_m_s")]
        {
            let (x, _) = round(entry, radius, degrees);
            checks::assert_near(speed, x[state::SPEED], row.number(speed), 2e-5);
        }
    }
}

/// checks/optimum/7_energy.csv: constant load without drag from 80 m/s, `V (n - cos gamma)` constant; speed, height and time in the
/// vertical plane.
#[test]
fn val_constant_load_keeps_its_invariant() {
    let airplane = frictionless();
    let body = body(&airplane);
    // Closed form of the 30-degree row of n = 2, typed in: 80 (2 - 1) / (2 - cos 30).
    let to = |load: f64, climb_deg: f64| {
        let climb_rad = climb_deg * base::factors::RAD_PER_DEG;
        fly(&body, level(80.0, 0.0), climb_rad, |_| (load, 0.0))
    };
    checks::assert_near("speed", to(2.0, 30.0).0[state::SPEED], 70.548_317_6, 1e-6);
    let Some(table) = checks::Table::read("optimum/7_energy.csv") else { return };
    let mut met = 0;
    for row in table.rows() {
        let (load, climb) = (row.number("n"), row.number("gamma_deg"));
        if row.number("mu_deg") != 0.0 || climb < 1.0 || climb % 5.0 != 0.0 {
            continue;
        }
        let (x, time_s) = to(load, climb);
        checks::assert_near("speed", x[state::SPEED], row.number("V_dop_m_s"), 1e-6);
        checks::assert_near("height", x[state::HEIGHT], row.number("h_dop_m"), 1e-5);
        checks::assert_near("time", time_s, row.number("t_s"), 1e-6);
        met += 1;
    }
    assert!(met > 5, "{met}");
}

/// In level banked flight and in climbs below the vertical both forms of the equations say the same.
#[test]
fn prop_agrees_with_the_angles_below_the_vertical() {
    let airplane = bundled::load("sandpiper-550").unwrap();
    let body = body(&airplane);
    let mut angles = [0.0; point_mass::state::COUNT];
    (angles[point_mass::state::SPEED], angles[point_mass::state::HEIGHT]) = (70.0, 1000.0);
    let bank_rad = 0.9;
    let (load_factor, lift_coefficient) = (2.0, body.lift_coefficient_for(2.0, 70.0, 1000.0));
    let command =
        point_mass::Command { lift_coefficient, lift_bank_rad: bank_rad, power_share: 0.7 };
    let by_angles = body.derivative(&angles, &command);
    let mut x = level(70.0, 1000.0);
    x[state::PATH] = base::math::cos(0.5 * bank_rad);
    x[state::PATH + 1] = base::math::sin(0.5 * bank_rad);
    let by_rotation = body
        .derivative_vertical(&x, &Command { load_factor, roll_rate_radps: 0.0, power_share: 0.7 });
    let speed = by_rotation[state::SPEED];
    checks::assert_near("speed", speed, by_angles[point_mass::state::SPEED], 1e-12);
    // Turned for a moment, the velocity has climbed and turned as the angles say.
    const MOMENT_S: f64 = 1e-6;
    let moved: State = std::array::from_fn(|i| x[i] + MOMENT_S * by_rotation[i]);
    let along = path_from_ned(&moved).rows()[0];
    let climb = by_angles[point_mass::state::CLIMB];
    let course = by_angles[point_mass::state::COURSE];
    checks::assert_near("climb", -along[2] / MOMENT_S, climb, 1e-5);
    checks::assert_near("course", along[1] / MOMENT_S, course, 1e-5);
}
