//! Lows of the airspeed and what they look like.

use super::super::{Scene, Signals};
use super::N;
use crate::trace::{STEP_S, Trace};
use base::math::{hypot, ln};

/// A low is the least speed within so many seconds on both sides.
const APART_S: f64 = 6.0;
/// Longest slowing before it, s, and a pause in it that is none.
const SLOWING_S: f64 = 60.0;
const PAUSE_S: f64 = 3.0;
/// Slower than this share of the speed before, or it is no low worth a look.
const LOW_SHARE: f64 = 0.88;
/// A fall of speed that counts as begun, kt/s.
const SLOWING_KTPS: f64 = 0.35;
/// Longest wait for the sink to be stopped, s.
const RECOVERY_S: f64 = 25.0;
/// The entry is seen for so long before, s.
const ENTRY_S: f64 = 2.0;
/// Sink that counts as stopped, ft/min.
const SINK_STOPPED_FTPM: f64 = -60.0;
/// The mass of the day is not known: half a twelfth in the speed, and the figure of the handbook is one of a new airplane.
const STALL_DOUBT: f64 = 0.06;
/// Energy height is known no better than its slope of so much, hundreds of ft/min.
const ENERGY_DOUBT: f64 = 1.0;

/// A low of the airspeed; indices into the trace.
#[derive(Debug, Clone)]
pub(super) struct Low {
    /// Speed begins to fall, or the nose to rise before that.
    pub(super) start: usize,
    /// Nose begins to rise for good.
    pub(super) slowing: usize,
    /// Nose highest before it falls.
    pub(super) highest: usize,
    /// Speed least.
    pub(super) least: usize,
    /// Nose lowest after.
    pub(super) lowest: usize,
    /// Sink stopped.
    pub(super) end: usize,
    /// Mean bank over the last seconds before the break, right positive, degrees.
    pub(super) bank_deg: f64,
    pub(super) value: [f64; N],
    pub(super) sigma: [f64; N],
}

fn steps(seconds: f64) -> usize {
    (seconds / STEP_S) as usize
}

/// All lows in time order. Each looks at a bounded stretch around it.
pub(super) fn lows(scene: &Scene<'_>) -> Vec<Low> {
    let speed = &scene.signals.speed;
    let n = speed.len();
    let reach = steps(APART_S);
    if n < 2 * reach + 2 {
        return Vec::new();
    }
    let mut places: Vec<usize> = Vec::new();
    let mut i = reach;
    while i + reach < n {
        let window = &speed[i - reach..=i + reach];
        let least = window.iter().copied().fold(f64::INFINITY, f64::min);
        if speed[i] <= least && scene.trace.usable[i] {
            places.push(i);
            i += reach;
        } else {
            i += 1;
        }
    }
    places.into_iter().filter_map(|least| low(scene, least)).collect()
}

fn low(scene: &Scene<'_>, least: usize) -> Option<Low> {
    let (trace, signals) = (scene.trace, &scene.signals);
    let speed = &signals.speed;
    let falling = slowing_begun(speed, least);
    let pitch = &signals.nose;
    let highest = most(
        pitch,
        least.saturating_sub(steps(10.0)),
        (least + steps(2.0)).min(speed.len() - 1),
        1.0,
    );
    let start = pull_begun(pitch, falling, highest);
    let end = recovered(trace, signals, least);
    let lowest = most(pitch, highest, end.min(highest + steps(9.0)), -1.0);
    let known = trace.usable[start..=end].iter().all(|usable| *usable);
    // What begins with the recording, or with the flight, has no entry to be read against.
    let entered = trace.usable[start.saturating_sub(steps(ENTRY_S))] && start > steps(ENTRY_S);
    if !entered
        || !known
        || speed[least] > LOW_SHARE * speed[falling]
        || end <= least
        || start >= highest
    {
        return None;
    }
    let slowing = signals.pitch_rises_from(start, highest);
    let mut low = Low {
        start,
        slowing,
        highest,
        least,
        lowest: lowest.max(least + 1).min(end.saturating_sub(1)),
        end,
        bank_deg: 0.0,
        value: [0.0; N],
        sigma: [0.0; N],
    };
    read(scene, &mut low, lowest);
    Some(low)
}

/// Where the speed begins to fall towards a low.
fn slowing_begun(speed: &[f64], least: usize) -> usize {
    let second = steps(1.0);
    let earliest = least.saturating_sub(steps(SLOWING_S));
    let (mut begun, mut i, mut pause) = (least, least, 0);
    while i > earliest.max(second) && pause <= steps(PAUSE_S) {
        i -= 1;
        let slope = (speed[i + 1] - speed[i + 1 - second]) / (STEP_S * second as f64);
        if slope < -SLOWING_KTPS && speed[i] >= speed[begun] {
            (begun, pause) = (i, 0);
        } else {
            pause += 1;
        }
    }
    begun
}

