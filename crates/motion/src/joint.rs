//! All sensors at once: the most likely motion given everything recorded, by Gauss-Newton on banded normal equations.
//!
//! The state of a knot is position, velocity, acceleration (earth-fixed axes), the slow error of the receiver, the wind, the
//! specific thrust, sideslip and the knot's own share of incidence. Attitude is a function of it (`body`), so that a recorded
//! bank, a load or a gyroscope speaks of the same thing as the satellites. Jerk, wind and thrust wander; sideslip and incidence
//! come back to nil. Along the path the specific force is thrust less drag: that is what shows the wind in turns. Delays, biases
//! and mounting are unknowns of the whole flight, in the border of the system. Sensors have noise that is learned from what is
//! left over, and samples far off weigh less. Linear in time and memory.

mod assemble;
pub(crate) mod layout;
mod learn;
mod predict;
mod window;

use base::numerics::block_tridiagonal::{BlockTridiagonal, Eliminated, Local, NotPositiveDefinite};

use crate::body::{Body, Look, Place, State};
use crate::gusts;
use crate::sensors::{Channel, Global, Kind, LEVEL, Mount, SIDE, SLOPE};
use crate::smoother::{Measured, Noise};
use layout::{ACCELERATION, INCIDENCE, POSITION, SIDE_FREE, SIDESLIP, VELOCITY, WIND};
pub(crate) use learn::variance;
pub(crate) use predict::{IN_BORDER, IN_STATE, Turn, turns};
use window::Window;

/// Everything that the states are found from.
#[derive(Debug, Clone)]
pub(crate) struct Scene {
    /// Whether there are no positions: the way through the air alone is found.
    pub(crate) alone: bool,
    pub(crate) time_s: Vec<f64>,
    pub(crate) places: Vec<Place>,
    /// Height at each knot when `down_m` is where it is.
    pub(crate) height_m: Vec<f64>,
    pub(crate) down_m: Vec<f64>,
    pub(crate) body: Body,
    /// Fixes on the three common axes, with weights and noise.
    pub(crate) measured: [Vec<Measured>; 3],
    pub(crate) weights: [Vec<f64>; 3],
    pub(crate) noise: [Noise; 3],
    /// Intensity of jerk, horizontal and vertical, m2/s5, and rate of turn, rad/s, of each interval.
    pub(crate) jerk: Vec<f64>,
    pub(crate) jerk_down: Vec<f64>,
    pub(crate) turn_rate: Vec<f64>,
    /// What sideslip is usual about each knot, rad: more where more is found, as if it had the tails of Student's distribution.
    pub(crate) slip_sigma: Vec<f64>,
    /// Usual speed, m/s.
    pub(crate) speed_mps: f64,
    /// Gusts, m/s, one standard deviation a component, and what they and everything else do to incidence, rad.
    pub(crate) gust_mps: f64,
    pub(crate) incidence_sigma: f64,
    pub(crate) wind: WindPrior,
    /// Restlessness of specific thrust, (m/s2)^2/s.
    pub(crate) thrust_drift: f64,
    pub(crate) channels: Vec<Channel>,
    pub(crate) globals: Vec<Global>,
    pub(crate) mount: Option<Mount>,
    /// Whether the rate of roll is followed: where a bank was recorded and no gyroscope shows how it changes.
    pub(crate) follows_roll: bool,
    /// Whether a lateral load was recorded; see [`State::slip_by_load`].
    pub(crate) slip_by_load: bool,
    /// Where sideslip is told by the load: the unknown that says what share of thrust is felt to the left, because the rudder holds the nose
    /// against the propeller.
    pub(crate) by_propeller: Option<usize>,
}

/// What is known of the wind beforehand.
#[derive(Debug, Clone, Copy)]
pub(crate) struct WindPrior {
    pub(crate) mean: [f64; 2],
    pub(crate) sigma: f64,
    /// Change, m/s in the square root of a second and in the square root of a meter of height.
    pub(crate) drift: f64,
    pub(crate) shear: f64,
}

/// The states found, and the factors that their doubt comes from.
#[derive(Debug, Clone)]
pub(crate) struct Found<const N: usize> {
    states: Vec<[f64; N]>,
    eliminated: Eliminated<N>,
}

