//! Surveillance tables: the outside recordings, every shape of the same invented flight, hostile files.

use super::*;
use crate::normal::{HeightDatum, QuantityKind as Q};
use base::factors::{M_PER_FT, MPS_PER_KT, RAD_PER_DEG};

fn named() -> ReadOptions {
    ReadOptions { name: "test".into(), ..ReadOptions::default() }
}

fn told(recording: &Recording, part: &str) -> bool {
    recording.notes.iter().any(|note| note.text.contains(part))
}

/// Invented: 100 kt to the north from 46 N 8 E, climbing by 25 ft a second, one row a second.
struct Sample {
    time_s: u32,
    latitude: f64,
    altitude_ft: f64,
}

fn flight(count: u32) -> Vec<Sample> {
    (0..count)
        .map(|time_s| Sample {
            time_s: 1_777_900_000 + time_s,
            latitude: 46.0 + 100.0 * MPS_PER_KT * f64::from(time_s) / 111_194.93,
            altitude_ft: 3000.0 + 25.0 * f64::from(time_s),
        })
        .collect()
}

fn records(of: impl Fn(&Sample) -> String, between: &str) -> String {
    flight(60).iter().map(of).collect::<Vec<_>>().join(between)
}

fn record(s: &Sample, who: &str) -> String {
    format!(
        "{{\"timestamp\":{}000,\"icao24\":\"{who}\",\"latitude\":{:.7},\"longitude\":8.0,\"altitude\":{},\"groundspeed\":100,\"track\":0,\"vertical_rate\":1472,\"callsign\":\"CALL1\",\"squawk\":7000,\"alert\":false}}",
        s.time_s, s.latitude, s.altitude_ft
    )
}

fn column(of: impl Fn(&Sample) -> String) -> String {
    records(of, ",")
}

/// Every shape, with the name of what is special about it.
#[allow(clippy::too_many_lines, reason = "one entry a shape")]
fn shapes() -> Vec<(&'static str, String)> {
    let time = column(|s| s.time_s.to_string());
    let latitude = column(|s| format!("{:.7}", s.latitude));
    let altitude = column(|s| s.altitude_ft.to_string());
    let all = |value: &str| column(|_| value.to_owned());
    let row = |s: &Sample| {
        format!("{},\"abc123\",{:.7},8.0,{},100,0,1472", s.time_s, s.latitude, s.altitude_ft)
    };
    let names = "\"time\",\"icao24\",\"lat\",\"lon\",\"alt\",\"gs\",\"track\",\"vrate\"";
    let indexed = |of: &dyn Fn(&Sample) -> String| {
        records(|s| format!("\"{}\":{}", s.time_s - 1_777_900_000, of(s)), ",")
    };
    vec![
        ("records", format!("[{}]", records(|s| record(s, "abc123"), ","))),
        ("lines", records(|s| record(s, "abc123"), "\n")),
        (
            "columns",
            format!(
                "{{\"icao24\":\"abc123\",\"timestamp\":[{time}],\"latitude\":[{latitude}],\"longitude\":[{}],\"altitude\":[{altitude}],\"groundspeed\":[{}],\"track\":[{}],\"vertical_rate\":[{}]}}",
                all("8.0"),
                all("100"),
                all("0"),
                all("1472")
            ),
        ),
        (
            "columns by row",
            format!(
                "{{\"timestamp\":{{{}}},\"latitude\":{{{}}},\"longitude\":{{{}}},\"altitude\":{{{}}},\"groundspeed\":{{{}}},\"track\":{{{}}},\"vertical_rate\":{{{}}}}}",
                indexed(&|s| s.time_s.to_string()),
                indexed(&|s| format!("{:.7}", s.latitude)),
                indexed(&|_| "8.0".into()),
                indexed(&|s| s.altitude_ft.to_string()),
                indexed(&|_| "100".into()),
                indexed(&|_| "0".into()),
                indexed(&|_| "1472".into())
            ),
        ),
        (
            "names and rows",
            format!(
                "{{\"columns\":[{names}],\"data\":[{}]}}",
                records(|s| format!("[{}]", row(s)), ",")
            ),
        ),
        ("rows under names", format!("[[{names}],{}]", records(|s| format!("[{}]", row(s)), ","))),
        (
            "rows relative to a stamp",
            format!(
                "{{\"icao\":\"abc123\",\"trace\":[{}],\"timestamp\":1777900000.0}}",
                records(
                    |s| format!(
                        "[{}.0,{:.7},8.0,{},100,0,0,1472,{{\"lat\":1}},\"kind\",null,null,null,null]",
                        s.time_s - 1_777_900_000,
                        s.latitude,
                        s.altitude_ft
                    ),
                    ","
                )
            ),
        ),
        (
            "table",
            format!(
                "timestamp,icao24,latitude,longitude,altitude,groundspeed,track,vertical_rate,callsign\n{}\n",
                records(
                    |s| format!(
                        "{},abc123,{:.7},8.0,{},100,0,1472,CALL1",
                        s.time_s, s.latitude, s.altitude_ft
                    ),
                    "\n"
                )
            ),
        ),
        (
            "table with offsets and units",
            format!(
                "# by us\ntime;callsign;lat;lon;Altitude (ft);ground_speed_kt;track;vertical_rate\n{}\n",
                records(
                    |s| {
                        let of = s.time_s - 1_777_900_000;
                        let clock = format!(
                            "2026-05-04 15:{:02}:{:02}+02:00",
                            6 + (40 + of) / 60,
                            (40 + of) % 60
                        );
                        format!("{clock};CALL1;{:.7};8.0;{};100;0;1472", s.latitude, s.altitude_ft)
                    },
                    "\n"
                )
            ),
        ),
        (
            "messages",
            records(
                |s| {
                    let of = s.time_s - 1_777_900_000;
                    let clock = format!(
                        "2026/05/04,13:{:02}:{:02}.000",
                        6 + (40 + of) / 60,
                        (40 + of) % 60
                    );
                    format!(
                        "MSG,3,1,1,ABC123,1,{clock},{clock},CALL1,{},100,0,{:.7},8.0,1472,7000,0,0,0,0",
                        s.altitude_ft, s.latitude
                    )
                },
                "\r\n",
            ),
        ),
    ]
}

