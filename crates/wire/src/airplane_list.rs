//! `skychalk.airplane/1`: airplanes with their figures and sources.

use crate::number::rounded;
use flight::airplane as engine;
use schemars::JsonSchema;
use serde::Serialize;

/// Name of the document and its version.
pub const SCHEMA: &str = "skychalk.airplane/1";

/// Airplanes.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct AirplaneList {
    /// Always `skychalk.airplane/1`.
    pub schema: &'static str,
    /// In the order of the list.
    pub airplanes: Vec<AirplaneEntry>,
}

/// One airplane.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct AirplaneEntry {
    /// Stable key.
    pub id: String,
    /// As people call it.
    pub name: String,
    /// One sentence.
    pub description: String,
    /// Masses.
    pub masses: MassesOut,
    /// Speeds of the flight manual, indicated.
    pub speeds: SpeedsOut,
    /// Limits by category.
    pub categories: Vec<CategoryOut>,
    /// Where the figures come from, by block.
    pub sources: Vec<BlockSourceOut>,
}

/// Masses.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct MassesOut {
    /// Empty.
    pub empty_kg: f64,
    /// Two up with half fuel: what a brief takes when no weight is given.
    pub typical_kg: f64,
    /// Greatest allowed.
    pub maximum_kg: f64,
}

/// Speeds of the flight manual, indicated.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct SpeedsOut {
    /// Stall speed flaps up, idle, at maximum mass, when stated.
    pub stall_kt: Option<f64>,
    /// Maneuvering speed at maximum mass.
    pub maneuvering_kt: f64,
    /// Greatest structural cruise speed.
    pub normal_max_kt: f64,
    /// Never-exceed speed.
    pub never_exceed_kt: f64,
    /// Recommended by the maker for training maneuvers, when stated.
    pub maneuver_entry_kt: Option<f64>,
}

/// Limits of one category.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct CategoryOut {
    /// Name.
    pub name: String,
    /// Greatest mass in this category.
    pub mass_max_kg: f64,
    /// Positive limit load factor, flaps up.
    pub load_factor_max: f64,
    /// Negative limit load factor, flaps up.
    pub load_factor_min: f64,
    /// Catalogue keys of the approved maneuvers.
    pub approved: Vec<String>,
}

/// The source of one block of the file.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct BlockSourceOut {
    /// Name of the block.
    pub block: String,
    /// Where its figures come from.
    pub source: String,
}

impl AirplaneList {
    /// The document for these airplanes.
    #[must_use]
    pub fn new(airplanes: &[engine::Airplane]) -> Self {
        Self { schema: SCHEMA, airplanes: airplanes.iter().map(entry).collect() }
    }
}

fn entry(airplane: &engine::Airplane) -> AirplaneEntry {
    let (masses, speeds) = (&airplane.masses, &airplane.speeds);
    let kt = |speed: base::kinds::IndicatedAirspeed| rounded(speed.to_kt(), 2);
    let kg = |mass: base::units::Mass| rounded(mass.to_kg(), 2);
    let category = |category: &engine::Category| CategoryOut {
        name: category.name.clone(),
        mass_max_kg: kg(category.mass_max),
        load_factor_max: rounded(category.load_factor_max.to_g(), 3),
        load_factor_min: rounded(category.load_factor_min.to_g(), 3),
        approved: category.approved.clone(),
    };
    let source = |source: &engine::BlockSource| BlockSourceOut {
        block: source.block.clone(),
        source: source.source.clone(),
    };
    AirplaneEntry {
        id: airplane.id.clone(),
        name: airplane.name.clone(),
        description: airplane.description.clone(),
        masses: MassesOut {
            empty_kg: kg(masses.empty),
            typical_kg: kg(masses.typical),
            maximum_kg: kg(masses.maximum),
        },
        speeds: SpeedsOut {
            stall_kt: speeds.stall.map(kt),
            maneuvering_kt: kt(speeds.maneuvering),
            normal_max_kt: kt(speeds.normal_max),
            never_exceed_kt: kt(speeds.never_exceed),
            maneuver_entry_kt: speeds.maneuver_entry.map(kt),
        },
        categories: airplane.categories.iter().map(category).collect(),
        sources: airplane.sources.iter().map(source).collect(),
    }
}
