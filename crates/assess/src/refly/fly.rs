//! The attempt flown again: a point mass with its lift across the bank, run forward on the clock of the figure.

use super::flown::{COS_BANK_LEAST, FINE_S, Flown, mix};
use super::polar::Polar;
use base::factors::{RAD_PER_DEG, STANDARD_GRAVITY_MPS2};
use base::math::{cos, pow, sin};

/// What the pull keeps.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Pull {
    /// The attitude against the horizon.
    Attitude,
    /// The path: height is held.
    Path,
}

/// What the throttle keeps.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Power {
    /// The lever, against time.
    Lever,
    /// The airspeed.
    Airspeed,
}

/// A column against degrees of turn, in force from a turn on.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct OfTurn {
    pub(crate) from_rad: f64,
    /// Turn and value.
    pub(crate) points: Vec<(f64, f64)>,
}

impl OfTurn {
    fn at(&self, turn_rad: f64) -> Option<f64> {
        if turn_rad < self.from_rad {
            return None;
        }
        Some(between(&self.points, turn_rad))
    }
}

/// Straight lines between points; the ends beyond.
pub(crate) fn between(points: &[(f64, f64)], x: f64) -> f64 {
    let after = points.partition_point(|(at, _)| *at <= x);
    if after == 0 {
        return points[0].1;
    }
    let Some(&(x1, y1)) = points.get(after) else { return points[points.len() - 1].1 };
    let (x0, y0) = points[after - 1];
    y0 + (y1 - y0) * (x - x0) / (x1 - x0)
}

/// The controls of a re-flight. Columns are those of the attempt or edited; they run on the clock.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Script {
    pub(crate) pull: Pull,
    pub(crate) power: Power,
    pub(crate) bank_rad: Vec<f64>,
    /// Attitude or path to be kept.
    pub(crate) pitch_rad: Vec<f64>,
    /// Thrust over weight against time, at the speeds of the attempt.
    pub(crate) thrust: Vec<f64>,
    /// Residual force across the lift.
    pub(crate) side: Vec<f64>,
    /// Drag of sideslip taken off.
    pub(crate) drag_off: Vec<f64>,
    /// Turn of the attempt that belongs to a turn of the re-flight.
    pub(crate) turn_map: Vec<(f64, f64)>,
    /// Bank and pitch by the turn itself, in force late in the figure.
    pub(crate) bank_late: Option<OfTurn>,
    pub(crate) pitch_late: Option<OfTurn>,
    /// Ends when this much is turned, instead of when the clock has run down.
    pub(crate) end_turn_rad: Option<f64>,
    /// The pull goes after the height of entry.
    pub(crate) height_held: bool,
}

impl Script {
    /// Everything as flown.
    pub(crate) fn null(flown: &Flown, pull: Pull, power: Power) -> Self {
        let pitch = match pull {
            Pull::Attitude => &flown.attitude_rad,
            Pull::Path => &flown.path_rad,
        };
        Self {
            pull,
            power,
            bank_rad: flown.bank_rad.clone(),
            pitch_rad: pitch.clone(),
            thrust: flown.thrust.clone(),
            side: flown.side.clone(),
            drag_off: vec![0.0; flown.len()],
            turn_map: vec![(0.0, 0.0), (1.0, 1.0)],
            bank_late: None,
            pitch_late: None,
            end_turn_rad: None,
            height_held: false,
        }
    }
    /// Turn of the attempt that belongs to a turn; beyond the map with the slope of one.
    fn mapped(&self, turn_rad: f64) -> f64 {
        let (first, last) = (self.turn_map[0], self.turn_map[self.turn_map.len() - 1]);
        if turn_rad <= first.0 {
            return first.1 + turn_rad - first.0;
        }
        if turn_rad >= last.0 {
            return last.1 + turn_rad - last.0;
        }
        between(&self.turn_map, turn_rad)
    }
}

