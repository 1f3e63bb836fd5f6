//! The normal equations about the present states: links between knots, fixes, energy, channels, priors.

use base::factors::{RAD_PER_DEG, STANDARD_GRAVITY_MPS2};
use base::math::{exp, wrap_pi};
use base::numerics::block_tridiagonal::{BlockTridiagonal, Eliminated, NotPositiveDefinite, Row};

use super::layout::{
    ACCELERATION, INCIDENCE, INCIDENCE_S, POSITION, ROLL, ROLL_S, SIDE_FREE, SIDE_FREE_S, SIDESLIP,
    SIDESLIP_S, SLOW, THRUST, VELOCITY, WIND,
};
use super::predict::{IN_BORDER, IN_STATE, LOCAL, STEP_MAX_S, Sight};
use super::window::{STRETCH, View, Window};
use super::{ROLL_LIFT_LEAST_MPS2, Scene, WindPrior};
use crate::body::INPUTS;
use crate::sensors::{self, Channel, DRAG};
use crate::smoother::{Measured, STATES, Shown, gather, information, plane_link, transition};

/// Places of north and east together, and of down, in the order of the smoother's axes.
const PLANE: [usize; 8] = [0, 3, 6, 9, 1, 4, 7, 10];
const VERTICAL: [usize; 4] = [2, 5, 8, 11];

/// Below this speed through the air the airplane is not taken to fly, m/s.
const FLYING_MPS: f64 = 15.0;
/// What gusts and the polar leave of the specific force along the path, m/s2, for a second of it (our judgement, no source).
const ALONG_SIGMA: f64 = 0.08;
/// Gusts keep for some seconds: they weigh on a second of it by so much more (our judgement, no source).
const GUST_ALONG: f64 = 2.0;
/// So far a place that nothing tells may be off, m: holds the numbers together over a hole.
const LOST_M: f64 = 1e5;
/// Rate of roll at the first knot beforehand, one standard deviation, rad/s.
const ROLL_FIRST_RADPS: f64 = 0.2;
/// Steeper than this, nose up or down, the rate of roll is not followed.
const ROLL_PITCH_MOST_RAD: f64 = 60.0 * RAD_PER_DEG;
/// Share of the jerk that the rate of roll leaves for quicker changes of bank, and a rate that is left whatever the jerk, rad/s (our
/// judgement, no source).
const ROLL_QUICK_SHARE: f64 = 0.1;
const ROLL_LEAST_RADPS: f64 = 0.3 * RAD_PER_DEG;
/// Specific thrust beforehand, m/s2.
const THRUST_PRIOR: (f64, f64) = (1.5, 2.0);

/// Fills the system, which is empty, and eliminates it stretch by stretch.
pub(super) fn eliminate<const N: usize>(
    mut system: BlockTridiagonal<N>,
    scene: &Scene,
    states: &[[f64; N]],
) -> Result<Eliminated<N>, NotPositiveDefinite> {
    let mut window = Window::default();
    let mut seen = [0; 3];
    priors(&mut system, scene, states);
    for start in (0..states.len()).step_by(STRETCH) {
        window.fill_around(scene, states, start, false);
        let view = View { scene, states, window: &window };
        let stretch = window.stretch();
        links(&mut system, &view);
        for (axis, seen) in seen.iter_mut().enumerate() {
            *seen = fixes(&mut system, &view, axis, *seen);
        }
        energy(&mut system, &view);
        if scene.follows_roll && N > ROLL {
            rolling(&mut system, &view);
        }
        if scene.alone {
            lost(&mut system, &view);
        }
        for channel in &scene.channels {
            view.sights(channel, |sight| add(&mut system, channel, &sight));
        }
        system.close_before(stretch.end)?;
    }
    system.eliminate()
}

