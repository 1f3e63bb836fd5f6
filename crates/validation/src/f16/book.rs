//! What the book's F-16 has of its own: a table value, the engine's lag, the air, the flat earth. Source: SL-2003.
//!
//! The book's rolling moment by sideslip differs from NASA's in some columns (checks/flight-mechanics-checks.md). Its values
//! are not known here: what is remembered of them is NASA's table, which misses the published derivative test case by 0.2 %
//! in the rolling acceleration (all of it a rolling moment: the yawing acceleration misses by the share of the product of
//! inertia). NASA's is used in its place, and checks with sideslip must say so.

use base::factors::{M_PER_FT, M2_PER_FT2};
use base::math::pow;
use base::numerics::grid::{Grid, Outside};
use flight::air::{AirColumn, AirState};
use flight::earth::{Earth, Gravitation};

use super::tables::{RATES, Tables, TablesError};
use crate::bodies::KG_PER_SLUG;

/// Side force by rolling at 45 degrees of incidence. Source: SL-2003, as quoted in checks/flight-mechanics-checks.md.
const SIDE_FORCE_BY_ROLLING_LAST: f64 = -2.27;

/// Density at sea level, slug/ft3; its fall with height, 1/ft; and the exponent. Source: SL-2003, subroutine ADC.
const DENSITY_SLUGPFT3: f64 = 2.377e-3;
const LAPSE_PER_FT: f64 = 0.703e-5;
const DENSITY_EXPONENT: f64 = 4.14;

/// Puts the book's value into NASA's tables.
pub(super) fn alter(tables: &mut Tables) -> Result<(), TablesError> {
    let index = RATES.iter().position(|name| *name == "cyp").expect("it is in the list");
    let mut values = tables.rates[index].values().to_vec();
    if let Some(last) = values.last_mut() {
        *last = SIDE_FORCE_BY_ROLLING_LAST;
    }
    let alpha = tables.rates[index].axes()[0].knots().to_vec();
    tables.rates[index] = Grid::new([alpha], values, Outside::Continued)
        .map_err(|error| TablesError::Wrong { table: "cyp", error })?;
    Ok(())
}

/// The book's air, up to 50,000 ft.
#[must_use]
pub fn book_air() -> AirColumn {
    AirColumn::tabulate(-1_000.0, 15_000.0, |height_m| {
        let height_ft = height_m / M_PER_FT;
        let factor = 1.0 - LAPSE_PER_FT * height_ft;
        let temperature_r = if height_ft >= 35_000.0 { 390.0 } else { 519.0 * factor };
        let density_slugpft3 = DENSITY_SLUGPFT3 * pow(factor, DENSITY_EXPONENT);
        let pressure_psf = 1715.0 * density_slugpft3 * temperature_r;
        AirState {
            density_kgpm3: density_slugpft3 * KG_PER_SLUG / (M2_PER_FT2 * M_PER_FT),
            pressure_pa: pressure_psf * KG_PER_SLUG / M_PER_FT,
            sound_mps: (1.4 * 1716.3 * temperature_r).sqrt() * M_PER_FT,
        }
    })
}

/// Height, m, of a density of the book's air.
pub(super) fn altitude_m(density_kgpm3: f64) -> f64 {
    let ratio = density_kgpm3 * M2_PER_FT2 * M_PER_FT / KG_PER_SLUG / DENSITY_SLUGPFT3;
    (1.0 - pow(ratio, 1.0 / DENSITY_EXPONENT)) / LAPSE_PER_FT * M_PER_FT
}

/// The book's earth: flat, 32.17 ft/s2.
#[must_use]
pub const fn book_earth() -> Earth {
    Earth { gravitation: Gravitation::Uniform { mps2: 32.17 * M_PER_FT }, ..Earth::FLAT }
}

/// Power, percent, that a throttle of nil to one asks for. Source: SL-2003, function TGEAR (from memory).
#[must_use]
pub fn power_asked(throttle: f64) -> f64 {
    if throttle <= 0.77 { 64.94 * throttle } else { 217.38 * throttle - 117.38 }
}

/// Rate of the power, percent/s. Source: SL-2003, functions PDOT and RTAU (from memory; the derivative test case holds one
/// branch of it).
pub(super) fn power_rate(power_pct: f64, asked_pct: f64) -> f64 {
    let slow = |difference: f64| match difference {
        d if d <= 25.0 => 1.0,
        d if d >= 50.0 => 0.1,
        d => 1.9 - 0.036 * d,
    };
    let (target, per_s) = match (asked_pct >= 50.0, power_pct >= 50.0) {
        (true, true) => (asked_pct, 5.0),
        (true, false) => (60.0, slow(60.0 - power_pct)),
        (false, true) => (40.0, 5.0),
        (false, false) => (asked_pct, slow(asked_pct - power_pct)),
    };
    per_s * (target - power_pct)
}
