//! Straight steady flight of a rigid airplane over a flat earth in uniform air, as published trims state it: a point
//! with its accelerations, and the trim that the engine finds.

use base::frames::{Attitude, Body, Vec3};
use base::kinds::TrueAirspeed;
use base::units::Angle;
use flight::air::{AirColumn, GAS_CONSTANT_JPKGK};
use flight::controls::{Inputs, Surfaces};
use flight::earth::{Earth, Gravitation, Shape};
use flight::trim::{Airspeed, Balance, Conditions, Hold, Trim, trim};
use flight::vehicle::{State, StateArray, Vehicle, World};
use flight::wind::Wind;

/// A steady flight, angles in rad.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Steady {
    /// Angle of attack.
    pub alpha: f64,
    /// Sideslip.
    pub beta: f64,
    /// Pitch attitude.
    pub theta: f64,
    /// Bank.
    pub phi: f64,
    /// Elevator.
    pub elevator: f64,
    /// Ailerons.
    pub aileron: f64,
    /// Rudder.
    pub rudder: f64,
    /// Throttle, nil to one.
    pub throttle: f64,
    /// Propeller lever, nil to one.
    pub propeller: f64,
}

/// Where it is flown.
#[derive(Debug, Clone)]
pub struct Place {
    /// The earth.
    pub earth: Earth,
    /// The air.
    pub air: AirColumn,
}

impl Place {
    /// Flat earth with this gravity, m/s2, and air of this density, kg/m3, and temperature, K.
    #[must_use]
    pub fn new(gravity_mps2: f64, density_kgpm3: f64, temperature_k: f64) -> Self {
        let gravitation = Gravitation::Uniform { mps2: gravity_mps2 };
        let earth = Earth { shape: Shape::Flat, gravitation, turn_radps: 0.0 };
        let pressure_pa = density_kgpm3 * GAS_CONSTANT_JPKGK * temperature_k;
        Self { earth, air: AirColumn::uniform(pressure_pa, temperature_k) }
    }
    /// The same as a world, without wind.
    #[must_use]
    pub const fn world(&self) -> World<'_> {
        World { earth: self.earth, air: &self.air, wind: &Wind::CALM }
    }
}

impl Steady {
    /// What the pilot asks for.
    #[must_use]
    pub fn inputs(&self) -> Inputs {
        let surfaces = Surfaces {
            elevator_rad: self.elevator,
            aileron_rad: self.aileron,
            rudder_rad: self.rudder,
            flap_rad: 0.0,
        };
        Inputs { surfaces, throttle: self.throttle, propeller: self.propeller }
    }
    /// The state at an airspeed, m/s, heading north at the origin.
    #[must_use]
    pub fn state(&self, place: &Place, speed_mps: f64) -> StateArray {
        use base::math::{cos, sin};
        let attitude = Attitude { heading_rad: 0.0, pitch_rad: self.theta, bank_rad: self.phi };
        let velocity: Vec3<Body> = Vec3::new(
            cos(self.alpha) * cos(self.beta),
            sin(self.beta),
            sin(self.alpha) * cos(self.beta),
        ) * speed_mps;
        let velocity = attitude.body_from_ned().inverse().apply(velocity);
        State::at(&place.earth, Vec3::ZERO, velocity, attitude, Vec3::ZERO).to_array()
    }
    /// The six accelerations, m/s2 and rad/s2.
    #[must_use]
    pub fn accelerations(&self, vehicle: &Vehicle, place: &Place, speed_mps: f64) -> [f64; 6] {
        let state = self.state(place, speed_mps);
        let rate = vehicle.rate(&place.world(), 0.0, &state, &self.inputs());
        [rate[3], rate[4], rate[5], rate[10], rate[11], rate[12]]
    }
}

/// What is held beside the steadiness.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Held {
    /// Bank nil, sideslip and climb as they come; throttle held.
    Bank,
    /// Sideslip nil, bank and climb as they come; throttle held.
    Sideslip,
    /// Bank nil and level flight; the throttle is found.
    BankAndHeight,
}

/// Trims straight flight at an airspeed, m/s, with these levers (throttle, propeller). `None` when there is no trim.
#[must_use]
pub fn find(
    vehicle: &Vehicle,
    place: &Place,
    speed_mps: f64,
    (throttle, propeller): (f64, f64),
    held: Held,
) -> Option<(Steady, Trim)> {
    let nil = Angle::from_rad(0.0);
    let balance = match held {
        Held::Sideslip => Balance::Sideslip(nil),
        Held::Bank | Held::BankAndHeight => Balance::Bank(nil),
    };
    let hold = match held {
        Held::BankAndHeight => Hold::Climb(nil),
        Held::Bank | Held::Sideslip => Hold::Throttle(throttle),
    };
    let airspeed = Airspeed::True(TrueAirspeed::from_mps(speed_mps));
    let level = Conditions::level(Vec3::ZERO, airspeed);
    let conditions = Conditions { hold, balance, propeller, ..level };
    let trim = trim(vehicle, &place.world(), &conditions).ok().filter(Trim::converged)?;
    let (flow, surfaces) = (&trim.instant.flow, &trim.inputs.surfaces);
    let steady = Steady {
        alpha: flow.alpha_rad,
        beta: flow.beta_rad(),
        theta: trim.pitch.to_rad(),
        phi: trim.bank.to_rad(),
        elevator: surfaces.elevator_rad,
        aileron: surfaces.aileron_rad,
        rudder: surfaces.rudder_rad,
        throttle: trim.inputs.throttle,
        propeller,
    };
    Some((steady, trim))
}
