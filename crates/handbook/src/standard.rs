//! The standard air in which a flight manual is written.

use base::kinds::{CalibratedAirspeed, PressureAltitude};
use flight::air::Air;
use flight::airspeed::{calibrated_from_true, true_from_calibrated};

fn air(height_m: f64) -> Air {
    Air::standard(PressureAltitude::from_m(height_m))
}

/// Density, kg/m3, at a pressure altitude, m.
pub(crate) fn density_kgpm3(height_m: f64) -> f64 {
    air(height_m).density.to_kgpm3()
}

/// True airspeed, m/s, of a calibrated one at a pressure altitude, m.
pub(crate) fn true_mps(speed: CalibratedAirspeed, height_m: f64) -> f64 {
    true_from_calibrated(speed, &air(height_m)).to_mps()
}

/// Calibrated airspeed, m/s, of a true one, m/s, at a pressure altitude, m.
pub(crate) fn calibrated_mps(true_mps: f64, height_m: f64) -> f64 {
    let speed = base::kinds::TrueAirspeed::from_mps(true_mps);
    calibrated_from_true(speed, &air(height_m)).to_mps()
}
