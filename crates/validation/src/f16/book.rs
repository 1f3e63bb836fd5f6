//! What the book's F-16 has of its own: some table values, the engine's lag, the air, the flat earth. Source: SL-2003.
//!
//! The values of the tables are the book's as public copies of it quote them; the derivative test case proves those around
//! its point, three of the rolling moments and the one by rudder together (rolling and yawing acceleration).

use base::factors::{M_PER_FT, M2_PER_FT2};
use base::math::pow;
use base::numerics::grid::{Grid, Outside};
use flight::air::{AirColumn, AirState};
use flight::earth::{Earth, Gravitation};

use super::tables::{MOMENTS, RATES, Tables, TablesError};
use crate::bodies::KG_PER_SLUG;

/// Side force by rolling at 45 degrees of incidence. Source: SL-2003, as quoted in checks/flight-mechanics-checks.md.
const SIDE_FORCE_BY_ROLLING_LAST: f64 = -2.27;

/// Rolling moment at 15, 20 and 25 degrees of incidence, for sideslips of 5 to 30 degrees in steps of 5; the rest of the
/// table is NASA's. Source: SL-2003, function CL, as quoted in public copies.
const ROLLING_MOMENT: [[f64; 3]; 6] = [
    [-0.019, -0.020, -0.020],
    [-0.034, -0.040, -0.037],
    [-0.044, -0.050, -0.049],
    [-0.046, -0.059, -0.061],
    [-0.046, -0.068, -0.071],
    [-0.047, -0.074, -0.079],
];
/// Where these columns begin.
const ROLLING_MOMENT_ALPHA: usize = 5;
/// Rolling moment by rudder at 10 degrees of sideslip from the left and 30 degrees of incidence (nil in NASA's table), and
/// its place. Source: SL-2003, function DLDR (from memory).
const BY_RUDDER: (usize, f64) = (2 * 12 + 8, -0.002);

/// Density at sea level, slug/ft3; its fall with height, 1/ft; and the exponent. Source: SL-2003, subroutine ADC.
const DENSITY_SLUGPFT3: f64 = 2.377e-3;
const LAPSE_PER_FT: f64 = 0.703e-5;
const DENSITY_EXPONENT: f64 = 4.14;

/// Puts the book's values into NASA's tables.
pub(super) fn alter(tables: &mut Tables) -> Result<(), TablesError> {
    let index = |names: &[&str], name| {
        names.iter().position(|known| *known == name).expect("it is in the list")
    };
    let by_rolling = &mut tables.rates[index(&RATES, "cyp")];
    let last = by_rolling.values().len() - 1;
    *by_rolling = with(by_rolling, "cyp", &[(last, SIDE_FORCE_BY_ROLLING_LAST)])?;
    let columns = tables.sideslip[0].axes()[1].knots().len();
    let place = |row: usize, n: usize| (row + 1) * columns + ROLLING_MOMENT_ALPHA + n;
    let rolling: Vec<(usize, f64)> = ROLLING_MOMENT
        .iter()
        .enumerate()
        .flat_map(|(row, values)| (0..3).map(move |n| (place(row, n), values[n])))
        .collect();
    tables.sideslip[0] = with(&tables.sideslip[0], "absCl0", &rolling)?;
    let by_rudder = &mut tables.moments[index(&MOMENTS, "dcldr")];
    *by_rudder = with(by_rudder, "dcldr", &[BY_RUDDER])?;
    Ok(())
}

/// The table with some values replaced, by index.
fn with<const N: usize>(
    grid: &Grid<N>,
    table: &'static str,
    replaced: &[(usize, f64)],
) -> Result<Grid<N>, TablesError> {
    let mut values = grid.values().to_vec();
    for &(index, value) in replaced {
        if let Some(place) = values.get_mut(index) {
            *place = value;
        }
    }
    let knots = std::array::from_fn(|n| grid.axes()[n].knots().to_vec());
    Grid::new(knots, values, Outside::Continued)
        .map_err(|error| TablesError::Wrong { table, error })
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
