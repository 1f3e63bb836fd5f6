//! Recordings of one flight made one: made-up flights, and flights with known clocks.

#![allow(clippy::float_cmp, reason = "values that must be the same digits")]

use super::offset::between;
use super::{MergeError, merge};
use crate::formats::{ReadOptions, read};
use crate::normal::{Fix, Gap, HeightDatum, NoteKind, QuantityKind as Q, Recording, Series};
use base::factors::{RAD_PER_DEG, STANDARD_GRAVITY_MPS2};
use base::math;
use base::time::UtcInstant;
use checks::assert_near;

/// Meters in one degree of latitude on the sphere that distances are measured on.
const M_PER_DEG: f64 = 111_194.926_644;
const SPEED_MPS: f64 = 55.0;

/// Bank and climb of a made-up lesson at a time: turns and climbs of uneven length.
fn flown(time_s: f64) -> (f64, f64) {
    let bank_deg = 40.0 * math::sin(time_s / 37.0) * math::sin(time_s / 101.0 + 0.4);
    let climb_mps = 5.0 * math::sin(time_s / 53.0 + 1.0) * math::sin(time_s / 171.0);
    (bank_deg, climb_mps)
}

/// The lesson from one time to another: fixes at 1 Hz, their clock at zero at the first.
fn receiver(from_s: usize, to_s: usize, start: Option<UtcInstant>) -> Recording {
    let (mut north, mut east, mut track_rad, mut height) = (0.0, 0.0, 0.3, 1500.0);
    let mut fixes = Vec::new();
    for second in 0..to_s {
        if second >= from_s {
            fixes.push(Fix {
                time_s: (second - from_s) as f64,
                latitude_deg: 46.0 + north / M_PER_DEG,
                longitude_deg: 8.0 + east / (M_PER_DEG * math::cos(46.0 * RAD_PER_DEG)),
                height_m: Some(height),
                ground_speed_mps: Some(SPEED_MPS),
                track_deg: Some((track_rad / RAD_PER_DEG).rem_euclid(360.0)),
                climb_mps: None,
            });
        }
        for tenth in 0..10 {
            let (bank_deg, climb_mps) = flown(second as f64 + f64::from(tenth) * 0.1 + 0.05);
            let bank_rad = bank_deg * RAD_PER_DEG;
            let tangent = math::sin(bank_rad) / math::cos(bank_rad);
            track_rad += 0.1 * STANDARD_GRAVITY_MPS2 * tangent / SPEED_MPS;
            north += 0.1 * SPEED_MPS * math::cos(track_rad);
            east += 0.1 * SPEED_MPS * math::sin(track_rad);
            height += 0.1 * climb_mps;
        }
    }
    Recording {
        format: "gpx",
        name: "receiver.gpx".into(),
        start,
        fixes,
        height_datum: HeightDatum::MeanSeaLevel,
        series: Vec::new(),
        gaps: Vec::new(),
        notes: Vec::new(),
    }
}

/// The same lesson on a panel without positions: bank at 5 Hz, pressure altitude at 1 Hz.
fn panel(from_s: usize, to_s: usize, start: Option<UtcInstant>) -> Recording {
    let of = receiver(from_s, to_s, None);
    let fifths: Vec<f64> = (0..(to_s - from_s) * 5).map(|fifth| fifth as f64 * 0.2).collect();
    let bank = Series {
        quantity: Q::BankDeg,
        origin: "Roll".into(),
        values: fifths.iter().map(|time_s| flown(from_s as f64 + time_s).0).collect(),
        times_s: fifths,
    };
    let altitude = Series {
        quantity: Q::PressureAltitudeM,
        origin: "AltP".into(),
        times_s: of.fixes.iter().map(|fix| fix.time_s).collect(),
        values: of.fixes.iter().map(|fix| fix.height_m.unwrap() - 70.0).collect(),
    };
    let series = vec![bank, altitude];
    Recording { format: "csv", name: "panel.csv".into(), start, fixes: Vec::new(), series, ..of }
}

fn instant(seconds: f64) -> Option<UtcInstant> {
    UtcInstant::parse_rfc3339("2026-05-04T12:00:00Z").map(|noon| noon.plus_seconds(seconds))
}

fn noted(recording: &Recording, part: &str) -> bool {
    recording.notes.iter().any(|note| note.text.contains(part))
}

