//! The standard atmosphere (DOC-7488, equal to US-1976 below 32 km) and the day that differs from it.
//!
//! Kernels work on geopotential height; conversion from geometric height is explicit. A day has its altimeter setting
//! (QNH), its temperature at the field, and keeps one temperature offset from standard at every height.

mod column;
pub mod rules;

use base::factors::STANDARD_GRAVITY_MPS2;
use base::kinds::{DensityAltitude, GeometricHeight, PressureAltitude};
use base::math::{exp, ln, pow};
use base::units::{Density, Pressure, Speed, Temperature};

use crate::wind::Wind;

pub use column::{AirColumn, AirState};

/// Specific gas constant of dry air, J/(kg K). Source: DOC-7488.
pub const GAS_CONSTANT_JPKGK: f64 = 287.052_87;
/// Ratio of specific heats of air.
pub const HEAT_RATIO: f64 = 1.4;
/// Standard sea-level pressure, Pa.
pub const SEA_LEVEL_PRESSURE_PA: f64 = 101_325.0;
/// Standard sea-level temperature, K.
pub const SEA_LEVEL_TEMPERATURE_K: f64 = 288.15;
/// Standard sea-level density, kg/m3.
pub const SEA_LEVEL_DENSITY_KGPM3: f64 =
    SEA_LEVEL_PRESSURE_PA / (GAS_CONSTANT_JPKGK * SEA_LEVEL_TEMPERATURE_K);
/// Temperature lapse in the troposphere, K/m of geopotential height.
pub const LAPSE_KPM: f64 = 0.0065;
/// Nominal earth radius of the geopotential, m. Source: DOC-7488 and US-1976.
pub const GEOPOTENTIAL_RADIUS_M: f64 = 6_356_766.0;
const TROPOPAUSE_M: f64 = 11_000.0;
const TROPOPAUSE_TEMPERATURE_K: f64 = SEA_LEVEL_TEMPERATURE_K - LAPSE_KPM * TROPOPAUSE_M;
const PRESSURE_EXPONENT: f64 = STANDARD_GRAVITY_MPS2 / (GAS_CONSTANT_JPKGK * LAPSE_KPM);

/// Standard temperature, K, at a geopotential height, m. Range: below 20 km (held constant from 11 km).
#[must_use]
pub fn standard_temperature_k(geopotential_m: f64) -> f64 {
    if geopotential_m < TROPOPAUSE_M {
        SEA_LEVEL_TEMPERATURE_K - LAPSE_KPM * geopotential_m
    } else {
        TROPOPAUSE_TEMPERATURE_K
    }
}

/// Standard pressure, Pa, at a geopotential height, m. Range: -5 km to 20 km.
#[must_use]
pub fn standard_pressure_pa(geopotential_m: f64) -> f64 {
    if geopotential_m < TROPOPAUSE_M {
        SEA_LEVEL_PRESSURE_PA
            * pow(
                standard_temperature_k(geopotential_m) / SEA_LEVEL_TEMPERATURE_K,
                PRESSURE_EXPONENT,
            )
    } else {
        standard_pressure_pa(TROPOPAUSE_M - 1e-9)
            * exp(-STANDARD_GRAVITY_MPS2 * (geopotential_m - TROPOPAUSE_M)
                / (GAS_CONSTANT_JPKGK * TROPOPAUSE_TEMPERATURE_K))
    }
}

/// Geopotential height, m, at which the standard atmosphere has this pressure, Pa: the pressure altitude.
#[must_use]
pub fn pressure_altitude_m(pressure_pa: f64) -> f64 {
    let tropopause_pa = standard_pressure_pa(TROPOPAUSE_M);
    if pressure_pa > tropopause_pa {
        (1.0 - pow(pressure_pa / SEA_LEVEL_PRESSURE_PA, 1.0 / PRESSURE_EXPONENT))
            * SEA_LEVEL_TEMPERATURE_K
            / LAPSE_KPM
    } else {
        TROPOPAUSE_M
            + ln(tropopause_pa / pressure_pa) * GAS_CONSTANT_JPKGK * TROPOPAUSE_TEMPERATURE_K
                / STANDARD_GRAVITY_MPS2
    }
}

/// Geopotential height, m, at which the standard atmosphere has this density, kg/m3 (troposphere): density altitude.
#[must_use]
pub fn density_altitude_m(density_kgpm3: f64) -> f64 {
    let ratio = density_kgpm3 / SEA_LEVEL_DENSITY_KGPM3;
    (1.0 - pow(ratio, 1.0 / (PRESSURE_EXPONENT - 1.0))) * SEA_LEVEL_TEMPERATURE_K / LAPSE_KPM
}

/// Geopotential height, m, of a geometric height, m.
#[must_use]
pub fn geopotential_m(geometric_m: f64) -> f64 {
    GEOPOTENTIAL_RADIUS_M * geometric_m / (GEOPOTENTIAL_RADIUS_M + geometric_m)
}

/// Geometric height, m, of a geopotential height, m.
#[must_use]
pub fn geometric_m(geopotential_m: f64) -> f64 {
    GEOPOTENTIAL_RADIUS_M * geopotential_m / (GEOPOTENTIAL_RADIUS_M - geopotential_m)
}

