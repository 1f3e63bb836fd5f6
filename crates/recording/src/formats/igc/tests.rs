//! Flight recorder files: the outside recordings, the judge crate on the same bytes, broken and hostile files.

#![allow(clippy::float_cmp, reason = "the judge and we read the same digits")]

use super::*;
use crate::normal::assemble::median;

fn named(name: &str) -> ReadOptions {
    ReadOptions { name: name.into(), ..ReadOptions::default() }
}

/// File, fixes, duration min and height range ft of the recordings' own README.
const FILES: &[(&str, f64, f64, f64)] = &[
    ("2019-04-15", 9.0, 534.0, 2372.0),
    ("2023-04-15", 33.4, 3.0, 2309.0),
    ("2020-09-04", 9.7, 1397.0, 2929.0),
    ("27GLQKF3", 89.8, 1519.0, 7903.0),
    ("92GV66G1", 34.2, 85.0, 3057.0),
    ("92HV66G1", 121.5, 91.0, 4311.0),
    ("_kml", 22.4, 2463.0, 3536.0),
    ("discontinuity", 149.4, 469.0, 6627.0),
    ("aat_attitude", 265.2, 1072.0, 7473.0),
    // the README gives 285 ft from the airborne part; the lowest satellite height in the file is 00046 m
    ("race_task_completed", 115.3, 150.9, 4353.0),
];

fn height_range_ft(recording: &Recording) -> (f64, f64) {
    let heights = || recording.fixes.iter().filter_map(|fix| fix.height_m);
    let per_ft = base::factors::M_PER_FT;
    (
        heights().fold(f64::INFINITY, f64::min) / per_ft,
        heights().fold(f64::NEG_INFINITY, f64::max) / per_ft,
    )
}

/// Duration and height range as published beside the recordings (their README, which read them by other means).
#[test]
fn val_recordings_read_to_their_published_spans() {
    for (name, minutes, low_ft, high_ft) in FILES {
        let Some(bytes) = crate::outside::recording("igc", name) else { return };
        let recording = read(&bytes, &named(name)).unwrap();
        checks::assert_near(name, recording.duration_s() / 60.0, *minutes, 0.051);
        let (low, high) = height_range_ft(&recording);
        checks::assert_near(name, low, *low_ft, 1.0);
        checks::assert_near(name, high, *high_ft, 1.0);
        assert!(recording.start.is_some(), "{name}");
    }
}

/// The `igc` crate (0.3) reads the same fixes out of the same lines.
#[test]
fn val_judge_crate_reads_the_same_fixes() {
    for (name, ..) in FILES {
        let Some(bytes) = crate::outside::recording("igc", name) else { return };
        let recording = read(&bytes, &named(name)).unwrap();
        let text: String = bytes.iter().map(|&byte| byte as char).collect();
        let mut judged = Vec::new();
        for line in text.lines().filter(|line| line.starts_with('B')) {
            let Ok(igc::records::Record::B(fix)) = igc::records::Record::parse_line(line) else {
                panic!("{name}: the judge fails on {line}")
            };
            let of = |raw: &igc::util::RawCoord| {
                let value = f64::from(raw.degrees) + f64::from(raw.minute_thousandths) / 60_000.0;
                match raw.sign {
                    igc::util::Compass::South | igc::util::Compass::West => -value,
                    _ => value,
                }
            };
            let time_s = f64::from(fix.timestamp.seconds_since_midnight());
            judged.push((time_s, of(&fix.pos.lat.0), of(&fix.pos.lon.0), f64::from(fix.gps_alt)));
        }
        judged.dedup_by(|later, earlier| later.0 == earlier.0);
        assert_eq!(judged.len(), recording.fixes.len(), "{name}");
        let zero_s = judged[0].0;
        for (fix, (time_s, latitude, longitude, height_m)) in recording.fixes.iter().zip(judged) {
            assert_eq!(fix.time_s, time_s - zero_s, "{name}");
            // extra position digits (LAD, LOD) are finer than the judge reads: one thousandth of a minute
            assert!((fix.latitude_deg - latitude).abs() < 1.0 / 60_000.0, "{name}");
            assert!((fix.longitude_deg - longitude).abs() < 1.0 / 60_000.0, "{name}");
            assert_eq!(fix.height_m, Some(height_m), "{name}");
        }
    }
}

