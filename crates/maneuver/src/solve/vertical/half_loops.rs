//! Half loops with a half roll: half Cuban eight (and the Cuban eight of two), Immelmann, split-S.
//!
//! The pull up is that of a loop: its load is found that brings the wanted speed over the top. Without sideslip a half roll lets
//! the path sag, as nothing holds it up while the wings stand across: in the half Cuban eight the line is kept by pushing more
//! while inverted and pulling more once upright (the factor is found that ends on the line); the Immelmann begins its roll with
//! the path as far above the horizon as it will sag (found); the split-S falls into its pull. Then the line is held as long, and
//! with as much power, as ends at entry height and, if the power is there to be taken off, at entry speed.

use base::factors::{M_PER_FT, MPS_PER_KT, RAD_PER_DEG};
use base::numerics::least_squares::{self, Variable};
use base::numerics::root;
use flight::point_mass::vertical::state;
use std::f64::consts::{FRAC_PI_4, PI};

use super::loops::{self, EASE_S, ONSET_S, over_the_top};
use super::{
    Fineness, Flown, Leg, Load, Roll, State, climb_rad, height_scale_m, roll_rate_at_radps,
    root_of, shoot,
};
use crate::reference::{Condition, Infeasible, Unknown};
use crate::solve::Setting;

/// Share of the ailerons that a half roll uses, at the speed in its middle: brisk (common practice, no source).
const ROLL_SHARE: f64 = 0.9;
/// Time in which the roll rate rises and falls, s.
const ROLL_RAMP_S: f64 = 0.4;
/// Time in which the pull is pushed off onto a line, s.
const PUSH_S: f64 = 0.8;
/// The line is held this long before the roll, s: stop, then roll (CNATRA-P-1204).
const LINE_BEFORE_S: f64 = 0.5;

fn half_roll(flown: &Flown<'_>, pitched_rad: f64) -> Roll {
    let rate = |x: &State| roll_rate_at_radps(flown.setting(), x, ROLL_SHARE);
    let roll =
        |rate_radps: f64| Roll { angle_rad: PI, rate_radps, ramp_s: ROLL_RAMP_S, pitched_rad };
    let first = roll(rate(&flown.state));
    // The speed in the middle of the roll is about that of the line held as long.
    let line = Leg::hold(EASE_S, flown.power_share);
    let middle = flown.clone().for_time(line, 0.5 * first.duration_s());
    middle.map_or(first, |middle| roll(rate(&middle.state)))
}

/// How a half Cuban eight is joined to what comes before and after.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Joint {
    /// Load at its beginning, g.
    pub load_first_g: f64,
    /// Whether it ends with the pull still on, into the next half.
    pub pull_on: bool,
}

impl Joint {
    /// From level to level.
    pub const ALONE: Self = Self { load_first_g: 1.0, pull_on: false };
}

/// The figure found, what was found and how well the conditions hold.
pub type Found<'a> = loops::Found<'a>;

/// Least share of the entry speed over the top, where there is no room for the line from less height: the lower bound of what is
/// usual (common practice, no source), and the multiple of the stall speed it stays above.
const TOP_LEAST: f64 = 0.39;
const TOP_OVER_STALL: f64 = 1.1;

/// Finds a half Cuban eight: five eighths of a loop, the line 45 degrees down inverted, half a roll, the line, level.
/// `end` is the height, m, and the speed, m/s, it ends at. Where the loop is too small for the line it is pulled larger, slower over
/// the top.
///
/// # Errors
/// When it does not go over the top or does not end at entry height: what is missing.
pub fn half_cuban<'a>(
    setting: &'a Setting<'a>,
    form: &loops::Form,
    joint: Joint,
    end: (f64, f64),
) -> Result<Found<'a>, Infeasible> {
    half_cuban_over(setting, form, joint, end).or_else(|why| {
        let entry_mps = setting.calibrated_mps(setting.speed_mps, setting.height_m);
        let least = TOP_OVER_STALL * setting.stall_calibrated_mps();
        let slower = (TOP_LEAST * entry_mps).max(least);
        let larger = loops::Form { speed_top_calibrated_mps: slower, ..*form };
        half_cuban_over(setting, &larger, joint, end).map_err(|_| why)
    })
}

