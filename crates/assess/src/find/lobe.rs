//! Candidate pieces: stretches of turning one way between two moments of wings level.

use crate::trace::{STEP_S, Trace, smooth};
use base::factors::{M_PER_FT, MPS_PER_KT, STANDARD_GRAVITY_MPS2};
use base::numerics::statistics::{quantile, robust_sigma};
use maneuver::Direction;

/// Wings are taken as level below this bank, degrees.
pub(super) const LEVEL_BANK_DEG: f64 = 5.0;
/// The same way again within this time is one turn with an unsteady hand, s.
const PAUSE_S: f64 = 2.0;
/// A piece that turns or banks less than this is no turn worth a look, degrees.
const TURN_LEAST_DEG: f64 = 60.0;
const BANK_LEAST_DEG: f64 = 10.0;
/// A wing that cruises at a lift coefficient of 0.25 stalls near 1.6; more than this over the entry no wing gives.
const LIFT_RATIO_MOST: f64 = 8.0;
/// A bank known no better than this says nothing about the figure, degrees.
const BANK_SIGMA_MOST_DEG: f64 = 10.0;
/// Longest look back for the first movement before the bank passes the level mark, s.
const ROLL_IN_S: f64 = 3.0;
const PULL_S: f64 = 8.0;
/// A nose raised by less than this before the roll is no pull, degrees.
const PULL_LEAST_DEG: f64 = 3.0;
/// A path that descends more steeply than this at the end of a turn is a dive, degrees: in a descending turn it is less.
const DIVE_LEAST_DEG: f64 = 8.0;
/// How long a pull may take to show, s.
const PULL_BEGINS_S: f64 = 1.5;
/// Movement that counts as begun, degrees a second.
const ROLL_BEGUN_DPS: f64 = 0.6;
const PULL_BEGUN_DPS: f64 = 0.8;
/// A roll faster than so many times the usual one of straight flight is meant; so is one of this share of the fastest of the
/// roll-in.
const ROLL_MEANT_SPREADS: f64 = 3.0;
const ROLL_OWN_SHARE: f64 = 0.4;
/// Longest wait for wings level after the turn, s.
const SETTLE_S: f64 = 12.0;

/// One stretch of turning; indices into the trace.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Lobe {
    pub(super) direction: Direction,
    /// First movement: of roll or of a pull before it.
    pub(super) start: usize,
    /// Bank first beyond the level mark.
    pub(super) first: usize,
    /// Bank last beyond the level mark.
    pub(super) last: usize,
}

/// Signals smoothed for finding cuts.
pub(super) struct Signals {
    pub(super) bank: Vec<f64>,
    pitch: Vec<f64>,
    /// Pitch as recorded where it was, else as found.
    pub(super) nose: Vec<f64>,
    /// Calibrated airspeed, kt.
    pub(super) speed: Vec<f64>,
    /// Climb, ft/min, and energy height, ft.
    pub(super) climb_ftpm: Vec<f64>,
    pub(super) energy_ft: Vec<f64>,
    /// Roll that straight flight of this recording shows without meaning it, degrees a second.
    roll_unmeant_dps: f64,
}

impl Signals {
    pub(super) fn new(trace: &Trace) -> Self {
        let half = (0.5 / STEP_S) as usize;
        let pitch = trace.pitch_change_deg.as_ref().unwrap_or(&trace.path_deg);
        let bank = smooth(&trace.bank_deg.value, half);
        let straight = |i: &usize| trace.usable[*i] && bank[*i].abs() < LEVEL_BANK_DEG;
        let rates: Vec<f64> =
            (0..bank.len()).filter(straight).map(|i| Self::rate(&bank, i)).collect();
        let roll_unmeant_dps = ROLL_MEANT_SPREADS * robust_sigma(&rates).unwrap_or(0.0);
        let height = smooth(&trace.height_ft.value, half);
        let climb_ftpm = (0..height.len()).map(|i| 60.0 * Self::rate(&height, i)).collect();
        let speed = smooth(&trace.cas_kt.value, half);
        let nose = trace.recorded.as_ref().map_or(&pitch.value, |recorded| &recorded.pitch_deg);
        Self {
            bank,
            pitch: smooth(&pitch.value, half),
            nose: smooth(nose, 1),
            speed,
            climb_ftpm,
            energy_ft: energy(trace, &height),
            roll_unmeant_dps,
        }
    }
    /// Where the nose begins to rise for good to a high place: the last from which it had no more than a quarter of the rise.
    pub(super) fn pitch_rises_from(&self, start: usize, highest: usize) -> usize {
        let quarter = self.nose[start] + 0.25 * (self.nose[highest] - self.nose[start]);
        let low = |i: &usize| self.nose[*i] <= quarter;
        (start..highest).rev().find(low).unwrap_or(start)
    }
    fn rate(values: &[f64], i: usize) -> f64 {
        let (from, to) = (i.saturating_sub(1), (i + 1).min(values.len() - 1));
        (values[to] - values[from]) / (STEP_S * (to - from).max(1) as f64)
    }
}

