//! Causes, and what to keep, to change, to practise.
//!
//! Each fault of a part that a re-flight can mend is flown again with it mended. What an outcome (heading, height, speed at the end)
//! came from is the mended thing whose re-flight takes most of the error away; when two do so equally well, none is named.
//! Linear in the length of the part for each fault.

use std::collections::BTreeMap;

use base::factors::M_PER_FT;
use base::written::fixed;

use crate::attempt::{Attempt, AttemptPart, FaultFound, Finding, Verdict};
use crate::faults::{self, Seen};
use crate::part::Part;
use crate::refly::{self, Intent, Mend, Refly};

/// What to keep, what to change, what to practise; and what to ask before any of it is shown.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Coaching {
    /// What was best.
    pub strength: Option<String>,
    /// The one thing to change next.
    pub change: Option<String>,
    /// What to practise for it.
    pub drill: Option<String>,
    /// Hands and feet to the side flown, where they differ from left to right.
    pub side: Option<String>,
    /// For the student to answer before the figures are seen.
    pub questions: Vec<&'static str>,
}

/// A cause explains an outcome when it takes this share of the error away,
const EXPLAINS: f64 = 0.5;
/// and is named when it does so better than the next by this much.
const BETTER: f64 = 0.15;

/// Faults of every part, their causes and re-flights, and the coaching of the whole.
pub(crate) fn coach(
    parts: &[Part<'_>],
    flown: &mut [AttemptPart],
    ground_elevation_m: Option<f64>,
) -> Coaching {
    let ground_ft = ground_elevation_m.map(|height_m| height_m / M_PER_FT);
    for (index, part) in parts.iter().enumerate() {
        let other = match parts {
            [first, second] => Some(if index == 0 { second } else { first }),
            _ => None,
        };
        let measures = std::mem::take(&mut flown[index].measures);
        let mut found = faults::find(&Seen { part, other, measures: &measures, ground_ft });
        let intent = Intent { ground_m: ground_elevation_m, ..Intent::default() };
        diagnose(part, other, intent, &mut found);
        flown[index].measures = measures;
        flown[index].faults = found;
    }
    let maneuver = parts.first().map_or("", |part| part.maneuver);
    conclude(maneuver, flown)
}

/// Flies the part again for each fault that can be mended, and names causes.
fn diagnose(part: &Part<'_>, other: Option<&Part<'_>>, intent: Intent, found: &mut [FaultFound]) {
    let mends = found.iter().filter_map(|fault| faults::of(fault.id)?.mend);
    let mut reflown: BTreeMap<Mend, Option<Refly>> = mends.map(|mend| (mend, None)).collect();
    for (mend, refly) in &mut reflown {
        *refly = refly::refly(part, other, *mend, intent);
    }
    let reflown: Vec<Refly> = reflown.into_values().flatten().collect();
    for fault in found {
        let Some(known) = faults::of(fault.id) else { continue };
        fault.refly =
            known.mend.and_then(|mend| reflown.iter().find(|refly| refly.mend == mend)).cloned();
        fault.cause = outcome(fault.id).and_then(|key| cause(key, &reflown));
    }
}

/// The outcome that a fault is an error of: key of the figure of a re-flight.
fn outcome(id: &str) -> Option<&'static str> {
    match id {
        "rolled-out-early" | "rolled-out-late" | "stopped-short" => Some("heading_error_deg"),
        "height-lost" | "height-gained" => Some("height_change_at_end_ft"),
        "speed-high-at-the-end" | "speed-low-at-the-end" => Some("airspeed_change_at_end_kt"),
        _ => None,
    }
}

/// The cause that explains an outcome best, unless another does so as well.
fn cause(key: &str, reflown: &[Refly]) -> Option<String> {
    let mut shares: Vec<(f64, &Refly)> =
        reflown.iter().filter_map(|refly| Some((refly.explains(key)?, refly))).collect();
    shares.sort_by(|a, b| b.0.total_cmp(&a.0));
    let &(best, refly) = shares.first().filter(|(share, _)| *share >= EXPLAINS)?;
    let next = shares.get(1).map_or(0.0, |(share, _)| *share);
    (best - next >= BETTER).then(|| {
        let gone = match 100.0 * best {
            all if all >= 99.5 => "nothing of this error is left".into(),
            percent => format!("{percent:.0} % of this error is gone"),
        };
        format!("{}: mended, {gone}", refly.mend.cause())
    })
}

/// One strength, one change, one drill.
fn conclude(maneuver: &str, flown: &[AttemptPart]) -> Coaching {
    let worst = flown
        .iter()
        .flat_map(|part| part.faults.iter().map(move |fault| (part, fault)))
        .max_by(|a, b| a.1.severity.total_cmp(&b.1.severity));
    let known = worst.and_then(|(_, fault)| faults::of(fault.id));
    let change = worst.zip(known).map(|((_, fault), known)| {
        let refly = fault.refly.as_ref().filter(|refly| refly.offered);
        let outcome = refly.map_or_else(String::new, |refly| format!(" ({})", refly.sentence));
        format!("{}{outcome}", known.remedy_in(maneuver))
    });
    let side = worst.zip(known).filter(|(_, known)| known.sided).and_then(|((part, _), _)| {
        let direction = part.direction?;
        feet(maneuver, direction).map(Into::into)
    });
    Coaching {
        strength: strength(flown),
        change,
        drill: known.map(|known| known.drill.into()),
        side,
        questions: questions(maneuver),
    }
}

