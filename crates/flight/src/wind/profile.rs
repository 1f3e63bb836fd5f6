//! Wind by height, as a forecast or a sounding gives it.

use base::frames::{Ned, Vec3};
use base::units::{Length, Quantity};

use super::{AirMotion, Wind, WindError, WindField};

/// Winds at rising heights. Between them the north and east components are linear, so a wind that goes from 350 to 010
/// degrees passes 360 and not 180. Below the lowest and above the highest row their winds hold.
#[derive(Debug, Clone, PartialEq)]
pub struct WindProfile {
    heights_m: Vec<f64>,
    velocities_mps: Vec<Vec3<Ned>>,
}

/// Why a table of winds is refused.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum ProfileError {
    /// No row.
    #[error("a wind profile needs at least one height")]
    Empty,
    /// A row with a number that is not finite or a negative speed.
    #[error("row {row}: height {height_m} m with wind speed {speed_mps} m/s is not a wind")]
    NotAWind {
        /// Which, from 1.
        row: usize,
        /// Its height.
        height_m: f64,
        /// Its speed.
        speed_mps: f64,
    },
    /// A height that does not lie above the one before.
    #[error("row {row}: height {height_m} m does not rise above {before_m} m of the row before")]
    NotRising {
        /// Which, from 1.
        row: usize,
        /// Its height.
        height_m: f64,
        /// The height before.
        before_m: f64,
    },
    /// A line without height and wind.
    #[error("line {line}: not a height and a wind: {text:?}")]
    Line {
        /// Which, from 1.
        line: usize,
        /// As written.
        text: String,
    },
    /// A line with a height that cannot be read.
    #[error("line {line}: {error}")]
    Height {
        /// Which, from 1.
        line: usize,
        /// What is wrong.
        error: base::quantity::QuantityError,
    },
    /// A line with a wind that cannot be read.
    #[error("line {line}: {error}")]
    Wind {
        /// Which, from 1.
        line: usize,
        /// What is wrong.
        error: WindError,
    },
    /// A line whose height does not rise.
    #[error("line {line}: height {height_m} m does not rise above {before_m} m of the line before")]
    LineNotRising {
        /// Which, from 1.
        line: usize,
        /// Its height.
        height_m: f64,
        /// The height before.
        before_m: f64,
    },
}

impl ProfileError {
    /// What to do about it.
    #[must_use]
    pub fn hint(&self) -> String {
        match self {
            Self::NotRising { .. } | Self::LineNotRising { .. } => {
                "sort the heights from low to high and give each once".into()
            }
            Self::Height { error, .. } => error.hint(),
            Self::Wind { error, .. } => error.hint().into(),
            Self::Empty | Self::NotAWind { .. } | Self::Line { .. } => {
                "write a line for each height: 3000ft 270/12kt".into()
            }
        }
    }
}

impl WindProfile {
    /// From rows of height above mean sea level, m, and wind.
    ///
    /// # Errors
    /// No row, a row that is not a wind, heights that do not rise; with the row.
    pub fn try_new(rows: &[(f64, Wind)]) -> Result<Self, ProfileError> {
        let mut before_m = f64::NEG_INFINITY;
        for (index, (height_m, wind)) in rows.iter().enumerate() {
            let (row, height_m, speed_mps) = (index + 1, *height_m, wind.speed.to_mps());
            if !height_m.is_finite() || !speed_mps.is_finite() || speed_mps < 0.0 {
                return Err(ProfileError::NotAWind { row, height_m, speed_mps });
            }
            if height_m <= before_m {
                return Err(ProfileError::NotRising { row, height_m, before_m });
            }
            before_m = height_m;
        }
        if rows.is_empty() {
            return Err(ProfileError::Empty);
        }
        let heights_m = rows.iter().map(|row| row.0).collect();
        let velocities_mps = rows.iter().map(|row| row.1.velocity()).collect();
        Ok(Self { heights_m, velocities_mps })
    }

    /// Reads a line for each height, `3000ft 270/12kt` or `3000ft calm`; empty lines and lines that begin with `#` are
    /// passed over.
    ///
    /// # Errors
    /// The first line that cannot be read or whose height does not rise, with its number.
    pub fn parse(text: &str) -> Result<Self, ProfileError> {
        let mut rows: Vec<(f64, Wind)> = Vec::new();
        for (index, written) in text.lines().enumerate() {
            let (line, trimmed) = (index + 1, written.trim());
            if trimmed.is_empty() || trimmed.starts_with('#') {
                continue;
            }
            let Some((height, wind)) = trimmed.rsplit_once(char::is_whitespace) else {
                return Err(ProfileError::Line { line, text: trimmed.into() });
            };
            let height: Length = base::quantity::parse(height.trim())
                .map_err(|error| ProfileError::Height { line, error })?;
            let wind = Wind::parse(wind).map_err(|error| ProfileError::Wind { line, error })?;
            let height_m = height.to_si();
            match rows.last() {
                Some(&(before_m, _)) if height_m <= before_m => {
                    return Err(ProfileError::LineNotRising { line, height_m, before_m });
                }
                _ => rows.push((height_m, wind)),
            }
        }
        Self::try_new(&rows)
    }
}

impl WindField for WindProfile {
    /// Logarithmic in the rows.
    fn at(&self, _time_s: f64, height_m: f64) -> AirMotion {
        let above = self.heights_m.partition_point(|&knot| knot <= height_m);
        let last = self.heights_m.len() - 1;
        let velocity_mps = if above == 0 {
            self.velocities_mps[0]
        } else if above > last {
            self.velocities_mps[last]
        } else {
            let (low_m, high_m) = (self.heights_m[above - 1], self.heights_m[above]);
            let share = (height_m - low_m) / (high_m - low_m);
            self.velocities_mps[above - 1] * (1.0 - share) + self.velocities_mps[above] * share
        };
        AirMotion { velocity_mps, ..AirMotion::STILL }
    }
}