/// Adds a value that is meant to be nil: `state[i]` should be `wanted`, within `sigma`.
fn hold<const N: usize>(
    system: &mut BlockTridiagonal<N>,
    (knot, i): (usize, usize),
    now: f64,
    wanted: f64,
    sigma: f64,
) {
    let row = Row { knot, here: &[(i, 1.0)], next: &[], border: &[] };
    system.observe_row(row, wanted - now, 1.0 / (sigma * sigma));
}

fn links<const N: usize>(system: &mut BlockTridiagonal<N>, view: &View<'_, N>) {
    let View { scene, states, window } = *view;
    for k in window.stretch().filter(|k| k + 1 < states.len()) {
        let dt = scene.time_s[k + 1] - scene.time_s[k];
        let (f, q) =
            plane_link(dt, scene.jerk[k], scene.turn_rate[k], [&scene.noise[0], &scene.noise[1]]);
        tie(system, k, states, &PLANE, (&f, &q));
        let f = transition(dt, 0.0, &scene.noise[2]).map(|row| row.map(|(along, _)| along));
        let q = information(dt, scene.jerk_down[k], &scene.noise[2]);
        tie(system, k, states, &VERTICAL, (&f, &q));
        let climbed = (states[k + 1][POSITION + 2] - states[k][POSITION + 2]).abs();
        let WindPrior { drift, shear, .. } = scene.wind;
        let wind = 1.0 / (drift * drift * dt + shear * shear * climbed);
        for i in [WIND, WIND + 1] {
            tie(system, k, states, &[i], (&[[1.0]], &[[wind]]));
        }
        tie(system, k, states, &[THRUST], (&[[1.0]], &[[1.0 / (scene.thrust_drift * dt)]]));
        let returning = [
            (SIDESLIP, scene.slip_sigma[k], SIDESLIP_S),
            (INCIDENCE, scene.incidence_sigma, INCIDENCE_S),
            (SIDE_FREE, scene.side_free_sigma(k), SIDE_FREE_S),
        ];
        if N > ROLL {
            let sigma = scene.roll_sigma(k, window.flow(k).size.value);
            let kept = exp(-dt / ROLL_S);
            let known = 1.0 / (sigma * sigma * (1.0 - kept * kept));
            tie(system, k, states, &[ROLL], (&[[kept]], &[[known]]));
        }
        for (i, sigma, memory_s) in returning.into_iter().filter(|(i, ..)| *i < N) {
            let kept = exp(-dt / memory_s);
            let known = 1.0 / (sigma * sigma * (1.0 - kept * kept));
            match scene.by_propeller {
                Some(g) if i == SIDE_FREE => about_propeller(system, view, k, (g, kept, known)),
                _ => tie(system, k, states, &[i], (&[[kept]], &[[known]])),
            }
        }
    }
}

/// Links the free side force of two knots, which comes back to what holds the nose against the propeller there.
fn about_propeller<const N: usize>(
    system: &mut BlockTridiagonal<N>,
    view: &View<'_, N>,
    k: usize,
    (g, kept, known): (usize, f64, f64),
) {
    let View { scene, states, .. } = *view;
    let turn = g + 1;
    let shares = [scene.globals[g].value, scene.globals[turn].value];
    let (here, next) = (slip_for_thrust(view, k), slip_for_thrust(view, k + 1));
    let (here, next) = ([here, slip_for_turn(view, k)], [next, slip_for_turn(view, k + 1)]);
    let changed = [next[0] - kept * here[0], next[1] - kept * here[1]];
    let meant = shares[0] * changed[0] + shares[1] * changed[1];
    let left = kept * states[k][SIDE_FREE] + meant - states[k + 1][SIDE_FREE];
    let row = Row {
        knot: k,
        here: &[(SIDE_FREE, -kept)],
        next: &[(SIDE_FREE, 1.0)],
        border: &[(g, -changed[0]), (turn, -changed[1])],
    };
    system.observe_row(row, left, known);
    if k == 0 {
        let sigma = scene.side_free_sigma(0);
        let border = &[(g, -here[0]), (turn, -here[1])];
        let row = Row { knot: 0, here: &[(SIDE_FREE, 1.0)], next: &[], border };
        let meant = shares[0] * here[0] + shares[1] * here[1];
        system.observe_row(row, meant - states[0][SIDE_FREE], 1.0 / (sigma * sigma));
    }
}

