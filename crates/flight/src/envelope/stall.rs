//! Stall speed by mass, load, flap and power. What the file does not state is refused with the reason, never guessed.

use base::factors::STANDARD_GRAVITY_MPS2;
use base::kinds::{CalibratedAirspeed, EquivalentAirspeed, IndicatedAirspeed};
use base::math::sin;
use base::numerics::root;
use base::units::{Density, LoadFactor, Mass};

use crate::air::SEA_LEVEL_DENSITY_KGPM3;
use crate::airplane::stated::PowerOnStall;
use crate::airplane::{Airplane, Thrust};
use crate::point_mass::thrust_n;

/// What is asked.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StallCase<'a> {
    /// Mass.
    pub mass: Mass,
    /// Load factor; below zero for the stall pushed.
    pub load: LoadFactor,
    /// Name of the flap position; `None` for flaps up.
    pub flap: Option<&'a str>,
    /// Power.
    pub power: StallPower,
}

/// Power at the stall.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum StallPower {
    /// Idle.
    Idle,
    /// Full, in air of this density.
    Full(Density),
}

/// A stall speed and what it rests on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StallSpeed {
    /// Calibrated.
    pub calibrated: CalibratedAirspeed,
    /// Indicated, through the position error (which most tables state for level flight without power).
    pub indicated: IndicatedAirspeed,
    /// What it rests on.
    pub basis: StallBasis,
}

/// What a stall speed rests on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum StallBasis {
    /// The greatest (or least) lift coefficient of the file.
    LiftCoefficient,
    /// The stated speed under power at maximum mass, taken with the root of mass. Thrust then bears a greater share of a lighter
    /// airplane, so the true speed is no higher.
    StatedUnderPower,
    /// Lift in the slipstream and the upward part of the thrust, from the stated geometry.
    PropellerGeometry,
}

/// Why there is no stall speed to tell.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum StallUnknown {
    /// No such flap position.
    #[error("no flap position {name:?}: {}", listed(.known))]
    Flap {
        /// As asked.
        name: String,
        /// Positions of the file.
        known: Vec<String>,
    },
    /// The least lift coefficient holds with flaps up only.
    #[error("the file states no least lift with flaps {name:?}")]
    NegativeWithFlaps {
        /// The position.
        name: String,
    },
    /// Nothing is stated on the stall under power in this condition.
    #[error("the file states nothing on the stall under power with {condition}")]
    Power {
        /// The condition, in words.
        condition: &'static str,
    },
    /// Thrust and slipstream bear the load at any speed.
    #[error("full power bears the whole load: there is no stall speed")]
    CarriedByThrust,
}

fn listed(known: &[String]) -> String {
    if known.is_empty() { "the file states none".into() } else { known.join(", ") }
}

