//! The airplane with its flaps down.

use base::units::LoadFactor;
use checks::assert_near;
use flight::airplane::{Airplane, NoFlaps, bundled};

fn plover() -> Airplane {
    bundled::load("plover-160").expect("it is bundled")
}

/// Limits of the rule: 14-CFR-23.345, loads from nil to 2 g where the file states no other, up to V_FE.
#[test]
fn val_limits_with_flaps_down() {
    let (up, down) = (plover(), plover().with_landing_flaps().unwrap());
    let flap = down.flaps_set.clone().unwrap();
    assert_eq!(flap.name, "full");
    for category in &down.categories {
        assert_near("greatest load", category.load_factor_max.to_g(), 2.0, 1e-12);
        assert_near("least load", category.load_factor_min.to_g(), 0.0, 1e-12);
    }
    assert_near("V_FE", down.speeds.never_exceed.to_kt(), 85.0, 1e-9);
    assert!(up.flaps_set.is_none() && up.speeds.never_exceed > down.speeds.never_exceed);
}

/// The stall speed goes with the root of the greatest lift.
#[test]
fn prop_flaps_lower_the_stall_speed_by_the_root_of_the_lift() {
    let up = plover();
    let speed = |airplane: &Airplane| {
        airplane.stall_speed(airplane.masses.maximum, LoadFactor::from_g(1.0)).to_kt()
    };
    for name in ["half", "full"] {
        let down = up.with_flaps(name).unwrap();
        let ratio = up.aerodynamics.lift_max / down.aerodynamics.lift_max;
        assert_near(name, speed(&down) / speed(&up), ratio.sqrt(), 1e-12);
        // The flow parts no later than with flaps up.
        let parts = |airplane: &Airplane| airplane.incidence_rad(airplane.aerodynamics.lift_max);
        assert!(parts(&down) <= parts(&up), "{name}");
    }
}

#[test]
fn flaps_that_the_file_does_not_tell_of_are_refused() {
    let mut airplane = plover();
    let why = airplane.with_flaps("quarter").unwrap_err();
    assert!(matches!(&why, NoFlaps::Unknown { name, .. } if name == "quarter"), "{why}");
    airplane.stated.flaps[1].polar = None;
    let why = airplane.with_landing_flaps().unwrap_err();
    assert!(why.hint().contains("lift_added"), "{why}");
    airplane.stated.flaps.clear();
    assert!(matches!(airplane.with_landing_flaps().unwrap_err(), NoFlaps::None { .. }));
}

#[test]
fn a_flap_block_that_contradicts_itself_is_refused_with_its_line() {
    let good = include_str!("../../../../data/airplanes/plover-160.toml");
    let read = |bad: &str| Airplane::from_toml(&good.replace("lift_added = 0.60", bad), "a.toml");
    assert!(read("lift_added = 0.60").is_ok());
    let faults = read("lift_added = 0.30").unwrap_err().to_string();
    assert!(faults.contains("greater incidence than with flaps up"), "{faults}");
    let line = 1 + good.lines().position(|line| line == "lift_added = 0.60").unwrap();
    assert!(faults.contains(&line.to_string()), "{faults}");
    // One figure alone says nothing of the polar.
    let faults = read("").unwrap_err().to_string();
    assert!(faults.contains("lift_added"), "{faults}");
}
