//! Slow flight: a stretch flown level at a speed well below the one it was entered from, a little above the stall.
//!
//! Runs below each of a ladder of speeds are read as a few numbers; the signature of slow flight competes with the other ways of
//! flying slowly: an approach, a climb, a pattern, circling. Where the stall speed of the airplane is not known, the speed is read
//! against that of the entry and the usual one of the flight, which says less. Linear in the length of the recording for a given
//! ladder.

mod ordinary;
mod slow_flight;

use super::signature::{Signature, Weighed};
use super::{Claim, FoundPart, Phases, Scene, schedule};
use crate::trace::{STEP_S, spread};
use base::math::{hypot, ln};
use base::numerics::statistics::quantile;
use base::written::signed;
use maneuver::definition::Progress;

/// Number of features.
const N: usize = 10;

/// Names of the features, in the order of the arrays.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[allow(dead_code, reason = "every place of the arrays has its name; the evidence tells some")]
enum Feature {
    /// Logarithm of the middle speed over the stall speed at one g (nil and wide where the airplane is not known).
    OverStall,
    /// Middle speed as a share of that of the entry.
    SpeedShare,
    /// Middle speed as a share of the usual one of the flight.
    OfUsual,
    /// Mean climb, hundreds of ft/min.
    Climb,
    /// Spread of the speed as a share of its middle.
    Spread,
    /// Logarithm of the minutes it lasts.
    Lasting,
    /// Nose higher than at the entry, degrees.
    Raised,
    /// Mean absolute bank, degrees.
    Bank,
    /// Greatest less least height while it is held, ft.
    Heights,
    /// Height given away over the two minutes before, ft.
    Descended,
}

/// How slow flying tends to look.
type Slow = Signature<N>;

/// Everything that competes to explain slow flying.
const ALL: &[&[Slow]] = &[slow_flight::ALL, ordinary::ALL];

/// The ladder: from this share of the usual speed up to that, each rung so much higher.
const LADDER: (f64, f64, f64) = (0.35, 0.92, 1.03);
/// A run lasts so long at least, s; a gust above the rung is no end of it; the entry is looked for so far back.
const LAST_S: f64 = 15.0;
const GUST_S: f64 = 5.0;
const ENTRY_S: f64 = 75.0;
/// A speed is held while it is no more than this over its middle.
const HELD: f64 = 1.04;
/// A landing comes after a descent of so long, s.
const BEFORE_S: f64 = 120.0;
/// The speed of the entry is left when this share of the way down is done.
const LEFT_SHARE: f64 = 0.15;
/// Slowing that counts as begun, kt/s.
const SLOWING_KTPS: f64 = 0.3;
/// On a soaring flight slow flying is so many times likelier ordinary than on another one.
const SOARING: f64 = 10.0;
/// The stall speed of the handbook at the mass of the day.
const STALL_DOUBT: f64 = 0.06;

/// One run; indices into the trace.
struct Run {
    start: usize,
    /// Speed reached.
    reached: usize,
    /// Last at the speed.
    end: usize,
    value: [f64; N],
    sigma: [f64; N],
}

/// Everything that may be slow flight; of runs about the same place the best.
pub(super) fn claims(scene: &Scene<'_>) -> Vec<Claim> {
    let Some(usual) = usual_kt(scene) else { return Vec::new() };
    let mut rung = LADDER.0 * usual;
    let mut claims = Vec::new();
    while rung <= LADDER.1 * usual {
        claims.extend(runs(scene, rung, usual).iter().filter_map(|run| claim(scene, run)));
        rung *= LADDER.2;
    }
    schedule::best(claims)
}

/// The usual speed of the flight: what half of it is flown faster than.
fn usual_kt(scene: &Scene<'_>) -> Option<f64> {
    let speed = &scene.signals.speed;
    let flown: Vec<f64> =
        (0..speed.len()).filter(|&i| scene.trace.usable[i]).step_by(4).map(|i| speed[i]).collect();
    quantile(&flown, 0.6)
}

fn steps(seconds: f64) -> usize {
    (seconds / STEP_S) as usize
}

/// Runs below a rung that are entered from above it.
fn runs(scene: &Scene<'_>, rung: f64, usual: f64) -> Vec<Run> {
    let speed = &scene.signals.speed;
    let mut spans: Vec<(usize, usize)> = Vec::new();
    for i in (0..speed.len()).filter(|&i| speed[i] < rung && scene.trace.usable[i]) {
        match spans.last_mut() {
            Some(span) if i <= span.1 + steps(GUST_S) => span.1 = i,
            _ => spans.push((i, i)),
        }
    }
    let long = |span: &&(usize, usize)| span.1 - span.0 >= steps(LAST_S);
    spans.iter().filter(long).filter_map(|span| run(scene, *span, usual)).collect()
}

fn run(scene: &Scene<'_>, (first, last): (usize, usize), usual: f64) -> Option<Run> {
    let (trace, signals) = (scene.trace, &scene.signals);
    let speed = &signals.speed;
    let speeds = &speed[first..=last];
    let middle = quantile(speeds, 0.5)?;
    let reached = (first..=last).find(|&i| speed[i] <= 1.03 * middle).unwrap_or(first);
    let last = held_until(scene, last, HELD * middle);
    let entry = entry(speed, reached)?;
    if !trace.usable[entry..=last].iter().all(|usable| *usable) {
        return None;
    }
    // It is left where the speed rises for good out of what was held.
    let held = quantile(&speed[reached..=last], 0.9)?;
    let end = (reached..=last).rev().find(|&i| speed[i] <= held).unwrap_or(last);
    let end = (reached..=end)
        .rev()
        .find(|&i| i < reached + 4 || speed[i] - speed[i - 4] < SLOWING_KTPS * 4.0 * STEP_S)
        .unwrap_or(end);
    if end < reached + steps(LAST_S) {
        return None;
    }
    let mut run = Run { start: entry, reached, end, value: [0.0; N], sigma: [0.0; N] };
    read(scene, &mut run, usual);
    Some(run)
}

