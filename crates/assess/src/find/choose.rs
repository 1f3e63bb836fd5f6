//! From lobes to attempts: the small grammar of halves and the choice of a set that does not overlap.

use super::features::{Feature, Features};
use super::lobe::Lobe;
use super::signature::sum;
use super::signatures::{self, Signature};
use crate::trace::STEP_S;
use base::math::{exp, ln};
use base::numerics::statistics::{probability_of_log_odds, times_likelier};
use maneuver::definition::Shape;

/// Two halves follow each other within this time, s; the longer the wait, the less likely (this is the time for one in e).
const BETWEEN_HALVES_S: f64 = 40.0;
const WAIT_S: f64 = 12.0;
/// Once half of a figure of two halves was flown, how often the other half follows at once (common practice, no source).
const SECOND_FOLLOWS: f64 = 0.8;
const OVER_GROUND_FOLLOWS: f64 = 0.98;
/// Once a full turn was flown, how often it is flown the other way at once (common practice, no source). A half turn that ends
/// high and slow is not followed at once by another.
const OTHER_WAY_FOLLOWS: f64 = 0.4;
/// Once a plain turn was flown, how often it is one of an exercise and flown the other way at once (common practice, no source).
const EXERCISE_FOLLOWS: f64 = 0.1;
/// Turns of an exercise end on a heading that was said before: half a circle or a whole one, to within this, degrees. Quarters are
/// turned all day, to clear the area and in circuits.
const EXERCISE_TURNS_DEG: [f64; 2] = [180.0, 360.0];
const EXERCISE_SIGMA_DEG: f64 = 6.0;
/// Other turns are anywhere over so many degrees.
const ANY_TURN_DEG: f64 = 300.0;
/// The figure the other way follows within this time, s.
const BETWEEN_FIGURES_S: f64 = 20.0;
/// Who soars circles, and pulls up into each lift and turns about; figures of training are rare between.
const SOARING: f64 = 8.0;
/// The usual shares weigh as much as so many turns of the flight.
const USUAL_TURNS: f64 = 25.0;
/// Rounds of learning the shares; they settle in three or four.
const ROUNDS: usize = 5;

/// Grid points of a time.
pub(super) fn pause(seconds: f64) -> usize {
    (seconds / STEP_S) as usize
}

/// A signature as one explanation of a lobe.
#[derive(Debug, Clone, Copy)]
struct Explanation {
    signature: &'static Signature,
    /// How often it is met on this flight.
    share: f64,
    log_density: f64,
}

impl Explanation {
    fn score(&self) -> f64 {
        ln(self.share) + self.log_density
    }
    fn is(&self, id: &str) -> bool {
        self.signature.maneuver == Some(id)
    }
}

/// A lobe with every explanation.
#[derive(Debug, Clone)]
pub(super) struct Judged {
    pub(super) lobe: Lobe,
    pub(super) features: Features,
    explanations: Vec<Explanation>,
    /// Whether plain turns are asked for; else they are ordinary flying.
    plain_asked: bool,
}

/// Judges every lobe. How often each thing is met is learned from the flight itself, beginning from the usual shares: an
/// hour of circling makes one more circle more likely circling. (Expectation maximization, shares only.)
///
/// On a soaring flight ordinary turning is [`SOARING`] times likelier than elsewhere.
pub(super) fn judge(
    lobes: Vec<(Lobe, Features)>,
    (plain_asked, soaring): (bool, bool),
) -> Vec<Judged> {
    let signatures: Vec<&'static Signature> =
        signatures::ALL.iter().flat_map(|list| list.iter()).collect();
    let usual = |signature: &Signature| {
        let ordinary = signature.maneuver.is_none_or(is_plain);
        if soaring && ordinary { SOARING * signature.share } else { signature.share }
    };
    let explain = |features: &Features| -> Vec<Explanation> {
        let one = |signature: &&'static Signature| Explanation {
            signature,
            share: usual(signature),
            log_density: signature.log_density(&features.value, &features.sigma),
        };
        signatures.iter().map(one).collect()
    };
    let mut judged: Vec<Judged> = lobes
        .into_iter()
        .map(|(lobe, features)| {
            let explanations = explain(&features);
            Judged { lobe, features, explanations, plain_asked }
        })
        .collect();
    for _ in 0..ROUNDS {
        let mut counts: Vec<f64> = signatures.iter().map(|s| usual(s) * USUAL_TURNS).collect();
        for one in &judged {
            let total = sum(one.explanations.iter().map(Explanation::score));
            for (count, explanation) in counts.iter_mut().zip(&one.explanations) {
                *count += exp(explanation.score() - total);
            }
        }
        let all: f64 = counts.iter().sum();
        for one in &mut judged {
            for (count, explanation) in counts.iter().zip(&mut one.explanations) {
                explanation.share = count / all;
            }
        }
    }
    judged
}