/// Bank by the recorder (AOR) against the coordinated turn of the recorded speed and track: same sign, same size.
/// Source of the relation: tan(bank) = v w / g, any flight mechanics text.
#[test]
fn val_recorded_bank_agrees_with_the_turn() {
    let Some(bytes) = crate::outside::recording("igc", "aat_attitude") else { return };
    let recording = read(&bytes, &named("attitude")).unwrap();
    let bank = recording.series_of(QuantityKind::BankDeg).unwrap();
    let mut ratios = Vec::new();
    for pair in recording.fixes.windows(5) {
        let turned = math::wrap_pi(
            (pair[4].track_deg.unwrap() - pair[0].track_deg.unwrap()) * base::factors::RAD_PER_DEG,
        );
        let step_s = pair[4].time_s - pair[0].time_s;
        let speed = pair[2].ground_speed_mps.unwrap();
        let expected = math::atan(speed * turned / step_s / base::factors::STANDARD_GRAVITY_MPS2)
            / base::factors::RAD_PER_DEG;
        let at = bank.times_s.partition_point(|time_s| *time_s < pair[2].time_s);
        if expected.abs() > 20.0 && expected.abs() < 50.0 && step_s < 5.0 {
            ratios.push(bank.values[at] / expected);
        }
    }
    assert!(ratios.len() > 500, "{}", ratios.len());
    let ratio = median(ratios).unwrap();
    assert!((0.8..1.25).contains(&ratio), "{ratio}");
}

const HEADER: &str = "AXXX001 invented\r\nHFDTE040526\r\nHFPLTPILOT:J\u{fc}rg\r\n";

fn fixes(count: usize) -> String {
    let line = |n: usize| {
        let of_day = 86_390 + n;
        let (hour, minute, second) = (of_day / 3600 % 24, of_day / 60 % 60, of_day % 60);
        format!("B{hour:02}{minute:02}{second:02}46300{n:02}N00806000EA0120001250\r\n")
    };
    (0..count).map(line).collect()
}

#[test]
fn golden_midnight_latin1_and_date() {
    let text = format!("{HEADER}{}", fixes(60));
    let latin1: Vec<u8> = text.chars().map(|letter| letter as u8).collect();
    let recording = read(&latin1, &named("night")).unwrap();
    assert_eq!(recording.fixes.len(), 60);
    assert_eq!(recording.duration_s(), 59.0);
    assert_eq!(
        recording.start.map(|start| start.to_string()).as_deref(),
        Some("2026-05-04T23:59:50Z")
    );
    assert!(recording.notes.iter().any(|note| note.text.contains("midnight")));
    assert_eq!(recording.fixes[0].height_m, Some(1250.0));
    assert!((recording.fixes[0].latitude_deg - 46.5).abs() < 1e-12);
}

#[test]
fn regress_one_broken_record_in_many_is_left_out_with_its_place() {
    let broken = "B12000046X0100N00806000EA0120001250\r\n";
    let many = fixes(90) + &fixes(90)[..0];
    let text = format!("{HEADER}{broken}{many}{}", fixes(90));
    let recording = read(text.as_bytes(), &named("broken")).unwrap();
    let note = recording.notes.iter().find(|note| note.kind == NoteKind::LeftOut).unwrap();
    assert!(note.text.contains("line 4, column 10"), "{}", note.text);
    assert!(note.text.contains("a digit is expected, not 'X'"), "{}", note.text);
}