/// A flight of the point mass on the grid of [`FINE_S`].
#[derive(Debug, Clone, Default, PartialEq)]
pub(crate) struct Path {
    pub(crate) speed_mps: Vec<f64>,
    pub(crate) path_rad: Vec<f64>,
    pub(crate) turn_rad: Vec<f64>,
    pub(crate) height_m: Vec<f64>,
    pub(crate) bank_rad: Vec<f64>,
    pub(crate) load: Vec<f64>,
    pub(crate) calibrated_mps: Vec<f64>,
    pub(crate) pressure_pa: Vec<f64>,
    pub(crate) north_m: Vec<f64>,
    pub(crate) east_m: Vec<f64>,
    /// Greatest thrust over weight asked for beyond that of the attempt at the same place.
    pub(crate) thrust_more: f64,
}

/// The path is brought back to that kept in about this time, s.
const PATH_S: f64 = 1.0;
/// Height is brought back in about this time, s, with a path angle up to that many radians.
const HEIGHT_S: f64 = 6.0;
const HEIGHT_PATH_RAD: f64 = 5.0 * RAD_PER_DEG;
/// A throttle that keeps the speed does so in about this time, s.
const SPEED_S: f64 = 3.0;
/// Rate of turn under which the clock is that of time, rad/s.
const SLOW_TURN_RADPS: f64 = 1.0 * RAD_PER_DEG;
/// How fast the clock makes up for turn it has fallen behind by, per second, and the rate of turn that is blurred over.
const CATCH_UP: f64 = 0.5;
const CATCH_UP_RADPS: f64 = 2.0 * RAD_PER_DEG;
/// Slowest and fastest run of the clock against time.
const CLOCK: (f64, f64) = (0.25, 4.0);
/// Rounding of the clock over an attempt.
const CLOCK_ROUNDING: f64 = 1e-6;
/// A re-flight is no longer than this many attempts.
const LONGEST: usize = 3;
/// No pull beyond this share of the greatest load of the attempt (and beyond the stall).
const LOAD_SHARE: f64 = 1.4;
const LOAD_LEAST: f64 = -1.0;
/// Slowest speed, m/s; steepest path, rad.
const SPEED_LEAST_MPS: f64 = 10.0;
const PATH_MOST_RAD: f64 = 80.0 * RAD_PER_DEG;

/// Where the flight is.
struct Now {
    clock: f64,
    time: usize,
    speed: f64,
    path: f64,
    turn: f64,
    height: f64,
    north: f64,
    east: f64,
}

/// What is done there.
struct Done {
    bank: f64,
    load: f64,
    pressure: f64,
    side: f64,
    thrust: f64,
    asked_more: f64,
}

/// Flies a script. Linear in the length of the attempt.
pub(crate) fn fly(flown: &Flown, script: &Script, polar: &Polar) -> Path {
    fly_from(flown, script, polar, None)
}

/// The same from the end of a path that another part was flown on.
pub(crate) fn fly_from(
    flown: &Flown,
    script: &Script,
    polar: &Polar,
    before: Option<&Path>,
) -> Path {
    let last = (flown.len() - 1) as f64;
    let mut now = Now {
        clock: 0.0,
        time: 0,
        speed: flown.speed_mps[0],
        path: flown.path_rad[0],
        turn: flown.turn_rad[0],
        height: flown.height_m[0],
        north: flown.north_m[0],
        east: flown.east_m[0],
    };
    if let Some((before, end)) =
        before.zip(before.and_then(|path| path.speed_mps.len().checked_sub(1)))
    {
        now = Now {
            speed: before.speed_mps[end],
            path: before.path_rad[end],
            height: before.height_m[end],
            north: before.north_m[end],
            east: before.east_m[end],
            ..now
        };
    }
    let mut out = Path::default();
    loop {
        let done = act(flown, script, polar, &now);
        record(&mut out, flown, &now, &done);
        let over = match script.end_turn_rad {
            Some(turn) => now.turn >= turn,
            None => now.clock >= last - CLOCK_ROUNDING,
        };
        if over || now.time >= LONGEST * flown.len() {
            return out;
        }
        step(flown, script, polar, &mut now, &done);
    }
}

