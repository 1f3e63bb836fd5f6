//! Verdicts of briefs: within, with, outside, each with numbers.

mod flaps;
mod maneuvering;
mod places;
mod verdict;

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
        ..BriefRequest::default()
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
    assert!((brief.height.to_ft() - 2000.0).abs() < 1e-6, "{:?}", brief.height);
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
        &|r| (r.form, r.fit) = (form("chandelle", "advanced"), true),
        "kept as history and not flown here: it begins in a slip",
    );
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
            line.whose == super::Whose::YoursToCheck && line.line.text.starts_with("the floor of")
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
    let asks = |reason: &String| reason.contains("fastest to VNO") && reason.contains("smooth air");
    assert!(brief.reasons.iter().any(asks), "{:?}", brief.reasons);
}

/// A brief of the trainer, everything else as told.
fn told(id: &str, change: impl Fn(&mut BriefRequest)) -> super::Brief {
    let airplane = bundled::load("plover-160").unwrap();
    let mut request = request(None);
    change(&mut request);
    brief(find(id).unwrap(), &airplane, &request)
}

#[test]
fn prop_the_usual_height_keeps_the_floor_in_a_bad_recovery_and_not_a_step_more() {
    for id in ["chandelle", "lazy-eight", "steep-turn"] {
        for field_ft in [0.0, 4000.0] {
            let brief = told(id, |r| r.day.field_elevation = GeometricHeight::from_ft(field_ft));
            let limit = |key: &str| brief.limits.iter().find(|limit| limit.id == key).unwrap();
            assert!(
                limit("recovery-floor").kept && limit("floor").kept,
                "{id}: {:?}",
                brief.limits
            );
            let spare_ft = limit("recovery-floor").margin.min(limit("floor").margin);
            assert!((99.0..610.0).contains(&spare_ft), "{id} at {field_ft}: {spare_ft}");
            assert!((brief.height.to_ft() / 500.0).fract().abs() < 1e-6);
        }
    }
}

#[test]
fn prop_a_bad_recovery_costs_more_than_a_prompt_one() {
    for id in ["chandelle", "lazy-eight", "steep-turn", "wing-over"] {
        let brief = told(id, |r| r.mass = Some(Mass::from_kg(900.0)));
        let recoveries = brief.recoveries.unwrap();
        assert!(recoveries.bad.recovers && recoveries.prompt.recovers, "{id} {recoveries:?}");
        assert!(
            recoveries.bad.lowest_m <= recoveries.prompt.lowest_m + 1e-9,
            "{id} {recoveries:?}"
        );
        assert!(
            recoveries.bad.lost_m >= 0.0 && recoveries.bad.seconds >= 2.0,
            "{id} {recoveries:?}"
        );
        assert!(recoveries.bad.place().contains("kt indicated"));
    }
}

#[test]
fn prop_the_window_of_entry_speeds_holds_the_one_flown_and_says_what_closes_it() {
    let calibrated = |indicated_kt: f64| {
        let airplane = bundled::load("plover-160").unwrap();
        airplane.calibrated(base::kinds::IndicatedAirspeed::from_kt(indicated_kt)).to_kt()
    };
    let closed_by = |id: &str, why: &str, verdict: Verdict| {
        let window = told(id, |r| r.fit = true).fit.unwrap().window.unwrap();
        assert!(window.low_kt < window.used_kt && window.used_kt <= window.high_kt, "{window:?}");
        assert!(window.high_why.contains(why) && !window.low_why.is_empty(), "{window:?}");
        let at = |kt: f64| told(id, |r| r.speed = Some(CalibratedAirspeed::from_kt(kt))).verdict;
        assert_ne!(at(calibrated(window.low_kt) + 1.0), Verdict::OutsideLimits, "{id}");
        assert_eq!(at(calibrated(window.high_kt) + 1.0), verdict, "{id}");
        assert_eq!(at(calibrated(window.high_kt) + 5.0), Verdict::OutsideLimits, "{id}");
    };
    // Entered above maneuvering speed it is outside; where it passes it on its way only, that is told.
    closed_by("chandelle", "maneuvering speed at this weight", Verdict::OutsideLimits);
    closed_by("lazy-eight", "fastest to VA", Verdict::WithinComputedLimitsWith);
    // Where something closes it above 1.3 times the stall speed, it is closed a knot slower.
    let steep = told("chandelle", |r| {
        r.fit = true;
        r.form = form("chandelle", "steep");
        r.height = Some(GeometricHeight::from_ft(4000.0));
    });
    let window = steep.fit.unwrap().window.unwrap();
    assert!(!window.low_why.contains("1.3 times"), "{window:?}");
    let slower = told("chandelle", |r| {
        r.form = form("chandelle", "steep");
        r.height = Some(GeometricHeight::from_ft(4000.0));
        r.speed = Some(CalibratedAirspeed::from_kt(calibrated(window.low_kt) - 1.0));
    });
    assert_eq!(slower.verdict, Verdict::OutsideLimits, "{window:?}");
}

