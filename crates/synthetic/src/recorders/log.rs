//! What a recorder has written: columns over rows, in the units and steps of its file.

use base::factors::K_AT_ZERO_C;
use base::time::UtcInstant;
use recording::{Fix, Gap, HeightDatum, QuantityKind, Recording, Series};
use std::fmt::Write as _;

/// What a column holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum What {
    /// Geodetic latitude, degrees.
    Latitude,
    /// Longitude, degrees.
    Longitude,
    /// Height of the satellite receiver, m.
    Height,
    /// Speed over the ground, m/s.
    GroundSpeed,
    /// Direction over the ground, degrees.
    Track,
    /// Climb by the satellite receiver, m/s.
    Climb,
    /// Another sensor, in the unit of its kind.
    Sensor(QuantityKind),
}

/// One column. A row in which it is silent is `None`.
#[derive(Debug, Clone, PartialEq)]
pub struct Column {
    /// As the header spells it.
    pub header: &'static str,
    /// What it holds.
    pub what: What,
    /// Unit of the file in that of `what`.
    unit: f64,
    /// Added after that.
    offset: f64,
    /// Step of the written values.
    step: f64,
    /// In the unit of the file, rounded to its step.
    values: Vec<Option<f64>>,
}

impl Column {
    /// An empty column: header, meaning, its unit in that of the meaning, and the step of what is written.
    #[must_use]
    pub const fn new(header: &'static str, what: What, unit: f64, step: f64) -> Self {
        Self { header, what, unit, offset: 0.0, step, values: Vec::new() }
    }
    /// A column of temperatures in degrees Celsius.
    #[must_use]
    pub const fn celsius(header: &'static str, step: f64) -> Self {
        let what = What::Sensor(QuantityKind::OutsideAirTemperatureK);
        Self { header, what, unit: 1.0, offset: K_AT_ZERO_C, step, values: Vec::new() }
    }
    /// Writes one value, given in the unit of the meaning.
    pub fn push(&mut self, value: Option<f64>) {
        let written =
            |value: f64| ((value - self.offset) / self.unit / self.step).round() * self.step;
        self.values.push(value.map(written));
    }
    fn value(&self, row: usize) -> Option<f64> {
        self.values[row].map(|value| value * self.unit + self.offset)
    }
    /// Digits after the point that show every step.
    fn digits(&self) -> usize {
        let whole = |digits: &usize| {
            let scaled = self.step * [1.0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8][*digits];
            (scaled - scaled.round()).abs() < 1e-6 && scaled > 0.5
        };
        (0..8).find(whole).unwrap_or(8)
    }
}

