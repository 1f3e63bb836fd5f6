//! Propeller chart: thrust and power coefficients over advance ratio and blade angle, fast to read.

use base::numerics::interpolation::{Cells, cubic_powers, linear};

use super::blade::{BladeElements, Coefficients};

const ADVANCE_STEP: f64 = 0.05;
const ADVANCE_MAX: f64 = 3.0;
const ROWS: usize = 63;
const CELLS: Cells = Cells::new(ROWS - 3);

/// Coefficients on a grid: advance ratio from nil to 3, blade angle between two stops.
///
/// Beyond 3 the propeller hardly turns any more: forces follow the square of the airspeed, `CT` and `CP` that of `J`.
#[derive(Debug, Clone, PartialEq)]
pub struct Chart {
    /// Least blade angle, rad.
    pub angle_least_rad: f64,
    /// Step between blade angles, rad; nil for a single one.
    pub angle_step_rad: f64,
    /// For each blade angle, the powers of each interval of advance ratio, each for thrust and power.
    columns: Vec<Vec<[[f64; 2]; 4]>>,
}

/// One blade angle of a published chart.
#[derive(Debug, Clone, PartialEq)]
pub struct ChartRow {
    /// Blade angle at 0.75 of the radius, rad.
    pub angle_rad: f64,
    /// Advance ratios, rising from nil or more.
    pub advance: Vec<f64>,
    /// Thrust coefficient at each.
    pub thrust: Vec<f64>,
    /// Power coefficient at each.
    pub power: Vec<f64>,
}

/// What is wrong with a published chart. Rows are counted from one.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum ChartError {
    /// No rows.
    #[error("the chart has no blade angle")]
    Empty,
    /// Blade angles that do not rise.
    #[error("blade angles of the chart do not rise at row {row}")]
    BladeAngles {
        /// Which row.
        row: usize,
    },
    /// Columns of unequal length, or fewer than two points.
    #[error(
        "row {row} of the chart has {advance} advance ratios, {thrust} thrust and {power} power coefficients"
    )]
    Lengths {
        /// Which row.
        row: usize,
        /// How many advance ratios.
        advance: usize,
        /// How many thrust coefficients.
        thrust: usize,
        /// How many power coefficients.
        power: usize,
    },
    /// Advance ratios that do not rise from nil or more.
    #[error("row {row} of the chart: advance ratio {value} does not rise")]
    NotRising {
        /// Which row.
        row: usize,
        /// The ratio.
        value: f64,
    },
    /// A coefficient that is not finite.
    #[error("row {row} of the chart holds a coefficient that is not finite")]
    NotFinite {
        /// Which row.
        row: usize,
    },
    /// More power out than in.
    #[error("row {row} of the chart: at advance ratio {advance} more power comes out than goes in")]
    Gain {
        /// Which row.
        row: usize,
        /// The ratio.
        advance: f64,
    },
}

impl ChartError {
    /// What to do about it.
    #[must_use]
    pub const fn hint(&self) -> &'static str {
        match self {
            Self::Empty => "give at least one blade angle",
            Self::BladeAngles { .. } => "sort the rows by blade angle and give each angle once",
            Self::Lengths { .. } => "give as many of each, at least two",
            Self::NotRising { .. } => "sort advance ratios from nil up and give each once",
            Self::NotFinite { .. } => "give a number",
            Self::Gain { .. } => {
                "CT times J may not exceed CP where CT is positive: check the figures"
            }
        }
    }
}

fn check(rows: &[ChartRow]) -> Result<(), ChartError> {
    if rows.is_empty() {
        return Err(ChartError::Empty);
    }
    let mut before = f64::NEG_INFINITY;
    for (index, row) in rows.iter().enumerate() {
        let number = index + 1;
        if !(row.angle_rad > before && row.angle_rad.is_finite()) {
            return Err(ChartError::BladeAngles { row: number });
        }
        before = row.angle_rad;
        check_row(row, number)?;
    }
    Ok(())
}

