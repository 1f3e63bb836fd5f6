//! From fixes to velocity and acceleration over the ground, in axes fixed to the earth and then in each place's own north, east
//! and down, so that a pole or the date line is a place like any other.

mod grain;
mod quiet;

use base::factors::RAD_PER_DEG;
use base::frames::{Ned, Vec3};
use base::geodesy::{Geodetic, LocalLevel};
use base::math::{atan2, cos, hypot, sin, unwrap_angles, wrap_pi};
use base::numerics::block_tridiagonal::NotPositiveDefinite;
use base::numerics::statistics::{median, robust_sigma};
use recording::Fix;

use crate::MotionError;
use crate::learn;
use crate::smoother::{
    AxisSolution, Driven, Kind, Measured, Noise, STATES, residuals, solve_axis, solve_plane,
};
use quiet::thin;
pub(crate) use quiet::{APART, APART_FINE, APART_PANEL, Apart};

/// Longest hole that is filled with knots, s.
const HOLE_MAX_S: f64 = 20.0;

/// Velocities closer together share their error, s: a receiver smooths them (common practice, no source). Two in that time are
/// worth no more than one.
const VELOCITY_APART_S: f64 = 1.5;

/// The motion over the ground at the knots.
#[derive(Debug, Clone, Default)]
pub(crate) struct Track {
    /// Knots, s.
    pub(crate) time_s: Vec<f64>,
    /// The local level the positions are written in.
    pub(crate) origin: Option<Geodetic>,
    /// Position north, east, down of the origin, m, with sigma.
    pub(crate) position: Vec<[f64; 3]>,
    pub(crate) position_sigma: Vec<[f64; 3]>,
    /// Height above the datum of the fixes, m.
    pub(crate) height_m: Vec<f64>,
    /// Velocity over the ground, north, east, down of the place, m/s.
    pub(crate) velocity: Vec<[f64; 3]>,
    pub(crate) velocity_sigma: Vec<[f64; 3]>,
    /// Acceleration with respect to the turning earth made inertial (Coriolis added), north, east, down, m/s2.
    pub(crate) acceleration: Vec<[f64; 3]>,
    pub(crate) acceleration_sigma: Vec<[f64; 3]>,
    /// Whether height was measured.
    pub(crate) has_height: bool,
    /// Axes of each knot's place in the common axes, and what the turning of the earth adds to its acceleration.
    pub(crate) rows: Vec<[[f64; 3]; 3]>,
    pub(crate) coriolis: Vec<[f64; 3]>,
    /// What was learned on the way.
    pub(crate) learned: Learned,
    /// How far the recorded tracks stood off the way the places went, taken out; nil when they did not.
    pub(crate) turned_rad: f64,
}

/// What the smoother of the fixes learned, and its states on the common axes: where the joint smoother begins.
#[derive(Debug, Clone, Default)]
pub(crate) struct Learned {
    pub(crate) measured: [Vec<Measured>; 3],
    pub(crate) weights: [Vec<f64>; 3],
    pub(crate) noise: [Noise; 3],
    pub(crate) jerk: Vec<f64>,
    pub(crate) jerk_down: Vec<f64>,
    pub(crate) turn_rate: Vec<f64>,
    pub(crate) states: [Vec<[f64; STATES]>; 3],
}

/// Rotation of the earth, rad/s (WGS-84).
const EARTH_RATE_RADPS: f64 = 7.292_115e-5;

/// Smooths the fixes.
pub(crate) fn smooth(fixes: &[Fix], apart: Apart) -> Result<Track, MotionError> {
    let middle = &fixes[fixes.len() / 2];
    let has_height = fixes.iter().filter(|fix| fix.height_m.is_some()).count() * 2 > fixes.len();
    let level = LocalLevel::at(Geodetic { height_m: 0.0, ..place(middle) });
    let times: Vec<f64> = fixes.iter().map(|fix| fix.time_s).collect();
    let (mut time_s, places) = knots(&times, apart.first_s);
    let turned_rad = tracks_turned_rad(fixes, &level, place);
    let grain_mps = grain::of_velocities(fixes);
    let mut measured = measure(fixes, &places, &level, turned_rad, grain_mps);
    if !has_height {
        // A few heights among many fixes leave the rest of the flight undetermined.
        measured[2].clear();
    }
    let (axes, mut learned) = solve(&mut time_s, &mut measured, fixes, grain_mps, apart)?;
    let mut track = assemble(time_s, &level, &axes, has_height);
    learned.measured = measured;
    learned.states = axes.map(|axis| axis.values);
    track.learned = learned;
    track.turned_rad = turned_rad;
    Ok(track)
}

