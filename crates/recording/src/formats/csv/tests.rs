//! Tables: fixtures of our own, hostile bytes, and the outside files of the check and recordings folders.

#![allow(clippy::float_cmp, reason = "values that must be the same digits")]

use super::{table::number, *};
use crate::normal::{Fix, QuantityKind as Q};
use base::factors::{M_PER_FT, MPS_PER_KT, RAD_PER_DEG};
use checks::assert_near;

fn options(units: &[(&str, &str)]) -> ReadOptions {
    let pair = |(of, unit): &(&str, &str)| ((*of).to_owned(), (*unit).to_owned());
    ReadOptions {
        name: "test".into(),
        units: units.iter().map(pair).collect(),
        ..ReadOptions::default()
    }
}

fn noted(recording: &Recording, kind: NoteKind, part: &str) -> bool {
    recording.notes.iter().any(|note| note.kind == kind && note.text.contains(part))
}

fn range(values: impl Iterator<Item = f64>) -> (f64, f64) {
    values.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), v| (low.min(v), high.max(v)))
}

/// The exact motion of a flown check flight at the times of the fixes: checks/flown/README.md.
fn against_truth(flight: &str, recording: &Recording, zero_s: f64) {
    let truth = checks::Table::read(&format!("flown/{flight}/truth.csv")).unwrap();
    let column = |name| truth.column(name);
    let (times, north, east) = (column("t_s"), column("v_north_mps"), column("v_east_mps"));
    let (down, height) = (column("v_down_mps"), column("height_m"));
    let (latitude, longitude) = (column("lat_deg"), column("lon_deg"));
    let mut misses: [Vec<f64>; 5] = Default::default();
    for fix in &recording.fixes {
        let at = times.partition_point(|t| *t < fix.time_s + zero_s - 0.05).min(times.len() - 1);
        if (times[at] - fix.time_s - zero_s).abs() > 0.06 {
            continue;
        }
        let exact = Fix { latitude_deg: latitude[at], longitude_deg: longitude[at], ..*fix };
        misses[0].push(crate::normal::assemble::distance_m(&exact, fix));
        misses[1].push((fix.height_m.unwrap() - height[at]).abs());
        misses[2]
            .push((fix.ground_speed_mps.unwrap() - base::math::hypot(north[at], east[at])).abs());
        misses[3].push((fix.climb_mps.unwrap() + down[at]).abs());
        let track = base::math::atan2(east[at], north[at]) - fix.track_deg.unwrap() * RAD_PER_DEG;
        misses[4].push(base::math::wrap_pi(track).abs());
    }
    // noise stated there: 1.8 m, 3 m, 0.07 m/s, 0.1 m/s; the middle miss must be of that size
    for (list, most) in misses.into_iter().zip([5.0, 6.0, 0.3, 0.4, 0.02]) {
        assert!(list.len() > 100);
        let middle = crate::normal::assemble::median(list).unwrap();
        assert!(middle < most, "{flight}: {middle} of {most}");
    }
}

#[test]
fn val_flown_satellite_files_match_the_truth_in_every_unit() {
    for flight in ["f01", "f02", "f03", "f04", "f05"] {
        for file in ["gps_1hz", "gps_5hz"] {
            let Some(bytes) = checks::bytes(&format!("flown/{flight}/{file}.csv")) else { return };
            let recording = read(&bytes, &options(&[])).unwrap();
            assert!(noted(&recording, NoteKind::Assumed, "ground_speed is taken as m/s"));
            assert!(noted(&recording, NoteKind::Assumed, "alt is taken as m"));
            assert!(noted(&recording, NoteKind::Assumed, "vertical_speed is taken as m/s"));
            assert!(recording.start.is_none() && !recording.gaps.is_empty());
            against_truth(flight, &recording, 0.0);
        }
    }
}

