//! Level turn through a whole number of degrees: roll in, hold, roll out so that the heading closes.
//!
//! The power goes with the bank, from what holds the speed level to the power of the turn and back, as a hand adds it in the roll-in
//! and takes it off in the roll-out. Two unknowns: the time the bank is held and the power of the turn that brings the entry
//! speed back at the end. Where full power is not enough it is flown with full power in the turn, the speed bleeds, and the
//! condition says by how much.

use base::factors::{MPS_PER_KT, RAD_PER_DEG};
use base::numerics::least_squares::{self, Variable};
use flight::point_mass::{LevelPower, State, level_power, state};

use super::{Flown, LastFlown, Schedule, Setting, Steer, fly};
use crate::reference::{Condition, Infeasible, Unknown};

/// The schedule with its unknowns filled in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LevelTurn {
    /// Bank held, rad.
    pub bank_rad: f64,
    /// Time of the roll-in and of the roll-out, s.
    pub roll_s: f64,
    /// Time the bank is held, s.
    pub hold_s: f64,
    /// Share of full power with wings level, at both ends.
    pub power_level_share: f64,
    /// Share of full power while the bank is held.
    pub power_turn_share: f64,
}

impl LevelTurn {
    fn bank_rad(&self, time_s: f64) -> f64 {
        let rolled_in = time_s / self.roll_s;
        let rolled_out = (2.0 * self.roll_s + self.hold_s - time_s) / self.roll_s;
        self.bank_rad * rolled_in.min(rolled_out).clamp(0.0, 1.0)
    }
}

impl Schedule for LevelTurn {
    fn steer(&self, time_s: f64, _: f64) -> Steer {
        Steer::Level { bank_rad: self.bank_rad(time_s) }
    }
    fn power_share(&self) -> f64 {
        self.power_level_share
    }
    fn power_share_in(&self, time_s: f64, _: &State) -> f64 {
        let share = self.bank_rad(time_s) / self.bank_rad;
        self.power_level_share + (self.power_turn_share - self.power_level_share) * share
    }
    fn corners(&self) -> Vec<f64> {
        vec![self.roll_s, self.roll_s + self.hold_s, 2.0 * self.roll_s + self.hold_s]
    }
}

/// A turn whose misses have less than this root sum square closes.
const CLOSED: f64 = 1e-7;

/// The schedule found, how it flies, what was found and how well the conditions hold.
pub type Found = (LevelTurn, Flown, Vec<Unknown>, Vec<Condition>);

/// Finds the level turn through `turn_rad` of heading at this bank, rolling at this rate.
///
/// # Errors
/// When the speed is lost before the turn is complete, or no time of the bank and no power bring it back to heading and entry
/// speed: what the nearest flight misses. (Too little power to hold the speed is no error, nor is a stall here: the first is told
/// in the conditions, the second refused by [`crate::ReferenceFlight::assemble`].)
pub fn solve(
    setting: &Setting<'_>,
    bank_rad: f64,
    roll_s: f64,
    turn_rad: f64,
) -> Result<Found, Infeasible> {
    let steady = level_power(
        &setting.body,
        1.0 / base::math::cos(bank_rad),
        setting.speed_mps,
        setting.height_m,
    );
    let enough = steady.held();
    let rate = flight::envelope::level_turn_rate_radps(setting.speed_mps, bank_rad);
    let hold_guess = (turn_rad / rate - roll_s).max(0.5);
    let power_level_share = setting.power_to_hold(1.0).min(1.0);
    // Power of the turn is the second unknown; where it is not, the turn is flown with all there is.
    let schedule = |unknowns: &[f64]| LevelTurn {
        bank_rad,
        roll_s,
        hold_s: unknowns[0],
        power_level_share,
        power_turn_share: unknowns.get(1).copied().unwrap_or(1.0),
    };
    let kept = LastFlown::default();
    let residuals = |stepping: super::Stepping, unknowns: &[f64], out: &mut [f64]| {
        let schedule = schedule(unknowns);
        let Some(flown) = Flown::begun(setting.start()).and_on(&setting.body, &schedule, stepping)
        else {
            out.fill(f64::NAN);
            return;
        };
        out[0] = flown.heading_rad(&setting.body, &schedule, flown.end_s) - turn_rad;
        if let Some(miss) = out.get_mut(1) {
            *miss = flown.state(flown.end_s)[state::SPEED] / setting.speed_mps - 1.0;
        }
        kept.keep(unknowns, flown, (stepping, super::FINE));
    };
    let variables = [
        Variable { start: hold_guess, low: 0.1, high: 400.0, scale: hold_guess },
        Variable { start: enough.unwrap_or(1.0), low: 0.0, high: 1.0, scale: 0.1 },
    ];
    let control = least_squares::Control { residual: 1e-11, secant: true, ..Default::default() };
    let search = |count: usize| super::shoot(residuals, super::FINE, &variables[..count], &control);
    // What full power gains in the rolls may make up for what it is short of in the turn: where it holds less than the speed it is tried
    // first, and settles it where the speed is less at the end.
    let full = enough.is_none().then(|| search(1)).filter(|fit| fit.residual_norm < CLOSED);
    let slower = |fit: &least_squares::Fit| {
        let flown = fly(&setting.body, setting.start(), &schedule(&fit.values));
        flown.is_some_and(|flown| super::state_at_end(&flown).0 < setting.speed_mps)
    };
    let fit = full.filter(slower).unwrap_or_else(|| {
        let fit = search(2);
        if fit.residual_norm < CLOSED { fit } else { search(1) }
    });
    let schedule = schedule(&fit.values);
    let again = || fly(&setting.body, setting.start(), &schedule);
    let flown = kept.take(&fit.values).or_else(again).filter(|_| fit.residual_norm < CLOSED);
    let Some(flown) = flown else { return Err(not_found(setting, &schedule, turn_rad)) };
    let (unknowns, conditions) = told(setting, &schedule, &flown, (turn_rad, steady));
    Ok((schedule, flown, unknowns, conditions))
}

