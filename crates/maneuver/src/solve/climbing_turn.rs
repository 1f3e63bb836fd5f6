//! Climbing turn through 180 degrees by schedules of bank and pitch in time: the chandelle in both forms.
//!
//! Bank is rolled in at a limited rate to its first value, held or grown to the 90-degree point, then comes off at one constant
//! rate in time. Pitch rises at a constant rate in time to its greatest at the 90-degree point and is held. (A bank linear in
//! *turn* would never arrive: the turn rate goes to nil with the bank.) Three unknowns: greatest pitch, time of the 90-degree
//! point, time of the roll-out. Three conditions: heading 90 there, heading 180 at the end, speed at the end.

use base::numerics::least_squares::{self, Variable};
use flight::point_mass::state;

use super::{Flown, Schedule, Setting, Steer, fly};
use crate::reference::{Condition, Infeasible, Unknown};
use base::factors::{MPS_PER_KT, RAD_PER_DEG, STANDARD_GRAVITY_MPS2};

/// What the form asks.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Form {
    /// Bank after the roll-in, rad.
    pub bank_first_rad: f64,
    /// Bank at the 90-degree point, rad.
    pub bank_90_rad: f64,
    /// Time of the roll-in, s; nil starts with the bank on.
    pub roll_in_s: f64,
    /// True airspeed at the end, m/s.
    pub speed_end_mps: f64,
}

/// The schedule with its unknowns filled in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ClimbingTurn {
    form: Form,
    pitch_level_rad: f64,
    pitch_turn_rad: f64,
    /// Greatest pitch, rad.
    pub pitch_max_rad: f64,
    /// Time of the 90-degree point, s.
    pub time_90_s: f64,
    /// Time of the roll-out, s.
    pub roll_out_s: f64,
}

impl Schedule for ClimbingTurn {
    fn steer(&self, time_s: f64, _: f64) -> Steer {
        let form = &self.form;
        let (bank_rad, pitch_rad) = if time_s < form.roll_in_s {
            let share = time_s / form.roll_in_s;
            let pitch = self.pitch_level_rad + share * (self.pitch_turn_rad - self.pitch_level_rad);
            (share * form.bank_first_rad, pitch)
        } else if time_s < self.time_90_s {
            let share = (time_s - form.roll_in_s) / (self.time_90_s - form.roll_in_s);
            let bank = form.bank_first_rad + share * (form.bank_90_rad - form.bank_first_rad);
            (bank, self.pitch_turn_rad + share * (self.pitch_max_rad - self.pitch_turn_rad))
        } else {
            let share = 1.0 - (time_s - self.time_90_s) / self.roll_out_s;
            (share * form.bank_90_rad, self.pitch_max_rad)
        };
        Steer::Attitude { pitch_rad, bank_rad }
    }
    fn power_share(&self) -> f64 {
        1.0
    }
    fn corners(&self) -> Vec<f64> {
        let end = self.time_90_s + self.roll_out_s;
        let all = [self.form.roll_in_s, self.time_90_s, end];
        all.into_iter().skip(usize::from(self.form.roll_in_s <= 0.0)).collect()
    }
}

/// The schedule found, how it flies, what was found and how well the conditions hold.
pub type Found = (ClimbingTurn, Flown, Vec<Unknown>, Vec<Condition>);