/// Where a fix stands among the knots: at one, or between it and the next.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Among {
    knot: usize,
    after_s: f64,
    /// The step to the next knot when it stands between, else nil.
    step_s: f64,
}

/// Knots closer together than this show nothing more of a flight, s.
const STEP_LEAST_S: f64 = 0.36;

/// Knot times, and where each of the times given stands among them: at steps of at most so much between times that are not too far
/// apart, and no closer than is of use. Linear.
pub(crate) fn knots(times: &[f64], step_max_s: f64) -> (Vec<f64>, Vec<Among>) {
    let least_s = STEP_LEAST_S.min(step_max_s);
    let mut time_s: Vec<f64> = Vec::with_capacity(2 * times.len());
    let mut among: Vec<Among> = Vec::with_capacity(times.len());
    let mut waiting = 0;
    for (index, &time) in times.iter().enumerate() {
        if let Some(&last) = time_s.last() {
            let step = time - last;
            let near = times.get(index + 1).is_some_and(|next| next - last <= step_max_s + 1e-9);
            if step < least_s - 1e-9 && near {
                among.push(Among { knot: time_s.len() - 1, after_s: step, step_s: 0.0 });
                waiting += 1;
                continue;
            }
            if step <= HOLE_MAX_S {
                let n = (step / step_max_s - 1e-9).ceil().max(1.0) as usize;
                time_s.extend((1..n).map(|i| last + step * i as f64 / n as f64));
            }
            // With fixes waiting the step is short: no knots were put between.
            let from = among.len() - waiting;
            for one in &mut among[from..] {
                one.step_s = step;
            }
            waiting = 0;
        }
        among.push(Among { knot: time_s.len(), after_s: 0.0, step_s: 0.0 });
        time_s.push(time);
    }
    (time_s, among)
}

fn place(fix: &Fix) -> Geodetic {
    Geodetic::from_deg(fix.latitude_deg, fix.longitude_deg, fix.height_m.unwrap_or(0.0))
}

/// How far the recorded tracks stand off the way the places go: some recorders write them from magnetic north. Nil when they
/// agree within what chance does.
fn tracks_turned_rad(fixes: &[Fix], level: &LocalLevel, place: impl Fn(&Fix) -> Geodetic) -> f64 {
    const FAST_MPS: f64 = 15.0;
    const STEP_S: std::ops::Range<f64> = 0.5..3.0;
    const PAIRS_LEAST: usize = 60;
    const LEAST_RAD: f64 = 0.5 * RAD_PER_DEG;
    let off = |pair: &[Fix]| {
        let (a, b) = (pair[0].track_deg?, pair[1].track_deg?);
        let fast = pair[0].ground_speed_mps? > FAST_MPS && pair[1].ground_speed_mps? > FAST_MPS;
        let near = STEP_S.contains(&(pair[1].time_s - pair[0].time_s));
        (fast && near).then(|| {
            let (from, to) = (level.to_local(place(&pair[0])), level.to_local(place(&pair[1])));
            let way = atan2(to.y - from.y, to.x - from.x);
            let (a, b) = (a * RAD_PER_DEG, b * RAD_PER_DEG);
            wrap_pi(way - a - 0.5 * wrap_pi(b - a))
        })
    };
    let all: Vec<f64> = fixes.windows(2).filter_map(off).collect();
    let (Some(middle), Some(spread)) = (median(&all), robust_sigma(&all)) else { return 0.0 };
    let sure = middle.abs() > 5.0 * spread / (all.len() as f64).sqrt();
    if all.len() >= PAIRS_LEAST && middle.abs() > LEAST_RAD && sure { middle } else { 0.0 }
}

