//! GDL 90: the outside captures, messages of our own, broken and hostile bytes.

use super::*;

fn named() -> ReadOptions {
    ReadOptions { name: "test".into(), ..ReadOptions::default() }
}

/// A message as it goes over the line.
fn framed(message: &[u8]) -> Vec<u8> {
    let sum = checksum(message).to_le_bytes();
    let mut out = vec![FLAG];
    for &byte in message.iter().chain(&sum) {
        if byte == FLAG || byte == ESCAPE {
            out.extend([ESCAPE, byte ^ 0x20]);
        } else {
            out.push(byte);
        }
    }
    out.push(FLAG);
    out
}

fn heartbeat(second: u32) -> Vec<u8> {
    let [low, high, top, _] = second.to_le_bytes();
    framed(&[HEARTBEAT, 0x81, top << 7, low, high, 0, 0])
}

/// The heartbeat of the specification's section on the checksum, with its bytes (GDL 90 specification, section 2.2.4, from memory).
#[test]
fn val_the_example_of_the_specification_holds() {
    let example = [0x7e, 0x00, 0x81, 0x41, 0xdb, 0xd0, 0x08, 0x02, 0xb3, 0x8b, 0x7e];
    let frames: Vec<_> = Frames::new(&example).collect();
    let message = [0x00, 0x81, 0x41, 0xdb, 0xd0, 0x08, 0x02];
    assert_eq!(frames, [(1, Ok(message.as_slice().into()))]);
}

/// The report of the specification's example of traffic: 44.90708 N, 122.99488 W, 5000 ft, 123 kt, 45 degrees, 64 ft/min,
/// N825V (GDL 90 specification, section 3.5.4, from memory).
#[test]
fn val_the_traffic_report_of_the_specification() {
    let message = [
        0x14, 0x00, 0xab, 0x45, 0x49, 0x1f, 0xef, 0x15, 0xa8, 0x89, 0x78, 0x0f, 0x09, 0xa9, 0x07,
        0xb0, 0x01, 0x20, 0x01, b'N', b'8', b'2', b'5', b'V', b' ', b' ', b' ', 0x00,
    ];
    let report = report(&message, 0.0).unwrap();
    // the example cuts to whole counts
    checks::assert_near("latitude", report.latitude_deg, 44.90708, COUNT_DEG);
    checks::assert_near("longitude", report.longitude_deg, -122.99488, COUNT_DEG);
    checks::assert_near("altitude", report.pressure_altitude_m.unwrap(), 5000.0 * M_PER_FT, 1e-9);
    checks::assert_near("speed", report.speed_mps.unwrap(), 123.0 * MPS_PER_KT, 1e-9);
    checks::assert_near("climb", report.climb_mps.unwrap(), 64.0 * MPS_PER_FPM, 1e-9);
    assert_eq!((report.angle, report.address), ((1, 45.0), 0xab_4549));
    assert!(called(&report, "n825v") && called(&report, "AB4549"));
}

/// Spans, pressure altitudes and counts of the recordings' README (3.7, 4.9 and 10.2 minutes).
#[test]
fn val_captures_read_to_their_published_ranges() {
    for (name, minutes, low_ft, high_ft, reports) in [
        ("x_2.dat", 3.7, 3000.0, 3600.0, 174),
        ("rv6_1", 4.9, 3200.0, 3400.0, 75),
        ("rv6_2", 10.2, 3100.0, 3700.0, 165),
    ] {
        let Some(bytes) = crate::outside::recording("avionics-serial", name) else { return };
        let recording = crate::read(&bytes, &named()).unwrap();
        assert_eq!(recording.format, KEY);
        checks::assert_near(name, recording.duration_s() / 60.0, minutes, 0.1);
        let altitude = recording.series_of(QuantityKind::PressureAltitudeM).unwrap();
        let low = altitude.values.iter().copied().fold(f64::INFINITY, f64::min) / M_PER_FT;
        let high = altitude.values.iter().copied().fold(f64::NEG_INFINITY, f64::max) / M_PER_FT;
        checks::assert_near(name, low, low_ft, 0.5);
        checks::assert_near(name, high, high_ft, 0.5);
        // recorded speed and speed of the positions agree at nine steps in ten, whatever the heartbeat before them said
        let mut ratios: Vec<f64> = recording
            .fixes
            .windows(2)
            .filter_map(|pair| {
                let way_m = crate::normal::assemble::distance_m(&pair[0], &pair[1]);
                Some(way_m / (pair[1].time_s - pair[0].time_s) / pair[1].ground_speed_mps?)
            })
            .collect();
        ratios.sort_by(f64::total_cmp);
        let count = ratios.len();
        assert!(count + 2 >= reports, "{name}: {:?}", recording.notes);
        checks::assert_near(name, ratios[count / 20], 1.0, 0.3);
        checks::assert_near(name, ratios[count / 2], 1.0, 0.02);
        checks::assert_near(name, ratios[count - 1 - count / 20], 1.0, 0.3);
    }
}