#[test]
fn val_flown_panel_and_phone_files_read_completely() {
    for flight in ["f01", "f02", "f03", "f04", "f05"] {
        let Some(bytes) = checks::bytes(&format!("flown/{flight}/avionics.csv")) else { return };
        let recording = read(&bytes, &options(&[])).unwrap();
        for quantity in [
            Q::IndicatedAirspeedMps,
            Q::PressureAltitudeM,
            Q::PitchDeg,
            Q::BankDeg,
            Q::MagneticHeadingDeg,
            Q::NormalLoadG,
            Q::LateralLoadG,
            Q::EngineSpeedRpm,
            Q::OutsideAirTemperatureK,
        ] {
            assert!(recording.series_of(quantity).is_some(), "{flight} {quantity:?}");
        }
        assert!(recording.start.is_some());
        assert!(
            recording.fixes.iter().all(|fix| fix.climb_mps.is_some() && fix.height_m.is_some())
        );
        assert!(!recording.notes.iter().any(|note| note.kind == NoteKind::LeftOut));
        let bytes = checks::bytes(&format!("flown/{flight}/phone.csv")).unwrap();
        let phone = read(&bytes, &options(&[])).unwrap();
        assert!(noted(&phone, NoteKind::Assumed, "acc_x is taken as m/s2"), "{flight}");
        assert!(noted(&phone, NoteKind::Assumed, "gyro_x is taken as rad/s"), "{flight}");
        assert!(phone.fixes.len() > 100);
    }
}

/// The same flight with its columns rewritten in other units: each must be found again.
#[test]
fn val_units_are_found_when_the_file_is_rewritten_in_others() {
    let Some(text) = checks::text("flown/f02/gps_1hz.csv") else { return };
    let plain = read(text.as_bytes(), &options(&[])).unwrap();
    for (speed, height, climb, names) in [
        (1.0 / MPS_PER_KT, 1.0 / M_PER_FT, 60.0 / M_PER_FT, ["kt", "ft", "fpm"]),
        (3.6, 1.0, 60.0 / M_PER_FT, ["km/h", "m", "fpm"]),
        (1.0 / base::factors::MPS_PER_MPH, 1.0 / M_PER_FT, 1.0, ["mph", "ft", "m/s"]),
    ] {
        let mut out = String::from("time,lat,lon,alt,ground_speed,track,vertical_speed\n");
        for line in text.lines().skip(1) {
            let cells: Vec<&str> = line.split(',').collect();
            let times = |at: usize, factor: f64| cells[at].parse::<f64>().unwrap() * factor;
            out += &format!(
                "{},{},{},{:.2},{:.2},{},{:.2}\n",
                cells[0],
                cells[1],
                cells[2],
                times(3, height),
                times(4, speed),
                cells[5],
                times(6, climb)
            );
        }
        let again = read(out.as_bytes(), &options(&[])).unwrap();
        for (column, unit) in ["ground_speed", "alt", "vertical_speed"].iter().zip(names) {
            let part = format!("{column} is taken as {unit}:");
            assert!(noted(&again, NoteKind::Assumed, &part), "{part} {:?}", again.notes);
        }
        for (a, b) in plain.fixes.iter().zip(&again.fixes) {
            assert_near("height", b.height_m.unwrap(), a.height_m.unwrap(), 0.01);
            assert_near("speed", b.ground_speed_mps.unwrap(), a.ground_speed_mps.unwrap(), 0.01);
            assert_near("climb", b.climb_mps.unwrap(), a.climb_mps.unwrap(), 0.01);
        }
    }
}

struct Outside {
    path: (&'static str, &'static str),
    units: &'static [(&'static str, &'static str)],
    minutes: f64,
    step_s: f64,
    height_ft: Option<(f64, f64)>,
    bank_deg: Option<(f64, f64)>,
    load_g: Option<(f64, f64)>,
}