/// One flight in ten shapes is one recording.
#[test]
fn golden_every_shape_reads_to_the_same_flight() {
    for (shape, text) in shapes() {
        let recording = crate::read(text.as_bytes(), &named())
            .unwrap_or_else(|error| panic!("{shape}: {error}"));
        assert_eq!(
            (recording.format, recording.fixes.len()),
            (KEY, 60),
            "{shape}: {:?}",
            recording.notes
        );
        let start = recording.start.map(|start| start.to_string());
        assert_eq!(start.as_deref(), Some("2026-05-04T13:06:40Z"), "{shape}");
        let fix = recording.fixes[10];
        checks::assert_near(shape, fix.time_s, 10.0, 1e-6);
        checks::assert_near(shape, fix.ground_speed_mps.unwrap(), 100.0 * MPS_PER_KT, 1e-9);
        checks::assert_near(shape, fix.latitude_deg, flight(11)[10].latitude, 1e-6);
        assert_eq!(
            (fix.track_deg, fix.climb_mps, recording.height_datum),
            (Some(0.0), None, HeightDatum::Pressure)
        );
        let altitude = recording.series_of(Q::PressureAltitudeM).unwrap();
        checks::assert_near(shape, altitude.values[10], 3250.0 * M_PER_FT, 1e-9);
        let rate = recording.series_of(Q::VerticalSpeedMps).unwrap();
        checks::assert_near(shape, rate.values[10], 1472.0 * base::factors::MPS_PER_FPM, 1e-9);
    }
}

#[test]
fn golden_several_aircraft_are_asked_about() {
    let both = records(|s| record(s, "abc123"), "\n")
        + "\n"
        + &records(|s| record(s, "def456").replace("CALL1", "OTHER"), "\n");
    let error = read(both.as_bytes(), &named()).unwrap_err();
    assert!(
        matches!(error, ReadError::Ambiguous { .. }) && error.to_string().contains("2 aircraft"),
        "{error}"
    );
    assert!(
        error.hint().contains("abc123 (CALL1, 60 rows), def456 (OTHER, 60 rows)"),
        "{}",
        error.hint()
    );
    for wanted in ["DEF456", "other"] {
        let options = ReadOptions { aircraft: Some(wanted.into()), ..named() };
        assert_eq!(read(both.as_bytes(), &options).unwrap().fixes.len(), 60);
    }
    let options = ReadOptions { aircraft: Some("nobody".into()), ..named() };
    assert!(read(both.as_bytes(), &options).unwrap_err().hint().contains("def456"));
}

