//! Balance of power: energy changes by the work of the air and of nothing else.

use base::frames::Vec3;
use base::numerics::ode::runge_kutta_4;
use flight::air::{AirColumn, Day};
use flight::controls::{Actuators, Inputs};
use flight::earth::Earth;
use flight::propulsion::Glider;
use flight::vehicle::{Instant, State, StateArray, Vehicle, World};
use flight::wind::Wind;

use super::airframes::{Scale, trainer};
use super::lively;

fn glider() -> Vehicle {
    Vehicle {
        propulsion: Box::new(Glider),
        actuators: Actuators::DIRECT,
        ..trainer(1.0, Scale::ONE)
    }
}

/// Kinetic, turning and potential energy, J.
fn energy_j(vehicle: &Vehicle, state: &StateArray) -> f64 {
    let (mass, state) = (&vehicle.mass, State::from_array(state));
    let moving = 0.5 * mass.mass_kg() * state.velocity_mps.dot(state.velocity_mps);
    let turning = 0.5 * mass.angular_momentum(state.rates_radps).dot(state.rates_radps);
    let weight_n = mass.mass_kg() * base::factors::STANDARD_GRAVITY_MPS2;
    moving + turning - weight_n * state.position_m.z
}

/// Power of the air in calm: force along the way and moment along the turn, W.
fn power_w(instant: &Instant, state: &StateArray) -> f64 {
    let total = instant.budget.total();
    total.force_n.dot(instant.flow.velocity_mps)
        + total.moment_nm.dot(State::from_array(state).rates_radps)
}

#[test]
fn prop_a_glide_loses_the_work_of_the_air() {
    let air = AirColumn::of_day(&Day::standard(), 0.0, 6000.0);
    let world = World { earth: Earth::FLAT, air: &air, wind: &Wind::CALM };
    let (vehicle, inputs, h) = (glider(), Inputs::default(), 0.01);
    let mut state = lively(&Earth::FLAT);
    let (before_j, mut work_j) = (energy_j(&vehicle, &state), 0.0);
    let rate = |t: f64, y: &StateArray| vehicle.rate(&world, t, y, &inputs);
    // A slipping, rolling glide; work by Simpson's rule over pairs of steps.
    for _ in 0..500 {
        let power = |y: &StateArray| power_w(&vehicle.instant(&world, 0.0, y, &inputs), y);
        let middle = runge_kutta_4(rate, 0.0, &state, h);
        let next = runge_kutta_4(rate, 0.0, &middle, h);
        work_j += h / 3.0 * (power(&state) + 4.0 * power(&middle) + power(&next));
        state = next;
    }
    let lost_j = energy_j(&vehicle, &state) - before_j;
    assert!(work_j < -1e5, "ten seconds of drag: {work_j} J");
    assert!((lost_j - work_j).abs() < 1e-6 * work_j.abs(), "{lost_j} {work_j}");
}

#[test]
fn prop_in_a_straight_glide_only_drag_works() {
    // Without rates and sideslip the power of the air is drag times speed, whatever the lift.
    let air = AirColumn::of_day(&Day::standard(), 0.0, 6000.0);
    let world = World { earth: Earth::FLAT, air: &air, wind: &Wind::CALM };
    let vehicle = glider();
    for pitch_rad in [-0.1, 0.0, 0.1, 0.3] {
        let attitude = base::frames::Attitude { heading_rad: 1.0, pitch_rad, bank_rad: 0.0 };
        let (sin, cos) = (base::math::sin(1.0), base::math::cos(1.0));
        let velocity = Vec3::new(50.0 * cos, 50.0 * sin, 3.0);
        let place = Vec3::new(0.0, 0.0, -1500.0);
        let state = State::at(&Earth::FLAT, place, velocity, attitude, Vec3::ZERO).to_array();
        let instant = vehicle.instant(&world, 0.0, &state, &Inputs::default());
        let total = instant.budget.total().force_n;
        let (sin, cos) = instant.flow.alpha_sin_cos;
        let drag_n = -(total.x * cos + total.z * sin);
        let power_w = power_w(&instant, &state);
        let speed_mps = instant.flow.speed_mps;
        assert!(drag_n > 100.0, "{drag_n}");
        assert!((power_w + drag_n * speed_mps).abs() < 0.01 * drag_n * speed_mps, "{power_w}");
    }
}