fn record(out: &mut Path, flown: &Flown, now: &Now, done: &Done) {
    out.speed_mps.push(now.speed);
    out.path_rad.push(now.path);
    out.turn_rad.push(now.turn);
    out.height_m.push(now.height);
    out.bank_rad.push(done.bank);
    out.load.push(done.load);
    out.calibrated_mps.push(now.speed * flown.calibrated_share(now.clock, now.height));
    out.pressure_pa.push(done.pressure);
    out.north_m.push(now.north);
    out.east_m.push(now.east);
    out.thrust_more = out.thrust_more.max(done.asked_more);
}

fn act(flown: &Flown, script: &Script, polar: &Polar, now: &Now) -> Done {
    let bank = script
        .bank_late
        .as_ref()
        .and_then(|late| late.at(now.turn))
        .unwrap_or_else(|| mix(&script.bank_rad, now.clock));
    let pitch = script
        .pitch_late
        .as_ref()
        .and_then(|late| late.at(now.turn))
        .unwrap_or_else(|| mix(&script.pitch_rad, now.clock));
    let pressure = flown.pressure_pa(now.speed, now.clock, now.height);
    let side = mix(&script.side, now.clock);
    let upright = cos(bank).max(COS_BANK_LEAST);
    let load = match script.pull {
        Pull::Attitude => (pitch - now.path) / upright * pressure / polar.incidence_pa,
        Pull::Path => {
            let wanted = if script.height_held {
                let low = flown.height_m[0] - now.height;
                (low / (HEIGHT_S * now.speed)).clamp(-HEIGHT_PATH_RAD, HEIGHT_PATH_RAD)
            } else {
                pitch
            };
            let flown_bank = mix(&flown.bank_rad, now.clock);
            let flown_path = mix(&flown.path_rad, now.clock);
            // The vertical part of the lift as flown, and what brings the path to the one wanted.
            let kept = if script.height_held { now.path } else { flown_path };
            let base = if script.height_held {
                cos(kept) + side * sin(bank)
            } else {
                mix(&flown.load, now.clock) * cos(flown_bank).max(COS_BANK_LEAST) + side * sin(bank)
                    - mix(&flown.side, now.clock) * sin(flown_bank)
            };
            let back = now.speed * (wanted - now.path) / (PATH_S * STANDARD_GRAVITY_MPS2);
            (base + back) / upright
        }
    };
    let most = flown.load.iter().copied().fold(1.5, f64::max) * LOAD_SHARE;
    let most = polar.lift_most_per_pa.map_or(most, |per_pa| most.min(1.05 * per_pa * pressure));
    let load = load.clamp(LOAD_LEAST, most.max(0.2));
    let (thrust, asked_more) = pull_of_engine(flown, script, polar, now, (load, pressure));
    Done { bank, load, pressure, side, thrust, asked_more }
}

/// Thrust over weight, and how much more than in the attempt at the same place is asked for.
fn pull_of_engine(
    flown: &Flown,
    script: &Script,
    polar: &Polar,
    now: &Now,
    (load, pressure): (f64, f64),
) -> (f64, f64) {
    match script.power {
        Power::Lever => {
            let last = flown.len() - 1;
            let time = now.time.min(last);
            let (thrust, flown_speed) = (script.thrust[time], flown.speed_mps[time]);
            if thrust <= 0.0 {
                return (thrust, 0.0);
            }
            (thrust * pow(now.speed / flown_speed, -polar.thrust_fall), 0.0)
        }
        Power::Airspeed => {
            let at = Kept::of(flown, polar, now, (load, pressure));
            let lever = mix(&script.thrust, now.clock);
            let eased = lever * pow(now.speed / at.speed, -polar.thrust_fall.max(0.0));
            let keeps_flown = lever + at.more(at.speed, now);
            // Who is slower than at entry leaves the lever alone until entry speed is back.
            let keeps_entry = lever + at.more(at.speed.max(flown.speed_mps[0]), now);
            let thrust = keeps_flown.max(eased.min(keeps_entry));
            (thrust, keeps_flown - lever)
        }
    }
}