/// The same flight in SI units and with altitudes of a satellite receiver.
#[test]
fn prop_units_are_found_from_steps_and_positions() {
    let metric = records(
        |s| {
            format!(
                "{{\"time\":{},\"icao24\":\"a\",\"lat\":{:.7},\"lon\":8.0,\"baroaltitude\":{:.2},\"velocity\":{:.2},\"heading\":0.5,\"vertrate\":7.48}}",
                s.time_s,
                s.latitude,
                s.altitude_ft * M_PER_FT,
                100.0 * MPS_PER_KT
            )
        },
        "\n",
    );
    let recording = read(metric.as_bytes(), &named()).unwrap();
    let fix = recording.fixes[10];
    checks::assert_near("speed", fix.ground_speed_mps.unwrap(), 51.44, 0.01);
    assert_eq!(fix.track_deg, Some(0.5), "{:?}", recording.notes);
    let first = |quantity| recording.series_of(quantity).map(|series| series.values[10]);
    assert_eq!(first(Q::VerticalSpeedMps), Some(7.48));
    checks::assert_near("altitude", first(Q::PressureAltitudeM).unwrap(), 990.6, 0.01);
    let smooth = records(
        |s| {
            record(s, "a").replace(
                &format!(":{},", s.altitude_ft),
                &format!(":{},", 3001.0 + 7.3 * f64::from(s.time_s % 97)),
            )
        },
        "\n",
    );
    let recording = read(smooth.as_bytes(), &named()).unwrap();
    assert!(recording.series_of(Q::PressureAltitudeM).is_none());
    assert_eq!(recording.height_datum, HeightDatum::NotStated);
    assert!(told(&recording, "not taken as pressure altitude"));
}

/// Where the time of the position is given it is the time of the fix, and rows that repeat it are dropped (samples that a
/// table holds over): the speed of the positions then agrees with the recorded one.
#[test]
fn val_position_times_agree_better_than_row_times() {
    let Some(bytes) = crate::outside::recording("adsb", "samu31") else { return };
    let recording = crate::read(&bytes, &named()).unwrap();
    assert_eq!(recording.fixes.len(), 278);
    assert!(told(&recording, "100 rows repeat a position"));
    let misses: Vec<f64> = recording
        .fixes
        .windows(2)
        .filter_map(|pair| {
            let speed = crate::normal::assemble::distance_m(&pair[0], &pair[1])
                / (pair[1].time_s - pair[0].time_s);
            Some((speed - pair[1].ground_speed_mps?).powi(2))
        })
        .collect();
    let rms = (misses.iter().sum::<f64>() / misses.len() as f64).sqrt();
    // by row times it is 15.4 m/s (29.8 kt)
    assert!(rms < 4.2, "{rms}");
}

/// Spans, steps and altitude ranges of the recordings' README.
#[test]
fn val_recordings_read_to_their_published_ranges() {
    for (name, minutes, low_ft, high_ft) in [
        ("rega_zh", 5.6, 1425.0, 3025.0),
        ("samu31", 6.3, 925.0, 1500.0),
        ("gatwick", 187.9, 0.0, 3375.0),
        ("sydney", 245.5, 50.0, 3150.0),
        ("longhorn", 158.4, 0.0, 2800.0),
        ("noisy", 140.8, 350.0, 38_050.0),
        ("pixair", 280.5, 1200.0, 4100.0),
        ("trace_full", 1360.9, 0.0, 37_025.0),
    ] {
        let Some(bytes) = crate::outside::recording("adsb", name) else { return };
        let recording = crate::read(&bytes, &named()).unwrap();
        checks::assert_near(name, recording.duration_s() / 60.0, minutes, 0.07);
        let altitude = recording.series_of(Q::PressureAltitudeM).unwrap();
        let low = altitude.values.iter().copied().fold(f64::INFINITY, f64::min) / M_PER_FT;
        let high = altitude.values.iter().copied().fold(f64::NEG_INFINITY, f64::max) / M_PER_FT;
        checks::assert_near(name, high, high_ft, 0.5);
        // one file writes "ground" for altitudes the README counts as zero
        if name != "trace_full" {
            checks::assert_near(name, low, low_ft, 0.5);
        }
    }
}

