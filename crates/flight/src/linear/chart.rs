//! The state written in coordinates, and back: what is moved, and the rates of what was not integrated as such.

use base::frames::{Attitude, Body, Fixed, Ned, Vec3};
use base::math::{cos, sin, tan};

use super::{Control, Coordinate};
use crate::controls::{Actuator, Inputs};
use crate::earth::Place;
use crate::vehicle::{ENGINE, State, Vehicle, World};

/// Whether the velocity is written in two ways at once.
pub(super) fn mixed(coordinates: &[Coordinate]) -> bool {
    use Coordinate::{Down, Forward, Incidence, Right, Sideslip, Speed};
    let body = coordinates.iter().any(|c| matches!(c, Forward | Right | Down));
    body && coordinates.iter().any(|c| matches!(c, Speed | Incidence | Sideslip))
}

/// A state in coordinates.
#[derive(Debug, Clone, Copy)]
pub(super) struct Point<'a> {
    vehicle: &'a Vehicle,
    world: &'a World<'a>,
    time_s: f64,
    position_m: Vec3<Fixed>,
    attitude: Attitude,
    velocity: Vec3<Body>,
    rates: Vec3<Body>,
    engine: f64,
    inputs: Inputs,
}

/// Rates of the coordinates, in SI.
pub(super) struct Rates {
    speed: [f64; 3],
    components: Vec3<Body>,
    attitude: Attitude,
    rotation: [f64; 3],
    height: f64,
    engine: f64,
}

impl Rates {
    pub(super) const fn of(&self, coordinate: Coordinate) -> f64 {
        match coordinate {
            Coordinate::Speed => self.speed[0],
            Coordinate::Incidence => self.speed[1],
            Coordinate::Sideslip => self.speed[2],
            Coordinate::Forward => self.components.x,
            Coordinate::Right => self.components.y,
            Coordinate::Down => self.components.z,
            Coordinate::Bank => self.attitude.bank_rad,
            Coordinate::Pitch => self.attitude.pitch_rad,
            Coordinate::Heading => self.attitude.heading_rad,
            Coordinate::RollRate => self.rotation[0],
            Coordinate::PitchRate => self.rotation[1],
            Coordinate::YawRate => self.rotation[2],
            Coordinate::Height => self.height,
            Coordinate::Engine => self.engine,
        }
    }
}

