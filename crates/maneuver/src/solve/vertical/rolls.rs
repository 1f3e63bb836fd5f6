//! Rolls: aileron roll and barrel roll. Both begin with a pull, wings level, and end with one.
//!
//! Aileron roll: the climb at which the roll begins, the skew of the small load held in it and the power are found that end at
//! entry height, heading and speed. Barrel roll: roll rate, seven harmonics of the load and the power are found that meet the
//! published geometry and end at entry height, heading and speed. Both by least squares.

use base::factors::{M_PER_FT, MPS_PER_KT, RAD_PER_DEG};
use base::frames::Attitude;
use base::math::wrap_pi;
use base::numerics::least_squares::{self, Variable};
use flight::point_mass::vertical::state;
use std::f64::consts::{FRAC_PI_2, FRAC_PI_4, TAU};

use super::loops::{EASE_S, Found};
use super::sampling::body_from_ned;
use super::{Flown, Leg, Load, Roll, climb_rad, height_scale_m, roll_rate_at_radps};
use crate::reference::{Condition, Infeasible, Unknown};
use crate::solve::Setting;

/// Time in which the roll rate of an aileron roll rises and falls, s.
const RAMP_S: f64 = 0.4;
/// Share of the ailerons that an aileron roll uses.
const AILERON_SHARE: f64 = 0.9;
/// Load of the pulls before and after an aileron roll, and of the roll, g (common practice, no source): the stick is eased
/// before the ailerons move.
const PULL_G: f64 = 2.0;
const ROLLING_G: f64 = 0.3;
const ONSET_S: f64 = 0.8;
const UNLOAD_S: f64 = 0.6;

const CONTROL: least_squares::Control =
    least_squares::Control { residual: 1e-9, step: 1e-12, evaluations_max: 40, difference: 1e-6 };

/// Attitude at a time of a figure flown to the north and to the right.
fn attitude(flown: &Flown<'_>, time_s: f64) -> Attitude {
    Attitude::from_rotation(&body_from_ned(flown, &flown.at(time_s)))
}

/// Level again with a pull, wings level; not counted in the progress.
fn level_off<'a>(flown: Flown<'a>, pull_g: f64, power: f64) -> Option<Flown<'a>> {
    let target = flown.state[state::PITCHED] - climb_rad(&flown.state);
    let pull = Leg::pull(Load::Pull { most_g: pull_g, top_g: pull_g }, ONSET_S, power);
    flown.pull_onto(pull.uncounted(), Leg::hold(EASE_S, power).uncounted(), target)
}

/// Misses at the end: height, speed, heading.
fn end_misses(setting: &Setting<'_>, flown: &Flown<'_>) -> [f64; 3] {
    [
        (flown.state[state::HEIGHT] - setting.height_m) / height_scale_m(setting),
        flown.state[state::SPEED] / setting.speed_mps - 1.0,
        wrap_pi(attitude(flown, flown.time_s).heading_rad),
    ]
}

fn aileron_flight<'a>(
    setting: &'a Setting<'a>,
    [climb_rad, skew_g, power]: [f64; 3],
) -> Option<Flown<'a>> {
    let pull = Leg::pull(Load::Pull { most_g: PULL_G, top_g: PULL_G }, ONSET_S, power);
    let unload = Leg {
        load: Load::Steady { load_g: ROLLING_G, skew_g: 0.0 },
        ..Leg::hold(UNLOAD_S, power).uncounted()
    };
    let up = Flown::begin(setting, power)
        .until_pitched(pull.uncounted(), climb_rad)?
        .for_time(unload, UNLOAD_S)?;
    let roll = Roll {
        angle_rad: TAU,
        rate_radps: roll_rate_at_radps(setting, &up.state, AILERON_SHARE),
        ramp_s: RAMP_S,
        pitched_rad: 0.0,
    };
    let load = Load::Steady { load_g: ROLLING_G, skew_g };
    let rolled = up.roll(Leg::roll(load, UNLOAD_S, roll, power))?;
    level_off(rolled, PULL_G, power)
}

