//! The rigid body and its equations of motion: six degrees of freedom over any earth, in any air.
//!
//! In axes turning with the earth at `w` (nil over an earth at rest), with `C` the rotation from body to these axes:
//!
//! ```text
//! position'  = velocity
//! velocity'  = C force / m + gravitation - 2 w x velocity - w x (w x position)
//! attitude'  = attitude * (rates - C^T w) / 2          (quaternion)
//! rates'     = inertia^-1 (moment - rates x inertia rates)
//! ```
//!
//! The flat earth is the same equations with `w` nil and uniform gravitation: nothing is written twice. Rates are relative to
//! inertial space. Force and moment come from [`crate::aerodynamics`] and [`crate::propulsion`] through a
//! [`Budget`]. Source: SL-2003, chapter 1.

pub mod events;
mod mass;
mod piloted;
mod state;

use base::frames::{Body, Fixed, Vec3};

use crate::aerodynamics::Aerodynamics;
use crate::air::AirColumn;
use crate::budget::{Budget, Cause, Switches};
use crate::controls::{Actuators, Inputs, Surfaces};
use crate::earth::Earth;
use crate::flow::Flow;
use crate::propulsion::{Propulsion, Running};
use crate::wind::WindField;

pub use mass::{Inertia, MassError, MassProperties};
pub use piloted::{End, Flown, Moment, Stepping};
pub use state::{COUNT, ENGINE, Quaternion, State, StateArray};

/// Where a flight takes place: earth, air, and how the air moves.
#[derive(Debug, Clone, Copy)]
pub struct World<'a> {
    /// The earth.
    pub earth: Earth,
    /// The air by height.
    pub air: &'a AirColumn,
    /// Its motion.
    pub wind: &'a dyn WindField,
}

/// A rigid vehicle.
#[derive(Debug)]
pub struct Vehicle {
    /// Mass and its distribution.
    pub mass: MassProperties,
    /// Aerodynamic reference point, from the center of gravity, m.
    pub reference_from_center: Vec3<Body>,
    /// Forces of the air.
    pub aerodynamics: Box<dyn Aerodynamics>,
    /// What pulls.
    pub propulsion: Box<dyn Propulsion>,
    /// How the surfaces follow.
    pub actuators: Actuators,
    /// Which causes act.
    pub switches: Switches,
}

/// Everything at one instant.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Instant {
    /// Rate of change of the state.
    pub rate: StateArray,
    /// Height above mean sea level (of the earth in use), m.
    pub height_m: f64,
    /// How the air meets the airplane.
    pub flow: Flow,
    /// Forces and moments about the center of gravity, by cause.
    pub budget: Budget,
    /// Engine and propeller.
    pub running: Running,
    /// Where the surfaces are.
    pub surfaces: Surfaces,
    /// Rate of the angle of attack, rad/s.
    pub alpha_rate_radps: f64,
}

impl Instant {
    /// What an accelerometer at the center of gravity feels, m/s2; at rest on the ground it would be one g upwards.
    #[must_use]
    pub fn specific_force(&self, mass: &MassProperties) -> Vec3<Body> {
        self.budget.total().force_n * (1.0 / mass.mass_kg())
    }
}

#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[error(
    "outside the range of the airplane's data: angle of attack {alpha_deg:.1}, sideslip {beta_deg:.1} degrees, \
     {equivalent_kt:.0} kt equivalent airspeed, Mach {mach:.2}"
)]
/// A state that the vehicle's data do not cover.
pub struct OutsideData {
    /// Angle of attack, degrees.
    pub alpha_deg: f64,
    /// Sideslip, degrees.
    pub beta_deg: f64,
    /// Equivalent airspeed, kt.
    pub equivalent_kt: f64,
    /// Mach number.
    pub mach: f64,
}

impl OutsideData {
    /// Where a flow is.
    #[must_use]
    pub fn of(flow: &Flow) -> Self {
        let deg = base::factors::RAD_PER_DEG;
        Self {
            alpha_deg: flow.alpha_rad / deg,
            beta_deg: flow.beta_rad() / deg,
            equivalent_kt: flow.equivalent_mps() / base::factors::MPS_PER_KT,
            mach: flow.mach(),
        }
    }
    /// What to do about it.
    #[must_use]
    pub const fn hint(&self) -> &'static str {
        "fly more gently, or give the airplane data that reach this far"
    }
}