/// The last place from one on at which a speed is not passed, gusts left out: a hand that holds a speed within a few hundredths holds it,
/// whichever rung that is above.
fn held_until(scene: &Scene<'_>, from: usize, most_kt: f64) -> usize {
    let mut last = from;
    let slow = |i: usize| scene.signals.speed[i] <= most_kt && scene.trace.usable[i];
    for i in from + 1..scene.trace.len() {
        if slow(i) {
            last = i;
        } else if i > last + steps(GUST_S) || !scene.trace.usable[i] {
            break;
        }
    }
    last
}

/// Where the speed begins to fall to the one that is held: the last place before it where it did not.
fn entry(speed: &[f64], first: usize) -> Option<usize> {
    let second = steps(1.0);
    let earliest = first.checked_sub(steps(ENTRY_S)).unwrap_or(second).max(second);
    let (mut begun, mut pause) = (first, 0);
    let mut i = first;
    while i > earliest && pause <= steps(4.0) {
        i -= 1;
        let slope = (speed[i + 1] - speed[i + 1 - second]) / (STEP_S * second as f64);
        if slope < -SLOWING_KTPS && speed[i] >= speed[begun] {
            (begun, pause) = (i, 0);
        } else {
            pause += 1;
        }
    }
    if speed[begun] <= 1.08 * speed[first] {
        return None;
    }
    // A slow drift before is not the slowing down: it begins where the speed leaves that of the entry.
    let left_kt = speed[begun] - LEFT_SHARE * (speed[begun] - speed[first]);
    let left = (begun..first).rev().find(|&i| speed[i] >= left_kt)?;
    let falls = |i: &usize| speed[*i] - speed[i - second] < -SLOWING_KTPS;
    Some((begun.max(second)..=left).rev().take_while(falls).last().unwrap_or(left))
}

fn read(scene: &Scene<'_>, run: &mut Run, usual: f64) {
    let (trace, signals) = (scene.trace, &scene.signals);
    let held = run.reached..=run.end;
    let speeds = &signals.speed[held.clone()];
    let middle = quantile(speeds, 0.5).unwrap_or(1.0);
    let quarter = |share| quantile(speeds, share).unwrap_or(middle);
    let n = speeds.len() as f64;
    let seconds = STEP_S * n;
    let mean = |values: &[f64]| values.iter().sum::<f64>() / values.len() as f64;
    let height = &trace.height_ft.value;
    let climb = (height[run.end] - height[run.reached]) / seconds * 60.0 / 100.0;
    let entry = run.start;
    let banks: Vec<f64> = trace.bank_deg.value[held.clone()].iter().map(|b| b.abs()).collect();
    let stall = scene.stall_kt;
    run.value = [
        stall.map_or(0.0, |stall| ln(middle / stall)),
        middle / signals.speed[entry].max(1.0),
        middle / usual,
        climb,
        (quarter(0.9) - quarter(0.1)) / middle,
        ln(seconds / 60.0),
        mean(&signals.nose[held.clone()]) - signals.nose[entry],
        mean(&banks),
        spread(&height[held]),
        height[run.reached.saturating_sub(steps(BEFORE_S))] - height[run.reached],
    ];
    let share = trace.cas_kt.sigma[run.reached] / middle;
    run.sigma = [
        if stall.is_some() { hypot(share, STALL_DOUBT) } else { 3.0 },
        0.7 * share,
        0.7 * share,
        0.3,
        share,
        0.1,
        trace.path_deg.sigma[run.reached],
        trace.bank_deg.sigma[run.reached],
        10.0,
        10.0,
    ];
}

fn claim(scene: &Scene<'_>, run: &Run) -> Option<Claim> {
    let soaring = if scene.soaring { SOARING } else { 1.0 };
    let likeliest = Weighed::new(ALL, &run.value, &run.sigma).ordinary_times(soaring).best()?;
    let part = FoundPart {
        direction: None,
        progress: Progress::Phase,
        start: run.start,
        end: run.end,
        level: run.end,
        phases: Phases::new(&[(run.start, 0.0), (run.reached, 100.0), (run.end, 400.0)]),
    };
    let get = |feature: Feature| run.value[feature as usize];
    let speed = &scene.signals.speed;
    let looks = format!(
        "{:.0} kt falling to {:.0}{} ({:.0} % of the usual speed), held for {:.0} s within {:.0} %, {} ft/min, nose {}° against \
         the entry, {:.0}° of bank in the mean",
        speed[run.start],
        get(Feature::SpeedShare) * speed[run.start],
        scene.stall_kt.map_or_else(String::new, |stall| format!(", stall speed {stall:.0}")),
        100.0 * get(Feature::OfUsual),
        STEP_S * (run.end - run.reached) as f64,
        100.0 * get(Feature::Spread),
        signed(100.0 * get(Feature::Climb), 0),
        signed(get(Feature::Raised), 0),
        get(Feature::Bank),
    );
    Some(likeliest.claim(looks, vec![part]))
}
