//! Closed forms and invariants of point-mass flight.

use base::factors::{MPS_PER_KT, STANDARD_GRAVITY_MPS2};

use super::{
    Command, DensityColumn, LevelPower, PointMass, best_climb, level_power, level_speed_max, state,
    thrust_n,
};
use crate::air::Day;
use crate::airplane::{Thrust, bundled};

#[test]
fn val_density_column_agrees_with_the_day() {
    let day = Day::standard();
    let column = DensityColumn::of_day(&day, -100.0, 4000.0);
    for height_m in [0.0, 37.0, 950.0, 2001.5, 3999.0] {
        let exact = day.air_at(base::kinds::GeometricHeight::from_m(height_m)).density.to_kgpm3();
        checks::assert_near("density", column.at(height_m), exact, 1e-8);
    }
}

#[test]
fn prop_propeller_power_balance_and_static_limit() {
    let airplane = bundled::load("sandpiper-550").unwrap();
    let Thrust::Propeller(mut propeller) = airplane.thrust else { panic!("a propeller airplane") };
    // The law of an airplane of which no more is known.
    propeller.chart = None;
    let law = Thrust::Propeller(propeller.clone());
    let disk = std::f64::consts::FRAC_PI_4 * propeller.diameter.to_m() * propeller.diameter.to_m();
    let useful = propeller.efficiency_of_ideal * propeller.power_max.to_w();
    // Static thrust of momentum theory: (2 rho A P^2)^(1/3).
    let still = thrust_n(&law, 1.0, 0.0, 1.225);
    checks::assert_near(
        "static thrust",
        still,
        base::math::cbrt(2.0 * 1.225 * disk * useful * useful),
        1e-3 * still,
    );
    for speed in [10.0, 40.0, 90.0] {
        let thrust = thrust_n(&law, 1.0, speed, 1.225);
        let w = useful / thrust - speed;
        checks::assert_near(
            "momentum",
            2.0 * 1.225 * disk * w * (speed + w),
            thrust,
            1e-3 * thrust,
        );
    }
}

#[test]
fn demo_airplanes_perform_as_their_files_say() {
    let cases = [("plover-160", 123.0, 740.0), ("sandpiper-550", 180.0, 1600.0)];
    for (id, level_kt, climb_fpm) in cases {
        let airplane = bundled::load(id).unwrap();
        let body = PointMass {
            airplane: &airplane,
            mass_kg: airplane.masses.maximum.to_kg(),
            air: DensityColumn::constant(1.225),
        };
        checks::assert_near(id, level_speed_max(&body, 0.0).unwrap() / MPS_PER_KT, level_kt, 4.0);
        let climb = best_climb(&body, 0.0).1 / base::factors::MPS_PER_FPM;
        checks::assert_near(id, climb, climb_fpm, 0.08 * climb_fpm);
    }
}

#[test]
fn prop_level_turn_closed_form() {
    let airplane = bundled::load("plover-160").unwrap();
    let body = PointMass { airplane: &airplane, mass_kg: 930.0, air: DensityColumn::constant(1.1) };
    let (speed, bank) = (50.0, 0.8);
    let load = 1.0 / base::math::cos(bank);
    let command = Command {
        lift_coefficient: body.lift_coefficient_for(load, speed, 0.0),
        lift_bank_rad: bank,
        power_share: level_power(&body, load, speed, 0.0).held().expect("power is enough"),
    };
    let rate = body.derivative(&[speed, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0], &command);
    checks::assert_near("speed held", rate[state::SPEED], 0.0, 1e-9);
    checks::assert_near("height held", rate[state::CLIMB], 0.0, 1e-12);
    let closed = STANDARD_GRAVITY_MPS2 * base::math::tan(bank) / speed;
    checks::assert_near("turn rate", rate[state::COURSE], closed, 1e-12);
}

/// What full power cannot hold is told as such; where there is no air to burn there is no answer, and none is made up.
#[test]
fn regress_level_power_says_when_there_is_none() {
    let airplane = bundled::load("plover-160").unwrap();
    let body = |density| PointMass {
        airplane: &airplane,
        mass_kg: 930.0,
        air: DensityColumn::constant(density),
    };
    let held = level_power(&body(1.1), 1.0, 50.0, 0.0);
    assert!(matches!(held, LevelPower::Held(share) if share > 0.2 && share < 1.0), "{held:?}");
    let short = level_power(&body(1.1), 2.5, 50.0, 0.0);
    assert!(matches!(short, LevelPower::Short(share) if share > 1.0), "{short:?}");
    assert_eq!(short.held(), None);
    let none = level_power(&body(0.1), 1.0, 120.0, 0.0);
    assert_eq!((none, none.share()), (LevelPower::Unattainable, None));
}

