//! Load of a vertical gust in level flight, by the formula of 14 CFR 23.341 with gusts of 23.333 (c).
//!
//! `n = 1 +- K_g U V a / (498 W/S)` in feet, pounds and knots is `n = 1 +- K_g U V a rho_0 S / (2 W)` in any consistent units (498 is
//! `2 / rho_0` rounded, 0.1 % off); `K_g = 0.88 mu / (5.3 + mu)`, `mu = 2 (W/S) / (rho C a g)` with the mean geometric chord `C`.

use base::factors::STANDARD_GRAVITY_MPS2;
use base::kinds::{EquivalentAirspeed, PressureAltitude};
use base::units::{Density, LoadFactor, Mass, Speed};

use crate::air::SEA_LEVEL_DENSITY_KGPM3;
use crate::airplane::Airplane;

/// The speed a gust is held against.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum GustAt {
    /// Design cruising speed: 50 ft/s.
    Cruise,
    /// Design dive speed: 25 ft/s.
    Dive,
    /// Flaps-extended speed: 25 ft/s.
    FlapsExtended,
}

/// Derived gust velocity: full to 20,000 ft, from there linearly to half of it at 50,000 ft, held beyond.
///
/// # Source
/// 14-CFR-23.333 (c); flaps 14-CFR-23.345 (a), the same at all heights.
#[must_use]
pub fn design_gust(at: GustAt, altitude: PressureAltitude) -> Speed {
    let full_fps = match at {
        GustAt::Cruise => 50.0,
        GustAt::Dive => 25.0,
        GustAt::FlapsExtended => return Speed::from_fps(25.0),
    };
    let beyond = ((altitude.to_ft() - 20_000.0) / 30_000.0).clamp(0.0, 1.0);
    Speed::from_fps(full_fps * (1.0 - 0.5 * beyond))
}

/// How an airplane of a mass answers a gust in air of a density.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GustAnswer {
    /// Airplane mass ratio, `mu`.
    pub mass_ratio: f64,
    /// Gust alleviation factor, `K_g`.
    pub alleviation: f64,
    /// Change of load factor for each m/s of gust and each m/s of equivalent airspeed.
    pub load_per_m2ps2: f64,
}

impl GustAnswer {
    /// Load factor in level flight at this speed in this gust, up positive. Not bound by the stall.
    #[must_use]
    pub fn load(&self, speed: EquivalentAirspeed, gust: Speed) -> LoadFactor {
        LoadFactor::from_g(1.0 + self.load_per_m2ps2 * speed.to_mps() * gust.to_mps())
    }
}

impl Airplane {
    /// How the airplane answers gusts, with the lift slope of its file.
    ///
    /// # Source
    /// 14-CFR-23.341 (c).
    #[must_use]
    pub fn gust_answer(&self, mass: Mass, density: Density) -> GustAnswer {
        let slope_per_rad = self.aerodynamics.lift_slope_per_rad;
        let loading_npm2 = mass.to_kg() * STANDARD_GRAVITY_MPS2 / self.wing_area.to_m2();
        let chord_m = self.wing_area.to_m2() / self.wing_span.to_m();
        let mass_ratio = 2.0 * loading_npm2
            / (density.to_kgpm3() * chord_m * slope_per_rad * STANDARD_GRAVITY_MPS2);
        let alleviation = 0.88 * mass_ratio / (5.3 + mass_ratio);
        let load_per_m2ps2 =
            alleviation * slope_per_rad * SEA_LEVEL_DENSITY_KGPM3 / (2.0 * loading_npm2);
        GustAnswer { mass_ratio, alleviation, load_per_m2ps2 }
    }
}
