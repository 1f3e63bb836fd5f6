//! The bundled piston trainer in trimmed flight, and a maneuver of a minute for it.

use base::factors::RAD_PER_DEG;
use base::geodesy::Geodetic;
use base::kinds::TrueAirspeed;
use base::math::sin;
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

/// Line through corners `(time, value)`, s, level before the first and after the last.
fn through(corners: &[(f64, f64)], time_s: f64) -> f64 {
    let after = corners.iter().position(|&(at_s, _)| at_s > time_s);
    match after {
        Some(0) => corners[0].1,
        Some(i) => {
            let ((from_s, from), (to_s, to)) = (corners[i - 1], corners[i]);
            from + (to - from) * (time_s - from_s) / (to_s - from_s)
        }
        None => corners.last().map_or(0.0, |&(_, value)| value),
    }
}

/// Bank of a minute of maneuvers, right positive, deg at s: a level turn at 45 degrees, then a chandelle to the left.
const BANK_DEG: [(f64, f64); 8] = [
    (2.0, 0.0),
    (5.0, 45.0),
    (22.0, 45.0),
    (25.0, 0.0),
    (28.0, 0.0),
    (31.0, -30.0),
    (42.0, -30.0),
    (55.0, 0.0),
];
/// Its pitch over that of level flight.
const PITCH_DEG: [(f64, f64); 8] = [
    (2.0, 0.0),
    (5.0, 3.5),
    (22.0, 3.5),
    (25.0, 0.0),
    (29.0, 0.0),
    (42.0, 14.0),
    (55.0, 11.0),
    (60.0, 2.0),
];

/// Hands that fly the minute on a flat earth: a level turn at 45 degrees of bank, then a chandelle at full throttle.
#[allow(dead_code, reason = "one of two programs asks for it")]
pub(crate) fn hands(
    start: &StateArray,
    trimmed: &Inputs,
    time_s: f64,
    state: &StateArray,
) -> Inputs {
    let down = |state: &StateArray| {
        let state = State::from_array(state);
        let [_, _, down] = *state.attitude.fixed_from_body().rows();
        (down, state.rates_radps)
    };
    let ([nose, ..], _) = down(start);
    let (row, rates) = down(state);
    let (pitch, bank) = (-row[0], row[1]);
    let bank_asked = through(&BANK_DEG, time_s) * RAD_PER_DEG;
    let pitch_asked = through(&PITCH_DEG, time_s) * RAD_PER_DEG - nose;
    let held = trimmed.surfaces;
    let surfaces = Surfaces {
        elevator_rad: held.elevator_rad - 1.2 * (pitch_asked - pitch) + 0.5 * rates.y,
        aileron_rad: held.aileron_rad + 0.5 * (bank - sin(bank_asked)) + 0.2 * rates.x,
        rudder_rad: held.rudder_rad - 0.05 * bank,
        ..held
    };
    let throttle = through(&[(2.0, trimmed.throttle), (5.0, 0.9), (28.0, 1.0)], time_s);
    Inputs { surfaces, throttle, ..*trimmed }
}
