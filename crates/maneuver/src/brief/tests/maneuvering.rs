//! Maneuvering speed: no figure passes it on its way from its usual entry, and one that does from a told entry is not passed over.

use super::{form, request, told};
use crate::brief::{Brief, BriefRequest, Limit, Verdict, brief};
use crate::catalog::{self, find};
use crate::definition::{Direction, Maneuvering};
use crate::reference::Entry;
use base::factors::MPS_PER_KT;
use base::kinds::{CalibratedAirspeed, GeometricHeight, TrueHeading};
use base::units::Mass;
use flight::air::Day;
use flight::airplane::{Airplane, bundled};

fn limit(brief: &Brief) -> Option<&Limit> {
    brief.limits.iter().find(|limit| limit.id == "maneuvering-speed")
}

/// Empty, one light pilot aboard, the usual and the most; the lightest has the slowest maneuvering speed and the most power to spare.
fn masses(airplane: &Airplane) -> [Mass; 4] {
    let masses = &airplane.masses;
    [masses.empty, masses.empty + Mass::from_kg(80.0), masses.typical, masses.maximum]
}

/// Stalls are entered slowly, and accelerate to a climb: the climb's speed is that of the airplane at its greatest mass.
const ACCELERATE: &[&str] = &["power-off-stall", "power-on-stall"];

/// ACS-P, ACS-C: steep turns are entered at the maker's speed, else not above V_A; AFH-3C: chandelle and lazy eight at the maker's, often
/// V_A. From the entry speed that is chosen here no figure passes V_A of its weight on its way, but those that dive through the
/// vertical and those whose maker approves a faster entry.
#[test]
fn prop_no_usual_flight_passes_maneuvering_speed() {
    let (mut held, mut slower, mut past, mut said) = (0, 0, 0, 0);
    for (id, _) in bundled::ALL {
        let airplane = bundled::load(id).unwrap();
        let weights =
            masses(&airplane).into_iter().flat_map(|mass| [(mass, 1500.0), (mass, 6000.0)]);
        for (mass, height_ft) in weights {
            let most = airplane.maneuvering_speed(mass);
            for maneuver in catalog::ALL {
                let own = airplane.approved_entry(maneuver.id()).is_some_and(|own| own > most);
                if own || maneuver.maneuvering() == Maneuvering::AtEntry {
                    continue;
                }
                let may = |form: &crate::Form| {
                    let listed = |category: &flight::airplane::Category| {
                        category.approved.iter().any(|id| id == maneuver.id())
                    };
                    !maneuver.needs_approval(form) || airplane.category(mass).is_some_and(listed)
                };
                for form in maneuver.forms().iter().filter(|form| may(form)) {
                    let entry = Entry {
                        form: *form,
                        direction: Direction::Right,
                        mass,
                        height: GeometricHeight::from_ft(height_ft),
                        heading: TrueHeading::NORTH,
                        speed: None,
                    };
                    let Ok(flight) = maneuver.fly(&airplane, &Day::standard(), &entry) else {
                        continue;
                    };
                    let name =
                        format!("{id} {:.0} kg {} {}", mass.to_kg(), maneuver.id(), form.key);
                    let fastest_kt = flight.extremes.speed_max_kt;
                    if fastest_kt > most.to_kt() + 1e-6 {
                        assert!(mass == airplane.masses.empty, "{name}: {fastest_kt}");
                        assert!(ACCELERATE.contains(&maneuver.id()), "{name}: {fastest_kt}");
                        said += usize::from(says_so(*maneuver, &airplane, &entry));
                        past += 1;
                        continue;
                    }
                    held += 1;
                    // Where it was entered slower for that, not slower than it needs.
                    if ["chandelle", "steep-turn", "lazy-eight"].contains(&maneuver.id()) {
                        let usual = catalog::entry_speed(&airplane, &entry).to_mps();
                        let entered = flight.samples[0].calibrated_airspeed_mps;
                        let needed = maneuver.id() != "lazy-eight" && entered < usual - 1e-6;
                        slower += usize::from(needed);
                        let left_kt = most.to_kt() - fastest_kt;
                        assert!(!needed || left_kt < 1.0, "{name}: {left_kt}");
                    }
                }
            }
        }
    }
    println!("{held} flights, {slower} entered slower than usual, {past} past it");
    assert!(held > 200 && slower > 10, "{held} {slower}");
    assert_eq!(said, past, "a flight past it is told with its numbers");
}

