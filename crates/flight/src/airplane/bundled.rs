//! The two invented demo airplanes that come with the program.

use super::Airplane;

/// Key and file text of each.
pub const ALL: &[(&str, &str)] = &[
    ("plover-160", include_str!("../../../../data/airplanes/plover-160.toml")),
    ("sandpiper-550", include_str!("../../../../data/airplanes/sandpiper-550.toml")),
];

/// The bundled airplane of a key.
///
/// # Panics
/// When the bundled file has a fault, which a test excludes.
#[must_use]
pub fn load(id: &str) -> Option<Airplane> {
    let (name, text) = ALL.iter().find(|(known, _)| *known == id)?;
    Some(Airplane::from_toml(text, name).expect("bundled airplane files are checked by a test"))
}
