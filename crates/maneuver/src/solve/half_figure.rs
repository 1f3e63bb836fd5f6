//! Half of a wing-over pair: a climb and a descent through 180 degrees of turn that ends as it began.
//!
//! The bank of the body grows with time from the start to its steepest at the 90-degree point and comes off again until the end;
//! the pull is a smooth function of time (load factor 1 at both ends plus six harmonics). What the form asks, found by shooting
//! over the times of the 45, 90, 135 and 180-degree points, the harmonics and the power:
//!
//! nose highest at 45 and lowest at 135 degrees of turn, a given pitch and speed at 90, and at 180 the entry height, speed and a
//! level path. The load factor is scheduled and not the pitch, because near 90 degrees of bank pitch says nothing of lift. For
//! slow figures at shallow bank see [`super::pitch_half`].

use base::factors::{MPS_PER_KT, RAD_PER_DEG};
use base::math::{cos, pow, sin};
use base::numerics::least_squares::{self, Variable};
use flight::point_mass::state;
use std::f64::consts::{FRAC_PI_2, FRAC_PI_4, PI};

use super::lead::lead;
use super::{EVEN, EVEN_COARSE, Flown, LastFlown, Schedule, Setting, Steer, fly_even};
use crate::reference::{Condition, Infeasible, Unknown};

/// What the form asks.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Form {
    /// Bank of the body at the 90-degree point, its steepest, rad.
    pub bank_90_rad: f64,
    /// Pitch at the 90-degree point, rad.
    pub pitch_90_rad: f64,
    /// Calibrated airspeed at the 90-degree point, m/s.
    pub speed_90_calibrated_mps: f64,
}

const HARMONICS: usize = 6;
/// Growth of bank with time, first as quick a beginning as keeps the roll rate gentle: above one, so that the roll rate is never a step.
/// A steep figure that comes near the stall with one may stay off it with another.
const GROWTHS: &[f64] = &[1.3, 1.7, 1.0, 2.2];

/// The schedule with its unknowns filled in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HalfFigure {
    /// Times of the 45, 90, 135 and 180-degree points, s.
    pub times_s: [f64; 4],
    /// Steepest bank of the body, rad.
    pub bank_max_rad: f64,
    /// Share of full power.
    pub power_share: f64,
    /// Amplitudes of the load factor's harmonics.
    pub harmonics: [f64; HARMONICS],
    /// Exponent of the growth of bank with time.
    pub growth: f64,
}

impl HalfFigure {
    fn from_unknowns(form: &Form, u: &[f64], growth: f64) -> Self {
        let total = u[0];
        Self {
            times_s: [u[1] * total, u[2] * total, u[3] * total, total],
            power_share: u[4],
            bank_max_rad: form.bank_90_rad,
            harmonics: std::array::from_fn(|i| u[5 + i]),
            growth,
        }
    }
}

impl Schedule for HalfFigure {
    fn steer(&self, time_s: f64, _: f64) -> Steer {
        let [_, t90, _, end] = self.times_s;
        let share = (time_s / end).clamp(0.0, 1.0);
        // sin(k a) = 2 cos(a) sin((k - 1) a) - sin((k - 2) a).
        let (first, twice) = (sin(PI * share), 2.0 * cos(PI * share));
        let (mut before, mut now, mut pull) = (0.0, first, 0.0);
        for amplitude in self.harmonics {
            pull += amplitude * now;
            (before, now) = (now, twice * now - before);
        }
        let phase = if time_s < t90 { time_s / t90 } else { (end - time_s) / (end - t90) };
        let shape = pow(sin(FRAC_PI_2 * phase.clamp(0.0, 1.0)).max(0.0), self.growth);
        Steer::LoadAndBank { load_factor: 1.0 + pull, bank_rad: self.bank_max_rad * shape }
    }
    fn power_share(&self) -> f64 {
        self.power_share
    }
    fn power_steady(&self) -> Option<f64> {
        Some(self.power_share)
    }
    fn corners(&self) -> Vec<f64> {
        vec![self.times_s[1], self.times_s[3]]
    }
}

/// The schedule found, how it flies, what was found and how well the conditions hold.
pub type Found = (HalfFigure, Flown, Vec<Unknown>, Vec<Condition>);