impl StallUnknown {
    /// What to do about it.
    #[must_use]
    pub const fn hint(&self) -> &'static str {
        match self {
            Self::Flap { .. } => "add a block [[flap]] with name, lift_max, v_fe and source",
            Self::NegativeWithFlaps { .. } => "ask with flaps up",
            Self::Power { .. } => {
                "ask with the engine idle, flaps up, or state the geometry in [power_on_stall]"
            }
            Self::CarriedByThrust => "check power, diameter and slipstream_share",
        }
    }
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
    /// Stall speed of a case.
    ///
    /// # Errors
    /// When the file states too little for the case, with what to add.
    pub fn stall(&self, case: &StallCase<'_>) -> Result<StallSpeed, StallUnknown> {
        let told = |calibrated, basis| StallSpeed {
            calibrated,
            indicated: self.indicated(calibrated),
            basis,
        };
        match case.power {
            StallPower::Idle => {
                let lift = self.lift_at_stall(case.load, case.flap)?;
                let load = case.load.abs();
                let calibrated = self.stall_speed_of_lift(case.mass, load, lift.abs());
                Ok(told(calibrated, StallBasis::LiftCoefficient))
            }
            StallPower::Full(density) => {
                let (calibrated, basis) = self.stall_under_power(case, density)?;
                Ok(told(calibrated, basis))
            }
        }
    }
    /// Greatest lift coefficient of a flap position, engine idle; the least one for a load factor below zero.
    ///
    /// # Errors
    /// When the file does not state it.
    pub fn lift_at_stall(&self, load: LoadFactor, flap: Option<&str>) -> Result<f64, StallUnknown> {
        let negative = load.to_g() < 0.0;
        let Some(name) = flap else {
            let lift = &self.aerodynamics;
            return Ok(if negative { lift.lift_min } else { lift.lift_max });
        };
        let known = || self.stated.flaps.iter().map(|flap| flap.name.clone()).collect();
        let flap = self.stated.flap(name);
        let flap = flap.ok_or_else(|| StallUnknown::Flap { name: name.into(), known: known() })?;
        if negative {
            return Err(StallUnknown::NegativeWithFlaps { name: name.into() });
        }
        Ok(flap.lift_max)
    }
    fn stall_under_power(
        &self,
        case: &StallCase<'_>,
        density: Density,
    ) -> Result<(CalibratedAirspeed, StallBasis), StallUnknown> {
        let refuse = |condition| Err(StallUnknown::Power { condition });
        if case.flap.is_some() {
            return refuse("flaps down");
        }
        if case.load.to_g() <= 0.0 {
            return refuse("a load factor of nil or below");
        }
        match self.stated.power_on_stall {
            None => refuse("flaps up"),
            Some(PowerOnStall::Speed(stated)) => {
                // Thrust bears less of a greater load, by how much the speed alone does not say.
                if case.load > LoadFactor::from_g(1.0) || case.mass > self.masses.maximum {
                    return refuse(
                        "more than one g or maximum mass, only its speed in level flight",
                    );
                }
                if density.to_kgpm3() < SEA_LEVEL_DENSITY_KGPM3 * 0.97 {
                    return refuse("less power than at sea level, only its speed there");
                }
                let share = case.mass / self.masses.maximum * case.load.to_g();
                Ok((self.calibrated(stated) * share.sqrt(), StallBasis::StatedUnderPower))
            }
            Some(PowerOnStall::Geometry { thrust_above_body, slipstream_share }) => {
                let upward = sin(
                    self.incidence_rad(self.aerodynamics.lift_max) + thrust_above_body.to_rad()
                );
                let speed = self.stall_on_propeller(case, density, upward, slipstream_share)?;
                Ok((speed, StallBasis::PropellerGeometry))
            }
        }
    }
    /// Load borne by the wing in the stream, the wing in the slipstream and the upward share of the thrust:
    /// `n W = C_L max S (q + share T / A) + T sin(incidence + thrust line)`. The added pressure of a slipstream that is fully drawn in is
    /// thrust over disk area (MOMENTUM).
    fn stall_on_propeller(
        &self,
        case: &StallCase<'_>,
        density: Density,
        upward: f64,
        slipstream_share: f64,
    ) -> Result<CalibratedAirspeed, StallUnknown> {
        let density_kgpm3 = density.to_kgpm3();
        let lift_area_m2 = self.aerodynamics.lift_max * self.wing_area.to_m2();
        let disk_share = match &self.thrust {
            Thrust::Propeller(propeller) => {
                let radius_m = 0.5 * propeller.diameter.to_m();
                slipstream_share * lift_area_m2 / (std::f64::consts::PI * radius_m * radius_m)
            }
            Thrust::Polynomial { .. } => 0.0,
        };
        let load_n = case.mass.to_kg() * STANDARD_GRAVITY_MPS2 * case.load.to_g();
        let borne_n = |true_mps: f64| {
            let thrust_n = thrust_n(&self.thrust, 1.0, true_mps, density_kgpm3);
            0.5 * density_kgpm3 * true_mps * true_mps * lift_area_m2
                + thrust_n * (disk_share + upward)
        };
        let thin = (density_kgpm3 / SEA_LEVEL_DENSITY_KGPM3).sqrt();
        let idle_mps = self.stall_speed(case.mass, case.load).to_mps() / thin;
        if borne_n(0.0) >= load_n {
            return Err(StallUnknown::CarriedByThrust);
        }
        // A thrust line that points down at the stall bears less than nothing, so that the zero may lie above the idle stall; at twice
        // that speed the wing bears four times the load.
        let found = root::find(|speed| borne_n(speed) - load_n, 0.0, 2.0 * idle_mps, 1e-9);
        let true_mps = found.map_err(|_| StallUnknown::CarriedByThrust)?;
        Ok(CalibratedAirspeed::from_mps(true_mps * thin))
    }
}