/// Measurements of the three axes of the common frame.
fn measure(
    fixes: &[Fix],
    places: &[Among],
    level: &LocalLevel,
    turned_rad: f64,
    grain_mps: f64,
) -> [Vec<Measured>; 3] {
    let mut axes: [Vec<Measured>; 3] = Default::default();
    let common = level.origin().ned_from_ecef();
    let mut last_s = f64::NEG_INFINITY;
    let news = grain::news(fixes, grain_mps);
    for ((fix, among), news) in fixes.iter().zip(places).zip(news) {
        let here = place(fix);
        let position = level.to_local(here);
        let apart = ((fix.time_s - last_s) / VELOCITY_APART_S).min(1.0) * news;
        last_s = fix.time_s;
        let mut add = |axis: usize, value: f64, kind: Kind| {
            let share = if kind == Kind::Velocity { apart } else { 1.0 };
            let Among { knot, after_s, step_s } = *among;
            axes[axis].push(Measured { knot, after_s, step_s, value, kind, share });
        };
        add(0, position.x, Kind::Position);
        add(1, position.y, Kind::Position);
        if fix.height_m.is_some() {
            add(2, position.z, Kind::Position);
        }
        if let (Some(speed), Some(track_deg)) = (fix.ground_speed_mps, fix.track_deg) {
            let track = track_deg * RAD_PER_DEG + turned_rad;
            let climb = fix.climb_mps.unwrap_or(0.0);
            let local = Vec3::<Ned>::new(speed * cos(track), speed * sin(track), -climb);
            let velocity = common.apply(here.ned_from_ecef().inverse().apply(local));
            add(0, velocity.x, Kind::Velocity);
            add(1, velocity.y, Kind::Velocity);
            if fix.climb_mps.is_some() {
                add(2, velocity.z, Kind::Velocity);
            }
        }
    }
    axes
}

/// Intensity of jerk before anything is known, m2/s5: between quiet flight and a roll-in.
const JERK_FIRST: f64 = 0.3;
/// Rounds of solving and learning; in a short recording the figures settle in seven or eight.
const ROUNDS: usize = 8;
/// Fewer do when noise and slow error change by no more than this share.
const SETTLED_SHARE: f64 = 0.02;
const ROUNDS_LEAST: usize = 4;
/// After so many it is known where the flying is quiet, and knots are left out there.
const ROUNDS_FINE: usize = 2;

/// What is learned on the way.
struct Guess {
    noise: [Noise; 3],
    weights: [Vec<f64>; 3],
    /// Intensities of level and vertical jerk, and the rate of turn, of each interval.
    level: Vec<f64>,
    vertical: Vec<f64>,
    rate: Vec<f64>,
}

impl Guess {
    fn first(
        time_s: &[f64],
        measured: &[Vec<Measured>; 3],
        first: &[Noise; 3],
        grain_mps: f64,
    ) -> Self {
        let intervals = time_s.len().saturating_sub(1);
        Self {
            noise: std::array::from_fn(|axis| Noise {
                velocity_mps: learn::first_velocity_noise(time_s, &measured[axis])
                    .unwrap_or(first[axis].velocity_mps)
                    .max(least_mps(axis, grain_mps)),
                ..first[axis]
            }),
            weights: std::array::from_fn(|axis| vec![1.0; measured[axis].len()]),
            level: vec![JERK_FIRST; intervals],
            vertical: vec![JERK_FIRST; intervals],
            rate: vec![0.0; intervals],
        }
    }
    fn solve(
        &self,
        time_s: &[f64],
        measured: &[Vec<Measured>; 3],
    ) -> Result<Solved, NotPositiveDefinite> {
        let Self { noise, weights, level, vertical, rate } = self;
        let ([north, east], turned) = solve_plane(
            time_s,
            level,
            rate,
            [&measured[0], &measured[1]],
            [&weights[0], &weights[1]],
            [&noise[0], &noise[1]],
        )?;
        let (down, lifted) = if measured[2].is_empty() {
            unknown_axis(time_s.len())
        } else {
            solve_axis(time_s, vertical, &measured[2], &weights[2], &noise[2])?
        };
        Ok(Solved { axes: [north, east, down], turned, lifted })
    }
    /// `first`: noise of ordinary receivers; `grain_mps`: what velocities are rounded to; `spacing_s`: between fixes.
    fn learn(
        &mut self,
        (time_s, measured): (&[f64], &[Vec<Measured>; 3]),
        Solved { axes, turned, lifted }: &Solved,
        first: &[Noise; 3],
        (grain_mps, spacing_s): (f64, f64),
    ) {
        for i in (0..3).filter(|i| !measured[*i].is_empty()) {
            let noise = &mut self.noise[i];
            let left = residuals(&axes[i], &measured[i]);
            *noise = learn::noise(&left, &measured[i], &self.weights[i], noise, &first[i]);
            noise.velocity_mps = noise.velocity_mps.max(least_mps(i, grain_mps));
            self.weights[i] = learn::weights(&left, &measured[i], noise);
            if i < 2 && has_velocity(&measured[i]) {
                noise.slow_m = learn::slow_error(turned, i, noise, &first[i]);
            }
        }
        self.level = learn::jerk(time_s, turned, &self.level, spacing_s);
        if !measured[2].is_empty() {
            self.vertical = learn::jerk(time_s, lifted, &self.vertical, spacing_s);
        }
        self.rate = turn_rate(axes, time_s);
    }
}

