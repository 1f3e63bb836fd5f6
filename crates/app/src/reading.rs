//! How a recording is to be read, as people say it: the same words on the command line and on the page.

use recording::{ColumnMap, ReadOptions};

use crate::choose;
use crate::error::AppError;

/// Names of what may be said, as parameters of the page and, with two hyphens, options of the command line.
pub const OPTIONS: &[&str] = &["unit", "columns", "row-interval", "aircraft", "entry"];
/// Longest and shortest time from row to row that is believed, s.
const INTERVAL_S: std::ops::RangeInclusive<f64> = 1e-4..=60.0;

/// What was said.
#[derive(Debug, Clone, Default)]
pub struct Said<'t> {
    /// Units by column: `ground_speed=kt`.
    pub units: Vec<&'t str>,
    /// A map of columns: its name and its text.
    pub columns: Option<(&'t str, &'t str)>,
    /// Time from row to row of a table without a clock: `1s`, `200ms`.
    pub row_interval: Option<&'t str>,
    /// Which aircraft of a table of several.
    pub aircraft: Option<&'t str>,
    /// Which file of an archive of several.
    pub entry: Option<&'t str>,
}

impl Said<'_> {
    /// As the readers take it.
    ///
    /// # Errors
    /// A unit or an interval that is refused; the faults of the map, each with its line.
    pub fn options(&self) -> Result<ReadOptions, AppError> {
        let columns =
            self.columns.map(|(name, text)| ColumnMap::from_toml(text, name)).transpose()?;
        Ok(ReadOptions {
            units: self.units.iter().map(|pair| choose::unit(pair)).collect::<Result<_, _>>()?,
            columns,
            row_interval_s: self.row_interval.map(interval_s).transpose()?,
            aircraft: self.aircraft.map(|text| text.trim().to_owned()),
            entry: self.entry.map(|text| text.trim().to_owned()),
            ..ReadOptions::default()
        })
    }
}

/// `1s`, `0.2 s`, `200ms`: seconds.
fn interval_s(text: &str) -> Result<f64, AppError> {
    let text = text.trim();
    let (number, scale) = match (text.strip_suffix("ms"), text.strip_suffix('s')) {
        (Some(number), _) => (number, 1e-3),
        (None, Some(number)) => (number, 1.0),
        (None, None) => {
            let what = format!("row-interval: {text:?} has no unit");
            return Err(AppError::request(
                what,
                "write the time from row to row with its unit: 1s, 0.2s, 200ms",
            ));
        }
    };
    let seconds = number.trim().parse::<f64>().ok().map(|number| number * scale);
    seconds.filter(|seconds| INTERVAL_S.contains(seconds)).ok_or_else(|| {
        let hint = format!(
            "a time from {} ms to {} s, such as 1s or 200ms",
            INTERVAL_S.start() * 1e3,
            INTERVAL_S.end()
        );
        AppError::request(format!("row-interval: {text:?} is no time from row to row"), hint)
    })
}

#[cfg(test)]
mod tests {
    use super::{Said, interval_s};

    #[test]
    fn prop_intervals_are_read_with_their_unit() {
        for (text, seconds) in [("1s", 1.0), (" 0.2 s", 0.2), ("200ms", 0.2), ("20 ms", 0.02)] {
            assert!((interval_s(text).expect("read") - seconds).abs() < 1e-12, "{text}");
        }
        for text in ["1", "", "s", "0s", "-1s", "1h", "nans", "5min", "3600s"] {
            let error = interval_s(text).expect_err(text);
            assert!(error.hint().contains("200ms"), "{text}");
        }
    }

    #[test]
    fn prop_a_faulty_map_is_told_with_its_line() {
        let said = Said {
            columns: Some(("my.toml", "schema = \"skychalk.columns/1\"\n[tabel]\n")),
            ..Said::default()
        };
        let error = said.options().expect_err("refused");
        assert!(error.to_string().contains("my.toml, line 2: tabel is not known"), "{error}");
        assert!(error.hint().contains("did you mean table?"), "{}", error.hint());
    }
}
