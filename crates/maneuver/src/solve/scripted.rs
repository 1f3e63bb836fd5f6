//! Slow flight and stalls: a script of phases, each flown by a law of its own until something happens.
//!
//! A phase holds a climb angle, raises or lowers the nose at a rate, or tightens the pull; with a bank approached at a roll rate and
//! a power approached as a hand moves the throttle. It ends when the greatest lift is reached, at an airspeed, when the path is level
//! again, after a turn, or after a time: found on the flight of the phase. Loads begin where the phase before ended, so that
//! nothing jumps.
//!
//! The lift beyond the stall is [`super::stalled_lift`]: what is told of it, the height lost first of all, is an estimate.

use base::factors::STANDARD_GRAVITY_MPS2;
use base::math::{atan, cos, tan};
use base::numerics::{ode, root};
use flight::point_mass::{PointMass, State, state};

use super::roll::Roll;
use super::{Flown, Resolved, SHORT, Schedule, Setting, Steer, Stepping, resolve};
use crate::reference::Infeasible;

/// What the stick does. Angles in rad.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Law {
    /// The climb angle goes to this one, at 0.8 a second of what is missing.
    Climb(f64),
    /// The nose goes to this pitch at this rate (rad/s, positive), on both sides of the stall.
    Nose {
        /// Where to.
        to_rad: f64,
        /// How fast.
        rate_radps: f64,
    },
    /// The load grows by so many g a second.
    Pull(f64),
}

/// What the throttle does.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Power {
    /// This share of full power.
    Share(f64),
    /// What holds the airspeed level.
    HoldSpeed,
}

/// When a phase ends.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Until {
    /// After so many seconds.
    Time(f64),
    /// At this share of the greatest lift coefficient, rising.
    Lift(f64),
    /// At this share of it, falling.
    LiftBelow(f64),
    /// At this calibrated airspeed, m/s, rising.
    Faster(f64),
    /// At this calibrated airspeed, m/s, falling.
    Slower(f64),
    /// When the path no longer descends.
    Level,
    /// After so much heading, rad.
    Turned(f64),
}

impl Until {
    /// Time between two looks at what ends the phase, s.
    const fn look_s(&self) -> f64 {
        match self {
            Self::Time(_) | Self::Lift(_) | Self::LiftBelow(_) | Self::Level => LOOK_S,
            Self::Faster(_) | Self::Slower(_) | Self::Turned(_) => LOOK_SLOW_S,
        }
    }
}

/// One phase.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Phase {
    /// What it is called where it cannot be done.
    pub name: &'static str,
    /// Stick fore and aft.
    pub law: Law,
    /// Bank of the body to be approached, rad.
    pub bank_rad: f64,
    /// Throttle.
    pub power: Power,
    /// Its end.
    pub until: Until,
}

/// A phase in its place.
#[derive(Debug, Clone, Copy)]
struct Placed {
    phase: Phase,
    begin_s: f64,
    end_s: f64,
    bank_rad: f64,
    pitch_rad: f64,
    load_factor: f64,
    power_share: f64,
    /// Share that engine and propeller give there, and the time in which they follow the throttle, s.
    given_share: f64,
    lag_s: f64,
}

/// The script with the ends of its phases found.
#[derive(Debug, Clone)]
pub struct Script<'a> {
    body: &'a PointMass<'a>,
    roll_radps: f64,
    placed: Vec<Placed>,
}

/// How fast a climb angle is followed, 1/s; how fast a pull changes, g/s; how fast a throttle moves, 1/s.
const FOLLOW_PER_S: f64 = 0.8;
const LOAD_RATE_GPS: f64 = 1.5;
const THROTTLE_PER_S: f64 = 0.7;
/// An engine that follows within this is taken to be there at once, s.
const LAG_LEAST_S: f64 = 0.02;
/// Most of the available lift that a recovery pulls.
const PULL_MOST: f64 = 0.75;
/// No phase takes longer, s.
const LONGEST_S: f64 = 120.0;

/// From a value toward another at a rate.
fn toward(from: f64, to: f64, reach: f64) -> f64 {
    from + (to - from).clamp(-reach, reach)
}