/// Invented: midnight passes, a frame is broken, one aircraft is near.
#[test]
fn golden_own_reports_and_chosen_traffic() {
    let mut bytes = b"rest".to_vec();
    for second in 0..20u32 {
        bytes.extend(heartbeat((86_390 + second) % 86_400));
        let mut message = [0u8; 28];
        message[0] = OWNSHIP;
        message[2..5].copy_from_slice(&[0x7e, 0x7d, 0x01]);
        let latitude = (((46.0 + 0.0005 * f64::from(second)) / COUNT_DEG) as u32).to_be_bytes();
        message[5..8].copy_from_slice(&latitude[1..]);
        message[8..11].copy_from_slice(&((8.0 / COUNT_DEG) as u32).to_be_bytes()[1..]);
        (message[11], message[12], message[13]) = (0x0f, 0x09, 0xa9);
        (message[14], message[15], message[16]) = (0x06, 0xcf, 0xff);
        message[19..27].copy_from_slice(b"OWN     ");
        bytes.extend(framed(&message));
        bytes.extend(framed(&[GEOMETRIC_ALTITUDE, 0x03, 0xe8, 0, 8]));
        message[0] = TRAFFIC;
        message[2..5].copy_from_slice(&[1, 2, 3]);
        message[19..27].copy_from_slice(b"OTHER   ");
        bytes.extend(framed(&message));
        bytes.extend(framed(&[7, 1, 2, 3]));
    }
    let broken = bytes.len() - 4;
    bytes[broken] ^= 1;
    let recording = crate::read(&bytes, &named()).unwrap();
    assert_eq!((recording.format, recording.fixes.len(), recording.start), (KEY, 20, None));
    let fix = recording.fixes[19];
    assert_eq!((fix.time_s, fix.height_m), (19.0, Some(5000.0 * M_PER_FT)));
    let climb = recording.series_of(QuantityKind::VerticalSpeedMps).unwrap();
    checks::assert_near("one step down", climb.values[0], -64.0 * MPS_PER_FPM, 1e-9);
    let told = |part: &str| recording.notes.iter().any(|note| note.text.contains(part));
    for part in ["1 broken frames", "passes midnight", "messages not read: 7 (19)", "whole seconds"]
    {
        assert!(told(part), "{part}: {:?}", recording.notes);
    }
    for wanted in ["other", "010203"] {
        let options = ReadOptions { aircraft: Some(wanted.into()), ..named() };
        let recording = crate::read(&bytes, &options).unwrap();
        assert_eq!((recording.fixes.len(), recording.height_datum), (20, HeightDatum::Pressure));
    }
    let options = ReadOptions { aircraft: Some("nobody".into()), ..named() };
    assert!(crate::read(&bytes, &options).unwrap_err().to_string().contains("no report"));
}

#[test]
fn regress_captures_that_cannot_be_read_say_why() {
    let own = [framed(&[OWNSHIP; 28]), framed(&[OWNSHIP; 28])].concat();
    for (bytes, wanted) in [
        (own.as_slice(), "no heartbeat"),
        (b"\x7e\x01\x02\x03\x7e", "checksum holds"),
        (&[heartbeat(5), heartbeat(6)].concat(), "no report of a position"),
    ] {
        let error = read(bytes, &named()).unwrap_err();
        assert!(error.to_string().contains(wanted) && error.hint().len() > 10, "{error}");
    }
}

#[test]
fn prop_a_capture_cut_or_changed_anywhere_reads_or_tells() {
    let mut bytes = heartbeat(100);
    bytes.extend(framed(&[
        OWNSHIP, 0, 1, 2, 3, 0x20, 0, 0, 5, 0, 0, 9, 9, 0x99, 1, 2, 3, 4, 5, 6, 7, 8, 9, 1, 2, 3,
        4, 5,
    ]));
    bytes.extend(heartbeat(101));
    for end in 0..bytes.len() {
        let _ = read(&bytes[..end], &named());
        let mut changed = bytes.clone();
        changed[end] ^= 0xff;
        let _ = read(&changed, &named());
    }
    assert_eq!(read(&bytes, &named()).unwrap().fixes.len(), 1);
}
