//! The safety sheet: what is computed here and what only people can check; rules by country.

use base::factors::{M_PER_FT, M_PER_MI};

use flight::airplane::{PropellerPitch, Thrust};

use super::judge::{Case, Judged, thousands};
use super::limits::{Rule as LimitRule, greatest};
use super::{Limit, LimitSide, SafetyLine, Whose};
use crate::definition::Sourced;
use crate::rules::{self, Check, Country, Rule};

/// What is the instructor's for every figure, wherever it is flown.
const YOURS: &[Sourced] = &[
    Sourced {
        text: "the flight manual and placards: that this figure is approved for this airplane, category and loading",
        source: "common-practice",
    },
    Sourced {
        text: "clearing turns: at least 180 degrees in all, the last part the way of the figure",
        source: "CNATRA-P-1212",
    },
    Sourced {
        text: "where the rules of the country are not carried here, its own floors, limits and ratings",
        source: "common-practice",
    },
    Sourced {
        text: "loose articles stowed, belts, fuel, engine in the green, a field within reach",
        source: "common-practice",
    },
    Sourced {
        text: "the body: pulling up drains blood from the head, fatigue and dehydration lower what it bears",
        source: "AIM-8-1-7",
    },
    Sourced {
        text: "instructor's gates, agreed before the flight: the bank, pitch, speed, height and load at which control is taken; those proposed here are the computed flight with a margin, a training aid",
        source: "training-aid",
    },
    Sourced {
        text: "escape, from any point: unload, roll to the nearest horizon, power as the speed requires",
        source: "common-practice",
    },
];

/// The lines of one maneuver: the figure's own first, what is checked, what is not, then the countries.
pub(super) fn lines(case: &Case<'_>, judged: &Judged) -> Vec<SafetyLine> {
    let mut out: Vec<SafetyLine> = Vec::new();
    let yours = |line: &Sourced| SafetyLine::of(*line, Whose::YoursToCheck);
    out.extend(case.maneuver.hazard().iter().map(yours));
    if !judged.limits.is_empty() {
        out.extend(checked(case, judged));
    }
    let floor = floor(case, judged);
    out.extend(floor);
    out.extend(case.maneuver.unpublished().iter().map(yours));
    // A caution that says the same as the figure's own statement is not said twice.
    let told = out.iter().map(|line| line.line).collect::<Vec<_>>();
    let cautions = case.maneuver.cautions().iter().filter(|line| !told.contains(line));
    out.extend(cautions.map(yours));
    out.extend(YOURS.iter().map(yours));
    let countries: Vec<&Country> =
        case.country.map_or_else(|| rules::ALL.iter().collect(), |country| vec![country]);
    for country in countries {
        let about = country.rules.iter().filter(|r| r.is_about(case.maneuver, &case.form));
        out.extend(about.map(|rule| of_country(case, judged, country, rule)));
    }
    out
}

/// What the limits of the brief hold.
fn checked(case: &Case<'_>, judged: &Judged) -> Vec<SafetyLine> {
    let here = |text, source| SafetyLine::of(Sourced { text, source }, Whose::CheckedHere);
    let mut out = vec![here(
        "load, also while rolling, stall margin and speeds of the computed flight against this airplane's limits",
        "common-practice",
    )];
    out[0].finding = flaps(case);
    out.extend(governor(case));
    if let Some(recoveries) = &judged.recoveries {
        // The lowest point is looked at for the floor; where most height is lost is another.
        let bad = &recoveries.most_lost;
        let mut line = here(
            "the way out: a recovery begun 2 s late, at half the load available there, from where it loses most height",
            "training-aid",
        );
        let (lost_ft, low_ft) = (bad.lost_m / M_PER_FT, -recoveries.bad.lowest_m / M_PER_FT);
        let ends = if bad.recovers { "to level flight" } else { "and not level after 40 s" };
        line.finding = Some(format!(
            "{}: {} ft lost {ends}; begun late anywhere, {} ft below entry at most",
            bad.place(),
            thousands(lost_ft),
            thousands(low_ft.max(0.0))
        ));
        // A way out that was not found is nothing checked.
        if !bad.recovers {
            line.whose = Whose::YoursToCheck;
        }
        out.push(line);
    }
    out
}

/// Why the speed of the propeller is not held against a limit.
fn governor(case: &Case<'_>) -> Option<SafetyLine> {
    let governed = match &case.airplane.thrust {
        Thrust::Propeller(propeller) => propeller.pitch == PropellerPitch::ConstantSpeed,
        Thrust::Polynomial { .. } => false,
    };
    let text = "propeller overspeed: a governor holds the speed of rotation in every flight computed here; a governor that fails, or oil that leaves it when negative load lasts, is not computed";
    let line = Sourced { text, source: "common-practice" };
    governed.then(|| SafetyLine::of(line, Whose::YoursToCheck))
}