/// Height that the speed is worth added to the height, ft.
fn energy(trace: &Trace, height_ft: &[f64]) -> Vec<f64> {
    let speed = &trace.tas_kt.as_ref().unwrap_or(&trace.cas_kt).value;
    let worth = |kt: f64| {
        let mps = kt * MPS_PER_KT;
        0.5 * mps * mps / STANDARD_GRAVITY_MPS2 / M_PER_FT
    };
    let all: Vec<f64> = height_ft.iter().zip(speed).map(|(h, kt)| h + worth(*kt)).collect();
    smooth(&all, (0.5 / STEP_S) as usize)
}

/// All lobes in time order, and how many were left out because no airplane flies so.
pub(super) fn lobes(trace: &Trace, signals: &Signals) -> (Vec<Lobe>, usize) {
    let runs = merge(runs(trace, signals));
    let mut lobes: Vec<Lobe> = Vec::new();
    for (direction, first, last) in runs {
        let after = lobes.last().map_or(0, |lobe| lobe.last);
        let free = (after, out_of_dive(trace, after, first));
        let lobe = Lobe { direction, start: start(signals, direction, first, free), first, last };
        lobes.push(lobe);
    }
    lobes.retain(|lobe| worth_a_look(trace, lobe));
    let before = lobes.len();
    lobes.retain(|lobe| flyable(trace, lobe));
    let left_out = before - lobes.len();
    (lobes, left_out)
}

/// Runs beyond the level mark: way, first, last.
fn runs(trace: &Trace, signals: &Signals) -> Vec<(Direction, usize, usize)> {
    let mut runs: Vec<(Direction, usize, usize)> = Vec::new();
    let mut open = false;
    for (i, &bank) in signals.bank.iter().enumerate() {
        let way = match bank {
            _ if !trace.usable[i] => None,
            b if b > LEVEL_BANK_DEG => Some(Direction::Right),
            b if b < -LEVEL_BANK_DEG => Some(Direction::Left),
            _ => None,
        };
        match (way, runs.last_mut()) {
            (Some(way), Some(run)) if open && run.0 == way => run.2 = i,
            (Some(way), _) => runs.push((way, i, i)),
            (None, _) => {}
        }
        open = way.is_some();
    }
    runs
}

/// The same way again after a short pause is the same turn.
fn merge(runs: Vec<(Direction, usize, usize)>) -> Vec<(Direction, usize, usize)> {
    let pause = (PAUSE_S / STEP_S) as usize;
    let mut merged: Vec<(Direction, usize, usize)> = Vec::new();
    for run in runs {
        match merged.last_mut() {
            Some(last) if last.0 == run.0 && run.1 - last.2 <= pause => last.2 = run.2,
            _ => merged.push(run),
        }
    }
    merged
}

fn worth_a_look(trace: &Trace, lobe: &Lobe) -> bool {
    let heading = &trace.heading_deg.value;
    let turned = lobe.direction.sign() * (heading[lobe.last] - heading[lobe.first]);
    let steepest = (lobe.first..=lobe.last)
        .map(|i| lobe.direction.sign() * trace.bank_deg.value[i])
        .fold(0.0, f64::max);
    turned >= TURN_LEAST_DEG && steepest >= BANK_LEAST_DEG
}

