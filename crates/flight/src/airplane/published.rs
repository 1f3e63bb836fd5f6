//! Airplanes from published stability data: six-degree blocks and the condition they were published for, and nothing of a
//! flight manual. No brief is made of them.

use base::kinds::{GeometricHeight, TrueAirspeed};
use base::typed_toml::{self, Faults, Section};
use base::units::{Mass, Speed};

use super::rigid::{NoSixDegree, Rigid};
use super::{BlockSource, rigid_file};
use crate::vehicle::Vehicle;

/// An airplane with six-degree data alone.
#[derive(Debug, Clone, PartialEq)]
pub struct RigidAirplane {
    /// Stable key: lower-case words with hyphens.
    pub id: String,
    /// As people call it.
    pub name: String,
    /// One sentence.
    pub description: String,
    /// Where the figures come from, by block name.
    pub sources: Vec<BlockSource>,
    /// What the figures were published for.
    pub condition: Condition,
    /// The data.
    pub rigid: Rigid,
}

/// The flight condition of a published set.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Condition {
    /// Airspeed.
    pub airspeed: TrueAirspeed,
    /// Height above mean sea level.
    pub height: GeometricHeight,
}

/// Key and file text of each that comes with the program.
pub const ALL: &[(&str, &str)] = &[
    ("navion-nelson", include_str!("../../../../data/airplanes-published/navion-nelson.toml")),
    ("navion-faa71", include_str!("../../../../data/airplanes-published/navion-faa71.toml")),
    ("beaver", include_str!("../../../../data/airplanes-published/beaver.toml")),
    ("single-230hp", include_str!("../../../../data/airplanes-published/single-230hp.toml")),
];

/// The published airplane of a key.
///
/// # Panics
/// When the bundled file has a fault, which a test excludes.
#[must_use]
pub fn load(id: &str) -> Option<RigidAirplane> {
    let (name, text) = ALL.iter().find(|(known, _)| *known == id)?;
    Some(
        RigidAirplane::from_toml(text, name)
            .expect("published airplane files are checked by a test"),
    )
}

impl RigidAirplane {
    /// Reads a file of six-degree blocks. `name` is used in messages.
    ///
    /// # Errors
    /// Every fault of the file, each with its line.
    pub fn from_toml(text: &str, name: &str) -> Result<Self, Faults> {
        typed_toml::read(text, name, build)
    }
    /// The vehicle at the mass of the day; see [`Rigid::vehicle`].
    ///
    /// # Errors
    /// A mass not above zero.
    pub fn vehicle(&self, mass: Mass) -> Result<Vehicle, NoSixDegree> {
        self.rigid
            .vehicle(mass)
            .map_err(|error| NoSixDegree::Mass { name: self.name.clone(), error })
    }
}

fn build(root: &Section<'_>) -> Option<RigidAirplane> {
    let (id, name, description) = (root.text("id"), root.text("name"), root.text("description"));
    let mut sources = Vec::new();
    let condition = root.section("condition").and_then(|block| condition(&block, &mut sources));
    let rigid = rigid_file::read(root, None, &mut sources);
    if !root.has("inertia") {
        root.fault("inertia", "block [inertia] is missing", "add it with mass and moments");
    }
    Some(RigidAirplane {
        id: id?,
        name: name?,
        description: description?,
        sources,
        condition: condition?,
        rigid: rigid?,
    })
}

fn condition(section: &Section<'_>, sources: &mut Vec<BlockSource>) -> Option<Condition> {
    if let Some(source) = section.text("source") {
        sources.push(BlockSource { block: "condition".into(), source });
    }
    // Sources print feet per second, which only a speed without kind knows.
    let airspeed: Option<Speed> = section.positive("airspeed");
    let height = section.quantity("height");
    section.refuse_unknown();
    Some(Condition { airspeed: TrueAirspeed::from_mps(airspeed?.to_mps()), height: height? })
}

#[cfg(test)]
mod tests {
    use super::{ALL, load};

    #[test]
    fn every_published_airplane_loads_and_builds() {
        for (id, _) in ALL {
            let airplane = load(id).unwrap();
            assert_eq!(airplane.id, *id);
            let vehicle = airplane.vehicle(airplane.rigid.loading.mass).unwrap();
            assert!(vehicle.aerodynamics.domain().alpha_rad.1 > 0.1);
            assert!(airplane.sources.len() == 5, "{:?}", airplane.sources);
        }
        assert!(load("nothing").is_none());
    }
}
