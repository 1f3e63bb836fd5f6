//! The airplane as data. Read from TOML by [`Airplane::from_toml`], checked, every block with its source.

pub mod balance;
pub mod bundled;
mod component_block;
pub mod doubt;
mod file;
mod flapped;
pub mod published;
pub mod rigid;
mod rigid_file;
pub mod stated;

use std::sync::Arc;

use base::kinds::{CalibratedAirspeed, IndicatedAirspeed, TrueAirspeed};
use base::units::{Angle, AngularRate, Area, Length, LoadFactor, Mass, Power};

use crate::propulsion::thrust_chart::ThrustChart;
use crate::vehicle::Vehicle;

pub use flapped::NoFlaps;
pub use rigid::NoSixDegree;

/// An airplane, complete enough for coordinated point-mass flight and its limits.
#[derive(Debug, Clone, PartialEq)]
pub struct Airplane {
    /// Stable key: lower-case words with hyphens.
    pub id: String,
    /// As people call it.
    pub name: String,
    /// One sentence.
    pub description: String,
    /// Where the figures come from, by block name.
    pub sources: Vec<BlockSource>,
    /// Masses.
    pub masses: Masses,
    /// Wing area used for coefficients.
    pub wing_area: Area,
    /// Wing span.
    pub wing_span: Length,
    /// Lift and drag.
    pub aerodynamics: Aerodynamics,
    /// What pulls it.
    pub thrust: Thrust,
    /// Limits by category, in the order of the file.
    pub categories: Vec<Category>,
    /// Speeds of the flight manual.
    pub speeds: Speeds,
    /// Entry speeds that the manual approves for single figures, above maneuvering speed too.
    pub approved_entries: Vec<ApprovedEntry>,
    /// Position error of the airspeed system; empty means none stated (taken as nil, and said).
    pub position_error: Vec<PositionErrorRow>,
    /// Where the pilot sits.
    pub seat: Seat,
    /// Greatest roll rate used in maneuvers (full aileron at maneuvering speed).
    pub roll_rate_max: AngularRate,
    /// What the manual states beyond the rest: flaps, stall under power, glide, design speeds.
    pub stated: stated::Stated,
    /// Position of the flaps that polar and limits hold for; `None`: flaps up. See [`Airplane::with_flaps`].
    pub flaps_set: Option<stated::Flap>,
    /// Six-degree data, when the file has them.
    pub rigid: Option<rigid::Rigid>,
}

impl Airplane {
    /// The entry speed that the manual approves for a figure, if it names one.
    #[must_use]
    pub fn approved_entry(&self, maneuver: &str) -> Option<IndicatedAirspeed> {
        let found = self.approved_entries.iter().find(|entry| entry.maneuver == maneuver);
        found.map(|entry| entry.speed)
    }
    /// The rigid-body vehicle at the mass of the day; see [`rigid::Rigid::vehicle`].
    ///
    /// # Errors
    /// What the file lacks; a mass not above zero.
    pub fn vehicle(&self, mass: Mass) -> Result<Vehicle, NoSixDegree> {
        let Some(rigid) = &self.rigid else {
            let name = self.name.clone();
            return Err(NoSixDegree::Missing { name, missing: rigid::BLOCKS });
        };
        rigid.vehicle(mass).map_err(|error| NoSixDegree::Mass { name: self.name.clone(), error })
    }
}

/// The source of one block of the file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BlockSource {
    /// Name of the block.
    pub block: String,
    /// Where its figures come from.
    pub source: String,
}

/// Masses.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Masses {
    /// Empty.
    pub empty: Mass,
    /// Two up with half fuel: what a brief takes when no weight is given.
    pub typical: Mass,
    /// Greatest allowed.
    pub maximum: Mass,
}

/// Lift and drag: parabolic polar, linear lift to the stall. Angles from the body axis that pitch is read on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Aerodynamics {
    /// Drag coefficient without lift.
    pub drag_zero_lift: f64,
    /// Factor of the square of the lift coefficient.
    pub drag_induced: f64,
    /// Lift coefficient at nil incidence.
    pub lift_at_zero_incidence: f64,
    /// Slope of lift, per radian.
    pub lift_slope_per_rad: f64,
    /// Greatest lift coefficient, engine idle.
    pub lift_max: f64,
    /// Most negative lift coefficient.
    pub lift_min: f64,
}

/// What pulls the airplane.
#[derive(Debug, Clone, PartialEq)]
pub enum Thrust {
    /// Piston engine and propeller: as charted where the file knows them well enough, else momentum theory with a constant share of
    /// the ideal (see `point_mass`).
    Propeller(Propeller),
    /// Thrust polynomial in true airspeed at sea level, lapsed with density: `T0 + T1 V + T2 V^2`, newtons, m/s.
    Polynomial {
        /// Static thrust, N.
        static_n: f64,
        /// Per m/s.
        slope_n_per_mps: f64,
        /// Per (m/s)^2.
        curvature_n_per_mps2: f64,
    },
}

