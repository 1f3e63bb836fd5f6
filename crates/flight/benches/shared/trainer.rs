//! The bundled piston trainer in trimmed flight, and a maneuver of a minute for it.

use base::factors::RAD_PER_DEG;
use base::geodesy::Geodetic;
use base::kinds::TrueAirspeed;
use base::units::{AngularRate, Mass};
use flight::air::{AirColumn, Day};
use flight::airplane::bundled;
use flight::airplane::rigid::Form;
use flight::controls::{Inputs, Surfaces};
use flight::earth::Earth;
use flight::trim::{Airspeed, Conditions, Curve, Hold, trim};
use flight::vehicle::{State, StateArray, Vehicle, World};
use flight::wind::Wind;

#[path = "tables.rs"]
mod tables;
use tables::tables;

/// Where and with what it is flown.
pub(crate) struct Scene {
    pub(crate) vehicle: Vehicle,
    pub(crate) earth: Earth,
    air: AirColumn,
}

impl Scene {
    /// The trainer of 160 hp at 930 kg on a standard day in calm.
    pub(crate) fn new(earth: Earth) -> Self {
        let airplane = bundled::load("plover-160").expect("a bundled airplane");
        let vehicle = airplane.vehicle(Mass::from_kg(930.0)).expect("it has six-degree data");
        Self { vehicle, earth, air: AirColumn::of_day(&Day::standard(), -500.0, 8000.0) }
    }
    /// The same with its air forces as tables.
    #[allow(dead_code, reason = "one of two programs asks for it")]
    pub(crate) fn tabulated(earth: Earth) -> Self {
        let airplane = bundled::load("plover-160").expect("a bundled airplane");
        let rigid = airplane.rigid.expect("it has six-degree data");
        let Form::Components(airframe) = &rigid.form else {
            panic!("the trainer is made of components")
        };
        let tabulated = tables(airframe);
        let mut scene = Self::new(earth);
        scene.vehicle.aerodynamics = Box::new(tabulated);
        scene
    }
    pub(crate) fn world(&self) -> World<'_> {
        World { earth: self.earth, air: &self.air, wind: &Wind::CALM }
    }
    /// Level at 50 m/s and 1200 m.
    pub(crate) fn conditions(&self) -> Conditions {
        let position = self.earth.position(Geodetic::from_deg(47.0, 8.0, 1200.0));
        Conditions::level(position, Airspeed::True(TrueAirspeed::from_mps(50.0)))
    }
    /// A climbing turn to the right at full throttle.
    #[allow(dead_code, reason = "one of two programs asks for it")]
    pub(crate) fn climbing_turn(&self) -> Conditions {
        let curve = Curve::Turn(AngularRate::from_radps(6.0 * RAD_PER_DEG));
        Conditions { curve, hold: Hold::Throttle(1.0), ..self.conditions() }
    }
    /// Trimmed level flight.
    pub(crate) fn level(&self) -> (StateArray, Inputs) {
        let found =
            trim(&self.vehicle, &self.world(), &self.conditions()).expect("good conditions");
        assert!(found.converged(), "{:?}", found.stop);
        (found.state.to_array(), found.inputs)
    }
}

/// Hands that roll into a climbing turn to one side, and after half a minute to the other, on a flat earth.
#[allow(dead_code, reason = "one of two programs asks for it")]
pub(crate) fn hands(trimmed: &Inputs, time_s: f64, state: &StateArray) -> Inputs {
    let state = State::from_array(state);
    let [_, _, down] = *state.attitude.fixed_from_body().rows();
    let rates = state.rates_radps;
    let side = if time_s < 30.0 { 1.0 } else { -1.0 };
    let (pitch, bank) = (-down[0], down[1]);
    let held = trimmed.surfaces;
    let surfaces = Surfaces {
        elevator_rad: held.elevator_rad - 1.0 * (0.14 - pitch) + 0.8 * rates.y - 0.05,
        aileron_rad: held.aileron_rad + 0.4 * (bank - 0.5 * side) + 0.3 * rates.x,
        rudder_rad: held.rudder_rad - 0.1 * bank,
        ..held
    };
    Inputs { surfaces, throttle: 1.0, ..*trimmed }
}
