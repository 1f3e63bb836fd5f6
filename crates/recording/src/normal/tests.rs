//! What is odd in samples, each on a made-up flight.

#![allow(clippy::float_cmp, reason = "values that must be the same digits")]

use super::assemble::Draft;
use super::{Fix, HeightDatum, NoteKind, QuantityKind as Q, Recording, Series};
use base::factors::{M_PER_FT, MPS_PER_KMH, MPS_PER_KT};

/// Degrees of latitude in one meter on the sphere that distances are measured on.
const DEG_PER_M: f64 = 1.0 / 111_194.926_644;

/// A fix of a flight due north at 50 m/s that climbs at 1 m/s, with line 10 at time zero.
fn fix(time_s: f64) -> (Fix, u64) {
    let fix = Fix {
        time_s,
        latitude_deg: 46.0 + 50.0 * time_s * DEG_PER_M,
        longitude_deg: 8.0,
        height_m: Some(1000.0 + time_s),
        ground_speed_mps: Some(50.0),
        track_deg: Some(0.0),
        climb_mps: Some(1.0),
    };
    (fix, 10 + time_s.max(0.0) as u64)
}

fn flight(seconds: usize) -> Draft {
    let mut draft = Draft::new("test", "made up");
    draft.fixes = (0..seconds).map(|second| fix(second as f64)).collect();
    draft.height_datum = HeightDatum::MeanSeaLevel;
    draft
}

fn series(quantity: Q, values: Vec<f64>) -> Series {
    let times_s = (0..values.len()).map(|at| at as f64).collect();
    Series { quantity, origin: quantity.key().into(), times_s, values }
}

fn noted(recording: &Recording, kind: NoteKind, part: &str) -> bool {
    recording.notes.iter().any(|note| note.kind == kind && note.text.contains(part))
}

fn check(draft: Draft, kind: NoteKind, part: &str) -> Recording {
    let recording = draft.finish().unwrap();
    assert!(noted(&recording, kind, part), "{part}: {:#?}", recording.notes);
    recording
}

#[test]
fn prop_a_sound_flight_has_no_oddity() {
    let mut draft = flight(300);
    let wave = |scale: f64| (0..300).map(|at| scale * f64::from(at % 17)).collect();
    draft.series = vec![
        series(Q::BankDeg, wave(1.5)),
        series(Q::TrueAirspeedMps, (0..300).map(|at| 48.0 + f64::from(at % 3)).collect()),
    ];
    assert_eq!(draft.finish().unwrap().notes, []);
}

#[test]
fn golden_a_clock_set_back_is_undone_and_told() {
    let mut draft = flight(200);
    // from the hundredth second on the clock is 30 s behind, the flight goes on
    for (fix, _) in draft.fixes.iter_mut().skip(100) {
        fix.time_s -= 30.0;
    }
    let times_s: Vec<f64> = draft.fixes.iter().map(|(fix, _)| fix.time_s).collect();
    let values = (0..200).map(|at| f64::from(at % 7)).collect();
    draft.series = vec![Series { times_s, ..series(Q::BankDeg, values) }];
    let recording = check(draft, NoteKind::Odd, "the clock steps back by 29.0 s at line 110");
    assert_eq!((recording.fixes.len(), recording.duration_s()), (200, 199.0));
    assert_eq!(recording.series[0].times_s, (0..200).map(f64::from).collect::<Vec<_>>());
    assert!(recording.fixes.windows(2).all(|two| two[1].latitude_deg > two[0].latitude_deg));
}

#[test]
fn golden_rows_out_of_order_are_sorted_not_moved() {
    let mut draft = flight(200);
    draft.fixes.swap(50, 60);
    let recording = check(draft, NoteKind::Odd, "time steps back");
    assert_eq!(
        (recording.fixes.len(), recording.fixes[50].latitude_deg),
        (200, fix(50.0).0.latitude_deg)
    );
}

#[test]
fn golden_a_clock_set_forward_is_told() {
    let mut draft = flight(200);
    for (fix, _) in draft.fixes.iter_mut().skip(100) {
        fix.time_s += 3600.0;
    }
    let recording = check(
        draft,
        NoteKind::Odd,
        "the clock steps forward by 3601.0 s at 99.0 s (line 109) while the position moves 50 m only",
    );
    assert!(noted(
        &recording,
        NoteKind::Missing,
        "1 gap in the fixes (usual step 1.00 s), the longest of 3601.0 s at 99.0 s (line 109)"
    ));
}