/// Finds an aileron roll: nose up, eased, rolled with nearly full aileron, level.
///
/// # Errors
/// When it does not end at entry height: what is missing.
pub fn aileron<'a>(setting: &'a Setting<'a>) -> Result<Found<'a>, Infeasible> {
    // The speed is asked for too while there is power for it.
    let fit = |power_most: f64, count: usize| {
        let residuals = |u: &[f64], out: &mut [f64]| match aileron_flight(
            setting,
            [u[0], u[1], u.get(2).copied().unwrap_or(1.0)],
        ) {
            Some(flown) => {
                let [height, speed, heading] = end_misses(setting, &flown);
                out.copy_from_slice(&[height, heading, speed][..count]);
            }
            None => out.fill(f64::NAN),
        };
        let variables = [
            Variable { start: 0.35, low: 0.02, high: 1.0, scale: 0.2 },
            Variable { start: 0.0, low: -1.0, high: 1.0, scale: 0.2 },
            Variable { start: 0.7, low: 0.0, high: power_most, scale: 0.3 },
        ];
        least_squares::minimize(residuals, &variables[..count], count, &CONTROL)
    };
    let mut found = fit(1.0, 3);
    if found.residual_norm > 1e-7 {
        found = fit(1.0, 2);
    }
    let power = found.values.get(2).copied().unwrap_or(1.0);
    let none = |miss: f64| Infeasible {
        what: "no aileron roll found that ends at entry height".into(),
        needed: 0.0,
        available: miss * height_scale_m(setting) / M_PER_FT,
        unit: "ft from entry",
        advice: "enter faster or lighter".into(),
    };
    let flown = aileron_flight(setting, [found.values[0], found.values[1], power])
        .filter(|_| found.residual_norm < 1e-7)
        .ok_or_else(|| none(found.residuals[0]))?;
    let (begin_s, end_s) = flown.rolls_s().next().unwrap_or_default();
    let pitch = |time_s: f64| attitude(&flown, time_s).pitch_rad / RAD_PER_DEG;
    let unknown = |name, value, unit| Unknown { name, value, unit };
    let rate = flown.at(0.5 * (begin_s + end_s)).roll_rate_radps / RAD_PER_DEG;
    let speed_lost_mps = setting.speed_mps - flown.state[state::SPEED];
    let unknowns = vec![
        unknown("nose above the horizon where the roll begins", pitch(begin_s), "deg"),
        unknown("nose where the roll ends", pitch(end_s), "deg"),
        unknown("roll rate", rate, "deg/s"),
        unknown("time of the roll", end_s - begin_s, "s"),
        unknown("power", 100.0 * power, "% of full"),
        unknown("speed lost", speed_lost_mps / MPS_PER_KT, "kt"),
    ];
    let conditions = end_conditions(setting, &flown);
    Ok((flown, unknowns, conditions))
}

fn end_conditions(setting: &Setting<'_>, flown: &Flown<'_>) -> Vec<Condition> {
    let condition = |name, wanted, reached, unit| Condition { name, wanted, reached, unit };
    let end = attitude(flown, flown.time_s);
    vec![
        condition("angle rolled", 360.0, flown.progress_rad / RAD_PER_DEG, "deg"),
        condition("bank at the end", 0.0, end.bank_rad / RAD_PER_DEG, "deg"),
        condition(
            "heading at the end against entry",
            0.0,
            wrap_pi(end.heading_rad) / RAD_PER_DEG,
            "deg",
        ),
        condition(
            "height at the end against entry",
            0.0,
            flown.state[state::HEIGHT] - setting.height_m,
            "m",
        ),
        condition("climb angle at the end", 0.0, climb_rad(&flown.state) / RAD_PER_DEG, "deg"),
    ]
}

/// Nose above the horizon where a barrel roll's roll begins, wings level until then. Source: CNATRA-P-1212.
const BARREL_BEGIN_RAD: f64 = 20.0 * RAD_PER_DEG;
/// Load of the pulls before and after a barrel roll, g (common practice, no source: 2.5 to 3 at most).
const BARREL_PULL_G: f64 = 2.5;
const BARREL_RAMP_S: f64 = 0.8;
/// Unknowns of a barrel roll: roll rate, seven harmonics of load, power.
const COUNT: usize = 9;

/// From level to the nose where the roll begins.
fn barrel_pull<'a>(setting: &'a Setting<'a>) -> Option<Flown<'a>> {
    let pull = Load::Pull { most_g: BARREL_PULL_G, top_g: BARREL_PULL_G };
    let pull = Leg::pull(pull, ONSET_S, 1.0).uncounted();
    let up = |path_rad: f64| Flown::begin(setting, 1.0).until_pitched(pull, path_rad);
    let mut path_rad = 0.6 * BARREL_BEGIN_RAD;
    for _ in 0..8 {
        let flown = up(path_rad)?;
        let miss = BARREL_BEGIN_RAD - attitude(&flown, flown.time_s).pitch_rad;
        if miss.abs() < 1e-9 {
            return Some(flown);
        }
        path_rad = (path_rad + miss).max(0.01);
    }
    up(path_rad)
}

fn barrel_flight<'a>(pulled: &Flown<'a>, u: &[f64]) -> Option<Flown<'a>> {
    let roll = Roll { angle_rad: TAU, rate_radps: u[0], ramp_s: BARREL_RAMP_S, pitched_rad: 0.0 };
    let load = Load::Rolled(std::array::from_fn(|k| u[1 + k]));
    let power = u[8];
    let rolled = pulled.clone().roll(Leg::roll(load, UNLOAD_S, roll, power))?;
    level_off(rolled, BARREL_PULL_G, power)
}

/// The instant within the roll at which the body is banked this much, s, its bank rising from nil to a full turn.
fn bank_time(flown: &Flown<'_>, (begin_s, end_s): (f64, f64), bank_rad: f64) -> f64 {
    let bank = |time_s: f64| {
        let bank = attitude(flown, time_s).bank_rad;
        wrap_pi(bank - bank_rad)
    };
    let about = begin_s + (end_s - begin_s) * bank_rad / TAU;
    let half = 0.12 * (end_s - begin_s);
    base::numerics::root::find(bank, about - half, about + half, 1e-9).unwrap_or(about)
}