/// Misses of the conditions in the order of [`told`]: angles in rad, speeds and heights as shares of the entry's.
fn misses(
    setting: &Setting<'_>,
    form: &Form,
    schedule: &HalfFigure,
    flown: &Flown,
) -> [f64; COUNT] {
    let body = &setting.body;
    let [t45, t90, t135, end] = schedule.times_s;
    let heading = |time_s| flown.heading_rad(body, schedule, time_s);
    let pitch_rate = |time_s: f64| {
        let step = 1e-3 * end;
        let pitch = |t| flown.at(body, schedule, t).1.pitch_rad;
        (pitch(time_s + step) - pitch(time_s - step)) / (2.0 * step)
    };
    let (top, at_top) = flown.at(body, schedule, t90);
    let last = flown.state(end);
    let wanted_mps = setting.true_mps(form.speed_90_calibrated_mps, top[state::HEIGHT]);
    let scale_m = setting.speed_mps * setting.speed_mps / 40.0;
    [
        heading(t45) - FRAC_PI_4,
        heading(t90) - FRAC_PI_2,
        heading(t135) - 3.0 * FRAC_PI_4,
        heading(end) - PI,
        pitch_rate(t45) * 0.2 * end,
        at_top.pitch_rad - form.pitch_90_rad,
        pitch_rate(t135) * 0.2 * end,
        (top[state::SPEED] - wanted_mps) / setting.speed_mps,
        (last[state::HEIGHT] - setting.height_m) / scale_m,
        (last[state::SPEED] - setting.speed_mps) / setting.speed_mps,
        last[state::CLIMB],
    ]
}

/// Finds the half figure of a form.
///
/// # Errors
/// When the conditions cannot all be met, or not with the power there is: the nearest miss in words.
pub fn solve(setting: &Setting<'_>, form: &Form) -> Result<Found, Infeasible> {
    let (fit, growth, flown) = search(setting, form);
    let schedule = HalfFigure::from_unknowns(form, &fit.values, growth);
    let flown = flown.or_else(|| fly_even(&setting.body, setting.start(), &schedule));
    if fit.residual_norm < 1e-6 && schedule.power_share > 1.0 {
        return Err(short_of_power(schedule.power_share));
    }
    let Some(flown) = flown.filter(|_| fit.residual_norm < 1e-6) else {
        return Err(closing(NAMES, &fit.residuals, schedule.power_share));
    };
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
    known: &HalfFigure,
) -> Result<Found, Infeasible> {
    let flown = fly_even(&setting.body, setting.start(), known);
    let closes = |flown: &Flown| norm(&misses(setting, form, known, flown)) < CLOSED;
    flown.filter(closes).map_or_else(
        || solve(setting, form),
        |flown| {
            let (unknowns, conditions) = told(setting, form, known, &flown);
            Ok((*known, flown, unknowns, conditions))
        },
    )
}

/// A half whose misses have less than this root sum square closes.
pub(super) const CLOSED: f64 = 1e-8;

pub(super) fn norm(misses: &[f64]) -> f64 {
    misses.iter().map(|miss| miss * miss).sum::<f64>().sqrt()
}

/// A half searched for: rank, fit, growth of the bank, the flight.
type Searched = (f64, least_squares::Fit, f64, Option<Flown>);

/// Shoots from several guesses. Several flights can close; the first gentle one with the power there is is
/// taken, else the one of least rank (see [`rank`]); where none closes, what an easier figure leads to.
fn search(setting: &Setting<'_>, form: &Form) -> (least_squares::Fit, f64, Option<Flown>) {
    let mut best: Option<Searched> = None;
    'search: for growth in GROWTHS {
        // One flight that closes is the best guess for its neighbors with another growth; many starts are for finding the first.
        let found = best.as_ref().filter(|(rank, ..)| *rank < RANK_SHORT_OF_POWER);
        let begin: Vec<[f64; COUNT]> = match found {
            Some((_, fit, ..)) => vec![std::array::from_fn(|i| fit.values[i])],
            None => guesses(setting, form),
        };
        for guess in begin {
            let searched = shoot(setting, form, *growth, &variables(&guess));
            let rank = searched.0;
            if best.as_ref().is_none_or(|(known, ..)| rank < *known) {
                best = Some(searched);
            }
            if rank < STRAIN_GOOD {
                break 'search;
            }
            if rank < RANK_SHORT_OF_POWER {
                break;
            }
        }
    }
    let best = best.expect("at least one start was tried");
    let lead = || GROWTHS.iter().take(2).find_map(|&growth| follow(setting, form, growth));
    let led = if best.0 < RANK_OPEN { None } else { lead() };
    let (_, fit, growth, flown) = led.unwrap_or(best);
    (fit, growth, flown)
}

