//! The standards that come with the program.

use super::Standard;

/// Key and file text of each. The first is the usual one; the last holds marking bands of our own, labelled as such.
pub const ALL: &[(&str, &str)] = &[
    COMMERCIAL,
    PRIVATE,
    ("faa-instructor", include_str!("../../../../data/standards/faa-instructor.toml")),
    (
        "faa-instructor-practical",
        include_str!("../../../../data/standards/faa-instructor-practical.toml"),
    ),
    (
        "faa-commercial-practical",
        include_str!("../../../../data/standards/faa-commercial-practical.toml"),
    ),
    (
        "faa-slow-flight-older",
        include_str!("../../../../data/standards/faa-slow-flight-older.toml"),
    ),
    EUROPEAN_PRIVATE,
    ("easa-lapl", include_str!("../../../../data/standards/easa-lapl.toml")),
    ("easa-cpl", include_str!("../../../../data/standards/easa-cpl.toml")),
    ("easa-type-rating", include_str!("../../../../data/standards/easa-type-rating.toml")),
    (OWN_BANDS, include_str!("../../../../data/standards/own-bands.toml")),
];

const COMMERCIAL: (&str, &str) =
    ("faa-commercial", include_str!("../../../../data/standards/faa-commercial.toml"));
const PRIVATE: (&str, &str) =
    ("faa-private", include_str!("../../../../data/standards/faa-private.toml"));
const EUROPEAN_PRIVATE: (&str, &str) =
    ("easa-ppl", include_str!("../../../../data/standards/easa-ppl.toml"));

/// Those whose rows other standards may take over: they take over none themselves.
pub(super) const PLAIN: [(&str, &str); 3] = [COMMERCIAL, PRIVATE, EUROPEAN_PRIVATE];

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
