//! Lengths and intensities of turbulence by height above ground and severity.

use base::factors::{M_PER_FT, MPS_PER_KT};
use base::math::pow;
use base::numerics::interpolation::linear;

use super::{Spectrum, TurbulenceError};

/// How rough the air is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Severity {
    /// 15 kt of wind at 20 ft; exceeded with a chance of one in a hundred aloft.
    Light,
    /// 30 kt; one in a thousand.
    Moderate,
    /// 45 kt; one in a hundred thousand.
    Severe,
}

/// Lengths, m, and standard deviations, m/s, of the components along, right, down.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Scales {
    /// Lengths, as MIL-F-8785C counts them.
    pub lengths_m: [f64; 3],
    /// Standard deviations.
    pub intensities_mps: [f64; 3],
}

/// Heights of the figure of intensities aloft, ft. Source: MIL-F-8785C, figure 7 (read values as commonly tabulated).
const HEIGHTS_FT: [f64; 12] = [
    500.0, 1750.0, 3750.0, 7500.0, 15_000.0, 25_000.0, 35_000.0, 45_000.0, 55_000.0, 65_000.0,
    75_000.0, 80_000.0,
];
/// Exceeded with 1e-2, ft/s.
const LIGHT_FTPS: [f64; 12] = [6.6, 6.9, 7.4, 6.7, 4.6, 2.7, 0.4, 0.0, 0.0, 0.0, 0.0, 0.0];
/// Exceeded with 1e-3, ft/s.
const MODERATE_FTPS: [f64; 12] = [8.6, 9.6, 10.6, 10.1, 8.0, 6.6, 5.0, 4.2, 2.7, 0.0, 0.0, 0.0];
/// Exceeded with 1e-5, ft/s.
const SEVERE_FTPS: [f64; 12] =
    [15.6, 17.6, 23.0, 23.6, 22.1, 20.0, 16.0, 15.1, 12.1, 7.9, 6.2, 5.1];

impl Scales {
    /// The standard's figures at a height above ground, m: the low-altitude model to 1000 ft, the medium and high-altitude
    /// model from 2000 ft, linear in height between. From 10 to 80 000 ft. The figure aloft counts by height above sea
    /// level; over high ground the two differ.
    ///
    /// # Errors
    /// A height outside that range.
    ///
    /// # Source
    /// MIL-F-8785C, 3.7.2 and 3.7.4, figures 7 to 11; joining the models as MIL-HDBK-1797.
    pub fn try_new(
        spectrum: Spectrum,
        severity: Severity,
        height_m: f64,
    ) -> Result<Self, TurbulenceError> {
        const LOW_FT: f64 = 1000.0;
        const HIGH_FT: f64 = 2000.0;
        let height_ft = height_m / M_PER_FT;
        // A hair of room for the rounding of feet to meters.
        if !(10.0 - 1e-6..=80_000.0 + 1e-6).contains(&height_ft) {
            return Err(TurbulenceError::Height { height_m });
        }
        if height_ft <= LOW_FT {
            return Ok(Self::near_ground(severity, height_ft));
        }
        if height_ft >= HIGH_FT {
            return Ok(Self::aloft(spectrum, severity, height_ft));
        }
        let (low, high) =
            (Self::near_ground(severity, LOW_FT), Self::aloft(spectrum, severity, HIGH_FT));
        let share = (height_ft - LOW_FT) / (HIGH_FT - LOW_FT);
        let mix = |a: [f64; 3], b: [f64; 3]| std::array::from_fn(|i| a[i] + share * (b[i] - a[i]));
        Ok(Self {
            lengths_m: mix(low.lengths_m, high.lengths_m),
            intensities_mps: mix(low.intensities_mps, high.intensities_mps),
        })
    }

    fn near_ground(severity: Severity, height_ft: f64) -> Self {
        let wind_20_ft_kt = match severity {
            Severity::Light => 15.0,
            Severity::Moderate => 30.0,
            Severity::Severe => 45.0,
        };
        let roughness = 0.177 + 0.000_823 * height_ft;
        let length_m = height_ft / pow(roughness, 1.2) * M_PER_FT;
        let down_mps = 0.1 * wind_20_ft_kt * MPS_PER_KT;
        let level_mps = down_mps / pow(roughness, 0.4);
        Self {
            lengths_m: [length_m, length_m, height_ft * M_PER_FT],
            intensities_mps: [level_mps, level_mps, down_mps],
        }
    }

    fn aloft(spectrum: Spectrum, severity: Severity, height_ft: f64) -> Self {
        let length_ft = match spectrum {
            Spectrum::Dryden => 1750.0,
            Spectrum::VonKarman => 2500.0,
        };
        let row = match severity {
            Severity::Light => &LIGHT_FTPS,
            Severity::Moderate => &MODERATE_FTPS,
            Severity::Severe => &SEVERE_FTPS,
        };
        let intensity_mps = linear(&HEIGHTS_FT, row, height_ft.min(80_000.0)) * M_PER_FT;
        Self { lengths_m: [length_ft * M_PER_FT; 3], intensities_mps: [intensity_mps; 3] }
    }
}
