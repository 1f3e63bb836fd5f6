//! Verdicts of briefs: within, with, outside, each with numbers.

use super::{BriefRequest, Sides, Verdict, brief};
use crate::catalog::find;
use crate::definition::Direction;
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
        speed: None,
        day: Day::standard(),
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