/// Finds the climbing turn of a form.
///
/// # Errors
/// When no pitch makes it end at the wanted speed after 180 degrees of turn.
pub fn solve(setting: &Setting<'_>, form: Form) -> Result<Found, Infeasible> {
    let load = 1.0 / base::math::cos(form.bank_first_rad);
    let pitch_level_rad = setting.level_pitch_rad(1.0, 0.0);
    let pitch_turn_rad = setting.level_pitch_rad(load, form.bank_first_rad);
    let schedule = |unknowns: &[f64]| ClimbingTurn {
        form,
        pitch_level_rad,
        pitch_turn_rad,
        pitch_max_rad: unknowns[0],
        time_90_s: form.roll_in_s + unknowns[1],
        roll_out_s: unknowns[2],
    };
    let residuals = |unknowns: &[f64], out: &mut [f64]| {
        let schedule = schedule(unknowns);
        let Some(flown) = fly(&setting.body, setting.start(), &schedule) else {
            out.fill(f64::NAN);
            return;
        };
        let right = std::f64::consts::FRAC_PI_2;
        out[0] = flown.heading_rad(&setting.body, &schedule, schedule.time_90_s) - right;
        out[1] = flown.heading_rad(&setting.body, &schedule, flown.end_s) - 2.0 * right;
        out[2] = (flown.state(flown.end_s)[state::SPEED] - form.speed_end_mps) / form.speed_end_mps;
    };
    let mean_rate = STANDARD_GRAVITY_MPS2
        * base::math::tan(0.5 * (form.bank_first_rad + form.bank_90_rad))
        / (0.92 * setting.speed_mps);
    let time_guess = std::f64::consts::FRAC_PI_2 / mean_rate;
    let mut best: Option<least_squares::Fit> = None;
    for pitch_guess_deg in [16.0, 24.0, 34.0, 10.0] {
        let variables = [
            Variable { start: pitch_guess_deg * RAD_PER_DEG, low: 0.02, high: 1.2, scale: 0.1 },
            Variable { start: time_guess, low: 0.5, high: 120.0, scale: time_guess },
            Variable { start: 1.3 * time_guess, low: 0.5, high: 120.0, scale: time_guess },
        ];
        let control =
            least_squares::Control { residual: 1e-10, evaluations_max: 80, ..Default::default() };
        let fit = least_squares::minimize(residuals, &variables, 3, &control);
        if best.as_ref().is_none_or(|known| fit.residual_norm < known.residual_norm) {
            best = Some(fit);
        }
        if best.as_ref().is_some_and(|fit| fit.residual_norm < 1e-8) {
            break;
        }
    }
    let fit = best.expect("at least one start was tried");
    let schedule = schedule(&fit.values);
    let flown = fly(&setting.body, setting.start(), &schedule).filter(|_| fit.residual_norm < 1e-7);
    let flown = flown.ok_or_else(|| not_found(&schedule, &form, fit.residual_norm))?;
    let (unknowns, conditions) = told(setting, &schedule, &flown);
    Ok((schedule, flown, unknowns, conditions))
}

fn not_found(schedule: &ClimbingTurn, form: &Form, residual: f64) -> Infeasible {
    Infeasible {
        what: format!(
            "no climbing turn found that ends at the wanted speed (nearest greatest pitch {:.0} degrees)",
            schedule.pitch_max_rad / RAD_PER_DEG
        ),
        needed: form.speed_end_mps / MPS_PER_KT,
        available: form.speed_end_mps * (1.0 + residual) / MPS_PER_KT,
        unit: "kt true",
        advice: "try another entry speed, less mass, or a lower height".into(),
    }
}

fn told(
    setting: &Setting<'_>,
    schedule: &ClimbingTurn,
    flown: &Flown,
) -> (Vec<Unknown>, Vec<Condition>) {
    let rate = schedule.form.bank_90_rad / schedule.roll_out_s / RAD_PER_DEG;
    let unknowns = vec![
        Unknown {
            name: "greatest pitch",
            value: schedule.pitch_max_rad / RAD_PER_DEG,
            unit: "deg",
        },
        Unknown { name: "time to the 90-degree point", value: schedule.time_90_s, unit: "s" },
        Unknown { name: "time of the roll-out", value: schedule.roll_out_s, unit: "s" },
        Unknown { name: "rate of the roll-out", value: rate, unit: "deg/s" },
    ];
    let heading = |time_s| flown.heading_rad(&setting.body, schedule, time_s) / RAD_PER_DEG;
    let speed_end = flown.state(flown.end_s)[state::SPEED];
    let conditions = vec![
        Condition {
            name: "heading at the 90-degree point",
            wanted: 90.0,
            reached: heading(schedule.time_90_s),
            unit: "deg",
        },
        Condition {
            name: "heading at the end",
            wanted: 180.0,
            reached: heading(flown.end_s),
            unit: "deg",
        },
        Condition {
            name: "true airspeed at the end",
            wanted: schedule.form.speed_end_mps / MPS_PER_KT,
            reached: speed_end / MPS_PER_KT,
            unit: "kt",
        },
    ];
    (unknowns, conditions)
}