#[test]
fn regress_broken_records_are_an_error_with_place_and_hint() {
    let broken = "B12000046X0100N00806000EA0120001250\r\n";
    let text = format!("{HEADER}{}{broken}", fixes(20));
    let error = read(text.as_bytes(), &named("broken")).unwrap_err();
    let ReadError::Malformed { what, place, hint, .. } = &error else { panic!("{error:?}") };
    assert!(what.contains("column 10") && what.contains("1 of 21"), "{what}");
    assert_eq!(place.line, 24);
    assert_eq!(place.byte, Some(text.find("X0100").unwrap() as u64));
    assert!(!hint.is_empty());
    let none = read(HEADER.as_bytes(), &named("empty")).unwrap_err();
    assert!(none.to_string().contains("no B record"), "{none}");
    let cut = format!("{HEADER}{}B1200", fixes(20));
    let error = read(cut.as_bytes(), &named("cut")).unwrap_err();
    assert!(error.to_string().contains("has 5 of 35 columns"), "{error}");
}

/// Every code that the I and J records of the outside recordings declare is a series, part of a fix, or told in a note.
#[test]
fn val_every_declared_extension_is_read_or_told() {
    for (name, ..) in FILES {
        let Some(bytes) = crate::outside::recording("igc", name) else { return };
        let recording = read(&bytes, &named(name)).unwrap();
        let text = String::from_utf8_lossy(&bytes);
        let of = |letter| text.lines().find(move |line| line.starts_with(letter));
        for line in [of('I'), of('J')].into_iter().flatten() {
            for code in line.trim_end().as_bytes()[3..].chunks_exact(7) {
                let code = std::str::from_utf8(&code[4..]).unwrap();
                let series = recording.series.iter().any(|series| series.origin.ends_with(code));
                let told = recording.notes.iter().any(|note| note.text.contains(code));
                let of_fix = ["LAD", "LOD", "TRT"].contains(&code);
                assert!(series || told || of_fix, "{name}: {code}");
            }
        }
    }
}

/// The wind the recorder wrote (K records) against the wind of its own true airspeed, ground speed and track in circles:
/// over a full circle the ground speed swings by the wind to both sides.
#[test]
fn val_recorded_wind_fits_the_circles() {
    let Some(bytes) = crate::outside::recording("igc", "aat_attitude") else { return };
    let recording = read(&bytes, &named("attitude")).unwrap();
    let speed = recording.series_of(QuantityKind::WindSpeedMps).unwrap();
    let from = recording.series_of(QuantityKind::WindFromDeg).unwrap();
    assert_eq!(speed.times_s, from.times_s);
    let mut ratios = Vec::new();
    for (time_s, wind) in speed.times_s.iter().zip(&speed.values) {
        let end = recording.fixes.partition_point(|fix| fix.time_s <= *time_s);
        let circle = &recording.fixes[end.saturating_sub(60)..end];
        let turned: f64 = circle
            .windows(2)
            .map(|pair| {
                let turn = pair[1].track_deg.unwrap() - pair[0].track_deg.unwrap();
                math::wrap_pi(turn * base::factors::RAD_PER_DEG)
            })
            .sum();
        let speeds = || circle.iter().filter_map(|fix| fix.ground_speed_mps);
        let swing = 0.5 * (speeds().fold(0.0, f64::max) - speeds().fold(f64::INFINITY, f64::min));
        if turned.abs() > 12.0 && *wind > 2.0 {
            ratios.push(wind / swing);
        }
    }
    assert!(ratios.len() > 5, "{}", ratios.len());
    let ratio = median(ratios).unwrap();
    assert!((0.5..2.0).contains(&ratio), "{ratio}");
}

