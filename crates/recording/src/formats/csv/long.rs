//! Tables in long form: one sample a row, a column that names its sensor, the values in columns of axes. Each sensor becomes
//! a table of its own, read on the common clock.

use super::header::understand;
use super::meanings::Dimension;
use super::sensors::SensorHint;
use super::table::cells;

/// Names of the column that names the sensor.
const SENSOR: &[&str] = &[
    "sensor",
    "sensor name",
    "sensor type",
    "sensorname",
    "sensortype",
    "sensor_name",
    "sensor_type",
];
/// Names of columns of values.
const VALUES: &[&str] = &["x", "y", "z", "value", "value x", "value_x"];
/// More sensors than this are no sensors.
const SENSORS_MOST: usize = 48;
/// The names stand among so many first lines.
const LINES_MOST: usize = 20;

/// One sensor of a table in long form.
pub(super) struct Part {
    /// As the table names it.
    pub(super) name: String,
    /// Which it is.
    pub(super) hint: Option<SensorHint>,
    /// Its rows under the same names, without the columns that are empty for it.
    pub(super) table: Vec<u8>,
}

/// The sensors of a table in long form; `None` for any other table. Linear in its size.
pub(super) fn parts(bytes: &[u8]) -> Option<Vec<Part>> {
    let (at, delimiter, names) = header(bytes)?;
    let sensor = names.iter().position(|name| is(name, SENSOR))?;
    let mut reader = ::csv::ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .delimiter(delimiter)
        .comment(Some(b'#'))
        .from_reader(&bytes[at..]);
    let mut rows: Vec<(String, Vec<::csv::ByteRecord>)> = Vec::new();
    let mut record = ::csv::ByteRecord::new();
    while reader.read_byte_record(&mut record).unwrap_or(false) {
        let Some(cell) = record.get(sensor) else { continue };
        let name = String::from_utf8_lossy(cell.trim_ascii()).into_owned();
        match rows.iter().position(|(known, _)| *known == name) {
            Some(at) => rows[at].1.push(record.clone()),
            None if rows.len() >= SENSORS_MOST => return None,
            None => rows.push((name, vec![record.clone()])),
        }
    }
    let part = |(name, list): (String, Vec<::csv::ByteRecord>)| {
        let hint = SensorHint::of_name(&name);
        let table = table(&names, &list, sensor, delimiter);
        Part { name, hint, table }
    };
    (!rows.is_empty()).then(|| rows.into_iter().map(part).collect())
}

fn is(name: &str, known: &[&str]) -> bool {
    known.contains(&name.trim().trim_matches('"').to_lowercase().as_str())
}

/// Where the data begin, the delimiter, and the names: a sensor, a time, and values that are only called by axes.
fn header(bytes: &[u8]) -> Option<(usize, u8, Vec<String>)> {
    let mut at = 0;
    for _ in 0..LINES_MOST {
        let length = bytes[at..].iter().position(|&byte| byte == b'\n')?;
        let line = String::from_utf8_lossy(&bytes[at..at + length]);
        let line = line.trim_start_matches('\u{feff}');
        for delimiter in [b',', b';', b'\t'] {
            let names = cells(line, delimiter);
            let timed = names.iter().any(|name| {
                understand(name).is_some_and(|cell| cell.meaning.dimension() == Dimension::Time)
            });
            let has = |known| names.iter().any(|name| is(name, known));
            if timed && has(SENSOR) && has(VALUES) {
                return Some((at + length + 1, delimiter, names));
            }
        }
        at += length + 1;
    }
    None
}

/// The rows of one sensor as a table.
fn table(names: &[String], rows: &[::csv::ByteRecord], sensor: usize, delimiter: u8) -> Vec<u8> {
    let filled = |at: usize| {
        rows.iter().any(|row| row.get(at).is_some_and(|cell| !cell.trim_ascii().is_empty()))
    };
    let kept: Vec<usize> = (0..names.len()).filter(|&at| at != sensor && filled(at)).collect();
    let mut out = Vec::new();
    let mut line = |cell: &dyn Fn(usize) -> Vec<u8>| {
        for (index, &at) in kept.iter().enumerate() {
            if index > 0 {
                out.push(delimiter);
            }
            out.extend(cell(at));
        }
        out.push(b'\n');
    };
    line(&|at| names[at].trim().as_bytes().to_vec());
    for row in rows {
        // cells of numbers and clocks hold no delimiter; others are not read
        line(&|at| {
            row.get(at)
                .unwrap_or(b"")
                .iter()
                .copied()
                .filter(|byte| *byte != delimiter && *byte != b'\n')
                .collect()
        });
    }
    out
}
