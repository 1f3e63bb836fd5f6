//! Half of a lazy eight: pitch and bank scheduled in time, a climb and a descent through 180 degrees of turn.
//!
//! Pitch runs smoothly through five points: entry attitude, highest nose at the 45-degree point, entry attitude at 90, lowest nose
//! at 135, entry attitude at 180. Bank runs as smoothly from nil through the asked bank at 45 to its steepest at 90 and back the
//! same way to nil at 180. Seven unknowns (four times, two pitch amplitudes, power), seven conditions: the headings at the four
//! times, the speed at 90, height and speed at 180. One pitch amplitude for up and down would not close: incidence is larger at
//! low speed.
//!
//! What shapes the runs between the points is speed and time. At 90 the nose is back at the entry attitude while the incidence is
//! several degrees more, so that the path descends there already and the speed is lowest before: the nearer to 90, the longer the
//! nose is held up after 45 and the later it is raised before. And the turn to 45 takes most of the time of the half, at little
//! bank and the highest speed: half of fifteen degrees turns a light airplane by some one and a half degrees a second. So the bank
//! comes on at first as quickly as it grows later, and then eases. How much of each: [`Manner`].

use base::factors::{MPS_PER_KT, RAD_PER_DEG};
use base::math::pow;
use base::numerics::least_squares::{self, Variable};
use flight::point_mass::state;
use std::f64::consts::{FRAC_PI_2, FRAC_PI_4, PI};

use super::half_figure::{CLOSED, POWER_TRIED_MAX, closing, norm, short_of_power};
use super::lead::lead;
use super::{Flown, LastFlown, Schedule, Setting, Steer};
use crate::reference::{Condition, Infeasible, Unknown};

/// What the form asks.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Form {
    /// Bank at the 90-degree point, rad.
    pub bank_90_rad: f64,
    /// Bank at the 45 and 135-degree points, rad.
    pub bank_45_rad: f64,
    /// True airspeed at the 90-degree point, m/s.
    pub speed_90_mps: f64,
    /// How it runs between the points.
    pub manner: Manner,
}

/// How bank and nose run between the points: shares, nil for even runs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Manner {
    /// Of the bank at 45 that comes on quickly and then eases, as it comes off the other way at the end.
    pub bank_quick: f64,
    /// Of the nose that is raised late before 45, and from its lowest as early.
    pub nose_late: f64,
    /// Of the nose that is held up after 45 and let go before 90.
    pub nose_held: f64,
}

impl Manner {
    /// As evenly as the points let it.
    pub const EVEN: Self = Self { bank_quick: 0.0, nose_late: 0.0, nose_held: 0.0 };
    /// Of a lazy eight by the handbook. Our judgement, no source: the gentlest that brings the lowest speed within 15 degrees of turn
    /// of the 90-degree point.
    pub const HANDBOOK: Self = Self { bank_quick: 0.8, nose_late: 1.0, nose_held: 0.8 };
}

/// The schedule with its unknowns filled in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PitchHalf {
    /// Times of the 45, 90, 135 and 180-degree points, s.
    pub times_s: [f64; 4],
    /// Entry attitude, rad.
    pub pitch_level_rad: f64,
    /// Nose above and below the entry attitude, rad.
    pub amplitudes_rad: [f64; 2],
    /// Share of full power.
    pub power_share: f64,
    bank_45_rad: f64,
    bank_90_rad: f64,
    manner: Manner,
}

impl PitchHalf {
    fn pitch_rad(&self, time_s: f64) -> f64 {
        let [t45, t90, t135, end] = self.times_s;
        let [up, down] = self.amplitudes_rad;
        // At 90 the nose falls at three quarters of the sum of the two mean rates, smooth without overshoot; held up, at three times
        // the first.
        let (before, after) = (up / (t90 - t45), down / (t135 - t90));
        let held = self.manner.nose_held;
        let fall = -(1.0 - held) * 0.75 * (before + after) - held * 3.0 * before;
        let late = self.manner.nose_late;
        let from_level = if time_s < t45 {
            up * raised(time_s / t45, late)
        } else if time_s < t90 {
            hermite((t45, up, 0.0), (t90, 0.0, fall), time_s)
        } else if time_s < t135 {
            caught((t90, fall), (t135, -down), time_s)
        } else {
            -down * raised((end - time_s) / (end - t135), late)
        };
        self.pitch_level_rad + from_level
    }
    fn bank_rad(&self, time_s: f64) -> f64 {
        let [t45, t90, t135, end] = self.times_s;
        let (half, full) = (self.bank_45_rad, self.bank_90_rad);
        let (first, last) = (half / t45, half / (end - t135));
        // Harmonic means keep the growth monotone (FB-1984).
        let mean = |a: f64, b: f64| 2.0 * a * b / (a + b);
        let quick = self.manner.bank_quick;
        let evenly = 1.0 - quick;
        let up = mean(first, (full - half) / (t90 - t45));
        let down = mean(last, (full - half) / (t135 - t90));
        if time_s < t45 {
            evenly * hermite((0.0, 0.0, first), (t45, half, up), time_s)
                + quick * half * eased(time_s / t45)
        } else if time_s < t90 {
            hermite((t45, half, evenly * up), (t90, full, 0.0), time_s)
        } else if time_s < t135 {
            hermite((t90, full, 0.0), (t135, half, -evenly * down), time_s)
        } else {
            evenly * hermite((t135, half, -down), (end, 0.0, -last), time_s)
                + quick * half * eased((end - time_s) / (end - t135))
        }
    }
}