impl Script<'_> {
    fn at(&self, time_s: f64) -> &Placed {
        let after = self.placed.iter().find(|placed| time_s <= placed.end_s);
        after.or(self.placed.last()).expect("a script has phases")
    }
    /// Ends of the phases, s.
    #[must_use]
    pub fn ends_s(&self) -> Vec<f64> {
        self.placed.iter().map(|placed| placed.end_s).collect()
    }
    /// Progress at a time, rad of 100 degrees a phase.
    #[must_use]
    pub fn progress_rad(&self, time_s: f64) -> f64 {
        let index = self.placed.iter().position(|placed| time_s <= placed.end_s);
        let index = index.unwrap_or(self.placed.len() - 1);
        let placed = &self.placed[index];
        let share = (time_s - placed.begin_s) / (placed.end_s - placed.begin_s);
        100.0 * base::factors::RAD_PER_DEG * (index as f64 + share.clamp(0.0, 1.0))
    }
    /// Bank at a time since a phase began, rad.
    fn bank_of(&self, placed: &Placed, since_s: f64) -> f64 {
        let over_rad = placed.phase.bank_rad - placed.bank_rad;
        let roll = Roll::new(over_rad.abs(), self.roll_radps);
        placed.bank_rad + roll.at(since_s).copysign(over_rad)
    }
    fn steer_of(&self, placed: &Placed, time_s: f64, x: &State) -> Steer {
        let since_s = time_s - placed.begin_s;
        let phase = &placed.phase;
        let bank_rad = self.bank_of(placed, since_s);
        let (speed, climb, height) = (x[state::SPEED], x[state::CLIMB], x[state::HEIGHT]);
        let upright = match phase.law {
            Law::Nose { to_rad, rate_radps } => {
                let pitch_rad = toward(placed.pitch_rad, to_rad, rate_radps * since_s);
                return Steer::AttitudeInStall { pitch_rad, bank_rad };
            }
            Law::Pull(rate_gps) => {
                let load_factor = placed.load_factor + rate_gps * since_s;
                return Steer::Load {
                    load_factor,
                    lift_bank_rad: self.lift_bank(bank_rad, x, load_factor),
                };
            }
            Law::Climb(to_rad) => {
                cos(climb) + speed / STANDARD_GRAVITY_MPS2 * FOLLOW_PER_S * (to_rad - climb)
            }
        };
        let lift_bank_rad = self.lift_bank(bank_rad, x, upright / cos(bank_rad));
        let wanted = upright / cos(lift_bank_rad);
        let pressure_area_n = self.body.pressure_area_n(speed, height);
        // A recovery keeps away from the greatest lift; a phase that slows down to it is let there.
        let share = if matches!(phase.until, Until::Lift(_)) { 1.02 } else { PULL_MOST };
        let most = share * self.body.airplane.aerodynamics.lift_max * pressure_area_n
            / self.body.weight_n();
        let steady = cos(climb) / cos(lift_bank_rad);
        let load =
            toward(placed.load_factor, wanted.min(most.max(steady)), LOAD_RATE_GPS * since_s);
        Steer::Load { load_factor: load, lift_bank_rad }
    }
    /// Bank of the lift that shows as this bank of the body on a path that is nearly level.
    fn lift_bank(&self, bank_rad: f64, x: &State, load: f64) -> f64 {
        let lift = self.body.lift_coefficient_for(load, x[state::SPEED], x[state::HEIGHT]);
        atan(tan(bank_rad) * cos(self.body.airplane.incidence_rad(lift)))
    }
    fn power_of(&self, placed: &Placed, time_s: f64, x: &State) -> f64 {
        let to = match placed.phase.power {
            Power::Share(share) => share,
            Power::HoldSpeed => {
                let (speed, height) = (x[state::SPEED], x[state::HEIGHT]);
                let bank = self.bank_of(placed, time_s - placed.begin_s);
                let lift = self.body.lift_coefficient_for(1.0 / cos(bank), speed, height);
                let drag_n = self.body.drag_n(lift, speed, height);
                self.body.power_share_for(drag_n, speed, height)
            }
        };
        toward(placed.power_share, to.min(1.0), THROTTLE_PER_S * (time_s - placed.begin_s))
    }
    /// Share that engine and propeller give: they follow the throttle's ramp, and what was still missing before, exponentially.
    fn power_given(&self, placed: &Placed, time_s: f64, x: &State) -> f64 {
        let share = self.power_of(placed, time_s, x);
        let (lag_s, since_s) = (placed.lag_s, time_s - placed.begin_s);
        if lag_s < LAG_LEAST_S {
            return share;
        }
        let moved = share - placed.power_share;
        let ramp_s = (moved.abs() / THROTTLE_PER_S).min(since_s);
        let behind = moved.signum() * THROTTLE_PER_S * lag_s;
        let decayed = |time_s: f64| base::math::exp(-time_s / lag_s);
        share + (placed.given_share - placed.power_share) * decayed(since_s)
            - behind * (1.0 - decayed(ramp_s)) * decayed(since_s - ramp_s)
    }
}

