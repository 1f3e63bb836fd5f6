//! Level coordinated turns: load, bank, rate, radius. Closed forms; angles below 90 degrees.

use base::factors::STANDARD_GRAVITY_MPS2;
use base::math::{acos, atan};
use base::units::{Angle, LoadFactor};

/// Load factor of a level coordinated turn at this bank: `1 / cos(bank)`. Range: below 90 degrees.
#[must_use]
pub fn level_turn_load_factor(bank: Angle) -> LoadFactor {
    LoadFactor::from_g(1.0 / base::math::cos(bank.to_rad()))
}

/// Bank at which a level turn has this load factor, one or more.
#[must_use]
pub fn level_turn_bank(load: LoadFactor) -> Angle {
    Angle::from_rad(acos((1.0 / load.to_g()).clamp(-1.0, 1.0)))
}

/// Turn rate, rad/s, of a level turn: `g tan(bank) / V`.
#[must_use]
pub fn level_turn_rate_radps(true_airspeed_mps: f64, bank_rad: f64) -> f64 {
    STANDARD_GRAVITY_MPS2 * base::math::tan(bank_rad) / true_airspeed_mps
}

/// Turn radius, m, of a level turn: `V^2 / (g tan(bank))`.
#[must_use]
pub fn level_turn_radius_m(true_airspeed_mps: f64, bank_rad: f64) -> f64 {
    true_airspeed_mps * true_airspeed_mps / (STANDARD_GRAVITY_MPS2 * base::math::tan(bank_rad))
}

/// Bank, rad, of a level turn at this rate, rad/s.
#[must_use]
pub fn bank_for_rate_rad(true_airspeed_mps: f64, rate_radps: f64) -> f64 {
    atan(rate_radps * true_airspeed_mps / STANDARD_GRAVITY_MPS2)
}