/// From nil to one, level at both ends: half in the mean, or late, two fifths.
fn raised(share: f64, late: f64) -> f64 {
    let s = share.clamp(0.0, 1.0);
    s * s * ((1.0 - late) * (3.0 - 2.0 * s) + late * s * (4.0 - 3.0 * s))
}

/// From nil to one, quickly at first, level at the end.
fn eased(share: f64) -> f64 {
    let left = 1.0 - share.clamp(0.0, 1.0);
    1.0 - left * left * left * left
}

/// From nil with a slope to a value with none, and never beyond it: a cubic while that keeps inside, else a power of the time left.
fn caught((t0, slope): (f64, f64), (t1, value): (f64, f64), t: f64) -> f64 {
    let exponent = slope * (t1 - t0) / value;
    if exponent > 3.0 {
        let left = ((t1 - t) / (t1 - t0)).clamp(0.0, 1.0);
        value * (1.0 - pow(left, exponent))
    } else {
        hermite((t0, 0.0, slope), (t1, value, 0.0), t)
    }
}

/// Cubic between two points (time, value, slope).
fn hermite((t0, y0, m0): (f64, f64, f64), (t1, y1, m1): (f64, f64, f64), t: f64) -> f64 {
    let h = t1 - t0;
    let s = ((t - t0) / h).clamp(0.0, 1.0);
    let (s2, s3) = (s * s, s * s * s);
    y0 * (2.0 * s3 - 3.0 * s2 + 1.0)
        + m0 * h * (s3 - 2.0 * s2 + s)
        + y1 * (3.0 * s2 - 2.0 * s3)
        + m1 * h * (s3 - s2)
}

