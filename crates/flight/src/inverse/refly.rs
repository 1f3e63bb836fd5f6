//! The proof: the rigid body flown with the controls that were found.

use base::frames::Vec3;
use base::numerics::ode::runge_kutta_4;

use super::{Solved, Task, turned};
use crate::controls::{Actuator, Actuators, Inputs, Surfaces};
use crate::vehicle::{State, StateArray, Vehicle};

/// A little feedback on attitude: as restoring acceleration for an angle, and for a rate, away from what was found. About a
/// tenth of what a pilot would do.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Feedback {
    /// Roll, pitch, yaw, 1/s2.
    pub angle_ps2: [f64; 3],
    /// Roll, pitch, yaw, 1/s.
    pub rate_ps: [f64; 3],
}

impl Feedback {
    /// What reference flights use.
    pub const LOW: Self = Self { angle_ps2: [3.0, 2.0, 0.6], rate_ps: [0.5, 0.5, 0.5] };
    /// None: the controls alone.
    pub const NONE: Self = Self { angle_ps2: [0.0; 3], rate_ps: [0.0; 3] };
}

/// How well the rigid body follows, and what the feedback had to do.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Tracking {
    /// Greatest angle between the attitudes, rad: about the body's axes roll, pitch, yaw.
    pub attitude_max_rad: [f64; 3],
    /// Greatest difference of height, m.
    pub height_max_m: f64,
    /// Greatest difference of speed over the ground, m/s.
    pub speed_max_mps: f64,
    /// Greatest deflection that feedback added: aileron, elevator, rudder, rad.
    pub feedback_max_rad: [f64; 3],
    /// Root mean square of it over that of the movement of the control about its mean.
    pub feedback_share: [f64; 3],
    /// Times a control was held at a limit, as a share of the flight.
    pub limited_share: f64,
}

/// A flight as the rigid body flew it.
#[derive(Debug, Clone)]
pub struct Reflown {
    /// State at every node, as long as the data reach.
    pub states: Vec<StateArray>,
    /// Inputs at every node.
    pub inputs: Vec<Inputs>,
    /// How well.
    pub tracking: Tracking,
}

/// Steps between two nodes.
const STEPS: usize = 2;

/// Integrates the rigid body, the real vehicle with its actuators, with the controls of a solved flight (led by the lag of each actuator) and a
/// feedback that looks once a node. Ends early where the state leaves the airplane's data. Fourth-order Runge-Kutta.
#[must_use]
pub fn refly(
    task: &Task<'_>,
    vehicle: &Vehicle,
    flight: &[Solved],
    feedback: &Feedback,
) -> Reflown {
    let mut out = Reflown {
        states: Vec::with_capacity(flight.len()),
        inputs: Vec::with_capacity(flight.len()),
        tracking: Tracking::default(),
    };
    let Some(first) = flight.first() else { return out };
    let led = led(task, &vehicle.actuators, flight);
    let mut sums = Sums::default();
    let mut state = first.state;
    let step_s = task.step_s / STEPS as f64;
    let node_first = ((first.time_s - task.time_first_s) / task.step_s).round() as usize;
    for (i, solved) in flight.iter().enumerate() {
        let added = sums.look(&mut out.tracking, (task, vehicle), (solved, &state), feedback);
        let throttle = |i: usize| {
            task.asked.get(node_first + i).or(task.asked.last()).map_or(0.0, |node| node.throttle)
        };
        let next = led[(i + 1).min(led.len() - 1)];
        let inputs = |share: f64| {
            let at = |j: usize| led[i][j] + share * (next[j] - led[i][j]) + added[j];
            let surfaces = Surfaces {
                elevator_rad: at(1),
                aileron_rad: at(0),
                rudder_rad: at(2),
                flap_rad: task.flap_rad,
            };
            let throttle = throttle(i) + share * (throttle(i + 1) - throttle(i));
            Inputs { surfaces, throttle, propeller: task.propeller }
        };
        out.states.push(state);
        out.inputs.push(inputs(0.0));
        for step in 0..STEPS {
            let from_s = solved.time_s + step as f64 * step_s;
            let share = |time_s: f64| (time_s - solved.time_s) / task.step_s;
            let rate = |time_s: f64, y: &StateArray| {
                vehicle.rate(&task.world, time_s, y, &inputs(share(time_s)))
            };
            state = runge_kutta_4(rate, from_s, &state, step_s);
        }
        if state.iter().any(|x| !x.is_finite()) {
            break;
        }
    }
    sums.share(&mut out.tracking);
    out
}

