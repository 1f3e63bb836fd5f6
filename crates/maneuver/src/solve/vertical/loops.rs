//! Loops: a pull through 360 degrees of pitch that ends at entry height.
//!
//! First half: the load at the bottom is found that brings the wanted speed to the top (or, when the entry speed is open, the
//! entry speed that does at a usual load). Second half: the load on the way down is found that ends at entry height, and the
//! power that ends at entry speed. A bracketed root for the first, least squares for the second.

use base::factors::{M_PER_FT, MPS_PER_KT, RAD_PER_DEG, STANDARD_GRAVITY_MPS2};
use base::numerics::least_squares::{self, Variable};
use base::numerics::root;
use flight::point_mass::vertical::state;
use std::f64::consts::{PI, TAU};

use super::{Fineness, Flown, Leg, Load, height_scale_m, root_of};
use crate::reference::{Condition, Infeasible, Unknown};
use crate::solve::Setting;

/// What the form asks.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Form {
    /// How the load goes.
    pub shape: Shape,
    /// Speed at the top, calibrated, m/s.
    pub speed_top_calibrated_mps: f64,
}

/// How the load goes round.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Shape {
    /// Eased over the top to this load, g.
    Relaxed {
        /// Load over the top, g.
        top_g: f64,
    },
    /// The same load all the way, as far as the lift of the wing goes.
    Constant,
    /// The same radius all the way; the load over the top is given, g.
    Round {
        /// Load over the top, g.
        top_g: f64,
    },
}

/// Time of the pull's beginning, s: steady and progressive, never a jerk (TM-1-210, CAA-1939).
pub const ONSET_S: f64 = 1.2;
/// Time of easing off at the end, s.
pub const EASE_S: f64 = 0.8;
/// Loads tried for the pull, g.
pub const PULL_TRIED_G: (f64, f64) = (2.5, 9.0);

/// The loop found, what was found and how well the conditions hold.
pub type Found<'a> = (Flown<'a>, Vec<Unknown>, Vec<Condition>);

impl Shape {
    /// The law of load with this much at the bottom (or this radius's worth of it at a speed).
    #[must_use]
    pub fn law(&self, bottom_g: f64, speed_mps: f64) -> Load {
        match *self {
            Self::Relaxed { top_g } => Load::Pull { most_g: bottom_g, top_g },
            Self::Constant => Load::Pull { most_g: bottom_g, top_g: bottom_g },
            Self::Round { .. } => Load::Round {
                radius_m: speed_mps * speed_mps / (STANDARD_GRAVITY_MPS2 * (bottom_g - 1.0)),
            },
        }
    }
}

/// First half: from level, with the load there, to the top with this load at the bottom.
#[must_use]
pub fn rising<'a>(
    setting: &'a Setting<'a>,
    shape: &Shape,
    (first_g, bottom_g): (f64, f64),
    fineness: Fineness,
) -> Option<Flown<'a>> {
    let leg = Leg::pull(shape.law(bottom_g, setting.speed_mps), ONSET_S, 1.0);
    Flown::begin_under(setting, 1.0, first_g).stepped(fineness).until_pitched(leg, PI)
}

/// The first half whose pull brings the wanted speed (or, where the radius is kept, the wanted load) to the top, and that pull, g.
///
/// A flight that would be faster over the top even with the gentlest pull takes that.
///
/// # Errors
/// When no pull does: the speed that is missing.
pub fn over_the_top<'a>(
    setting: &'a Setting<'a>,
    form: &Form,
) -> Result<(Flown<'a>, f64), Infeasible> {
    over_the_top_under(setting, form, 1.0)
}

