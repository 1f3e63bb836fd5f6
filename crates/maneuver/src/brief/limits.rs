//! Limits and how near a flight comes to them.

use super::judge::Case;
use super::recovery::Recoveries;
use super::{Limit, LimitSide};
use crate::definition::Maneuvering;
use crate::reference::{Condition, Extremes, ReferenceFlight, read_apart};
use base::factors::{M_PER_FT, MPS_PER_KT, RAD_PER_DEG};
use base::frames::Attitude;
use base::kinds::GeometricHeight;
use flight::air::SEA_LEVEL_DENSITY_KGPM3;
use flight::airplane::{Category, PropellerPitch, Thrust};
use flight::trajectory::FlightSample;

/// How far the reference stays away from a rule that bites, degrees of bank and of pitch (common practice, no source).
pub(super) const BANK_MARGIN_DEG: f64 = 10.0;
pub(super) const PITCH_MARGIN_DEG: f64 = 5.0;
/// Margin over the stall that a flight under load must keep, kt (common practice, no source).
const LOADED_STALL_MARGIN_KT: f64 = 5.0;
/// A condition of the form missed by more than this is not that form: kt (the tolerance of ACS-C), degrees, m.
const SPEED_MISS_KT: f64 = 10.0;
const ANGLE_MISS_DEG: f64 = 2.0;
const HEIGHT_MISS_M: f64 = 100.0 * M_PER_FT;

/// Key of the limit that holds the fastest of a figure to maneuvering speed.
pub(super) const MANEUVERING_SPEED: &str = "maneuvering-speed";

/// What is measured against a limit, and how the limit is told.
pub(super) struct Rule {
    id: &'static str,
    title: &'static str,
    unit: &'static str,
    side: LimitSide,
    source: &'static str,
    hard: bool,
}

