//! Half of a lazy eight with its pitch scheduled against the course turned.
//!
//! Pitch is the entry attitude plus one amplitude times the sine of twice the course up to course 90, another after it: nose highest
//! at 45, lowest at 135, entry attitude at 90 and 180. The bank of the lift is half a sine of the time, or of the course with a
//! margin at both ends: without it the turn, whose rate follows the bank, would neither begin nor end. One amplitude for both
//! halves is a figure of its own: it closes only as a dip, nose down first, and there may be a shallow and a deep one (own finding);
//! the shallowest is taken.
//!
//! Unknowns: amplitudes, power, times of course 90 and 180. Conditions: the courses at those times, entry height and speed at the
//! end, and with two amplitudes the speed at course 90.

use base::factors::{RAD_PER_DEG, STANDARD_GRAVITY_MPS2};
use base::math::{ln, sin, tan};
use base::numerics::least_squares::{self, Variable};
use flight::point_mass::state;
use std::f64::consts::{FRAC_PI_2, PI};

use super::half_figure::{POWER_TRIED_MAX, closing, short_of_power};
use super::{Flown, Schedule, Setting, Steer, fly, resolve};
use crate::reference::Infeasible;

/// What the bank follows.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum BankBy {
    /// Half a sine of the time: nil at both ends.
    Time,
    /// Half a sine of the course, begun this far before nil and ended as far after 180 degrees, rad.
    Course {
        /// The margin.
        margin_rad: f64,
    },
}

/// What the form asks.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Form {
    /// Steepest bank of the lift, rad.
    pub bank_max_rad: f64,
    /// What the bank follows.
    pub bank_by: BankBy,
    /// True airspeed at course 90, m/s; `None` flies one amplitude up and down.
    pub speed_90_mps: Option<f64>,
}

/// The schedule with its unknowns filled in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CourseHalf {
    form: Form,
    /// Entry attitude, rad.
    pub pitch_level_rad: f64,
    /// Amplitudes of pitch before and after course 90, rad.
    pub amplitudes_rad: [f64; 2],
    /// Share of full power.
    pub power_share: f64,
    /// Times of course 90 and 180, s.
    pub times_s: [f64; 2],
}

impl Form {
    fn bank_rad(&self, time_share: f64, course_rad: f64) -> f64 {
        let phase = match self.bank_by {
            BankBy::Time => PI * time_share,
            BankBy::Course { margin_rad } => {
                PI * (course_rad + margin_rad) / (PI + 2.0 * margin_rad)
            }
        };
        self.bank_max_rad * sin(phase)
    }
}

impl Schedule for CourseHalf {
    fn steer(&self, time_s: f64, course_rad: f64) -> Steer {
        let [at_90, end] = self.times_s;
        // By time, so that a step never straddles the change; at the solution both are the same.
        let amplitude = self.amplitudes_rad[usize::from(time_s > at_90)];
        Steer::PitchAndLiftBank {
            pitch_rad: self.pitch_level_rad + amplitude * sin(2.0 * course_rad),
            lift_bank_rad: self.form.bank_rad(time_s / end, course_rad),
        }
    }
    fn power_share(&self) -> f64 {
        self.power_share
    }
    fn power_steady(&self) -> Option<f64> {
        Some(self.power_share)
    }
    fn corners(&self) -> Vec<f64> {
        self.times_s.to_vec()
    }
}