/// [`over_the_top`] from level with a load already on.
///
/// # Errors
/// As there.
pub fn over_the_top_under<'a>(
    setting: &'a Setting<'a>,
    form: &Form,
    first_g: f64,
) -> Result<(Flown<'a>, f64), Infeasible> {
    let rising = |fineness: Fineness, bottom_g: f64| {
        rising(setting, &form.shape, (first_g, bottom_g), fineness)
    };
    let miss = |fineness: Fineness, bottom_g: f64| {
        rising(fineness, bottom_g).map_or(-1.0, |flown| match form.shape {
            // Slower than the stall at the top the load says nothing of the radius.
            Shape::Round { top_g }
                if top_calibrated_mps(&flown) > setting.stall_calibrated_mps() =>
            {
                flown.load_factor - top_g
            }
            Shape::Round { .. } => -1.0,
            Shape::Relaxed { .. } | Shape::Constant => {
                top_calibrated_mps(&flown) / form.speed_top_calibrated_mps - 1.0
            }
        })
    };
    let rising = |bottom_g: f64| rising(Fineness::Told, bottom_g);
    let told = |bottom_g: f64| miss(Fineness::Told, bottom_g);
    let near = bracket(&|bottom_g| miss(Fineness::Coarse, bottom_g)).ok();
    let found = near.and_then(|(below, reached_g)| root_of(miss, (below?, reached_g), 1e-10).ok());
    let bottom_g = match found {
        Some(bottom_g) => bottom_g,
        // What coarse flights miss may be reached by a hair.
        None => match bracket(&told)
            .map_err(|firmest_g| too_slow(setting, form, firmest_g, rising(firmest_g).as_ref()))?
        {
            (None, reached_g) => reached_g,
            (Some(below), reached_g) => root::find(told, below, reached_g, 1e-10)
                .map_err(|_| too_slow(setting, form, reached_g, None))?,
        },
    };
    let flown = rising(bottom_g).ok_or_else(|| too_slow(setting, form, bottom_g, None))?;
    Ok((flown, bottom_g))
}

/// The gentlest pull that is tried and is enough, with one that is not quite; no lower one when the gentlest of all is enough.
/// Fails with the best pull: beyond it, drag costs more than shortness gains.
fn bracket(miss: &impl Fn(f64) -> f64) -> Result<(Option<f64>, f64), f64> {
    const STEP_G: f64 = 0.6;
    let (low, high) = PULL_TRIED_G;
    let (mut at, mut below) = (low, None);
    let mut best = (low, f64::NEG_INFINITY);
    while at <= high {
        let value = miss(at);
        if value >= 0.0 {
            return Ok((below, at));
        }
        if value > best.1 {
            best = (at, value);
        }
        below = Some(at);
        at += STEP_G;
    }
    Err(best.0)
}

fn top_calibrated_mps(flown: &Flown<'_>) -> f64 {
    let x = &flown.state;
    flown.setting().calibrated_mps(x[state::SPEED], x[state::HEIGHT])
}

fn too_slow(
    setting: &Setting<'_>,
    form: &Form,
    bottom_g: f64,
    reached: Option<&Flown<'_>>,
) -> Infeasible {
    let entry_kt = setting.calibrated_mps(setting.speed_mps, setting.height_m) / MPS_PER_KT;
    Infeasible {
        what: format!(
            "speed over the top from {entry_kt:.0} kt calibrated, at best with a pull of {bottom_g:.1} g"
        ),
        needed: form.speed_top_calibrated_mps / MPS_PER_KT,
        available: reached.map_or(0.0, |flown| top_calibrated_mps(flown) / MPS_PER_KT),
        unit: "kt calibrated",
        advice: "enter faster, lighter or lower".into(),
    }
}

/// Finds the loop of a form.
///
/// # Errors
/// When it does not go over the top or does not close: what is missing.
pub fn solve<'a>(setting: &'a Setting<'a>, form: &Form) -> Result<Found<'a>, Infeasible> {
    let (top, up_g) = over_the_top(setting, form)?;
    let falling_by = |fineness: Fineness, down_g: f64, power: f64| {
        let pull = Leg::pull(form.shape.law(down_g, setting.speed_mps), ONSET_S, power);
        top.clone().stepped(fineness).pull_onto(pull, Leg::hold(EASE_S, power), TAU)
    };
    let falling = |down_g: f64, power: f64| falling_by(Fineness::Told, down_g, power);
    let height = |flown: &Flown<'_>| {
        (flown.state[state::HEIGHT] - setting.height_m) / height_scale_m(setting)
    };
    let not_closing = |miss: f64| Infeasible {
        what: "the loop does not end at entry height".into(),
        needed: 0.0,
        available: miss * height_scale_m(setting) / M_PER_FT,
        unit: "ft from entry",
        advice: "try another entry speed, or less mass".into(),
    };
    // At full power first: most loops of light airplanes lose speed even so.
    let miss_by = |fineness: Fineness, down_g: f64| {
        falling_by(fineness, down_g, 1.0).map_or(-1.0, |flown| height(&flown))
    };
    let miss = |down_g: f64| miss_by(Fineness::Told, down_g);
    let firm_g = [up_g, up_g + 0.5, up_g + 1.5, PULL_TRIED_G.1]
        .into_iter()
        .find(|down_g| miss(*down_g) >= 0.0)
        .ok_or_else(|| not_closing(miss(PULL_TRIED_G.1)))?;
    let down_g = root_of(miss_by, (PULL_LEAST_G, firm_g), 1e-10)
        .map_err(|_| not_closing(miss(PULL_LEAST_G)))?;
    let full = falling(down_g, 1.0).ok_or_else(|| not_closing(f64::NAN))?;
    let faster = full.state[state::SPEED] - setting.speed_mps;
    let (flown, down_g, power) = if faster > 0.0 {
        throttled(setting, &falling, &height, down_g).ok_or_else(|| not_closing(f64::NAN))?
    } else {
        (full, down_g, 1.0)
    };
    let (unknowns, conditions) = told(&flown, &top, [up_g, down_g, power], form);
    Ok((flown, unknowns, conditions))
}

