//! Verdicts of briefs: within, with, outside, each with numbers.

use super::{BriefRequest, Sides, Verdict, brief};
use crate::catalog::find;
use crate::definition::Direction;
use crate::eye::SeatSide;
use base::kinds::{CalibratedAirspeed, GeometricHeight};
use base::units::Mass;
use flight::air::Day;
use flight::airplane::bundled;

fn request(form: Option<crate::Form>) -> BriefRequest {
    BriefRequest {
        form,
        sides: Sides::Both,
        mass: None,
        height: None,
        hands: false,
        seat: SeatSide::Left,
        speed: None,
        day: Day::standard(),
        field_told: true,
    }
}

fn form(id: &str, key: &str) -> Option<crate::Form> {
    find(id).unwrap().forms().iter().find(|form| form.key == key).copied()
}

#[test]
fn an_ordinary_chandelle_is_within_computed_limits() {
    let airplane = bundled::load("plover-160").unwrap();
    let brief = brief(find("chandelle").unwrap(), &airplane, &request(None));
    assert_eq!(brief.verdict, Verdict::WithinComputedLimits, "{:?}", brief.reasons);
    assert_eq!(brief.sides.len(), 2);
    assert_eq!(brief.sides[0].direction, Direction::Left);
    assert!(brief.limits.iter().all(|limit| limit.kept), "{:?}", brief.limits);
    assert!((brief.height.to_ft() - 3500.0).abs() < 1e-6);
}

#[test]
fn a_steep_wing_over_needs_parachutes() {
    let airplane = bundled::load("sandpiper-550").unwrap();
    let brief = brief(find("wing-over").unwrap(), &airplane, &request(form("wing-over", "75")));
    assert_eq!(brief.verdict, Verdict::WithinComputedLimitsWith, "{:?}", brief.reasons);
    assert!(
        brief.reasons[0].contains("parachutes") && brief.reasons[0].contains("beyond"),
        "{:?}",
        brief.reasons
    );
    assert!(brief.safety.iter().any(|line| line.line.text.contains("no published FAA standard")));
}

#[test]
fn what_may_not_be_flown_is_answered_with_numbers_and_never_drawn() {
    let mut airplane = bundled::load("plover-160").unwrap();
    let check = |airplane: &flight::airplane::Airplane,
                 id: &str,
                 change: &dyn Fn(&mut BriefRequest),
                 words: &str| {
        let mut request = request(None);
        change(&mut request);
        let brief = brief(find(id).unwrap(), airplane, &request);
        assert_eq!(brief.verdict, Verdict::OutsideLimits, "{words}");
        assert!(brief.sides.is_empty(), "{words}");
        assert!(
            brief.reasons.iter().any(|reason| reason.contains(words)),
            "{words}: {:?}",
            brief.reasons
        );
    };
    check(
        &airplane,
        "chandelle",
        &|r| r.mass = Some(Mass::from_kg(1200.0)),
        "1200 kg is above the maximum mass of 1050 kg",
    );
    check(
        &airplane,
        "chandelle",
        &|r| r.height = Some(GeometricHeight::from_ft(900.0)),
        "below the floor of 1500 ft",
    );
    check(
        &airplane,
        "wing-over",
        &|r| r.mass = Some(Mass::from_kg(1000.0)),
        "not among the maneuvers approved in the normal category",
    );
    check(
        &airplane,
        "steep-turn",
        &|r| r.speed = Some(CalibratedAirspeed::from_kt(120.0)),
        "entry speed to VA",
    );
    check(&airplane, "steep-turn", &|r| r.speed = Some(CalibratedAirspeed::from_kt(52.0)), "");
    check(
        &airplane,
        "chandelle",
        &|r| r.day.temperature_at_field = base::units::Temperature::from_c(70.0),
        "outside the air model",
    );
    for category in &mut airplane.categories {
        category.approved.clear();
    }
    check(&airplane, "wing-over", &|_| {}, "not among the maneuvers approved");
}

/// A turn that bleeds speed, or a form missed otherwise, is not offered as that form (20,000 ft: half the power is gone).
#[test]
fn a_form_that_is_missed_is_not_a_plan() {
    let airplane = bundled::load("plover-160").unwrap();
    for (key, height_ft, verdict) in [
        ("45", 4500.0, Verdict::WithinComputedLimits),
        ("45", 11_000.0, Verdict::WithinComputedLimitsWith),
        ("45", 20_000.0, Verdict::OutsideLimits),
        ("60", 10_000.0, Verdict::OutsideLimits),
    ] {
        let mut request = request(form("steep-turn", key));
        request.height = Some(GeometricHeight::from_ft(height_ft));
        let brief = brief(find("steep-turn").unwrap(), &airplane, &request);
        assert_eq!(brief.verdict, verdict, "{key} at {height_ft}: {:?}", brief.reasons);
        if verdict != Verdict::WithinComputedLimits {
            let told = |reason: &String| reason.contains("airspeed at the end");
            assert!(brief.reasons.iter().any(told), "{:?}", brief.reasons);
        }
    }
}