/// Duration, step, heights, roll and load of the recordings' README (its g of incremental logs is 1 less than ours).
const OUTSIDE: &[Outside] = &[
    Outside {
        path: ("csv", "flight_review"),
        units: &[],
        minutes: 37.9,
        step_s: 1.0,
        height_ft: Some((410.0, 3474.0)),
        bank_deg: None,
        load_g: None,
    },
    Outside {
        path: ("csv", "2024-01-21"),
        units: &[],
        minutes: 41.4,
        step_s: 1.0,
        height_ft: Some((1506.0, 4616.0)),
        bank_deg: Some((-12.0, 29.0)),
        load_g: Some((0.8, 1.3)),
    },
    Outside {
        path: ("csv", "2024-03-09"),
        units: &[],
        minutes: 48.4,
        step_s: 1.0,
        height_ft: Some((1349.0, 6499.0)),
        bank_deg: Some((-13.0, 18.0)),
        load_g: Some((0.7, 1.2)),
    },
    Outside {
        path: ("csv", "2019-03-12_1hz"),
        units: &[],
        minutes: 78.2,
        step_s: 1.0,
        height_ft: Some((169.0, 13005.0)),
        bank_deg: Some((-53.0, 34.0)),
        load_g: Some((-0.1, 2.4)),
    },
    Outside {
        path: ("csv", "4000s_10hz"),
        units: &[],
        minutes: 6.7,
        step_s: 0.1,
        height_ft: Some((8578.0, 13006.0)),
        bank_deg: Some((-51.0, 8.0)),
        load_g: Some((-0.1, 2.4)),
    },
    Outside {
        path: ("csv", "reference_1hz"),
        units: &[],
        minutes: 80.5,
        step_s: 1.0,
        height_ft: Some((613.0, 8062.0)),
        bank_deg: Some((-43.0, 50.0)),
        load_g: None,
    },
    Outside {
        path: ("csv", "FDR1"),
        units: &[("Alt", "cm")],
        minutes: 64.8,
        step_s: 0.2,
        height_ft: Some((564.0, 2199.0)),
        bank_deg: None,
        load_g: None,
    },
    Outside {
        path: ("avionics-serial", "data2_decoded"),
        units: &[],
        minutes: 33.6,
        step_s: 0.375,
        height_ft: None,
        bank_deg: Some((-85.0, 90.0)),
        load_g: Some((0.4, 3.5)),
    },
    Outside {
        path: ("avionics-serial", "decoded_5hz"),
        units: &[],
        minutes: 33.1,
        step_s: 1.0,
        height_ft: Some((1269.0, 6154.0)),
        bank_deg: Some((-176.0, 180.0)),
        load_g: Some((0.6, 2.5)),
    },
];

#[test]
fn val_recordings_read_to_their_published_ranges() {
    for outside in OUTSIDE {
        let Some(bytes) = crate::outside::recording(outside.path.0, outside.path.1) else { return };
        let recording = read(&bytes, &options(outside.units)).unwrap();
        let name = outside.path.1;
        assert_near(name, recording.duration_s() / 60.0, outside.minutes, 0.06);
        let times: Vec<f64> = if recording.fixes.is_empty() {
            recording.series[0].times_s.clone()
        } else {
            recording.fixes.iter().map(|fix| fix.time_s).collect()
        };
        let steps = times.windows(2).map(|pair| pair[1] - pair[0]).collect();
        assert_near(name, crate::normal::assemble::median(steps).unwrap(), outside.step_s, 0.01);
        if let Some((low, high)) = outside.height_ft {
            let found = range(recording.fixes.iter().filter_map(|fix| fix.height_m));
            assert_near(name, found.0 / M_PER_FT, low, 1.1);
            assert_near(name, found.1 / M_PER_FT, high, 1.1);
        }
        for (quantity, wanted, near) in
            [(Q::BankDeg, outside.bank_deg, 0.6), (Q::NormalLoadG, outside.load_g, 0.06)]
        {
            let Some((low, high)) = wanted else { continue };
            let found = range(recording.series_of(quantity).unwrap().values.iter().copied());
            assert_near(name, found.0, low, near);
            assert_near(name, found.1, high, near);
        }
    }
}

#[test]
fn val_height_in_centimeters_is_asked_for() {
    let Some(bytes) = crate::outside::recording("csv", "FDR1") else { return };
    let error = read(&bytes, &options(&[])).unwrap_err();
    assert!(matches!(error, ReadError::Ambiguous { .. }), "{error:?}");
    assert!(error.hint().contains("--unit Alt="), "{}", error.hint());
}

const PANEL: &[u8] = include_bytes!("../../../tests/fixtures/panel_semicolon.csv");

#[test]
fn golden_semicolons_decimal_commas_units_row_and_offset() {
    let recording = read(PANEL, &options(&[])).unwrap();
    assert_eq!(recording.fixes.len(), 4);
    assert_eq!(
        recording.start.map(|start| start.to_string()).as_deref(),
        Some("2026-05-04T12:02:11Z")
    );
    let first = recording.fixes[0];
    assert_eq!((first.latitude_deg, first.longitude_deg), (46.5, -8.25));
    assert_near("height", first.height_m.unwrap(), 4000.0 * M_PER_FT, 1e-9);
    assert_near("speed", first.ground_speed_mps.unwrap(), 100.0 * MPS_PER_KT, 1e-9);
    assert_eq!(recording.series_of(Q::BankDeg).unwrap().values, vec![1.5, 2.5, -3.0]);
    assert!(noted(&recording, NoteKind::LeftOut, "columns not read: fuel"));
    assert!(noted(&recording, NoteKind::LeftOut, "1 cell that is no number left out"));
}