/// [`half_cuban`] with this speed over the top.
fn half_cuban_over<'a>(
    setting: &'a Setting<'a>,
    form: &loops::Form,
    joint: Joint,
    (height_m, speed_mps): (f64, f64),
) -> Result<Found<'a>, Infeasible> {
    let (top, up_g) = loops::over_the_top_under(setting, form, joint.load_first_g)?;
    let law = form.shape.law(up_g, setting.speed_mps);
    let descent = |fineness: Fineness, power: f64| {
        on_the_line(&top.clone().stepped(fineness), law, power, fineness)
    };
    let ended = |line: &Flown<'a>, line_s: f64, power: f64| {
        let held = line.clone().for_time(Leg::hold(EASE_S, power), line_s)?;
        level_off(held, up_g, power, joint.pull_on)
    };
    let low = |miss_m: f64| Infeasible {
        what: "the figure does not end at entry height: there is no room for a line after the roll"
            .into(),
        needed: 0.0,
        available: miss_m / M_PER_FT,
        unit: "ft from entry",
        advice: "enter faster or lighter, or pull more".into(),
    };
    let lost = || low(f64::NAN);
    let full = descent(Fineness::Told, 1.0).ok_or_else(lost)?;
    let full_coarse = full.0.clone().stepped(Fineness::Coarse);
    let miss = |fineness: Fineness, line_s: f64| {
        let line = if fineness == Fineness::Told { &full.0 } else { &full_coarse };
        ended(line, line_s, 1.0).map_or(-1.0, |flown| height_miss(&flown, height_m))
    };
    let line_s = line_time(&miss).map_err(|miss| low(miss * height_scale_m(setting)))?;
    let flown = ended(&full.0, line_s, 1.0).ok_or_else(lost)?;
    let (flown, times, line_s, power) = if flown.state[state::SPEED] <= speed_mps {
        (flown, full.1, line_s, 1.0)
    } else {
        let residuals =
            |fineness: Fineness, u: &[f64], out: &mut [f64]| match descent(fineness, u[1])
                .and_then(|(line, _)| ended(&line, u[0], u[1]))
            {
                Some(flown) => {
                    out[0] = height_miss(&flown, height_m);
                    out[1] = flown.state[state::SPEED] / speed_mps - 1.0;
                }
                None => out.fill(f64::NAN),
            };
        let variables = [
            Variable { start: line_s, low: LINE_LEAST_S, high: LINE_MOST_S, scale: 1.0 },
            Variable { start: 0.6, low: 0.0, high: 1.0, scale: 0.3 },
        ];
        let fit = shoot(residuals, &variables, 2, &CONTROL);
        let (line, times) = descent(Fineness::Told, fit.values[1]).ok_or_else(lost)?;
        let flown = ended(&line, fit.values[0], fit.values[1]).ok_or_else(lost)?;
        if fit.residual_norm > 1e-6 && height_miss(&flown, height_m).abs() > 1e-6 {
            return Err(low(height_miss(&flown, height_m) * height_scale_m(setting)));
        }
        (flown, times, fit.values[0], fit.values[1])
    };
    let (unknowns, conditions) =
        half_cuban_told(&flown, &top, [up_g, times, line_s, power], (height_m, speed_mps));
    Ok((flown, unknowns, conditions))
}

fn half_cuban_told(
    flown: &Flown<'_>,
    top: &Flown<'_>,
    [up_g, times, line_s, power]: [f64; 4],
    (height_m, speed_mps): (f64, f64),
) -> (Vec<Unknown>, Vec<Condition>) {
    let setting = flown.setting();
    let top_kt = calibrated_kt(top);
    let entry_kt = setting.calibrated_mps(setting.speed_mps, setting.height_m) / MPS_PER_KT;
    let unknown = |name, value, unit| Unknown { name, value, unit };
    let unknowns = vec![
        unknown("load in the pulls", up_g, "g"),
        unknown("speed over the top as a share of entry", 100.0 * top_kt / entry_kt, "%"),
        unknown("height gained to the top", top.state[state::HEIGHT] - setting.height_m, "m"),
        unknown("push and pull that keep the line in the roll, against a line held", times, ""),
        unknown("line held after the roll", line_s, "s"),
        unknown("power on the line", 100.0 * power, "% of full"),
        unknown(
            "speed gained over the figure",
            (flown.state[state::SPEED] - speed_mps) / MPS_PER_KT,
            "kt",
        ),
    ];
    let line_deg = climb_at_line_deg(flown);
    let condition = |name, wanted, reached, unit| Condition { name, wanted, reached, unit };
    let conditions = vec![
        condition("line before the roll", -45.0, line_deg.0, "deg"),
        condition("line after the roll", -45.0, line_deg.1, "deg"),
        condition(
            "height at the end against entry",
            0.0,
            flown.state[state::HEIGHT] - height_m,
            "m",
        ),
        condition("climb angle at the end", 0.0, climb_rad(&flown.state) / RAD_PER_DEG, "deg"),
    ];
    (unknowns, conditions)
}

