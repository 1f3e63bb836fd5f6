//! Invented recordings of an hour or so for the benches, one a format.

use std::fmt::Write as _;

const ROWS: usize = 18_000;

/// Key of the format, what is special about it, content.
type Text = (&'static str, &'static str, fn() -> Vec<u8>);

/// Every text.
pub(crate) const ALL: &[Text] = &[
    ("csv", "1 h at 5 Hz, 10 columns", || table().into()),
    ("csv", "panel log, 40 columns", || panel().into()),
    ("gpx", "5 h at 1 Hz", || track().into()),
    ("igc", "5 h at 1 Hz", || recorder().into()),
    ("igc", "5 h at 1 Hz, 5 extensions", || extended().into()),
    ("nmea", "2.5 h at 1 Hz, RMC and GGA", || sentences().into()),
    ("kml", "5 h at 1 Hz", || placemark().into()),
    ("surveillance json", "5 h at 1 Hz, records", || surveillance_records().into()),
    ("surveillance csv", "5 h at 1 Hz, table", || surveillance_table().into()),
    ("gdl90", "5 h at 1 Hz, with traffic", messages),
];

fn clock(row: usize) -> (usize, usize, usize) {
    (10 + row / 3600, row / 60 % 60, row % 60)
}

/// A slow turn with a level airspeed.
fn table() -> String {
    let mut out = String::from(
        "elapsed_s,lat,lon,alt_m,ground_speed_kt,track_deg,vs_fpm,ias_kt,roll_deg,pitch_deg\n",
    );
    for row in 0..ROWS {
        let t = row as f64 * 0.2;
        let lat = 46.5 + t * 4.6e-4;
        let _ = writeln!(
            out,
            "{t:.1},{lat:.7},8.1000000,{:.1},99.5,0.1,{:.0},95.1,{:.1},2.1",
            1200.0 + t * 0.1,
            t % 50.0,
            t % 7.0
        );
    }
    out
}

fn panel() -> String {
    let mut out = String::from(
        "Lcl Date,Lcl Time,UTCOfst,Latitude,Longitude,AltMSL,GndSpd,TRK,VSpd,IAS,Pitch,Roll",
    );
    for engine in 0..28 {
        let _ = write!(out, ",E1 temperature {engine}");
    }
    out.push_str("\nyyyy-mm-dd,hh:mm:ss,hh:mm,deg,deg,ft,kt,deg,fpm,kt,deg,deg\n");
    for row in 0..ROWS / 4 {
        let (hour, minute, second) = clock(row);
        let lat = 46.0 + row as f64 * 4.6e-4;
        let _ = write!(
            out,
            "2026-05-04, {hour:02}:{minute:02}:{second:02}, +02:00, {lat:.7}, 8.1000000, {:.1}, 99.50, 0.1, {:.1}, 95.1, 2.1, {:.1}",
            4000.0 + row as f64 * 0.1,
            row as f64 % 50.0,
            row as f64 % 7.0
        );
        for engine in 0..28 {
            let _ = write!(out, ", {:.2}", 300.0 + f64::from(engine) + row as f64 % 9.0);
        }
        out.push('\n');
    }
    out
}

fn track() -> String {
    let mut out = String::from("<gpx version=\"1.1\"><trk><trkseg>\n");
    for row in 0..ROWS {
        let (hour, minute, second) = clock(row);
        let lat = 46.0 + row as f64 * 4e-5;
        let _ = writeln!(
            out,
            "<trkpt lat=\"{lat:.6}\" lon=\"8.100000\"><ele>1200.5</ele><time>2026-05-04T{hour:02}:{minute:02}:{second:02}Z</time></trkpt>"
        );
    }
    out + "</trkseg></trk></gpx>\n"
}

fn recorder() -> String {
    records("", "")
}

fn extended() -> String {
    records("I053638FXA3940SIU4143TAS4446GSP4749TRT\r\n", "00508186186090")
}

fn records(declared: &str, extensions: &str) -> String {
    let mut out = format!("AXXX001\r\nHFDTE040526\r\n{declared}");
    for row in 0..ROWS {
        let (hour, minute, second) = clock(row);
        let minutes = row * 28 % 60_000;
        let degrees = 46 + row * 28 / 60_000;
        let _ = write!(
            out,
            "B{hour:02}{minute:02}{second:02}{degrees}{minutes:05}N00806000EA0120001250{extensions}\r\n"
        );
    }
    out
}

fn sentences() -> String {
    let mut out = String::new();
    for row in 0..ROWS / 2 {
        let (hour, minute, second) = clock(row);
        let minutes = (row * 28 % 60_000) as f64 / 1000.0;
        let degrees = 46 + row * 28 / 60_000;
        for body in [
            format!(
                "GPRMC,{hour:02}{minute:02}{second:02}.00,A,{degrees}{minutes:07.4},N,00806.0000,E,99.5,0.1,040526,,,A"
            ),
            format!(
                "GPGGA,{hour:02}{minute:02}{second:02}.00,{degrees}{minutes:07.4},N,00806.0000,E,1,08,1.0,1200.5,M,48.0,M,,"
            ),
        ] {
            let sum = body.bytes().fold(0, |sum, byte| sum ^ byte);
            let _ = write!(out, "${body}*{sum:02X}\r\n");
        }
    }
    out
}