/// Kinematics of an instant, before forces.
struct Pose {
    height_m: f64,
    fixed_from_body: base::frames::Rot<Body, Fixed>,
    /// The turn of the earth, rad/s.
    earth_turn: Vec3<Body>,
}

/// What one evaluation finds besides the budget.
struct Evaluated {
    pose: Pose,
    flow: Flow,
    running: Running,
    surfaces: Surfaces,
    alpha_rate_radps: f64,
}

impl Vehicle {
    /// Rate of change of the state: one evaluation of all forces. Allocates nothing.
    #[must_use]
    pub fn rate(
        &self,
        world: &World<'_>,
        time_s: f64,
        state: &StateArray,
        inputs: &Inputs,
    ) -> StateArray {
        let mut budget = Budget::sum_only(self.switches);
        self.evaluate(world, (time_s, state), inputs, &mut budget).0
    }

    /// Refuses an instant outside the range of the aerodynamic data.
    ///
    /// # Errors
    /// Angles, airspeed and Mach number, when they are outside or not finite.
    pub fn check(&self, instant: &Instant) -> Result<(), OutsideData> {
        let flow = &instant.flow;
        let finite = instant.height_m.is_finite() && instant.rate.iter().all(|x| x.is_finite());
        if finite && self.aerodynamics.domain().holds(flow) {
            return Ok(());
        }
        Err(OutsideData::of(flow))
    }

    /// Everything at one instant. Allocates nothing.
    #[must_use]
    pub fn instant(
        &self,
        world: &World<'_>,
        time_s: f64,
        state: &StateArray,
        inputs: &Inputs,
    ) -> Instant {
        let mut budget = Budget::new(self.switches);
        let (rate, evaluated) = self.evaluate(world, (time_s, state), inputs, &mut budget);
        let Evaluated { pose, flow, running, surfaces, alpha_rate_radps } = evaluated;
        let height_m = pose.height_m;
        Instant { rate, height_m, flow, budget, running, surfaces, alpha_rate_radps }
    }

    /// The rate of change, and what else was found.
    #[inline(always)]
    fn evaluate(
        &self,
        world: &World<'_>,
        (time_s, state): (f64, &StateArray),
        inputs: &Inputs,
        budget: &mut Budget,
    ) -> (StateArray, Evaluated) {
        let calm = world.wind.is_calm(); // first: a call keeps nothing in registers
        let state = State::from_array(state);
        let wind_time_s = if calm { None } else { Some(time_s) };
        let (pose, flow) = Pose::of(world, wind_time_s, &state);
        let (surfaces, moving) = self.surfaces(&state, &inputs.surfaces);
        let running = self.propulsion.run(&flow, inputs, state.engine, budget);
        self.aerodynamics.add(&flow, &surfaces, &running.wash, budget);
        budget.about(self.reference_from_center);

        let inertial = pose.inertial_acceleration(&world.earth, &state);
        let alpha_rate_radps = self.incidence_rate(&pose, &flow, &state, inertial, budget);
        let total = budget.total();
        let acceleration =
            pose.fixed_from_body.apply(total.force_n) * self.mass.per_kg() + inertial;
        let rotation = self.mass.angular_acceleration(total.moment_nm, state.rates_radps);
        let [q0, q1, q2, q3] = state.attitude.rate(state.rates_radps - pose.earth_turn);
        let v = state.velocity_mps;
        let rate = [
            v.x,
            v.y,
            v.z,
            acceleration.x,
            acceleration.y,
            acceleration.z,
            q0,
            q1,
            q2,
            q3,
            rotation.x,
            rotation.y,
            rotation.z,
            running.state_rate,
            moving[0],
            moving[1],
            moving[2],
        ];
        (rate, Evaluated { pose, flow, running, surfaces, alpha_rate_radps })
    }