impl Rule {
    pub(super) const fn hard(
        id: &'static str,
        title: &'static str,
        unit: &'static str,
        side: LimitSide,
        source: &'static str,
    ) -> Self {
        Self { id, title, unit, side, source, hard: true }
    }
    pub(super) const fn soft(
        id: &'static str,
        title: &'static str,
        unit: &'static str,
        side: LimitSide,
        source: &'static str,
    ) -> Self {
        Self { id, title, unit, side, source, hard: false }
    }
    /// Holds a value against the limit.
    pub(super) fn hold(self, value: f64, limit: f64) -> Limit {
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
pub(super) fn of(flights: &[ReferenceFlight], category: &Category, case: &Case<'_>) -> Vec<Limit> {
    let mut out = airplane_limits(flights, category, case);
    out.extend(engine_limits(flights, case));
    out.extend(rules(flights, category, case));
    out
}

/// Limits of this airplane at this weight.
fn airplane_limits(
    flights: &[ReferenceFlight],
    category: &Category,
    case: &Case<'_>,
) -> Vec<Limit> {
    use LimitSide::{Above, Below};
    let airplane = case.airplane;
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
        entry_speed(entry_kt, case),
    ];
    out.extend(maneuvering_speed(fastest_kt, case));
    match &airplane.flaps_set {
        Some(flap) => out.push(
            Rule::hard("flaps-extended", "fastest to VFE", "kt", Above, "14-CFR-23.345")
                .hold(fastest_kt, flap.extended_max.to_kt()),
        ),
        None => out.extend([
            Rule::soft("normal-max", "fastest to VNO", "kt", Above, "common-practice")
                .hold(fastest_kt, speeds.normal_max.to_kt()),
            Rule::hard("never-exceed", "fastest to VNE", "kt", Above, "common-practice")
                .hold(fastest_kt, speeds.never_exceed.to_kt()),
        ]),
    }
    if let Some(load) = rolling_load(flights) {
        let most = flight::envelope::categories::rolling_limit_load(category.load_factor_max);
        let title = "greatest load while rolling";
        let rule = Rule::soft("load-factor-rolling", title, "g", Above, "14-CFR-23.349");
        out.push(rule.hold(load, most.to_g()));
    }
    let title = "slowest over stall, loaded (above 1.2 g)";
    let rule = Rule::hard("stall-margin-loaded", title, "kt", Below, "common-practice");
    out.extend(loaded.map(|margin_kt| rule.hold(margin_kt, LOADED_STALL_MARGIN_KT)));
    // A figure that is meant to stall is not held to a margin over the stall.
    if flights.iter().any(|flight| flight.stalls) {
        out.retain(|limit| !limit.id.starts_with("stall-margin"));
    }
    out
}

/// Faster than this the wings are said to roll, rad/s: 5 degrees a second.
const ROLLS_RADPS: f64 = 5.0 * RAD_PER_DEG;

/// Greatest load while the airplane rolls about its own axis (the bank jumps where a loop passes the vertical, the roll does not);
/// `None` when it never does.
fn rolling_load(flights: &[ReferenceFlight]) -> Option<f64> {
    let pairs = flights.iter().flat_map(|flight| flight.samples.windows(2));
    let attitude = |sample: &FlightSample| {
        let (heading_rad, pitch_rad) = (sample.heading_rad, sample.pitch_rad);
        Attitude { heading_rad, pitch_rad, bank_rad: sample.bank_rad }.body_from_ned()
    };
    let rolls = |pair: &&[FlightSample]| {
        let between = attitude(&pair[0]).inverse().then(&attitude(&pair[1]));
        let rows = between.rows();
        let turned = 0.5 * (rows[1][2] - rows[2][1]);
        let seconds = pair[1].time_s - pair[0].time_s;
        seconds > 0.0 && turned.abs() > ROLLS_RADPS * seconds
    };
    pairs
        .filter(rolls)
        .map(|pair| pair[0].load_factor.max(pair[1].load_factor))
        .max_by(f64::total_cmp)
}

/// Power and propeller.
fn engine_limits(flights: &[ReferenceFlight], case: &Case<'_>) -> Vec<Limit> {
    let samples = || flights.iter().flat_map(|flight| &flight.samples);
    let power = samples().map(|s| 100.0 * s.power_share).fold(0.0, f64::max);
    let rule = Rule::hard(
        "power",
        "greatest power of what there is",
        "%",
        LimitSide::Above,
        "common-practice",
    );
    let mut out = vec![rule.hold(power, 100.0)];
    let speed = |sample: &FlightSample| {
        let air = case.day.air_at(GeometricHeight::from_m(sample.height_m));
        let ratio = air.density.to_kgpm3() / SEA_LEVEL_DENSITY_KGPM3;
        propeller_speed(&case.airplane.thrust, sample, ratio)
    };
    let fastest = samples().filter_map(speed).max_by(f64::total_cmp);
    let title = "propeller speed of the rated";
    let rule = Rule::soft("propeller-speed", title, "%", LimitSide::Above, "common-practice");
    out.extend(fastest.map(|share| rule.hold(100.0 * share, 100.0)));
    // The dive with the throttle forgotten: what a fixed pitch makes of full power at the fastest point.
    let top = samples().max_by(|a, b| a.true_airspeed_mps.total_cmp(&b.true_airspeed_mps));
    let open = top.and_then(|sample| speed(&FlightSample { power_share: 1.0, ..*sample }));
    // Where it is flown with the throttle open there, the limit above says all.
    let open = open.filter(|open| fastest.is_none_or(|flown| open - flown > 5e-4));
    let title = "propeller speed, throttle open";
    let rule = Rule::soft("propeller-speed-open", title, "%", LimitSide::Above, "common-practice");
    out.extend(open.map(|share| rule.hold(100.0 * share, 100.0)));
    out
}

/// Speed of rotation of a fixed-pitch propeller over the rated one; `None` with a governor.
///
/// The file says that full power is taken up from one airspeed on, at the rated speed of rotation, and only a share of it at a
/// standstill. With an engine of constant torque and a torque coefficient of the propeller linear in the advance ratio,
/// `density (a r^2 - b r V)` is the torque at the share `r` of the rated speed, with `a = 1 / s^2` (standstill) and
/// `b = (a - 1) / V_full` (rated): the power at this throttle fixes `r` by one cubic, solved by halving.
fn propeller_speed(thrust: &Thrust, sample: &FlightSample, density_ratio: f64) -> Option<f64> {
    let Thrust::Propeller(propeller) = thrust else { return None };
    let PropellerPitch::Fixed { static_power_share, full_power_at } = propeller.pitch else {
        return None;
    };
    let (speed, full_mps) = (sample.true_airspeed_mps, full_power_at.to_mps());
    let a = 1.0 / (static_power_share * static_power_share);
    let b = (a - 1.0) / full_mps;
    let reached = (speed * density_ratio.sqrt() / full_mps).clamp(0.0, 1.0);
    let taken_up = static_power_share + (1.0 - static_power_share) * reached;
    let power = sample.power_share * flight::point_mass::power_lapse(density_ratio) * taken_up;
    let excess = |r: f64| density_ratio * (a * r * r * r - b * r * r * speed) - power;
    base::numerics::root::find(excess, b * speed / a, 3.0, 1e-9).ok()
}

/// The bad recovery against the floor and the never-exceed speed.
pub(super) fn of_recovery(recoveries: &Recoveries, case: &Case<'_>) -> Vec<Limit> {
    let bad = &recoveries.bad;
    let low_ft = (case.height.to_m() + bad.lowest_m) / M_PER_FT;
    // What is shown as a hazard has no room for a bad recovery beyond a limit.
    let rule = if case.maneuver.hazard().is_some() { Rule::hard } else { Rule::soft };
    let title = "bad recovery, to the floor";
    let floor_rule = rule("recovery-floor", title, "ft", LimitSide::Below, "training-aid");
    let mut out: Vec<Limit> =
        case.floor_ft().map(|floor| floor_rule.hold(low_ft, floor)).into_iter().collect();
    let title = match case.airplane.flaps_set {
        Some(_) => "fastest in a bad recovery, to VFE",
        None => "fastest in a bad recovery, to VNE",
    };
    let speed_rule = rule("recovery-speed", title, "kt", LimitSide::Above, "training-aid");
    out.push(speed_rule.hold(bad.fastest_kt, case.airplane.speeds.never_exceed.to_kt()));
    out
}

/// The lowest of a whole series, to the floor; the single figure has a line of its own.
pub(super) fn of_series(low_m: f64, case: &Case<'_>) -> Option<Limit> {
    let rule = Rule::hard(
        "series-floor",
        "lowest of the series, to the floor",
        "ft",
        LimitSide::Below,
        "ACS-C",
    );
    case.floor_ft().map(|floor| rule.hold(low_m / M_PER_FT, floor))
}

/// Entry speed: to maneuvering speed, or to the speed that the maker approves for this figure where that is higher.
fn entry_speed(entry_kt: f64, case: &Case<'_>) -> Limit {
    use LimitSide::Above;
    let maneuvering_kt = case.airplane.maneuvering_speed(case.mass).to_kt();
    match case.airplane.approved_entry(case.maneuver.id()).map(|speed| speed.to_kt()) {
        Some(approved_kt) if approved_kt > maneuvering_kt => {
            let title = "entry speed to the maker's";
            Rule::hard("entry-speed", title, "kt", Above, "common-practice")
                .hold(entry_kt, approved_kt)
        }
        _ => Rule::hard("entry-speed", "entry speed to VA at this weight", "kt", Above, "ACS-C")
            .hold(entry_kt, maneuvering_kt),
    }
}

/// Maneuvering speed at this weight, indicated, kt, where all of the figure is held to it: `None` where the figure has an entry speed of its
/// own above it, or dives in it.
pub(super) fn maneuvering_kept_kt(case: &Case<'_>) -> Option<f64> {
    let maneuvering = case.airplane.maneuvering_speed(case.mass);
    let own = case.airplane.approved_entry(case.maneuver.id());
    let kept = !matches!(case.maneuver.maneuvering(), Maneuvering::AtEntry)
        && own.is_none_or(|approved| approved <= maneuvering);
    kept.then(|| maneuvering.to_kt())
}

/// The fastest of the figure to maneuvering speed, with a margin of its own: the entry alone says nothing of what a figure gains on its way.
fn maneuvering_speed(fastest_kt: f64, case: &Case<'_>) -> Option<Limit> {
    let maneuvering_kt = maneuvering_kept_kt(case)?;
    let (id, title, side) = (MANEUVERING_SPEED, "fastest to VA at this weight", LimitSide::Above);
    let rule = match case.maneuver.maneuvering() {
        Maneuvering::Kept => Rule::soft(id, title, "kt", side, "14-CFR-23"),
        Maneuvering::Never(source) => Rule::hard(id, title, "kt", side, source),
        Maneuvering::AtEntry => return None,
    };
    Some(rule.hold(fastest_kt, maneuvering_kt))
}

/// Floors and rules of bank and pitch.
fn rules(flights: &[ReferenceFlight], category: &Category, case: &Case<'_>) -> Vec<Limit> {
    use LimitSide::{Above, Below};
    let bank_deg = greatest(flights, |e| e.bank_max_deg);
    // The flight's own heights: a figure may choose its entry, as eights on pylons do.
    let heights = flights.iter().flat_map(|flight| &flight.samples).map(|sample| sample.height_m);
    let height_low_ft = heights.fold(f64::INFINITY, f64::min) / M_PER_FT;
    let parachute = "14-CFR-91.307";
    let source = case.maneuver.floor().source;
    let floor = |floor_ft: f64| {
        Rule::hard("floor", "lowest to the floor", "ft", Below, source)
            .hold(height_low_ft, floor_ft)
    };
    let mut out: Vec<Limit> = case.floor_ft().map(floor).into_iter().collect();
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
    let [value, limit] = read_apart(*value, *limit).map(|number| with_unit(&number, unit));
    format!("{title}: {value} is {word} the limit of {limit}")
}

/// A number with its unit.
fn with_unit(number: &str, unit: &str) -> String {
    match unit {
        "deg" => format!("{number} degrees"),
        unit => format!("{number} {unit}"),
    }
}

/// What a margin must be not to be told as thin: of the load and of V_NE a share of the limit, of heights what is held at best
/// (ACS-C), of the edge of an area what is seen from the air (common practice, no source).
const THIN_SHARE: f64 = 0.05;
const THIN_FT: f64 = 100.0;
const THIN_NM: f64 = 0.1;

/// A limit that is kept by less than a hand or the air may take, in words; `None` where there is room, where the form itself flies
/// on the limit (full power, the maker's entry speed), and where another sentence tells it.
fn thin(limit: &Limit) -> Option<String> {
    let least = match limit.id {
        "load-factor"
        | "load-factor-least"
        | "load-factor-rolling"
        | "never-exceed"
        | "recovery-speed" => THIN_SHARE * limit.limit.abs(),
        "floor" | "series-floor" | "recovery-floor" | "country-floor" | "cloud-base"
        | "area-top" => THIN_FT,
        "area-edge" => THIN_NM,
        _ => return None,
    };
    // A height found to keep the margin keeps it but for rounding.
    if !limit.kept || limit.margin > least - 1e-6 * limit.limit.abs().max(1.0) {
        return None;
    }
    let Limit { title, value, limit, unit, margin, .. } = limit;
    let [value, limit] = read_apart(*value, *limit);
    let decimals = if margin.abs() < 1.0 { 2 } else { 0 };
    let left = with_unit(&format!("{margin:.decimals$}"), unit);
    Some(format!("thin margin: {title}: {value} of {limit} leaves {left}"))
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

/// Whether a speed of the form is not held: at full power it asks for more than there is.
pub(super) fn too_slow(flights: &[ReferenceFlight]) -> bool {
    let mut conditions = flights.iter().flat_map(|flight| &flight.conditions);
    conditions.any(|one| one.unit == "kt" && one.wanted - one.reached > 0.1 * SPEED_MISS_KT)
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
    let soft = limits.iter().filter(|l| {
        !l.kept && !l.hard && !l.id.starts_with("parachute") && !super::controls::is_one(l)
    });
    out.extend(soft.map(|limit| match limit.id {
        "normal-max" => format!("smooth air only: {}", sentence(limit)),
        _ => format!("care: {}", sentence(limit)),
    }));
    out.extend(limits.iter().filter_map(thin));
    let under_kt = greatest(|e| -e.stall_margin_min_kt);
    if under_kt > 0.0 {
        out.push(format!(
            "a stall with its recovery: the wing is taken past its greatest lift, {under_kt:.0} kt slower than a wing that is not stalled would fly at that angle of attack"
        ));
    } else if under_kt > -3.0 {
        out.push(
            "recovery from a stall ready: the slowest point is within 3 kt of the stall".into(),
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
