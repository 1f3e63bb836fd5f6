//! Position error of the airspeed system: what was indicated beside what satellite fixes and the wind of the turns say.

use base::factors::MPS_PER_KT;
use base::kinds::{CalibratedAirspeed, IndicatedAirspeed};
use base::math::hypot;
use base::numerics::statistics::{median, robust_sigma};
use flight::airplane::PositionErrorRow;

/// What was indicated and what was flown at one second, m/s.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pair {
    /// Shown by the recorder.
    pub indicated_mps: f64,
    /// Calibrated airspeed found without it.
    pub calibrated_mps: f64,
}

/// Indicated and calibrated airspeed of one band of speeds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Row {
    /// Middle of what was indicated, m/s.
    pub indicated_mps: f64,
    /// Calibrated less indicated, m/s.
    pub error_mps: f64,
    /// One standard deviation of it.
    pub sigma_mps: f64,
    /// Seconds it rests on.
    pub seconds: usize,
}

/// Width of a band of speeds.
const BAND_MPS: f64 = 10.0 * MPS_PER_KT;
/// Seconds that a band must rest on.
const SECONDS_LEAST: usize = 20;
/// Errors of speeds found from fixes hang together for so long, s.
const MEMORY_S: f64 = 15.0;

/// The position error in bands of ten knots, doubt of the wind counted in.
#[must_use]
pub fn rows(pairs: &[Pair], wind_sigma_mps: f64) -> Vec<Row> {
    let band = |pair: &Pair| (pair.indicated_mps / BAND_MPS).floor() as usize;
    let most = pairs.iter().map(band).max().unwrap_or(0);
    let one = |number: usize| {
        let inside: Vec<&Pair> = pairs.iter().filter(|pair| band(pair) == number).collect();
        if inside.len() < SECONDS_LEAST {
            return None;
        }
        let errors: Vec<f64> =
            inside.iter().map(|pair| pair.calibrated_mps - pair.indicated_mps).collect();
        let shown: Vec<f64> = inside.iter().map(|pair| pair.indicated_mps).collect();
        let independent = (inside.len() as f64 / MEMORY_S).max(1.0);
        let noise = robust_sigma(&errors)? / independent.sqrt();
        Some(Row {
            indicated_mps: median(&shown)?,
            error_mps: median(&errors)?,
            // Turning all round takes away most of a wrong wind; half of it is left standing.
            sigma_mps: hypot(noise, 0.5 * wind_sigma_mps),
            seconds: inside.len(),
        })
    };
    (0..=most).filter_map(one).collect()
}

/// Whether the rows say that the indicator is off by more than their doubt.
#[must_use]
pub fn is_off(rows: &[Row]) -> bool {
    rows.iter().any(|row| row.error_mps.abs() > 2.0 * row.sigma_mps.max(MPS_PER_KT))
}

/// The rows as a table of an airplane file; empty when there are not two that rise.
#[must_use]
pub fn table(rows: &[Row]) -> Vec<PositionErrorRow> {
    let one = |row: &Row| PositionErrorRow {
        indicated: IndicatedAirspeed::from_mps(row.indicated_mps),
        calibrated: CalibratedAirspeed::from_mps((row.indicated_mps + row.error_mps).max(1.0)),
    };
    let table: Vec<PositionErrorRow> = rows.iter().map(one).collect();
    let rising = table.windows(2).all(|pair| pair[0].calibrated < pair[1].calibrated);
    if table.len() > 1 && rising { table } else { Vec::new() }
}