/// Whether the brief of a flight that passes maneuvering speed says so, in its limits and in its verdict.
fn says_so(maneuver: &'static dyn crate::Maneuver, airplane: &Airplane, entry: &Entry) -> bool {
    let request = BriefRequest {
        mass: Some(entry.mass),
        height: Some(entry.height),
        field_told: false,
        ..request(Some(entry.form))
    };
    let brief = brief(maneuver, airplane, &request);
    let row = limit(&brief).is_some_and(|row| !row.kept);
    let reason = brief.reasons.iter().any(|reason| reason.contains("fastest to VA"));
    row && reason && brief.verdict != Verdict::WithinComputedLimits
}

/// A brief at 2,500 ft of the light trainer.
fn at_2500(id: &str, speed: Option<CalibratedAirspeed>) -> Brief {
    told(id, |r| (r.speed, r.height) = (speed, Some(GeometricHeight::from_ft(2500.0))))
}

fn entered_kt(brief: &Brief) -> f64 {
    brief.sides[0].samples[0].indicated_airspeed_mps / MPS_PER_KT
}

/// The chandelle of the light trainer from 97 kt, its maker's entry speed (V_A 97.7 kt at 930 kg): the throttle opens with the nose, so
/// that it is never faster than it was entered. (Full power in the roll-in made it 99 to 101 kt.)
#[test]
fn regress_a_chandelle_does_not_pass_maneuvering_speed() {
    let airplane = bundled::load("plover-160").unwrap();
    let usual = at_2500("chandelle", None);
    let maker_kt = airplane.speeds.maneuver_entry.unwrap().to_kt();
    checks::assert_near("entry", entered_kt(&usual), maker_kt, 1e-6);
    let row = limit(&usual).unwrap();
    checks::assert_near("V_A", row.limit, airplane.maneuvering_speed(usual.mass).to_kt(), 1e-9);
    assert!(row.kept && row.value < maker_kt + 0.1, "{row:?}");
    assert_eq!(usual.verdict, Verdict::WithinComputedLimits, "{:?}", usual.reasons);
    // The second of a pair is entered at the speed that it was brought to.
    let series = usual.series.unwrap();
    let brought = series.between[0].speed_to_mps;
    checks::assert_near("joined", series.flights[1].samples[0].true_airspeed_mps, brought, 0.1);
}

/// A lazy eight of the light trainer from 97 kt comes down faster than V_A. Told, it is flown as told, and the brief says so; untold, it is
/// entered slower.
#[test]
fn regress_a_figure_past_maneuvering_speed_is_not_passed_over() {
    let airplane = bundled::load("plover-160").unwrap();
    let maker = airplane.calibrated(airplane.speeds.maneuver_entry.unwrap());
    let fast = at_2500("lazy-eight", Some(maker));
    let row = limit(&fast).unwrap();
    checks::assert_near("entry", entered_kt(&fast), 97.0, 1e-6);
    assert!(!row.kept && !row.hard && row.value > row.limit && row.value < 99.0, "{row:?}");
    assert_eq!(fast.verdict, Verdict::WithinComputedLimitsWith);
    let said = fast.reasons.iter().find(|reason| reason.contains("fastest to VA")).unwrap();
    assert!(said.starts_with("care") && said.contains("kt is above the limit of"), "{said}");
    let usual = at_2500("lazy-eight", None);
    let row = limit(&usual).unwrap();
    assert!(row.kept && entered_kt(&usual) < 97.0, "{row:?}");
}