/// Shoots from one guess.
fn shoot(setting: &Setting<'_>, form: &Form, growth: f64, start: &[Variable]) -> Searched {
    let control = least_squares::Control {
        residual: 1e-9,
        evaluations_max: 80,
        secant: true,
        ..Default::default()
    };
    let kept = LastFlown::default();
    let residuals = |stepping: super::Stepping, u: &[f64], out: &mut [f64]| {
        let schedule = HalfFigure::from_unknowns(form, u, growth);
        match Flown::begun(setting.start()).and_on(&setting.body, &schedule, stepping) {
            Some(flown) => {
                out.copy_from_slice(&misses(setting, form, &schedule, &flown));
                kept.keep(u, flown, (stepping, EVEN));
            }
            None => out.fill(f64::NAN),
        }
    };
    let fit = super::shoot_from(residuals, (EVEN_COARSE, EVEN), start, &control);
    let flown = kept.take(&fit.values);
    let rank = rank(&fit, fit.values[4], |u| strain(setting, form, (u, growth), flown.as_ref()));
    (rank, fit, growth, flown)
}

/// Figures that are less steep and less slow over the top, as shares of the way from the wanted bank to [`EASY_RAD`] and half of that from
/// the wanted speed to the one of the entry: one of them is found where the wanted one is not.
const EASIER: [f64; 4] = [0.25, 0.5, 0.75, 1.0];
const EASY_RAD: f64 = 55.0 * RAD_PER_DEG;

/// From an easier figure to the wanted one, see [`lead`].
fn follow(setting: &Setting<'_>, form: &Form, growth: f64) -> Option<Searched> {
    let entry_mps = setting.calibrated_mps(setting.speed_mps, setting.height_m);
    let eased = |share: f64| {
        let toward = |from: f64, to: f64, share: f64| from + share * (to - from);
        Form {
            bank_90_rad: toward(form.bank_90_rad, form.bank_90_rad.min(EASY_RAD), share),
            speed_90_calibrated_mps: toward(form.speed_90_calibrated_mps, entry_mps, 0.5 * share),
            ..*form
        }
    };
    let first = EASIER.iter().find_map(|&share| {
        let form = eased(share);
        let of = |guess: &[f64; COUNT]| shoot(setting, &form, growth, &variables(guess)).1;
        let closed = |fit: &least_squares::Fit| fit.residual_norm < CLOSED;
        guesses(setting, &form).iter().take(3).map(of).find(closed).map(|fit| (share, fit))
    })?;
    let usual = variables(&known(setting, form));
    let fit = lead(first, &usual, |share, start| shoot(setting, &eased(share), growth, start).1)?;
    let start: Vec<Variable> =
        usual.iter().zip(&fit.values).map(|(v, &at)| Variable { start: at, ..*v }).collect();
    let found = shoot(setting, form, growth, &start);
    (found.0 < RANK_OPEN).then_some(found)
}

/// Ranks of flights that close but need more power than there is begin here, those of flights that do not close further up.
pub(super) const RANK_SHORT_OF_POWER: f64 = 10.0;
const RANK_OPEN: f64 = 100.0;

/// Ranks a solution, less is better: closing with the power there is, by its strain; closing with more power, the
/// least first; not closing, by its miss.
pub(super) fn rank(
    fit: &least_squares::Fit,
    power_share: f64,
    strain: impl Fn(&[f64]) -> f64,
) -> f64 {
    if fit.residual_norm >= CLOSED {
        RANK_OPEN + fit.residual_norm
    } else if power_share > 1.0 {
        RANK_SHORT_OF_POWER + power_share
    } else {
        strain(&fit.values)
    }
}