#[test]
fn prop_heavier_higher_warmer_weaker_gains_less() {
    let fit = told("chandelle", |r| r.fit = true).fit.unwrap();
    let gain: Vec<f64> = fit.sensitivities.iter().map(|s| s.gain_ft.unwrap()).collect();
    assert_eq!(fit.sensitivities[0].change, "as asked");
    assert_eq!(gain.len(), 5);
    assert!(gain[1..].iter().all(|changed| *changed < gain[0]), "{gain:?}");
    // At the end of what the airplane may weigh, ten kilograms more are too many.
    let full = told("chandelle", |r| {
        r.fit = true;
        r.mass = Some(Mass::from_kg(1050.0));
    });
    let heavier = &full.fit.unwrap().sensitivities[1];
    assert_eq!(heavier.verdict, Verdict::OutsideLimits);
    assert!(heavier.reason.contains("1060 kg is above"), "{heavier:?}");
    assert!(heavier.gain_ft.is_none());
}

#[test]
fn what_is_told_of_place_and_day_is_held_against_the_figure() {
    let check = |id: &str, verdict: Verdict, words: &str, change: &dyn Fn(&mut BriefRequest)| {
        let brief = told(id, change);
        assert_eq!(brief.verdict, verdict, "{words}: {:?}", brief.reasons);
        let says = brief.reasons.iter().any(|reason| reason.contains(words));
        assert!(says || words.is_empty(), "{words}: {:?}", brief.reasons);
    };
    let ft = GeometricHeight::from_ft;
    let length = base::units::Length::from_km;
    use Verdict::{OutsideLimits, WithinComputedLimits, WithinComputedLimitsWith};
    check("chandelle", OutsideLimits, "cloud", &|r| r.place.cloud_base = Some(ft(2500.0)));
    check("chandelle", WithinComputedLimits, "", &|r| r.place.cloud_base = Some(ft(9000.0)));
    check("chandelle", OutsideLimits, "top of the area", &|r| r.place.top = Some(ft(2200.0)));
    check("chandelle", OutsideLimits, "edge of the area", &|r| r.place.room = Some(length(0.5)));
    check("chandelle", WithinComputedLimitsWith, "visibility", &|r| {
        r.place.visibility = Some(length(3.0));
    });
    check("wing-over", OutsideLimits, "visibility", &|r| r.place.visibility = Some(length(3.0)));
    let canada = crate::rules::find("canada");
    check("wing-over", OutsideLimits, "floor of the country", &|r| {
        r.country = canada;
        r.height = Some(ft(1900.0));
    });
}

