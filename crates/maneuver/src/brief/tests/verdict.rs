//! What the verdict takes into account: controls, thin margins, hazards, days outside the air model, both sides and the series.

use super::{request, told};
use crate::brief::{BriefRequest, Verdict, brief, controls};
use crate::catalog::{self, find};
use crate::rigid::NotFlown;
use base::kinds::GeometricHeight;
use base::units::{LoadFactor, Temperature};
use flight::airplane::{Airplane, bundled};

fn with_hands(id: &str, airplane: &Airplane) -> crate::brief::Brief {
    let request = BriefRequest { hands: true, ..request(None) };
    brief(find(id).unwrap(), airplane, &request)
}

/// The same flight with ailerons that go less far: within their travel nothing is said, a little beyond it is told with its numbers,
/// far beyond it forbids the figure.
#[test]
fn prop_a_control_beyond_its_stop_is_in_the_verdict() {
    let stop = |stop_deg: f64| {
        let (_, text) = bundled::ALL.iter().find(|(id, _)| *id == "plover-160").unwrap();
        let changed = text.replace("most = \"17.5 deg\"", &format!("most = \"{stop_deg} deg\""));
        let airplane = Airplane::from_toml(&changed, "changed").unwrap();
        with_hands("rolling-on-a-heading", &airplane)
    };
    let usual = stop(17.5);
    let limit = |brief: &crate::brief::Brief| {
        let found = brief.limits.iter().find(|limit| limit.id == "control-aileron");
        found.expect("ailerons are held against their stop").clone()
    };
    let most = limit(&usual).value;
    assert!(usual.verdict == Verdict::WithinComputedLimits && limit(&usual).kept, "{most}");
    let needed_deg = 17.5 * most / 100.0;
    let little = stop(needed_deg / 1.05);
    assert_eq!(little.verdict, Verdict::WithinComputedLimitsWith, "{:?}", little.reasons);
    let said = little.reasons.iter().find(|reason| reason.contains("full aileron")).unwrap();
    assert!(
        said.contains(&format!("{needed_deg:.1} degrees needed"))
            || said.contains(&format!("{needed_deg:.0} degrees needed")),
        "{said}"
    );
    assert!(!limit(&little).kept && !limit(&little).hard);
    let much = stop(needed_deg / 1.2);
    assert_eq!(much.verdict, Verdict::OutsideLimits, "{:?}", much.reasons);
    assert!(much.reasons.iter().any(|reason| reason.contains("full aileron is not enough")));
    assert!(much.sides.is_empty() && much.hands.is_empty(), "never drawn as if it could be done");
}

/// No bundled airplane is told "within computed limits" while a control of its flight is beyond its stop, or while six degrees of
/// freedom do not confirm it.
#[test]
fn prop_no_control_beyond_its_stop_goes_unsaid() {
    for maneuver in catalog::ALL {
        for (id, _) in bundled::ALL {
            let brief = with_hands(maneuver.id(), &bundled::load(id).unwrap());
            let beyond = brief.hands.iter().flatten().any(|flight| {
                let over = |e: &flight::inverse::Excess| e.needed / e.available > 1.005;
                flight.excesses.iter().any(over)
                    || flight.controls.iter().any(|at| at.throttle > 1.005)
            });
            let unflown = |hands: &Result<_, NotFlown>| {
                hands.as_ref().is_err_and(|why| !matches!(why, NotFlown::NoData(_)))
            };
            if beyond || brief.hands.iter().any(unflown) {
                let told = format!("{} {id}: {:?}", maneuver.id(), brief.reasons);
                assert_ne!(brief.verdict, Verdict::WithinComputedLimits, "{told}");
                assert!(!brief.reasons.is_empty(), "{told}");
            }
        }
    }
}

#[test]
fn prop_more_power_than_there_is_is_told() {
    let words = |share: f64| {
        let why = NotFlown::Power { needed_share: share };
        let flight = told("chandelle", |_| {}).sides[0].clone();
        controls::reasons(&[flight], &[Err(why)])
    };
    assert!(words(1.04).outside.is_empty() && words(1.04).care[0].contains("104 %"));
    assert!(words(1.3).outside[0].contains("130 %"));
}

/// A load that leaves less than a twentieth of its limit is told with both numbers; one that leaves more is not.
#[test]
fn prop_a_thin_margin_is_told_with_its_numbers() {
    let with = |limit_g: f64| {
        let mut airplane = bundled::load("plover-160").unwrap();
        for category in &mut airplane.categories {
            category.load_factor_max = LoadFactor::from_g(limit_g);
        }
        brief(find("steep-turn").unwrap(), &airplane, &request(None))
    };
    let load = with(4.4).sides[0].extremes.load_factor_max;
    let thin = with(1.01 * load);
    assert_eq!(thin.verdict, Verdict::WithinComputedLimitsWith);
    let said = thin.reasons.iter().find(|reason| reason.starts_with("thin margin")).unwrap();
    assert!(said.contains("greatest load") && said.contains("leaves 0.01 g"), "{said}");
    assert!(!with(1.1 * load).reasons.iter().any(|reason| reason.starts_with("thin margin")));
    assert_eq!(with(0.99 * load).verdict, Verdict::OutsideLimits);
}