/// A knot of what was found.
#[derive(Debug)]
pub(crate) struct At<'a, const N: usize> {
    pub(crate) knot: usize,
    pub(crate) state: &'a [f64; N],
    pub(crate) look: &'a Look,
    /// How the airplane turns to the next knot; not at the last.
    pub(crate) turn: Option<&'a Turn>,
    /// Covariances.
    pub(crate) local: &'a Local<'a, N>,
}

impl<const N: usize> Found<N> {
    /// Visits the knots from the last to the first: of looks and covariances no more than a few knots' are kept.
    pub(crate) fn each(&self, scene: &Scene, mut visit: impl FnMut(&At<'_, N>)) {
        let mut window = Window::default();
        self.eliminated.sweep(|local| {
            let knot = local.knot;
            if !window.holds(knot) {
                window.fill_around(scene, &self.states, knot, true);
            }
            let turn = (knot + 1 < self.states.len()).then(|| window.turn(knot));
            visit(&At { knot, state: &self.states[knot], look: window.look(knot), turn, local });
        });
    }
}

/// Rounds with sensors of attitude or rate; without, two settle it.
const ROUNDS: usize = 8;

/// With less lift than this a jerk says little of the roll, m/s2.
const ROLL_LIFT_LEAST_MPS2: f64 = 3.0;

/// Noise of an airspeed indicator itself, m/s (common practice, no source).
const AIRSPEED_OWN_MPS: f64 = 0.2;

/// Drag, incidence and side force stay within so many sigmas of what is usual.
const KIND_SIGMAS: f64 = 2.5;

/// Finds states and unknowns; noise, weights and unknowns are left in the scene.
pub(crate) fn solve<const N: usize>(
    scene: &mut Scene,
    mut states: Vec<[f64; N]>,
    rounds: usize,
) -> Result<Found<N>, NotPositiveDefinite> {
    let rounds = rounds.clamp(1, ROUNDS);
    let mut system = BlockTridiagonal::<N>::with_border(states.len(), scene.globals.len());
    let mut before: Option<(Scene, Vec<[f64; N]>)> = None;
    for round in 0..rounds {
        let solved = assemble::eliminate(system, scene, &states);
        // Where nothing holds the heading, hours of knots may end where the arithmetic does: the round before was good.
        let (eliminated, last) = match (solved, before.take()) {
            (Ok(eliminated), _) => (eliminated, round + 1 == rounds),
            (Err(_), Some(good)) => {
                (*scene, states) = good;
                system = BlockTridiagonal::with_border(states.len(), scene.globals.len());
                (assemble::eliminate(system, scene, &states)?, true)
            }
            (Err(why), None) => return Err(why),
        };
        if scene.alone && !last {
            before = Some((scene.clone(), states.clone()));
        }
        advance(scene, &mut states, &eliminated.values(), eliminated.border());
        if last {
            let width = scene.globals.len();
            for (g, global) in scene.globals.iter_mut().enumerate() {
                global.sigma = eliminated.border_covariance()[g * width + g].sqrt();
            }
            return Ok(Found { states, eliminated });
        }
        // The first rounds only find the place; noise is learned where it has been found.
        if round >= 2 && !scene.channels.is_empty() {
            learn::learn(scene, &states, &eliminated);
        }
        system = eliminated.into_empty();
    }
    unreachable!("the last round returns")
}

fn advance<const N: usize>(
    scene: &mut Scene,
    states: &mut [[f64; N]],
    step: &[[f64; N]],
    border: &[f64],
) {
    for (state, step) in states.iter_mut().zip(step) {
        if scene.alone {
            turn_with(state, step);
        }
        for (value, change) in state.iter_mut().zip(step) {
            *value += change;
        }
    }
    if scene.alone {
        carry(&scene.time_s, states);
    }
    for (g, (global, change)) in scene.globals.iter_mut().zip(border).enumerate() {
        global.value += change;
        if g <= SIDE {
            // What kind of airplane it is stays within what airplanes are.
            let most = KIND_SIGMAS * global.prior_sigma;
            global.value = global.value.clamp(global.prior - most, global.prior + most);
        }
    }
    if let Some(mount) = &mut scene.mount {
        mount.turn(&mut scene.globals);
    }
}

/// Takes the part of a step that turns the path out of it and turns velocity and acceleration by it: with nothing to hold the
/// heading it may be a large angle, for which the straight step would not do.
fn turn_with<const N: usize>(state: &mut [f64; N], step: &[f64; N]) {
    let (vn, ve) = (state[VELOCITY], state[VELOCITY + 1]);
    let square = (vn * vn + ve * ve).max(1.0);
    let angle = (vn * step[VELOCITY + 1] - ve * step[VELOCITY]) / square;
    let (c, s) = (base::math::cos(angle), base::math::sin(angle));
    for at in [VELOCITY, ACCELERATION] {
        let (north, east) = (state[at], state[at + 1]);
        // What the straight step would add for this turn is taken out, the rest turns with it.
        let rest = [step[at] + angle * east, step[at + 1] - angle * north];
        let whole = [north + rest[0], east + rest[1]];
        state[at] = c * whole[0] - s * whole[1] - step[at];
        state[at + 1] = s * whole[0] + c * whole[1] - step[at + 1];
    }
}

/// Places along the velocities: nothing else tells them.
fn carry<const N: usize>(time_s: &[f64], states: &mut [[f64; N]]) {
    for k in 1..states.len() {
        let dt = (time_s[k] - time_s[k - 1]).min(5.0);
        for axis in 0..2 {
            let mean = 0.5 * (states[k - 1][VELOCITY + axis] + states[k][VELOCITY + axis]);
            states[k][POSITION + axis] = states[k - 1][POSITION + axis] + dt * mean;
        }
    }
}

fn state_of<const N: usize>(scene: &Scene, x: &[f64; N]) -> State {
    let three = |from: usize| [x[from], x[from + 1], x[from + 2]];
    State {
        velocity: three(VELOCITY),
        acceleration: three(ACCELERATION),
        wind: [x[WIND], x[WIND + 1]],
        sideslip: if N > SIDESLIP { x[SIDESLIP] } else { 0.0 },
        side_free: if N > SIDE_FREE { x[SIDE_FREE] } else { 0.0 },
        incidence: if N > INCIDENCE { x[INCIDENCE] } else { 0.0 },
        incidence_level: scene.globals[LEVEL].value,
        incidence_slope: scene.globals[SLOPE].value,
        side_force: scene.globals[SIDE].value,
        slip_by_load: scene.slip_by_load,
    }
}

impl Scene {
    /// An airspeed indicator shows the gusts that the states leave out: what it strays by is theirs, and its own noise.
    fn feel_gusts(&mut self) {
        let airspeed = self.channels.iter().find(|channel| channel.kind == Kind::Airspeed);
        if let Some(channel) = airspeed {
            let square = channel.sigma * channel.sigma - AIRSPEED_OWN_MPS * AIRSPEED_OWN_MPS;
            self.set_gusts(square.max(0.0).sqrt().clamp(gusts::MPS.0, gusts::MPS.1));
        }
    }
    /// What gusts of so much, m/s, do to the incidence goes with them.
    pub(crate) fn set_gusts(&mut self, gust_mps: f64) {
        self.gust_mps = gust_mps;
        self.incidence_sigma =
            base::math::hypot(layout::INCIDENCE_SIGMA, gust_mps / self.speed_mps);
    }
    /// What is usual about a knot of side force that is not that of the sideslip, as the sideslip that would make it, rad.
    pub(crate) fn side_free_sigma(&self, k: usize) -> f64 {
        let gusts = self.gust_mps / self.speed_mps;
        let share = if self.slip_by_load {
            layout::SIDE_FREE_SHARE_BY_LOAD
        } else {
            layout::SIDE_FREE_SHARE
        };
        base::math::hypot(share * self.slip_sigma[k], gusts)
    }
    /// Rate of roll that is usual about a knot, rad/s: what makes the jerk there by leaning the lift, kept for its memory.
    pub(crate) fn roll_sigma(&self, k: usize, lift_mps2: f64) -> f64 {
        let spread = self.jerk[k] / (2.0 * layout::ROLL_S);
        spread.sqrt() / lift_mps2.max(ROLL_LIFT_LEAST_MPS2)
    }
    /// Height of a state.
    pub(crate) fn height_of<const N: usize>(&self, k: usize, x: &[f64; N]) -> f64 {
        self.height_m[k] - (x[POSITION + 2] - self.down_m[k])
    }
}
