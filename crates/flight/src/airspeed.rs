//! Exact compressible airspeed conversion, subsonic (Saint-Venant). Range: Mach below 1.
//!
//! Source: constants of DOC-7488; isentropic pitot relation, any text on air data.

use base::kinds::{CalibratedAirspeed, EquivalentAirspeed, TrueAirspeed};
use base::math::pow;

use crate::air::{Air, HEAT_RATIO, SEA_LEVEL_DENSITY_KGPM3, SEA_LEVEL_PRESSURE_PA};

const GAMMA_TERM: f64 = (HEAT_RATIO - 1.0) / 2.0;
const EXPONENT: f64 = HEAT_RATIO / (HEAT_RATIO - 1.0);

/// Impact pressure, Pa, of a Mach number in air of this static pressure, Pa.
#[must_use]
pub fn impact_pressure_pa(mach: f64, static_pressure_pa: f64) -> f64 {
    static_pressure_pa * (pow(1.0 + GAMMA_TERM * mach * mach, EXPONENT) - 1.0)
}

/// Mach number of an impact pressure, Pa, in air of this static pressure, Pa.
#[must_use]
pub fn mach_of_impact_pressure(impact_pressure_pa: f64, static_pressure_pa: f64) -> f64 {
    ((pow(impact_pressure_pa / static_pressure_pa + 1.0, 1.0 / EXPONENT) - 1.0) / GAMMA_TERM)
        .max(0.0)
        .sqrt()
}

fn sea_level_sound_mps() -> f64 {
    (HEAT_RATIO * SEA_LEVEL_PRESSURE_PA / SEA_LEVEL_DENSITY_KGPM3).sqrt()
}

/// Mach number of a true airspeed.
#[must_use]
pub fn mach(speed: TrueAirspeed, air: &Air) -> f64 {
    speed.to_mps() / air.speed_of_sound().to_mps()
}

/// Calibrated airspeed of a true airspeed in this air.
#[must_use]
pub fn calibrated_from_true(speed: TrueAirspeed, air: &Air) -> CalibratedAirspeed {
    let impact_pa = impact_pressure_pa(mach(speed, air), air.pressure.to_pa());
    CalibratedAirspeed::from_mps(
        sea_level_sound_mps() * mach_of_impact_pressure(impact_pa, SEA_LEVEL_PRESSURE_PA),
    )
}

/// True airspeed of a calibrated airspeed in this air.
#[must_use]
pub fn true_from_calibrated(speed: CalibratedAirspeed, air: &Air) -> TrueAirspeed {
    let impact_pa =
        impact_pressure_pa(speed.to_mps() / sea_level_sound_mps(), SEA_LEVEL_PRESSURE_PA);
    let mach = mach_of_impact_pressure(impact_pa, air.pressure.to_pa());
    TrueAirspeed::from_mps(mach * air.speed_of_sound().to_mps())
}

/// Equivalent airspeed of a true airspeed in this air.
#[must_use]
pub fn equivalent_from_true(speed: TrueAirspeed, air: &Air) -> EquivalentAirspeed {
    EquivalentAirspeed::from_mps(
        speed.to_mps() * (air.density.to_kgpm3() / SEA_LEVEL_DENSITY_KGPM3).sqrt(),
    )
}

/// True airspeed of an equivalent airspeed in this air.
#[must_use]
pub fn true_from_equivalent(speed: EquivalentAirspeed, air: &Air) -> TrueAirspeed {
    TrueAirspeed::from_mps(
        speed.to_mps() / (air.density.to_kgpm3() / SEA_LEVEL_DENSITY_KGPM3).sqrt(),
    )
}