/// A chandelle pair: the second begins where the first ended, higher, turned about, after the speed is back.
#[test]
fn prop_the_second_of_a_pair_begins_where_the_first_ended() {
    let brief = told("chandelle", |r| r.day.wind = flight::wind::Wind::parse("270/12kt").unwrap());
    let series = brief.series.unwrap();
    assert!(series.stopped.is_none(), "{:?}", series.stopped);
    let (first, second) = (&series.flights[0], &series.flights[1]);
    let (end, begin) = (first.samples.last().unwrap(), &second.samples[0]);
    assert!((end.height_m - begin.height_m).abs() < 1e-6);
    assert!((end.heading_rad - begin.heading_rad).rem_euclid(std::f64::consts::TAU) < 1e-6);
    let between = series.between[0];
    assert!((begin.time_s - end.time_s - between.seconds).abs() < 1e-9);
    assert!(between.speed_to_mps >= begin.true_airspeed_mps - 0.2, "{between:?}");
    assert!((5.0..120.0).contains(&between.seconds), "{between:?}");
    // The wind from the west carries everything east for as long as it takes.
    let drift = series.block.drift_m;
    let carried_m = base::factors::MPS_PER_KT * 12.0 * series.block.seconds;
    assert!((drift[1] - carried_m).abs() < 1e-6 && drift[0].abs() < 1e-6, "{drift:?}");
    let east = |s: &flight::trajectory::FlightSample| s.east_m - s.air_east_m;
    assert!((east(second.samples.last().unwrap()) - carried_m).abs() < 1e-6);
    assert!(series.block.high_m > end.height_m && series.block.farthest_m > 500.0);
    assert!(series.block.low_m >= brief.height.to_m() - 60.0);
}

#[test]
fn a_reference_in_the_sun_is_told() {
    use base::factors::RAD_PER_DEG;
    let place = crate::sun::Place { latitude_rad: 50.0 * RAD_PER_DEG, longitude_rad: 0.0 };
    // An evening in June: the sun stands low in the west.
    let at = base::time::UtcInstant::parse_rfc3339("2026-06-21T18:30:00Z").unwrap();
    let seen = |heading_deg: Option<f64>| {
        let brief = told("chandelle", |r| {
            r.heading = heading_deg.map(base::kinds::TrueHeading::from_deg);
            r.place.sun = Some((at, place));
        });
        brief.sun.unwrap()
    };
    let west = seen(Some(290.0));
    assert!(
        west.sun.azimuth_rad > 280.0 * RAD_PER_DEG && west.sun.azimuth_rad < 310.0 * RAD_PER_DEG
    );
    assert!(west.in_the_sun[0].contains("entry heading"), "{west:?}");
    assert!(seen(None).in_the_sun.is_empty());
    assert!(!west.clear_headings_deg.is_empty());
    let [from, to] = west.clear_headings_deg[0];
    assert!(seen(Some(0.5 * (from + to))).in_the_sun.is_empty(), "{from} {to}");
}

/// The figures over the ground are entered as the wind asks: what is told of the heading is that of the flight, and said.
#[test]
fn the_heading_flown_is_the_one_told_of() {
    use base::factors::RAD_PER_DEG;
    use base::kinds::TrueHeading;
    use flight::wind::Wind;
    let place = crate::sun::Place { latitude_rad: 50.0 * RAD_PER_DEG, longitude_rad: 0.0 };
    let at = base::time::UtcInstant::parse_rfc3339("2026-06-21T18:30:00Z").unwrap();
    let flown = |maneuver: &str, wind: &str, heading_deg: Option<f64>| {
        let brief = told(maneuver, |r| {
            r.heading = heading_deg.map(TrueHeading::from_deg);
            r.day.wind = Wind::parse(wind).unwrap();
            r.place.sun = Some((at, place));
            r.field_told = true;
            r.hands = false;
        });
        assert!(!brief.sides.is_empty(), "{maneuver}: {:?}", brief.reasons);
        for side in &brief.sides {
            let first = side.samples[0].heading_rad.rem_euclid(std::f64::consts::TAU);
            let own = brief.heading.filter(|_| side.direction == brief.sides[0].direction);
            if let Some(kept) = own {
                let off = base::math::wrap_pi(first - kept.to_rad());
                assert!(off.abs() < 1e-9, "{maneuver} {wind}");
            }
        }
        brief
    };
    let over_ground = [
        "s-turns",
        "turns-around-a-point",
        "steep-spiral",
        "rectangular-course",
        "eights-on-pylons",
    ];
    for maneuver in over_ground {
        let windy = flown(maneuver, "240/14kt", Some(330.0));
        let note = windy.heading_note().unwrap();
        assert!(note.contains("Heading 330 was told") && note.contains("entered"), "{note}");
        assert!(windy.sun.as_ref().unwrap().clear_headings_deg.is_empty(), "{maneuver}");
        // nobody told one: it is known all the same, and nothing was told otherwise
        let open = flown(maneuver, "240/14kt", None);
        assert_eq!((open.heading, open.heading_note()), (windy.heading, None), "{maneuver}");
        let calm = flown(maneuver, "0/0kt", Some(330.0));
        assert!((calm.heading.unwrap().to_deg() - 330.0).abs() < 1e-9, "{maneuver}");
        assert_eq!(calm.heading_note(), None, "{maneuver}");
        assert_eq!(flown(maneuver, "0/0kt", None).heading, None, "{maneuver}");
    }
    let turns = flown("s-turns", "240/14kt", Some(330.0));
    assert!(turns.heading_note().unwrap().ends_with("entered downwind, on 060 true."));
    assert_eq!(flown("s-turns", "240/14kt", Some(60.0)).heading_note(), None);
    // entered into the sun, whatever was told
    let azimuth_deg = turns.sun.unwrap().sun.azimuth_rad / RAD_PER_DEG;
    let from_behind = format!("{:.0}/14kt", (azimuth_deg + 180.0).rem_euclid(360.0));
    let dazzled = flown("s-turns", &from_behind, Some(azimuth_deg - 90.0)).sun.unwrap();
    assert!(dazzled.in_the_sun[0].contains("entry heading"), "{dazzled:?}");
    // every other figure keeps what is told, whatever the wind
    let chandelle = flown("chandelle", "240/14kt", Some(330.0));
    assert!((chandelle.heading.unwrap().to_deg() - 330.0).abs() < 1e-9);
    assert_eq!(chandelle.heading_note(), None);
}

