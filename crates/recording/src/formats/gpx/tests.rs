//! GPX: the outside recording, fixtures of our own, broken and hostile files.

use super::*;

fn named() -> ReadOptions {
    ReadOptions { name: "test".into(), ..ReadOptions::default() }
}

const SMALL: &[u8] = include_bytes!("../../../tests/fixtures/two_segments.gpx");

/// Span, step and height range of the recordings' README (67.9 min, 5 s, -11 to 6151 ft, 71 repeated times).
#[test]
fn val_recorded_track_reads_to_its_published_span() {
    let Some(bytes) = crate::outside::recording("gpx", "2024-04-13") else { return };
    let recording = read(&bytes, &named()).unwrap();
    assert!((recording.duration_s() / 60.0 - 67.9).abs() < 0.06, "{}", recording.duration_s());
    let heights = || recording.fixes.iter().filter_map(|fix| fix.height_m);
    let per_ft = base::factors::M_PER_FT;
    let high_ft = heights().fold(f64::NEG_INFINITY, f64::max) / per_ft;
    let low_ft = heights().fold(f64::INFINITY, f64::min) / per_ft;
    assert!((high_ft - 6151.0).abs() < 1.0 && (low_ft + 11.0).abs() < 1.0, "{low_ft} {high_ft}");
    let told = |part: &str| recording.notes.iter().any(|note| note.text.contains(part));
    assert!(told("times contradict their positions"), "{:?}", recording.notes);
    // no step of 12 s or less is longer than the recorded speeds cover in its time and half a second
    for pair in recording.fixes.windows(2) {
        let step_s = pair[1].time_s - pair[0].time_s;
        if step_s > 12.0 {
            continue;
        }
        let speed = 0.5 * (pair[0].ground_speed_mps.unwrap() + pair[1].ground_speed_mps.unwrap());
        let way_m = crate::normal::assemble::distance_m(&pair[0], &pair[1]);
        assert!(way_m < speed * step_s + (0.5 * speed).max(15.0) + 0.01, "{pair:?}");
    }
    assert!(recording.fixes.iter().all(|fix| fix.ground_speed_mps.is_some()));
}

/// The file's only track has every position at 0,0 (recordings' README): never a flight.
#[test]
fn val_track_at_zero_zero_is_refused() {
    let Some(bytes) = crate::outside::recording("gpx", "_baro") else { return };
    let error = read(&bytes, &named()).unwrap_err();
    assert!(error.to_string().contains("every position of every track is 0,0"), "{error}");
}

#[test]
fn golden_two_segments_with_extensions() {
    let recording = read(SMALL, &named()).unwrap();
    assert_eq!(recording.fixes.len(), 6);
    assert_eq!(
        recording.start.map(|start| start.to_string()).as_deref(),
        Some("2026-05-04T14:02:11Z")
    );
    assert_eq!(recording.gaps, vec![crate::normal::Gap { from_s: 2.0, to_s: 3.0 }]);
    let first = recording.fixes[0];
    assert_eq!(first.ground_speed_mps, Some(51.5));
    assert_eq!(first.track_deg, Some(92.0));
    assert_eq!(first.height_m, Some(1210.4));
    assert!(recording.notes.iter().any(|note| note.text.contains("'nowhere': all 2 positions")));
}

/// Cut anywhere: what is whole is read and the cut is told, or the error says where and what to do.
#[test]
fn prop_a_document_cut_anywhere_tells() {
    let whole = SMALL.len() - usize::from(SMALL.ends_with(b"\n"));
    let (mut read_some, mut refused) = (0, 0);
    for end in 0..whole {
        match read(&SMALL[..end], &named()) {
            Ok(recording) => {
                let told = |note: &crate::normal::Note| note.text.contains("cut off");
                assert!(recording.notes.iter().any(told), "byte {end}: {:?}", recording.notes);
                assert!(recording.fixes.len() >= 2);
                read_some += 1;
            }
            Err(error) => {
                assert!(!error.hint().is_empty(), "byte {end}: {error:?}");
                refused += 1;
            }
        }
    }
    assert!(read_some > 100 && refused > 100, "{read_some} {refused}");
    let error = read(&SMALL[..SMALL.len() / 3], &named()).unwrap_err();
    let ReadError::Malformed { place, .. } = &error else { panic!("{error:?}") };
    assert!(place.line > 2 && place.byte.is_some(), "{place:?}");
}

