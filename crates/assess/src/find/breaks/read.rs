//! Lows of the airspeed and what they look like.

use super::super::lobe::LEVEL_BANK_DEG;
use super::super::{Scene, Signals};
use super::N;
use crate::trace::{STEP_S, Trace, smooth};
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

/// What the wing gave elsewhere in the flight is the most within each stretch of so long, s; flaps, gusts and power make it differ.
const ELSEWHERE_S: f64 = 20.0;
const ELSEWHERE_DOUBT: f64 = 0.3;
/// A pull in a turn is worth a look from this bank on, degrees, when the lift rises to this multiple of that before and falls to
/// this share of it at once; the turn began and ends within these times, s.
const TURN_BANK_DEG: f64 = 20.0;
const PEAK_SHARE: f64 = 1.4;
const LEFT_SHARE: f64 = 0.8;
const IN_TURN_S: f64 = 25.0;
const OUT_OF_TURN_S: f64 = 12.0;

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
    let slow = places(scene, &scene.signals.speed, -1.0);
    let lift = Lift::new(scene);
    let mut lows: Vec<Low> =
        slow.into_iter().filter_map(|least| low(scene, &lift, least)).collect();
    if let Some(line) = &lift.line {
        let peaks = places(scene, line, 1.0);
        lows.extend(peaks.into_iter().filter_map(|peak| sharp(scene, &lift, peak)));
    }
    lows
}

/// Places where a quantity is greatest (`sign` +1) or least (-1) of all within some seconds, in the air.
fn places(scene: &Scene<'_>, values: &[f64], sign: f64) -> Vec<usize> {
    let reach = steps(APART_S);
    let mut places: Vec<usize> = Vec::new();
    let mut i = reach;
    while i + reach < values.len() {
        let window = &values[i - reach..=i + reach];
        let most = window.iter().map(|value| sign * value).fold(f64::NEG_INFINITY, f64::max);
        if sign * values[i] >= most && scene.trace.usable[i] {
            places.push(i);
            i += reach;
        } else {
            i += 1;
        }
    }
    places
}

/// The lift coefficient along the flight: load over the square of the airspeed, as a multiple of that at one g and a hundred knots.
struct Lift {
    line: Option<Vec<f64>>,
    /// The same at the stall, where the airplane is known.
    stall: Option<f64>,
    /// Highest ones of the flight with their places, one for each stretch of [`ELSEWHERE_S`], highest first.
    highest: Vec<(usize, f64)>,
}

impl Lift {
    fn new(scene: &Scene<'_>) -> Self {
        let square = |kt: f64| (kt / 100.0) * (kt / 100.0);
        let load = scene.trace.load_factor.as_ref();
        let speed = &scene.signals.speed;
        let at = |i: usize, load: &f64| load / square(speed[i].max(20.0));
        let line = load.map(|load| {
            let raw: Vec<f64> = load.value.iter().enumerate().map(|(i, n)| at(i, n)).collect();
            smooth(&raw, steps(0.5))
        });
        let stall = scene.stall_kt.map(|kt| 1.0 / square(kt));
        let mut highest: Vec<(usize, f64)> = Vec::new();
        for i in (0..speed.len()).filter(|&i| scene.trace.usable[i]) {
            let Some(lift) = line.as_ref().map(|line| line[i]) else { break };
            match highest.last_mut() {
                Some(last) if i <= last.0 + steps(ELSEWHERE_S) => {
                    if lift > last.1 {
                        last.1 = lift;
                    }
                }
                _ => highest.push((i, lift)),
            }
        }
        highest.sort_by(|a, b| b.1.total_cmp(&a.1));
        highest.truncate(8);
        Self { line, stall, highest }
    }
    /// The lift of the stall, for what happens at a place: of the airplane, or the most that the wing gave well away from it.
    fn reference(&self, place: usize) -> Option<f64> {
        let away = |one: &&(usize, f64)| {
            let (from, to) =
                (one.0.saturating_sub(steps(ELSEWHERE_S)), one.0 + 2 * steps(ELSEWHERE_S));
            !(from..=to).contains(&place)
        };
        self.stall.or_else(|| self.highest.iter().find(away).map(|one| one.1))
    }
}

fn low(scene: &Scene<'_>, lift: &Lift, least: usize) -> Option<Low> {
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
    Some(read_low(scene, lift, [start, highest, least, lowest, end]))
}

