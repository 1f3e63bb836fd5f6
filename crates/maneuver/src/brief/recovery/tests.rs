//! The recovery against closed forms and symmetry.

use super::{Body, Exit, INVERTED_LOAD, LATE_S};
use crate::brief::judge::Case;
use crate::brief::place::PlaceTold;
use crate::catalog::find;
use base::factors::RAD_PER_DEG;
use base::kinds::{GeometricHeight, TrueHeading};
use flight::air::Day;
use flight::airplane::{Airplane, bundled};
use flight::point_mass::{DensityColumn, PointMass};
use flight::trajectory::FlightSample;

fn with<T>(airplane: &Airplane, check: impl FnOnce(&Exit<'_>) -> T) -> T {
    let maneuver = find("wing-over").unwrap();
    let case = Case {
        maneuver,
        airplane,
        form: maneuver.forms()[0],
        mass: airplane.masses.typical,
        height: GeometricHeight::from_ft(5000.0),
        heading: TrueHeading::NORTH,
        speed: None,
        day: Day::standard(),
        field_told: true,
        place: PlaceTold::default(),
        country: None,
        flown: false,
    };
    let air = DensityColumn::of_day(&case.day, 0.0, 4000.0);
    let body = PointMass { airplane, mass_kg: case.mass.to_kg(), air };
    let maneuvering_mps = airplane.calibrated(airplane.maneuvering_speed(case.mass)).to_mps();
    check(&Exit { case: &case, body, limit_g: 4.4, maneuvering_mps })
}

fn sample(climb_deg: f64, bank_deg: f64, speed_mps: f64) -> FlightSample {
    FlightSample {
        height_m: 1500.0,
        true_airspeed_mps: speed_mps,
        climb_rad: climb_deg * RAD_PER_DEG,
        lift_bank_rad: bank_deg * RAD_PER_DEG,
        bank_rad: bank_deg * RAD_PER_DEG,
        lift_coefficient: 0.5,
        power_share: 0.5,
        ..FlightSample::default()
    }
}

/// Without drag, thrust and bank, at a constant load the speed and the climb angle of a pull-out keep `V (n - cos(climb))`, and the
/// height follows from energy: from 40 m/s and 30 degrees down at 2 g to level,
/// `V1 = V0 (2 - cos 30) / (2 - 1) = 1.13397 V0` and `h = (V1^2 - V0^2) / 2g`.
#[test]
fn val_a_pull_out_without_drag_keeps_its_invariant() {
    let mut airplane = bundled::load("plover-160").unwrap();
    (airplane.aerodynamics.drag_zero_lift, airplane.aerodynamics.drag_induced) = (0.0, 0.0);
    // So much lift that half of the limit of 4 g is what there is.
    airplane.aerodynamics.lift_max = 50.0;
    with(&airplane, |exit| {
        let exit = Exit {
            limit_g: 4.0,
            body: exit.body.clone(),
            case: exit.case,
            maneuvering_mps: exit.maneuvering_mps,
        };
        let from = FlightSample { power_share: 0.0, ..sample(-30.0, 0.0, 40.0) };
        let out = exit.fly(&from, 0.0, 0, 1500.0);
        let speed_mps = 40.0 * (2.0 - base::math::cos(30.0 * RAD_PER_DEG));
        let lost_m =
            (speed_mps * speed_mps - 1600.0) / (2.0 * base::factors::STANDARD_GRAVITY_MPS2);
        assert!(out.recovers);
        assert!((out.lost_m - lost_m).abs() < 0.3, "{} {lost_m}", out.lost_m);
    });
}

#[test]
fn prop_left_and_right_are_mirror_images_and_late_costs_height() {
    let airplane = bundled::load("plover-160").unwrap();
    with(&airplane, |exit| {
        for (climb_deg, bank_deg, speed_mps) in [
            (0.0, 60.0, 45.0),
            (-30.0, 90.0, 35.0),
            (20.0, 70.0, 30.0),
            (-60.0, 150.0, 50.0),
            (-89.9, 0.0, 40.0),
        ] {
            let fly = |sign: f64, late_s: f64| {
                exit.fly(&sample(climb_deg, sign * bank_deg, speed_mps), late_s, 0, 1500.0)
            };
            let (left, right) = (fly(-1.0, LATE_S), fly(1.0, LATE_S));
            assert!((left.lowest_m - right.lowest_m).abs() < 1e-6, "{climb_deg} {bank_deg}");
            assert!(left.recovers && left.lost_m.is_finite(), "{climb_deg} {bank_deg}");
            assert!(
                fly(1.0, LATE_S).lowest_m <= fly(1.0, 0.0).lowest_m + 1.0,
                "{climb_deg} {bank_deg}"
            );
        }
    });
}

#[test]
fn prop_level_flight_needs_no_height() {
    let airplane = bundled::load("plover-160").unwrap();
    with(&airplane, |exit| {
        let out = exit.fly(&sample(0.0, 0.0, 55.0), 0.0, 0, 1500.0);
        assert!(out.recovers && out.lost_m < 1e-9 && out.seconds < 0.1, "{out:?}");
        let inverted = Body::of(&sample(0.0, 180.0, 50.0));
        assert!(inverted.lift[2] > 0.999, "lift of an inverted airplane points down");
        const { assert!(INVERTED_LOAD < 1.0) };
    });
}
