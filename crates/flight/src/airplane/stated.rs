//! What a flight manual may state beyond the figures that every airplane file has: flaps, the stall under power, the glide,
//! design speeds. Every block may be absent; what is absent is not made up.

use base::kinds::{EquivalentAirspeed, IndicatedAirspeed};
use base::units::{Angle, Area, LoadFactor};

use super::balance::Balance;
use super::doubt::Doubt;

/// The optional blocks of an airplane file.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Stated {
    /// Flap positions, in the order of the file, flaps up not among them.
    pub flaps: Vec<Flap>,
    /// The stall at full power, flaps up.
    pub power_on_stall: Option<PowerOnStall>,
    /// Gliding, flaps up, engine idle.
    pub glide: Option<Glide>,
    /// Design speeds of the structure.
    pub design_speeds: Option<DesignSpeeds>,
    /// Weight and balance.
    pub balance: Option<Balance>,
    /// How far the figures may be off together, when they were fitted.
    pub doubt: Option<Doubt>,
}

impl Stated {
    /// The flap position of a name.
    #[must_use]
    pub fn flap(&self, name: &str) -> Option<&Flap> {
        self.flaps.iter().find(|flap| flap.name == name)
    }
}

/// One flap position.
#[derive(Debug, Clone, PartialEq)]
pub struct Flap {
    /// As the lever or the manual names it: "20", "landing".
    pub name: String,
    /// Greatest lift coefficient, engine idle.
    pub lift_max: f64,
    /// Greatest speed with the flaps so.
    pub extended_max: IndicatedAirspeed,
    /// Positive limit load factor with the flaps so.
    pub load_factor_max: LoadFactor,
    /// What the position does to lift and drag, when the file states it.
    pub polar: Option<FlapPolar>,
}

/// What a flap position adds to the polar of flaps up, at the same incidence.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FlapPolar {
    /// Lift coefficient.
    pub lift: f64,
    /// Drag coefficient without lift.
    pub drag: f64,
    /// Pitching-moment coefficient of wing and body about the quarter of the mean chord, negative: nose down.
    pub moment: f64,
}

/// Positive limit load factor with flaps down when a file states none.
///
/// # Source
/// 14-CFR-23.345 (a): 2.0.
pub const FLAPS_DOWN_LIMIT: LoadFactor = LoadFactor::from_g(2.0);

/// What is known of the stall at full power, flaps up, at sea level.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum PowerOnStall {
    /// The manual states the speed at maximum mass and one g.
    Speed(IndicatedAirspeed),
    /// The geometry from which it is reckoned.
    Geometry {
        /// How far the thrust line points above the body axis that incidence is read on.
        thrust_above_body: Angle,
        /// Share of the wing area that bears the full added pressure of the slipstream, 0 to 1 (an effective share: lift of a wing
        /// in a narrow jet grows by less than the jet's pressure).
        slipstream_share: f64,
    },
}

/// Gliding, flaps up, engine idle, at maximum mass, in still air.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Glide {
    /// Speed of the best glide.
    pub speed: Option<IndicatedAirspeed>,
    /// Distance over height at that speed.
    pub ratio: Option<f64>,
    /// Drag of the idling or windmilling propeller over dynamic pressure.
    pub propeller_drag_area: Option<Area>,
}

/// Design speeds of the structure, equivalent.
///
/// # Source
/// 14-CFR-23 (23.335, 23.1505).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DesignSpeeds {
    /// Design cruising speed, V_C.
    pub cruise: EquivalentAirspeed,
    /// Design dive speed, V_D.
    pub dive: EquivalentAirspeed,
}