const CONTROL: least_squares::Control = least_squares::Control {
    residual: 1e-9,
    step: 1e-12,
    evaluations_max: 30,
    difference: 1e-6,
    secant: true,
};
/// Shortest and longest line after a roll, s.
const LINE_LEAST_S: f64 = 0.2;
const LINE_MOST_S: f64 = 25.0;

fn height_miss(flown: &Flown<'_>, height_m: f64) -> f64 {
    (flown.state[state::HEIGHT] - height_m) / height_scale_m(flown.setting())
}

fn calibrated_kt(flown: &Flown<'_>) -> f64 {
    let x = &flown.state;
    flown.setting().calibrated_mps(x[state::SPEED], x[state::HEIGHT]) / MPS_PER_KT
}

/// Time of the line at which the miss of height, falling with it, is nil.
fn line_time(miss: &impl Fn(Fineness, f64) -> f64) -> Result<f64, f64> {
    let first = miss(Fineness::Told, LINE_LEAST_S);
    if first < 0.0 {
        return Err(first);
    }
    let mut high = 2.0;
    while miss(Fineness::Coarse, high) > 0.0 && high < LINE_MOST_S {
        high *= 1.7;
    }
    root_of(miss, (LINE_LEAST_S, high), 1e-9).map_err(|_| first)
}

/// From the top over onto the inverted line, and half a roll that ends on it: the flight and the factor of push and pull.
fn on_the_line<'a>(
    top: &Flown<'a>,
    law: Load,
    power: f64,
    told: Fineness,
) -> Option<(Flown<'a>, f64)> {
    let line = top
        .clone()
        .pull_onto(Leg::pull(law, ONSET_S, power), Leg::hold(PUSH_S, power), PI + FRAC_PI_4)?
        .for_time(Leg::hold(PUSH_S, power), LINE_BEFORE_S)?;
    let roll = half_roll(&line, 0.0);
    let rolled = |fineness: Fineness, times: f64| {
        let leg = Leg::roll(Load::Hold { times }, EASE_S, roll, power);
        line.clone().stepped(fineness).roll(leg)
    };
    let miss = |fineness: Fineness, times: f64| {
        rolled(fineness, times).map_or(f64::NAN, |f| climb_rad(&f.state) + FRAC_PI_4)
    };
    let times = match told {
        Fineness::Told => root_of(miss, (0.5, 4.5), 1e-9).ok()?,
        Fineness::Coarse => root::find(|times| miss(told, times), 0.5, 4.5, 1e-7).ok()?,
    };
    Some((rolled(told, times)?, times))
}

/// From a line down, upright, to level with a pull.
fn level_off<'a>(line: Flown<'a>, pull_g: f64, power: f64, pull_on: bool) -> Option<Flown<'a>> {
    let target = line.state[state::PITCHED] - climb_rad(&line.state);
    let pull = Leg::pull(Load::Pull { most_g: pull_g, top_g: pull_g }, ONSET_S, power);
    if pull_on {
        line.until_pitched(pull, target)
    } else {
        line.pull_onto(pull, Leg::hold(EASE_S, power), target)
    }
}

/// Climb angles at the beginning and the end of the only roll, degrees.
fn climb_at_line_deg(flown: &Flown<'_>) -> (f64, f64) {
    flown.rolls_s().next().map_or((f64::NAN, f64::NAN), |(begin, end)| {
        let climb = |time_s: f64| climb_rad(&flown.at(time_s).state) / RAD_PER_DEG;
        (climb(begin), climb(end))
    })
}