impl Judged {
    /// Logarithm of the sum over ordinary flying.
    fn ordinary(&self) -> f64 {
        let plain = |id: &str| !self.plain_asked && is_plain(id);
        self.total(|explanation| explanation.signature.maneuver.is_none_or(plain))
    }
    /// Logarithm of the sum over the signatures of a maneuver.
    fn maneuver(&self, id: &str) -> f64 {
        self.total(|explanation| explanation.is(id))
    }
    /// Logarithm of the sum over everything that is not this maneuver; a plain turn that nobody asked for may always be one more of
    /// its kind.
    fn others(&self, id: &str) -> f64 {
        let as_well = !self.plain_asked && is_plain(id);
        self.total(|explanation| as_well || !explanation.is(id))
    }
    fn total(&self, which: impl Fn(&Explanation) -> bool) -> f64 {
        sum(self.explanations.iter().filter(|e| which(e)).map(Explanation::score))
    }
    /// How often this maneuver is met on this flight.
    fn share(&self, id: &str) -> f64 {
        self.explanations.iter().filter(|e| e.is(id)).map(|e| e.share).sum()
    }
    /// The best explanation that is not this maneuver, and its score.
    fn best_other(&self, id: &str) -> (&'static Signature, f64) {
        let others =
            self.explanations.iter().filter(|e| !e.is(id)).map(|e| (e.signature, e.score()));
        others.max_by(|a, b| a.1.total_cmp(&b.1)).expect("ordinary flying is always an explanation")
    }
}

/// Attempts chosen together: one of one or two parts, or two figures of one piece flown both ways.
#[derive(Debug, Clone)]
pub(super) struct Chosen {
    pub(super) maneuver: &'static str,
    /// Index of its first lobe.
    pub(super) first: usize,
    /// Lobes it is made of.
    pub(super) lobes: usize,
    /// Whether every lobe is an attempt of its own.
    pub(super) each_its_own: bool,
    pub(super) confidence: f64,
    pub(super) runner_up: String,
    /// Log-odds over ordinary flying: what the choice maximizes.
    pub(super) gain: f64,
}

/// The set of attempts that do not overlap with the greatest sum of log-odds. Linear in the number of lobes.
pub(super) fn best(judged: &[Judged]) -> Vec<Chosen> {
    // Entry k: gain over the first k lobes and what ends with lobe k - 1, if anything.
    let mut best_until: Vec<(f64, Option<Chosen>)> = vec![(0.0, None)];
    for k in 0..judged.len() {
        let mut here = (best_until[k].0, None);
        for lobes in 1..=2.min(k + 1) {
            let first = k + 1 - lobes;
            for chosen in candidates(judged, first, lobes) {
                let gain = best_until[first].0 + chosen.gain;
                if gain > here.0 {
                    here = (gain, Some(chosen));
                }
            }
        }
        best_until.push(here);
    }
    let mut out = Vec::new();
    let mut k = judged.len();
    while k > 0 {
        match best_until[k].1.take() {
            Some(chosen) => {
                k = chosen.first;
                out.push(chosen);
            }
            None => k -= 1,
        }
    }
    out.reverse();
    out
}

/// Maneuvers that turns are searched for: those with a signature.
fn turning() -> impl Iterator<Item = &'static dyn maneuver::definition::Maneuver> {
    let signed = |id: &str| signatures::ALL.iter().any(|list| list[0].maneuver == Some(id));
    maneuver::catalog::ALL.iter().copied().filter(move |maneuver| signed(maneuver.id()))
}

/// Whether a turn of this name is flown all day without being an exercise: climbing, descending, at standard rate.
fn is_plain(id: &str) -> bool {
    maneuver::catalog::find(id).is_some_and(|maneuver| !maneuver.shape().sought)
}

/// Everything that these lobes may be together.
fn candidates(judged: &[Judged], first: usize, n: usize) -> Vec<Chosen> {
    let lobes = &judged[first..first + n];
    let fits = |shape: Shape| match lobes {
        [one, two] if shape.parts == 2 => follow(&one.lobe, &two.lobe, BETWEEN_HALVES_S),
        [one, two] => {
            let pairs = shape.span_deg >= 360.0 || !shape.sought;
            pairs && follow(&one.lobe, &two.lobe, BETWEEN_FIGURES_S)
        }
        [one, ..] => shape.sought || one.plain_asked,
        [] => false,
    };
    let catalog = turning().filter(|maneuver| fits(maneuver.shape()));
    let chosen =
        catalog.map(|maneuver| candidate(lobes, first, maneuver.id(), maneuver.shape().parts));
    chosen.filter(|chosen| chosen.confidence > 0.5).collect()
}

