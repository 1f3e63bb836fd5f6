//! The rules of thumb of the handbooks beside the exact altitudes: what a student works out on paper, and how far off it is.

use base::kinds::{DensityAltitude, GeometricHeight, PressureAltitude};
use base::units::{Length, Pressure, Temperature};

use super::{Day, SEA_LEVEL_PRESSURE_PA, SEA_LEVEL_TEMPERATURE_K};

/// Feet of pressure altitude for each hPa of altimeter setting below standard (common practice, no source).
const FT_PER_HPA: f64 = 30.0;
/// Feet for each inch of mercury. Source: PHAK chapter 4.
const FT_PER_INHG: f64 = 1000.0;
/// Degrees Celsius the standard air cools in a thousand feet. Source: PHAK chapter 4.
const C_PER_1000_FT: f64 = 2.0;
/// Feet of density altitude for each degree Celsius above standard (common practice, no source).
const FT_PER_C: f64 = 120.0;

/// Pressure altitude and density altitude of one place and moment.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Altitudes {
    /// Pressure altitude.
    pub pressure: PressureAltitude,
    /// Density altitude of dry air.
    pub density: DensityAltitude,
}

/// Exact altitudes, and those by the rules of thumb.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SideBySide {
    /// From the standard atmosphere and the gas law.
    pub exact: Altitudes,
    /// 30 ft a hPa, 2 C a thousand feet, 120 ft a degree.
    pub by_rule: Altitudes,
}

impl SideBySide {
    /// By how much the rule tells too high a density altitude.
    #[must_use]
    pub fn density_miss(&self) -> Length {
        Length::from_m(self.by_rule.density.to_m() - self.exact.density.to_m())
    }
}

/// Pressure altitude by 30 ft for each hPa.
#[must_use]
pub fn pressure_altitude_by_hpa(elevation: GeometricHeight, qnh: Pressure) -> PressureAltitude {
    let below = Pressure::from_pa(SEA_LEVEL_PRESSURE_PA) - qnh;
    PressureAltitude::from_ft(elevation.to_ft() + FT_PER_HPA * below.to_hpa())
}

/// Pressure altitude by 1,000 ft for each inch of mercury.
#[must_use]
pub fn pressure_altitude_by_inhg(elevation: GeometricHeight, qnh: Pressure) -> PressureAltitude {
    let below = Pressure::from_pa(SEA_LEVEL_PRESSURE_PA) - qnh;
    PressureAltitude::from_ft(elevation.to_ft() + FT_PER_INHG * below.to_inhg())
}

/// Standard pressure by an inch of mercury for each 1,000 ft.
#[must_use]
pub fn standard_pressure_by_rule(altitude: PressureAltitude) -> Pressure {
    Pressure::from_pa(SEA_LEVEL_PRESSURE_PA) - Pressure::from_inhg(altitude.to_ft() / FT_PER_INHG)
}

/// Standard temperature by 2 C for each 1,000 ft.
#[must_use]
pub fn standard_temperature_by_rule(altitude: PressureAltitude) -> Temperature {
    let cooler_c = C_PER_1000_FT * altitude.to_ft() / 1000.0;
    Temperature::from_k(SEA_LEVEL_TEMPERATURE_K - cooler_c)
}

/// Density altitude by 120 ft for each degree above a standard temperature, the exact one or that of
/// [`standard_temperature_by_rule`].
#[must_use]
pub fn density_altitude_by_rule(
    altitude: PressureAltitude,
    temperature: Temperature,
    standard: Temperature,
) -> DensityAltitude {
    let warmer_c = temperature.to_k() - standard.to_k();
    DensityAltitude::from_ft(altitude.to_ft() + FT_PER_C * warmer_c)
}

impl Day {
    /// Altitudes of the field, exact and by the rules of thumb.
    #[must_use]
    pub fn altitudes_of_field(&self) -> SideBySide {
        let air = self.air_at(self.field_elevation);
        let exact =
            Altitudes { pressure: air.pressure_altitude(), density: air.density_altitude() };
        let pressure = pressure_altitude_by_hpa(self.field_elevation, self.qnh);
        let standard = standard_temperature_by_rule(pressure);
        let density = density_altitude_by_rule(pressure, self.temperature_at_field, standard);
        SideBySide { exact, by_rule: Altitudes { pressure, density } }
    }
}
