//! From fixes to velocity and acceleration over the ground, in axes fixed to the earth and then in each place's own north, east
//! and down, so that a pole or the date line is a place like any other.

use base::frames::{Ned, Vec3};
use base::geodesy::{Geodetic, LocalLevel};
use base::math::{cos, sin, unwrap_angles};
use base::numerics::statistics::robust_sigma;
use recording::Fix;

use crate::MotionError;
use crate::smoother::{AxisSolution, Kind, Measured, Noise, residuals, solve_axis, window_mean};

/// Longest step between knots, s: a 1 Hz receiver still gets knots inside a roll-in.
const STEP_MAX_S: f64 = 0.5;
/// Longest hole that is filled with knots, s.
const HOLE_MAX_S: f64 = 20.0;

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
}

/// Rotation of the earth, rad/s (WGS-84).
const EARTH_RATE_RADPS: f64 = 7.292_115e-5;

/// Smooths the fixes.
pub(crate) fn smooth(fixes: &[Fix]) -> Result<Track, MotionError> {
    let middle = &fixes[fixes.len() / 2];
    let has_height = fixes.iter().filter(|fix| fix.height_m.is_some()).count() * 2 > fixes.len();
    let place = |fix: &Fix| {
        Geodetic::from_deg(fix.latitude_deg, fix.longitude_deg, fix.height_m.unwrap_or(0.0))
    };
    let level = LocalLevel::at(Geodetic { height_m: 0.0, ..place(middle) });
    let (time_s, knot_of_fix) = knots(fixes);
    let measured = measure(fixes, &knot_of_fix, &level, place);
    let jerk = jerk_first(&time_s);
    let axes = solve(&time_s, jerk, &measured, fixes)?;
    Ok(assemble(time_s, &level, &axes, has_height))
}

/// Knot times: every fix, and steps of at most half a second between fixes that are not too far apart.
fn knots(fixes: &[Fix]) -> (Vec<f64>, Vec<usize>) {
    let mut time_s = Vec::with_capacity(2 * fixes.len());
    let mut knot_of_fix = Vec::with_capacity(fixes.len());
    for (index, fix) in fixes.iter().enumerate() {
        if index > 0 {
            let last = fixes[index - 1].time_s;
            let step = fix.time_s - last;
            if step <= HOLE_MAX_S {
                let n = (step / STEP_MAX_S - 1e-9).ceil().max(1.0) as usize;
                time_s.extend((1..n).map(|i| last + step * i as f64 / n as f64));
            }
        }
        knot_of_fix.push(time_s.len());
        time_s.push(fix.time_s);
    }
    (time_s, knot_of_fix)
}

