//! The mirrored airplane, in mirrored air, with mirrored hands, flies the mirrored flight.
//!
//! Over a flat earth the mirror is the plane of north and down; over a turning one it is the plane of the equator, the
//! only one that keeps the turn.

use base::frames::{Body, Fixed, Ned, Rot, Vec3};
use base::numerics::ode::runge_kutta_4;
use flight::aerodynamics::component::Component;
use flight::airplane::bundled;
use flight::airplane::rigid::{Form, Pull};
use flight::budget::Cause;
use flight::controls::{Inputs, Surfaces};
use flight::earth::{Earth, Shape};
use flight::propulsion::piston::PistonPropeller;
use flight::vehicle::{COUNT, Quaternion, State, StateArray, Vehicle, World};
use flight::wind::{AirMotion, WindField};

use super::airframes::{Scale, trainer};
use super::{hands, lively, sloping_air};

/// A wind that changes with height and turns the airplane, mirrored or not.
#[derive(Debug)]
struct Shear {
    mirror: Vec3<Ned>,
    side: f64,
}

impl WindField for Shear {
    fn at(&self, time_s: f64, height_m: f64) -> AirMotion {
        let (x, y, z) = (4.0 + 2e-3 * height_m, -3.0 + 0.1 * time_s, 0.5);
        let m = self.mirror;
        AirMotion {
            velocity_mps: Vec3::new(x * m.x, y * m.y, z * m.z),
            rotation_radps: Vec3::new(0.01 * self.side, 0.02, 0.03 * self.side),
        }
    }
}

/// Signs of the earth's axes in the mirror, and of north, east, down.
fn mirror(earth: &Earth) -> (Vec3<Fixed>, Vec3<Ned>) {
    match earth.shape {
        Shape::Flat => (Vec3::new(1.0, -1.0, 1.0), Vec3::new(1.0, -1.0, 1.0)),
        Shape::Round { .. } => (Vec3::new(1.0, 1.0, -1.0), Vec3::new(-1.0, 1.0, 1.0)),
    }
}

fn times<F>(a: Vec3<F>, b: Vec3<F>) -> Vec3<F> {
    Vec3::new(a.x * b.x, a.y * b.y, a.z * b.z)
}

fn mirrored(earth: &Earth, state: &StateArray) -> StateArray {
    let state = State::from_array(state);
    let (axes, _) = mirror(earth);
    let rows = state.attitude.fixed_from_body().rows().to_owned();
    let row = |i: usize, sign: f64| [sign * rows[i][0], -sign * rows[i][1], sign * rows[i][2]];
    let rotation: Rot<Body, Fixed> =
        Rot::from_rows_unchecked([row(0, axes.x), row(1, axes.y), row(2, axes.z)]);
    let Vec3 { x: p, y: q, z: r, .. } = state.rates_radps;
    let [elevator, aileron, rudder] = state.surfaces_rad;
    State {
        position_m: times(state.position_m, axes),
        velocity_mps: times(state.velocity_mps, axes),
        attitude: Quaternion::from_rotation(&rotation),
        rates_radps: Vec3::new(-p, q, -r),
        engine: state.engine,
        surfaces_rad: [elevator, -aileron, -rudder],
    }
    .to_array()
}

fn mirrored_hands(inputs: Inputs) -> Inputs {
    let s = inputs.surfaces;
    let surfaces = Surfaces { aileron_rad: -s.aileron_rad, rudder_rad: -s.rudder_rad, ..s };
    Inputs { surfaces, ..inputs }
}

/// A bundled trainer, or its mirror (`side` -1): shaft, propeller and fin the other way.
fn bundled_trainer(id: &str, side: f64) -> Vehicle {
    let airplane = bundled::load(id).expect("a bundled airplane");
    let mut vehicle = airplane.vehicle(airplane.masses.typical).expect("six-degree data");
    let rigid = airplane.rigid.expect("six-degree data");
    let (Form::Components(airframe), Pull::Piston(pull)) = (&rigid.form, &rigid.pull) else {
        panic!("a trainer of components, with a propeller")
    };
    if side < 0.0 {
        let mut figures = *airframe.figures();
        figures.fin.incidence_rad = -figures.fin.incidence_rad;
        vehicle.aerodynamics = Box::new(Component::new(figures).expect("a stall"));
        let mut data = pull.data().clone();
        data.clockwise = !data.clockwise;
        data.shaft_right_rad = -data.shaft_right_rad;
        data.hub_m = times(data.hub_m, Vec3::new(1.0, -1.0, 1.0));
        vehicle.propulsion = Box::new(PistonPropeller::new(data));
    }
    vehicle
}

