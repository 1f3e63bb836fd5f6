//! Finds attempts: the maneuvers of the catalogue among ordinary flying.
//!
//! Candidates are stretches of turning between wings level (`lobe`); each is read as a few numbers over degrees of turn
//! (`features`) and explained by every signature (`signatures`), ordinary flying included. A small grammar joins two opposite
//! halves into one figure. The best set of attempts that do not overlap is chosen by dynamic programming over time. Tolerances
//! play no part: a spoiled attempt is an attempt. Linear in the length of the recording.

mod breaks;
mod choose;
mod course;
mod features;
mod lobe;
mod over;
mod phases;
mod rolling;
mod schedule;
mod signature;
mod signatures;
mod slow;

use crate::trace::{STEP_S, Trace};
use base::numerics::statistics::quantile;
use base::written::signed;
use choose::{Chosen, Judged};
use features::{Feature, Features};
use flight::airplane::Airplane;
use lobe::{LEVEL_BANK_DEG, Lobe, Signals, lobes, settled};
use maneuver::Direction;
use maneuver::definition::Progress;
pub(crate) use phases::Phases;

/// A maneuver found.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Found {
    /// Catalogue key.
    pub(crate) maneuver: &'static str,
    /// Probability, 0 to 1.
    pub(crate) confidence: f64,
    /// What spoke for it; the runner-up last.
    pub(crate) evidence: Vec<String>,
    /// Parts in time order: indices of start and end in the trace.
    pub(crate) parts: Vec<FoundPart>,
}

/// One part of a maneuver found; indices into the trace.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct FoundPart {
    /// `None` where the figure goes neither way.
    pub(crate) direction: Option<Direction>,
    /// What it is counted in.
    pub(crate) progress: Progress,
    /// First movement.
    pub(crate) start: usize,
    /// Figure finished.
    pub(crate) end: usize,
    /// Bank last beyond the level mark; the end where no roll-out ends it.
    pub(crate) level: usize,
    /// Where its phases begin and end; empty unless it is counted in phases.
    pub(crate) phases: Phases,
}

/// A chandelle ends when its wings have been level for this long; level to within so many degrees.
const CHANDELLE_HOLD_S: f64 = 1.5;
const CHANDELLE_LEVEL_DEG: f64 = 3.0;
/// A pause between two halves shorter than this is none, s.
const ROLLING_THROUGH_S: f64 = 1.5;

/// What is looked at.
pub(crate) struct Scene<'a> {
    trace: &'a Trace,
    signals: Signals,
    /// Stall speed at one g, calibrated, where the airplane is known.
    stall_kt: Option<f64>,
    /// Most revolutions of the flight, where recorded.
    rpm_most: Option<f64>,
    /// Whether much of the flight is spent circling.
    soaring: bool,
}

/// A flight is a soaring flight when it circles and climbs for this share of its time.
const SOARING_SHARE: f64 = 0.08;
/// Circling goes round more than this, degrees, and climbs so much in the mean, ft/min: turns of training are level or lose height.
const CIRCLING_FROM_DEG: f64 = 500.0;
const CIRCLING_CLIMB_FTPM: f64 = 60.0;

impl Scene<'_> {
    /// Bank as recorded where it was, else as found.
    fn bank_deg(&self) -> &[f64] {
        let recorded = self.trace.recorded.as_ref();
        recorded.map_or(&self.trace.bank_deg.value, |recorded| &recorded.bank_deg)
    }
    /// Mean revolutions as a share of the most of the flight.
    fn power_share(&self, from: usize, to: usize) -> Option<f64> {
        let rpm = self.trace.engine_rpm.as_ref()?.get(from..=to)?;
        let mean = rpm.iter().sum::<f64>() / rpm.len() as f64;
        Some(mean / self.rpm_most?)
    }
}

/// A claim that something was flown, with its log-odds over ordinary flying.
#[derive(Debug, Clone)]
struct Claim {
    found: Found,
    gain: f64,
}

impl Claim {
    fn start(&self) -> usize {
        self.found.parts.first().map_or(0, |part| part.start)
    }
    fn end(&self) -> usize {
        self.found.parts.last().map_or(0, |part| part.end)
    }
}

/// Finds the attempts in a motion, in time order; and how many stretches of turning were left out because no airplane
/// flies so. Plain turns are reported when `plain_turns` asks for them; else those alone that are flown as an exercise.
pub(crate) fn find(
    trace: &Trace,
    airplane: Option<&Airplane>,
    plain_turns: bool,
) -> (Vec<Found>, usize) {
    if trace.len() < 8 {
        return (Vec::new(), 0);
    }
    let one_g = base::units::LoadFactor::from_g(1.0);
    let stall = |airplane: &Airplane| airplane.stall_speed(airplane.masses.typical, one_g).to_kt();
    let signals = Signals::new(trace);
    let (lobes, left_out) = lobes(trace, &signals);
    let scene = Scene {
        soaring: soaring(trace, &lobes),
        stall_kt: airplane.map(stall),
        rpm_most: trace.engine_rpm.as_ref().and_then(|rpm| quantile(rpm, 0.98)),
        trace,
        signals,
    };
    let mut claims = course::claims(&scene, &lobes);
    claims.extend(turning(&scene, lobes, plain_turns));
    claims.extend(rolling::claims(&scene));
    claims.extend(breaks::claims(&scene));
    claims.extend(slow::claims(&scene));
    claims.extend(over::claims(&scene));
    let mut found: Vec<Found> =
        schedule::best(claims).into_iter().map(|claim| claim.found).collect();
    found.sort_by_key(|found| found.parts[0].start);
    keep_apart(&mut found);
    (found, left_out)
}