/// The checkpoints of the published geometry: bank 90, inverted, bank 90 the other way, s.
fn barrel_times(flown: &Flown<'_>) -> [f64; 3] {
    let span = flown.rolls_s().next().unwrap_or_default();
    [1.0, 2.0, 3.0].map(|quarters| bank_time(flown, span, quarters * FRAC_PI_2))
}

fn barrel_misses(setting: &Setting<'_>, flown: &Flown<'_>) -> [f64; COUNT] {
    let [t90, t180, t270] = barrel_times(flown);
    let [first, top, second] = [t90, t180, t270].map(|t| attitude(flown, t));
    let pitch_rate = |t: f64| {
        let step = 1e-3 * flown.time_s;
        let pitch = |t| attitude(flown, t).pitch_rad;
        (pitch(t + step) - pitch(t - step)) / (2.0 * step) * 0.1 * flown.time_s
    };
    let [height, speed, heading] = end_misses(setting, flown);
    [
        wrap_pi(first.heading_rad - FRAC_PI_4),
        pitch_rate(t90),
        wrap_pi(top.heading_rad - FRAC_PI_2),
        top.pitch_rad,
        wrap_pi(second.heading_rad - FRAC_PI_4),
        pitch_rate(t270),
        heading,
        height,
        speed,
    ]
}

/// Finds a barrel roll: after a pull the nose goes round a point on the horizon 45 degrees to the side.
///
/// # Errors
/// When the geometry cannot be met with the power there is: the worst miss.
pub fn barrel<'a>(setting: &'a Setting<'a>) -> Result<Found<'a>, Infeasible> {
    let none = |what: &str, miss: f64| Infeasible {
        what: format!("no barrel roll found that closes: {what} is missed"),
        needed: 0.0,
        available: 100.0 * miss,
        unit: "% miss",
        advice: "enter faster, lighter or lower".into(),
    };
    let pulled = barrel_pull(setting).ok_or_else(|| none("20 degrees of pitch", 1.0))?;
    let residuals = |u: &[f64], out: &mut [f64]| match barrel_flight(&pulled, u) {
        Some(flown) => out.copy_from_slice(&barrel_misses(setting, &flown)),
        None => out.fill(f64::NAN),
    };
    let variable =
        |start: f64, low: f64, high: f64, scale: f64| Variable { start, low, high, scale };
    let mut best: Option<least_squares::Fit> = None;
    for seconds in [11.0, 14.0, 9.0] {
        let mut variables = vec![variable(TAU / seconds, 0.2, 2.0, 0.3)];
        for start in [1.6, 0.5, 0.1, 0.0, 0.0, 0.0, 0.0] {
            variables.push(variable(start, -3.0, 4.0, 0.5));
        }
        variables.push(variable(0.9, 0.0, 2.0, 0.3));
        let fit = least_squares::minimize(residuals, &variables, COUNT, &CONTROL);
        if best.as_ref().is_none_or(|known| fit.residual_norm < known.residual_norm) {
            best = Some(fit);
        }
        if best.as_ref().is_some_and(|fit| fit.residual_norm < 1e-7) {
            break;
        }
    }
    let fit = best.expect("at least one start was tried");
    let flown = barrel_flight(&pulled, &fit.values).ok_or_else(|| none("the roll", 1.0))?;
    let [t90, t180, t270] = barrel_times(&flown);
    let degrees = |angle: f64| angle / RAD_PER_DEG;
    let at = |t: f64| attitude(&flown, t);
    let unknown = |name, value, unit| Unknown { name, value, unit };
    let top = flown.at(t180).state;
    let share = top[state::SPEED] / setting.speed_mps;
    let unknowns = vec![
        unknown("roll rate", degrees(fit.values[0]), "deg/s"),
        unknown("highest nose", degrees(at(t90).pitch_rad), "deg"),
        unknown("lowest nose", degrees(at(t270).pitch_rad), "deg"),
        unknown("true airspeed inverted as a share of entry", 100.0 * share, "%"),
        unknown("power", 100.0 * fit.values[8], "% of full"),
    ];
    let condition = |name, wanted, reached, unit| Condition { name, wanted, reached, unit };
    let mut conditions = vec![
        condition("heading turned where the bank is 90", 45.0, degrees(at(t90).heading_rad), "deg"),
        condition("heading turned when inverted", 90.0, degrees(at(t180).heading_rad), "deg"),
        condition("nose on the horizon when inverted", 0.0, degrees(at(t180).pitch_rad), "deg"),
        condition(
            "heading turned where the bank is 90 again",
            45.0,
            degrees(at(t270).heading_rad),
            "deg",
        ),
    ];
    conditions.extend(end_conditions(setting, &flown));
    Ok((flown, unknowns, conditions))
}