fn check_row(chart: &ChartRow, row: usize) -> Result<(), ChartError> {
    let (advance, thrust, power) = (chart.advance.len(), chart.thrust.len(), chart.power.len());
    if advance < 2 || thrust != advance || power != advance {
        return Err(ChartError::Lengths { row, advance, thrust, power });
    }
    let mut before = -f64::MIN_POSITIVE;
    for &value in &chart.advance {
        if !(value > before && value.is_finite()) {
            return Err(ChartError::NotRising { row, value });
        }
        before = value;
    }
    if chart.thrust.iter().chain(&chart.power).any(|value| !value.is_finite()) {
        return Err(ChartError::NotFinite { row });
    }
    let points = chart.advance.iter().zip(chart.thrust.iter().zip(&chart.power));
    let gains = |thrust: f64, power: f64, advance: f64| thrust > 0.0 && thrust * advance > power;
    for (&advance, (&thrust, &power)) in points {
        if gains(thrust, power, advance) {
            return Err(ChartError::Gain { row, advance });
        }
    }
    Ok(())
}

/// Where between the rows an advance ratio lies.
#[derive(Debug, Clone, Copy)]
pub struct Place {
    row: usize,
    /// Within the interval, nil to one.
    share: f64,
    stretch: f64,
}

impl Chart {
    /// Computed from blade elements for blade angles between two stops (equal for a fixed pitch), rad.
    #[must_use]
    pub fn of_blades(blades: &BladeElements, angle_least_rad: f64, angle_most_rad: f64) -> Self {
        let rotor = blades.rotor();
        Self::fill(angle_least_rad, angle_most_rad, |advance, angle_rad| {
            rotor.coefficients(advance, angle_rad)
        })
    }
    /// Read off a published chart for blade angles between two stops, rad. Below the first advance ratio of a row its
    /// coefficients are held, beyond the last they go on in a straight line (into windmilling and braking); blade angles
    /// outside the chart are held at its ends.
    ///
    /// # Errors
    /// No rows, axes that do not rise, columns of unequal length, figures that are not finite, more power out than in.
    pub fn of_rows(
        rows: &[ChartRow],
        angle_least_rad: f64,
        angle_most_rad: f64,
    ) -> Result<Self, ChartError> {
        check(rows)?;
        let angles: Vec<f64> = rows.iter().map(|row| row.angle_rad).collect();
        Ok(Self::fill(angle_least_rad, angle_most_rad, |advance, angle_rad| {
            let held = angle_rad.clamp(angles[0], angles[angles.len() - 1]);
            let column = |pick: fn(&ChartRow) -> &[f64]| {
                let at =
                    |row: &ChartRow| linear(&row.advance, pick(row), advance.max(row.advance[0]));
                linear(&angles, &rows.iter().map(at).collect::<Vec<f64>>(), held)
            };
            Coefficients { thrust: column(|row| &row.thrust), power: column(|row| &row.power) }
        }))
    }
    fn fill(
        angle_least_rad: f64,
        angle_most_rad: f64,
        coefficients: impl Fn(f64, f64) -> Coefficients,
    ) -> Self {
        let degrees = (angle_most_rad - angle_least_rad) / base::factors::RAD_PER_DEG;
        let steps = if degrees > 0.0 { (degrees / 1.5).ceil().max(1.0) as usize } else { 0 };
        let angle_step_rad =
            if steps > 0 { (angle_most_rad - angle_least_rad) / steps as f64 } else { 0.0 };
        let column = |k: usize| {
            let angle_rad = angle_least_rad + angle_step_rad * k as f64;
            let at = |i: usize| coefficients(ADVANCE_STEP * i as f64, angle_rad);
            let mut rows: Vec<Coefficients> = (0..ROWS - 1).map(at).collect();
            // One row before standstill, so that the cubic has its four: continued straight.
            let (first, second) = (rows[0], rows[1]);
            let before = Coefficients {
                thrust: 2.0 * first.thrust - second.thrust,
                power: 2.0 * first.power - second.power,
            };
            rows.insert(0, before);
            let powers = |four: &[Coefficients], figure: fn(&Coefficients) -> f64| {
                cubic_powers(std::array::from_fn(|i| figure(&four[i])))
            };
            let interval = |four: &[Coefficients]| {
                let (thrust, power) = (powers(four, |c| c.thrust), powers(four, |c| c.power));
                std::array::from_fn(|i| [thrust[i], power[i]])
            };
            rows.windows(4).map(interval).collect()
        };
        Self { angle_least_rad, angle_step_rad, columns: (0..=steps).map(column).collect() }
    }
    /// Greatest blade angle, rad.
    #[must_use]
    pub fn angle_most_rad(&self) -> f64 {
        self.angle_least_rad + self.angle_step_rad * (self.columns.len() - 1) as f64
    }
    /// Place of an advance ratio, nil or more.
    #[must_use]
    #[inline]
    pub fn place(&self, advance: f64) -> Place {
        if advance > ADVANCE_MAX {
            let stretch = advance / ADVANCE_MAX;
            return Place { row: ROWS - 4, share: 1.0, stretch: stretch * stretch };
        }
        let (row, share) = CELLS.at(advance * (1.0 / ADVANCE_STEP));
        Place { row, share, stretch: 1.0 }
    }
    #[inline]
    fn column(&self, index: usize, place: &Place) -> Coefficients {
        let (s, [p0, p1, p2, p3]) = (place.share, &self.columns[index][place.row]);
        let figure = |j: usize| (p0[j] + s * (p1[j] + s * (p2[j] + s * p3[j]))) * place.stretch;
        Coefficients { thrust: figure(0), power: figure(1) }
    }
    /// Coefficients at a blade angle, rad, held between the stops.
    #[must_use]
    #[inline(always)]
    pub fn at_angle(&self, place: &Place, angle_rad: f64) -> Coefficients {
        if self.columns.len() == 1 {
            return self.column(0, place);
        }
        let last = self.columns.len() - 1;
        let share =
            ((angle_rad - self.angle_least_rad) / self.angle_step_rad).clamp(0.0, last as f64);
        let index = (share as usize).min(last - 1);
        let (low, high) = (self.column(index, place), self.column(index + 1, place));
        let part = share - index as f64;
        Coefficients {
            thrust: low.thrust + part * (high.thrust - low.thrust),
            power: low.power + part * (high.power - low.power),
        }
    }
    /// Blade angle, rad, and coefficients at which the propeller takes up a power coefficient: at a stop when none does.
    ///
    /// The power is taken to grow with the blade angle, which it does between any usual stops; the search is by halving.
    #[must_use]
    pub fn at_power(&self, place: &Place, power: f64) -> (f64, Coefficients) {
        let last = self.columns.len() - 1;
        let (mut low, mut high) = (0, last);
        let (mut below, mut above) = (self.column(low, place), self.column(high, place));
        if last == 0 || power <= below.power {
            return (self.angle_least_rad, below);
        }
        if power >= above.power {
            return (self.angle_most_rad(), above);
        }
        while high - low > 1 {
            let middle = usize::midpoint(low, high);
            let found = self.column(middle, place);
            if found.power <= power {
                (low, below) = (middle, found);
            } else {
                (high, above) = (middle, found);
            }
        }
        let part = (power - below.power) / (above.power - below.power);
        let angle_rad = self.angle_least_rad + self.angle_step_rad * (low as f64 + part);
        let thrust = below.thrust + part * (above.thrust - below.thrust);
        (angle_rad, Coefficients { thrust, power })
    }
}