#[test]
fn golden_stale_positions_are_left_out() {
    // every position written four times at four times the rate, speeds going on
    let mut draft = flight(0);
    draft.fixes = (0..400)
        .map(|quarter| {
            let (true_fix, _) = fix(f64::from(quarter / 4));
            (Fix { time_s: f64::from(quarter) * 0.25, ..true_fix }, 10 + u64::from(quarter as u32))
        })
        .collect();
    let recording = check(
        draft,
        NoteKind::LeftOut,
        "300 stale fixes left out: the position stands still while the airplane moves, for 0.8 s at most, from line 10",
    );
    assert_eq!(recording.fixes.len(), 100);
    // a receiver that hangs for 35 s
    let mut draft = flight(200);
    let held = draft.fixes[100].0;
    for (fix, _) in &mut draft.fixes[101..136] {
        (fix.latitude_deg, fix.longitude_deg) = (held.latitude_deg, held.longitude_deg);
    }
    let recording = check(
        draft,
        NoteKind::LeftOut,
        "35 stale fixes left out: the position stands still while the airplane moves, for 35.0 s at most, from line 110; lines 111,",
    );
    assert_eq!(recording.gaps.len(), 1);
    // the same without recorded speed: the next position tells
    let mut draft = flight(200);
    for (fix, _) in &mut draft.fixes {
        (fix.ground_speed_mps, fix.climb_mps) = (None, None);
    }
    for (fix, _) in &mut draft.fixes[101..103] {
        fix.latitude_deg = held.latitude_deg;
    }
    check(draft, NoteKind::LeftOut, "2 stale fixes left out");
    // an airplane that stands is not stale
    let mut draft = flight(200);
    for (fix, _) in &mut draft.fixes {
        fix.latitude_deg = 46.0;
        fix.ground_speed_mps = Some(0.2);
    }
    assert_eq!(draft.finish().unwrap().fixes.len(), 200);
}

#[test]
fn golden_jumps_are_told_with_their_place() {
    let mut draft = flight(200);
    for (fix, _) in &mut draft.fixes[100..] {
        fix.longitude_deg += 1.0;
    }
    check(draft, NoteKind::Odd, "the position jumps 1 time (over 350 m/s), first by 77.");
    let mut draft = flight(200);
    draft.fixes[100].0.longitude_deg += 1.0;
    check(
        draft,
        NoteKind::LeftOut,
        "1 fix left out: the position jumps away and back (over 350 m/s), line 110",
    );
}

#[test]
fn golden_a_frozen_stretch_is_told() {
    let mut draft = flight(600);
    let mut bank: Vec<f64> = (0..600).map(|at| f64::from(at * 7 % 31)).collect();
    bank[200..300].fill(12.5);
    draft.series = vec![series(Q::BankDeg, bank.clone())];
    check(
        draft,
        NoteKind::Odd,
        "bank holds 12.500 for 99.0 s from 200.0 s (100 samples): a frozen sensor?",
    );
    // the same while parked is a parked airplane
    let mut draft = flight(600);
    for (fix, _) in &mut draft.fixes {
        (fix.latitude_deg, fix.ground_speed_mps) = (46.0, Some(0.0));
    }
    draft.series = vec![series(Q::BankDeg, bank)];
    let recording = draft.finish().unwrap();
    assert!(!noted(&recording, NoteKind::Odd, "frozen"), "{:?}", recording.notes);
    let mut draft = flight(600);
    draft.series = vec![series(Q::PitchDeg, vec![3.0; 600])];
    check(draft, NoteKind::Odd, "pitch never changes");
}

#[test]
fn golden_units_that_contradict_the_positions_are_told() {
    let mut draft = flight(200);
    for (fix, _) in &mut draft.fixes {
        fix.ground_speed_mps = fix.ground_speed_mps.map(|speed| speed * MPS_PER_KT);
    }
    check(
        draft,
        NoteKind::Odd,
        "the ground speed is 0.51 times what the positions move at (198 steps): wrong unit suspected (m/s read as kt would do that); used as stated",
    );
    let mut draft = flight(200);
    for (fix, _) in &mut draft.fixes {
        fix.height_m = fix.height_m.map(|height| height / M_PER_FT);
    }
    check(
        draft,
        NoteKind::Odd,
        "the height of the fixes changes by 3.281 m for each meter their vertical speed makes: wrong unit suspected (ft and m/s taken for m and m/s would do that)",
    );
    let mut draft = flight(200);
    draft.series = vec![series(
        Q::IndicatedAirspeedMps,
        (0..200).map(|at| 95.0 + f64::from(at % 3)).collect(),
    )];
    check(
        draft,
        NoteKind::Odd,
        "indicated-airspeed is 2.03 times the speed over the ground, thinned with the air at its height, in the median (200 samples): wrong unit suspected (kt read as m/s would do that)",
    );
}