/// Finds an Immelmann: half a loop, half a roll at its top.
///
/// # Errors
/// When it does not go over the top or the roll does not end level: what is missing.
pub fn immelmann<'a>(
    setting: &'a Setting<'a>,
    form: &loops::Form,
) -> Result<Found<'a>, Infeasible> {
    let (_, up_g) = over_the_top(setting, form)?;
    let law = form.shape.law(up_g, setting.speed_mps);
    let flown = |fineness: Fineness, above_rad: f64| {
        let pull = Leg::pull(law, ONSET_S, 1.0);
        let begun = Flown::begin(setting, 1.0).stepped(fineness);
        let inverted = begun.pull_onto(pull, Leg::hold(PUSH_S, 1.0), PI - above_rad)?;
        let roll = half_roll(&inverted, above_rad);
        inverted.roll(Leg::roll(Load::Hold { times: 1.0 }, EASE_S, roll, 1.0))
    };
    let miss = |fineness: Fineness, above_rad: f64| {
        flown(fineness, above_rad).map_or(f64::NAN, |f| climb_rad(&f.state))
    };
    let none = || Infeasible {
        what: "the half roll over the top does not end level".into(),
        needed: 0.0,
        available: miss(Fineness::Told, 0.6) / RAD_PER_DEG,
        unit: "degrees of climb at best",
        advice: "enter faster or lighter".into(),
    };
    let above_rad = root_of(miss, (0.02, 1.0), 1e-9).map_err(|_| none())?;
    let end = flown(Fineness::Told, above_rad).ok_or_else(none)?;
    let unknown = |name, value, unit| Unknown { name, value, unit };
    let entry_kt = setting.calibrated_mps(setting.speed_mps, setting.height_m) / MPS_PER_KT;
    let unknowns = vec![
        unknown("load in the pull", up_g, "g"),
        unknown("path above the horizon where the roll begins", above_rad / RAD_PER_DEG, "deg"),
        unknown("height gained", end.state[state::HEIGHT] - setting.height_m, "m"),
        unknown(
            "speed at the end as a share of entry",
            100.0 * calibrated_kt(&end) / entry_kt,
            "%",
        ),
    ];
    let condition = |name, wanted, reached, unit| Condition { name, wanted, reached, unit };
    let conditions = vec![
        condition("climb angle at the end", 0.0, climb_rad(&end.state) / RAD_PER_DEG, "deg"),
        condition("pitched and rolled", 360.0, end.progress_rad / RAD_PER_DEG, "deg"),
    ];
    Ok((end, unknowns, conditions))
}

/// Flies a split-S with the engine idle: half a roll, in which the path sags, then a pull of this much as far as the wing gives
/// it, level.
///
/// # Errors
/// When it does not come level.
pub fn split_s<'a>(setting: &'a Setting<'a>, pull_g: f64) -> Result<Found<'a>, Infeasible> {
    let begin = Flown::begin(setting, 0.0);
    let fall = |pitched_rad: f64| {
        let roll = half_roll(&begin, pitched_rad);
        let load = Load::Hold { times: 1.0 };
        begin.clone().roll(Leg::roll(load, EASE_S, roll, 0.0))
    };
    let none = || Infeasible {
        what: "the pull through does not come level".into(),
        needed: pull_g,
        available: 0.0,
        unit: "g",
        advice: "not to be flown".into(),
    };
    // What the path has fallen by the end of the roll is no longer to be pulled.
    let fallen_rad = fall(0.0).map(|flown| -climb_rad(&flown.state)).ok_or_else(none)?;
    let inverted = fall(fallen_rad).ok_or_else(none)?;
    let target = inverted.state[state::PITCHED] + PI - fallen_rad;
    let pull = Leg::pull(Load::Pull { most_g: pull_g, top_g: pull_g }, ONSET_S, 0.0);
    let flown = inverted.pull_onto(pull, Leg::hold(EASE_S, 0.0), target).ok_or_else(none)?;
    let unknown = |name, value, unit| Unknown { name, value, unit };
    let entry_kt = setting.calibrated_mps(setting.speed_mps, setting.height_m) / MPS_PER_KT;
    let unknowns = vec![
        unknown("path below the horizon when inverted", fallen_rad / RAD_PER_DEG, "deg"),
        unknown("greatest share of the wing's lift", 100.0 * flown.lift_share_max(), "%"),
        unknown("height lost", setting.height_m - flown.state[state::HEIGHT], "m"),
        unknown("calibrated airspeed at the end", calibrated_kt(&flown), "kt"),
        unknown("speed gained", calibrated_kt(&flown) - entry_kt, "kt"),
    ];
    let condition = |name, wanted, reached, unit| Condition { name, wanted, reached, unit };
    let conditions = vec![
        condition("climb angle at the end", 0.0, climb_rad(&flown.state) / RAD_PER_DEG, "deg"),
        condition("rolled and pitched", 360.0, flown.progress_rad / RAD_PER_DEG, "deg"),
    ];
    Ok((flown, unknowns, conditions))
}