#[cfg(test)]
mod tests {
    use super::{BladeElements, Chart};
    use base::factors::RAD_PER_DEG;

    #[test]
    fn the_chart_reads_what_the_blades_gave() {
        let blades = BladeElements::usual(2.0, 0.06, 0.6);
        let chart = Chart::of_blades(&blades, 15.0 * RAD_PER_DEG, 35.0 * RAD_PER_DEG);
        for (advance, degrees) in [(0.0, 15.0), (0.33, 20.0), (0.71, 25.5), (1.2, 35.0)] {
            let direct = blades.coefficients(advance, degrees * RAD_PER_DEG);
            let place = chart.place(advance);
            let read = chart.at_angle(&place, degrees * RAD_PER_DEG);
            assert!((read.thrust - direct.thrust).abs() < 2e-3, "{advance} {read:?} {direct:?}");
            assert!((read.power - direct.power).abs() < 2e-3, "{advance} {read:?} {direct:?}");
            let (angle_rad, same) = chart.at_power(&place, read.power);
            assert!((angle_rad / RAD_PER_DEG - degrees).abs() < 1e-6, "{angle_rad}");
            assert!((same.thrust - read.thrust).abs() < 1e-9);
        }
    }

    #[test]
    fn beyond_the_chart_forces_follow_the_airspeed() {
        let blades = BladeElements::usual(2.0, 0.06, 0.6);
        let chart = Chart::of_blades(&blades, 0.35, 0.35);
        let at = |advance: f64| chart.at_angle(&chart.place(advance), 0.35).thrust;
        assert!((at(6.0) / at(3.0) - 4.0).abs() < 1e-12);
    }
}