#[test]
fn golden_a_panel_without_clock_finds_its_place_on_a_receiver() {
    let whole = merge(&[receiver(0, 1200, instant(0.0)), panel(300, 1100, None)]).unwrap();
    assert!(
        noted(&whole, "panel.csv joined to receiver.gpx: its clock is +300."),
        "{:?}",
        whole.notes
    );
    assert!(
        noted(
            &whole,
            "found by what both recorded (correlation over 800 s: climb 1.00, turning 1.00)"
        ),
        "{:?}",
        whole.notes
    );
    let bank = whole.series_of(Q::BankDeg).unwrap();
    assert_eq!((bank.origin.as_str(), whole.fixes.len()), ("panel.csv: Roll", 1200));
    assert_near("start of the bank", bank.times_s[0], 300.0, 0.5);
    assert_eq!((whole.format, whole.name.as_str()), ("joined", "receiver.gpx + panel.csv"));
    assert_eq!(whole.start, instant(0.0));
}

#[test]
fn golden_the_clock_of_the_second_gives_the_start_when_the_first_has_none() {
    let whole = merge(&[panel(300, 1100, None), receiver(0, 1200, instant(0.0))]).unwrap();
    let start_s = whole.start.unwrap().seconds_since(instant(0.0).unwrap());
    assert_near("start", start_s, 0.0, 0.5);
    assert!(whole.fixes[0].time_s.abs() < 1e-6 && whole.series[0].times_s[0] > 299.0);
}

#[test]
fn golden_clocks_that_agree_are_refined_along_the_path() {
    // the second receiver is 3.4 s late by its clock and 40 m to the side
    let mut second = receiver(100, 900, instant(103.4));
    for fix in &mut second.fixes {
        fix.latitude_deg += 40.0 / M_PER_DEG;
    }
    second.name = "phone.csv".into();
    let found = between(&receiver(0, 1200, instant(0.0)), &second).unwrap();
    assert_near("offset", found.offset_s, 100.0, 0.1);
    assert!(found.evidence.contains("refined by −3.4"), "{}", found.evidence);
    let whole = merge(&[receiver(0, 1200, instant(0.0)), second]).unwrap();
    assert_eq!(whole.fixes.len(), 1200);
    assert!(
        noted(
            &whole,
            "positions are those of receiver.gpx (1200 against 800); those of phone.csv are left out"
        ),
        "{:?}",
        whole.notes
    );
}

#[test]
fn golden_a_clock_in_another_zone_is_found_out() {
    let found =
        between(&receiver(0, 1200, instant(0.0)), &panel(0, 1200, instant(7200.0))).unwrap();
    assert_near("offset", found.offset_s, 0.0, 0.5);
    assert!(
        found.evidence.contains("one of their clocks is wrong by 7200 s"),
        "{}",
        found.evidence
    );
}

#[test]
fn golden_holes_are_filled_from_the_other_receiver() {
    let mut first = receiver(0, 1200, instant(0.0));
    first.fixes.retain(|fix| !(400.0..450.0).contains(&fix.time_s));
    first.gaps = vec![Gap { from_s: 399.0, to_s: 450.0 }];
    let second = Recording { name: "second.gpx".into(), ..receiver(300, 1250, instant(300.0)) };
    let whole = merge(&[first, second]).unwrap();
    assert!(
        noted(&whole, "100 fixes of second.gpx fill where there are none"),
        "{:?}",
        whole.notes
    );
    assert_eq!((whole.fixes.len(), whole.gaps.len()), (1250, 0));
    assert!(whole.fixes.windows(2).all(|two| two[1].time_s - two[0].time_s == 1.0));
}

#[test]
fn golden_the_better_source_of_a_quantity_is_kept() {
    let mut slow = panel(0, 1200, instant(0.0));
    slow.name = "slow.csv".into();
    slow.series[0].times_s = (0..1200).map(f64::from).collect();
    slow.series[0].values.truncate(1200);
    for order in
        [[slow.clone(), panel(0, 1200, instant(0.0))], [panel(0, 1200, instant(0.0)), slow]]
    {
        let whole = merge(&order).unwrap();
        assert_eq!(whole.series_of(Q::BankDeg).unwrap().origin, "panel.csv: Roll");
        assert_eq!(whole.series.len(), 2);
        assert!(
            noted(&whole, "left out: slow.csv: Roll") || noted(&whole, "slow.csv: Roll,"),
            "{:?}",
            whole.notes
        );
    }
}

