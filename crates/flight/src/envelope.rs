//! What the airplane can bear and hold: stall speed, maneuvering speed, limit loads, airspeed through the position error.

use base::factors::STANDARD_GRAVITY_MPS2;
use base::kinds::{CalibratedAirspeed, EquivalentAirspeed, IndicatedAirspeed};
use base::math::{acos, atan};
use base::numerics::interpolation::linear;
use base::units::{Angle, LoadFactor, Mass};

use crate::air::SEA_LEVEL_DENSITY_KGPM3;
use crate::airplane::{Airplane, Category};

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

/// Positive limit load factor of the normal category by weight: `2.1 + 24,000 / (W + 10,000)` pounds, at most 3.8.
///
/// # Source
/// Expression as in 14-CFR-25.337; the cap for the normal category from memory of the former 23.337 (14-CFR-23).
#[must_use]
pub fn normal_category_limit_load(mass: Mass) -> LoadFactor {
    LoadFactor::from_g((2.1 + 24_000.0 / (mass.to_lb() + 10_000.0)).min(3.8))
}

impl Airplane {
    /// Stall speed flaps up, engine idle, at a mass and load factor; nil for a load factor of nil or below.
    #[must_use]
    pub fn stall_speed(&self, mass: Mass, load: LoadFactor) -> CalibratedAirspeed {
        self.stall_speed_of_lift(mass, load, self.aerodynamics.lift_max)
    }
    /// Speed at which this lift coefficient, positive, gives the load factor; nil for a load factor of nil or below.
    #[must_use]
    pub fn stall_speed_of_lift(
        &self,
        mass: Mass,
        load: LoadFactor,
        lift_max: f64,
    ) -> CalibratedAirspeed {
        let lift_n = mass.to_kg() * STANDARD_GRAVITY_MPS2 * load.to_g().max(0.0);
        let area_m2 = self.wing_area.to_m2();
        let equivalent_mps = (2.0 * lift_n / (SEA_LEVEL_DENSITY_KGPM3 * area_m2 * lift_max)).sqrt();
        // At stall speeds equivalent and calibrated airspeed are the same to a hundredth of a knot.
        CalibratedAirspeed::from_mps(EquivalentAirspeed::from_mps(equivalent_mps).to_mps())
    }
    /// Maneuvering speed at a mass: falls with the square root of mass from the stated one.
    ///
    /// # Source
    /// Common practice; AFH-3C states that it falls with weight.
    #[must_use]
    pub fn maneuvering_speed(&self, mass: Mass) -> IndicatedAirspeed {
        let stated = self.calibrated(self.speeds.maneuvering);
        self.indicated(stated * (mass / self.masses.maximum).sqrt())
    }
    /// The category whose limits hold at this mass: the one with the greatest positive limit that allows the mass.
    #[must_use]
    pub fn category(&self, mass: Mass) -> Option<&Category> {
        let allowed = self.categories.iter().filter(|category| category.mass_max >= mass);
        allowed.max_by(|a, b| a.load_factor_max.to_g().total_cmp(&b.load_factor_max.to_g()))
    }
    /// Calibrated from indicated airspeed through the position-error table; the same when there is none.
    #[must_use]
    pub fn calibrated(&self, indicated: IndicatedAirspeed) -> CalibratedAirspeed {
        let (from, to) = self.position_error_columns();
        if from.is_empty() {
            return CalibratedAirspeed::from_mps(indicated.to_mps());
        }
        CalibratedAirspeed::from_mps(linear(&from, &to, indicated.to_mps()).max(0.0))
    }
    /// Indicated from calibrated airspeed through the position-error table; the same when there is none.
    #[must_use]
    pub fn indicated(&self, calibrated: CalibratedAirspeed) -> IndicatedAirspeed {
        let (to, from) = self.position_error_columns();
        if from.is_empty() {
            return IndicatedAirspeed::from_mps(calibrated.to_mps());
        }
        IndicatedAirspeed::from_mps(linear(&from, &to, calibrated.to_mps()).max(0.0))
    }
    fn position_error_columns(&self) -> (Vec<f64>, Vec<f64>) {
        self.position_error
            .iter()
            .map(|row| (row.indicated.to_mps(), row.calibrated.to_mps()))
            .unzip()
    }
    /// Angle of attack at a lift coefficient, below the stall.
    #[must_use]
    pub fn incidence_rad(&self, lift_coefficient: f64) -> f64 {
        (lift_coefficient - self.aerodynamics.lift_at_zero_incidence)
            / self.aerodynamics.lift_slope_per_rad
    }
    /// Lift coefficient at an angle of attack, below the stall.
    #[must_use]
    pub fn lift_coefficient(&self, incidence_rad: f64) -> f64 {
        self.aerodynamics.lift_at_zero_incidence
            + self.aerodynamics.lift_slope_per_rad * incidence_rad
    }
}
