//! KML: the outside recordings, fixtures of our own, broken and hostile documents.

use super::*;
use crate::normal::QuantityKind as Q;

fn named() -> ReadOptions {
    ReadOptions { name: "test".into(), ..ReadOptions::default() }
}

fn told(recording: &Recording, part: &str) -> bool {
    recording.notes.iter().any(|note| note.text.contains(part))
}

fn document(body: &str) -> String {
    format!(
        "<?xml version='1.0'?><kml xmlns='http://www.opengis.net/kml/2.3' xmlns:gx='urn:older'><Document>{body}</Document></kml>"
    )
}

/// Invented: a steady right turn of 5 deg/s at 50 m/s, climbing at 3 m/s, one place a second.
fn places(count: u32, of: impl Fn(f64, f64, f64) -> String) -> (String, String) {
    let whens =
        (0..count).map(|s| format!("<when>2026-05-04T14:{:02}:{:02}Z</when>", s / 60, s % 60));
    let coords = (0..count).map(|s| {
        let track = f64::from(s) * 5.0 * base::factors::RAD_PER_DEG;
        let radius_deg = 50.0 / (5.0 * base::factors::RAD_PER_DEG) / 111_194.93;
        let north = radius_deg * base::math::sin(track);
        let east = radius_deg * (1.0 - base::math::cos(track))
            / base::math::cos(46.0 * base::factors::RAD_PER_DEG);
        of(8.0 + east, 46.0 + north, 900.0 + 3.0 * f64::from(s))
    });
    (whens.collect(), coords.collect())
}

fn coord(longitude: f64, latitude: f64, height: f64) -> String {
    format!("<coord>{longitude:.8} {latitude:.8} {height}</coord>")
}

/// Steps and times of the recordings' README (78.3 min at 1 s; 60 as a number of seconds once a minute).
#[test]
fn val_recorded_track_with_seconds_of_sixty() {
    let Some(bytes) = crate::outside::recording("kml", "_gps") else { return };
    let recording = read(&bytes, &named()).unwrap();
    checks::assert_near("minutes", recording.duration_s() / 60.0, 78.3, 0.06);
    let low = recording.fixes.iter().filter_map(|fix| fix.height_m).fold(f64::INFINITY, f64::min);
    let high = recording.fixes.iter().filter_map(|fix| fix.height_m).fold(0.0, f64::max);
    let per_ft = base::factors::M_PER_FT;
    checks::assert_near("low", low / per_ft, -22.0, 1.0);
    checks::assert_near("high", high / per_ft, 12_683.0, 1.0);
    assert!(told(&recording, "times say 60 seconds"), "{:?}", recording.notes);
    assert!(recording.gaps.is_empty(), "{:?}", recording.gaps);
}

/// The converter's document against the recorder's own file of the same flight: same fixes, same pressure altitudes, same
/// airspeeds (the document rounds places to 1e-6 degree).
#[test]
fn val_a_converted_flight_reads_as_the_original() {
    let (Some(bytes), Some(original)) = (
        crate::outside::recording("kml", "92GV66G1"),
        crate::outside::recording("igc", "92GV66G1"),
    ) else {
        return;
    };
    let recording = read(&bytes, &named()).unwrap();
    let original = crate::read(&original, &named()).unwrap();
    assert_eq!(recording.fixes.len(), original.fixes.len());
    assert_eq!(recording.start, original.start);
    for (fix, igc) in recording.fixes.iter().zip(&original.fixes) {
        checks::assert_near("time", fix.time_s, igc.time_s, 1e-9);
        checks::assert_near("latitude", fix.latitude_deg, igc.latitude_deg, 6e-7);
        checks::assert_near("longitude", fix.longitude_deg, igc.longitude_deg, 6e-7);
        checks::assert_near("height", fix.height_m.unwrap(), igc.height_m.unwrap(), 0.01);
    }
    let pressure = recording.series_of(Q::PressureAltitudeM).unwrap();
    let of_igc = original.series_of(Q::PressureAltitudeM).unwrap();
    assert_eq!(pressure.values.len(), of_igc.values.len());
    for (found, expected) in pressure.values.iter().zip(&of_igc.values) {
        checks::assert_near("pressure altitude", *found, *expected, 0.01);
    }
    for (quantity, tolerance) in [(Q::TrueAirspeedMps, 0.01), (Q::OutsideAirTemperatureK, 0.01)] {
        let (found, expected) =
            (recording.series_of(quantity).unwrap(), original.series_of(quantity).unwrap());
        assert_eq!(found.values.len(), expected.values.len());
        for (found, expected) in found.values.iter().zip(&expected.values) {
            checks::assert_near(&format!("{quantity:?}"), *found, *expected, tolerance);
        }
    }
}