/// The low of a break in a turn, where the speed hardly falls: from the roll-in through the peak of the lift to wings level.
fn sharp(scene: &Scene<'_>, lift: &Lift, peak: usize) -> Option<Low> {
    let (trace, signals) = (scene.trace, &scene.signals);
    let n = trace.len();
    let banked = |i: usize| signals.bank[i].abs() > LEVEL_BANK_DEG;
    let line = lift.line.as_ref()?;
    let earliest = peak.saturating_sub(steps(IN_TURN_S)).max(steps(ENTRY_S) + 1);
    let start = (earliest..peak).rev().find(|&i| !banked(i)).unwrap_or(earliest);
    let raised = line[peak] >= PEAK_SHARE * line[start];
    let last = (peak + steps(3.0)).min(n - 1);
    let left = line[peak..=last].iter().copied().fold(f64::INFINITY, f64::min);
    if signals.bank[peak].abs() < TURN_BANK_DEG || !raised || left > LEFT_SHARE * line[peak] {
        return None;
    }
    let least = most(&signals.speed, peak, (peak + steps(4.0)).min(n - 1), -1.0);
    let level = (least..n.min(least + steps(OUT_OF_TURN_S))).find(|&i| !banked(i));
    let end = recovered(trace, signals, least).max(level.unwrap_or(least));
    let highest = most(&signals.nose, start, (peak + steps(1.0)).min(n - 1), 1.0);
    let lowest = most(&signals.nose, highest, end.min(highest + steps(9.0)), -1.0);
    let known = trace.usable[start..=end].iter().all(|usable| *usable);
    if !known || end <= least || start >= highest {
        return None;
    }
    Some(read_low(scene, lift, [start, highest, least, lowest, end]))
}

/// A low whose places are known, with its features.
fn read_low(
    scene: &Scene<'_>,
    lift: &Lift,
    [start, highest, least, lowest, end]: [usize; 5],
) -> Low {
    let mut low = Low {
        start,
        slowing: scene.signals.pitch_rises_from(start, highest),
        highest,
        least,
        lowest: lowest.max(least + 1).min(end.saturating_sub(1)),
        end,
        bank_deg: 0.0,
        value: [0.0; N],
        sigma: [0.0; N],
    };
    read(scene, &mut low, lowest, lift);
    low
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

fn read(scene: &Scene<'_>, low: &mut Low, lowest: usize, lift: &Lift) {
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
    let lifted = lifted(lift, low, load_sigma(trace, low.least));
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
        lifted.most,
        lifted.left,
    ];
    let speed_sigma = trace.cas_kt.sigma[low.least] / speed[low.least].max(1.0);
    let bank_sigma = trace.bank_deg.sigma[low.least];
    let stall_sigma = if stall.is_some() { hypot(speed_sigma, STALL_DOUBT) } else { 3.0 };
    let load_sigma = load_sigma(trace, low.least);
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
        hypot(lifted.sigma, 2.0 * speed_sigma),
        lifted.left_sigma,
    ];
}

fn load_sigma(trace: &Trace, place: usize) -> f64 {
    trace.load_factor.as_ref().map_or(1.0, |line| line.sigma[place].max(0.03))
}

/// The lift coefficient about a break: see [`super::Feature::Lift`] and [`super::Feature::LiftLeft`].
struct Lifted {
    most: f64,
    sigma: f64,
    left: f64,
    left_sigma: f64,
}

fn lifted(lift: &Lift, low: &Low, load_sigma: f64) -> Lifted {
    const UNKNOWN: Lifted = Lifted { most: 0.0, sigma: 3.0, left: 0.7, left_sigma: 1.0 };
    let Some((line, reference)) = lift.line.as_ref().zip(lift.reference(low.least)) else {
        return UNKNOWN;
    };
    let last = (low.least + steps(1.0)).min(line.len() - 1);
    let at = most(line, low.least.saturating_sub(steps(8.0)).max(low.start), last, 1.0);
    let after = (at + steps(5.0)).min(line.len() - 1);
    let left = line[most(line, at, after, -1.0)] / line[at].max(1e-3);
    let doubt = if lift.stall.is_some() { 2.0 * STALL_DOUBT } else { ELSEWHERE_DOUBT };
    Lifted {
        most: ln((line[at] / reference).max(1e-3)),
        sigma: hypot(doubt, load_sigma),
        left,
        left_sigma: load_sigma,
    }
}