/// Flaps of the airplane, when their speed lies within the flight.
fn flaps(case: &Case<'_>) -> Option<String> {
    if let Some(flap) = &case.airplane.flaps_set {
        let (name, most_kt) = (&flap.name, flap.extended_max.to_kt());
        return Some(format!("computed with flaps {name}: not above {most_kt:.0} kt"));
    }
    let slowest = case
        .airplane
        .stated
        .flaps
        .iter()
        .min_by(|a, b| a.extended_max.to_kt().total_cmp(&b.extended_max.to_kt()))?;
    let (name, most_kt) = (&slowest.name, slowest.extended_max.to_kt());
    Some(format!("computed with flaps up; with flaps {name} not above {most_kt:.0} kt"))
}

/// The floor of the figure.
fn floor(case: &Case<'_>, judged: &Judged) -> Option<SafetyLine> {
    let floor = case.maneuver.floor();
    let above_ft = thousands(floor.above_ground.to_ft());
    let text = "the floor of this figure: nothing of it, recovery included, below that height above the ground";
    let line = Sourced { text, source: floor.source };
    if case.field_told && !judged.limits.is_empty() {
        let finding = Some(format!("{above_ft} ft above the field"));
        return Some(SafetyLine { finding, ..SafetyLine::of(line, Whose::CheckedHere) });
    }
    let finding = Some(format!(
        "{above_ft} ft above the ground; the elevation of the field was not told, so it is not computed here"
    ));
    (!case.field_told).then(|| SafetyLine { finding, ..SafetyLine::of(line, Whose::YoursToCheck) })
}

/// One rule of a country, with what the program finds of it.
fn of_country(case: &Case<'_>, judged: &Judged, country: &Country, rule: &Rule) -> SafetyLine {
    let line = Sourced { text: rule.text, source: rule.source };
    let finding = finding(case, judged, rule.check);
    let whose = if finding.is_some() { Whose::CheckedHere } else { Whose::YoursToCheck };
    SafetyLine { country: Some(country.title), finding, ..SafetyLine::of(line, whose) }
}

/// What the computed flight says of a rule; `None` where nothing is known.
fn finding(case: &Case<'_>, judged: &Judged, check: Check) -> Option<String> {
    let series = judged.series.as_ref()?;
    let kept = |kept: bool| if kept { "kept" } else { "not kept" };
    match check {
        Check::Yours => None,
        Check::FloorFt(floor_ft) => {
            let low_ft = lowest_above_field_ft(case, series.block.low_m)?;
            Some(format!(
                "lowest {} ft above the field: {}",
                thousands(low_ft),
                kept(low_ft >= floor_ft - 0.5)
            ))
        }
        Check::VisibilityMi(least) => {
            let told = case.place.visibility?.to_m() / M_PER_MI;
            Some(format!("told: {told:.1} statute miles: {}", kept(told >= least)))
        }
        Check::AnglesDeg { bank, pitch } => {
            let bank_deg = greatest(&judged.flights, |e| e.bank_max_deg);
            let pitch_deg = greatest(&judged.flights, |e| e.pitch_max_deg.max(-e.pitch_min_deg));
            let beyond = bank_deg > bank + 0.05 || pitch_deg > pitch + 0.05;
            let word = if beyond { "applies" } else { "not reached" };
            Some(format!("bank {bank_deg:.0}, pitch {pitch_deg:.0} degrees: {word}"))
        }
    }
}

fn lowest_above_field_ft(case: &Case<'_>, low_m: f64) -> Option<f64> {
    case.field_told.then(|| (low_m - case.day.field_elevation.to_m()) / M_PER_FT)
}

/// The floors and the visibility of a country that was told, as limits.
pub(super) fn limits(case: &Case<'_>, country: &Country, low_m: f64) -> Vec<Limit> {
    let about = country.rules.iter().filter(|rule| rule.is_about(case.maneuver, &case.form));
    let one = |rule: &Rule| -> Option<Limit> {
        match rule.check {
            Check::FloorFt(floor_ft) => {
                let low_ft = lowest_above_field_ft(case, low_m)?;
                let title = "lowest to the floor of the country, above the field";
                let held =
                    LimitRule::hard("country-floor", title, "ft", LimitSide::Below, rule.source);
                Some(held.hold(low_ft, floor_ft))
            }
            Check::VisibilityMi(least) => {
                let told = case.place.visibility?.to_m() / M_PER_MI;
                let title = "visibility of the country's rule";
                let held = LimitRule::hard(
                    "country-visibility",
                    title,
                    "SM",
                    LimitSide::Below,
                    rule.source,
                );
                Some(held.hold(told, least))
            }
            Check::Yours | Check::AnglesDeg { .. } => None,
        }
    };
    about.filter_map(one).collect()
}