    /// Where the surfaces are, and how fast their states move.
    #[inline(always)]
    fn surfaces(&self, state: &State, asked: &Surfaces) -> (Surfaces, [f64; 3]) {
        let ([elevator, aileron, rudder], actuators) = (state.surfaces_rad, &self.actuators);
        let elevator = actuators.elevator.follow(asked.elevator_rad, elevator);
        let aileron = actuators.aileron.follow(asked.aileron_rad, aileron);
        let rudder = actuators.rudder.follow(asked.rudder_rad, rudder);
        let surfaces = Surfaces {
            elevator_rad: elevator.0,
            aileron_rad: aileron.0,
            rudder_rad: rudder.0,
            flap_rad: asked.flap_rad,
        };
        (surfaces, [elevator.1, aileron.1, rudder.1])
    }

    /// Rate of the angle of attack. What depends on it is linear in it, so that the equation is solved, not iterated; its
    /// share is added to budget and total. The air is taken to be steady.
    #[inline(always)]
    fn incidence_rate(
        &self,
        pose: &Pose,
        flow: &Flow,
        state: &State,
        inertial: Vec3<Fixed>,
        budget: &mut Budget,
    ) -> f64 {
        let per_plane = flow.per_speed.1;
        if per_plane == 0.0 {
            return 0.0;
        }
        let (sin, cos) = flow.alpha_sin_cos;
        let per_momentum = self.mass.per_kg() * per_plane;
        let turning = |x_n: f64, z_n: f64| (cos * z_n - sin * x_n) * per_momentum;
        let pull = pose.fixed_from_body.inverse().apply(inertial);
        let spin = (state.rates_radps - pose.earth_turn).cross(flow.velocity_mps);
        let falling = (cos * (pull.z - spin.z) - sin * (pull.x - spin.x)) * per_plane;
        let force_n = budget.total().force_n;
        let free = turning(force_n.x, force_n.z) + falling;
        if !budget.acts(Cause::IncidenceRate) {
            return free;
        }
        let rate_with = |x_n: f64, z_n: f64| free * (1.0 / (1.0 - turning(x_n, z_n)));
        if let Some(&unit) = budget.incidence_rate() {
            let alpha_rate_radps = rate_with(unit.x_n, unit.z_n);
            budget.add_in_plane(Cause::IncidenceRate, unit * alpha_rate_radps);
            return alpha_rate_radps;
        }
        let unit = self.aerodynamics.incidence_rate(flow);
        let alpha_rate_radps = rate_with(unit.force_n.x, unit.force_n.z);
        budget.add(Cause::IncidenceRate, unit * alpha_rate_radps);
        alpha_rate_radps
    }
}

impl Pose {
    /// With the time at which the wind is to be asked, s: none in a calm.
    #[inline(always)]
    fn of(world: &World<'_>, wind_time_s: Option<f64>, state: &State) -> (Self, Flow) {
        let height_m = world.earth.height_m(state.position_m);
        let fixed_from_body = state.attitude.fixed_from_body();
        // The earth turns about the third axis.
        let [_, _, [x, y, z]] = *fixed_from_body.rows();
        let earth_turn = Vec3::new(x, y, z) * world.earth.turn_radps;
        let mut through_air = state.velocity_mps;
        let mut rates_radps = state.rates_radps - earth_turn;
        if let Some(time_s) = wind_time_s {
            let motion = world.wind.at(time_s, height_m);
            let level = world.earth.place(state.position_m).ned_from_fixed;
            through_air = through_air - level.inverse().apply(motion.velocity_mps);
            rates_radps = rates_radps - motion.rotation_radps;
        }
        let velocity = fixed_from_body.inverse().apply(through_air);
        let mut flow = Flow::new(velocity, rates_radps, world.air.at(height_m));
        flow.rates_inertial_radps = state.rates_radps;
        (Self { height_m, fixed_from_body, earth_turn }, flow)
    }
    /// Acceleration that is not felt: gravitation and what turning axes add.
    #[inline(always)]
    fn inertial_acceleration(&self, earth: &Earth, state: &State) -> Vec3<Fixed> {
        let gravitation = earth.gravitation(state.position_m);
        if earth.turn_radps == 0.0 {
            return gravitation;
        }
        // -2 w x v - w x (w x r) about the third axis, written out.
        let (turn, p, v) = (earth.turn_radps, state.position_m, state.velocity_mps);
        let (twice, square) = (2.0 * turn, turn * turn);
        Vec3::new(
            gravitation.x + (twice * v.y + square * p.x),
            gravitation.y + (square * p.y - twice * v.x),
            gravitation.z,
        )
    }
}

#[cfg(test)]
mod tests;