/// The yaw rate about the body's down axis as the angle at which the air meets a wing's tip, half a span out: what fin and rudder feel
/// of a turn goes with it.
fn slip_for_turn<const N: usize>(view: &View<'_, N>, k: usize) -> f64 {
    const HALF_SPAN_M: f64 = 5.5;
    let View { scene, window, .. } = *view;
    let speed = window.flow(k).speed.value.max(FLYING_MPS);
    let yaw = scene.turn_rate[k.min(scene.turn_rate.len() - 1)] * window.look(k).axes[2][2].value;
    HALF_SPAN_M * yaw / speed
}

/// The sideslip whose side force is that of all thrust at a knot, rad. Thrust as it was found before: the ball shall tell nothing of it.
fn slip_for_thrust<const N: usize>(view: &View<'_, N>, k: usize) -> f64 {
    let View { scene, states, window } = *view;
    let body = &scene.body;
    let speed = window.flow(k).speed.value.max(FLYING_MPS);
    let pressure = 0.5 * scene.places[k].density * speed * speed;
    states[k][THRUST] * body.wing_loading_pa / (pressure * body.side_slope * STANDARD_GRAVITY_MPS2)
}

type Block<const M: usize> = [[f64; M]; M];

fn tie<const N: usize, const M: usize>(
    system: &mut BlockTridiagonal<N>,
    k: usize,
    states: &[[f64; N]],
    places: &[usize; M],
    (f, q): (&Block<M>, &Block<M>),
) {
    let left: [f64; M] = std::array::from_fn(|i| {
        let carried: f64 = (0..M).map(|j| f[i][j] * states[k][places[j]]).sum();
        carried - states[k + 1][places[i]]
    });
    system.link_some(k, places, f, q, &left);
}

fn priors<const N: usize>(system: &mut BlockTridiagonal<N>, scene: &Scene, states: &[[f64; N]]) {
    let first = &states[0];
    for axis in 0..3 {
        hold(system, (0, SLOW + axis), first[SLOW + axis], 0.0, scene.noise[axis].slow_m);
        // Weak: nothing accelerates at more than a few g.
        let at = ACCELERATION + axis;
        hold(system, (0, at), first[at], 0.0, 10.0);
    }
    if scene.alone {
        let compass = scene.channels.iter().any(|channel| channel.kind == sensors::Kind::Heading);
        let going_sigma = if compass { 30.0 } else { 1.0 };
        // Where it all was and, without a heading, which way it went, nobody knows: it is counted from the start.
        for axis in 0..2 {
            let (at, going) = (POSITION + axis, VELOCITY + axis);
            hold(system, (0, at), first[at], first[at], 1.0);
            hold(system, (0, going), first[going], first[going], going_sigma);
        }
    }
    for i in 0..2 {
        hold(system, (0, WIND + i), first[WIND + i], scene.wind.mean[i], scene.wind.sigma);
    }
    hold(system, (0, THRUST), first[THRUST], THRUST_PRIOR.0, THRUST_PRIOR.1);
    if N > SIDESLIP {
        hold(system, (0, SIDESLIP), first[SIDESLIP], 0.0, scene.slip_sigma[0]);
        hold(system, (0, INCIDENCE), first[INCIDENCE], 0.0, scene.incidence_sigma);
        hold(system, (0, ROLL), first[ROLL], 0.0, ROLL_FIRST_RADPS);
        if scene.by_propeller.is_none() {
            hold(system, (0, SIDE_FREE), first[SIDE_FREE], 0.0, scene.side_free_sigma(0));
        }
    }
    for (g, global) in scene.globals.iter().enumerate() {
        let row = Row { knot: 0, here: &[], next: &[], border: &[(g, 1.0)] };
        let information = 1.0 / (global.prior_sigma * global.prior_sigma);
        system.observe_row(row, global.prior - global.value, information);
    }
}

