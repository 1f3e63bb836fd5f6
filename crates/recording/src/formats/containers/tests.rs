//! Archives: made by us in memory, hostile ones among them.

#![allow(clippy::float_cmp, reason = "the digits of the file again")]

use super::*;
use std::io::Write;
use zip::write::SimpleFileOptions;

const GPX: &[u8] = include_bytes!("../../../tests/fixtures/two_segments.gpx");
const TABLE: &[u8] = include_bytes!("../../../tests/fixtures/panel_semicolon.csv");

fn named() -> ReadOptions {
    ReadOptions { name: "test.zip".into(), ..ReadOptions::default() }
}

fn zipped(files: &[(&str, &[u8])]) -> Vec<u8> {
    let mut writer = zip::ZipWriter::new(Cursor::new(Vec::new()));
    for (name, bytes) in files {
        let method = zip::CompressionMethod::Deflated;
        let options = SimpleFileOptions::default().compression_method(method);
        writer.start_file(*name, options).unwrap();
        writer.write_all(bytes).unwrap();
    }
    writer.finish().unwrap().into_inner()
}

fn gzipped(bytes: &[u8]) -> Vec<u8> {
    let mut writer = flate2::write::GzEncoder::new(Vec::new(), flate2::Compression::fast());
    writer.write_all(bytes).unwrap();
    writer.finish().unwrap()
}

fn read_any(bytes: &[u8]) -> Result<Recording, ReadError> {
    crate::read(bytes, &named())
}

#[test]
fn golden_a_packed_recording_is_the_recording() {
    let plain = crate::read(GPX, &named()).unwrap();
    let twice = zipped(&[("inner.gpx.gz", &gzipped(GPX))]);
    for packed in [gzipped(GPX), zipped(&[("a/flight.gpx", GPX)]), twice] {
        assert_eq!(read_any(&packed).unwrap(), plain);
    }
    let beside = zipped(&[("picture.png", b"\x89PNG\r\n"), ("__MACOSX/._f", GPX), ("f.gpx", GPX)]);
    let recording = read_any(&beside).unwrap();
    assert_eq!(recording.fixes, plain.fixes);
    assert_eq!(recording.notes.last().unwrap().text, "files of the archive not read: picture.png");
}

#[test]
fn golden_several_recordings_are_asked_about_by_name() {
    let packed = zipped(&[("day/one.gpx", GPX), ("two.csv", TABLE)]);
    let error = read_any(&packed).unwrap_err();
    assert_eq!(error.entries(), ["day/one.gpx", "two.csv"]);
    assert_eq!(error.to_string(), "the archive holds 2 recordings");
    assert!(error.hint().contains("day/one.gpx, two.csv"), "{}", error.hint());
    for (wanted, format) in [("ONE.gpx", "gpx"), ("two.csv", "csv")] {
        let options = ReadOptions { entry: Some(wanted.into()), ..named() };
        assert_eq!(crate::read(&packed, &options).unwrap().format, format);
    }
    let options = ReadOptions { entry: Some("three".into()), ..named() };
    assert!(crate::read(&packed, &options).unwrap_err().hint().contains("two.csv"));
    let entries = open(&packed, "test.zip").unwrap();
    assert_eq!((entries.len(), entries[0].bytes.as_slice()), (2, GPX));
}

#[test]
fn regress_bombs_and_nests_are_stopped() {
    let mut bomb = b"time,lat,lon\n".to_vec();
    bomb.resize(40 << 20, b'0');
    let nested = (0..4).fold(GPX.to_vec(), |inner, _| gzipped(&inner));
    for packed in [gzipped(&bomb), zipped(&[("bomb.csv", &bomb)]), nested] {
        let error = read_any(&packed).unwrap_err();
        assert!(matches!(error, ReadError::Limit { .. }), "{error:?}");
    }
    let many: Vec<(String, &[u8])> =
        (0..2100).map(|n| (format!("{n}.txt"), b"x".as_slice())).collect();
    let many: Vec<(&str, &[u8])> =
        many.iter().map(|(name, bytes)| (name.as_str(), *bytes)).collect();
    assert!(matches!(read_any(&zipped(&many)).unwrap_err(), ReadError::Limit { .. }));
}

#[test]
fn regress_archives_without_a_recording_say_what_they_hold() {
    for packed in [zipped(&[]), zipped(&[("a.bin", b"\0\x01\x02")]), gzipped(b"\0\x01\x02")] {
        let error = read_any(&packed).unwrap_err();
        assert!(error.to_string().contains("no file of the archive"), "{error}");
    }
}