impl Schedule for Script<'_> {
    fn steer(&self, time_s: f64, _: f64) -> Steer {
        let placed = self.at(time_s);
        let since_s = time_s - placed.begin_s;
        let bank_rad = self.bank_of(placed, since_s);
        match placed.phase.law {
            Law::Nose { to_rad, rate_radps } => Steer::AttitudeInStall {
                pitch_rad: toward(placed.pitch_rad, to_rad, rate_radps * since_s),
                bank_rad,
            },
            Law::Pull(rate_gps) => Steer::LoadAndBank {
                load_factor: placed.load_factor + rate_gps * since_s,
                bank_rad,
            },
            Law::Climb(_) => Steer::Level { bank_rad },
        }
    }
    fn steer_in(&self, time_s: f64, x: &State) -> Steer {
        self.steer_of(self.at(time_s), time_s, x)
    }
    fn power_share(&self) -> f64 {
        self.placed.first().map_or(0.0, |placed| placed.power_share)
    }
    fn power_share_in(&self, time_s: f64, x: &State) -> f64 {
        self.power_of(self.at(time_s), time_s, x)
    }
    fn power_given_in(&self, time_s: f64, x: &State) -> f64 {
        self.power_given(self.at(time_s), time_s, x)
    }
    fn corners(&self) -> Vec<f64> {
        self.ends_s()
    }
}

/// The script found and how it flies.
pub type Found<'a> = (Script<'a>, Flown);

/// Flies the phases one after the other from a state, finds their ends, and flies the whole.
///
/// # Errors
/// When a phase does not come to its end, with its name.
pub fn solve<'a>(
    setting: &'a Setting<'a>,
    start: State,
    power_share: f64,
    roll_radps: f64,
    phases: &[Phase],
) -> Result<Found<'a>, Infeasible> {
    let mut script = Script { body: &setting.body, roll_radps, placed: Vec::new() };
    let (mut x, mut begin_s) = (start, 0.0);
    let mut bank_rad = 0.0;
    let load_factor = cos(x[state::CLIMB]);
    let level = Steer::Load { load_factor, lift_bank_rad: 0.0 };
    let mut last = resolve(&setting.body, &x, level);
    let (mut power_share, mut given_share) = (power_share, power_share);
    let mut whole = Flown::begun(start);
    for &phase in phases {
        let load_factor = load_of(setting, &x, &last);
        let pitch_rad = last.pitch_rad;
        let end_s = begin_s + LONGEST_S;
        let lag_s = setting.body.shaft_lag_s(power_share, x[state::SPEED], x[state::HEIGHT]);
        let placed = Placed {
            phase,
            begin_s,
            end_s,
            bank_rad,
            pitch_rad,
            load_factor,
            power_share,
            given_share,
            lag_s,
        };
        let (flown, end_s) = ended(setting, &script, placed, (whole, x))?;
        whole = flown;
        let placed = Placed { end_s, ..placed };
        let alone = Alone { script: &script, placed };
        (x, last) = whole.at(&setting.body, &alone, end_s);
        given_share = script.power_given(&placed, placed.end_s, &x);
        power_share = script.power_of(&placed, placed.end_s, &x);
        bank_rad = script.bank_of(&placed, end_s - begin_s);
        begin_s = placed.end_s;
        script.placed.push(placed);
    }
    Ok((script, whole))
}

fn load_of(setting: &Setting<'_>, x: &State, resolved: &Resolved) -> f64 {
    let pressure_area_n = setting.body.pressure_area_n(x[state::SPEED], x[state::HEIGHT]);
    resolved.lift_coefficient * pressure_area_n / setting.body.weight_n()
}

fn lost(phase: &Phase) -> Infeasible {
    Infeasible {
        what: format!(
            "the phase \"{}\" does not come to its end in the longest time given to one",
            phase.name
        ),
        needed: 0.0,
        available: LONGEST_S,
        unit: "s",
        advice: "another entry speed, power or height".into(),
    }
}