/// A fixed-pitch propeller is at its rated speed where the file says it takes up full power, and beyond it past that speed.
#[test]
fn prop_a_fixed_pitch_overspeeds_beyond_its_design_speed() {
    let share = |id: &str, speed_kt: f64| {
        let brief = told(id, |r| r.speed = Some(CalibratedAirspeed::from_kt(speed_kt)));
        brief.limits.iter().find(|limit| limit.id == "propeller-speed").unwrap().value
    };
    assert!(share("chandelle", 98.0) < 100.0);
    assert!(share("chandelle", 98.0) > share("chandelle", 90.0));
    let mut airplane = bundled::load("plover-160").unwrap();
    if let flight::airplane::Thrust::Propeller(propeller) = &mut airplane.thrust
        && let flight::airplane::PropellerPitch::Fixed { full_power_at, .. } = &mut propeller.pitch
    {
        *full_power_at = CalibratedAirspeed::from_kt(80.0);
    }
    let brief = brief(find("chandelle").unwrap(), &airplane, &request(None));
    assert_eq!(brief.verdict, Verdict::WithinComputedLimitsWith);
    assert!(brief.reasons.iter().any(|r| r.contains("propeller speed")), "{:?}", brief.reasons);
}

#[test]
fn prop_clearing_turns_end_the_way_of_the_figure() {
    for brief in
        [told("chandelle", |_| {}), told("wing-over", |r| r.mass = Some(Mass::from_kg(900.0)))]
    {
        assert_eq!(brief.clearing.len(), 2);
        let words = brief.clearing[0].words();
        assert!(words.starts_with("90 degrees to the right, then 90 to the left"), "{words}");
    }
}

/// Rules by country: what is computed says what came of it, the rest is the instructor's.
#[test]
fn the_safety_sheet_names_countries_and_what_is_checked() {
    let brief = told("wing-over", |r| r.mass = Some(Mass::from_kg(900.0)));
    let of = |country: &str| brief.safety.iter().filter(|l| l.country == Some(country)).count();
    assert!(of("United States") > 4 && of("Canada") > 1 && of("Australia") > 1);
    let checked = brief.safety.iter().filter(|line| {
        line.country.is_some() && line.whose == super::Whose::CheckedHere && line.finding.is_some()
    });
    assert!(checked.count() >= 4);
    let one = told("chandelle", |r| r.country = crate::rules::find("us"));
    assert!(one.safety.iter().all(|line| line.country.is_none_or(|c| c == "United States")));
}
