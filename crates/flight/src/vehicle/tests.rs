//! Free flight of a rigid body against closed forms and conservation laws.

use base::frames::{Attitude, Vec3};
use base::geodesy::Geodetic;
use base::numerics::ode;

use super::{COUNT, Inertia, MassProperties, State, StateArray, Vehicle, World};
use crate::aerodynamics::Nothing;
use crate::air::AirColumn;
use crate::budget::Switches;
use crate::controls::{Actuators, Inputs};
use crate::earth::Earth;
use crate::propulsion::Glider;
use crate::wind::Wind;

fn stone() -> Vehicle {
    let inertia = Inertia { xx: 2.0, yy: 5.0, zz: 6.0, xz: 0.4 };
    Vehicle {
        mass: MassProperties::new(3.0, inertia).unwrap(),
        reference_from_center: Vec3::ZERO,
        aerodynamics: Box::new(Nothing),
        propulsion: Box::new(Glider),
        actuators: Actuators::DIRECT,
        switches: Switches::ALL,
    }
}

fn fly(earth: Earth, state: State, seconds: f64) -> State {
    let air = AirColumn::uniform(101_325.0, 288.15);
    let (vehicle, world) = (stone(), World { earth, air: &air, wind: &Wind::CALM });
    let control = ode::Control {
        relative: 1e-13,
        absolute: 1e-13,
        step_first: 1e-2,
        step_max: 1.0,
        steps_max: 100_000,
    };
    let rate = |t: f64, y: &StateArray| vehicle.rate(&world, t, y, &Inputs::default());
    let solution = ode::integrate::<COUNT>(rate, (0.0, seconds), state.to_array(), &control, &[]);
    assert_eq!(solution.stop, ode::Stop::End);
    State::from_array(&solution.state_end)
}

const LEVEL: Attitude = Attitude { heading_rad: 0.4, pitch_rad: 0.1, bank_rad: -0.3 };

#[test]
fn val_a_thrown_stone_over_flat_earth() {
    let start = State::at(
        &Earth::FLAT,
        Vec3::new(10.0, 20.0, -500.0),
        Vec3::new(30.0, -5.0, -12.0),
        LEVEL,
        Vec3::ZERO,
    );
    let end = fly(Earth::FLAT, start, 4.0);
    let fallen = 0.5 * base::factors::STANDARD_GRAVITY_MPS2 * 16.0;
    let expected = Vec3::new(10.0 + 120.0, 20.0 - 20.0, -500.0 - 48.0 + fallen);
    assert!((end.position_m - expected).norm() < 1e-9, "{end:?}");
}

#[test]
fn prop_free_flight_keeps_energy_and_both_momenta() {
    let spin = Vec3::new(2.0, 1.0, -3.0);
    let place = Earth::WGS84.position(Geodetic::from_deg(40.0, -75.0, 3000.0));
    let start = State::at(&Earth::WGS84, place, Vec3::new(200.0, 100.0, -300.0), LEVEL, spin);
    let end = fly(Earth::WGS84, start, 20.0);
    let mass = stone().mass;
    let momentum = |s: &State| {
        // Relative to inertial space: the axes turn, so that the angular momentum is compared in inertial directions below.
        s.attitude.fixed_from_body().apply(mass.angular_momentum(s.rates_radps))
    };
    let turning = |s: &State| mass.angular_momentum(s.rates_radps).dot(s.rates_radps);
    assert!((turning(&end) / turning(&start) - 1.0).abs() < 1e-10);
    let turned = Earth::WGS84.turn_radps * 20.0;
    let (sin, cos) = (base::math::sin(turned), base::math::cos(turned));
    let (now, before) = (momentum(&end), momentum(&start));
    let inertial = Vec3::new(cos * now.x - sin * now.y, sin * now.x + cos * now.y, now.z);
    assert!((inertial - before).norm() / before.norm() < 1e-9);
    // The Jacobi integral of the turning axes: kinetic energy less centrifugal and gravitational potential.
    let energy = |s: &State| {
        let (r, w) = (s.position_m, Earth::WGS84.turn_radps);
        let square = r.dot(r);
        let j2 = 0.001_082_629_82 * 6_378_137.0 * 6_378_137.0 / square;
        let potential =
            -3.986_004_418e14 / square.sqrt() * (1.0 - 0.5 * j2 * (3.0 * r.z * r.z / square - 1.0));
        0.5 * s.velocity_mps.dot(s.velocity_mps) + potential - 0.5 * w * w * (r.x * r.x + r.y * r.y)
    };
    // Relative to the kinetic part; the potential is 6e7 J/kg, whose rounding alone is 1e-8.
    assert!((energy(&end) - energy(&start)).abs() < 1e-6, "{}", energy(&end) - energy(&start));
}

#[test]
fn prop_a_round_earth_at_rest_far_below_is_flat() {
    // Over a sphere at rest the fall differs from the flat one by the change of pull with height only.
    let sphere = Earth::SPHERE_AT_REST;
    let place = sphere.position(Geodetic::from_deg(0.0, 0.0, 1000.0));
    let start = State::at(&sphere, place, Vec3::ZERO, LEVEL, Vec3::ZERO);
    let end = fly(sphere, start, 5.0);
    let pull = sphere.gravitation(place).norm();
    let fallen = place.x - end.position_m.x;
    assert!((fallen - 12.5 * pull).abs() < 1e-3 * fallen);
}
