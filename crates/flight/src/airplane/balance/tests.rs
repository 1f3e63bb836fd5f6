//! Loads worked by hand, what the center of gravity does, limits told.

use base::units::{Length, Mass};

use super::Load;
use crate::airplane::{Airplane, bundled};

fn plover() -> Airplane {
    bundled::load("plover-160").expect("bundled")
}

fn loads(airplane: &Airplane, told: &[(&str, f64)]) -> Vec<Load> {
    let balance = airplane.stated.balance.as_ref().expect("it has one");
    let one = |(name, kg): &(&str, f64)| Load {
        station: balance.station(name).expect("a station"),
        mass: Mass::from_kg(*kg),
    };
    told.iter().map(one).collect()
}

/// Worked by hand: 680 kg at 1.08 m, 160 at 1.16, 72 at 1.30.
#[test]
fn val_moments_are_those_worked_by_hand() {
    let airplane = plover();
    let loaded =
        airplane.loaded(&loads(&airplane, &[("seats", 160.0), ("fuel", 72.0)])).expect("stated");
    assert!((loaded.take_off.mass.to_kg() - 912.0).abs() < 1e-9);
    let arm = (680.0 * 1.08 + 160.0 * 1.16 + 72.0 * 1.30) / 912.0;
    assert!((loaded.take_off.arm.to_m() - arm).abs() < 1e-12);
    let no_fuel = (680.0 * 1.08 + 160.0 * 1.16) / 840.0;
    assert!((loaded.no_fuel.arm.to_m() - no_fuel).abs() < 1e-12);
    assert!(loaded.passed.is_empty(), "{:?}", loaded.passed);
    // Between rows the foremost arm is a straight line.
    let (forward, _) = loaded.take_off.limits;
    assert!((forward - Length::from_m(0.99 + 0.03 * (912.0 - 680.0) / 270.0)).to_m().abs() < 1e-9);
}

/// Farther back the wing stalls slower and the stick grows lighter; at the forward limit nothing changes. Lighter, maneuvering speed falls
/// with the square root of mass.
#[test]
fn prop_what_the_center_of_gravity_does() {
    let airplane = plover();
    let front = airplane.loaded(&loads(&airplane, &[("seats", 160.0)])).expect("stated");
    let back =
        airplane.loaded(&loads(&airplane, &[("seats", 120.0), ("baggage", 40.0)])).expect("stated");
    assert!(back.take_off.chords > front.take_off.chords);
    assert!(back.effects.stall < front.effects.stall);
    assert!(front.effects.stall <= front.effects.stall_forward);
    let share =
        |loaded: &super::Loaded| loaded.effects.stick_force_share.expect("neutral point stated");
    assert!(share(&back) < share(&front) && share(&front) <= 1.0);
    let stated = airplane.speeds.maneuvering.to_kt();
    let root = (840.0f64 / 1050.0).sqrt();
    let found = front.effects.maneuvering.to_kt();
    assert!(found <= stated * root + 1.0 && found > 0.93 * stated * root, "{found}");
}

#[test]
fn prop_every_limit_that_is_passed_is_told_with_its_number() {
    let airplane = plover();
    let told =
        |list: &[(&str, f64)]| airplane.loaded(&loads(&airplane, list)).expect("stated").passed;
    assert!(
        told(&[("seats", 220.0), ("fuel", 105.0), ("baggage", 60.0)])[0]
            .contains("15 kg over the maximum")
    );
    assert!(
        told(&[("baggage", 140.0)]).iter().any(|text| text.contains("behind the limit of 1.180 m"))
    );
    let mut nose = plover();
    nose.stated.balance.as_mut().expect("stated").empty_arm = Length::from_m(0.95);
    let passed = nose.loaded(&[]).expect("stated").passed;
    assert!(passed[0].contains("ahead of"), "{passed:?}");
}
