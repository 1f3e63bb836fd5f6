//! Tests only: outside recordings found by a part of their name.

/// Bytes of the one recording of a folder whose name holds `part`; a missing folder is as in [`checks::recording`].
pub(crate) fn recording(folder: &str, part: &str) -> Option<Vec<u8>> {
    let place = checks::folder().map(|root| root.join("../recordings").join(folder));
    let entries = place.and_then(|place| std::fs::read_dir(place).ok());
    let names = entries.into_iter().flatten().flatten();
    let mut found: Vec<String> = names
        .filter_map(|entry| entry.file_name().into_string().ok())
        .filter(|name| name.contains(part))
        .collect();
    found.sort();
    assert!(found.len() < 2, "{part} names several recordings: {found:?}");
    let name = found.pop().unwrap_or_else(|| format!("*{part}*"));
    checks::recording(&format!("{folder}/{name}"))
}
