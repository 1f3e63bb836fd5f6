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
use std::f64::consts::{FRAC_PI_2, TAU};

use super::loops::{EASE_S, Found};
use super::sampling::body_from_ned;
use super::{
    COARSE_APART, Fineness, Flown, Leg, Load, Roll, climb_rad, height_scale_m, roll_rate_at_radps,
    shoot,
};
use crate::reference::{Condition, Infeasible, Unknown};
use crate::solve::Setting;

/// Time in which the roll rate of an aileron roll rises and falls, s.
const RAMP_S: f64 = 0.4;
/// Share of the ailerons that an aileron roll uses: all, as the form says.
const AILERON_SHARE: f64 = 1.0;
/// Load of the pulls before and after an aileron roll, g (common practice, no source).
const PULL_G: f64 = 2.0;
/// Load of the roll, g: its mean and what it is more upright and less inverted (common practice, no source). The stick is eased before
/// the ailerons move, to where the airplane is light; what is left upright carries it a little, so that the nose need not be so
/// high.
const ROLLING_G: [f64; 2] = [0.3, 0.1];
const ONSET_S: f64 = 0.8;
const UNLOAD_S: f64 = 0.6;

const CONTROL: least_squares::Control = least_squares::Control {
    residual: 1e-8,
    step: 1e-12,
    evaluations_max: 40,
    difference: 1e-6,
    secant: true,
};

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
    fineness: Fineness,
    [climb_rad, skew_g, power]: [f64; 3],
) -> Option<Flown<'a>> {
    let pull = Leg::pull(Load::Pull { most_g: PULL_G, top_g: PULL_G }, ONSET_S, power);
    let unload = Leg {
        load: Load::Steady(ROLLING_G[0] + ROLLING_G[1]),
        ..Leg::hold(UNLOAD_S, power).uncounted()
    };
    let up = Flown::begin(setting, power)
        .stepped(fineness)
        .until_pitched(pull.uncounted(), climb_rad)?
        .for_time(unload, UNLOAD_S)?;
    let roll = Roll {
        angle_rad: TAU,
        rate_radps: roll_rate_at_radps(setting, &up.state, AILERON_SHARE),
        ramp_s: RAMP_S,
        pitched_rad: 0.0,
    };
    let load = Load::Rolled([ROLLING_G[0], ROLLING_G[1], 0.0, 0.0, skew_g, 0.0, 0.0]);
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
        let residuals = |fineness: Fineness, u: &[f64], out: &mut [f64]| match aileron_flight(
            setting,
            fineness,
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
        shoot(residuals, &variables[..count], count, &CONTROL)
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
    let flown = aileron_flight(setting, Fineness::Told, [found.values[0], found.values[1], power])
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

/// Load of the pulls before and after a barrel roll, g (common practice, no source: 2.5 to 3 at most).
const BARREL_PULL_G: f64 = 2.5;
const BARREL_RAMP_S: f64 = 0.8;
/// Conditions of a barrel roll, the last one the speed at the end.
const COUNT: usize = 5;
/// Unknowns: climb where the roll begins, roll rate, seven harmonics of the load, power.
const UNKNOWNS: usize = 10;

fn barrel_flight<'a>(setting: &'a Setting<'a>, fineness: Fineness, u: &[f64]) -> Option<Flown<'a>> {
    let pull = Load::Pull { most_g: BARREL_PULL_G, top_g: BARREL_PULL_G };
    let power = u.get(9).copied().unwrap_or(1.0);
    let up = Leg::pull(pull, ONSET_S, power).uncounted();
    let pulled = Flown::begin(setting, power).stepped(fineness).until_pitched(up, u[0])?;
    let roll = Roll { angle_rad: TAU, rate_radps: u[1], ramp_s: BARREL_RAMP_S, pitched_rad: 0.0 };
    let load = Load::Rolled(std::array::from_fn(|k| u[2 + k]));
    let rolled = pulled.roll(Leg::roll(load, UNLOAD_S, roll, power))?;
    level_off(rolled, BARREL_PULL_G, power)
}

/// The instant within the roll at which the body is banked this much, s, its bank rising from nil to a full turn.
fn bank_time(flown: &Flown<'_>, (begin_s, end_s): (f64, f64), bank_rad: f64) -> f64 {
    let bank = |time_s: f64| wrap_pi(attitude(flown, time_s).bank_rad - bank_rad);
    let about = begin_s + (end_s - begin_s) * bank_rad / TAU;
    let half = 0.15 * (end_s - begin_s);
    base::numerics::root::find(bank, about - half, about + half, 1e-9).unwrap_or(about)
}

/// Where the bank is 90, inverted, 90 the other way, s.
fn barrel_times(flown: &Flown<'_>) -> [f64; 3] {
    let span = flown.rolls_s().next().unwrap_or_default();
    [1.0, 2.0, 3.0].map(|quarters| bank_time(flown, span, quarters * FRAC_PI_2))
}

fn barrel_misses(setting: &Setting<'_>, flown: &Flown<'_>) -> [f64; COUNT] {
    let span = flown.rolls_s().next().unwrap_or_default();
    let top = attitude(flown, bank_time(flown, span, 2.0 * FRAC_PI_2));
    let [height, speed, heading] = end_misses(setting, flown);
    [wrap_pi(top.heading_rad - FRAC_PI_2), top.pitch_rad, heading, height, speed]
}

/// A gentle barrel roll, from which the search begins and near which it stays: most load where the wings stand across, little
/// when inverted.
const GENTLE: [f64; UNKNOWNS] = [0.35, 0.5, 1.9, 0.4, -0.6, 0.0, 0.0, 0.0, 0.0, 0.8];
/// Usual size of each unknown.
const SCALES: [f64; UNKNOWNS] = [0.2, 0.1, 0.5, 0.5, 0.5, 0.3, 0.3, 0.3, 0.3, 0.3];
/// Bounds: a climb and a roll rate that are still a barrel roll, loads within reason, the power there is.
const BOUNDS: [(f64, f64); UNKNOWNS] = [
    (0.1, 1.1),
    (0.2, 1.2),
    (-1.0, 4.0),
    (-3.0, 3.0),
    (-3.0, 3.0),
    (-2.0, 2.0),
    (-3.0, 3.0),
    (-3.0, 3.0),
    (-2.0, 2.0),
    (0.0, 1.0),
];
/// Root sum square of the misses (rad, shares) below which the roll closes.
const CLOSED: f64 = 1.5e-6;
/// Weight of staying near the gentle roll in the first search.
const STAY: f64 = 0.02;

/// Searches twice: with a pull toward the gentle roll, then from there for the conditions alone, which leave more unknowns than
/// they are: the damped step is the shortest. At full power, then with the power that ends at entry speed when there is some to take off. The unknowns, the root sum square of the
/// misses, the misses. By coarse flights first and the last steps by told ones, or by told ones alone.
fn barrel_search(setting: &Setting<'_>, fineness: Fineness) -> (Vec<f64>, f64, Vec<f64>) {
    let variable = |k: usize, start: f64| Variable {
        start,
        low: BOUNDS[k].0,
        high: BOUNDS[k].1,
        scale: SCALES[k],
    };
    let gentle = &GENTLE[..UNKNOWNS - 1];
    let drawn = |u: &[f64], out: &mut [f64]| match barrel_flight(setting, fineness, u) {
        Some(flown) => {
            out[..COUNT - 1].copy_from_slice(&barrel_misses(setting, &flown)[..COUNT - 1]);
            for (k, miss) in out[COUNT - 1..].iter_mut().enumerate() {
                *miss = STAY * (u[k] - GENTLE[k]) / SCALES[k];
            }
        }
        None => out.fill(f64::NAN),
    };
    let variables: Vec<Variable> =
        gentle.iter().enumerate().map(|(k, start)| variable(k, *start)).collect();
    let few = least_squares::Control {
        evaluations_max: 8,
        step: 1e-3,
        difference: match fineness {
            Fineness::Coarse => COARSE_APART,
            Fineness::Told => CONTROL.difference,
        },
        ..CONTROL
    };
    let near = least_squares::minimize(drawn, &variables, COUNT - 1 + gentle.len(), &few).values;
    let exact = |from: &[f64], count: usize| {
        let residuals = |fineness: Fineness, u: &[f64], out: &mut [f64]| match barrel_flight(
            setting, fineness, u,
        ) {
            Some(flown) => out.copy_from_slice(&barrel_misses(setting, &flown)[..count]),
            None => out.fill(f64::NAN),
        };
        let variables: Vec<Variable> =
            from.iter().enumerate().map(|(k, start)| variable(k, *start)).collect();
        let fit = match fineness {
            Fineness::Coarse => shoot(residuals, &variables, count, &CONTROL),
            Fineness::Told => {
                let told = |u: &[f64], out: &mut [f64]| residuals(Fineness::Told, u, out);
                least_squares::minimize(told, &variables, count, &CONTROL)
            }
        };
        (fit.values, fit.residual_norm, fit.residuals)
    };
    let full = exact(&near, COUNT - 1);
    let faster = barrel_flight(setting, Fineness::Told, &full.0)
        .is_some_and(|flown| flown.state[state::SPEED] > setting.speed_mps);
    if faster {
        let start: Vec<f64> = full.0.iter().copied().chain([GENTLE[9]]).collect();
        let found = exact(&start, COUNT);
        if found.1 < CLOSED {
            return found;
        }
    }
    full
}

/// Finds a barrel roll: after a pull the nose goes round a point on the horizon 45 degrees to the side.
///
/// What is met of the published geometry: inverted with the nose on the horizon at 90 degrees of turn, entry heading, height and
/// speed at the end, a steady roll rate, the load positive. The sheet, of a jet, also begins the roll with the nose 20 degrees up
/// and has the bank at 90 and the nose highest at 45 degrees of turn. At that bank nothing holds the nose up without sideslip, and
/// from light airplanes' speeds 20 degrees are not enough: what comes out instead is told.
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
    // There are more unknowns than conditions: which of the many rolls a search comes upon, and whether any, turns on every step of it.
    let mut found = barrel_search(setting, Fineness::Coarse);
    if found.1 >= CLOSED {
        found = barrel_search(setting, Fineness::Told);
    }
    let (values, norm, residuals) = found;
    let worst = residuals.iter().zip(BARREL_NAMES).max_by(|a, b| a.0.abs().total_cmp(&b.0.abs()));
    let flown = barrel_flight(setting, Fineness::Told, &values)
        .filter(|_| norm < CLOSED)
        .ok_or_else(|| worst.map_or_else(|| none("it", 1.0), |(miss, name)| none(name, *miss)))?;
    let (unknowns, conditions) = barrel_told(setting, &flown, &values);
    Ok((flown, unknowns, conditions))
}

