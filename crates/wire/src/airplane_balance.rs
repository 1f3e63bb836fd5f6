//! `skychalk.airplane-balance/1`: weight and balance of the day.

use flight::airplane::Airplane;
use flight::airplane::balance::{Loaded, Point};
use schemars::JsonSchema;
use serde::Serialize;

use crate::number::rounded;

/// Name of the document and its version.
pub const SCHEMA: &str = "skychalk.airplane-balance/1";

/// Weight and balance.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct AirplaneBalance {
    /// Always `skychalk.airplane-balance/1`.
    pub schema: &'static str,
    /// Airplane key.
    pub airplane: String,
    /// Airplane name.
    pub airplane_name: String,
    /// Whether every limit stated is kept. Never a clearance.
    pub within_limits: bool,
    /// Limits that are passed, with numbers.
    pub passed: Vec<String>,
    /// Empty airplane first, then what was put where.
    pub rows: Vec<RowOut>,
    /// With everything.
    pub take_off: PointOut,
    /// Without the fuel.
    pub no_fuel: PointOut,
    /// Limits by mass.
    pub envelope: Vec<EnvelopeOut>,
    /// Stall speed, flaps up, idle, one g, indicated, at this mass and center of gravity.
    pub stall_kt: f64,
    /// The same with the center of gravity at the forward limit.
    pub stall_forward_kt: f64,
    /// Maneuvering speed at this mass, indicated.
    pub maneuvering_kt: f64,
    /// Static margin, mean chords; null when the neutral point is not known.
    pub static_margin: Option<f64>,
    /// Stick force for a g over that with the center of gravity at the forward limit; null when the neutral point is not known.
    pub stick_force_share: Option<f64>,
}

/// A mass on an arm.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct RowOut {
    /// What it is.
    pub what: String,
    /// Mass.
    pub mass_kg: f64,
    /// Arm behind the datum.
    pub arm_m: f64,
    /// Moment.
    pub moment_kgm: f64,
}

/// Mass and center of gravity.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct PointOut {
    /// Mass.
    pub mass_kg: f64,
    /// Arm behind the datum.
    pub arm_m: f64,
    /// Foremost arm allowed at this mass.
    pub forward_m: f64,
    /// Rearmost arm allowed at this mass.
    pub aft_m: f64,
    /// Mean chords behind the leading edge.
    pub mean_chords: f64,
}

/// Limits at one mass.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct EnvelopeOut {
    /// Mass.
    pub mass_kg: f64,
    /// Foremost arm.
    pub forward_m: f64,
    /// Rearmost arm.
    pub aft_m: f64,
}

impl AirplaneBalance {
    /// From the engine's values; the airplane states weight and balance.
    #[must_use]
    pub fn new(airplane: &Airplane, loaded: &Loaded) -> Self {
        let row = |(what, mass, arm): &(String, base::units::Mass, base::units::Length)| RowOut {
            what: what.clone(),
            mass_kg: rounded(mass.to_kg(), 1),
            arm_m: rounded(arm.to_m(), 4),
            moment_kgm: rounded(mass.to_kg() * arm.to_m(), 2),
        };
        let limits = airplane.stated.balance.iter().flat_map(|balance| &balance.envelope);
        let limit = |row: &flight::airplane::balance::EnvelopeRow| EnvelopeOut {
            mass_kg: rounded(row.mass.to_kg(), 1),
            forward_m: rounded(row.forward.to_m(), 4),
            aft_m: rounded(row.aft.to_m(), 4),
        };
        let effects = &loaded.effects;
        Self {
            schema: SCHEMA,
            airplane: airplane.id.clone(),
            airplane_name: airplane.name.clone(),
            within_limits: loaded.passed.is_empty(),
            passed: loaded.passed.clone(),
            rows: loaded.rows.iter().map(row).collect(),
            take_off: point(&loaded.take_off),
            no_fuel: point(&loaded.no_fuel),
            envelope: limits.map(limit).collect(),
            stall_kt: rounded(effects.stall.to_kt(), 1),
            stall_forward_kt: rounded(effects.stall_forward.to_kt(), 1),
            maneuvering_kt: rounded(effects.maneuvering.to_kt(), 1),
            static_margin: effects.static_margin.map(|margin| rounded(margin, 3)),
            stick_force_share: effects.stick_force_share.map(|share| rounded(share, 2)),
        }
    }
}

fn point(point: &Point) -> PointOut {
    PointOut {
        mass_kg: rounded(point.mass.to_kg(), 1),
        arm_m: rounded(point.arm.to_m(), 4),
        forward_m: rounded(point.limits.0.to_m(), 4),
        aft_m: rounded(point.limits.1.to_m(), 4),
        mean_chords: rounded(point.chords, 3),
    }
}