impl Schedule for PitchHalf {
    fn steer(&self, time_s: f64, _: f64) -> Steer {
        Steer::Attitude { pitch_rad: self.pitch_rad(time_s), bank_rad: self.bank_rad(time_s) }
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

/// The schedule found, how it flies, what was found and how well the conditions hold.
pub type Found = (PitchHalf, Flown, Vec<Unknown>, Vec<Condition>);

/// Finds the half of a form.
///
/// # Errors
/// When the conditions cannot all be met: the worst miss in words.
pub fn solve(setting: &Setting<'_>, form: &Form) -> Result<Found, Infeasible> {
    let kept = LastFlown::default();
    let fit = search(setting, form, &kept);
    let schedule = schedule(setting, form, &fit.values);
    if fit.residual_norm < 1e-7 && schedule.power_share > 1.0 {
        return Err(short_of_power(schedule.power_share));
    }
    let again = || fly(setting, &schedule);
    let flown = kept.take(&fit.values).or_else(again).filter(|_| fit.residual_norm < 1e-7);
    let flown = flown.ok_or_else(|| closing(NAMES, &fit.residuals, schedule.power_share))?;
    let [up, down] = schedule.amplitudes_rad.map(|angle| angle / RAD_PER_DEG);
    if up.min(down) < AMPLITUDE_LEAST_DEG {
        return Err(flat(up, down));
    }
    let (unknowns, conditions) = told(setting, form, &schedule, &flown);
    Ok((schedule, flown, unknowns, conditions))
}

/// [`solve`] for the half that follows a known one: when that closes from this setting too, it is taken as it is.
///
/// # Errors
/// As [`solve`].
pub fn solve_after(
    setting: &Setting<'_>,
    form: &Form,
    known: &PitchHalf,
) -> Result<Found, Infeasible> {
    let pitch_level_rad = setting.level_pitch_rad(1.0, 0.0);
    let schedule = PitchHalf { pitch_level_rad, ..*known };
    let flown = fly(setting, &schedule);
    let closes = |flown: &Flown| norm(&misses(setting, form, &schedule, flown)) < CLOSED;
    flown.filter(closes).map_or_else(
        || solve(setting, form),
        |flown| {
            let (unknowns, conditions) = told(setting, form, &schedule, &flown);
            Ok((schedule, flown, unknowns, conditions))
        },
    )
}

fn schedule(setting: &Setting<'_>, form: &Form, u: &[f64]) -> PitchHalf {
    PitchHalf {
        times_s: [u[0] * u[3], u[1] * u[3], u[2] * u[3], u[3]],
        pitch_level_rad: setting.level_pitch_rad(1.0, 0.0),
        amplitudes_rad: [u[4], u[5]],
        power_share: u[6],
        bank_45_rad: form.bank_45_rad,
        bank_90_rad: form.bank_90_rad,
        manner: form.manner,
    }
}

/// Flies as it is told.
fn fly(setting: &Setting<'_>, schedule: &PitchHalf) -> Option<Flown> {
    let [_, told] = setting.even_by_attitude();
    Flown::begun(setting.start()).and_on(&setting.body, schedule, told)
}

/// Shoots from a guess.
fn shoot(
    setting: &Setting<'_>,
    form: &Form,
    start: &[Variable],
    kept: &LastFlown,
) -> least_squares::Fit {
    let [coarse, told] = setting.even_by_attitude();
    let residuals = |stepping: super::Stepping, u: &[f64], out: &mut [f64]| {
        let schedule = schedule(setting, form, u);
        match Flown::begun(setting.start()).and_on(&setting.body, &schedule, stepping) {
            Some(flown) => {
                out.copy_from_slice(&misses(setting, form, &schedule, &flown));
                kept.keep(u, flown, (stepping, told));
            }
            None => out.fill(f64::NAN),
        }
    };
    let control = least_squares::Control {
        residual: 1e-9,
        evaluations_max: 120,
        secant: true,
        ..Default::default()
    };
    super::shoot_from(residuals, (coarse, told), start, &control)
}

/// Total time as a share of the usual one, nose up in degrees and power to begin from.
const GUESSES: [(f64, f64, f64); 5] =
    [(1.0, 17.0, 0.5), (1.0, 12.0, 0.7), (1.2, 14.0, 0.5), (0.75, 18.0, 0.6), (1.0, 20.0, 0.85)];

/// Shoots from several guesses: the first that closes with the power there is, else, when none closes, what an easier figure leads to,
/// else the one of least rank.
fn search(setting: &Setting<'_>, form: &Form, kept: &LastFlown) -> least_squares::Fit {
    let mut best: Option<least_squares::Fit> = None;
    for (stretch, up_deg, power) in GUESSES {
        let fit = shoot(setting, form, &variables(setting, stretch, up_deg, power), kept);
        if best.as_ref().is_none_or(|known| rank(&fit) < rank(known)) {
            best = Some(fit);
        }
        if best.as_ref().is_some_and(|fit| rank(fit) < RANK_SHORT_OF_POWER) {
            break;
        }
    }
    let best = best.expect("at least one start was tried");
    if best.residual_norm < CLOSED { best } else { follow(setting, form, kept).unwrap_or(best) }
}

/// Figures that are less slow over the top, as shares of the way from the wanted speed to that of the entry: one of them is found where
/// the wanted one is not.
const EASIER: [f64; 3] = [0.15, 0.3, 0.5];
/// From a figure that is less slow over the top to the wanted one, see [`lead`].
fn follow(setting: &Setting<'_>, form: &Form, kept: &LastFlown) -> Option<least_squares::Fit> {
    let wanted_mps = form.speed_90_mps;
    let gap_mps = setting.speed_mps - wanted_mps;
    let eased = |share: f64| Form { speed_90_mps: wanted_mps + share * gap_mps, ..*form };
    let closed = |fit: &least_squares::Fit| fit.residual_norm < CLOSED;
    let first = EASIER.iter().find_map(|&share| {
        let of = |&(stretch, up_deg, power): &(f64, f64, f64)| {
            let start = variables(setting, stretch, up_deg, power);
            shoot(setting, &eased(share), &start, kept)
        };
        GUESSES.iter().take(2).map(of).find(closed).map(|fit| (share, fit))
    })?;
    let usual = variables(setting, 1.0, 17.0, 0.5);
    lead(first, &usual, |share, start| shoot(setting, &eased(share), start, kept))
}

/// A nose that moves less than this from its entry attitude does not draw the figure, degrees (our judgement, no source).
const AMPLITUDE_LEAST_DEG: f64 = 1.0;

fn flat(up_deg: f64, down_deg: f64) -> Infeasible {
    let (what, available) = if down_deg < up_deg {
        ("nose below its entry attitude at the 135-degree point", down_deg)
    } else {
        ("nose above its entry attitude at the 45-degree point", up_deg)
    };
    Infeasible {
        what: format!("the figure is flat from this entry speed: {what}"),
        needed: AMPLITUDE_LEAST_DEG,
        available,
        unit: "deg",
        advice: "enter faster".into(),
    }
}

/// Solutions that close but need more power than there is rank behind those that do not, those that do not close last.
const RANK_SHORT_OF_POWER: f64 = 10.0;

fn rank(fit: &least_squares::Fit) -> f64 {
    let power_share = fit.values[COUNT - 1];
    if fit.residual_norm >= CLOSED {
        100.0 + fit.residual_norm
    } else if power_share > 1.0 {
        RANK_SHORT_OF_POWER + power_share
    } else {
        fit.residual_norm
    }
}

fn variables(setting: &Setting<'_>, stretch: f64, up_deg: f64, power: f64) -> [Variable; COUNT] {
    let variable =
        |start: f64, low: f64, high: f64, scale: f64| Variable { start, low, high, scale };
    // Speed sets the time scale: some 50 s at 50 m/s.
    let total = 1.02 * setting.speed_mps * stretch;
    [
        variable(0.325, 0.05, 0.6, 0.1),
        variable(0.46, 0.2, 0.8, 0.1),
        variable(0.61, 0.3, 0.97, 0.1),
        variable(total, 5.0, 300.0, total),
        variable(up_deg * RAD_PER_DEG, 0.0, 0.9, 0.1),
        variable(0.33 * up_deg * RAD_PER_DEG, -0.2, 0.9, 0.1),
        variable(power, 0.0, POWER_TRIED_MAX, 0.3),
    ]
}

const NAMES: &[&str] = &[
    "heading at the 45-degree point",
    "heading at the 90-degree point",
    "heading at the 135-degree point",
    "heading at 180",
    "speed at the 90-degree point",
    "height at 180",
    "speed at 180",
];

/// Number of unknowns and of conditions.
const COUNT: usize = 7;

/// Misses in the order of [`NAMES`]: angles in rad, speeds and heights as shares.
fn misses(setting: &Setting<'_>, form: &Form, schedule: &PitchHalf, flown: &Flown) -> [f64; COUNT] {
    let body = &setting.body;
    let [t45, t90, t135, end] = schedule.times_s;
    let heading = |time_s| flown.heading_rad(body, schedule, time_s);
    let last = flown.state(end);
    let scale_m = setting.speed_mps * setting.speed_mps / 40.0;
    [
        heading(t45) - FRAC_PI_4,
        heading(t90) - FRAC_PI_2,
        heading(t135) - 3.0 * FRAC_PI_4,
        heading(end) - PI,
        (flown.state(t90)[state::SPEED] - form.speed_90_mps) / setting.speed_mps,
        (last[state::HEIGHT] - setting.height_m) / scale_m,
        (last[state::SPEED] - setting.speed_mps) / setting.speed_mps,
    ]
}

fn told(
    setting: &Setting<'_>,
    form: &Form,
    schedule: &PitchHalf,
    flown: &Flown,
) -> (Vec<Unknown>, Vec<Condition>) {
    let body = &setting.body;
    let [t45, t90, t135, end] = schedule.times_s;
    let degrees = |angle: f64| angle / RAD_PER_DEG;
    let kt = |mps: f64| mps / MPS_PER_KT;
    let [up, down] = schedule.amplitudes_rad;
    let unknowns = vec![
        Unknown { name: "power", value: 100.0 * schedule.power_share, unit: "% of full" },
        Unknown { name: "nose above the entry attitude at 45", value: degrees(up), unit: "deg" },
        Unknown { name: "nose below the entry attitude at 135", value: degrees(down), unit: "deg" },
        Unknown { name: "time of one half", value: end, unit: "s" },
    ];
    let heading = |time_s| degrees(flown.heading_rad(body, schedule, time_s));
    let bank = |time_s| degrees(flown.at(body, schedule, time_s).1.bank_rad);
    let last = flown.state(end);
    let condition = |name, wanted, reached, unit| Condition { name, wanted, reached, unit };
    let conditions = vec![
        condition("heading where the nose is highest", 45.0, heading(t45), "deg"),
        condition("heading where the bank is steepest", 90.0, heading(t90), "deg"),
        condition("heading where the nose is lowest", 135.0, heading(t135), "deg"),
        condition("heading at the end", 180.0, heading(end), "deg"),
        condition("bank at the 45-degree point", degrees(form.bank_45_rad), bank(t45), "deg"),
        condition("bank at the 90-degree point", degrees(form.bank_90_rad), bank(t90), "deg"),
        condition("bank at the 135-degree point", degrees(form.bank_45_rad), bank(t135), "deg"),
        condition(
            "true airspeed at the 90-degree point",
            kt(form.speed_90_mps),
            kt(flown.state(t90)[state::SPEED]),
            "kt",
        ),
        condition("true airspeed at the end", kt(setting.speed_mps), kt(last[state::SPEED]), "kt"),
        condition(
            "height at the end against entry",
            0.0,
            last[state::HEIGHT] - setting.height_m,
            "m",
        ),
    ];
    (unknowns, conditions)
}