/// A hazard far above its floor, every limit kept: shown, and approved of neither by the verdict nor by what becomes of it.
#[test]
fn prop_a_hazard_is_never_approved_of() {
    let airplane = bundled::load("sandpiper-550").unwrap();
    let high = BriefRequest {
        height: Some(GeometricHeight::from_ft(9000.0)),
        field_told: true,
        fit: true,
        ..request(None)
    };
    let brief = brief(find("split-s").unwrap(), &airplane, &high);
    assert_eq!(brief.verdict, Verdict::Hazard, "{:?}", brief.reasons);
    assert!(!brief.verdict.words().contains("within"));
    let fit = brief.fit.unwrap();
    assert!(fit.window.is_none());
    for one in &fit.sensitivities {
        assert!(matches!(one.verdict, Verdict::Hazard | Verdict::OutsideLimits), "{one:?}");
    }
}

#[test]
fn prop_a_day_outside_the_air_model_is_answered_with_numbers() {
    for id in ["chandelle", "steep-spiral", "loop", "eights-on-pylons"] {
        let hot = told(id, |r| r.day.temperature_at_field = Temperature::from_c(80.0));
        assert_eq!(hot.verdict, Verdict::OutsideLimits);
        let said = hot.reasons.iter().find(|reason| reason.contains("air model")).unwrap();
        assert!(said.contains("80 C") && said.contains("65 C above standard"), "{said}");
        let high = told(id, |r| r.height = Some(GeometricHeight::from_ft(40_000.0)));
        let said = high.reasons.iter().find(|reason| reason.contains("air model")).unwrap();
        assert!(said.contains("40,000 ft") && said.contains("29,500 ft"), "{said}");
        assert!(high.sides.is_empty());
    }
}

/// The sensitivities judge what the brief judges: the case as asked has the verdict of the brief, the series and both sides in it.
#[test]
fn prop_as_asked_is_the_verdict_of_the_brief() {
    for id in ["chandelle", "steep-spiral", "eights-on-pylons", "power-on-stall"] {
        let brief = told(id, |r| r.fit = true);
        let fit = brief.fit.unwrap();
        assert_eq!(fit.sensitivities[0].verdict, brief.verdict, "{id}");
        assert!(fit.sensitivities[0].reason.is_empty(), "nothing is new in the case as asked");
    }
    // The second of a descending pair begins where the first ended: a floor that only it passes closes the case.
    let low = |height_ft: f64| {
        told("descending-turn", |r| {
            r.fit = true;
            r.field_told = true;
            r.height = Some(GeometricHeight::from_ft(height_ft));
        })
    };
    let high = low(6000.0);
    let one_ft = -high.sides[0].extremes.height_low_m / base::factors::M_PER_FT;
    let brief = low(high.floor_ft().unwrap() + 1.5 * one_ft);
    assert_eq!(brief.verdict, Verdict::OutsideLimits, "{:?}", brief.reasons);
    assert!(brief.reasons[0].contains("series"), "{:?}", brief.reasons);
    let fit = brief.fit.unwrap();
    assert_eq!(fit.sensitivities[0].verdict, Verdict::OutsideLimits);
    assert!(fit.window.is_none());
}

/// The height of the headline, of the flight, of the way out and of the limits is one.
#[test]
fn prop_a_figure_that_finds_its_height_has_one_entry_height() {
    let own = told("eights-on-pylons", |r| r.field_told = true);
    let flown_ft = own.sides[0].samples[0].height_m / base::factors::M_PER_FT;
    assert!((own.height.to_ft() - flown_ft).abs() < 1e-6, "{} {flown_ft}", own.height.to_ft());
    let lowest_ft = own.limits.iter().find(|limit| limit.id == "recovery-floor").unwrap().value;
    assert!(lowest_ft <= flown_ft + 1e-6, "{lowest_ft} {flown_ft}");
    assert!(!own.reasons.iter().any(|reason| reason.contains("entry height")));
    let asked = told("eights-on-pylons", |r| r.height = Some(GeometricHeight::from_ft(3000.0)));
    let said = asked.reasons.iter().find(|reason| reason.contains("entry height")).unwrap();
    assert!(said.contains("3,000 ft"), "{said}");
}

/// The usual height of a figure that goes down keeps the floor for both sides, flown one after the other.
#[test]
fn prop_the_usual_height_has_room_for_the_series() {
    for (id, _) in bundled::ALL {
        let request = BriefRequest { field_told: true, hands: false, ..request(None) };
        for key in ["steep-spiral", "descending-turn"] {
            let brief = brief(find(key).unwrap(), &bundled::load(id).unwrap(), &request);
            assert_ne!(brief.verdict, Verdict::OutsideLimits, "{id} {key}: {:?}", brief.reasons);
            let floor = brief.limits.iter().find(|limit| limit.id == "series-floor").unwrap();
            assert!(floor.margin > 99.0, "{id} {key}: {}", floor.margin);
        }
    }
}

/// A number that a person reads: whole where that tells two apart, else no more decimals than do; nil without a sign.
#[test]
fn prop_numbers_of_a_refusal_are_read_apart() {
    let read = |a, b| crate::reference::read_apart(a, b);
    assert_eq!(read(225.0, 190.0), ["225", "190"]);
    assert_eq!(read(21.04, 20.0), ["21", "20"]);
    assert_eq!(read(20.2, 20.0), ["20.2", "20.0"]);
    assert_eq!(read(995.7, 1000.0), ["996", "1000"]);
    assert_eq!(read(5.94, 6.0), ["5.9", "6.0"]);
    assert_eq!(read(5.99, 6.0), ["5.99", "6.00"]);
    assert_eq!(read(-0.0, -87.4), ["0", "-87"]);
}