/// A flight with less strain than this is well off the stall and gentle.
const STRAIN_GOOD: f64 = 0.9;
/// Loads of a gentle figure: over the top light but not floating, and no more pull than that (common practice, no source).
const LOAD_GENTLE: std::ops::RangeInclusive<f64> = 0.4..=2.6;

/// Greatest lift coefficient of a flight as a share of the wing's greatest, raised by how far its loads are from gentle.
fn strain(
    setting: &Setting<'_>,
    form: &Form,
    (unknowns, growth): (&[f64], f64),
    known: Option<&Flown>,
) -> f64 {
    let schedule = HalfFigure::from_unknowns(form, unknowns, growth);
    let again = || fly_even(&setting.body, setting.start(), &schedule);
    let Some(flown) = known.cloned().or_else(again) else { return RANK_OPEN };
    let (mut lift_max, mut harsh) = (0.0_f64, 0.0_f64);
    for i in 0..=100 {
        let time_s = flown.end_s * f64::from(i) / 100.0;
        let (x, resolved) = flown.at(&setting.body, &schedule, time_s);
        let area_n = setting.body.pressure_area_n(x[state::SPEED], x[state::HEIGHT]);
        let load = resolved.lift_coefficient * area_n / setting.body.weight_n();
        lift_max = lift_max.max(resolved.lift_coefficient);
        harsh = harsh.max(LOAD_GENTLE.start() - load).max(load - LOAD_GENTLE.end());
    }
    lift_max / setting.body.airplane.aerodynamics.lift_max + harsh
}

/// Number of unknowns and of conditions.
const COUNT: usize = 11;

/// First guesses: total time by speed and bank, pull at both ends and less at the top.
fn guesses(setting: &Setting<'_>, form: &Form) -> Vec<[f64; COUNT]> {
    let steep = sin(form.bank_90_rad);
    let total = setting.speed_mps / 50.0 * (6.0 + 11.5 / steep);
    let one = |stretch: f64, pull: f64, power: f64| {
        let mean = 0.3 * steep * steep;
        [total * stretch, 0.36, 0.5, 0.64, power, mean, 0.1 * pull, pull, 0.0, 0.1 * pull, 0.0]
    };
    let mut out = vec![known(setting, form)];
    for stretch in [1.0, 1.3, 0.8, 1.6] {
        for pull in [0.35, 0.15, 0.6] {
            for power in [0.6, 0.9] {
                out.push(one(stretch, pull * steep.max(0.4), power));
            }
        }
    }
    out
}

/// What closes on the trainers at a gentle and at a steep bank, and between and beyond them on the line.
fn known(setting: &Setting<'_>, form: &Form) -> [f64; COUNT] {
    const GENTLE: [f64; COUNT] =
        [18.05, 0.3, 0.504, 0.673, 0.66, 0.255, -0.076, 0.59, 0.09, 0.0, 0.0];
    const STEEP: [f64; COUNT] =
        [12.15, 0.235, 0.509, 0.735, 0.85, 0.38, -0.15, 1.15, 0.1, 0.8, -0.09];
    let steep = (form.bank_90_rad / FRAC_PI_2 - 2.0 / 3.0) * 3.0;
    let mut out: [f64; COUNT] = std::array::from_fn(|i| GENTLE[i] + steep * (STEEP[i] - GENTLE[i]));
    out[0] *= setting.speed_mps / 50.0;
    out
}

fn variables(guess: &[f64; COUNT]) -> [Variable; COUNT] {
    let variable =
        |i: usize, low: f64, high: f64, scale: f64| Variable { start: guess[i], low, high, scale };
    [
        variable(0, 4.0, 240.0, guess[0]),
        variable(1, 0.1, 0.6, 0.2),
        variable(2, 0.25, 0.75, 0.2),
        variable(3, 0.4, 0.95, 0.2),
        variable(4, 0.0, POWER_TRIED_MAX, 0.5),
        variable(5, -3.0, 4.0, 0.5),
        variable(6, -3.0, 4.0, 0.5),
        variable(7, -3.0, 4.0, 0.5),
        variable(8, -3.0, 4.0, 0.5),
        variable(9, -3.0, 4.0, 0.5),
        variable(10, -3.0, 4.0, 0.5),
    ]
}

