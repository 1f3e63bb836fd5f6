//! Limits and how near a flight comes to them.

use super::{Brief, Limit, LimitSide};
use crate::reference::{Condition, Extremes, ReferenceFlight};
use base::factors::{M_PER_FT, MPS_PER_KT};
use flight::airplane::{Airplane, Category};

/// How far the reference stays away from a rule that bites, degrees of bank and of pitch (common practice, no source).
pub(super) const BANK_MARGIN_DEG: f64 = 10.0;
pub(super) const PITCH_MARGIN_DEG: f64 = 5.0;
/// Margin over the stall that a flight under load must keep, kt (common practice, no source).
const LOADED_STALL_MARGIN_KT: f64 = 5.0;
/// A condition of the form missed by more than this is not that form: kt (the tolerance of ACS-C), degrees, m.
const SPEED_MISS_KT: f64 = 10.0;
const ANGLE_MISS_DEG: f64 = 2.0;
const HEIGHT_MISS_M: f64 = 100.0 * M_PER_FT;

/// What is measured against a limit, and how the limit is told.
struct Rule {
    id: &'static str,
    title: &'static str,
    unit: &'static str,
    side: LimitSide,
    source: &'static str,
    hard: bool,
}

impl Rule {
    const fn hard(
        id: &'static str,
        title: &'static str,
        unit: &'static str,
        side: LimitSide,
        source: &'static str,
    ) -> Self {
        Self { id, title, unit, side, source, hard: true }
    }
    const fn soft(
        id: &'static str,
        title: &'static str,
        unit: &'static str,
        side: LimitSide,
        source: &'static str,
    ) -> Self {
        Self { id, title, unit, side, source, hard: false }
    }
    /// Holds a value against the limit.
    fn hold(self, value: f64, limit: f64) -> Limit {
        let Self { id, title, unit, side, source, hard } = self;
        let margin = match side {
            LimitSide::Above => limit - value,
            LimitSide::Below => value - limit,
        };
        // Rounding of the solution must not break a limit that the form meets exactly.
        let kept = margin >= -1e-6 * limit.abs().max(1.0);
        Limit { id, title, value, limit, unit, side, margin, source, kept, hard }
    }
}

/// Worst values over several flights.
pub(super) fn greatest(flights: &[ReferenceFlight], f: fn(&Extremes) -> f64) -> f64 {
    flights.iter().map(|flight| f(&flight.extremes)).fold(f64::MIN, f64::max)
}

/// Every limit, worst over the flights.
pub(super) fn of(
    flights: &[ReferenceFlight],
    airplane: &Airplane,
    category: &Category,
    brief: &Brief,
) -> Vec<Limit> {
    let mut out = airplane_limits(flights, airplane, category, brief);
    out.extend(rules(flights, category, brief));
    out
}

/// Limits of this airplane at this weight.
fn airplane_limits(
    flights: &[ReferenceFlight],
    airplane: &Airplane,
    category: &Category,
    brief: &Brief,
) -> Vec<Limit> {
    use LimitSide::{Above, Below};
    let entry_kt = flights[0].samples[0].indicated_airspeed_mps / MPS_PER_KT;
    let fastest_kt = greatest(flights, |e| e.speed_max_kt);
    let speeds = &airplane.speeds;
    let loaded: Option<f64> = flights
        .iter()
        .filter_map(|flight| flight.extremes.stall_margin_loaded_min_kt)
        .min_by(f64::total_cmp);
    let mut out = vec![
        Rule::hard("stall-margin", "slowest over stall", "kt", Below, "common-practice")
            .hold(-greatest(flights, |e| -e.stall_margin_min_kt), 0.0),
        Rule::hard("load-factor", "greatest load", "g", Above, "14-CFR-23-A")
            .hold(greatest(flights, |e| e.load_factor_max), category.load_factor_max.to_g()),
        Rule::hard("load-factor-least", "least load", "g", Below, "14-CFR-23-A")
            .hold(-greatest(flights, |e| -e.load_factor_min), category.load_factor_min.to_g()),
        Rule::hard("entry-speed", "entry speed to VA at this weight", "kt", Above, "ACS-C")
            .hold(entry_kt, airplane.maneuvering_speed(brief.mass).to_kt()),
        Rule::soft("normal-max", "fastest to VNO", "kt", Above, "common-practice")
            .hold(fastest_kt, speeds.normal_max.to_kt()),
        Rule::hard("never-exceed", "fastest to VNE", "kt", Above, "common-practice")
            .hold(fastest_kt, speeds.never_exceed.to_kt()),
    ];
    let title = "slowest over stall under load (above 1.2 g)";
    let rule = Rule::hard("stall-margin-loaded", title, "kt", Below, "common-practice");
    out.extend(loaded.map(|margin_kt| rule.hold(margin_kt, LOADED_STALL_MARGIN_KT)));
    out
}

/// Floors and rules of bank and pitch.
fn rules(flights: &[ReferenceFlight], category: &Category, brief: &Brief) -> Vec<Limit> {
    use LimitSide::{Above, Below};
    let bank_deg = greatest(flights, |e| e.bank_max_deg);
    let height_low_ft = (brief.height.to_m() - greatest(flights, |e| -e.height_low_m)) / M_PER_FT;
    let parachute = "14-CFR-91.307";
    let floor = |floor_ft| {
        Rule::hard("floor", "lowest to the floor", "ft", Below, "ACS-C")
            .hold(height_low_ft, floor_ft)
    };
    let mut out: Vec<Limit> = brief.floor_ft().map(floor).into_iter().collect();
    out.extend([
        Rule::soft("parachute-bank", "bank, parachute rule", "deg", Above, parachute)
            .hold(bank_deg, 60.0),
        Rule::soft("parachute-nose-up", "nose up, parachute rule", "deg", Above, parachute)
            .hold(greatest(flights, |e| e.pitch_max_deg), 30.0),
        Rule::soft("parachute-nose-down", "nose down, parachute rule", "deg", Above, parachute)
            .hold(greatest(flights, |e| -e.pitch_min_deg), 30.0),
    ]);
    let limit_deg = category_bank_deg(category);
    let category_bank =
        Rule::hard("category-bank", "bank of this category", "deg", Above, "14-CFR-23.3");
    out.extend(limit_deg.map(|limit_deg| category_bank.hold(bank_deg, limit_deg)));
    out
}