/// Holds the places of a recording without positions.
fn lost<const N: usize>(system: &mut BlockTridiagonal<N>, view: &View<'_, N>) {
    for k in view.window.stretch() {
        for at in [POSITION, POSITION + 1] {
            let now = view.states[k][at];
            hold(system, (k, at), now, now, LOST_M);
        }
    }
}

/// Adds the fixes of an axis from one of them on, up to the end of the stretch; returns the first left.
fn fixes<const N: usize>(
    system: &mut BlockTridiagonal<N>,
    view: &View<'_, N>,
    axis: usize,
    from: usize,
) -> usize {
    let View { scene, states, window } = *view;
    let end = window.stretch().end;
    let noise = &scene.noise[axis];
    let places = [POSITION + axis, VELOCITY + axis, ACCELERATION + axis, SLOW + axis];
    let (measured, weights) = (&scene.measured[axis], &scene.weights[axis]);
    let four = |k: usize| -> [f64; STATES] {
        let x = &states[k.min(states.len() - 1)];
        places.map(|place| x[place])
    };
    let mut at = from;
    while let Some(first) = measured.get(at).filter(|m| m.knot < end) {
        let (here, next) = (four(first.knot), four(first.knot + 1));
        let left = |m: &Measured, shown: &Shown| m.value - shown.of(&here, &next);
        let (knot, near, after) = gather(measured, weights, noise, at, left);
        system.add_near(knot, &places, &near);
        at = after;
    }
    at
}

/// Along the path the specific force is thrust less drag.
fn energy<const N: usize>(system: &mut BlockTridiagonal<N>, view: &View<'_, N>) {
    let View { scene, states, window } = *view;
    let factor = scene.globals[DRAG].value;
    // A gust from below tilts the lift along the path; where no gyroscope follows the tilt its mean is nil soon enough.
    let tilted = if N > SIDESLIP {
        GUST_ALONG * STANDARD_GRAVITY_MPS2 * scene.gust_mps / scene.speed_mps
    } else {
        0.0
    };
    let along = ALONG_SIGMA * ALONG_SIGMA + tilted * tilted;
    for k in window.stretch() {
        let flow = window.flow(k);
        if flow.speed.value < FLYING_MPS {
            continue;
        }
        let drag = flow.drag(&scene.body, scene.places[k].density);
        let shown = flow.along + drag.times(factor);
        let mut here = [(THRUST, -1.0); 9];
        for (slot, (local, at)) in here[1..].iter_mut().zip(&IN_STATE[..8]) {
            *slot = (*at, shown.slope[*local]);
        }
        let step =
            0.5 * (scene.time_s[(k + 1).min(states.len() - 1)] - scene.time_s[k.saturating_sub(1)]);
        let information = step.min(1.0) / along;
        let border = [(DRAG, drag.value)];
        let row = Row { knot: k, here: &here, next: &[], border: &border };
        system.observe_row(row, states[k][THRUST] - shown.value, information);
    }
}