const NAMES: &[&str] = &[
    "heading at the 45-degree point",
    "heading at the 90-degree point",
    "heading at the 135-degree point",
    "heading at 180",
    "nose highest at 45 degrees of turn",
    "pitch at the 90-degree point",
    "nose lowest at 135 degrees of turn",
    "speed at the 90-degree point",
    "height at 180",
    "speed at 180",
    "level path at 180",
];

/// The search may use more power than there is, so that a figure that fails for power alone says how much it needs.
pub(super) const POWER_TRIED_MAX: f64 = 3.0;

/// The figure closes, but not with the power there is.
pub(super) fn short_of_power(power_share: f64) -> Infeasible {
    Infeasible {
        what: "the figure does not return to its entry height and speed with the power there is"
            .into(),
        needed: 100.0 * power_share,
        available: 100.0,
        unit: "% of full power",
        advice: "fly it lighter or lower, or choose a shallower form".into(),
    }
}

/// Why a half figure does not close: the worst miss by name, and the power tried last.
pub(super) fn closing(names: &[&str], residuals: &[f64], power_share: f64) -> Infeasible {
    let worst = residuals.iter().zip(names).max_by(|a, b| a.0.abs().total_cmp(&b.0.abs()));
    let (miss, name) = worst.map_or((f64::NAN, "the form"), |(miss, name)| (miss.abs(), *name));
    let power = 100.0 * power_share;
    Infeasible {
        what: format!(
            "no figure was found that closes: {name} is missed (power tried last {power:.0} %)"
        ),
        needed: 0.0,
        available: if miss.is_finite() { 100.0 * miss } else { 100.0 },
        unit: "% miss",
        advice: "try another entry speed, weight or height, or choose another form".into(),
    }
}

fn told(
    setting: &Setting<'_>,
    form: &Form,
    schedule: &HalfFigure,
    flown: &Flown,
) -> (Vec<Unknown>, Vec<Condition>) {
    let body = &setting.body;
    let [t45, t90, t135, end] = schedule.times_s;
    let degrees = |angle: f64| angle / RAD_PER_DEG;
    let pitch = |time_s| degrees(flown.at(body, schedule, time_s).1.pitch_rad);
    let bank = |time_s| degrees(flown.at(body, schedule, time_s).1.bank_rad);
    let heading = |time_s| degrees(flown.heading_rad(body, schedule, time_s));
    let unknowns = vec![
        Unknown { name: "power", value: 100.0 * schedule.power_share, unit: "% of full" },
        Unknown { name: "highest nose", value: pitch(t45), unit: "deg" },
        Unknown { name: "lowest nose", value: pitch(t135), unit: "deg" },
        Unknown { name: "bank where the nose is highest", value: bank(t45), unit: "deg" },
        Unknown { name: "bank where the nose is lowest", value: bank(t135), unit: "deg" },
        Unknown { name: "time of one half", value: end, unit: "s" },
    ];
    let (top, at_top) = flown.at(body, schedule, t90);
    let last = flown.state(end);
    let condition = |name, wanted, reached, unit| Condition { name, wanted, reached, unit };
    let kt = |mps: f64| mps / MPS_PER_KT;
    let conditions = vec![
        condition("heading where the nose is highest", 45.0, heading(t45), "deg"),
        condition("heading where the bank is steepest", 90.0, heading(t90), "deg"),
        condition("heading where the nose is lowest", 135.0, heading(t135), "deg"),
        condition("heading at the end", 180.0, heading(end), "deg"),
        condition(
            "bank at the 90-degree point",
            degrees(form.bank_90_rad),
            degrees(at_top.bank_rad),
            "deg",
        ),
        condition(
            "pitch at the 90-degree point",
            degrees(form.pitch_90_rad),
            degrees(at_top.pitch_rad),
            "deg",
        ),
        condition(
            "calibrated airspeed at the 90-degree point",
            kt(form.speed_90_calibrated_mps),
            kt(setting.calibrated_mps(top[state::SPEED], top[state::HEIGHT])),
            "kt",
        ),
        condition("true airspeed at the end", kt(setting.speed_mps), kt(last[state::SPEED]), "kt"),
        condition(
            "height at the end against entry",
            0.0,
            last[state::HEIGHT] - setting.height_m,
            "m",
        ),
        condition("climb angle at the end", 0.0, degrees(last[state::CLIMB]), "deg"),
    ];
    (unknowns, conditions)
}
