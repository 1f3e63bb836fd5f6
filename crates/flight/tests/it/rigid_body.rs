//! The rigid airplane: what must hold for any airplane, whatever its figures.

/// Vehicles built in code.
pub(crate) mod airframes;
/// No memory is taken in a step.
mod allocation;
/// Every state inside the declared range gives a finite answer; outside it is refused.
mod domain;
/// Order of the step rules on the full vehicle.
mod order;
/// Where the energy goes.
mod power;
/// Rescaled length, time and mass give the rescaled answer.
mod scaling;
/// Causes, one by one.
mod shares;
/// Left is the mirror of right.
mod symmetry;
/// Air forces as tables.
mod tabulated;

use base::frames::{Attitude, Body, Vec3};
use flight::air::{AirColumn, AirState};
use flight::controls::{Inputs, Surfaces};
use flight::earth::Earth;
use flight::vehicle::{State, StateArray};

/// Air whose figures vary in straight lines with height: tables of cubics have it exactly.
fn sloping_air() -> AirColumn {
    AirColumn::tabulate(-1000.0, 8000.0, |height_m| AirState {
        density_kgpm3: 1.2 - 1e-4 * height_m,
        pressure_pa: 101_000.0 - 10.0 * height_m,
        sound_mps: 340.0 - 0.004 * height_m,
    })
}

/// A slipping, turning, climbing flight at 55 m/s and 1000 m, engine running.
fn lively(earth: &Earth) -> StateArray {
    let place = base::geodesy::Geodetic::from_deg(47.0, 8.0, 1000.0);
    let attitude = Attitude { heading_rad: 0.7, pitch_rad: 0.12, bank_rad: 0.4 };
    let rates: Vec3<Body> = Vec3::new(0.1, 0.06, 0.12);
    let velocity = Vec3::new(43.0, 33.0, -4.0);
    let mut state = State::at(earth, earth.position(place), velocity, attitude, rates);
    state.engine = 230.0;
    state.surfaces_rad = [-0.03, 0.02, -0.04];
    state.to_array()
}

/// Hands and feet that do something.
fn hands() -> Inputs {
    let surfaces =
        Surfaces { elevator_rad: -0.05, aileron_rad: -0.03, rudder_rad: 0.04, flap_rad: 0.1 };
    Inputs { surfaces, throttle: 0.8, propeller: 1.0 }
}