/// Long names with units, short names below them, local time with its offset from UTC.
#[test]
fn golden_several_header_lines_and_local_time() {
    let bytes = include_bytes!("../../../tests/fixtures/panel_two_header_lines.csv");
    let recording = read(bytes, &options(&[])).unwrap();
    assert_eq!(recording.fixes.len(), 40);
    assert_eq!(
        recording.start.map(|start| start.to_string()).as_deref(),
        Some("2026-05-04T12:00:10Z")
    );
    let first = recording.fixes[0];
    assert_near("height", first.height_m.unwrap(), 3000.0 * M_PER_FT, 1e-9);
    assert_near("speed", first.ground_speed_mps.unwrap(), 97.2 * MPS_PER_KT, 1e-9);
    for (quantity, value) in [
        (Q::IndicatedAirspeedMps, 94.0 * MPS_PER_KT),
        (Q::NormalLoadG, 1.016),
        (Q::EngineSpeedRpm, 2300.0),
    ] {
        assert_near(
            quantity.title(),
            recording.series_of(quantity).unwrap().values[0],
            value,
            1e-9,
        );
    }
    assert!(noted(&recording, NoteKind::LeftOut, "Nearest Airport"));
}

#[test]
fn regress_bad_tables_are_told_with_place_and_hint() {
    let gigantic = [b"time,lat".as_slice(), &b"x".repeat(2 << 20)].concat();
    let slashed = "date,time,lat,lon\n03/04/2026,10:00:00,46.5,8.1\n03/04/2026,10:00:01,46.6,8.1\n";
    for (bytes, wanted) in [
        (b"".as_slice(), "empty"),
        (b"\n\n".as_slice(), "empty"),
        (b"lat,lon,alt\n1,2,3\n".as_slice(), "no column of times"),
        (b"a,b,c\n1,2,3\n".as_slice(), "no line names the columns"),
        (b"time,lat,alt\n1,2,3\n".as_slice(), "without longitude"),
        (b"time,lat,lon,alt (furlong)\n1,2,3,4\n".as_slice(), "the unit 'furlong' is not known"),
        (b"time,lat,lon,speed\n1,2,3,4\n2,2,3,4\n".as_slice(), "too little movement"),
        (b"time,lat,lon\n".as_slice(), "no rows"),
        (b"time,lat,lon\nx,y,z\n".as_slice(), "no rows"),
        (b"time,lat,lon\n1,47X,8E\n2,47X,8E\n".as_slice(), "is not a number"),
        (b"time,lat,lon\n0,46,8\n100,46.01,8\n200,46.02,8\n".as_slice(), "seconds or milliseconds"),
        (slashed.as_bytes(), "day and month"),
        (gigantic.as_slice(), "longer than"),
    ] {
        let error = read(bytes, &options(&[])).unwrap_err();
        assert!(error.to_string().contains(wanted), "{wanted}: {error}");
        assert!(error.hint().len() > 10, "{error}");
    }
    let error = read(b"time,lat,lon,alt\n1,2,3,4\n", &options(&[("alt", "elle")])).unwrap_err();
    assert!(error.to_string().contains("'elle' is not known"), "{error}");
    let error = read(b"time,lat,lon,alt\n1,2,3,4\n", &options(&[("altitud", "m")])).unwrap_err();
    assert!(error.to_string().contains("no column altitud"), "{error}");
}