/// The axes, and what drove the level and the vertical ones.
struct Solved {
    axes: [AxisSolution; 3],
    turned: Vec<Driven>,
    lifted: Vec<Driven>,
}

/// Alternates solving with learning the noise of the receiver, the intensity of the flying, the rate of turn and the weights of
/// outliers.
fn solve(
    time_s: &mut Vec<f64>,
    measured: &mut [Vec<Measured>; 3],
    fixes: &[Fix],
    grain_mps: f64,
    apart: Apart,
) -> Result<([AxisSolution; 3], Learned), MotionError> {
    let first = [first_noise(fixes, 2.0), first_noise(fixes, 2.0), first_noise(fixes, 4.0)];
    let steps: Vec<f64> = fixes.windows(2).map(|pair| pair[1].time_s - pair[0].time_s).collect();
    let spacing_s = median(&steps).unwrap_or(1.0);
    let mut guess = Guess::first(time_s, measured, &first, grain_mps);
    let mut settled = false;
    for round in 0..ROUNDS {
        if round == ROUNDS_FINE {
            let Guess { level, vertical, rate, .. } = &guess;
            let thinned = thin(time_s, measured, (level, vertical, rate), apart);
            (guess.level, guess.vertical, guess.rate) = thinned;
        }
        let solved = guess
            .solve(time_s, measured)
            .map_err(|why| MotionError::NotDetermined { time_s: time_s[why.knot] })?;
        if settled || round + 1 == ROUNDS {
            let Guess { noise, weights, level, vertical, rate } = guess;
            let learned = Learned {
                weights,
                noise,
                jerk: level,
                jerk_down: vertical,
                turn_rate: rate,
                ..Learned::default()
            };
            return Ok((solved.axes, learned));
        }
        let before = guess.noise;
        guess.learn((time_s, measured), &solved, &first, (grain_mps, spacing_s));
        settled = round + 2 >= ROUNDS_LEAST && is_settled(&before, &guess.noise);
    }
    unreachable!("the last round returns")
}

/// Least noise of a velocity: what rounding makes of those over the ground.
fn least_mps(axis: usize, grain_mps: f64) -> f64 {
    if axis < 2 { grain_mps } else { 0.0 }
}

/// What is known of the vertical motion when no heights are recorded: that airplanes fly level more often than not (common
/// practice, no source). Climb in m/s, its change in m/s2.
const CLIMB_UNKNOWN_MPS: f64 = 4.0;
const LIFT_UNKNOWN_MPS2: f64 = 1.5;
const HEIGHT_UNKNOWN_M: f64 = 1000.0;

fn unknown_axis(knots: usize) -> (AxisSolution, Vec<Driven>) {
    let mut covariance = [[0.0; STATES]; STATES];
    for (i, sigma) in
        [HEIGHT_UNKNOWN_M, CLIMB_UNKNOWN_MPS, LIFT_UNKNOWN_MPS2].into_iter().enumerate()
    {
        covariance[i][i] = sigma * sigma;
    }
    let solution = AxisSolution { covariances: vec![covariance; knots], ..AxisSolution::of(knots) };
    (solution, Vec::new())
}

/// Slowest motion that has a direction to turn, m/s.
const TURNING_LEAST_MPS: f64 = 10.0;
/// Fastest turn over the ground taken for one, rad/s.
const TURN_RATE_MOST: f64 = 1.0;