fn placemark() -> String {
    let mut out = String::from(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<kml xmlns=\"http://www.opengis.net/kml/2.2\" xmlns:gx=\"http://www.google.com/kml/ext/2.2\"><Document><Placemark><gx:Track><altitudeMode>absolute</altitudeMode>\n",
    );
    for row in 0..ROWS {
        let (hour, minute, second) = clock(row);
        let _ = writeln!(out, "<when>2026-05-04T{hour:02}:{minute:02}:{second:02}Z</when>");
    }
    for row in 0..ROWS {
        let _ =
            writeln!(out, "<gx:coord>8.100000 {:.6} 1200.5</gx:coord>", 46.0 + row as f64 * 4e-5);
    }
    out + "</gx:Track></Placemark></Document></kml>\n"
}

/// A row each second: time s, latitude deg, altitude ft in the steps of a transponder.
fn states() -> impl Iterator<Item = (usize, f64, usize)> {
    (0..ROWS).map(|row| (1_777_900_000 + row, 46.0 + row as f64 * 4.6e-4, 3000 + row / 4 % 40 * 25))
}

fn surveillance_records() -> String {
    let row = |(time_s, latitude, altitude): (usize, f64, usize)| {
        format!(
            "{{\"timestamp\":{time_s},\"icao24\":\"abc123\",\"callsign\":\"CALL1\",\"latitude\":{latitude:.6},\"longitude\":8.1,\"altitude\":{altitude},\"groundspeed\":99,\"track\":0.5,\"vertical_rate\":320,\"squawk\":\"7000\",\"alert\":false}}"
        )
    };
    format!("[{}]\n", states().map(row).collect::<Vec<_>>().join(",\n"))
}

fn surveillance_table() -> String {
    let mut out = String::from(
        "timestamp,icao24,callsign,latitude,longitude,altitude,groundspeed,track,vertical_rate\n",
    );
    for (time_s, latitude, altitude) in states() {
        let _ = writeln!(out, "{time_s},abc123,CALL1,{latitude:.6},8.1,{altitude},99,0.5,320");
    }
    out
}

/// Heartbeat, own report, geometric altitude and a report of traffic each second, as they go over the line.
fn messages() -> Vec<u8> {
    let mut out = Vec::new();
    for (time_s, latitude, altitude) in states() {
        let [low, high, top, _] = ((time_s % 86_400) as u32).to_le_bytes();
        framed(&[0, 0x81, top << 7, low, high, 0, 0], &mut out);
        for (kind, east) in [(10, 8.1), (20, 8.2)] {
            framed(&position(kind, latitude, east, altitude), &mut out);
        }
        let [high, low] = (((altitude + 100) / 5) as i16).to_be_bytes();
        framed(&[11, high, low, 0, 10], &mut out);
    }
    out
}

fn position(kind: u8, latitude: f64, longitude: f64, altitude_ft: usize) -> [u8; 28] {
    let mut out = [0; 28];
    out[0] = kind;
    out[2..5].copy_from_slice(&[0xab, 0xc1, 0x23]);
    for (at, degrees) in [(5, latitude), (8, longitude)] {
        let counts = (degrees * f64::from(1 << 23) / 180.0) as i32;
        out[at..at + 3].copy_from_slice(&counts.to_be_bytes()[1..]);
    }
    let altitude = ((altitude_ft + 1000) / 25) as u16;
    // airborne, true track, ten meters; 99 kt, no vertical velocity, to the north
    out[11] = (altitude >> 4) as u8;
    out[12] = (altitude << 4) as u8 | 9;
    out[13] = 0xa9;
    (out[14], out[15]) = (99 >> 4, (99 & 0xf) << 4);
    out[18] = 1;
    out[19..27].copy_from_slice(b"CALL1   ");
    out
}

fn framed(message: &[u8], out: &mut Vec<u8>) {
    let sum = message.iter().fold(0u16, |sum, &byte| {
        let high = (0..8).fold(sum & 0xff00, |high, _| {
            if high & 0x8000 == 0 { high << 1 } else { (high << 1) ^ 0x1021 }
        });
        high ^ (sum << 8) ^ u16::from(byte)
    });
    out.push(0x7e);
    for &byte in message.iter().chain(&sum.to_le_bytes()) {
        if byte == 0x7e || byte == 0x7d {
            out.extend([0x7d, byte ^ 0x20]);
        } else {
            out.push(byte);
        }
    }
    out.push(0x7e);
}
