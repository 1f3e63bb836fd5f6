//! The bare parsing library of each format on the same bytes: what any reader has to do at least.

/// Key of the format, name of the library and how it is used, run.
type Bare = (&'static str, &'static str, fn(&str) -> f64);

/// Every library.
pub(crate) const ALL: &[Bare] = &[
    ("csv", "csv, cells only", cells),
    ("csv", "csv, cells that are read as numbers", numbers),
    ("gpx", "quick-xml, events and attributes", events),
    ("igc", "igc, records", records),
    ("nmea", "nmea, sentences", sentences),
    ("kml", "quick-xml, events and attributes", events),
];

fn cells(text: &str) -> f64 {
    let mut reader = csv::ReaderBuilder::new().flexible(true).from_reader(text.as_bytes());
    let mut record = csv::ByteRecord::new();
    let mut cells = 0;
    while reader.read_byte_record(&mut record).unwrap() {
        cells += record.iter().map(|cell| usize::from(!cell.is_empty())).sum::<usize>();
    }
    cells as f64
}

/// With each cell of a column that is read made a number by the standard parser; of a time of day its seconds, of a date
/// the day.
fn numbers(text: &str) -> f64 {
    let mut reader = csv::ReaderBuilder::new().flexible(true).from_reader(text.as_bytes());
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

fn events(text: &str) -> f64 {
    let mut reader = quick_xml::Reader::from_str(text);
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

fn records(text: &str) -> f64 {
    igc::parse_records(text).filter(Result::is_ok).count() as f64
}

fn sentences(text: &str) -> f64 {
    let mut parser = nmea::Nmea::default();
    text.lines().filter(|line| parser.parse(line).is_ok()).count() as f64
}
