//! Invented recordings of an hour or so for the benches, one a format.

use std::fmt::Write as _;

const ROWS: usize = 18_000;

/// Key of the format, what is special about it, content.
type Text = (&'static str, &'static str, fn() -> String);

/// Every text.
pub(crate) const ALL: &[Text] = &[
    ("csv", "1 h at 5 Hz, 10 columns", table),
    ("csv", "panel log, 40 columns", panel),
    ("gpx", "5 h at 1 Hz", track),
    ("igc", "5 h at 1 Hz", recorder),
    ("igc", "5 h at 1 Hz, 5 extensions", extended),
    ("nmea", "2.5 h at 1 Hz, RMC and GGA", sentences),
    ("kml", "5 h at 1 Hz", placemark),
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