/// The air at one place and moment.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Air {
    /// Static pressure.
    pub pressure: Pressure,
    /// Static temperature.
    pub temperature: Temperature,
    /// Density (dry air).
    pub density: Density,
}

impl Air {
    /// From pressure and temperature by the gas law.
    #[must_use]
    pub fn new(pressure: Pressure, temperature: Temperature) -> Self {
        let density =
            Density::from_kgpm3(pressure.to_pa() / (GAS_CONSTANT_JPKGK * temperature.to_k()));
        Self { pressure, temperature, density }
    }
    /// The standard atmosphere at a pressure altitude.
    #[must_use]
    pub fn standard(altitude: PressureAltitude) -> Self {
        Self::new(
            Pressure::from_pa(standard_pressure_pa(altitude.to_m())),
            Temperature::from_k(standard_temperature_k(altitude.to_m())),
        )
    }
    /// Speed of sound.
    #[must_use]
    pub fn speed_of_sound(&self) -> Speed {
        Speed::from_mps((HEAT_RATIO * GAS_CONSTANT_JPKGK * self.temperature.to_k()).sqrt())
    }
    /// Pressure altitude.
    #[must_use]
    pub fn pressure_altitude(&self) -> PressureAltitude {
        PressureAltitude::from_m(pressure_altitude_m(self.pressure.to_pa()))
    }
    /// Density altitude of dry air.
    #[must_use]
    pub fn density_altitude(&self) -> DensityAltitude {
        DensityAltitude::from_m(density_altitude_m(self.density.to_kgpm3()))
    }
}

/// The day: what the instructor knows from the weather report.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Day {
    /// Elevation of the field at which the temperature was read.
    pub field_elevation: GeometricHeight,
    /// Altimeter setting that makes an altimeter at the field show its elevation.
    pub qnh: Pressure,
    /// Outside air temperature at the field.
    pub temperature_at_field: Temperature,
    /// Wind, the same at every height.
    pub wind: Wind,
}

impl Day {
    /// Standard air, calm, field at sea level.
    #[must_use]
    pub fn standard() -> Self {
        Self {
            field_elevation: GeometricHeight::from_m(0.0),
            qnh: Pressure::from_pa(SEA_LEVEL_PRESSURE_PA),
            temperature_at_field: Temperature::from_k(SEA_LEVEL_TEMPERATURE_K),
            wind: Wind::CALM,
        }
    }
    /// Kelvin above (positive) or below the standard temperature, the same at every height.
    #[must_use]
    pub fn temperature_offset_k(&self) -> f64 {
        self.temperature_at_field.to_k() - standard_temperature_k(self.field_pressure_altitude_m())
    }
    fn field_pressure_altitude_m(&self) -> f64 {
        geopotential_m(self.field_elevation.to_m()) + pressure_altitude_m(self.qnh.to_pa())
    }
    /// The day's air worked out: for those who ask at many heights.
    #[must_use]
    pub fn column(&self) -> DayColumn {
        let field_pressure_altitude_m = self.field_pressure_altitude_m();
        DayColumn {
            offset_k: self.temperature_offset_k(),
            field_pressure_altitude_m,
            field_standard_k: standard_temperature_k(field_pressure_altitude_m),
            field_m: geopotential_m(self.field_elevation.to_m()),
        }
    }
    /// The air at a height above mean sea level. Range: -500 m to 11 km. See [`DayColumn::air_at`].
    #[must_use]
    pub fn air_at(&self, height: GeometricHeight) -> Air {
        self.column().air_at(height)
    }
}

/// The air of a day over height: what does not change from height to height is worked out once.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DayColumn {
    offset_k: f64,
    field_pressure_altitude_m: f64,
    field_standard_k: f64,
    /// Geopotential height of the field.
    field_m: f64,
}

/// A pressure altitude that moves by less than this is found, m: the next step would be its square.
const FOUND_M: f64 = 1e-6;

impl DayColumn {
    /// The air at a height above mean sea level. Range: -500 m to 11 km.
    ///
    /// Hydrostatic with the day's temperature offset: `H - H0 = (PA - PA0) + dT / L * ln(T(PA0) / T(PA))`, solved for
    /// the pressure altitude by Newton's rule (own derivation from dp/p in both atmospheres).
    #[must_use]
    pub fn air_at(&self, height: GeometricHeight) -> Air {
        let Self { offset_k, field_pressure_altitude_m: field_pa_m, .. } = *self;
        let rise_m = geopotential_m(height.to_m()) - self.field_m;
        let mut altitude_m = field_pa_m + rise_m;
        // In standard air that is it.
        for _ in 0..if offset_k == 0.0 { 0 } else { 4 } {
            let standard_k = standard_temperature_k(altitude_m);
            let miss_m = (altitude_m - field_pa_m)
                + offset_k / LAPSE_KPM * ln(self.field_standard_k / standard_k)
                - rise_m;
            let step_m = miss_m / (1.0 + offset_k / standard_k);
            altitude_m -= step_m;
            if step_m.abs() < FOUND_M {
                break;
            }
        }
        Air::new(
            Pressure::from_pa(standard_pressure_pa(altitude_m)),
            Temperature::from_k(standard_temperature_k(altitude_m) + offset_k),
        )
    }
}
