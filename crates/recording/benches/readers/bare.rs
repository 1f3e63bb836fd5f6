//! The bare parsing library of each format on the same bytes: what any reader has to do at least.
//!
//! Libraries that hand over texts (cells of a table, attributes and texts of a document, extensions of a record) are also run
//! with those texts made numbers by the standard parser: a reader's work begins there. GDL 90 has no library in the registry:
//! a walk over its frames that checks each of them stands in for one.

use serde::Deserialize;

/// Key of the format, name of the library and how it is used, run.
type Bare = (&'static str, &'static str, fn(&[u8]) -> f64);

/// Every library.
pub(crate) const ALL: &[Bare] = &[
    ("csv", "csv, cells only", cells),
    ("csv", "csv, cells that are read as numbers", numbers),
    ("gpx", "quick-xml, events and attributes", events),
    ("gpx", "quick-xml, with attributes and texts that are numbers", values),
    ("igc", "igc, records", records),
    ("igc", "igc, records with extensions that are numbers", extensions),
    ("nmea", "nmea, sentences", sentences),
    ("kml", "quick-xml, events and attributes", events),
    ("kml", "quick-xml, with attributes and texts that are numbers", values),
    ("surveillance json", "serde_json, rows of borrowed cells", rows),
    ("surveillance json", "serde_json, values", json_values),
    ("surveillance csv", "csv, cells only", cells),
    ("surveillance csv", "csv, cells that are read as numbers", numbers),
    ("gdl90", "frames, unescaped and checked", frames),
];

fn utf8(text: &[u8]) -> &str {
    std::str::from_utf8(text).unwrap()
}

fn number(text: &str) -> f64 {
    text.trim().parse().unwrap_or(0.0)
}

fn cells(text: &[u8]) -> f64 {
    let mut reader = csv::ReaderBuilder::new().flexible(true).from_reader(text);
    let mut record = csv::ByteRecord::new();
    let mut cells = 0;
    while reader.read_byte_record(&mut record).unwrap() {
        cells += record.iter().map(|cell| usize::from(!cell.is_empty())).sum::<usize>();
    }
    cells as f64
}

/// With each cell of a column that is read made a number by the standard parser; of a time of day its seconds, of a date
/// the day.
fn numbers(text: &[u8]) -> f64 {
    let mut reader = csv::ReaderBuilder::new().flexible(true).from_reader(text);
    let read = reader.headers().unwrap().iter().position(|name| name.starts_with("E1 "));
    let mut record = csv::ByteRecord::new();
    let mut sum = 0.0;
    while reader.read_byte_record(&mut record).unwrap() {
        for cell in record.iter().take(read.unwrap_or(usize::MAX)) {
            let text = std::str::from_utf8(cell).unwrap().trim();
            let last = text.rsplit([':', '-']).next().unwrap_or(text);
            sum += last.parse::<f64>().unwrap_or(0.0);
        }
    }
    sum
}

fn events(text: &[u8]) -> f64 {
    let mut reader = quick_xml::Reader::from_str(utf8(text));
    let mut events = 0;
    loop {
        match reader.read_event().unwrap() {
            quick_xml::events::Event::Eof => return f64::from(events),
            quick_xml::events::Event::Start(element) => {
                events += i32::try_from(element.attributes().count()).unwrap();
            }
            _ => events += 1,
        }
    }
}

/// With each attribute, and each text between blanks, made a number; of a time the seconds.
fn values(text: &[u8]) -> f64 {
    use quick_xml::events::Event;
    let mut reader = quick_xml::Reader::from_str(utf8(text));
    let mut sum = 0.0;
    loop {
        match reader.read_event().unwrap() {
            Event::Eof => return sum,
            Event::Start(element) => {
                sum += element.attributes().flatten().map(|a| number(&a.value)).sum::<f64>();
            }
            Event::Text(text) => {
                for part in text.split_ascii_whitespace() {
                    let last = part.rsplit(':').next().unwrap_or(part);
                    sum += number(last.trim_end_matches('Z'));
                }
            }
            _ => {}
        }
    }
}

fn extensions(text: &[u8]) -> f64 {
    use igc::records::{Extendable, Record};
    let mut declared = Vec::new();
    let mut sum = 0.0;
    for record in igc::parse_records(utf8(text)).flatten() {
        match record {
            Record::I(record) => declared = record.0.extensions,
            Record::B(record) => {
                sum += 1.0;
                for extension in &declared {
                    sum += number(record.get_extension(extension).unwrap());
                }
            }
            _ => {}
        }
    }
    sum
}

fn records(text: &[u8]) -> f64 {
    igc::parse_records(utf8(text)).filter(Result::is_ok).count() as f64
}

fn sentences(text: &[u8]) -> f64 {
    let mut parser = nmea::Nmea::default();
    utf8(text).lines().filter(|line| parser.parse(line).is_ok()).count() as f64
}

/// What the reader reads of a row, and nothing else of it.
#[derive(Deserialize)]
struct Row<'a> {
    timestamp: f64,
    icao24: &'a str,
    callsign: &'a str,
    latitude: f64,
    longitude: f64,
    altitude: f64,
    groundspeed: f64,
    track: f64,
    vertical_rate: f64,
}

fn rows(text: &[u8]) -> f64 {
    let rows: Vec<Row<'_>> = serde_json::from_slice(text).unwrap();
    let sum = |row: &Row<'_>| {
        row.timestamp
            + row.latitude
            + row.longitude
            + row.altitude
            + row.groundspeed
            + row.track
            + row.vertical_rate
            + (row.icao24.len() + row.callsign.len()) as f64
    };
    rows.iter().map(sum).sum()
}

fn json_values(text: &[u8]) -> f64 {
    let rows: Vec<serde_json::Value> = serde_json::from_slice(text).unwrap();
    rows.len() as f64
}

/// By hand: frames between flags, escapes taken back, cyclic redundancy check by table.
fn frames(bytes: &[u8]) -> f64 {
    let table: [u16; 256] = std::array::from_fn(|index| {
        (0..8).fold((index as u16) << 8, |sum, _| {
            if sum & 0x8000 == 0 { sum << 1 } else { (sum << 1) ^ 0x1021 }
        })
    });
    let mut out = Vec::new();
    let mut whole = 0;
    for frame in bytes.split(|&byte| byte == 0x7e).filter(|frame| frame.len() > 2) {
        out.clear();
        let mut turn = 0;
        for &byte in frame {
            if byte == 0x7d {
                turn = 0x20;
            } else {
                out.push(byte ^ turn);
                turn = 0;
            }
        }
        let (body, written) = out.split_at(out.len() - 2);
        let sum = body
            .iter()
            .fold(0u16, |sum, &byte| table[usize::from(sum >> 8)] ^ (sum << 8) ^ u16::from(byte));
        whole += u32::from(sum.to_le_bytes() == written);
    }
    f64::from(whole)
}