/// Measurements of the three axes of the common frame.
fn measure(
    fixes: &[Fix],
    knot_of_fix: &[usize],
    level: &LocalLevel,
    place: impl Fn(&Fix) -> Geodetic,
) -> [Vec<Measured>; 3] {
    let mut axes: [Vec<Measured>; 3] = Default::default();
    let common = level.origin().ned_from_ecef();
    for (fix, &knot) in fixes.iter().zip(knot_of_fix) {
        let here = place(fix);
        let position = level.to_local(here);
        let mut add =
            |axis: usize, value: f64, kind: Kind| axes[axis].push(Measured { knot, value, kind });
        add(0, position.x, Kind::Position);
        add(1, position.y, Kind::Position);
        if fix.height_m.is_some() {
            add(2, position.z, Kind::Position);
        }
        if let (Some(speed), Some(track_deg)) = (fix.ground_speed_mps, fix.track_deg) {
            let track = track_deg * base::factors::RAD_PER_DEG;
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

/// Intensity of jerk before anything is known, m2/s5.
const JERK_FIRST: f64 = 3.0;
/// Least intensity: even straight flight is not a ruler.
const JERK_FLOOR: f64 = 0.005;
/// The intensity follows the flying over so many seconds to either side.
const JERK_WINDOW_S: f64 = 2.5;

fn jerk_first(time_s: &[f64]) -> Vec<f64> {
    vec![JERK_FIRST; time_s.len().saturating_sub(1)]
}

/// Alternates solving with learning the noise of the receiver, the intensity of the flying and the weights of outliers.
fn solve(
    time_s: &[f64],
    jerk: Vec<f64>,
    measured: &[Vec<Measured>; 3],
    fixes: &[Fix],
) -> Result<[AxisSolution; 3], MotionError> {
    const ROUNDS: usize = 6;
    let mut noise = [first_noise(fixes, 2.0), first_noise(fixes, 2.0), first_noise(fixes, 4.0)];
    let mut weights: [Vec<f64>; 3] = std::array::from_fn(|axis| vec![1.0; measured[axis].len()]);
    let (mut horizontal, mut vertical) = (jerk.clone(), jerk);
    let mut solved = None;
    for round in 0..ROUNDS {
        let axis = |i: usize, jerk: &[f64]| {
            solve_axis(time_s, jerk, &measured[i], &weights[i], &noise[i])
                .map_err(|why| MotionError::NotDetermined { time_s: time_s[why.knot] })
        };
        let axes = [axis(0, &horizontal)?, axis(1, &horizontal)?, axis(2, &vertical)?];
        if round + 1 < ROUNDS {
            for i in 0..3 {
                learn_noise(&axes[i], &measured[i], &mut noise[i], &mut weights[i]);
            }
            horizontal = learn_jerk(time_s, &[&axes[0], &axes[1]], &horizontal);
            vertical = learn_jerk(time_s, &[&axes[2]], &vertical);
        }
        solved = Some(axes);
    }
    Ok(solved.expect("at least one round"))
}

fn first_noise(fixes: &[Fix], slow_m: f64) -> Noise {
    let has_velocity = fixes.iter().any(|fix| fix.ground_speed_mps.is_some());
    Noise {
        position_m: if has_velocity { 0.5 } else { 1.0 },
        velocity_mps: 0.1,
        slow_m,
        slow_s: 60.0,
    }
}

/// Residuals say how noisy the receiver is; what lies far outside is weighted down (Huber).
fn learn_noise(
    solution: &AxisSolution,
    measured: &[Measured],
    noise: &mut Noise,
    weights: &mut [f64],
) {
    let all = residuals(solution, measured);
    let of = |kind: Kind| -> Vec<f64> {
        all.iter()
            .zip(measured)
            .filter(|(_, m)| m.kind == kind)
            .map(|(residual, _)| *residual)
            .collect()
    };
    // The smoother follows part of the noise, so the residual is a little smaller than the noise itself.
    if let Some(sigma) = robust_sigma(&of(Kind::Position)) {
        noise.position_m = (1.15 * sigma).clamp(0.05, 30.0);
    }
    if let Some(sigma) = robust_sigma(&of(Kind::Velocity)) {
        noise.velocity_mps = (1.15 * sigma).clamp(0.02, 5.0);
    }
    for ((weight, residual), m) in weights.iter_mut().zip(&all).zip(measured) {
        let sigma = if m.kind == Kind::Position { noise.position_m } else { noise.velocity_mps };
        let share = residual.abs() / (3.0 * sigma);
        *weight = if share > 1.0 { 1.0 / share } else { 1.0 };
    }
}

/// Expected square of the change of acceleration over each interval, averaged over a window: what the flying is like there.
fn learn_jerk(time_s: &[f64], axes: &[&AxisSolution], before: &[f64]) -> Vec<f64> {
    let middles: Vec<f64> = time_s.windows(2).map(|pair| 0.5 * (pair[0] + pair[1])).collect();
    let intensity: Vec<f64> = (0..middles.len())
        .map(|k| {
            let dt = time_s[k + 1] - time_s[k];
            let mean = axes.iter().map(|axis| {
                let change = axis.values[k + 1][2] - axis.values[k][2];
                change * change / dt
            });
            mean.sum::<f64>() / axes.len() as f64
        })
        .collect();
    let smooth = window_mean(&middles, &intensity, JERK_WINDOW_S);
    // Keep a share of the old value: the solution itself is too smooth to show all of the jerk.
    smooth.iter().zip(before).map(|(new, old)| (new + 0.15 * old).max(JERK_FLOOR)).collect()
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
        let acceleration = rotated(pick(k, 2)) + earth.cross(velocity) * 2.0;
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
        self.velocity.iter().map(|v| base::math::hypot(v[0], v[1])).collect()
    }
    /// Direction of motion over the ground, rad, unwrapped.
    pub(crate) fn direction(&self) -> Vec<f64> {
        let folded: Vec<f64> =
            self.velocity.iter().map(|v| base::math::atan2(v[1], v[0])).collect();
        unwrap_angles(&folded)
    }
}