/// The flight with a phase, and when that ends, s: flown in pieces until the end is seen, found between two looks, and cut there.
fn ended(
    setting: &Setting<'_>,
    script: &Script<'_>,
    placed: Placed,
    (mut whole, start): (Flown, State),
) -> Result<(Flown, f64), Infeasible> {
    // Short: what a phase would do after its end may leave the model.
    const PIECE_S: f64 = 1.5;
    let until = placed.phase.until;
    let (first_s, look_s) = (placed.begin_s, until.look_s());
    let fly = |whole: Flown, end_s: f64| {
        // Where the law begins, steps begin short; later they go on.
        let stepping = if whole.end_s > first_s { GOING_ON } else { SHORT };
        let alone = Alone { script, placed: Placed { end_s, ..placed } };
        whole.and_on(&setting.body, &alone, stepping).ok_or_else(|| lost(&placed.phase))
    };
    if let Until::Time(time_s) = until {
        return Ok((fly(whole, first_s + time_s)?, first_s + time_s));
    }
    let first_offset = flown_offset(setting, script, &placed, &start);
    let alone = Alone { script, placed };
    let away = |whole: &Flown, t: f64| {
        let (x, resolved) = whole.at(&setting.body, &alone, t);
        let turned =
            x[state::COURSE] - start[state::COURSE] + resolved.heading_offset_rad - first_offset;
        missing(setting, &until, (&x, &resolved), turned)
    };
    let mut begin_s = first_s;
    let looks = (PIECE_S / look_s).round() as usize;
    let mut before = f64::NAN;
    while begin_s < placed.end_s {
        whole = fly(whole, begin_s + PIECE_S)?;
        if begin_s <= first_s {
            before = away(&whole, begin_s);
            if before >= 0.0 {
                // Already there: the phase is passed through.
                return Ok((whole.cut(begin_s + LOOK_S), begin_s + LOOK_S));
            }
        }
        for look in 1..=looks {
            let t = begin_s + look_s * look as f64;
            let now = away(&whole, t);
            if before < 0.0 && now >= 0.0 {
                let found = root::find(|t| away(&whole, t), t - look_s, t, 1e-12);
                let end_s = found.map_err(|_| lost(&placed.phase))?;
                return Ok((whole.cut(end_s), end_s));
            }
            before = now;
        }
        begin_s += PIECE_S;
    }
    Err(lost(&placed.phase))
}

/// Between two looks at the end of a phase, s: what comes quickly, and what comes slowly.
const LOOK_S: f64 = 0.1;
const LOOK_SLOW_S: f64 = 0.5;
/// Steps of a phase that is being flown on: as long as they may be from the first.
const GOING_ON: Stepping = (SHORT.0, ode::Control { step_first: 0.3, ..SHORT.1 });

fn flown_offset(setting: &Setting<'_>, script: &Script<'_>, placed: &Placed, x: &State) -> f64 {
    resolve(&setting.body, x, script.steer_of(placed, placed.begin_s, x)).heading_offset_rad
}

/// Nil where the phase ends, below before.
fn missing(
    setting: &Setting<'_>,
    until: &Until,
    (x, resolved): (&State, &Resolved),
    turned: f64,
) -> f64 {
    let lift_max = setting.body.airplane.aerodynamics.lift_max;
    let line = setting.body.airplane.lift_coefficient(resolved.incidence_rad) / lift_max;
    let calibrated = || setting.calibrated_mps(x[state::SPEED], x[state::HEIGHT]);
    match *until {
        Until::Time(_) => 0.0,
        Until::Lift(share) => line - share,
        Until::LiftBelow(share) => share - line,
        Until::Faster(speed_mps) => calibrated() - speed_mps,
        Until::Slower(speed_mps) => speed_mps - calibrated(),
        Until::Level => x[state::CLIMB],
        Until::Turned(turn_rad) => turned - turn_rad,
    }
}

/// A phase or a piece of it by itself.
struct Alone<'s, 'a> {
    script: &'s Script<'a>,
    placed: Placed,
}

impl Schedule for Alone<'_, '_> {
    fn steer(&self, time_s: f64, course_rad: f64) -> Steer {
        self.script.steer(time_s, course_rad)
    }
    fn steer_in(&self, time_s: f64, x: &State) -> Steer {
        self.script.steer_of(&self.placed, time_s, x)
    }
    fn power_share(&self) -> f64 {
        self.placed.power_share
    }
    fn power_share_in(&self, time_s: f64, x: &State) -> f64 {
        self.script.power_of(&self.placed, time_s, x)
    }
    fn power_given_in(&self, time_s: f64, x: &State) -> f64 {
        self.script.power_given(&self.placed, time_s, x)
    }
    fn corners(&self) -> Vec<f64> {
        vec![self.placed.end_s]
    }
}