/// Bank that a transponder sent (register 5,0) against the coordinated turn of its own speed and track rate.
#[test]
fn val_messages_carry_bank_and_airspeed() {
    let Some(bytes) = crate::outside::recording("adsb", "jsonl") else { return };
    let recording = crate::read(&bytes, &named()).unwrap();
    let bank = recording.series_of(Q::BankDeg).unwrap();
    // the recordings' README: 21 messages of this part carry roll; one of them was received twice at one moment
    assert_eq!(bank.values.len(), 20);
    let true_airspeed = recording.series_of(Q::TrueAirspeedMps).unwrap();
    assert!(true_airspeed.values.iter().all(|speed| (60.0..160.0).contains(speed)));
    let mut compared = 0;
    for (time_s, bank_deg) in bank.times_s.iter().zip(&bank.values) {
        let near = |from: f64, to: f64| {
            recording.fixes.iter().find(|f| {
                f.time_s >= time_s + from && f.time_s < time_s + to && f.track_deg.is_some()
            })
        };
        let (Some(a), Some(b)) = (near(-3.0, -0.5), near(0.5, 3.0)) else { continue };
        let turn = base::math::wrap_pi((b.track_deg.unwrap() - a.track_deg.unwrap()) * RAD_PER_DEG)
            / (b.time_s - a.time_s);
        let expected = base::math::atan(
            b.ground_speed_mps.unwrap() * turn / base::factors::STANDARD_GRAVITY_MPS2,
        ) / RAD_PER_DEG;
        checks::assert_near("bank", *bank_deg, expected, 8.0);
        compared += 1;
    }
    assert!(compared >= 5, "{compared}");
}

#[test]
fn regress_files_that_cannot_be_read_say_why() {
    let empty = "MSG,3,,,4B1908,,,,,,,2525,,,33.96693,-118.25598,,,0,0,0,0\n".repeat(3);
    let no_place = records(
        |s| format!("{{\"timestamp\":{},\"icao24\":\"a\",\"altitude\":3000}}", s.time_s),
        "\n",
    );
    let cut = format!("[{}", records(|s| record(s, "a"), ","));
    let half = records(|s| record(s, "a"), "\n")
        .replacen("\"track\"", "", 2)
        .replace(":0,\"vert", "\"vert");
    let no_stamp_unit = "time,icao24,lat,lon,alt\n1,a,46,8,1000\n";
    for (text, wanted) in [
        (empty.as_str(), "the date and time of all 3 messages are empty"),
        (&no_place, "none with a latitude and longitude"),
        (&cut, "no JSON"),
        (&half, "are no JSON"),
        ("[1,2,3]", "none with a latitude"),
        ("{\"lat\":1", "no JSON"),
        ("MSG,1,\n", "no line is a message"),
    ] {
        let error = read(text.as_bytes(), &named()).unwrap_err();
        assert!(error.to_string().contains(wanted) && error.hint().len() > 10, "{error}");
    }
    let options = ReadOptions { units: vec![("alt".into(), "furlong".into())], ..named() };
    assert!(read(no_stamp_unit.as_bytes(), &options).unwrap_err().hint().contains("ft"));
    let deep = "[".repeat(100_000);
    assert!(read(deep.as_bytes(), &named()).is_err());
}

#[test]
fn prop_files_cut_anywhere_read_or_tell() {
    for (shape, text) in shapes() {
        let text = &text.as_bytes()[..text.len().min(900)];
        for end in 0..text.len() {
            if let Err(error) = read(&text[..end], &named()) {
                assert!(!error.hint().is_empty(), "{shape}");
            }
        }
    }
}
