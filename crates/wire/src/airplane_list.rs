//! `skychalk.airplane/1`: airplanes with their figures and sources.

use crate::number::rounded;
use flight::airplane as engine;
use flight::airplane::published::RigidAirplane;
use flight::airplane::rigid::Rigid;
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
    /// Airplanes that hold published stability data alone: no brief is made of them.
    pub published: Vec<PublishedOut>,
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
    /// Data of the rigid body; `null` when the file has none.
    pub six_degree: Option<SixDegreeOut>,
    /// Where the figures come from, by block.
    pub sources: Vec<BlockSourceOut>,
}

/// An airplane from published stability data.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct PublishedOut {
    /// Stable key.
    pub id: String,
    /// As people call it.
    pub name: String,
    /// One sentence.
    pub description: String,
    /// True airspeed that the figures were published for.
    pub airspeed_kt: f64,
    /// Height that they were published for.
    pub height_ft: f64,
    /// Data of the rigid body.
    pub six_degree: SixDegreeOut,
    /// Where the figures come from, by block.
    pub sources: Vec<BlockSourceOut>,
}

/// Data of the rigid body.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct SixDegreeOut {
    /// Form of the aerodynamic data: derivatives, polynomial, tables, components.
    pub aerodynamics: String,
    /// What pulls.
    pub pull: String,
    /// Mass that the inertia is stated for.
    pub mass_kg: f64,
    /// Moment of inertia about the forward axis.
    pub inertia_xx_kgm2: f64,
    /// About the right axis.
    pub inertia_yy_kgm2: f64,
    /// About the down axis.
    pub inertia_zz_kgm2: f64,
    /// Product of inertia, positive when the mass ahead lies low.
    pub inertia_xz_kgm2: f64,
    /// Least angle of attack that the data cover.
    pub alpha_least_deg: f64,
    /// Greatest angle of attack that the data cover.
    pub alpha_most_deg: f64,
    /// Greatest sideslip that the data cover.
    pub beta_most_deg: f64,
    /// Least equivalent airspeed that the data cover, when stated.
    pub eas_least_kt: Option<f64>,
    /// Greatest equivalent airspeed that the data cover, when stated.
    pub eas_most_kt: Option<f64>,
    /// Whether forces at stick and pedals are known, of elevator, ailerons, rudder.
    pub forces_known: [bool; 3],
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
    pub fn new(airplanes: &[engine::Airplane], published: &[RigidAirplane]) -> Self {
        Self {
            schema: SCHEMA,
            airplanes: airplanes.iter().map(entry).collect(),
            published: published.iter().map(published_entry).collect(),
        }
    }
}

fn sources(sources: &[engine::BlockSource]) -> Vec<BlockSourceOut> {
    let source = |source: &engine::BlockSource| BlockSourceOut {
        block: source.block.clone(),
        source: source.source.clone(),
    };
    sources.iter().map(source).collect()
}

fn published_entry(airplane: &RigidAirplane) -> PublishedOut {
    PublishedOut {
        id: airplane.id.clone(),
        name: airplane.name.clone(),
        description: airplane.description.clone(),
        airspeed_kt: rounded(airplane.condition.airspeed.to_kt(), 2),
        height_ft: rounded(airplane.condition.height.to_ft(), 1),
        six_degree: six_degree(&airplane.rigid),
        sources: sources(&airplane.sources),
    }
}

fn six_degree(rigid: &Rigid) -> SixDegreeOut {
    let (loading, controls, domain) = (&rigid.loading, &rigid.controls, rigid.form.domain());
    let inertia = |moment: f64| rounded(moment, 2);
    let deg = |angle_rad: f64| rounded(base::units::Angle::from_rad(angle_rad).to_deg(), 3);
    let (slow, fast) = domain.equivalent_mps;
    let kt = |mps: f64| rounded(base::units::Speed::from_mps(mps).to_kt(), 2);
    let channels = [&controls.elevator, &controls.aileron, &controls.rudder];
    SixDegreeOut {
        aerodynamics: rigid.form.words().into(),
        pull: rigid.pull.words().into(),
        mass_kg: rounded(loading.mass.to_kg(), 2),
        inertia_xx_kgm2: inertia(loading.inertia.xx),
        inertia_yy_kgm2: inertia(loading.inertia.yy),
        inertia_zz_kgm2: inertia(loading.inertia.zz),
        inertia_xz_kgm2: inertia(loading.inertia.xz),
        alpha_least_deg: deg(domain.alpha_rad.0),
        alpha_most_deg: deg(domain.alpha_rad.1),
        beta_most_deg: deg(domain.beta_rad),
        eas_least_kt: (slow > 0.0).then(|| kt(slow)),
        eas_most_kt: fast.is_finite().then(|| kt(fast)),
        forces_known: channels.map(|channel| channel.force.is_some()),
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
        six_degree: airplane.rigid.as_ref().map(six_degree),
        sources: sources(&airplane.sources),
    }
}