/// Links the banks of neighboring knots by the rate of roll. Jerk alone is new in every interval, so that banks between two readings
/// would be free to go to and fro; but what rolls an airplane is an aileron, and it keeps rolling for a while.
fn rolling<const N: usize>(system: &mut BlockTridiagonal<N>, view: &View<'_, N>) {
    let View { scene, states, window } = *view;
    let stretch = window.stretch();
    let mut before = None;
    for knot in stretch.start..(stretch.end + 1).min(states.len()) {
        let look = window.look(knot);
        // Bank is no angle of roll where the nose points up or down.
        let level = look.pitch().value.abs() < ROLL_PITCH_MOST_RAD;
        let flies = window.flow(knot).speed.value >= FLYING_MPS;
        let now = (level && flies).then(|| look.bank());
        let Some((first, second)) = std::mem::replace(&mut before, now).zip(now) else { continue };
        let k = knot - 1;
        let dt = scene.time_s[knot] - scene.time_s[k];
        if dt > STEP_MAX_S {
            continue;
        }
        let lift = window.flow(k).size.value.max(ROLL_LIFT_LEAST_MPS2);
        let quick = ROLL_QUICK_SHARE * scene.jerk[k] * dt / (lift * lift);
        let least = ROLL_LEAST_RADPS * dt;
        let (here, n) = banked::<N>(&first.slope, -1.0, -0.5 * dt);
        let (next, m) = banked::<N>(&second.slope, 1.0, -0.5 * dt);
        let mut border = [(0, 0.0); IN_BORDER.len()];
        for (slot, (local, g)) in border.iter_mut().zip(IN_BORDER) {
            *slot = (g, second.slope[local] - first.slope[local]);
        }
        let row = Row { knot: k, here: &here[..n], next: &next[..m], border: &border };
        let rolled = 0.5 * dt * (states[k][ROLL] + states[knot][ROLL]);
        let changed = wrap_pi(second.value - first.value);
        system.observe_row(row, rolled - changed, 1.0 / (quick + least * least));
    }
}

/// Derivatives of a bank by the states of its knot, with a sign, and that of the rate of roll.
fn banked<const N: usize>(
    slope: &[f64; INPUTS],
    sign: f64,
    by_roll: f64,
) -> ([(usize, f64); IN_STATE.len()], usize) {
    let mut out = [(0, 0.0); IN_STATE.len()];
    let mut n = 0;
    for &(local, at) in &IN_STATE[..IN_STATE.len() - 1] {
        if slope[local] != 0.0 {
            out[n] = (at, sign * slope[local]);
            n += 1;
        }
    }
    out[n] = (ROLL, by_roll);
    (out, n + 1)
}

fn add<const N: usize>(system: &mut BlockTridiagonal<N>, channel: &Channel, sight: &Sight) {
    let weight = channel.weights.get(sight.sample).copied().unwrap_or(1.0);
    let information = weight * channel.share / (channel.sigma * channel.sigma);
    let (here, n) = in_state::<N>(&sight.here);
    let (next, m) = in_state::<N>(&sight.next);
    let (border, b) = in_border(channel, sight);
    let row = Row { knot: sight.knot, here: &here[..n], next: &next[..m], border: &border[..b] };
    system.observe_row(row, sight.residual, information);
}

/// Derivatives by the states of a knot.
pub(super) fn in_state<const N: usize>(slope: &[f64; LOCAL]) -> ([(usize, f64); 12], usize) {
    let mut out = [(0, 0.0); 12];
    let mut n = 0;
    for (local, at) in IN_STATE {
        if at < N && slope[local] != 0.0 {
            out[n] = (at, slope[local]);
            n += 1;
        }
    }
    (out, n)
}

/// Derivatives by the unknowns of the whole flight.
pub(super) fn in_border(channel: &Channel, sight: &Sight) -> ([(usize, f64); 9], usize) {
    let mut out = [(0, 0.0); 9];
    let mut n = 0;
    let mut push = |g: usize, slope: f64| {
        if slope != 0.0 {
            out[n] = (g, slope);
            n += 1;
        }
    };
    for (local, g) in IN_BORDER {
        push(g, sight.here[local] + sight.next[local]);
    }
    push(channel.delay, sight.by_delay);
    if let Some(g) = channel.bias {
        push(g, 1.0);
    }
    if let Some(g) = channel.scale {
        push(g, sight.by_scale);
    }
    for (slope, g) in sight.mount.iter().zip(channel.mount) {
        push(g, *slope);
    }
    (out, n)
}
