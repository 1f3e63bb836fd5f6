//! Climbing turn through 180 degrees by schedules of bank and pitch in time: the chandelle in both forms.
//!
//! Bank is rolled in at a limited rate to its first value, held or grown to the 90-degree point, then comes off at one constant
//! rate in time. Pitch rises at a constant rate in time to its greatest at the 90-degree point and is held. (A bank linear in
//! *turn* would never arrive: the turn rate goes to nil with the bank.) Three unknowns: greatest pitch, time of the 90-degree
//! point, time of the roll-out. Three conditions: heading 90 there, heading 180 at the end, speed at the end. The throttle opens
//! with the nose: from the power of the entry, held through the roll-in, to full as half of the pull is in.

use base::numerics::least_squares::{self, Variable};

use super::{Flown, LastFlown, Schedule, Setting, Steer, fly};
use crate::reference::{Condition, Infeasible, Unknown};
use base::factors::{MPS_PER_KT, RAD_PER_DEG, STANDARD_GRAVITY_MPS2};
use flight::point_mass::State;
use std::f64::consts::{FRAC_PI_2, PI};

/// What the form asks.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Form {
    /// Bank after the roll-in, rad.
    pub bank_first_rad: f64,
    /// Bank at the 90-degree point, rad.
    pub bank_90_rad: f64,
    /// Time of the roll-in, s; nil starts with the bank on.
    pub roll_in_s: f64,
    /// Calibrated airspeed at the end, m/s, at whatever height that is.
    pub speed_end_calibrated_mps: f64,
    /// Share of full power at entry; 1 flies the whole with full power.
    pub power_entry_share: f64,
}

/// Share of the pull with which the throttle is fully open. Handbooks let power rise with the pull and say no more (AFH-3C): this
/// reading is common practice, no source.
const POWER_FULL_AT: f64 = 0.5;

/// How a form is read. The default is the catalogue's reading: bank as the attitude shows it, turn counted in heading, speed at the
/// end as the form says. Others serve comparison with work that reads it otherwise.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Reading {
    /// Whether the scheduled bank is that of the lift about the velocity instead of the body's.
    pub lift_bank: bool,
    /// Whether the turn is counted in course instead of heading.
    pub course: bool,
    /// Speed at the end as a share of the stall speed at one g there, true, instead of the form's.
    pub end_over_stall: Option<f64>,
}

impl Reading {
    /// Pitch of level flight with the bank on.
    fn pitch_turn_rad(&self, setting: &Setting<'_>, bank_rad: f64) -> f64 {
        if *self == Self::default() {
            return setting.level_pitch_rad(1.0 / base::math::cos(bank_rad), bank_rad);
        }
        let steer = if self.lift_bank {
            Steer::LevelAtLiftBank { lift_bank_rad: bank_rad }
        } else {
            Steer::Level { bank_rad }
        };
        super::resolve(&setting.body, &setting.start(), steer).pitch_rad
    }
    fn turned_rad(
        &self,
        setting: &Setting<'_>,
        schedule: &ClimbingTurn,
        flown: &Flown,
        time_s: f64,
    ) -> f64 {
        if self.course {
            flown.state(time_s)[flight::point_mass::state::COURSE]
        } else {
            flown.heading_rad(&setting.body, schedule, time_s)
        }
    }
    fn speed_end_mps(&self, setting: &Setting<'_>, form: &Form, height_m: f64) -> f64 {
        self.end_over_stall.map_or_else(
            || setting.true_mps(form.speed_end_calibrated_mps, height_m),
            |share| share * setting.body.stall_speed_mps(height_m),
        )
    }
}

/// The schedule with its unknowns filled in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ClimbingTurn {
    form: Form,
    reading: Reading,
    pitch_level_rad: f64,
    pitch_turn_rad: f64,
    /// Greatest pitch, rad.
    pub pitch_max_rad: f64,
    /// Time of the 90-degree point, s.
    pub time_90_s: f64,
    /// Time of the roll-out, s.
    pub roll_out_s: f64,
}

impl ClimbingTurn {
    /// Share of the pull that is in: nil through the roll-in, 1 from the 90-degree point on.
    fn pulled(&self, time_s: f64) -> f64 {
        let pull_s = self.time_90_s - self.form.roll_in_s;
        ((time_s - self.form.roll_in_s) / pull_s).clamp(0.0, 1.0)
    }
}