/// Both state their start and overlap, but one clock is five minutes wrong: what both recorded puts them together.
#[test]
fn regress_a_clock_off_by_minutes_is_set_right() {
    let whole =
        merge(&[receiver(0, 1200, instant(0.0)), receiver(0, 1200, instant(300.0))]).unwrap();
    assert!(noted(&whole, "one of their clocks is wrong by 300 s"), "{:?}", whole.notes);
    assert!(noted(&whole, "0 m apart in the median"), "{:?}", whole.notes);
}

#[test]
fn regress_what_is_not_one_flight_is_refused_with_numbers() {
    assert_eq!(merge(&[]).unwrap_err(), MergeError::Nothing);
    let first = receiver(0, 600, instant(0.0));
    let mut other = receiver(0, 600, instant(10.0));
    for fix in &mut other.fixes {
        fix.longitude_deg += 0.05;
    }
    let error = merge(&[first.clone(), other]).unwrap_err();
    assert!(
        matches!(error, MergeError::Disagree { distance_m, .. } if distance_m > 3000.0),
        "{error}"
    );
    let error = merge(&[first.clone(), receiver(3000, 3600, instant(3000.0))]).unwrap_err();
    assert!(
        matches!(error, MergeError::NoOverlap { apart_s, .. } if (apart_s - 2401.0).abs() < 1.5),
        "{error}"
    );
    // another flight: the same one from its end to its start
    let mut other = panel(0, 600, None);
    other.series.iter_mut().for_each(|series| series.values.reverse());
    let error = merge(&[first, other]).unwrap_err();
    assert!(
        matches!(error, MergeError::NoClock { .. }) && error.to_string().contains("at best"),
        "{error}"
    );
    assert!(error.hint().len() > 20);
}

/// The offset between a phone and a panel against the clocks that the flights were recorded with: a fix of the phone shows
/// up 0.4 s late, its clock starts where meta.json says, the panel's at whole seconds of the truth.
/// Source: checks/flown (README, meta.json).
#[test]
fn val_phone_and_panel_go_together_as_they_were_recorded() {
    for flight in ["f01", "f02", "f03", "f04", "f05"] {
        let Some(meta) = checks::text(&format!("flown/{flight}/meta.json")) else { return };
        let member = |key: &str| -> f64 {
            let rest = meta.split(&format!("\"{key}\": ")).nth(1).unwrap();
            rest.split([',', '\n']).next().unwrap().trim().parse().unwrap()
        };
        let expected_s = member("phone_elapsed_zero_is_t_s") - member("phone_gps_delay_s");
        let recording = |file: &str| {
            let bytes = checks::bytes(&format!("flown/{flight}/{file}.csv")).unwrap();
            read(&bytes, &ReadOptions { name: file.into(), ..ReadOptions::default() }).unwrap()
        };
        let (panel, phone) = (recording("avionics"), recording("phone"));
        let found = between(&panel, &phone).unwrap();
        assert_near(flight, found.offset_s, expected_s, 0.1);
        // without positions: by bank and height on the one side, the track on the other; the panel lies 0.35 s behind
        let blind = Recording { fixes: Vec::new(), gaps: Vec::new(), start: None, ..panel };
        let found = between(&recording("gps_1hz"), &blind).unwrap();
        assert_near(flight, found.offset_s, -member("avionics_lag_s"), 0.6);
        let whole = merge(&[recording("gps_5hz"), phone, blind]).unwrap();
        assert!(
            whole.series_of(Q::DeviceForceXMps2).is_some() && whole.series_of(Q::BankDeg).is_some()
        );
        assert!(whole.notes.iter().filter(|note| note.kind == NoteKind::Found).count() >= 2);
    }
}

/// Two flights of different airplanes on different days are never one.
#[test]
fn val_other_flights_are_refused() {
    let recording = |path: &str| {
        let bytes = checks::bytes(&format!("flown/{path}.csv"))?;
        Some(read(&bytes, &ReadOptions { name: path.into(), ..ReadOptions::default() }).unwrap())
    };
    let flights = ["f01/gps_1hz", "f02/gps_1hz", "f03/gps_1hz", "f04/avionics", "f05/avionics"];
    for (index, first) in flights.iter().enumerate() {
        for second in &flights[index + 1..] {
            let (Some(first), Some(second)) = (recording(first), recording(second)) else { return };
            assert!(merge(&[first, second]).is_err());
        }
    }
}
