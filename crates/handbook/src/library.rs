//! Files of figures that come with the program: airplanes of which public figures can be cited.

/// Every file of figures: its key and its text, in the order they are listed.
pub const ALL: &[(&str, &str)] = &[
    ("cessna-152", include_str!("../../../data/airplanes-from-figures/cessna-152.toml")),
    ("cessna-172p", include_str!("../../../data/airplanes-from-figures/cessna-172p.toml")),
    ("cessna-182t", include_str!("../../../data/airplanes-from-figures/cessna-182t.toml")),
    ("cessna-r182", include_str!("../../../data/airplanes-from-figures/cessna-r182.toml")),
    ("piper-pa28-161", include_str!("../../../data/airplanes-from-figures/piper-pa28-161.toml")),
    ("navion-a", include_str!("../../../data/airplanes-from-figures/navion-a.toml")),
    ("beaver-dhc2", include_str!("../../../data/airplanes-from-figures/beaver-dhc2.toml")),
];

/// The text of a key.
#[must_use]
pub fn text(id: &str) -> Option<&'static str> {
    ALL.iter().find(|(known, _)| *known == id).map(|(_, text)| *text)
}