impl Schedule for ClimbingTurn {
    fn steer(&self, time_s: f64, _: f64) -> Steer {
        let form = &self.form;
        let (bank_rad, pitch_rad) = if time_s < form.roll_in_s {
            let share = time_s / form.roll_in_s;
            let pitch = self.pitch_level_rad + share * (self.pitch_turn_rad - self.pitch_level_rad);
            (share * form.bank_first_rad, pitch)
        } else if time_s < self.time_90_s {
            let share = self.pulled(time_s);
            let bank = form.bank_first_rad + share * (form.bank_90_rad - form.bank_first_rad);
            (bank, self.pitch_turn_rad + share * (self.pitch_max_rad - self.pitch_turn_rad))
        } else {
            let share = 1.0 - (time_s - self.time_90_s) / self.roll_out_s;
            (share * form.bank_90_rad, self.pitch_max_rad)
        };
        if self.reading.lift_bank {
            return Steer::PitchAndLiftBank { pitch_rad, lift_bank_rad: bank_rad };
        }
        Steer::Attitude { pitch_rad, bank_rad }
    }
    fn power_share(&self) -> f64 {
        self.form.power_entry_share
    }
    fn power_share_in(&self, time_s: f64, _: &State) -> f64 {
        let entry = self.form.power_entry_share;
        entry + (1.0 - entry) * (self.pulled(time_s) / POWER_FULL_AT).min(1.0)
    }
    fn corners(&self) -> Vec<f64> {
        let Form { roll_in_s, power_entry_share, .. } = self.form;
        let full_s = roll_in_s + POWER_FULL_AT * (self.time_90_s - roll_in_s);
        let mut all = vec![self.time_90_s, self.time_90_s + self.roll_out_s];
        if power_entry_share < 1.0 {
            all.insert(0, full_s);
        }
        if roll_in_s > 0.0 {
            all.insert(0, roll_in_s);
        }
        all
    }
}

/// The schedule found, how it flies, what was found and how well the conditions hold.
pub type Found = (ClimbingTurn, Flown, Vec<Unknown>, Vec<Condition>);

/// Finds the climbing turn of a form.
///
/// # Errors
/// When no greatest pitch makes it end at the wanted speed after 180 degrees of turn: the condition that is missed most, by how
/// much.
pub fn solve(setting: &Setting<'_>, form: Form) -> Result<Found, Infeasible> {
    solve_read(setting, form, Reading::default())
}

/// [`solve`] with the search begun at a climbing turn found for an entry speed nearby.
///
/// # Errors
/// As [`solve`].
pub fn solve_near(
    setting: &Setting<'_>,
    form: Form,
    known: Option<&ClimbingTurn>,
) -> Result<Found, Infeasible> {
    let near = known
        .map(|known| [known.pitch_max_rad, known.time_90_s - form.roll_in_s, known.roll_out_s]);
    solve_from(setting, form, Reading::default(), near)
}

/// [`solve`] with the form read in another way.
///
/// # Errors
/// As [`solve`].
pub fn solve_read(
    setting: &Setting<'_>,
    form: Form,
    reading: Reading,
) -> Result<Found, Infeasible> {
    solve_from(setting, form, reading, None)
}

fn solve_from(
    setting: &Setting<'_>,
    form: Form,
    reading: Reading,
    near: Option<[f64; 3]>,
) -> Result<Found, Infeasible> {
    let pitch_level_rad = setting.level_pitch_rad(1.0, 0.0);
    let pitch_turn_rad = reading.pitch_turn_rad(setting, form.bank_first_rad);
    let schedule = |unknowns: &[f64]| ClimbingTurn {
        form,
        reading,
        pitch_level_rad,
        pitch_turn_rad,
        pitch_max_rad: unknowns[0],
        time_90_s: form.roll_in_s + unknowns[1],
        roll_out_s: unknowns[2],
    };
    let kept = LastFlown::default();
    let residuals = |stepping: super::Stepping, unknowns: &[f64], out: &mut [f64]| {
        let schedule = schedule(unknowns);
        match Flown::begun(setting.start()).and_on(&setting.body, &schedule, stepping) {
            Some(flown) => {
                out.copy_from_slice(&misses(setting, &schedule, &flown));
                kept.keep(unknowns, flown, (stepping, super::FINE));
            }
            None => out.fill(f64::NAN),
        }
    };
    let fit = search(setting, &form, near, residuals);
    let schedule = schedule(&fit.values);
    let again = || fly(&setting.body, setting.start(), &schedule);
    let flown = kept.take(&fit.values).or_else(again);
    let Some(flown) = flown.filter(|_| fit.residual_norm < 1e-7) else {
        return Err(not_found(setting, &schedule));
    };
    let (unknowns, conditions) = told(setting, &schedule, &flown);
    Ok((schedule, flown, unknowns, conditions))
}

/// Misses of the conditions: turn at the 90-degree point and at the end in rad, speed at the end as a share.
fn misses(setting: &Setting<'_>, schedule: &ClimbingTurn, flown: &Flown) -> [f64; 3] {
    let (speed_mps, height_m) = super::state_at_end(flown);
    let reading = &schedule.reading;
    let wanted_mps = reading.speed_end_mps(setting, &schedule.form, height_m);
    let turned = |time_s| reading.turned_rad(setting, schedule, flown, time_s);
    [turned(schedule.time_90_s) - FRAC_PI_2, turned(flown.end_s) - PI, speed_mps / wanted_mps - 1.0]
}