#[test]
fn golden_arrays_and_angles_of_a_track() {
    let (whens, coords) = places(120, coord);
    let angles: String =
        (0..120).map(|s| format!("<gx:angles>{} -4.0 -24.0</gx:angles>", (s * 5) % 360)).collect();
    let values: String = (0..120).map(|_| "<value>97.2</value>").collect();
    let text = document(&format!(
        "<Schema id='s'><SimpleArrayField name='spd1' type='float'><displayName>IAS</displayName></SimpleArrayField></Schema>
        <Placemark><name>A &amp; B</name><Track><altitudeMode>absolute</altitudeMode>{whens}{coords}{angles}
        <ExtendedData><SchemaData><gx:SimpleArrayData name='spd1'>{values}</gx:SimpleArrayData>
        <gx:SimpleArrayData name='heartrate'><gx:value>88</gx:value></gx:SimpleArrayData></SchemaData></ExtendedData></Track></Placemark>"
    ));
    let recording = read(text.as_bytes(), &named()).unwrap();
    assert_eq!(
        (recording.fixes.len(), recording.height_datum),
        (120, crate::HeightDatum::MeanSeaLevel)
    );
    let first = |quantity| recording.series_of(quantity).map(|series| series.values[1]);
    assert_eq!(first(Q::TrueHeadingDeg), Some(5.0));
    // right bank in a right turn and nose up in a climb, though the file counts both the other way
    assert_eq!((first(Q::BankDeg), first(Q::PitchDeg)), (Some(24.0), Some(4.0)));
    checks::assert_near("97.2 kt", first(Q::IndicatedAirspeedMps).unwrap(), 50.0, 0.01);
    assert!(told(&recording, "extensions not read: heartrate"), "{:?}", recording.notes);
}

#[test]
fn golden_pieces_are_joined_and_others_told() {
    let (whens, coords) = places(60, coord);
    let later = whens.replace("T14:", "T15:");
    let track = |name: &str, whens: &str| {
        format!("<Placemark><name>{name}</name><gx:Track>{whens}{coords}</gx:Track></Placemark>")
    };
    let multi = format!(
        "<Placemark><name>Lesson</name><gx:MultiTrack><gx:Track>{whens}{coords}</gx:Track><gx:Track>{later}{coords}</gx:Track></gx:MultiTrack></Placemark>"
    );
    let recording = read(document(&multi).as_bytes(), &named()).unwrap();
    assert_eq!((recording.fixes.len(), recording.gaps.len()), (120, 1));
    let both = track("Track 1", &whens) + &track("Track 2", &later);
    let recording = read(document(&both).as_bytes(), &named()).unwrap();
    assert_eq!(recording.fixes.len(), 120);
    assert!(told(&recording, "one after another"));
    let other = track("Friend", &whens) + &track("Lesson", &whens);
    let recording = read(document(&other).as_bytes(), &named()).unwrap();
    assert!(
        told(&recording, "track 'Lesson' (60 points) not used: 'Friend'"),
        "{:?}",
        recording.notes
    );
    let options = ReadOptions { aircraft: Some("lesson".into()), ..named() };
    let recording = read(document(&other).as_bytes(), &options).unwrap();
    assert!(recording.fixes.len() == 60 && !told(&recording, "not used"));
    let options = ReadOptions { aircraft: Some("nobody".into()), ..named() };
    assert!(read(document(&other).as_bytes(), &options).unwrap_err().hint().contains("Friend"));
}

#[test]
fn golden_points_with_times_are_a_track() {
    let (_, coords) = places(30, |longitude, latitude, height| {
        format!(
            "<Placemark><TimeStamp><when>MOMENT</when></TimeStamp><Point><coordinates>{longitude:.7},{latitude:.7},{height}</coordinates></Point></Placemark>"
        )
    });
    let mut text = document(&coords);
    for second in 0..30 {
        text = text.replacen("MOMENT", &format!("2026-05-04T14:00:{second:02}+02:00"), 1);
    }
    let recording = read(text.as_bytes(), &named()).unwrap();
    assert_eq!(recording.fixes.len(), 30);
    let start = recording.start.map(|start| start.to_string());
    assert_eq!(start.as_deref(), Some("2026-05-04T12:00:00Z"));
}

#[test]
fn regress_documents_that_cannot_be_read_say_why() {
    let line = document(
        "<Placemark><LineString><coordinates>8,46,0 8.1,46,0</coordinates></LineString></Placemark>",
    );
    let bad_time = document("<gx:Track><when>yesterday</when></gx:Track>");
    let bad_place =
        document("<gx:Track><when>2026-05-04T14:00:00Z</when><gx:coord>8 x</gx:coord></gx:Track>");
    for (text, wanted) in [
        (line.as_str(), "lines without times"),
        (&document(""), "no track"),
        (&bad_time, "time 'yesterday'"),
        (&bad_place, "not three numbers"),
        ("<gpx></gpx>", "root is gpx"),
        ("<kml><Document>", "cut off"),
        ("<!DOCTYPE kml [<!ENTITY a 'aa'>]><kml>&a;</kml>", "document type"),
        ("<kml>&secret;</kml>", "entity"),
        (&format!("<kml>{}", "<a>".repeat(200)), "nested"),
        (&document("<Track><Track></Track></Track>"), "a track inside a track"),
    ] {
        let error = read(text.as_bytes(), &named()).unwrap_err();
        assert!(error.to_string().contains(wanted) && error.hint().len() > 10, "{error}");
    }
}

#[test]
fn prop_a_document_cut_anywhere_tells() {
    let (whens, coords) = places(3, coord);
    let text = document(&format!("<Placemark><Track>{whens}{coords}</Track></Placemark>"));
    let whole = text.find("</Track>").unwrap() + "</Track>".len();
    for end in 0..text.len() {
        match read(&text.as_bytes()[..end], &named()) {
            Ok(recording) => assert!(end >= whole && told(&recording, "cut off")),
            Err(error) => assert!(!error.hint().is_empty()),
        }
    }
    assert_eq!(read(text.as_bytes(), &named()).unwrap().fixes.len(), 3);
}