/// Rate of turn over each interval, rad/s; nil over a hole, where nothing is known of it.
fn turn_rate(axes: &[AxisSolution; 3], time_s: &[f64]) -> Vec<f64> {
    let middle = |axis: usize, k: usize, i: usize| {
        0.5 * (axes[axis].values[k][i] + axes[axis].values[k + 1][i])
    };
    let one = |k: usize| {
        if time_s[k + 1] - time_s[k] > HOLE_MAX_S {
            return 0.0;
        }
        let (vn, ve) = (middle(0, k, 1), middle(1, k, 1));
        let (an, ae) = (middle(0, k, 2), middle(1, k, 2));
        let square = (vn * vn + ve * ve).max(TURNING_LEAST_MPS * TURNING_LEAST_MPS);
        ((vn * ae - ve * an) / square).clamp(-TURN_RATE_MOST, TURN_RATE_MOST)
    };
    (0..time_s.len().saturating_sub(1)).map(one).collect()
}

fn is_settled(before: &[Noise; 3], after: &[Noise; 3]) -> bool {
    let near = |a: f64, b: f64| (a - b).abs() <= SETTLED_SHARE * a.abs();
    before.iter().zip(after).all(|(a, b)| {
        near(a.position_m, b.position_m)
            && near(a.velocity_mps, b.velocity_mps)
            && near(a.slow_m, b.slow_m)
    })
}

fn has_velocity(measured: &[Measured]) -> bool {
    measured.iter().any(|m| m.kind == Kind::Velocity)
}

/// Noise of ordinary receivers (common practice, no source).
fn first_noise(fixes: &[Fix], slow_m: f64) -> Noise {
    let has_velocity = fixes.iter().any(|fix| fix.ground_speed_mps.is_some());
    Noise {
        position_m: if has_velocity { 0.5 } else { 1.0 },
        velocity_mps: 0.1,
        slow_m,
        slow_s: if slow_m > 3.0 { 120.0 } else { 60.0 },
    }
}

fn assemble(
    time_s: Vec<f64>,
    level: &LocalLevel,
    axes: &[AxisSolution; 3],
    has_height: bool,
) -> Track {
    let common = level.origin().ned_from_ecef();
    let pick =
        |k: usize, i: usize| -> [f64; 3] { std::array::from_fn(|axis| axes[axis].values[k][i]) };
    let sigma = |k: usize, i: usize| -> [f64; 3] {
        std::array::from_fn(|axis| axes[axis].covariances[k][i][i].sqrt())
    };
    let mut track = Track { origin: Some(level.origin()), has_height, ..Track::default() };
    for k in 0..time_s.len() {
        let [north, east, down] = pick(k, 0);
        let here = level.to_geodetic(Vec3::new(north, east, down));
        let to_here = common.inverse().then(&here.ned_from_ecef());
        let rotated = |v: [f64; 3]| to_here.apply(Vec3::<Ned>::new(v[0], v[1], v[2]));
        let velocity = rotated(pick(k, 1));
        let (sin_lat, cos_lat) = (sin(here.latitude_rad), cos(here.latitude_rad));
        let earth = Vec3::<Ned>::new(EARTH_RATE_RADPS * cos_lat, 0.0, -EARTH_RATE_RADPS * sin_lat);
        let coriolis = earth.cross(velocity) * 2.0;
        let acceleration = rotated(pick(k, 2)) + coriolis;
        track.rows.push(*to_here.rows());
        track.coriolis.push([coriolis.x, coriolis.y, coriolis.z]);
        track.position.push([north, east, down]);
        track.position_sigma.push(sigma(k, 0));
        track.height_m.push(here.height_m);
        track.velocity.push([velocity.x, velocity.y, velocity.z]);
        track.velocity_sigma.push(sigma(k, 1));
        track.acceleration.push([acceleration.x, acceleration.y, acceleration.z]);
        track.acceleration_sigma.push(sigma(k, 2));
    }
    track.time_s = time_s;
    track
}

impl Track {
    /// Speed over the ground, m/s.
    pub(crate) fn ground_speed(&self) -> Vec<f64> {
        self.velocity.iter().map(|v| hypot(v[0], v[1])).collect()
    }
    /// Direction of motion over the ground, rad, unwrapped.
    pub(crate) fn direction(&self) -> Vec<f64> {
        let folded: Vec<f64> = self.velocity.iter().map(|v| atan2(v[1], v[0])).collect();
        unwrap_angles(&folded)
    }
}