#[test]
fn a_lazy_eight_too_slow_to_dive_is_none() {
    let airplane = bundled::load("plover-160").unwrap();
    let mut request = request(None);
    request.speed = Some(CalibratedAirspeed::from_kt(62.0));
    let brief = brief(find("lazy-eight").unwrap(), &airplane, &request);
    assert_eq!(brief.verdict, Verdict::OutsideLimits, "{:?}", brief.reasons);
}

#[test]
fn flight_under_load_keeps_a_margin_over_the_stall() {
    let airplane = bundled::load("plover-160").unwrap();
    let mut request = request(form("chandelle", "steep"));
    request.speed = Some(CalibratedAirspeed::from_kt(80.0));
    let brief = brief(find("chandelle").unwrap(), &airplane, &request);
    assert_eq!(brief.verdict, Verdict::OutsideLimits, "{:?}", brief.limits);
}

/// What nobody told is not checked: the floor is the instructor's until the elevation of the field is known.
#[test]
fn a_floor_over_an_unknown_field_is_yours_to_check() {
    let airplane = bundled::load("plover-160").unwrap();
    for told in [true, false] {
        let request = BriefRequest { field_told: told, ..request(None) };
        let brief = brief(find("chandelle").unwrap(), &airplane, &request);
        assert_eq!(brief.limits.iter().any(|limit| limit.id == "floor"), told);
        assert_eq!(brief.gates.iter().any(|gate| gate.unit == "ft"), told);
        let yours = |line: &super::SafetyLine| {
            line.whose == super::Whose::YoursToCheck && line.line.text.starts_with("the floor")
        };
        assert_eq!(brief.safety.iter().any(yours), !told);
    }
}

#[test]
fn gates_lie_outside_the_flight_and_inside_the_limits() {
    for (id, maneuver, key) in
        [("plover-160", "chandelle", "shallow"), ("sandpiper-550", "wing-over", "90")]
    {
        let airplane = bundled::load(id).unwrap();
        let brief = brief(find(maneuver).unwrap(), &airplane, &request(form(maneuver, key)));
        let gate = |what: &str| brief.gates.iter().find(|gate| gate.what == what).unwrap().value;
        for flight in &brief.sides {
            let e = &flight.extremes;
            assert!(gate("bank beyond") >= e.bank_max_deg);
            assert!(gate("nose above") > e.pitch_max_deg);
            assert!(gate("indicated airspeed below") < e.speed_min_kt);
            assert!(gate("indicated airspeed above") >= e.speed_max_kt);
            assert!(gate("load above") > e.load_factor_max);
        }
    }
}

/// 14 CFR 23.3 (edition of 1 January 2014): normal category to 60 degrees of bank, utility to 90. A form that asks for the limit
/// itself is not refused for rounding, and never passes without a word.
#[test]
fn val_a_form_on_the_limit_of_its_category_is_told() {
    let mut airplane = bundled::load("plover-160").unwrap();
    let told = |airplane: &flight::airplane::Airplane, id: &str, key: &str, mass_kg: f64| {
        let request = BriefRequest { mass: Some(Mass::from_kg(mass_kg)), ..request(form(id, key)) };
        brief(find(id).unwrap(), airplane, &request)
    };
    let says = |brief: &super::Brief, words: &str| brief.reasons.iter().any(|r| r.contains(words));
    let utility = told(&airplane, "wing-over", "90", 900.0);
    assert_eq!(utility.verdict, Verdict::WithinComputedLimitsWith, "{:?}", utility.reasons);
    assert!(says(&utility, "90 degrees leaves 0 to the limit of 90"), "{:?}", utility.reasons);
    airplane.categories[1].approved.push("wing-over".into());
    let normal = told(&airplane, "wing-over", "60", 1000.0);
    assert_eq!(normal.verdict, Verdict::WithinComputedLimitsWith, "{:?}", normal.reasons);
    assert!(says(&normal, "60 degrees leaves 0 to the limit of 60"), "{:?}", normal.reasons);
    let steeper = told(&airplane, "wing-over", "75", 1000.0);
    assert_eq!(steeper.verdict, Verdict::OutsideLimits);
    let margin = told(&airplane, "steep-turn", "50", 1000.0);
    assert!(!says(&margin, "care with bank"), "{:?}", margin.reasons);
}

#[test]
fn a_soft_limit_passed_is_a_need() {
    let mut airplane = bundled::load("plover-160").unwrap();
    airplane.speeds.normal_max = base::kinds::IndicatedAirspeed::from_kt(90.0);
    let brief = brief(find("chandelle").unwrap(), &airplane, &request(None));
    assert_eq!(brief.verdict, Verdict::WithinComputedLimitsWith, "{:?}", brief.reasons);
    assert!(brief.reasons.iter().any(|r| r.contains("fastest to VNO")), "{:?}", brief.reasons);
}