#[test]
fn golden_order_doubles_gaps_and_impossible_places() {
    let head = "elapsed_s,lat,lon,alt_m\n";
    let row = |t: f64| format!("{t},{},8.0,1000\n", 46.0 + t * 5e-4);
    let rows = |order: &[f64]| order.iter().map(|&t| row(t)).collect::<String>();
    let forward =
        read((head.to_owned() + &rows(&[0.0, 1.0, 2.0, 3.0, 9.0, 10.0])).as_bytes(), &options(&[]))
            .unwrap();
    assert_eq!(forward.gaps, vec![crate::normal::Gap { from_s: 3.0, to_s: 9.0 }]);
    let backward =
        read((head.to_owned() + &rows(&[10.0, 9.0, 3.0, 2.0, 1.0, 0.0])).as_bytes(), &options(&[]))
            .unwrap();
    assert_eq!(forward.fixes, backward.fixes);
    assert!(noted(&backward, NoteKind::Odd, "newest first"));
    let mixed = head.to_owned()
        + &rows(&[0.0, 1.0, 1.0])
        + "2,95,8,1000\n3,nan,8,1000\n4,0,0,1000\n"
        + &row(5.0);
    let mixed = read(mixed.as_bytes(), &options(&[])).unwrap();
    assert_eq!(mixed.fixes.len(), 3);
    assert!(noted(&mixed, NoteKind::LeftOut, "lines 5, 6, 7"), "{:?}", mixed.notes);
    assert!(
        noted(&mixed, NoteKind::Odd, "1 row repeats the fix")
            || noted(&mixed, NoteKind::LeftOut, "repeating the time")
    );
}

#[test]
fn golden_times_in_their_many_forms() {
    for (cell, seconds) in [
        ("2026-05-04T12:02:11Z", 1_777_896_131.0),
        ("2026-05-04T14:02:11.5+02:00", 1_777_896_131.5),
        ("2026-05-04 07:02:11 -0500", 1_777_896_131.0),
        ("1777896131", 1_777_896_131.0),
        ("1777896131250", 1_777_896_131.25),
        ("04.05.2026 12:02:11", 1_777_896_131.0),
        ("2026/05/04 12:02:11 pm", 1_777_896_131.0),
    ] {
        let text = format!("timestamp,ias_kt\n{cell},80\n");
        let recording = read(text.as_bytes(), &options(&[])).unwrap();
        let start = recording.start.unwrap().to_unix_microseconds() as f64 * 1e-6;
        assert_eq!(start, seconds, "{cell}");
    }
    let night = "time,ias_kt\n23:59:59,80\n00:00:01,81\n";
    assert_eq!(read(night.as_bytes(), &options(&[])).unwrap().duration_s(), 2.0);
}

#[test]
fn val_decimals_are_the_standard_parsers() {
    for text in [
        "0",
        "-0.0",
        "47.3825951",
        "+9.6976719",
        "1e3",
        "123456789012345",
        "0.1",
        ".5",
        "5.",
        "1234567.12345678",
    ] {
        let ours = number(text.as_bytes(), Mark::Thousands).unwrap().unwrap();
        assert_eq!(
            ours.to_bits(),
            text.trim_start_matches('+').parse::<f64>().unwrap().to_bits(),
            "{text}"
        );
    }
    assert_eq!(number(b" ", Mark::Thousands), None);
    assert_eq!(number(b"1,5", Mark::Decimal), Some(Ok(1.5)));
    assert_eq!(number(b"abc", Mark::Thousands), Some(Err(())));
}

/// Rows of a straight flight at 50 m/s logged once a second, each stamped with the whole second of a moment that is
/// late by up to 0.3 s; `missing` rows are left out.
fn whole_seconds(rows: usize, phase_s: f64, missing: &[usize]) -> String {
    let mut out = String::from("time_s,lat,lon,ground_speed_kt\n");
    for row in (0..rows).filter(|row| !missing.contains(row)) {
        let late_s = 0.3 * ((row * 7919 + row * row * 31) % 97) as f64 / 97.0;
        let stamp = (row as f64 + phase_s + late_s).floor();
        let latitude = 46.0 + row as f64 * 50.0 / 111_194.93;
        out += &format!("{stamp},{latitude:.7},8.0,{:.2}\n", 50.0 / MPS_PER_KT);
    }
    out
}

fn step_range(recording: &Recording) -> (f64, f64) {
    range(recording.fixes.windows(2).map(|pair| pair[1].time_s - pair[0].time_s))
}