/// Flies a few seconds by fixed steps; `side` -1 is everything mirrored.
fn fly(
    vehicle: &Vehicle,
    (earth, side): (Earth, f64),
    start: &StateArray,
    inputs: &Inputs,
    steps: usize,
) -> StateArray {
    let air = sloping_air();
    let (_, level) = mirror(&earth);
    let plain = Vec3::new(1.0, 1.0, 1.0);
    let wind = Shear { mirror: if side > 0.0 { plain } else { level }, side };
    let world = World { earth, air: &air, wind: &wind };
    let mut state = *start;
    for step in 0..steps {
        let rate = |t: f64, y: &StateArray| vehicle.rate(&world, t, y, inputs);
        state = runge_kutta_4(rate, step as f64 * 0.02, &state, 0.02);
    }
    state
}

/// The quaternion may come back with its sign turned: it is the same rotation.
fn assert_alike(found: &StateArray, wanted: &StateArray, tolerance: f64) {
    let (found, wanted) = (State::from_array(found), State::from_array(wanted));
    let rotation = |s: &State| *s.attitude.fixed_from_body().rows();
    let (a, b) = (rotation(&found), rotation(&wanted));
    for (x, y) in a.iter().flatten().zip(b.iter().flatten()) {
        assert!((x - y).abs() < tolerance, "{found:?}\n{wanted:?}");
    }
    let strip = |s: State| State { attitude: Quaternion::IDENTITY, ..s }.to_array();
    let (a, b) = (strip(found), strip(wanted));
    for i in 0..COUNT {
        let size = 1.0_f64.max(a[i].abs());
        assert!((a[i] - b[i]).abs() < tolerance * size, "{i}: {} {}", a[i], b[i]);
    }
}

/// Flight and mirrored flight of an airplane and its mirror.
fn assert_mirrored([airplane, other]: &[Vehicle; 2], steps: usize, tolerance: f64) {
    for earth in [Earth::FLAT, Earth::WGS84] {
        let (start, inputs) = (lively(&earth), hands());
        let right = fly(airplane, (earth, 1.0), &start, &inputs, steps);
        let (start, inputs) = (mirrored(&earth, &start), mirrored_hands(inputs));
        let left = fly(other, (earth, -1.0), &start, &inputs, steps);
        assert_alike(&mirrored(&earth, &right), &left, tolerance);
        // Only with the shaft mirrored, too: the check can fail.
        let wrong = fly(airplane, (earth, -1.0), &start, &inputs, steps);
        let apart = State::from_array(&wrong).position_m - State::from_array(&left).position_m;
        assert!(apart.norm() > 1.0, "torque and swirl must tell left from right");
    }
}

#[test]
fn prop_the_mirrored_flight() {
    assert_mirrored(&[1.0, -1.0].map(|side| trainer(side, Scale::ONE)), 250, 1e-10);
}

#[test]
fn prop_the_mirrored_flight_of_the_trainers() {
    for id in ["plover-160", "sandpiper-550"] {
        assert_mirrored(&[1.0, -1.0].map(|side| bundled_trainer(id, side)), 250, 1e-9);
    }
}

#[test]
fn prop_the_mirrored_shares() {
    let (earth, air) = (Earth::FLAT, sloping_air());
    let (start, inputs) = (lively(&earth), hands());
    let plain = Vec3::new(1.0, 1.0, 1.0);
    let winds = [
        Shear { mirror: plain, side: 1.0 },
        Shear { mirror: Vec3::new(1.0, -1.0, 1.0), side: -1.0 },
    ];
    let world = |wind| World { earth, air: &air, wind };
    let one = trainer(1.0, Scale::ONE).instant(&world(&winds[0]), 1.0, &start, &inputs);
    let (start, inputs) = (mirrored(&earth, &start), mirrored_hands(inputs));
    let two = trainer(-1.0, Scale::ONE).instant(&world(&winds[1]), 1.0, &start, &inputs);
    for &cause in Cause::ALL {
        let (a, b) = (one.budget.share(cause), two.budget.share(cause));
        let force = Vec3::new(a.force_n.x, -a.force_n.y, a.force_n.z) - b.force_n;
        let moment = Vec3::new(-a.moment_nm.x, a.moment_nm.y, -a.moment_nm.z) - b.moment_nm;
        assert!(force.norm() < 1e-9 && moment.norm() < 1e-9, "{cause:?} {a:?} {b:?}");
        assert!(a.force_n.norm() + a.moment_nm.norm() > 1e-3, "{cause:?} must act here");
    }
}
