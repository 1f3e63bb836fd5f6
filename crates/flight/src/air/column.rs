//! The air over a range of heights, tabulated once and fast to read in every step.

use base::numerics::interpolation::{Cells, cubic_powers};

use super::{Air, Day, GAS_CONSTANT_JPKGK, HEAT_RATIO};
use base::kinds::GeometricHeight;
use base::units::{Pressure, Temperature};

const STEP_M: f64 = 100.0;

/// State of the air at one height.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AirState {
    /// Density, kg/m3.
    pub density_kgpm3: f64,
    /// Static pressure, Pa.
    pub pressure_pa: f64,
    /// Speed of sound, m/s.
    pub sound_mps: f64,
}

impl AirState {
    /// Static temperature, K, from the speed of sound.
    #[must_use]
    pub fn temperature_k(&self) -> f64 {
        self.sound_mps * self.sound_mps / (HEAT_RATIO * GAS_CONSTANT_JPKGK)
    }
}

impl From<Air> for AirState {
    fn from(air: Air) -> Self {
        Self {
            density_kgpm3: air.density.to_kgpm3(),
            pressure_pa: air.pressure.to_pa(),
            sound_mps: air.speed_of_sound().to_mps(),
        }
    }
}

/// A column of air: cubics through values every 100 m, good to about 1e-9 where the air itself is smooth.
#[derive(Debug, Clone, PartialEq)]
pub struct AirColumn {
    bottom_m: f64,
    cells: Cells,
    /// Powers of each interval, each for density, pressure and speed of sound.
    intervals: Vec<[[f64; 3]; 4]>,
}

impl AirColumn {
    /// From any atmosphere, as a function of height above mean sea level, m; at least one step of range is kept.
    pub fn tabulate(bottom_m: f64, top_m: f64, air: impl Fn(f64) -> AirState) -> Self {
        let count = ((top_m - bottom_m) / STEP_M).ceil().max(1.0) as usize + 3;
        let rows: Vec<AirState> =
            (0..count).map(|i| air(bottom_m + STEP_M * (i as f64 - 1.0))).collect();
        Self::through(bottom_m, &rows)
    }
    fn through(bottom_m: f64, rows: &[AirState]) -> Self {
        let powers = |four: &[AirState], figure: fn(&AirState) -> f64| {
            cubic_powers(std::array::from_fn(|i| figure(&four[i])))
        };
        let interval = |four: &[AirState]| {
            let density = powers(four, |air| air.density_kgpm3);
            let pressure = powers(four, |air| air.pressure_pa);
            let sound = powers(four, |air| air.sound_mps);
            std::array::from_fn(|i| [density[i], pressure[i], sound[i]])
        };
        let intervals: Vec<_> = rows.windows(4).map(interval).collect();
        Self { bottom_m, cells: Cells::new(intervals.len()), intervals }
    }
    /// The day's air.
    #[must_use]
    pub fn of_day(day: &Day, bottom_m: f64, top_m: f64) -> Self {
        let column = day.column();
        Self::tabulate(bottom_m, top_m, |height_m| {
            column.air_at(GeometricHeight::from_m(height_m)).into()
        })
    }
    /// The same air at every height.
    #[must_use]
    pub fn uniform(pressure_pa: f64, temperature_k: f64) -> Self {
        let air = Air::new(Pressure::from_pa(pressure_pa), Temperature::from_k(temperature_k));
        Self::through(0.0, &[air.into(); 4])
    }
    /// Lowest and highest height of the table, m.
    #[must_use]
    pub fn range_m(&self) -> (f64, f64) {
        (self.bottom_m, self.bottom_m + STEP_M * self.intervals.len() as f64)
    }
    /// Whether a height, m, lies in the table; always, when the air is the same everywhere.
    #[must_use]
    pub fn covers(&self, height_m: f64) -> bool {
        let (bottom_m, top_m) = self.range_m();
        self.intervals.len() == 1 || (bottom_m..=top_m).contains(&height_m)
    }
    /// The air at a height, m; held at the ends of the range.
    #[must_use]
    #[inline]
    pub fn at(&self, height_m: f64) -> AirState {
        let (i, s) = self.cells.at((height_m - self.bottom_m) * (1.0 / STEP_M));
        let [p0, p1, p2, p3] = &self.intervals[i];
        let figure = |j: usize| p0[j] + s * (p1[j] + s * (p2[j] + s * p3[j]));
        AirState { density_kgpm3: figure(0), pressure_pa: figure(1), sound_mps: figure(2) }
    }
}

#[cfg(test)]
mod tests {
    use super::{AirColumn, Day};
    use base::kinds::GeometricHeight;

    #[test]
    fn the_column_is_the_day() {
        let day = Day::standard();
        let column = AirColumn::of_day(&day, -300.0, 10_000.0);
        for i in 0..100 {
            let height_m = -300.0 + 103.0 * f64::from(i);
            let air = day.air_at(GeometricHeight::from_m(height_m));
            let found = column.at(height_m);
            assert!((found.density_kgpm3 / air.density.to_kgpm3() - 1.0).abs() < 2e-9);
            assert!((found.pressure_pa / air.pressure.to_pa() - 1.0).abs() < 2e-9);
            assert!((found.temperature_k() / air.temperature.to_k() - 1.0).abs() < 2e-9);
        }
    }
}
