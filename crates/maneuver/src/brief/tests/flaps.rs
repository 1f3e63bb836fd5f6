//! Forms with the flaps down.

use super::{form, request};
use crate::brief::{BriefRequest, Verdict, brief};
use crate::catalog::find;
use base::factors::MPS_PER_KT;
use base::kinds::{CalibratedAirspeed, IndicatedAirspeed};
use base::units::LoadFactor;
use flight::airplane::bundled;

const LANDING: &[&str] = &["power-off-stall", "slow-flight"];

#[test]
fn the_landing_forms_are_flown_with_landing_flaps_at_both_levels() {
    let airplane = bundled::load("plover-160").unwrap();
    for id in LANDING {
        let asked = BriefRequest { hands: true, ..request(form(id, "landing")) };
        let brief = brief(find(id).unwrap(), &airplane, &asked);
        assert_ne!(brief.verdict, Verdict::OutsideLimits, "{id} {:?}", brief.reasons);
        let limit = brief.limits.iter().find(|limit| limit.id == "flaps-extended").unwrap();
        assert!(limit.kept && (limit.limit - 85.0).abs() < 1e-9, "{id} {limit:?}");
        assert!(brief.limits.iter().all(|limit| limit.id != "never-exceed"), "{id}");
        let load = brief.limits.iter().find(|limit| limit.id == "load-factor").unwrap();
        assert!((load.limit - 2.0).abs() < 1e-12 && load.kept, "{id} {load:?}");
        // Half of 2 g holds level flight and no more: the way out still comes to its end, below the speed for the flaps.
        let bad = brief.recoveries.expect("a flight has a way out").bad;
        assert!(bad.recovers && bad.fastest_kt < 85.0 && bad.lost_m < 250.0, "{id} {bad:?}");
        for hands in &brief.hands {
            let flown = hands.as_ref().unwrap_or_else(|why| panic!("{id}: {why}"));
            assert!(!flown.samples.is_empty(), "{id}");
        }
        let told = brief.safety.iter().filter_map(|line| line.finding.as_deref());
        assert!(told.clone().any(|words| words.starts_with("computed with flaps full")), "{id}");
    }
}

#[test]
fn slow_flight_with_flaps_is_slower_by_the_root_of_the_lift() {
    let airplane = bundled::load("plover-160").unwrap();
    let flapped = airplane.with_landing_flaps().unwrap();
    let slow_flight = find("slow-flight").unwrap();
    let held = |key| {
        let brief = brief(slow_flight, &airplane, &request(form("slow-flight", key)));
        let checkpoint = &brief.sides[0].parts[0].checkpoints[2];
        checkpoint.sample.calibrated_airspeed_mps / MPS_PER_KT
    };
    let one = LoadFactor::from_g(1.0);
    let (up, down) = (held("warning"), held("landing"));
    for (airplane, found_kt) in [(&airplane, up), (&flapped, down)] {
        let wanted_kt = airplane.stall_speed(airplane.masses.typical, one).to_kt() + 7.0;
        assert!((found_kt - wanted_kt).abs() < 0.3, "{found_kt} {wanted_kt}");
    }
    assert!(down < up - 4.0, "{up} {down}");
}

#[test]
fn an_entry_above_the_flap_speed_is_outside_limits() {
    let mut airplane = bundled::load("plover-160").unwrap();
    airplane.stated.flaps[1].extended_max = IndicatedAirspeed::from_kt(64.0);
    let speed = Some(CalibratedAirspeed::from_mps(69.0 * MPS_PER_KT));
    let asked = BriefRequest { speed, ..request(form("slow-flight", "landing")) };
    let brief = brief(find("slow-flight").unwrap(), &airplane, &asked);
    assert_eq!(brief.verdict, Verdict::OutsideLimits);
    assert!(brief.reasons[0].contains("VFE"), "{:?}", brief.reasons);
}

#[test]
fn an_airplane_without_flaps_is_refused_with_what_to_do() {
    let airplane = bundled::load("sandpiper-550").unwrap();
    for id in LANDING {
        let brief = brief(find(id).unwrap(), &airplane, &request(form(id, "landing")));
        assert_eq!(brief.verdict, Verdict::OutsideLimits, "{id}");
        let reason = &brief.reasons[0];
        assert!(
            reason.contains("names no flap position") && reason.contains("[[flap]]"),
            "{reason}"
        );
    }
}