/// Steepest bank of a category, degrees; `None` where the rule sets none. A name that is no category of the rule is held to the
/// strictest.
///
/// # Source
/// 14-CFR-23.3: normal to 60, utility to 90, acrobatic without restriction but those of its flight tests.
pub(super) fn category_bank_deg(category: &Category) -> Option<f64> {
    match category.name.as_str() {
        "acrobatic" => None,
        "utility" => Some(90.0),
        _ => Some(60.0),
    }
}

/// A limit that is passed, in words with numbers.
pub(super) fn sentence(limit: &Limit) -> String {
    let Limit { title, value, limit, unit, side, .. } = limit;
    let word = match side {
        LimitSide::Above => "above",
        LimitSide::Below => "below",
    };
    format!("{title}: {value:.1} {unit} is {word} the limit of {limit:.1} {unit}")
}

/// Angles are told from their bounds no finer than this, degrees: rounding of a solution that lies on a bound.
const ANGLE_SLACK_DEG: f64 = 1e-4;

/// Conditions of the form that the flight misses: those by so much that it is not the form, and those told with care.
pub(super) fn missed(flights: &[ReferenceFlight]) -> (Vec<String>, Vec<String>) {
    let (mut broken, mut near) = (Vec::new(), Vec::new());
    for condition in flights.iter().flat_map(|flight| &flight.conditions) {
        let Condition { name, wanted, reached, unit } = condition;
        let most = match *unit {
            "kt" => SPEED_MISS_KT,
            "deg" => ANGLE_MISS_DEG,
            _ => HEIGHT_MISS_M,
        };
        let miss = (reached - wanted).abs();
        let text = format!("{name}: {reached:.0} {unit} where the form wants {wanted:.0}");
        let list = if miss > most { &mut broken } else { &mut near };
        if miss > 0.1 * most && !list.contains(&text) {
            list.push(text);
        }
    }
    (broken, near)
}

/// What the flight needs although every hard limit is kept, one sentence each.
pub(super) fn needs(
    flights: &[ReferenceFlight],
    category: &Category,
    limits: &[Limit],
) -> Vec<String> {
    let greatest = |f: fn(&Extremes) -> f64| greatest(flights, f);
    let bank_deg = greatest(|e| e.bank_max_deg);
    let mut out: Vec<String> = parachutes(flights).into_iter().collect();
    out.extend(missed(flights).1.into_iter().map(|text| format!("care: {text}")));
    let limit_deg = category_bank_deg(category);
    if let Some(limit_deg) =
        limit_deg.filter(|limit| bank_deg > limit - BANK_MARGIN_DEG + ANGLE_SLACK_DEG)
    {
        let name = &category.name;
        let left_deg = (limit_deg - bank_deg).max(0.0);
        out.push(format!(
            "care with bank: {bank_deg:.0} degrees leaves {left_deg:.0} to the limit of {limit_deg:.0} of the {name} \
             category (14 CFR 23.3); {BANK_MARGIN_DEG:.0} is the usual margin (common practice, no source)"
        ));
    }
    // The parachute rule has a sentence of its own.
    let soft = limits.iter().filter(|l| !l.kept && !l.hard && !l.id.starts_with("parachute"));
    out.extend(soft.map(|limit| format!("care: {}", sentence(limit))));
    let load = greatest(|e| e.load_factor_max);
    let rolling = flight::envelope::categories::rolling_limit_load(category.load_factor_max).to_g();
    if load > rolling {
        out.push(format!(
            "care with aileron under load: {load:.1} g is above two thirds ({rolling:.1} g) of the limit, the usual \
             limit while rolling (from memory, to be confirmed in the flight manual)"
        ));
    }
    if greatest(|e| -e.stall_margin_min_kt) > -3.0 {
        out.push(
            "a stall and recovery in hand: the slowest point is within 3 kt of the stall".into(),
        );
    }
    out
}

/// The parachute rule, when the flight comes near its bounds.
fn parachutes(flights: &[ReferenceFlight]) -> Option<String> {
    let bank_deg = greatest(flights, |e| e.bank_max_deg);
    let pitch_deg = greatest(flights, |e| e.pitch_max_deg.max(-e.pitch_min_deg));
    let angles =
        [("bank", bank_deg, 60.0, BANK_MARGIN_DEG), ("pitch", pitch_deg, 30.0, PITCH_MARGIN_DEG)];
    let near: Vec<String> = angles
        .iter()
        .filter(|(_, angle, bound, margin)| *angle > bound - margin + ANGLE_SLACK_DEG)
        .map(|(name, angle, bound, _)| {
            let word = if *angle > bound + 0.05 {
                "beyond"
            } else if *angle > bound - 0.05 {
                "at"
            } else {
                "near"
            };
            // A bound passed by a few tenths must not read as if it were met.
            let decimals = usize::from((angle - bound).abs() < 0.5 && word != "at");
            format!("{name} of {angle:.decimals$} degrees is {word} {bound:.0}")
        })
        .collect();
    (!near.is_empty()).then(|| {
        format!(
            "parachutes for all aboard if anyone but crew is aboard: {} (14 CFR 91.307)",
            near.join(", ")
        )
    })
}