/// The finding that was met with most to spare.
fn strength(flown: &[AttemptPart]) -> Option<String> {
    let used = |finding: &Finding| -> Option<f64> {
        let (value, low, high) = (finding.estimate?.value, finding.low?, finding.high?);
        let half = 0.5 * (high - low);
        (half > 0.0).then(|| (value - 0.5 * (low + high)).abs() / half)
    };
    let met = flown
        .iter()
        .flat_map(|part| &part.findings)
        .filter(|finding| finding.verdict == Verdict::Met);
    let (finding, _) = met
        .filter_map(|finding| Some((finding, used(finding)?)))
        .min_by(|a, b| a.1.total_cmp(&b.1))?;
    let value = fixed(finding.estimate?.value, 0);
    let measured = match finding.unit {
        "deg" => format!("{value}°"),
        unit => format!("{value} {unit}"),
    };
    Some(format!("{}: {measured} (asked: {})", finding.title, finding.tolerance))
}

/// Hands and feet, propeller turning clockwise seen from the cockpit (common practice, no source).
fn feet(maneuver: &str, direction: maneuver::Direction) -> Option<&'static str> {
    let right = direction == maneuver::Direction::Right;
    Some(match (maneuver, right) {
        ("chandelle", false) => {
            "to the left: the roll-out is right aileron at low speed and high power, so much right foot with it; without it the ball goes right and the nose past the heading"
        }
        ("chandelle", true) => {
            "to the right: ease the right foot in the roll-out, put it back when the wings are level; without it the nose drifts left"
        }
        ("lazy-eight" | "wing-over", false) => {
            "to the left: quiet feet going in, most right foot after the 90-degree point"
        }
        ("lazy-eight" | "wing-over", true) => {
            "to the right: right foot that grows to the 90-degree point with some left aileron, then ease it"
        }
        ("steep-turn", false) => {
            "to the left: hardly any rudder in the turn; from the left seat the picture tempts to dive"
        }
        ("steep-turn", true) => {
            "to the right: right foot and a little more pull; from the left seat the picture tempts to climb"
        }
        _ => return None,
    })
}

/// Asked before the figures are seen: the student's own account first.
fn questions(maneuver: &str) -> Vec<&'static str> {
    let mut out = vec![
        "What went best?",
        "Where did it begin to go away from the plan, and what did you see there?",
    ];
    out.push(match maneuver {
        "chandelle" => "At which point on the horizon did you begin the roll-out, and how did the controls feel at the end?",
        "lazy-eight" | "wing-over" => "Where was the nose at the 90-degree point, and were the two sides alike?",
        "steep-turn" | "standard-rate-turn" => "What did you look at to hold the height, and when did you begin the roll-out?",
        "slow-flight" => "What told you the speed without the indicator, and which hand held the height?",
        "power-off-stall" | "power-on-stall" | "accelerated-stall" => "Which sign of the stall came first, and what did you do first?",
        "s-turns" | "turns-around-a-point" | "rectangular-course" | "eights-on-pylons" => {
            "Where was the wind, and where did you carry the most bank?"
        }
        _ => "What did you look at, and what did your hands and feet do there?",
    });
    out.push("How close to heading, height and speed do you think it ended?");
    out.push("What would you do otherwise next time?");
    out
}

/// Steep turns one way and then the other are a pair, flown at one bank: where one is on the bank of a form and the other is not, the
/// other is off. What one turn alone does not tell.
pub(crate) fn pair_up(attempts: &mut [Attempt]) {
    /// A pair follows within this time, s.
    const PAIR_S: f64 = 180.0;
    for i in 1..attempts.len() {
        let (before, after) = attempts.split_at_mut(i);
        let (one, other) = (&mut before[i - 1], &mut after[0]);
        let steep = one.maneuver == "steep-turn" && other.maneuver == "steep-turn";
        let ways = one.direction != other.direction;
        if steep && ways && other.start_s - one.end_s < PAIR_S {
            off_the_pair(one, other);
            off_the_pair(other, one);
        }
    }
}

/// Names the bank of one turn when it is off that of the other, which is on its form.
fn off_the_pair(one: &mut Attempt, other: &Attempt) {
    const ON_FORM_DEG: f64 = 2.0;
    const APART_DEG: f64 = 5.0;
    let held = |attempt: &Attempt| {
        let measures = &attempt.parts.first()?.measures;
        measures.iter().find(|measure| measure.key == "bank_mean_middle_deg")?.estimate
    };
    let Some((own, good)) = held(one).zip(held(other)) else { return };
    let away = |attempt: &Attempt, bank: f64| {
        attempt.form.parse::<f64>().map_or(f64::INFINITY, |form| (form - bank).abs())
    };
    let (of_own, of_good) = (away(one, own.value), away(other, good.value));
    let apart = own.value - good.value;
    let sure = apart.abs() > APART_DEG + 1.645 * base::math::hypot(own.sigma, good.sigma);
    if of_good > ON_FORM_DEG || of_own <= of_good || !sure {
        return;
    }
    let id = if apart > 0.0 { "bank-too-steep" } else { "bank-too-shallow" };
    let Some(part) = one.parts.first_mut() else { return };
    if part.faults.iter().any(|fault| fault.id == id) {
        return;
    }
    part.faults.push(FaultFound {
        id,
        evidence: format!(
            "mean bank {:.0}°, where the other turn of the pair had {:.0}°",
            own.value, good.value
        ),
        severity: 1.0 + (apart.abs() - APART_DEG) / APART_DEG,
        cause: None,
        refly: None,
    });
    part.faults.sort_by(|a, b| b.severity.total_cmp(&a.severity));
    one.coaching = conclude(one.maneuver, &one.parts);
}