#[test]
fn regress_hostile_documents_are_refused() {
    let bomb = br#"<?xml version="1.0"?><!DOCTYPE gpx [<!ENTITY a "aaaa"><!ENTITY b "&a;&a;">]><gpx>&b;</gpx>"#;
    let entity = b"<gpx><trk><name>&secret;</name></trk></gpx>";
    let mut deep = b"<gpx>".to_vec();
    deep.extend(b"<a>".repeat(500));
    for (bytes, wanted) in [
        (bomb.as_slice(), "document type"),
        (entity.as_slice(), "entity"),
        (deep.as_slice(), "nested"),
        (b"<kml></kml>".as_slice(), "root is kml"),
        (b"<gpx></gpx>".as_slice(), "no track points"),
        (b"<gpx><trk><trkseg><trkpt lat=\"47\"/>".as_slice(), "without lat and lon"),
        (b"<gpx><trk><trkseg><trkpt lat=\"x\" lon=\"1\"/>".as_slice(), "no number"),
        (
            b"<gpx><trk><trkseg><trkpt lat=\"4\" lon=\"1\"/></trkseg></trk></gpx>".as_slice(),
            "has a time",
        ),
        (b"<gpx><trk></gpx>".as_slice(), "not well-formed"),
        (b"\xff\xfe<\0g\0".as_slice(), "UTF-16"),
    ] {
        let error = read(bytes, &named()).unwrap_err();
        assert!(error.to_string().contains(wanted), "{error}");
        assert!(error.hint().len() > 10);
    }
}

/// Invented: 60 m/s to the north, a fix every 5 s, and now and then an extra one with the time of the second before.
#[test]
fn prop_extra_fixes_a_second_early_are_left_out() {
    let mut text = String::from("<gpx><trk><trkseg>");
    let mut point = |stamp_s: usize, moment_s: usize| {
        let latitude = 46.0 + 60.0 * moment_s as f64 / 111_194.93;
        text += &format!(
            "<trkpt lat=\"{latitude:.7}\" lon=\"8\"><ele>900</ele><speed>60</speed><time>2026-05-04T14:{:02}:{:02}Z</time></trkpt>",
            stamp_s / 60,
            stamp_s % 60
        );
    };
    for second in 0..1200 {
        if second % 5 == 0 {
            point(second, second);
        }
        if second % 35 == 11 {
            point(second - 1, second);
        }
        if second % 50 == 23 {
            point(second, second);
        }
    }
    text += "</trkseg></trk></gpx>";
    let recording = read(text.as_bytes(), &named()).unwrap();
    let told = |part: &str| recording.notes.iter().any(|note| note.text.contains(part));
    assert!(told("34 fixes whose times contradict"), "{:?}", recording.notes);
    for pair in recording.fixes.windows(2) {
        let way_m = crate::normal::assemble::distance_m(&pair[0], &pair[1]);
        assert!((way_m / (pair[1].time_s - pair[0].time_s) - 60.0).abs() < 0.1, "{pair:?}");
    }
}

/// Invented: an hour-glass of a track with extensions in two namespaces, some of them unknown, and a track of heights only.
#[test]
fn golden_extensions_by_local_name_and_a_track_of_pressure_heights() {
    let mut text =
        String::from("<gpx xmlns:a='urn:a' xmlns:b='urn:b'><trk><name>PRESSURE</name><trkseg>");
    for second in 0..60 {
        text += &format!(
            "<trkpt lat='0' lon='0'><ele>{}</ele><time>2026-05-04T14:00:{second:02}Z</time></trkpt>",
            500 + second
        );
    }
    text += "</trkseg></trk><trk><trkseg>";
    for second in 0..60 {
        let latitude = 46.0 + 50.0 * f64::from(second) / 111_194.93;
        text += &format!(
            "<trkpt lat='{latitude:.7}' lon='8'><extensions><a:point><a:hdg>{}</a:hdg><a:hr>88</a:hr></a:point><b:ias>{:.1}</b:ias><b:pressure>95{:.1}</b:pressure></extensions><ele>900</ele><time>2026-05-04T14:00:{second:02}Z</time></trkpt>",
            350 + second % 9,
            97.2,
            0.1 * f64::from(second % 10),
        );
    }
    text += "</trkseg></trk></gpx>";
    let recording = read(text.as_bytes(), &named()).unwrap();
    assert_eq!(recording.fixes.len(), 60);
    let first = |quantity| recording.series_of(quantity).map(|series| series.values[0]);
    assert_eq!(first(QuantityKind::PressureAltitudeM), Some(500.0));
    assert_eq!(first(QuantityKind::MagneticHeadingDeg), Some(350.0));
    assert_eq!(first(QuantityKind::StaticPressurePa), Some(95_000.0));
    let airspeed = first(QuantityKind::IndicatedAirspeedMps).unwrap();
    checks::assert_near("knots found from the positions", airspeed, 50.0, 0.01);
    assert!(recording.notes.iter().any(|note| note.text == "extensions not read: hr"));
}