impl<'a> Point<'a> {
    pub(super) fn new(
        (vehicle, world): (&'a Vehicle, &'a World<'a>),
        time_s: f64,
        state: &State,
        inputs: &Inputs,
    ) -> Self {
        let place = world.earth.place(state.position_m);
        let wind = world.wind.at(time_s, place.height_m).velocity_mps;
        let through_air = state.velocity_mps - place.ned_from_fixed.inverse().apply(wind);
        let mut inputs = *inputs;
        // The airframe with its surfaces where they are: how they follow the hand is another matter.
        let set = |actuator: &Actuator, asked: f64, at: f64| actuator.position_rad(asked, at);
        let [elevator, aileron, rudder] = state.surfaces_rad;
        let (asked, actuators) = (&mut inputs.surfaces, &vehicle.actuators);
        asked.elevator_rad = set(&actuators.elevator, asked.elevator_rad, elevator);
        asked.aileron_rad = set(&actuators.aileron, asked.aileron_rad, aileron);
        asked.rudder_rad = set(&actuators.rudder, asked.rudder_rad, rudder);
        Self {
            vehicle,
            world,
            time_s,
            position_m: state.position_m,
            attitude: state.attitude_on(&world.earth),
            velocity: state.attitude.fixed_from_body().inverse().apply(through_air),
            rates: state.rates_radps,
            engine: state.engine,
            inputs,
        }
    }

    /// The same with one coordinate moved.
    pub(super) fn moved(&self, coordinate: Coordinate, by: f64) -> Self {
        let mut to = *self;
        match coordinate {
            Coordinate::Speed | Coordinate::Incidence | Coordinate::Sideslip => {
                let (speed, alpha, beta) = angles(self.velocity);
                let add = |which: Coordinate| if coordinate == which { by } else { 0.0 };
                let alpha = alpha + add(Coordinate::Incidence);
                let beta = beta + add(Coordinate::Sideslip);
                let speed = speed + add(Coordinate::Speed);
                to.velocity =
                    Vec3::new(cos(alpha) * cos(beta), sin(beta), sin(alpha) * cos(beta)) * speed;
            }
            Coordinate::Forward => to.velocity.x += by,
            Coordinate::Right => to.velocity.y += by,
            Coordinate::Down => to.velocity.z += by,
            Coordinate::Bank => to.attitude.bank_rad += by,
            Coordinate::Pitch => to.attitude.pitch_rad += by,
            Coordinate::Heading => to.attitude.heading_rad += by,
            Coordinate::RollRate => to.rates.x += by,
            Coordinate::PitchRate => to.rates.y += by,
            Coordinate::YawRate => to.rates.z += by,
            Coordinate::Height => {
                let up = self.place().ned_from_fixed.inverse().apply(Vec3::new(0.0, 0.0, -by));
                to.position_m = self.position_m + up;
            }
            Coordinate::Engine => to.engine += by,
        }
        to
    }

    /// The same with one control moved within its limits, and how far it went.
    pub(super) fn steered(&self, control: Control, by: f64) -> (Self, f64) {
        let mut to = *self;
        let limits = &self.vehicle.actuators;
        let (value, (low, high)) = match control {
            Control::Elevator => (&mut to.inputs.surfaces.elevator_rad, limits.elevator.limits_rad),
            Control::Aileron => (&mut to.inputs.surfaces.aileron_rad, limits.aileron.limits_rad),
            Control::Rudder => (&mut to.inputs.surfaces.rudder_rad, limits.rudder.limits_rad),
            Control::Throttle => (&mut to.inputs.throttle, (0.0, 1.0)),
        };
        let before = *value;
        *value = (before + by).max(low).min(high);
        let moved = *value - before;
        (to, moved)
    }

    fn place(&self) -> Place {
        self.world.earth.place(self.position_m)
    }

    /// Rates of every coordinate.
    pub(super) fn rates(&self) -> Rates {
        let earth = &self.world.earth;
        let place = self.place();
        let body_from_ned = self.attitude.body_from_ned();
        let wind = self.world.wind.at(self.time_s, place.height_m).velocity_mps;
        let wind_body = body_from_ned.apply(wind);
        let over_ground = self.velocity + wind_body;
        let velocity: Vec3<Ned> = body_from_ned.inverse().apply(over_ground);
        let mut state = State::at(earth, self.position_m, velocity, self.attitude, self.rates);
        let surfaces = &self.inputs.surfaces;
        state.engine = self.engine;
        state.surfaces_rad = [surfaces.elevator_rad, surfaces.aileron_rad, surfaces.rudder_rad];
        let rate = self.vehicle.rate(self.world, self.time_s, &state.to_array(), &self.inputs);

        let body_from_fixed = state.attitude.fixed_from_body().inverse();
        let over_earth = self.rates - body_from_fixed.apply(earth.turn());
        let level: Vec3<Ned> = earth.turn_of_level(&place, velocity);
        let over_level = over_earth - body_from_ned.apply(level);
        let gain = body_from_fixed.apply(Vec3::new(rate[3], rate[4], rate[5]));
        // The wind keeps its north, east and down parts; seen from the airplane it turns.
        let components = gain - over_earth.cross(over_ground) + over_level.cross(wind_body);
        Rates {
            speed: self.speed_rates(components),
            components,
            attitude: self.attitude_rates(over_level),
            rotation: [rate[10], rate[11], rate[12]],
            height: -velocity.z,
            engine: rate[ENGINE],
        }
    }

    /// Rates of speed, incidence and sideslip from those of the body components.
    fn speed_rates(&self, gain: Vec3<Body>) -> [f64; 3] {
        let Vec3 { x: u, y: v, z: w, .. } = self.velocity;
        let plane_square = u * u + w * w;
        let (plane, speed) = (plane_square.sqrt(), self.velocity.norm());
        let faster = self.velocity.dot(gain) / speed;
        let steeper = (u * gain.z - w * gain.x) / plane_square;
        let sideways = (gain.y * speed - v * faster) / (speed * plane);
        [faster, steeper, sideways]
    }

    /// Rates of the angles from body rates relative to the local level.
    fn attitude_rates(&self, rates: Vec3<Body>) -> Attitude {
        let Attitude { pitch_rad, bank_rad, .. } = self.attitude;
        let (sin_b, cos_b) = (sin(bank_rad), cos(bank_rad));
        let turning = rates.y * sin_b + rates.z * cos_b;
        Attitude {
            heading_rad: turning / cos(pitch_rad),
            pitch_rad: rates.y * cos_b - rates.z * sin_b,
            bank_rad: rates.x + tan(pitch_rad) * turning,
        }
    }
}

/// Speed, incidence, sideslip.
fn angles(velocity: Vec3<Body>) -> (f64, f64, f64) {
    let Vec3 { x: u, y: v, z: w, .. } = velocity;
    let plane = (u * u + w * w).sqrt();
    (velocity.norm(), base::math::atan2(w, u), base::math::atan2(v, plane))
}