/// Piston engine and propeller.
#[derive(Debug, Clone, PartialEq)]
pub struct Propeller {
    /// Greatest shaft power at sea level.
    pub power_max: Power,
    /// Propeller diameter.
    pub diameter: Length,
    /// Share of the ideal momentum-theory thrust power that is reached, 0 to 1.
    pub efficiency_of_ideal: f64,
    /// How that share falls away from the airspeed at which it is reached; nil bend when the file states none.
    pub efficiency_fall: EfficiencyFall,
    /// Which way it turns, seen from the cockpit.
    pub rotation: Rotation,
    /// Constant-speed (power as set at any airspeed) or fixed pitch (power falls with airspeed below the design one).
    pub pitch: PropellerPitch,
    /// Thrust of the engine and propeller of the six-degree data, where the file has them and states no fall of the efficiency: the
    /// point mass is pulled by what pulls the rigid airplane.
    pub chart: Option<Arc<ThrustChart>>,
}

/// How the share of the ideal falls off with airspeed: `1 - bend (V / best - 1)^2`, not below [`EfficiencyFall::LEAST`].
///
/// A fixed pitch has its best place, and a governed one loses to thick blade roots when slow and to its tips when fast. Form and
/// usual size: common practice, no source; fitted to a flight manual by the crate `handbook`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct EfficiencyFall {
    /// True airspeed of the best share.
    pub best_at: TrueAirspeed,
    /// Share lost at nil and at twice that speed; nil for a constant share.
    pub bend: f64,
}

impl EfficiencyFall {
    /// A constant share.
    pub const NONE: Self = Self { best_at: TrueAirspeed::from_mps(50.0), bend: 0.0 };
    /// What is left at least, far from the best.
    pub const LEAST: f64 = 0.2;
}

/// Sense of propeller rotation seen from the cockpit.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Rotation {
    /// Clockwise.
    Clockwise,
    /// Counterclockwise.
    Counterclockwise,
}

/// How the blade angle is governed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum PropellerPitch {
    /// Governor holds the speed of rotation.
    ConstantSpeed,
    /// Blades fixed: at standstill only this share of full power can be taken up, all of it from `full_power_at` on.
    Fixed {
        /// Share of full power available at standstill.
        static_power_share: f64,
        /// True airspeed at sea level from which all power is available.
        full_power_at: CalibratedAirspeed,
    },
}

/// Limits of one category of operation.
#[derive(Debug, Clone, PartialEq)]
pub struct Category {
    /// "normal", "utility" or "acrobatic"; an airplane file with another name is refused.
    pub name: String,
    /// Greatest mass in this category.
    pub mass_max: Mass,
    /// Positive limit load factor, flaps up.
    pub load_factor_max: LoadFactor,
    /// Negative limit load factor, flaps up.
    pub load_factor_min: LoadFactor,
    /// Catalogue keys of the approved maneuvers. A blank list refuses aerobatic figures.
    pub approved: Vec<String>,
}

/// Speeds of the flight manual, indicated.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Speeds {
    /// Stall speed flaps up, idle, at maximum mass, if stated.
    pub stall: Option<IndicatedAirspeed>,
    /// Maneuvering speed at maximum mass.
    pub maneuvering: IndicatedAirspeed,
    /// Greatest structural cruise speed.
    pub normal_max: IndicatedAirspeed,
    /// Never-exceed speed.
    pub never_exceed: IndicatedAirspeed,
    /// Speed recommended by the maker for training maneuvers, if stated.
    pub maneuver_entry: Option<IndicatedAirspeed>,
}

/// The entry speed that the manual approves for one figure.
#[derive(Debug, Clone, PartialEq)]
pub struct ApprovedEntry {
    /// Catalogue key of the figure.
    pub maneuver: String,
    /// Speed at entry.
    pub speed: IndicatedAirspeed,
}

/// One row of the position-error table.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PositionErrorRow {
    /// What the indicator shows.
    pub indicated: IndicatedAirspeed,
    /// What it should show.
    pub calibrated: CalibratedAirspeed,
}

/// Where the pilot sits and what the nose covers.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Seat {
    /// Left of the centerline positive; nil in tandem.
    pub eye_left: Length,
    /// How far the sight line over the cowl lies below the body axis.
    pub over_nose_below_axis: Angle,
    /// Wing below the eye (low wing) or above it.
    pub wing: WingPlace,
    /// Height of the eye above the wing tips, negative under a high wing, if stated.
    pub eye_above_wing: Option<Length>,
    /// How far the wing tips lie behind the eye, if stated.
    pub wing_behind_eye: Option<Length>,
    /// How far ahead of the eye the edge of the cowl lies, if stated.
    pub cowl_ahead: Option<Length>,
}

/// Where the wing stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WingPlace {
    /// Above the cabin.
    High,
    /// Under the seats.
    Low,
}