#[test]
fn prop_rows_of_whole_second_stamps_are_spread_evenly() {
    let recording = read(whole_seconds(400, 0.85, &[]).as_bytes(), &options(&[])).unwrap();
    assert_eq!(recording.fixes.len(), 400);
    let (least, most) = step_range(&recording);
    assert!(least > 0.98 && most < 1.02, "{least} {most}");
    assert!(noted(&recording, NoteKind::Odd, "evenly spaced"), "{:?}", recording.notes);
}

#[test]
fn prop_missing_rows_are_not_closed_up() {
    // no stamp repeats: the skipped seconds are rows that are missing, and the stamps hold
    let recording =
        read(whole_seconds(400, 0.2, &[50, 120, 250, 251]).as_bytes(), &options(&[])).unwrap();
    assert_eq!(recording.fixes.len(), 396);
    assert_eq!(step_range(&recording), (1.0, 3.0));
    assert!(!noted(&recording, NoteKind::Odd, "evenly spaced"));
}

/// The log's own time of week counts 1.0 s from row to row (2893 of 2901 steps), and its own ground speed is the check.
#[test]
fn val_whole_second_panel_log_keeps_every_row() {
    let Some(bytes) = crate::outside::recording("csv", "g3x_2024-03-09") else { return };
    let recording = read(&bytes, &options(&[])).unwrap();
    assert_eq!(recording.fixes.len(), 2902);
    let (least, most) = step_range(&recording);
    assert!(least > 0.9 && most < 1.1, "{least} {most}");
    let misses: Vec<f64> = recording
        .fixes
        .windows(2)
        .map(|pair| {
            let speed = crate::normal::assemble::distance_m(&pair[0], &pair[1])
                / (pair[1].time_s - pair[0].time_s);
            let said = [0, 1].map(|at| pair[at].ground_speed_mps.unwrap());
            (speed - 0.5 * (said[0] + said[1])).abs()
        })
        .collect();
    let worst = misses.iter().copied().fold(0.0, f64::max);
    assert!(worst < 8.0, "{worst} m/s");
}

#[test]
fn regress_odd_cells_are_told_with_their_line() {
    let rows = "time,lat,lon,alt_m,track\n2026-05-04T12:00:00Z,46,8,1000,10\n2026-05-04T12:00:01Z,46.0005,8,NaN,10\n5,46.001,8,1000,10\n2026-05-04T12:00:03Z,46.0015,8,1000,725\n2026-05-04T12:00:04Z,46.002,8,1000,10\n";
    let recording = read(rows.as_bytes(), &options(&[])).unwrap();
    assert_eq!(recording.fixes.len(), 4);
    for part in [
        "column alt_m: 1 cell that is no number left out, first at line 3",
        "1 row without a time that can be read left out, line 4",
        "1 track that cannot be",
    ] {
        assert!(noted(&recording, NoteKind::LeftOut, part), "{part}: {:?}", recording.notes);
    }
    assert_eq!(recording.fixes[2].track_deg, None);
}

/// A track without a unit in values that may be radians is told, with the way to have it read.
#[test]
fn regress_a_track_of_unknown_unit_is_told() {
    let table = |tracks: fn(usize) -> f64| {
        let row =
            |t: usize| format!("{t},{:.6},8.5,1000,{:.3}\n", 46.0 + 4e-4 * t as f64, tracks(t));
        format!("time_s,lat,lon,alt_m,track\n{}", (0..60).map(row).collect::<String>())
    };
    let told = |text: &str| {
        let recording = read(text.as_bytes(), &ReadOptions::default()).unwrap();
        assert!(recording.fixes.iter().all(|fix| fix.track_deg.is_none()));
        recording.notes.iter().any(|note| note.text.contains("--unit track=deg"))
    };
    assert!(told(&table(|t| 0.1 * t as f64)));
    assert!(!told(&table(|_| 0.0)));
}

/// Velocities to the east and north, without a unit and without a ground speed, on a circle of 50 m/s.
fn circle(unit_mps: f64) -> String {
    let row = |t: usize| {
        let angle = 0.05 * t as f64;
        let (sin, cos) = (base::math::sin(angle), base::math::cos(angle));
        let degrees = 1000.0 / 111_194.93;
        let longitude = 8.0 - degrees * cos / base::math::cos(46.0 * RAD_PER_DEG);
        let speed = 50.0 / unit_mps;
        let latitude = 46.0 + degrees * sin;
        format!("{t},{latitude:.7},{longitude:.7},1000,{:.3},{:.3}\n", speed * sin, speed * cos)
    };
    let rows: String = (0..300).map(row).collect();
    format!("time_s,lat,lon,alt_m,velocity_east,velocity_north\n{rows}")
}

