//! Instants in UTC. Recordings carry seconds from their first sample; an instant places them on the calendar.

use std::fmt;

/// An instant in UTC, to the microsecond (leap seconds are not counted, as on every consumer clock).
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct UtcInstant {
    microseconds_unix: i64,
}

impl UtcInstant {
    /// From microseconds since 1970-01-01T00:00:00Z.
    #[must_use]
    pub const fn from_unix_microseconds(microseconds: i64) -> Self {
        Self { microseconds_unix: microseconds }
    }
    /// Microseconds since 1970-01-01T00:00:00Z.
    #[must_use]
    pub const fn to_unix_microseconds(self) -> i64 {
        self.microseconds_unix
    }
    /// Seconds from `earlier` to here, negative when before it.
    #[must_use]
    pub fn seconds_since(self, earlier: Self) -> f64 {
        // Through 128 bits: the two ends of the range are further apart than 64 bits count.
        (i128::from(self.microseconds_unix) - i128::from(earlier.microseconds_unix)) as f64 * 1e-6
    }
    /// The instant so many seconds later; held at the ends of the range, some 292,000 years away.
    #[must_use]
    pub fn plus_seconds(self, seconds: f64) -> Self {
        let microseconds = (seconds * 1e6).round() as i64;
        Self { microseconds_unix: self.microseconds_unix.saturating_add(microseconds) }
    }
    /// Seconds since the last whole second, [0, 1).
    #[must_use]
    pub fn fraction_s(self) -> f64 {
        self.microseconds_unix.rem_euclid(1_000_000) as f64 * 1e-6
    }
    /// Reads `2026-05-04T14:02:11Z`, with fraction or offset. `None` when it is not such a text.
    #[must_use]
    pub fn parse_rfc3339(text: &str) -> Option<Self> {
        let stamp: jiff::Timestamp = text.trim().parse().ok()?;
        Some(Self { microseconds_unix: stamp.as_microsecond() })
    }
    /// Calendar date and the decimal year (2025.5 at mid-year), for the magnetic field model.
    #[must_use]
    pub fn decimal_year(self) -> f64 {
        let date = self.zoned().date();
        f64::from(date.year()) + f64::from(date.day_of_year() - 1) / f64::from(date.days_in_year())
    }
    /// Year, month and day in UTC.
    #[must_use]
    pub fn date(self) -> (i16, i8, i8) {
        let date = self.zoned().date();
        (date.year(), date.month(), date.day())
    }
    /// The calendar runs from the year -9999 to 9999; beyond it, its nearer end.
    fn zoned(self) -> jiff::civil::DateTime {
        let (first, last) = (jiff::Timestamp::MIN, jiff::Timestamp::MAX);
        let stamp = jiff::Timestamp::from_microsecond(self.microseconds_unix)
            .unwrap_or(if self.microseconds_unix < 0 { first } else { last });
        jiff::tz::Offset::UTC.to_datetime(stamp)
    }
}

impl fmt::Display for UtcInstant {
    /// `2026-05-04T14:02:11Z`; a fraction is shown only when there is one.
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match jiff::Timestamp::from_microsecond(self.microseconds_unix) {
            Ok(stamp) => write!(out, "{stamp}"),
            Err(_) => write!(out, "{} us after 1970", self.microseconds_unix),
        }
    }
}
