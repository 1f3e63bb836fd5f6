//! Safety events in motions written down: what was passed, when, by how much, how sure; and what could not be looked for.

use assess::debrief::{Debrief, DebriefContext, watched};
use assess::events::{EventKind, SafetyEvent, Watch};
use base::factors::{M_PER_FT, MPS_PER_KT, RAD_PER_DEG};
use checks::assert_near;
use flight::airplane::{Airplane, bundled};
use motion::{Column, Motion};
use recording::{QuantityKind, Recording, Series};

use crate::commercial;

/// Steps of a quarter of a second.
const STEP_S: f64 = 0.25;
const N: usize = 800;

/// What is flown at a time: bank and pitch in degrees, airspeed in knots, height in feet, load.
#[derive(Clone, Copy)]
struct At {
    bank_deg: f64,
    pitch_deg: f64,
    cas_kt: f64,
    height_ft: f64,
    load: f64,
}

const QUIET: At = At { bank_deg: 0.0, pitch_deg: 2.0, cas_kt: 100.0, height_ft: 4000.0, load: 1.0 };

/// Straight flight but for what the closure says; sigmas of a panel log.
fn motion(of: impl Fn(f64) -> At, load_sigma: f64) -> Motion {
    let column = |sigma: f64, get: &dyn Fn(At) -> f64| {
        let value = (0..N).map(|i| get(of(i as f64 * STEP_S))).collect();
        Some(Column { value, sigma: vec![sigma; N] })
    };
    Motion {
        time_s: (0..N).map(|i| i as f64 * STEP_S).collect(),
        height_m: column(2.0, &|at| at.height_ft * M_PER_FT),
        heading_rad: column(0.01, &|_| 1.0),
        path_angle_rad: column(0.005, &|_| 0.0),
        bank_rad: column(0.5 * RAD_PER_DEG, &|at| at.bank_deg * RAD_PER_DEG),
        pitch_rad: column(0.5 * RAD_PER_DEG, &|at| at.pitch_deg * RAD_PER_DEG),
        load_factor: column(load_sigma, &|at| at.load),
        calibrated_airspeed_mps: column(0.5, &|at| at.cas_kt * MPS_PER_KT),
        airborne: vec![true; N],
        ..Motion::default()
    }
}

fn debriefed(motion: Motion, airplane: Option<&Airplane>, series: Vec<Series>) -> Debrief {
    let recording = Recording { series, ..Recording::empty("csv", "made") };
    let standard = commercial();
    let context = DebriefContext { airplane, standard: &standard, ground_elevation_m: Some(300.0) };
    let watch = Watch { stall_margin_kt: 5.0, engine_speed_max_rpm: Some(2700.0) };
    watched(recording, motion, &context, &watch)
}

fn of_kind(debrief: &Debrief, kind: EventKind) -> Vec<&SafetyEvent> {
    debrief.events.events.iter().filter(|event| event.kind == kind).collect()
}

/// Load, speed, stall, negative load and the parachute rule in one flight, each at its own time and nowhere else.
#[test]
fn prop_each_limit_is_told_where_it_was_passed_and_nothing_else() {
    let airplane = bundled::load("plover-160").expect("bundled");
    let category = airplane.category(airplane.masses.typical).expect("it has one");
    let most = category.load_factor_max.to_g();
    let never_kt = airplane.calibrated(airplane.speeds.never_exceed).to_kt();
    let stall = airplane.stall_speed(airplane.masses.typical, base::units::LoadFactor::from_g(1.0));
    let stall_kt = stall.to_kt();
    let of = |t: f64| match t {
        t if (20.0..22.0).contains(&t) => At { load: most + 0.4, ..QUIET },
        t if (50.0..53.0).contains(&t) => At { cas_kt: never_kt + 6.0, ..QUIET },
        t if (80.0..90.0).contains(&t) => At { cas_kt: stall_kt - 3.0, ..QUIET },
        t if (120.0..121.0).contains(&t) => At { load: -0.5, ..QUIET },
        t if (150.0..160.0).contains(&t) => At { bank_deg: 64.0, ..QUIET },
        _ => QUIET,
    };
    let debrief = debriefed(motion(of, 0.05), Some(&airplane), Vec::new());
    for (kind, begin_s, end_s, exceedance) in [
        (EventKind::LoadHigh, 20.0, 21.75, true),
        (EventKind::NeverExceed, 50.0, 52.75, true),
        (EventKind::NegativeLoad, 120.0, 120.75, false),
        (EventKind::Bank, 150.0, 159.75, false),
    ] {
        let found = of_kind(&debrief, kind);
        assert_eq!(found.len(), 1, "{kind:?}: {found:?}");
        assert_near(kind.key(), found[0].begin_s, begin_s, 0.3);
        assert_near(kind.key(), found[0].end_s, end_s, 0.3);
        assert_eq!((found[0].sure, found[0].is_exceedance()), (true, exceedance), "{kind:?}");
    }
    // The mass of the day is not known, so neither is the margin to a knot: perhaps or surely, it is told; at high load too.
    let near = of_kind(&debrief, EventKind::StallMargin);
    assert!(near.iter().any(|event| event.begin_s >= 79.5 && event.end_s <= 90.5), "{near:?}");
    assert!(of_kind(&debrief, EventKind::Pitch).is_empty());
    assert!(of_kind(&debrief, EventKind::LoadLow).is_empty());
}

/// A load that its band reaches back over the limit is perhaps past it.
#[test]
fn prop_a_vague_load_is_perhaps_past() {
    let airplane = bundled::load("plover-160").expect("bundled");
    let category = airplane.category(airplane.masses.typical).expect("it has one");
    let most = category.load_factor_max.to_g();
    let of =
        |t: f64| if (20.0..22.0).contains(&t) { At { load: most + 0.2, ..QUIET } } else { QUIET };
    let debrief = debriefed(motion(of, 0.2), Some(&airplane), Vec::new());
    let found = of_kind(&debrief, EventKind::LoadHigh);
    assert!(found.len() == 1 && !found[0].sure && found[0].is_exceedance());
    assert!(found[0].words().contains("perhaps past"), "{}", found[0].words());
}

/// An engine turned too fast is told from its own series; without an airplane what cannot be looked for says why.
#[test]
fn prop_the_engine_is_watched_and_what_is_not_known_is_said() {
    let values: Vec<f64> = (0..100).map(|i| if i == 40 { 2860.0 } else { 2450.0 }).collect();
    let series = Series {
        quantity: QuantityKind::EngineSpeedRpm,
        origin: "rpm".into(),
        times_s: (0..100).map(f64::from).collect(),
        values,
    };
    let debrief = debriefed(motion(|_| QUIET, 0.05), None, vec![series]);
    let found = of_kind(&debrief, EventKind::EngineSpeed);
    assert!(found.len() == 1 && found[0].sure, "{found:?}");
    assert_near("when", found[0].worst_s, 40.0, 1e-9);
    let why = |kind: EventKind| {
        let check = debrief.events.checks.iter().find(|check| check.kind == kind);
        check.expect("every kind is listed").why_not.clone()
    };
    assert!(why(EventKind::LoadHigh).is_some_and(|why| why.contains("airplane is not known")));
    assert!(why(EventKind::Flaps).is_some_and(|why| why.contains("flaps")));
    assert_eq!(why(EventKind::Floor), None);
    assert_eq!(why(EventKind::EngineSpeed), None);
    assert_eq!(debrief.events.checks.len(), EventKind::ALL.len());
}