/// Whether much of the flight is spent going round and round in lift.
fn soaring(trace: &Trace, lobes: &[Lobe]) -> bool {
    let heading = &trace.heading_deg.value;
    let height = &trace.height_ft.value;
    let circling = |lobe: &&Lobe| {
        let minutes = STEP_S * (lobe.last - lobe.first).max(1) as f64 / 60.0;
        let climbs = height[lobe.last] - height[lobe.first] > CIRCLING_CLIMB_FTPM * minutes;
        climbs && (heading[lobe.last] - heading[lobe.first]).abs() > CIRCLING_FROM_DEG
    };
    let spent: usize = lobes.iter().filter(circling).map(|lobe| lobe.last - lobe.first).sum();
    let flown = trace.usable.iter().filter(|usable| **usable).count();
    spent as f64 > SOARING_SHARE * flown as f64
}

/// Claims of turning figures.
fn turning(scene: &Scene<'_>, lobes: Vec<Lobe>, plain_turns: bool) -> Vec<Claim> {
    let Scene { trace, signals, .. } = scene;
    let read = |lobe: Lobe| (lobe, Features::of(trace, &lobe));
    let lobes = lobes.into_iter().map(read).collect();
    let judged = choose::judge(lobes, (plain_turns, scene.soaring));
    let mut claims = Vec::new();
    for chosen in choose::best(&judged) {
        let lobes = &judged[chosen.first..chosen.first + chosen.lobes];
        let groups = if chosen.each_its_own { lobes.chunks(1) } else { lobes.chunks(lobes.len()) };
        let gain = chosen.gain / groups.len() as f64;
        let claim = |lobes| Claim { found: attempt(trace, signals, lobes, &chosen), gain };
        claims.extend(groups.map(claim));
    }
    claims
}

/// One attempt ends before the next begins: a wait for wings level ends where the next figure starts.
fn keep_apart(found: &mut [Found]) {
    for i in 1..found.len() {
        let (before, after) = found.split_at_mut(i);
        let last = before[i - 1].parts.last_mut().expect("an attempt has a part");
        let first = after[0].parts.first_mut().expect("an attempt has a part");
        last.end = last.end.min(first.start.max(last.level));
        first.start = first.start.max(last.end);
    }
}

fn attempt(trace: &Trace, signals: &Signals, lobes: &[Judged], chosen: &Chosen) -> Found {
    let mut parts: Vec<FoundPart> = Vec::new();
    for one in lobes {
        let Lobe { direction, start, last, .. } = one.lobe;
        let end = match chosen.maneuver {
            "chandelle" => settled(trace, signals, last, CHANDELLE_LEVEL_DEG, CHANDELLE_HOLD_S),
            _ => (last + 1).min(trace.len() - 1),
        };
        // A second half that begins in the roll of the first begins where the first ends.
        let start = match parts.last() {
            Some(before) if start <= before.end + choose::pause(ROLLING_THROUGH_S) => before.end,
            _ => start,
        };
        parts.push(FoundPart {
            direction: Some(direction),
            progress: Progress::Turn,
            start,
            end,
            level: last,
            phases: Phases::default(),
        });
    }
    let mut evidence: Vec<String> = lobes.iter().map(looks).collect();
    evidence.push(chosen.runner_up.clone());
    Found { maneuver: chosen.maneuver, confidence: chosen.confidence, evidence, parts }
}

/// The features in words.
fn looks(one: &Judged) -> String {
    let get = |feature| one.features.get(feature);
    format!(
        "turned {:.0}° to the {} from wings within {LEVEL_BANK_DEG:.0}° to wings within {LEVEL_BANK_DEG:.0}°, bank {:.0}° at \
         the steepest ({:.0} % of it early, {:.0} % late, spread {:.0} %), path {}° then {}°, slowest at {:.0} % of the entry speed, \
         {:.0} % at the end",
        get(Feature::Turn),
        one.lobe.direction.word(),
        get(Feature::BankPeak),
        100.0 * get(Feature::BankEarly),
        100.0 * get(Feature::BankLate),
        100.0 * get(Feature::Unsteadiness),
        signed(get(Feature::PathFirst), 0),
        signed(get(Feature::PathSecond), 0),
        100.0 * get(Feature::SpeedLeast),
        100.0 * get(Feature::SpeedEnd),
    )
}
