//! Titles of the sources that statements and figures name by their keys.

/// The table that is kept for readers, so that there is one.
const TABLE: &str = include_str!("../../../SOURCES.md");

/// Key and title of each source, in the order of the table.
pub fn all() -> impl Iterator<Item = (&'static str, &'static str)> {
    TABLE.lines().filter_map(|line| {
        let (key, title) = line.strip_prefix("| `")?.split_once("` | ")?;
        Some((key, title.strip_suffix(" |")?))
    })
}

/// The key with the title of its source, as a list of sources is written; a key that is not in the table stays as it is.
#[must_use]
pub fn titled(key: &str) -> String {
    let found = all().find(|(known, _)| *known == key);
    found.map_or_else(|| key.to_owned(), |(key, title)| format!("{key}: {title}"))
}

#[cfg(test)]
mod tests {
    #[test]
    fn prop_every_row_has_a_key_and_a_title() {
        let rows = super::TABLE.lines().filter(|line| line.starts_with("| `")).count();
        assert_eq!(super::all().count(), rows);
        assert!(super::all().all(|(key, title)| !key.is_empty() && !title.is_empty()));
        assert!(super::titled("US-1976").starts_with("US-1976: U.S. Standard Atmosphere"));
        assert_eq!(super::titled("nobody knows it"), "nobody knows it");
    }
}