/// Shoots from what is near where that is known, and from several guesses of the greatest pitch; the first that closes, else the nearest.
fn search(
    setting: &Setting<'_>,
    form: &Form,
    near: Option<[f64; 3]>,
    residuals: impl Fn(super::Stepping, &[f64], &mut [f64]),
) -> least_squares::Fit {
    let mean_rate = STANDARD_GRAVITY_MPS2
        * base::math::tan(0.5 * (form.bank_first_rad + form.bank_90_rad))
        / (0.92 * setting.speed_mps);
    let time_guess = FRAC_PI_2 / mean_rate;
    let control = least_squares::Control {
        residual: 1e-10,
        evaluations_max: 80,
        secant: true,
        ..Default::default()
    };
    let [coarse, _] = setting.even_by_attitude();
    let mut best: Option<least_squares::Fit> = None;
    let guesses = [16.0, 24.0, 34.0, 10.0]
        .map(|pitch_deg| [pitch_deg * RAD_PER_DEG, time_guess, 1.3 * time_guess]);
    for [pitch_rad, to_90_s, roll_out_s] in near.into_iter().chain(guesses) {
        let variables = [
            Variable { start: pitch_rad, low: 0.02, high: 1.2, scale: 0.1 },
            Variable { start: to_90_s, low: 0.5, high: 120.0, scale: time_guess },
            Variable { start: roll_out_s, low: 0.5, high: 120.0, scale: time_guess },
        ];
        let fit = super::shoot_from(&residuals, (coarse, super::FINE), &variables, &control);
        if best.as_ref().is_none_or(|known| fit.residual_norm < known.residual_norm) {
            best = Some(fit);
        }
        if best.as_ref().is_some_and(|fit| fit.residual_norm < 1e-8) {
            break;
        }
    }
    best.expect("at least one start was tried")
}

/// What the nearest flight does not meet, with what it reaches: the turn when that is missed most, else the speed.
fn not_found(setting: &Setting<'_>, schedule: &ClimbingTurn) -> Infeasible {
    let pitch_deg = schedule.pitch_max_rad / RAD_PER_DEG;
    let advice = "try another entry speed, less mass, or a lower height".to_string();
    let Some(flown) = fly(&setting.body, setting.start(), schedule) else {
        return Infeasible {
            what: format!(
                "no climbing turn found: the nearest, with the nose {pitch_deg:.0} degrees up, loses its speed"
            ),
            needed: schedule.form.speed_end_calibrated_mps / MPS_PER_KT,
            available: 0.0,
            unit: "kt calibrated",
            advice,
        };
    };
    let [at_90, at_end, speed] = misses(setting, schedule, &flown);
    let (what, needed, available, unit) = if at_end.abs().max(at_90.abs()) > speed.abs() {
        let (turn, miss) = if at_90.abs() > at_end.abs() { (90.0, at_90) } else { (180.0, at_end) };
        ("turn", turn, turn + miss / RAD_PER_DEG, "deg")
    } else {
        let wanted = schedule.form.speed_end_calibrated_mps / MPS_PER_KT;
        let reached = calibrated_at_end_mps(setting, &flown) / MPS_PER_KT;
        ("speed at the end", wanted, reached, "kt calibrated")
    };
    Infeasible {
        what: format!(
            "no climbing turn found: {what} is missed by the nearest, with the nose {pitch_deg:.0} degrees up"
        ),
        needed,
        available,
        unit,
        advice,
    }
}

fn calibrated_at_end_mps(setting: &Setting<'_>, flown: &Flown) -> f64 {
    let (speed_mps, height_m) = super::state_at_end(flown);
    setting.calibrated_mps(speed_mps, height_m)
}

fn told(
    setting: &Setting<'_>,
    schedule: &ClimbingTurn,
    flown: &Flown,
) -> (Vec<Unknown>, Vec<Condition>) {
    let rate = schedule.form.bank_90_rad / schedule.roll_out_s / RAD_PER_DEG;
    let unknown = |name, value, unit| Unknown { name, value, unit };
    let unknowns = vec![
        unknown("greatest pitch", schedule.pitch_max_rad / RAD_PER_DEG, "deg"),
        unknown("time to the 90-degree point", schedule.time_90_s, "s"),
        unknown("time of the roll-out", schedule.roll_out_s, "s"),
        unknown("rate of the roll-out", rate, "deg/s"),
    ];
    let heading = |time_s| flown.heading_rad(&setting.body, schedule, time_s) / RAD_PER_DEG;
    let (_, last) = flown.at(&setting.body, schedule, flown.end_s);
    let condition = |name, wanted, reached, unit| Condition { name, wanted, reached, unit };
    let conditions = vec![
        condition("heading at the 90-degree point", 90.0, heading(schedule.time_90_s), "deg"),
        condition("heading at the end", 180.0, heading(flown.end_s), "deg"),
        condition("bank at the end", 0.0, last.bank_rad / RAD_PER_DEG, "deg"),
        condition(
            "calibrated airspeed at the end",
            schedule.form.speed_end_calibrated_mps / MPS_PER_KT,
            calibrated_at_end_mps(setting, flown) / MPS_PER_KT,
            "kt",
        ),
    ];
    (unknowns, conditions)
}