/// How a file tells the time.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Clock {
    /// Seconds since an unstated moment, under this header.
    Elapsed(&'static str),
    /// Date and time of day in UTC, in two columns, whole seconds.
    DateAndTime(UtcInstant),
    /// One stamp, under this header.
    Stamp(&'static str, UtcInstant),
    /// The B records of an IGC file.
    Igc(UtcInstant),
}

/// What a recorder has written.
#[derive(Debug, Clone, PartialEq)]
pub struct Log {
    /// How it tells the time.
    pub clock: Clock,
    /// Time of each row, s since the flight began.
    pub time_s: Vec<f64>,
    /// Its columns.
    pub columns: Vec<Column>,
    /// What its heights are counted from.
    pub datum: HeightDatum,
}

impl Log {
    /// Time of the flight at the first row, which is time zero of the recording, s.
    #[must_use]
    pub fn zero_s(&self) -> f64 {
        self.time_s.first().copied().unwrap_or(0.0)
    }
    /// The recording that a faultless reader makes of it. Linear in rows and columns.
    #[must_use]
    pub fn recording(&self, name: &str) -> Recording {
        let fixes = self.fixes();
        let start = match self.clock {
            Clock::Elapsed(_) => None,
            Clock::DateAndTime(start) | Clock::Stamp(_, start) | Clock::Igc(start) => {
                Some(start.plus_seconds(self.zero_s()))
            }
        };
        let format = if matches!(self.clock, Clock::Igc(_)) { "igc" } else { "csv" };
        let gaps = gaps(&fixes);
        let height_datum = self.datum;
        let (name, notes, series) = (name.to_owned(), Vec::new(), self.series());
        Recording { format, name, start, fixes, height_datum, series, gaps, notes }
    }
    fn column(&self, what: What) -> Option<&Column> {
        self.columns.iter().find(|column| column.what == what)
    }
    fn fixes(&self) -> Vec<Fix> {
        let of = |what: What| self.column(what);
        let (latitude, longitude) = (of(What::Latitude), of(What::Longitude));
        let (Some(latitude), Some(longitude)) = (latitude, longitude) else { return Vec::new() };
        let height = match self.datum {
            // Readers let it stand in where there is no other height.
            HeightDatum::Pressure => What::Sensor(QuantityKind::PressureAltitudeM),
            _ => What::Height,
        };
        let rest = [height, What::GroundSpeed, What::Track, What::Climb].map(of);
        let fix = |row: usize| {
            let [height_m, ground_speed_mps, track_deg, climb_mps] =
                rest.map(|column| column.and_then(|column| column.value(row)));
            Some(Fix {
                time_s: self.time_s[row] - self.zero_s(),
                latitude_deg: latitude.value(row)?,
                longitude_deg: longitude.value(row)?,
                height_m,
                ground_speed_mps,
                track_deg: track_deg.map(|track| track.rem_euclid(360.0)),
                climb_mps,
            })
        };
        (0..self.time_s.len()).filter_map(fix).collect()
    }
    fn series(&self) -> Vec<Series> {
        let one = |column: &Column| {
            let What::Sensor(quantity) = column.what else { return None };
            let rows = (0..self.time_s.len()).filter_map(|row| Some((row, column.value(row)?)));
            let (times_s, values) =
                rows.map(|(row, value)| (self.time_s[row] - self.zero_s(), value)).unzip();
            Some(Series { quantity, origin: column.header.into(), times_s, values })
        };
        self.columns.iter().filter_map(one).collect()
    }
    /// The file. Linear in rows and columns.
    #[must_use]
    pub fn bytes(&self) -> Vec<u8> {
        if let Clock::Igc(start) = self.clock {
            return super::coarse::igc(self, start).into_bytes();
        }
        let mut out = String::with_capacity(self.time_s.len() * 10 * (self.columns.len() + 2));
        match self.clock {
            Clock::Elapsed(header) | Clock::Stamp(header, _) => out.push_str(header),
            Clock::DateAndTime(_) | Clock::Igc(_) => out.push_str("utc_date,utc_time"),
        }
        let digits: Vec<usize> = self.columns.iter().map(Column::digits).collect();
        for column in &self.columns {
            out.push(',');
            out.push_str(column.header);
        }
        out.push('\n');
        for (row, &time_s) in self.time_s.iter().enumerate() {
            self.write_time(&mut out, time_s);
            for (column, &digits) in self.columns.iter().zip(&digits) {
                out.push(',');
                if let Some(value) = column.values[row] {
                    let _ = write!(out, "{value:.digits$}");
                }
            }
            out.push('\n');
        }
        out.into_bytes()
    }
    fn write_time(&self, out: &mut String, time_s: f64) {
        let _ = match self.clock {
            Clock::Elapsed(_) => write!(out, "{}", (time_s * 1e3).round() / 1e3),
            Clock::Stamp(_, start) => write!(out, "{}", start.plus_seconds(time_s)),
            Clock::DateAndTime(start) | Clock::Igc(start) => {
                let text = start.plus_seconds(time_s).to_string();
                let (date, time) = text.split_once('T').unwrap_or((&text, ""));
                write!(out, "{date},{}", time.trim_end_matches('Z'))
            }
        };
    }
    /// Degrees of latitude and longitude, height and pressure altitude, m, of a row, as written.
    pub(super) fn place(&self, row: usize) -> Option<[f64; 4]> {
        let pressure = What::Sensor(QuantityKind::PressureAltitudeM);
        let value = |what: What| self.column(what)?.value(row);
        Some([
            value(What::Latitude)?,
            value(What::Longitude)?,
            value(What::Height)?,
            value(pressure)?,
        ])
    }
}

/// Holes, by the rule of the readers.
fn gaps(fixes: &[Fix]) -> Vec<Gap> {
    let mut steps: Vec<f64> = fixes.windows(2).map(|two| two[1].time_s - two[0].time_s).collect();
    steps.sort_by(f64::total_cmp);
    let usual_s = steps.get(steps.len() / 2).copied().unwrap_or(0.0);
    let hole = |two: &&[Fix]| two[1].time_s - two[0].time_s > (3.0 * usual_s).max(2.0);
    let gap = |two: &[Fix]| Gap { from_s: two[0].time_s, to_s: two[1].time_s };
    fixes.windows(2).filter(hole).map(gap).collect()
}