/// What keeping a speed asks for, against the attempt at the same place.
struct Kept {
    speed: f64,
    /// Drag and climb here less those of the attempt.
    change: f64,
}

impl Kept {
    fn of(flown: &Flown, polar: &Polar, now: &Now, (load, pressure): (f64, f64)) -> Self {
        let speed = mix(&flown.speed_mps, now.clock);
        let height = mix(&flown.height_m, now.clock);
        let drag =
            polar.drag(mix(&flown.load, now.clock), flown.pressure_pa(speed, now.clock, height));
        let climb = sin(now.path) - sin(mix(&flown.path_rad, now.clock));
        Self { speed, change: polar.drag(load, pressure) - drag + climb }
    }
    /// Thrust over weight, beyond that of the attempt, that brings the speed to one.
    fn more(&self, speed: f64, now: &Now) -> f64 {
        self.change + (speed - now.speed) / (SPEED_S * STANDARD_GRAVITY_MPS2)
    }
}

fn step(flown: &Flown, script: &Script, polar: &Polar, now: &mut Now, done: &Done) {
    let g = STANDARD_GRAVITY_MPS2;
    let (sin_bank, cos_bank) = (sin(done.bank), cos(done.bank));
    let up = done.load * cos_bank - done.side * sin_bank;
    let across = done.load * sin_bank + done.side * cos_bank;
    let drag = polar.drag(done.load, done.pressure) - mix(&script.drag_off, now.clock);
    let turning = g * across / (now.speed * cos(now.path));
    let climbing = g * (up - cos(now.path)) / now.speed;
    let gaining = g * (done.thrust - drag - sin(now.path));
    let clock = run_of_clock(flown, script, now, turning);
    // Height goes with the path as the grid of the attempt has it: residual of its own, replayed on the clock.
    let here = now.clock;
    let slip = (mix(&flown.height_m, here + 1.0) - mix(&flown.height_m, here)) / FINE_S
        - mix(&flown.speed_mps, here) * sin(mix(&flown.path_rad, here));
    let over = here + 1.0 > (flown.len() - 1) as f64 + CLOCK_ROUNDING;
    let slip = if over || script.height_held { 0.0 } else { slip };
    now.height += (now.speed * sin(now.path) + slip) * FINE_S;
    let (level, heading) = (now.speed * cos(now.path), flown.heading(now.turn));
    let place = ((here + CLOCK_ROUNDING) as usize).min(flown.len() - 1);
    let [drift_north, drift_east] = flown.drift_mps[place];
    now.north += (level * cos(heading) + drift_north) * FINE_S;
    now.east += (level * sin(heading) + drift_east) * FINE_S;
    now.turn += turning * FINE_S;
    now.speed = (now.speed + gaining * FINE_S).max(SPEED_LEAST_MPS);
    now.path = (now.path + climbing * FINE_S).clamp(-PATH_MOST_RAD, PATH_MOST_RAD);
    now.clock += clock;
    now.time += 1;
}

/// Steps of the clock in one of time: as the figure comes on.
fn run_of_clock(flown: &Flown, script: &Script, now: &Now, turning: f64) -> f64 {
    let flown_rate = mix(&flown.rate_radps, now.clock);
    let mapped = script.mapped(now.turn);
    let mapped_rate = (script.mapped(now.turn + turning * FINE_S) - mapped) / FINE_S;
    let ratio = (mapped_rate + SLOW_TURN_RADPS) / (flown_rate + SLOW_TURN_RADPS);
    let behind = mapped - mix(&flown.turn_rad, now.clock);
    let run = if flown_rate + SLOW_TURN_RADPS <= 0.2 * SLOW_TURN_RADPS {
        1.0
    } else {
        ratio + CATCH_UP * behind / (flown_rate.abs() + CATCH_UP_RADPS)
    };
    run.clamp(CLOCK.0, CLOCK.1)
}
