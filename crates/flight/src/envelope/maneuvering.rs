//! Maneuvering speed by mass: from the stall and the limit load, and as stated; one held against the other.

use base::kinds::{CalibratedAirspeed, IndicatedAirspeed};
use base::units::{LoadFactor, Mass};

use crate::airplane::Airplane;

/// The two maneuvering speeds of a mass.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ManeuveringSpeed {
    /// Speed at which the wing stalls at the limit load of the category: `V_S sqrt(n)`, calibrated.
    pub design: CalibratedAirspeed,
    /// The stated one taken from maximum mass with the root of mass, calibrated.
    pub stated: CalibratedAirspeed,
    /// The limit load it was reckoned with.
    pub limit: LoadFactor,
    /// Load factor at which the wing stalls at the stated speed.
    pub load_at_stated: LoadFactor,
    /// How the two agree.
    pub agreement: Agreement,
}

/// How the stated speed agrees with the one from the stall.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Agreement {
    /// Within [`AGREEMENT_SHARE`].
    Agree,
    /// The stated one is lower: the wing stalls before the limit load, with room.
    StatedLower,
    /// The stated one is higher: at that speed the wing can bear more than the limit load before it stalls. The rule allows a design
    /// speed above `V_S sqrt(n)`; the lower of the two is then the one that protects.
    StatedHigher,
}

/// Two maneuvering speeds that differ by less are one (rounding of handbooks; common practice, no source).
pub const AGREEMENT_SHARE: f64 = 0.03;

impl ManeuveringSpeed {
    /// The lower of the two: the wing stalls there before its limit load, and it is not above the stated one.
    #[must_use]
    pub fn lower(&self) -> CalibratedAirspeed {
        if self.design < self.stated { self.design } else { self.stated }
    }
}

impl Airplane {
    /// Maneuvering speed at a mass: falls with the square root of mass from the stated one.
    ///
    /// # Source
    /// Common practice; AFH-3C states that it falls with weight.
    #[must_use]
    pub fn maneuvering_speed(&self, mass: Mass) -> IndicatedAirspeed {
        self.indicated(self.stated_maneuvering(mass))
    }
    fn stated_maneuvering(&self, mass: Mass) -> CalibratedAirspeed {
        self.calibrated(self.speeds.maneuvering) * (mass / self.masses.maximum).sqrt()
    }
    /// Both maneuvering speeds of a mass in the category that holds there; `None` when no category allows the mass.
    ///
    /// # Source
    /// 14-CFR-23 (23.335 (c)): not below `V_S sqrt(n)`, need not be above the design cruising speed.
    #[must_use]
    pub fn maneuvering(&self, mass: Mass) -> Option<ManeuveringSpeed> {
        let limit = self.category(mass)?.load_factor_max;
        let design = self.stall_speed(mass, limit);
        let stated = self.stated_maneuvering(mass);
        let times = stated / self.stall_speed(mass, LoadFactor::from_g(1.0));
        let agreement = match stated / design - 1.0 {
            miss if miss.abs() <= AGREEMENT_SHARE => Agreement::Agree,
            miss if miss < 0.0 => Agreement::StatedLower,
            _ => Agreement::StatedHigher,
        };
        let load_at_stated = LoadFactor::from_g(times * times);
        Some(ManeuveringSpeed { design, stated, limit, load_at_stated, agreement })
    }
}