/// Rescale length by 4 and time by 2: gravity is kept; speeds double, wing area grows sixteenfold, mass with length cubed.
#[test]
fn prop_homogeneity() {
    let mut small = bundled::load("plover-160").unwrap();
    small.thrust =
        Thrust::Polynomial { static_n: 2000.0, slope_n_per_mps: -12.0, curvature_n_per_mps2: -0.1 };
    let mut large = small.clone();
    large.wing_area = base::units::Area::from_m2(16.0 * small.wing_area.to_m2());
    large.thrust = Thrust::Polynomial {
        static_n: 2000.0 * 64.0,
        slope_n_per_mps: -12.0 * 32.0,
        curvature_n_per_mps2: -0.1 * 16.0,
    };
    let a = PointMass { airplane: &small, mass_kg: 900.0, air: DensityColumn::constant(1.0) };
    let b =
        PointMass { airplane: &large, mass_kg: 900.0 * 64.0, air: DensityColumn::constant(1.0) };
    let command = Command { lift_coefficient: 0.7, lift_bank_rad: 0.5, power_share: 0.9 };
    let rate_a = a.derivative(&[45.0, 0.1, 0.3, 500.0, 0.0, 0.0, 0.0], &command);
    let rate_b = b.derivative(&[90.0, 0.1, 0.3, 2000.0, 0.0, 0.0, 0.0], &command);
    checks::assert_near("acceleration", rate_b[state::SPEED], rate_a[state::SPEED], 1e-12);
    checks::assert_near("turn rate", rate_b[state::COURSE], rate_a[state::COURSE] / 2.0, 1e-12);
    checks::assert_near("pull rate", rate_b[state::CLIMB], rate_a[state::CLIMB] / 2.0, 1e-12);
    checks::assert_near("climb", rate_b[state::HEIGHT], rate_a[state::HEIGHT] * 2.0, 1e-9);
}

/// A power that stays changes nothing but the time it takes: in the air of any height, below a closed throttle and past full power, with
/// a chart and without, upright and through the vertical.
#[test]
fn prop_a_power_that_stays_is_the_power() {
    use super::vertical;
    for id in ["plover-160", "sandpiper-550"] {
        let charted = bundled::load(id).unwrap();
        let mut plain = charted.clone();
        if let Thrust::Propeller(propeller) = &mut plain.thrust {
            propeller.chart = None;
        }
        for airplane in [&charted, &plain] {
            let air = DensityColumn::of_day(&Day::standard(), -200.0, 4000.0);
            let body = PointMass { airplane, mass_kg: airplane.masses.typical.to_kg(), air };
            for (i, power_share) in [0.0, 0.31, 0.8, 1.0, 1.2].into_iter().enumerate() {
                let pull = body.steady_pull(power_share);
                for (speed, height) in [(22.0, 0.0), (51.3, 1234.0), (95.0, 3100.0)] {
                    let x = [speed, 0.1 * i as f64 - 0.2, 0.7, height, 10.0, 20.0, 0.0];
                    let command =
                        Command { lift_coefficient: 0.7, lift_bank_rad: -0.4, power_share };
                    let whole = body.derivative(&x, &command);
                    let steady = body.derivative_at(&x, [0.7, -0.4], &pull);
                    for (a, b) in whole.iter().zip(&steady) {
                        checks::assert_near("rate", *b, *a, 1e-11 * (1.0 + a.abs()));
                    }
                    let x = vertical::level(speed, height);
                    let command =
                        vertical::Command { load_factor: 2.0, roll_rate_radps: 0.5, power_share };
                    let whole = body.derivative_vertical(&x, &command);
                    let steady = body.derivative_vertical_at(&x, (2.0, 0.5), &pull);
                    for (a, b) in whole.iter().zip(&steady) {
                        checks::assert_near("rate", *b, *a, 1e-11 * (1.0 + a.abs()));
                    }
                }
            }
        }
    }
}