/// Where a figure dives on a path of its own, or its maker approves a faster entry, passing V_A is not told as a fault.
#[test]
fn prop_figures_with_entry_speeds_of_their_own_are_not_held_to_it() {
    let airplane = bundled::load("sandpiper-550").unwrap();
    for id in ["loop", "half-cuban-eight", "cuban-eight", "immelmann", "split-s", "barrel-roll"] {
        let request = BriefRequest {
            height: Some(GeometricHeight::from_ft(9000.0)),
            field_told: true,
            ..request(None)
        };
        let brief = brief(find(id).unwrap(), &airplane, &request);
        assert!(!brief.limits.is_empty() && limit(&brief).is_none(), "{id}");
        assert!(!brief.reasons.iter().any(|reason| reason.contains("VA")), "{:?}", brief.reasons);
    }
    // What no standard lets pass it is forbidden there; the rest is told with care.
    let hard = |id: &str| limit(&told(id, |_| {})).unwrap().hard;
    assert!(hard("accelerated-stall"));
    assert!(!hard("steep-turn") && !hard("lazy-eight"));
    let sixty = told("steep-turn", |r| {
        r.form = form("steep-turn", "60");
        r.speed = Some(airplane_entry("plover-160"));
    });
    assert!(!limit(&sixty).unwrap().kept, "{:?}", sixty.limits);
}

fn airplane_entry(id: &str) -> CalibratedAirspeed {
    let airplane = bundled::load(id).unwrap();
    airplane.calibrated(airplane.speeds.maneuver_entry.unwrap())
}

/// What was flown already is shown beside it, hands and feet too, with the limit that it passes; never what is asked for a plan.
#[test]
fn prop_what_was_flown_past_a_limit_is_shown_with_the_limit() {
    let airplane = bundled::load("plover-160").unwrap();
    let fast = airplane.maneuvering_speed(airplane.masses.typical).to_kt() + 6.0;
    let speed = Some(airplane.calibrated(base::kinds::IndicatedAirspeed::from_kt(fast)));
    let asked = |flown| {
        let request = BriefRequest { speed, hands: true, flown, ..request(None) };
        brief(find("steep-turn").unwrap(), &airplane, &request)
    };
    let (plan, flown) = (asked(false), asked(true));
    assert_eq!((plan.verdict, flown.verdict), (Verdict::OutsideLimits, Verdict::OutsideLimits));
    assert!(plan.sides.is_empty() && plan.hands.is_empty());
    assert_eq!(plan.reasons, flown.reasons);
    assert_eq!(flown.sides.len(), 2);
    assert!(flown.hands.iter().all(Result::is_ok), "{:?}", flown.reasons);
}

/// The gate for speed lies beyond the flight and not beyond maneuvering speed, where the figure is held to it.
#[test]
fn prop_no_speed_gate_lies_beyond_maneuvering_speed() {
    for (id, _) in bundled::ALL {
        let airplane = bundled::load(id).unwrap();
        for key in ["chandelle", "lazy-eight", "steep-turn"] {
            let told = brief(find(key).unwrap(), &airplane, &request(None));
            let limit = told.limits.iter().find(|limit| limit.id == "maneuvering-speed");
            let (Some(limit), false) = (limit, told.sides.is_empty()) else { continue };
            let gate =
                told.gates.iter().find(|gate| gate.what.ends_with("above") && gate.unit == "kt");
            let gate = gate.expect("speed has a gate");
            assert!(
                gate.value >= limit.value - 1e-9,
                "{id} {key}: {} under the flight",
                gate.value
            );
            assert!(
                gate.value <= limit.limit.max(limit.value) + 1e-9,
                "{id} {key}: {} beyond {}",
                gate.value,
                limit.limit
            );
        }
    }
}