/// Opposite ways, one soon after the other.
fn follow(first: &Lobe, second: &Lobe, within_s: f64) -> bool {
    first.direction != second.direction && second.first <= first.last + pause(within_s)
}

fn candidate(lobes: &[Judged], first: usize, id: &'static str, parts_wanted: usize) -> Chosen {
    let ordinary: f64 = lobes.iter().map(Judged::ordinary).sum();
    let score = together(lobes, id, parts_wanted);
    let separate: f64 = lobes.iter().map(|lobe| lobe.others(id)).sum();
    let rivals = turning().filter(|other| lobes.len() == 2 && other.id() != id);
    let rivals = rivals.map(|other| together(lobes, other.id(), other.shape().parts));
    let all: Vec<f64> = rivals.chain(std::iter::once(separate)).collect();
    Chosen {
        maneuver: id,
        first,
        lobes: lobes.len(),
        each_its_own: parts_wanted == 1,
        confidence: probability_of_log_odds(score - sum(all.into_iter())),
        runner_up: runner_up(lobes, id),
        gain: score - ordinary,
    }
}

/// How often the other half follows at once: half a figure over the ground is hardly ever flown alone, and hardly to be told from
/// a turn.
fn second_follows(id: &str) -> f64 {
    let over_ground = |found: &dyn maneuver::definition::Maneuver| {
        found.shape().progress == maneuver::definition::Progress::Position
    };
    if maneuver::catalog::find(id).is_some_and(over_ground) {
        OVER_GROUND_FOLLOWS
    } else {
        SECOND_FOLLOWS
    }
}

/// Log of share times density of one figure made of all these lobes, or of one figure flown both ways.
fn together(lobes: &[Judged], id: &str, parts_wanted: usize) -> f64 {
    let separate: f64 = lobes.iter().map(|lobe| lobe.maneuver(id)).sum();
    let second_follows = second_follows(id);
    // The second is not met at random: it follows the first.
    match (lobes, parts_wanted) {
        ([first, second], 2) => {
            let wait_s = STEP_S * second.lobe.first.saturating_sub(first.lobe.last) as f64;
            separate - ln(second.share(id)) + ln(second_follows) - wait_s / WAIT_S
        }
        ([first, second], _) if is_plain(id) => {
            separate - ln(second.share(id)) + ln(EXERCISE_FOLLOWS) + as_exercise(first, second)
        }
        ([_, second], _) => separate - ln(second.share(id)) + ln(OTHER_WAY_FOLLOWS),
        (_, 2) => separate + ln(1.0 - second_follows),
        _ => separate + ln(1.0 - OTHER_WAY_FOLLOWS),
    }
}

/// What two turns of the same round number of degrees say for an exercise, against two turns of any number: log of the ratio.
fn as_exercise(first: &Judged, second: &Judged) -> f64 {
    let density = |turn_deg: f64, wanted_deg: f64| {
        let z = (turn_deg - wanted_deg) / EXERCISE_SIGMA_DEG;
        -0.5 * z * z - ln(EXERCISE_SIGMA_DEG * (2.0 * std::f64::consts::PI).sqrt())
    };
    let turns = [first, second].map(|one| one.features.get(Feature::Turn));
    let of = |wanted_deg: f64| turns.iter().map(|turn| density(*turn, wanted_deg)).sum::<f64>();
    let each = ln(1.0 / EXERCISE_TURNS_DEG.len() as f64);
    sum(EXERCISE_TURNS_DEG.iter().map(|wanted| each + of(*wanted))) + 2.0 * ln(ANY_TURN_DEG)
}

/// The best other explanation of the lobe that is least sure.
fn runner_up(lobes: &[Judged], id: &str) -> String {
    let margin = |lobe: &Judged| lobe.maneuver(id) - lobe.best_other(id).1;
    let weakest = lobes.iter().min_by(|a, b| margin(a).total_cmp(&margin(b)));
    let weakest = weakest.expect("an attempt has at least one lobe");
    let (signature, _) = weakest.best_other(id);
    let below = margin(weakest);
    if below >= 0.0 {
        format!("runner-up: {}; this is {}", signature.words, times_likelier(below))
    } else {
        let times = times_likelier(-below);
        format!("runner-up: {}, which is {times} if it stood alone", signature.words)
    }
}
