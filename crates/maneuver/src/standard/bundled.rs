//! The standards that come with the program.

use super::Standard;

/// Key and file text of each. The first is the usual one; the last holds marking bands of our own, labelled as such.
pub const ALL: &[(&str, &str)] = &[
    ("faa-commercial", include_str!("../../../../data/standards/faa-commercial.toml")),
    ("faa-private", include_str!("../../../../data/standards/faa-private.toml")),
    ("easa-ppl", include_str!("../../../../data/standards/easa-ppl.toml")),
    (OWN_BANDS, include_str!("../../../../data/standards/own-bands.toml")),
];

/// Key of the marking bands that belong to no published standard.
pub const OWN_BANDS: &str = "own-bands";

/// The bundled standard of a key.
///
/// # Panics
/// When the bundled file has a fault, which a test excludes.
#[must_use]
pub fn load(id: &str) -> Option<Standard> {
    let (name, text) = ALL.iter().find(|(known, _)| *known == id)?;
    Some(Standard::from_toml(text, name).expect("bundled standards are checked by a test"))
}