const BARREL_NAMES: [&str; COUNT] = [
    "90 degrees of turn when inverted",
    "the nose on the horizon when inverted",
    "heading at the end",
    "height at the end",
    "speed at the end",
];

fn barrel_told(
    setting: &Setting<'_>,
    flown: &Flown<'_>,
    values: &[f64],
) -> (Vec<Unknown>, Vec<Condition>) {
    let [t90, t180, t270] = barrel_times(flown);
    let degrees = |angle: f64| angle / RAD_PER_DEG;
    let at = |t: f64| attitude(flown, t);
    let turned = |t: f64| degrees(at(t).heading_rad);
    let times = (0..=200).map(|i| flown.time_s * f64::from(i) / 200.0);
    let all: Vec<Attitude> = times.map(at).collect();
    let high = all.iter().max_by(|a, b| a.pitch_rad.total_cmp(&b.pitch_rad));
    let low = all.iter().min_by(|a, b| a.pitch_rad.total_cmp(&b.pitch_rad));
    let pitch = |found: Option<&Attitude>| found.map_or(f64::NAN, |a| degrees(a.pitch_rad));
    let bank = |found: Option<&Attitude>| found.map_or(f64::NAN, |a| degrees(a.bank_rad.abs()));
    let unknown = |name, value, unit| Unknown { name, value, unit };
    let share = flown.at(t180).state[state::SPEED] / setting.speed_mps;
    let lost_mps = setting.speed_mps - flown.state[state::SPEED];
    let (begin_s, _) = flown.rolls_s().next().unwrap_or_default();
    let unknowns = vec![
        unknown(
            "nose above the horizon where the roll begins",
            degrees(at(begin_s).pitch_rad),
            "deg",
        ),
        unknown("roll rate", degrees(values[1]), "deg/s"),
        unknown("heading turned where the bank is 90", turned(t90), "deg"),
        unknown("heading turned where the bank is 90 again", turned(t270), "deg"),
        unknown("highest nose", pitch(high), "deg"),
        unknown("bank where the nose is highest", bank(high), "deg"),
        unknown("lowest nose", pitch(low), "deg"),
        unknown("bank where the nose is lowest", bank(low), "deg"),
        unknown("true airspeed inverted as a share of entry", 100.0 * share, "%"),
        unknown("power", 100.0 * values.get(9).copied().unwrap_or(1.0), "% of full"),
        unknown("speed lost", lost_mps / MPS_PER_KT, "kt"),
    ];
    let condition = |name, wanted, reached, unit| Condition { name, wanted, reached, unit };
    let mut conditions = vec![
        condition("heading turned when inverted", 90.0, turned(t180), "deg"),
        condition("nose on the horizon when inverted", 0.0, degrees(at(t180).pitch_rad), "deg"),
    ];
    conditions.extend(end_conditions(setting, flown));
    (unknowns, conditions)
}