/// Where the nose begins to rise, when that is before the speed falls.
fn pull_begun(pitch: &[f64], falling: usize, highest: usize) -> usize {
    let from = falling.min(highest);
    let earliest = from.saturating_sub(steps(8.0));
    let mut i = from;
    while i > earliest && pitch[i] - pitch[i - 1] > 0.8 * STEP_S {
        i -= 1;
    }
    i
}

/// Where the sink after a low is stopped.
fn recovered(trace: &Trace, signals: &Signals, least: usize) -> usize {
    let last = (least + steps(RECOVERY_S)).min(trace.len() - 1);
    let climb = |i: usize| signals.climb_ftpm[i];
    let deepest = (least..=last.min(least + steps(8.0)))
        .min_by(|a, b| climb(*a).total_cmp(&climb(*b)))
        .unwrap_or(least);
    (deepest..=last).find(|&i| i > least && climb(i) > SINK_STOPPED_FTPM).unwrap_or(last)
}

/// The place of the greatest (`sign` +1) or least (-1) value.
fn most(values: &[f64], from: usize, to: usize, sign: f64) -> usize {
    (from..=to.max(from))
        .max_by(|a, b| (sign * values[*a]).total_cmp(&(sign * values[*b])))
        .unwrap_or(from)
}

fn read(scene: &Scene<'_>, low: &mut Low, lowest: usize) {
    let (trace, signals) = (scene.trace, &scene.signals);
    let speed = &signals.speed;
    let n = trace.len();
    let pitch = &signals.nose;
    let load = |from: usize, to: usize, sign: f64| {
        let values = trace.load_factor.as_ref().map(|line| &line.value);
        values.map_or(1.0, |values| values[most(values, from, to.min(n - 1), sign)])
    };
    let before = low.least.saturating_sub(steps(6.0)).max(low.start);
    let time_s = |from: usize, to: usize| STEP_S * to.saturating_sub(from).max(1) as f64;
    // Energy is read before the nose falls: after that the power of the recovery is on.
    let energy_to = low.highest.max(low.start + 1);
    let energy_from = energy_to.saturating_sub(steps(7.0)).max(low.start);
    let energy = (signals.energy_ft[energy_to] - signals.energy_ft[energy_from])
        / time_s(energy_from, energy_to);
    let stall = scene.stall_kt;
    let bank_from = low.highest.saturating_sub(steps(3.0)).max(low.start);
    let banks = &trace.bank_deg.value[bank_from..=low.highest];
    let heading = &trace.heading_deg.value;
    let around = |seconds: f64| (low.least + steps(seconds)).min(n - 1);
    low.bank_deg = banks.iter().sum::<f64>() / banks.len() as f64;
    low.value = [
        stall.map_or(0.0, |stall| ln(speed[low.least] / stall)),
        speed[low.least] / speed[low.start].max(1.0),
        pitch[low.highest] - pitch[low.start],
        pitch[low.highest] - pitch[lowest],
        load(low.least.saturating_sub(steps(4.0)), low.least + steps(5.0), -1.0),
        load(before, low.least, 1.0),
        (speed[low.least] - speed[before]) / time_s(before, low.least),
        energy * 60.0 / 100.0,
        banks.iter().map(|bank| bank.abs()).sum::<f64>() / banks.len() as f64,
        (heading[around(5.0)] - heading[low.least.saturating_sub(steps(5.0))]).abs(),
        trace.height_ft.value[low.least] - trace.height_ft.value[low.start],
        pitch[low.start] - pitch[lowest],
        scene
            .power_share(low.highest.saturating_sub(steps(8.0)).max(low.start), low.highest)
            .unwrap_or(0.6),
    ];
    let speed_sigma = trace.cas_kt.sigma[low.least] / speed[low.least].max(1.0);
    let bank_sigma = trace.bank_deg.sigma[low.least];
    let stall_sigma = if stall.is_some() { hypot(speed_sigma, STALL_DOUBT) } else { 3.0 };
    let load_sigma = trace.load_factor.as_ref().map_or(1.0, |line| line.sigma[low.least].max(0.03));
    let path_sigma = trace.path_deg.sigma[low.least];
    low.sigma = [
        stall_sigma,
        0.7 * speed_sigma,
        path_sigma,
        path_sigma,
        load_sigma,
        load_sigma,
        0.2,
        ENERGY_DOUBT,
        bank_sigma,
        2.0 * trace.heading_deg.sigma[low.least].min(10.0),
        10.0,
        path_sigma,
        if trace.engine_rpm.is_some() { 0.03 } else { 3.0 },
    ];
}