/// Surfaces asked for, aileron, elevator, rudder: where they must be, led by the lag of the actuator.
fn led(task: &Task<'_>, actuators: &Actuators, flight: &[Solved]) -> Vec<[f64; 3]> {
    let channel = |i: usize, index: usize, actuator: &Actuator| {
        let at = |i: usize| flight[i.min(flight.len() - 1)].state[index];
        let before = i.saturating_sub(1);
        let over_s = task.step_s * ((i + 1).min(flight.len() - 1) - before).max(1) as f64;
        at(i) + actuator.lag_s * (at(i + 1) - at(before)) / over_s
    };
    (0..flight.len())
        .map(|i| {
            [
                channel(i, 15, &actuators.aileron),
                channel(i, 14, &actuators.elevator),
                channel(i, 16, &actuators.rudder),
            ]
        })
        .collect()
}

/// A surface this near to its limit is at it, rad: with a lag it only comes near.
const NEAR_RAD: f64 = 1e-3;

#[derive(Default)]
struct Sums {
    count: f64,
    added: [f64; 3],
    moved: [f64; 3],
    moved_squares: [f64; 3],
    limited: f64,
}

impl Sums {
    /// What the feedback adds: aileron, elevator, rudder; keeps the books.
    fn look(
        &mut self,
        tracking: &mut Tracking,
        (task, vehicle): (&Task<'_>, &Vehicle),
        (wanted, state): (&Solved, &StateArray),
        feedback: &Feedback,
    ) -> [f64; 3] {
        let now = State::from_array(state);
        let miss = turned(&now.attitude.fixed_from_body(), &wanted.fixed_from_body);
        let meant = State::from_array(&wanted.state);
        let slow = meant.rates_radps - now.rates_radps;
        let (angles, rates) = ([miss.x, miss.y, miss.z], [slow.x, slow.y, slow.z]);
        let added: [f64; 3] = std::array::from_fn(|i| {
            let power = wanted.control_power[i];
            let wish = feedback.angle_ps2[i] * angles[i] + feedback.rate_ps[i] * rates[i];
            if power.abs() > 1e-6 { wish / power } else { 0.0 }
        });
        for i in 0..3 {
            keep_max(&mut tracking.attitude_max_rad[i], angles[i]);
            keep_max(&mut tracking.feedback_max_rad[i], added[i]);
            let at = wanted.state[[15, 14, 16][i]];
            self.added[i] += added[i] * added[i];
            self.moved[i] += at;
            self.moved_squares[i] += at * at;
        }
        let height = |position| task.world.earth.height_m(position);
        keep_max(&mut tracking.height_max_m, height(now.position_m) - height(meant.position_m));
        let speed = |velocity: Vec3<_>| velocity.norm();
        keep_max(&mut tracking.speed_max_mps, speed(now.velocity_mps) - speed(meant.velocity_mps));
        let actuators = &vehicle.actuators;
        let at_limit = [
            (&actuators.elevator, state[14]),
            (&actuators.aileron, state[15]),
            (&actuators.rudder, state[16]),
        ]
        .iter()
        .any(|(actuator, at)| {
            *at <= actuator.limits_rad.0 + NEAR_RAD || *at >= actuator.limits_rad.1 - NEAR_RAD
        });
        self.limited += f64::from(u8::from(at_limit));
        self.count += 1.0;
        added
    }

    fn share(&self, tracking: &mut Tracking) {
        let count = self.count.max(1.0);
        for i in 0..3 {
            let mean = self.moved[i] / count;
            let spread = (self.moved_squares[i] / count - mean * mean).max(0.0).sqrt();
            let added = (self.added[i] / count).sqrt();
            tracking.feedback_share[i] = if spread > 1e-9 { added / spread } else { 0.0 };
        }
        tracking.limited_share = self.limited / count;
    }
}

fn keep_max(most: &mut f64, value: f64) {
    *most = most.max(value.abs());
}
