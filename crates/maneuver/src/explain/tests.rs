//! Left against right.

use base::kinds::{GeometricHeight, TrueHeading};
use flight::air::Day;
use flight::airplane::rigid::Pull;
use flight::airplane::{Airplane, bundled};
use flight::propulsion::steady_thrust::{SteadyThrust, ThrustLaw};

use super::{Control, explain};
use crate::catalog;
use crate::definition::Direction;
use crate::reference::Entry;
use crate::rigid::{RigidFlight, fly};

fn chandelle(airplane: &Airplane, direction: Direction) -> RigidFlight {
    let maneuver = catalog::find("chandelle").unwrap();
    let entry = Entry {
        form: maneuver.forms()[1],
        direction,
        mass: airplane.masses.typical,
        height: GeometricHeight::from_m(1000.0),
        heading: TrueHeading::from_deg(0.0),
        speed: None,
    };
    let reference = maneuver.fly(airplane, &Day::standard(), &entry).unwrap();
    fly(airplane, &Day::standard(), &entry, &reference).unwrap()
}

#[test]
fn the_light_trainer_is_told_of_its_rudder() {
    let airplane = bundled::load("plover-160").unwrap();
    let (left, right) =
        (chandelle(&airplane, Direction::Left), chandelle(&airplane, Direction::Right));
    let found = explain(&left, &right).unwrap();
    println!("{}", found.sentence);
    assert_eq!(found.control, Control::Pedal);
    assert!(found.difference > 5.0 * found.noise && found.left > found.right);
    assert!(found.at_deg > 150.0, "it peaks in the roll-out: {}", found.at_deg);
    assert!(found.sentence.contains("right pedal"));
}

/// Without what turns one way left is the mirror image of right, and there is nothing to say.
#[test]
fn prop_nothing_is_said_of_a_symmetric_airplane() {
    let (_, text) = bundled::ALL.iter().find(|(id, _)| *id == "plover-160").unwrap();
    let straight = text.replace("incidence = \"-0.5 deg\"", "incidence = \"0 deg\"");
    assert_ne!(*text, straight);
    let mut airplane = Airplane::from_toml(&straight, "straight").unwrap();
    let law = ThrustLaw::Power { power_max_w: 88_000.0, thrust_max_n: 2600.0 };
    airplane.rigid.as_mut().unwrap().pull = Pull::Steady(SteadyThrust { law });
    let (left, right) =
        (chandelle(&airplane, Direction::Left), chandelle(&airplane, Direction::Right));
    assert_eq!(explain(&left, &right), None);
}