/// The density of the standard atmosphere at 12,000 m is 0.3119 kg/m3 of 1.2250 at sea level (DOC-7488, table of
/// properties): an airspeed indicator shows half of what the airplane makes good, and nothing is wrong.
#[test]
fn val_an_airspeed_high_up_is_no_wrong_unit() {
    for (height_m, told) in [(12_000.0, false), (300.0, true)] {
        let mut draft = flight(200);
        let shown = 50.0 * (0.3119_f64 / 1.2250).sqrt();
        draft.fixes.iter_mut().for_each(|(fix, _)| {
            (fix.height_m, fix.climb_mps) = (Some(height_m + fix.time_s % 3.0), None);
        });
        let values = (0..200).map(|at| shown + 0.1 * f64::from(at % 3)).collect();
        draft.series = vec![series(Q::IndicatedAirspeedMps, values)];
        let recording = draft.finish().unwrap();
        assert_eq!(noted(&recording, NoteKind::Odd, "wrong unit suspected"), told, "{height_m}");
    }
}

/// Only what the column was read in can have been mixed up with something else.
#[test]
fn golden_the_hint_names_the_unit_that_was_read() {
    for (read, ratio, part) in [
        (
            "kt",
            MPS_PER_KT / MPS_PER_KMH,
            "1.85 times what the positions move at (198 steps): wrong unit suspected (km/h read as kt would do that)",
        ),
        (
            "kt",
            1.3,
            "1.30 times what the positions move at (198 steps): wrong unit suspected; used as stated",
        ),
        (
            "m/s",
            1.0 / M_PER_FT,
            "3.28 times what the positions move at (198 steps): wrong unit suspected (ft/s read as m/s would do that)",
        ),
    ] {
        let mut draft = flight(200);
        draft.speed_origin = Some(("gs".into(), read));
        for (fix, _) in &mut draft.fixes {
            fix.ground_speed_mps = fix.ground_speed_mps.map(|speed| speed * ratio);
        }
        check(draft, NoteKind::Odd, part);
    }
}

/// The altimeter setting against the standard atmosphere: 1013.25 hPa lifts by 8.23 m a hectopascal at sea level
/// (DOC-7488: gradient of pressure 12.01 Pa/m there).
#[test]
fn val_pressure_against_height_tells_the_altimeter_setting() {
    let pressure = |offset_m: f64, scale: f64| {
        let mut draft = flight(400);
        let values = (0..400).map(|at| (1000.0 + f64::from(at)) * scale - offset_m).collect();
        draft.series = vec![series(Q::PressureAltitudeM, values)];
        draft
    };
    check(
        pressure(83.0, 1.0),
        NoteKind::Found,
        "is 83 m above the pressure altitude (pressure-altitude) in the median (half of it within 0 m): an altimeter setting of 1023 hPa would explain it",
    );
    check(pressure(-83.0, 1.0), NoteKind::Found, "setting of 1003 hPa would");
    check(pressure(2000.0, 1.0), NoteKind::Odd, "no altimeter setting explains that");
    check(
        pressure(0.0, 1.0 / M_PER_FT),
        NoteKind::Odd,
        "changes by 0.30 m for each meter of the pressure altitude (pressure-altitude): wrong unit suspected (one of the two in feet, taken for meters)",
    );
    // by pressure: 900 hPa is 988.5 m in the standard atmosphere (DOC-7488, table by pressure)
    let mut draft = flight(100);
    for (fix, _) in &mut draft.fixes {
        (fix.height_m, fix.climb_mps) = (Some(988.5), None);
    }
    draft.series = vec![series(Q::StaticPressurePa, vec![90_000.0; 100])];
    check(draft, NoteKind::Found, "is 0 m");
}