/// Least pull tried on the way down, g.
const PULL_LEAST_G: f64 = 1.6;

/// The pull on the way down and the power that end at entry height and speed; the power moves from the top on.
fn throttled<'a>(
    setting: &Setting<'_>,
    falling: &impl Fn(f64, f64) -> Option<Flown<'a>>,
    height: &impl Fn(&Flown<'_>) -> f64,
    down_g: f64,
) -> Option<(Flown<'a>, f64, f64)> {
    let residuals = |u: &[f64], out: &mut [f64]| match falling(u[0], u[1]) {
        Some(flown) => {
            out[0] = height(&flown);
            out[1] = flown.state[state::SPEED] / setting.speed_mps - 1.0;
        }
        None => out.fill(f64::NAN),
    };
    let variables = [
        Variable { start: down_g, low: PULL_LEAST_G, high: PULL_TRIED_G.1, scale: 1.0 },
        Variable { start: 0.7, low: 0.0, high: 1.0, scale: 0.5 },
    ];
    let control = least_squares::Control {
        residual: 1e-9,
        evaluations_max: 40,
        difference: 1e-4,
        ..Default::default()
    };
    let fit = least_squares::minimize(residuals, &variables, 2, &control);
    let flown = falling(fit.values[0], fit.values[1])?;
    (fit.residual_norm < 1e-6).then_some((flown, fit.values[0], fit.values[1]))
}

fn told(
    flown: &Flown<'_>,
    top: &Flown<'_>,
    [up_g, down_g, power]: [f64; 3],
    form: &Form,
) -> (Vec<Unknown>, Vec<Condition>) {
    let setting = flown.setting();
    let x = &flown.state;
    let lost_mps = setting.speed_mps - x[state::SPEED];
    let top_kt = top_calibrated_mps(top) / MPS_PER_KT;
    let entry_kt = setting.calibrated_mps(setting.speed_mps, setting.height_m) / MPS_PER_KT;
    let unknown = |name, value, unit| Unknown { name, value, unit };
    let unknowns = vec![
        unknown("load in the pull up", up_g, "g"),
        unknown("load in the pull out", down_g, "g"),
        unknown("speed over the top as a share of entry", 100.0 * top_kt / entry_kt, "%"),
        unknown("height gained to the top", top.state[state::HEIGHT] - setting.height_m, "m"),
        unknown("power on the way down", 100.0 * power, "% of full"),
        unknown("speed lost round the loop", lost_mps / MPS_PER_KT, "kt"),
        unknown("time of the loop", flown.time_s, "s"),
    ];
    let condition = |name, wanted, reached, unit| Condition { name, wanted, reached, unit };
    let mut conditions = vec![
        condition("pitch travelled", 360.0, x[state::PITCHED] / RAD_PER_DEG, "deg"),
        condition("height at the end against entry", 0.0, x[state::HEIGHT] - setting.height_m, "m"),
        condition("climb angle at the end", 0.0, super::climb_rad(x) / RAD_PER_DEG, "deg"),
    ];
    // The gentlest pull of all may be faster over the top than asked.
    let found = up_g > PULL_TRIED_G.0;
    conditions.extend(found.then(|| match form.shape {
        Shape::Round { top_g } => condition("load over the top", top_g, top.load_factor, "g"),
        Shape::Relaxed { .. } | Shape::Constant => condition(
            "calibrated airspeed over the top",
            form.speed_top_calibrated_mps / MPS_PER_KT,
            top_kt,
            "kt",
        ),
    }));
    (unknowns, conditions)
}