/// Invented: wind and temperature in K records, climb in tenths, an engine speed, a code nobody knows.
#[test]
fn golden_slow_records_and_declared_codes() {
    let mut text =
        format!("{HEADER}I043638VAR3942RPM4345XYZ4648FXA\r\nJ030810WDI1113WSP1416OAT\r\n");
    for second in 0..60 {
        let height = 1000 + 2 * second;
        text += &format!(
            "B1200{second:02}46300{second:02}N00806000EA{height:05}{height:05}0202400111005\r\n"
        );
    }
    text += "K120030270018-05\r\nK1200x\r\n";
    let recording = read(text.as_bytes(), &named("slow")).unwrap();
    let first = |quantity| recording.series_of(quantity).map(|series| series.values[0]);
    assert_eq!(first(QuantityKind::VerticalSpeedMps), Some(2.0), "{:?}", recording.notes);
    assert_eq!(first(QuantityKind::EngineSpeedRpm), Some(2400.0));
    assert_eq!(first(QuantityKind::HorizontalAccuracyM), Some(5.0));
    assert_eq!(first(QuantityKind::WindFromDeg), Some(270.0));
    checks::assert_near("18 km/h", first(QuantityKind::WindSpeedMps).unwrap(), 5.0, 1e-9);
    checks::assert_near("-5 C", first(QuantityKind::OutsideAirTemperatureK).unwrap(), 268.15, 1e-9);
    assert_eq!(recording.series_of(QuantityKind::WindFromDeg).unwrap().times_s, [30.0]);
    let told = |part: &str| recording.notes.iter().any(|note| note.text.contains(part));
    assert!(
        told("extensions not read: XYZ") && told("1 broken K records"),
        "{:?}",
        recording.notes
    );
}

/// Invented: 30 m/s (108 km/h) to the north; one record leaves speed and track blank, and only that one is without them.
#[test]
fn regress_a_blank_extension_costs_its_own_record_alone() {
    let mut text = format!("{HEADER}I023638GSP3941TRT\r\n");
    for second in 0..60 {
        let filled = if second == 30 { "      " } else { "108000" };
        let minutes = 16 * second;
        text += &format!("B1200{second:02}4630{minutes:03}N00806000EA0100001000{filled}\r\n");
    }
    let recording = read(text.as_bytes(), &named("blank")).unwrap();
    let without: Vec<usize> = (0..60)
        .filter(|at| {
            let fix = &recording.fixes[*at];
            fix.ground_speed_mps.is_none() || fix.track_deg.is_none()
        })
        .collect();
    assert_eq!(without, [30], "{:?}", recording.notes);
    checks::assert_near("108 km/h", recording.fixes[31].ground_speed_mps.unwrap(), 30.0, 1e-9);
}

/// What the user said of columns, aircraft or archives has no place here, and that is told; nothing of it when nothing was said.
#[test]
fn regress_words_of_the_user_without_use_are_told() {
    let text = format!(
        "{HEADER}B1200004630000N00806000EA0100001000\r\nB1200014630010N00806000EA0100001000\r\n"
    );
    let unused = |options: &ReadOptions| {
        let recording = crate::read(text.as_bytes(), options).unwrap();
        recording.notes.iter().filter(|note| note.text.contains("is not used")).count()
    };
    let said = ReadOptions {
        units: vec![("ias".into(), "kt".into())],
        columns: Some(crate::ColumnMap::default()),
        row_interval_s: Some(1.0),
        aircraft: Some("N1".into()),
        entry: Some("flight.igc".into()),
        ..named("said")
    };
    assert_eq!(unused(&said), 5);
    assert_eq!(unused(&named("silent")), 0);
    assert_eq!(unused(&ReadOptions { one_of_several: true, ..said }), 0);
}

/// Eight digits at once say what they say one by one; a byte that is none is seen wherever it stands.
#[test]
fn prop_eight_digits_at_once_are_the_number_they_write() {
    for value in [0_u32, 7, 12_345_678, 99_999_999, 90_000_001, 4_549_172] {
        let text = format!("{value:08}");
        let bytes: [u8; 8] = text.as_bytes().try_into().unwrap();
        assert_eq!(super::eight_digits(u64::from_le_bytes(bytes)), Some(value));
        for place in 0..8 {
            for other in (0..=255_u8).filter(|byte| !byte.is_ascii_digit()) {
                let mut spoiled = bytes;
                spoiled[place] = other;
                assert_eq!(super::eight_digits(u64::from_le_bytes(spoiled)), None, "{spoiled:?}");
            }
        }
    }
    assert_eq!(super::fixed::<2>(b"B0912", 2), Ok(9));
    assert_eq!(super::fixed::<5>(b"B1234567890123", 4), Ok(34_567));
    assert_eq!(super::fixed::<3>(b"B12", 2), super::digits(b"B12", 2, 3).map(|value| value as u32));
}