#[test]
fn prop_an_archive_cut_or_changed_anywhere_reads_or_tells() {
    for packed in [gzipped(GPX), zipped(&[("f.gpx", GPX)])] {
        for end in 2..packed.len() {
            let error = crate::read(&packed[..end], &named()).unwrap_err();
            assert!(!error.hint().is_empty());
        }
        for at in 0..packed.len() {
            let mut changed = packed.clone();
            changed[at] ^= 0x55;
            let _ = crate::read(&changed, &named());
        }
    }
}
/// Invented: four sensors of one phone, each at its own rate, on one clock of nanoseconds.
#[test]
fn golden_the_sensors_of_a_phone_are_one_recording() {
    let axes = |step_ms: u64, count: u64, z: &str| {
        let mut text = String::from("time,seconds_elapsed,z,y,x\n");
        for row in 0..count {
            let ns = 1_777_900_000_000_000_000 + row * step_ms * 1_000_000;
            text += &format!("{ns},{:.3},{z},0.1,0.{}\n", (row * step_ms) as f64 * 1e-3, row % 9);
        }
        text
    };
    let mut place =
        String::from("time,seconds_elapsed,speed,bearing,altitude,longitude,latitude\n");
    for row in 0..60u64 {
        let ns = 1_777_900_000_200_000_000 + row * 1_000_000_000;
        let latitude = 46.0 + 50.0 * row as f64 / 111_194.93;
        place += &format!("{ns},{row}.2,50.0,0.0,900.{row},8.0,{latitude:.7}\n");
    }
    let mut pressure = String::from("time,seconds_elapsed,relativeAltitude,pressure\n");
    for row in 0..60u64 {
        let ns = 1_777_900_000_000_000_000 + row * 1_000_000_000;
        pressure += &format!("{ns},{row}.0,0.0,91{}.25\n", row % 3);
    }
    let packed = zipped(&[
        ("Flight/Accelerometer.csv", axes(10, 6000, "9.81").as_bytes()),
        ("Flight/Gyroscope.csv", axes(20, 3000, "0.02").as_bytes()),
        ("Flight/GyroscopeUncalibrated.csv", axes(20, 3000, "0.03").as_bytes()),
        ("Flight/Barometer.csv", pressure.as_bytes()),
        ("Flight/Location.csv", place.as_bytes()),
        ("Flight/Metadata.csv", b"version,device name\n3,phone\n"),
    ]);
    let recording = read_any(&packed).unwrap();
    let of = |quantity| {
        recording.series_of(quantity).map(|series| (series.times_s.len(), series.times_s[1]))
    };
    use crate::QuantityKind as Q;
    assert_eq!(recording.fixes.len(), 60, "{:?}", recording.notes);
    checks::assert_near("first fix", recording.fixes[0].time_s, 0.2, 1e-9);
    assert_eq!(of(Q::DeviceForceZMps2), Some((6000, 0.01)), "{:?}", recording.notes);
    assert_eq!(of(Q::DeviceRateXRadps), Some((3000, 0.02)));
    assert_eq!(of(Q::StaticPressurePa), Some((60, 1.0)));
    let rate = recording.series_of(Q::DeviceRateZRadps).unwrap();
    checks::assert_near("calibrated", rate.values[0], 0.02, 1e-12);
}

/// Invented: the same with times in seconds from a common start, units in the names, and columns only called X.
#[test]
fn golden_sensors_on_a_clock_of_elapsed_seconds() {
    let axes = |count: u32, step_s: f64, unit: &str, z: f64| {
        let mut text = format!("\"Time (s)\",\"X ({unit})\",\"Y ({unit})\",\"Z ({unit})\"\n");
        for row in 0..count {
            let time_s = 0.003 + f64::from(row) * step_s;
            text += &format!("{time_s:.4e},0.{},0.{},{z}{}\n", row % 7, row % 5, row % 3);
        }
        text
    };
    let mut place = String::from(
        "\"Time (s)\",\"Latitude (°)\",\"Longitude (°)\",\"Height (m)\",\"Velocity (m/s)\",\"Direction (°)\"\n",
    );
    let mut pressure = String::from("\"Time (s)\",\"X (hPa)\"\n");
    for row in 0..60 {
        let latitude = 46.5 + 50.0 * f64::from(row) / 111_194.93;
        place += &format!("{row}.5,{latitude:.7},8.1,{},50.0,0.5\n", 900 + row);
        pressure += &format!("{row}.0,91{}.25\n", row % 4);
    }
    let packed = zipped(&[
        ("Accelerometer.csv", axes(3000, 0.02, "m/s^2", 9.81).as_bytes()),
        ("Gyroscope.csv", axes(1500, 0.04, "rad/s", 0.01).as_bytes()),
        ("Pressure.csv", pressure.as_bytes()),
        ("Location.csv", place.as_bytes()),
        ("meta/device.csv", b"property,value\nversion,1\n"),
    ]);
    let recording = read_any(&packed).unwrap();
    use crate::QuantityKind as Q;
    assert_eq!((recording.fixes.len(), recording.start), (60, None), "{:?}", recording.notes);
    // the pressure is first, at zero; each keeps its place on the common clock
    let first_s = |quantity| recording.series_of(quantity).map(|series| series.times_s[0]);
    assert_eq!(first_s(Q::StaticPressurePa), Some(0.0), "{:?}", recording.notes);
    assert_eq!(first_s(Q::DeviceForceXMps2), Some(0.003));
    let fix = recording.fixes[0];
    assert_eq!((fix.time_s, fix.track_deg, fix.ground_speed_mps), (0.5, Some(0.5), Some(50.0)));
}