/// Finds the half of a form.
///
/// # Errors
/// When the conditions cannot all be met, or not with the power there is.
pub fn solve(setting: &Setting<'_>, form: &Form) -> Result<(CourseHalf, Flown), Infeasible> {
    let level = Steer::LevelAtLiftBank { lift_bank_rad: form.bank_rad(0.0, 0.0) };
    let pitch_level_rad = resolve(&setting.body, &setting.start(), level).pitch_rad;
    let single = form.speed_90_mps.is_none();
    let n = if single { 4 } else { 5 };
    let schedule = |u: &[f64]| CourseHalf {
        form: *form,
        pitch_level_rad,
        amplitudes_rad: [u[3], if single { u[3] } else { u[4] }],
        power_share: u[2],
        times_s: [u[1] * u[0], u[0]],
    };
    let residuals = |stepping: super::Stepping, u: &[f64], out: &mut [f64]| {
        let schedule = schedule(u);
        match Flown::begun(setting.start()).and_on(&setting.body, &schedule, stepping) {
            Some(flown) => out.copy_from_slice(&misses(setting, form, &schedule, &flown)[..n]),
            None => out.fill(f64::NAN),
        }
    };
    let control = least_squares::Control {
        residual: 1e-11,
        evaluations_max: 150,
        secant: true,
        ..Default::default()
    };
    let mut best: Option<least_squares::Fit> = None;
    for guess in guesses(single) {
        let fit =
            super::shoot(residuals, super::FINE, &variables(setting, form, *guess)[..n], &control);
        let better = best.as_ref().is_none_or(|known| rank(&fit, single) < rank(known, single));
        if better {
            best = Some(fit);
        }
        if !single && best.as_ref().is_some_and(|fit| rank(fit, single).0 == 0) {
            break;
        }
    }
    let fit = best.expect("at least one start was tried");
    let schedule = schedule(&fit.values);
    if fit.residual_norm < 1e-7 && schedule.power_share > 1.0 {
        return Err(short_of_power(schedule.power_share));
    }
    let flown = fly(&setting.body, setting.start(), &schedule).filter(|_| fit.residual_norm < 1e-7);
    let flown = flown.ok_or_else(|| closing(NAMES, &fit.residuals, schedule.power_share))?;
    Ok((schedule, flown))
}

/// Closing with the power there is, closing with more, not closing; then by the amplitude when there is one, else by the miss.
fn rank(fit: &least_squares::Fit, single: bool) -> (usize, f64) {
    let open = fit.residual_norm >= 1e-8;
    let class = usize::from(open) * 2 + usize::from(fit.values[2] > 1.0);
    (class, if single && !open { fit.values[3].abs() } else { fit.residual_norm })
}

/// Guesses of stretch of time, nose up in degrees, power.
fn guesses(single: bool) -> &'static [(f64, f64, f64)] {
    if single {
        &[(1.2, -1.5, 0.6), (1.2, -0.5, 0.5), (1.2, -3.0, 0.75), (1.2, 1.0, 0.6), (1.0, -5.0, 0.9)]
    } else {
        &[
            (1.0, 15.0, 0.55),
            (1.0, 11.0, 0.7),
            (1.2, 15.0, 0.5),
            (0.85, 19.0, 0.6),
            (1.0, 20.0, 0.85),
        ]
    }
}

fn variables(
    setting: &Setting<'_>,
    form: &Form,
    (stretch, up_deg, power): (f64, f64, f64),
) -> [Variable; 5] {
    // Time to turn round at four fifths of the entry speed under such a bank.
    let spread = match form.bank_by {
        BankBy::Time => 5.2,
        BankBy::Course { margin_rad } => 2.2 * ln(2.0 * PI / margin_rad.max(1e-3)),
    };
    let pace = 0.8 * setting.speed_mps / (STANDARD_GRAVITY_MPS2 * tan(form.bank_max_rad));
    let total = stretch * spread * pace;
    let up = up_deg * RAD_PER_DEG;
    let variable =
        |start: f64, low: f64, high: f64, scale: f64| Variable { start, low, high, scale };
    [
        variable(total, 3.0, 600.0, total),
        variable(0.49, 0.1, 0.9, 0.1),
        variable(power, 0.0, POWER_TRIED_MAX, 0.3),
        variable(up, -0.9, 0.9, 0.1),
        variable(0.4 * up, -0.9, 0.9, 0.1),
    ]
}

const NAMES: &[&str] =
    &["course 90", "course 180", "height at 180", "speed at 180", "speed at course 90"];

/// Misses in the order of [`NAMES`]: angles in rad, speeds and heights as shares.
fn misses(setting: &Setting<'_>, form: &Form, schedule: &CourseHalf, flown: &Flown) -> [f64; 5] {
    let [at_90, end] = schedule.times_s.map(|time_s| flown.state(time_s));
    let scale_m = setting.speed_mps * setting.speed_mps / 40.0;
    let wanted_mps = form.speed_90_mps.unwrap_or(at_90[state::SPEED]);
    [
        at_90[state::COURSE] - FRAC_PI_2,
        end[state::COURSE] - PI,
        (end[state::HEIGHT] - setting.height_m) / scale_m,
        (end[state::SPEED] - setting.speed_mps) / setting.speed_mps,
        (at_90[state::SPEED] - wanted_mps) / setting.speed_mps,
    ]
}
