//! NMEA 0183: the outside recordings against the figures of a peer, fixtures of our own, broken and hostile logs.

use super::*;
use crate::normal::QuantityKind;

fn named() -> ReadOptions {
    ReadOptions { name: "test".into(), ..ReadOptions::default() }
}

fn told(recording: &Recording, part: &str) -> bool {
    recording.notes.iter().any(|note| note.text.contains(part))
}

/// A sentence with its checksum, as a receiver writes it.
fn sentence(body: &str) -> String {
    let sum = body.bytes().fold(0u8, |sum, byte| sum ^ byte);
    format!("${body}*{sum:02X}\r\n")
}

/// Invented: 50 m/s to the north from 46 N 8 E, one epoch a second from a time of day, sentences made by `of`.
fn log(from: u32, count: u32, of: impl Fn(&str, &str, u32) -> String) -> String {
    (0..count)
        .map(|second| {
            let of_day = (from + second) % 86_400;
            let time = format!("{:02}{:02}{:02}.00", of_day / 3600, of_day / 60 % 60, of_day % 60);
            let minutes = f64::from(second) * 50.0 * 60.0 / 111_194.93;
            of(&time, &format!("46{minutes:08.5},N,00800.00000,E"), second)
        })
        .collect()
}

#[test]
fn golden_sentences_of_one_epoch_are_joined_whoever_talks() {
    let text = log(50_400, 60, |time, place, second| {
        let mut out = sentence(&format!("GNGGA,{time},{place},1,09,0.9,900.5,M,47.0,M,,"));
        out += &sentence("GPGSV,1,1,00");
        out += &sentence(&format!("GPRMC,{time},A,{place},97.19,0.0,040526,2.0,E,A"));
        out += &format!("2026-05-04 14:00:{second:02} {}", sentence("HEHDT,357.5,T"));
        out
    });
    let recording = read(text.as_bytes(), &named()).unwrap();
    assert_eq!(recording.fixes.len(), 60);
    assert_eq!(
        recording.start.map(|start| start.to_string()).as_deref(),
        Some("2026-05-04T14:00:00Z")
    );
    let fix = recording.fixes[1];
    checks::assert_near("speed", fix.ground_speed_mps.unwrap(), 50.0, 0.01);
    assert_eq!((fix.height_m, fix.track_deg, fix.longitude_deg), (Some(900.5), Some(0.0), 8.0));
    assert_eq!(recording.height_datum, HeightDatum::MeanSeaLevel);
    let heading = recording.series_of(QuantityKind::TrueHeadingDeg).unwrap();
    assert_eq!((heading.values.len(), heading.values[0], heading.times_s[59]), (60, 357.5, 59.0));
}

#[test]
fn golden_positions_alone_pass_midnight_without_a_date() {
    let text = log(86_390, 20, |time, place, _| {
        sentence(&format!("GPGGA,{time},{place},1,09,0.9,900,M,0.0,M,,"))
    });
    let recording = read(text.as_bytes(), &named()).unwrap();
    assert_eq!((recording.fixes.len(), recording.start), (20, None));
    checks::assert_near("span", recording.duration_s(), 19.0, 1e-9);
    assert!(told(&recording, "passes midnight") && told(&recording, "no sentence gives a date"));
    assert!(told(&recording, "height of the geoid"));
}

#[test]
fn golden_a_date_from_zda_is_carried_over_midnight_and_back() {
    let text = log(86_395, 10, |time, place, second| {
        let dated = if second == 2 {
            sentence(&format!("GPZDA,{time},04,05,2026,00,00"))
        } else {
            String::new()
        };
        dated + &sentence(&format!("GPGLL,{place},{time},A,A"))
    });
    let recording = read(text.as_bytes(), &named()).unwrap();
    assert_eq!(recording.fixes.len(), 10);
    let start = recording.start.map(|start| start.to_string());
    assert_eq!(start.as_deref(), Some("2026-05-04T23:59:55Z"));
}

/// VTG before or after the epoch it belongs to: the speed grows by 2 m/s a second, so that the positions tell.
#[test]
fn prop_speeds_without_a_time_find_their_epoch() {
    for after in [false, true] {
        let mut text = String::new();
        for second in 0..40 {
            let t = f64::from(second);
            let minutes = (20.0 * t + t * t) * 60.0 / 111_194.93;
            let epoch = sentence(&format!(
                "GPGGA,1200{second:02},46{minutes:08.5},N,00800.00000,E,1,09,0.9,900,M,47,M,,"
            ));
            let knots = sentence(&format!(
                "GPVTG,0.0,T,,M,{:.3},N,,K,A",
                (20.0 + 2.0 * t) / base::factors::MPS_PER_KT
            ));
            text += &if after { knots + &epoch } else { epoch + &knots };
        }
        let recording = read(text.as_bytes(), &named()).unwrap();
        let fix = recording.fixes[20];
        checks::assert_near("speed", fix.ground_speed_mps.unwrap(), 60.0, 0.01);
        let side = if after { "epoch after" } else { "epoch before" };
        assert!(told(&recording, side), "{:?}", recording.notes);
    }
}

#[test]
fn regress_faulty_and_broken_sentences_are_told_with_their_line() {
    let good =
        |second: u32| sentence(&format!("GPRMC,1200{second:02},A,4630.0,N,00806.0,E,0,1,040526,,"));
    let mut text: String = (0..20).map(good).collect();
    text += "$GPRMC,120020,A,4630.0,N,00806.0,E,99,1,040526,,*00\r\n";
    text += "$GPRMC,120021,A,4630.0,N,00806\r\n";
    text += &sentence("GPRMC,120022,A,4690.0,N,00806.0,E,99,1,040526,,");
    text += &sentence("GPXTE,A,A,0.1,L,N");
    text += &sentence("GPRMC,120023,V,,,,,,,040526,,");
    let recording = read(text.as_bytes(), &named()).unwrap();
    assert_eq!(recording.fixes.len(), 20);
    for part in [
        "2 sentences with a wrong or missing checksum left out, lines 21, 22",
        "1 broken sentence left out, first at line 23: '4690.0,N' is no coordinate",
        "not read: XTE (1)",
        "1 of 21 epochs without a valid fix",
    ] {
        assert!(told(&recording, part), "{part}: {:?}", recording.notes);
    }
}

#[test]
fn regress_logs_that_cannot_be_read_say_why() {
    let no_fix =
        sentence("GPRMC,120000,V,,,,,,,040526,,") + &sentence("GPGGA,120001,,,,,0,00,,,M,,M,,");
    for (text, wanted) in [
        (no_fix.as_str(), "none with a valid position"),
        ("$GPRMC,120000,A,4630.0,N,00806.0,E,99,1,040526,,*00\n", "fail their checksum"),
        ("nothing here", "no line holds a sentence"),
    ] {
        let error = read(text.as_bytes(), &named()).unwrap_err();
        assert!(error.to_string().contains(wanted) && error.hint().len() > 10, "{error}");
    }
}

/// A small log cut at every byte: a reading with fewer fixes or an error, never a panic.
#[test]
fn prop_a_log_cut_anywhere_reads_or_tells() {
    let text = log(50_400, 4, |time, place, _| {
        sentence(&format!("GPRMC,{time},A,{place},97.19,0.0,040526,2.0,E,A"))
            + &sentence("GPVTG,0.0,T,,M,97.2,N,,K,A")
    });
    for end in 0..text.len() {
        match read(&text.as_bytes()[..end], &named()) {
            Ok(recording) => assert!(recording.fixes.len() <= 4),
            Err(error) => assert!(!error.hint().is_empty(), "{error}"),
        }
    }
}