#[test]
fn prop_velocities_without_a_unit_are_told_by_the_positions() {
    for (name, unit_mps) in [("m/s", 1.0), ("kt", MPS_PER_KT), ("cm/s", 0.01)] {
        let recording = read(circle(unit_mps).as_bytes(), &options(&[])).unwrap();
        for column in ["velocity_east", "velocity_north"] {
            let part = format!("column {column} is taken as {name}: it reads");
            assert!(noted(&recording, NoteKind::Assumed, &part), "{part}: {:?}", recording.notes);
        }
        let fix = recording.fixes[100];
        assert_near("speed", fix.ground_speed_mps.unwrap(), 50.0, 0.05);
        assert_near("track", fix.track_deg.unwrap(), 5.0 / RAD_PER_DEG, 0.1);
    }
    // standing still nothing tells, and it is asked
    let still: String = (0..60).map(|t| format!("{t},46,8,1000,0.0,0.0\n")).collect();
    let still = format!("time_s,lat,lon,alt_m,velocity_east,velocity_north\n{still}");
    let error = read(still.as_bytes(), &options(&[])).unwrap_err();
    assert!(error.hint().contains("--unit velocity_east="), "{error:?}");
}

#[test]
fn golden_names_of_vectors_are_known() {
    use super::header::understand;
    for (name, meaning) in [
        ("Heading X (µT)", Q::DeviceFieldXMicrotesla),
        ("Heading Z (µT)", Q::DeviceFieldZMicrotesla),
        ("magX", Q::DeviceFieldXMicrotesla),
        ("magy (uT)", Q::DeviceFieldYMicrotesla),
        ("Magnetic field y-axis [µT]", Q::DeviceFieldYMicrotesla),
        ("compass_z", Q::DeviceFieldZMicrotesla),
        ("X acceleration (m/s^2)", Q::DeviceForceXMps2),
        ("Acceleration z (g)", Q::DeviceForceZMps2),
        ("ay (m/s²)", Q::DeviceForceYMps2),
        ("gForceX", Q::DeviceForceXMps2),
        ("Gyroscope x (rad/s)", Q::DeviceRateXRadps),
        ("angular velocity y [deg/s]", Q::DeviceRateYRadps),
        ("gyroz", Q::DeviceRateZRadps),
        ("heading (deg mag)", Q::MagneticHeadingDeg),
    ] {
        let found = understand(name).map(|cell| cell.meaning);
        let expected = (name != "heading (deg mag)").then_some(Meaning::Sensor(meaning));
        assert_eq!(found, expected, "{name}");
    }
    // of a quaternion
    assert!(understand("qx").is_none() && understand("x").is_none());
}

/// Units that a header states and the data contradict: used as stated, and told.
#[test]
fn golden_stated_units_that_the_data_contradict_are_told() {
    let rows: String = (0..300)
        .map(|t| {
            let time_s = f64::from(t);
            let roll = 30.0 * base::math::sin(time_s / 10.0);
            let rate = 3.0 * base::math::cos(time_s / 10.0);
            format!(
                "{t},{:.6},8,1000,{roll:.3},{rate:.4},9.80,0.3,0.2,{:.2}\n",
                46.0 + 4.5e-4 * time_s,
                9.8 + 0.1 * base::math::sin(time_s)
            )
        })
        .collect();
    let text = format!(
        "time_s,lat,lon,alt_m,roll_deg,roll rate (rad/s),acc z (g),acc x (g),acc y (g),normal g (g)\n{rows}"
    );
    let recording = read(text.as_bytes(), &options(&[])).unwrap();
    for part in [
        "bank turns 0.017 times as fast as column roll rate (rad/s) says: wrong unit suspected (deg/s read as rad/s would do that)",
        "are together 9.81 g long in the median, where a device feels about one: wrong unit suspected (m/s2 read as g would do that)",
        "reads 9.80 g in the median: wrong unit suspected (m/s2 read as g would do that)",
    ] {
        assert!(noted(&recording, NoteKind::Odd, part), "{part}: {:#?}", recording.notes);
    }
}