/// What the nearest flight does not meet, with what it reaches.
fn not_found(setting: &Setting<'_>, schedule: &LevelTurn, turn_rad: f64) -> Infeasible {
    let what = format!(
        "a level turn at {:.0} degrees of bank is not completed",
        schedule.bank_rad / RAD_PER_DEG
    );
    let advice = "enter faster, lower or lighter, or bank less".to_string();
    let entry = setting.speed_mps / MPS_PER_KT;
    let Some(flown) = fly(&setting.body, setting.start(), schedule) else {
        let what = format!("{what}: the speed is lost");
        return Infeasible { what, needed: entry, available: 0.0, unit: "kt true", advice };
    };
    let turned = flown.heading_rad(&setting.body, schedule, flown.end_s);
    let (speed_mps, _) = super::state_at_end(&flown);
    if (turned - turn_rad).abs() > (speed_mps / setting.speed_mps - 1.0).abs() {
        let what = format!("{what}: heading at the end");
        let (needed, available) = (turn_rad / RAD_PER_DEG, turned / RAD_PER_DEG);
        return Infeasible { what, needed, available, unit: "deg", advice };
    }
    let what = format!("{what}: speed at the end");
    let available = speed_mps / MPS_PER_KT;
    Infeasible { what, needed: entry, available, unit: "kt true", advice }
}

fn told(
    setting: &Setting<'_>,
    schedule: &LevelTurn,
    flown: &Flown,
    (turn_rad, steady): (f64, LevelPower),
) -> (Vec<Unknown>, Vec<Condition>) {
    let heading = |time_s| flown.heading_rad(&setting.body, schedule, time_s) / RAD_PER_DEG;
    let lead = heading(flown.end_s) - heading(flown.end_s - schedule.roll_s);
    let mut unknowns = vec![Unknown {
        name: "power",
        value: 100.0 * schedule.power_turn_share,
        unit: "% of full",
    }];
    // Where no power holds the speed there is nothing to tell; the condition on the speed says what is missed.
    unknowns.extend(steady.share().map(|share| Unknown {
        name: "power to hold speed in the turn",
        value: 100.0 * share,
        unit: "% of full",
    }));
    unknowns.extend([
        Unknown { name: "roll-out begun before the heading", value: lead, unit: "deg" },
        Unknown { name: "time", value: flown.end_s, unit: "s" },
    ]);
    let speed_end = flown.state(flown.end_s)[state::SPEED];
    let conditions = vec![
        Condition {
            name: "heading at the end",
            wanted: turn_rad / RAD_PER_DEG,
            reached: heading(flown.end_s),
            unit: "deg",
        },
        Condition {
            name: "true airspeed at the end",
            wanted: setting.speed_mps / MPS_PER_KT,
            reached: speed_end / MPS_PER_KT,
            unit: "kt",
        },
        Condition {
            name: "height at the end against entry",
            wanted: 0.0,
            reached: flown.state(flown.end_s)[state::HEIGHT] - setting.height_m,
            unit: "m",
        },
    ];
    (unknowns, conditions)
}
