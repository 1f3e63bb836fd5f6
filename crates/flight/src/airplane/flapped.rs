//! The airplane with its flaps at a position: another polar, other limits, the same engine and controls.

use base::units::LoadFactor;

use super::rigid::{Form, Rigid};
use super::stated::{Flap, FlapPolar, PowerOnStall};
use super::{Aerodynamics, Airplane, component_block};

/// Why the airplane with its flaps at a position is not known.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum NoFlaps {
    /// The file names no position.
    #[error("the file of {airplane} names no flap position")]
    None {
        /// The airplane.
        airplane: String,
    },
    /// The file does not name this position.
    #[error("the file of {airplane} names no flap position {name:?}")]
    Unknown {
        /// The airplane.
        airplane: String,
        /// The position asked for.
        name: String,
    },
    /// What the position does to lift and drag is not stated.
    #[error("the file of {airplane} does not say what flaps {name:?} do to lift and drag")]
    NoPolar {
        /// The airplane.
        airplane: String,
        /// The position.
        name: String,
    },
}

impl NoFlaps {
    /// What to do about it.
    #[must_use]
    pub const fn hint(&self) -> &'static str {
        match self {
            Self::None { .. } | Self::Unknown { .. } => {
                "take a form with flaps up, or add to its file a block [[flap]] with name, lift_max, v_fe, lift_added, drag_added and source"
            }
            Self::NoPolar { .. } => {
                "take a form with flaps up, or add lift_added and drag_added to its block [[flap]]"
            }
        }
    }
}

impl Airplane {
    /// The airplane with its flaps at a position: lift, drag, pitching moment, stall, speed and load limits are those of the
    /// position. [`Airplane::flaps_set`] tells which. What the manual states for flaps up only (stall under power as a speed, glide)
    /// is not carried over; nor are six-degree data other than components, which say nothing of this position.
    ///
    /// Lift and drag are those of flaps up with a constant added to each, the slope and the induced share as they are: a
    /// deflected flap shifts the section's lift curve and leaves its slope (thin-airfoil theory). Negative load is not allowed.
    ///
    /// # Errors
    /// A position that the file does not name, or of which it does not state lift and drag.
    ///
    /// # Source
    /// Limits: 14-CFR-23.345 (loads from nil to the stated limit, up to V_FE).
    pub fn with_flaps(&self, name: &str) -> Result<Self, NoFlaps> {
        let airplane = self.name.clone();
        if self.stated.flaps.is_empty() {
            return Err(NoFlaps::None { airplane });
        }
        let Some(flap) = self.stated.flap(name) else {
            return Err(NoFlaps::Unknown { airplane, name: name.into() });
        };
        let Some(added) = flap.polar else {
            return Err(NoFlaps::NoPolar { airplane, name: name.into() });
        };
        Ok(self.flapped(flap, added))
    }

    /// The airplane with its flaps for the landing: at the position of the greatest lift.
    ///
    /// # Errors
    /// As [`Airplane::with_flaps`].
    pub fn with_landing_flaps(&self) -> Result<Self, NoFlaps> {
        let most = self.stated.flaps.iter().max_by(|a, b| a.lift_max.total_cmp(&b.lift_max));
        let airplane = self.name.clone();
        most.map_or(Err(NoFlaps::None { airplane }), |flap| self.with_flaps(&flap.name))
    }

    fn flapped(&self, flap: &Flap, added: FlapPolar) -> Self {
        let mut out = self.clone();
        out.flaps_set = Some(flap.clone());
        let polar = &mut out.aerodynamics;
        polar.lift_at_zero_incidence += added.lift;
        polar.drag_zero_lift += added.drag;
        polar.lift_max = flap.lift_max;
        for category in &mut out.categories {
            category.load_factor_max = lesser(category.load_factor_max, flap.load_factor_max);
            if category.load_factor_min < LoadFactor::from_g(0.0) {
                category.load_factor_min = LoadFactor::from_g(0.0);
            }
        }
        let speeds = &mut out.speeds;
        speeds.stall = None;
        speeds.normal_max = lesser(speeds.normal_max, flap.extended_max);
        speeds.never_exceed = lesser(speeds.never_exceed, flap.extended_max);
        out.stated.glide = None;
        out.stated.power_on_stall = out
            .stated
            .power_on_stall
            .filter(|known| matches!(known, PowerOnStall::Geometry { .. }));
        out.rigid = self.rigid.as_ref().and_then(|rigid| lowered(rigid, &out.aerodynamics, added));
        out
    }
}

fn lesser<T: PartialOrd>(a: T, b: T) -> T {
    if b < a { b } else { a }
}

/// Six-degree data with the flaps down; `None` where they are not components, or do not hold together so.
fn lowered(rigid: &Rigid, polar: &Aerodynamics, added: FlapPolar) -> Option<Rigid> {
    let Form::Components(clean) = &rigid.form else { return None };
    let center_of_gravity = rigid.loading.center_of_gravity;
    let airframe = component_block::lowered(clean.figures(), polar, center_of_gravity, added)?;
    Some(Rigid { form: Form::Components(airframe), ..rigid.clone() })
}
