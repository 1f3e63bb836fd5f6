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
    assert!(recording.notes.iter().any(|note| note.text.starts_with("71 fixes repeat the time")));
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

#[test]
fn regress_truncated_file_says_line_byte_and_what_to_do() {
    let cut = &SMALL[..SMALL.len() * 2 / 3];
    let error = read(cut, &named()).unwrap_err();
    let ReadError::Malformed { place, .. } = &error else { panic!("{error:?}") };
    assert!(place.line > 10 && place.byte.is_some(), "{place:?}");
    assert!(!error.hint().is_empty());
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