/// Whether a wing can do this: lift coefficient over that of the entry, and bank known well enough to look at. A receiver
/// with wrong times or jumping positions makes turns that no wing can fly.
fn flyable(trace: &Trace, lobe: &Lobe) -> bool {
    let speed = &trace.cas_kt.value;
    let load = |i: usize| trace.load_factor.as_ref().map_or(1.0, |line| line.value[i].max(0.3));
    let coefficient = |i: usize| load(i) / (speed[i] * speed[i]).max(1.0);
    let entry = coefficient(lobe.start);
    let ratios: Vec<f64> = (lobe.first..=lobe.last).map(|i| coefficient(i) / entry).collect();
    let sigmas = &trace.bank_deg.sigma[lobe.first..=lobe.last];
    let most = quantile(&ratios, 0.9).unwrap_or(f64::INFINITY);
    let sigma = sigmas.iter().sum::<f64>() / sigmas.len() as f64;
    most <= LIFT_RATIO_MOST && sigma <= BANK_SIGMA_MOST_DEG
}

/// Where a pull may be that of the turn that begins at `first`: from the end of the turn before, or, where that ended in a dive, from
/// where the path no longer descends. What comes before is the pull-out of the dive, however evenly the nose goes on rising.
fn out_of_dive(trace: &Trace, after: usize, first: usize) -> usize {
    let path = &trace.path_deg.value;
    if path[after] > -DIVE_LEAST_DEG {
        return after;
    }
    (after..first).find(|i| path[*i] >= 0.0).unwrap_or(first)
}

/// First movement: walk back while the roll goes on; a pull with the wings still level comes before it. Neither comes before what it is
/// free from: the roll, and the pull.
fn start(
    signals: &Signals,
    direction: Direction,
    first: usize,
    (after, level): (usize, usize),
) -> usize {
    let sign = direction.sign();
    let walk = |from: usize, span_s: f64, moving: &dyn Fn(usize) -> bool| {
        let earliest = from.saturating_sub((span_s / STEP_S) as usize).max(level);
        let mut i = from;
        while i > earliest && moving(i - 1) {
            i -= 1;
        }
        i
    };
    let rolled = roll_begun(signals, sign, first, after);
    let earliest = first.saturating_sub((PULL_S / STEP_S) as usize).max(level);
    let lowest = signals.pitch[earliest..=first].iter().copied().fold(f64::INFINITY, f64::min);
    let rise = signals.pitch[first] - lowest;
    if rise < PULL_LEAST_DEG {
        return rolled;
    }
    // The last moment before the nose had risen by a tenth of it, and from there back to where it began to rise.
    let begun = |i: &usize| signals.pitch[*i] <= lowest + 0.1 * rise;
    let low = (earliest..=first).rev().find(begun).unwrap_or(first);
    let pulling = |i: usize| Signals::rate(&signals.pitch, i) > PULL_BEGUN_DPS;
    walk(low, PULL_BEGINS_S, &pulling).min(rolled)
}

/// First movement of the roll that takes the bank past the level mark at `first`: where it rolls faster than straight flight does
/// without meaning it, and before that for as long as it took to come to that rate.
fn roll_begun(signals: &Signals, sign: f64, first: usize, after: usize) -> usize {
    let earliest = first.saturating_sub((ROLL_IN_S / STEP_S) as usize).max(after);
    let roll = |i: usize| sign * Signals::rate(&signals.bank, i);
    let fastest = (earliest..=first).map(roll).fold(0.0, f64::max);
    // A slow hand may roll in no faster than another one wanders: then its own roll is the measure.
    let meant_dps = signals.roll_unmeant_dps.min(ROLL_OWN_SHARE * fastest).max(ROLL_BEGUN_DPS);
    let mut seen = first;
    while seen > earliest && roll(seen - 1) > meant_dps {
        seen -= 1;
    }
    let quickening = roll((seen + 1).min(signals.bank.len() - 1)) - roll(seen);
    let sooner = quickening > 0.0 && roll(seen) > 0.5 * quickening && seen > earliest;
    if sooner { seen - 1 } else { seen }
}

/// Wings level: bank within `level_deg` from here on for `hold_s`; the end of that time, or the end of the wait.
pub(super) fn settled(
    trace: &Trace,
    signals: &Signals,
    last: usize,
    level_deg: f64,
    hold_s: f64,
) -> usize {
    let hold = (hold_s / STEP_S) as usize;
    let limit = (last + (SETTLE_S / STEP_S) as usize).min(trace.len() - 1);
    let mut since = None;
    for i in last..=limit {
        match (signals.bank[i].abs() <= level_deg, since) {
            (true, None) => since = Some(i),
            (true, Some(from)) if i - from >= hold => return i,
            (true, Some(_)) => {}
            (false, _) => since = None,
        }
    }
    (last + hold + 1).min(limit)
}
