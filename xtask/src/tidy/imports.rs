//! A crate may import only what the table in ARCHITECTURE.md allows; the table and the manifests must agree.

use super::Tree;

/// Heading of the column that lists allowed imports.
const TABLE_MARK: &str = "| crate | may import |";

pub(super) fn check(tree: &Tree) -> Vec<String> {
    let Some(map) = tree.file("ARCHITECTURE.md") else {
        return vec!["ARCHITECTURE.md: missing".into()];
    };
    let allowed = table(map);
    if allowed.is_empty() {
        return vec![format!("ARCHITECTURE.md: no table headed {TABLE_MARK:?}")];
    }
    let members: Vec<&str> = allowed.iter().map(|(name, _)| name.as_str()).collect();
    let mut wrong = Vec::new();
    for (path, text) in
        tree.files(|path| path.starts_with("crates/") && path.ends_with("/Cargo.toml"))
    {
        let name = path.split('/').nth(1).unwrap_or_default();
        let Some((_, may)) = allowed.iter().find(|(known, _)| known == name) else {
            wrong.push(format!("{path}: crate {name} is not in the table of ARCHITECTURE.md"));
            continue;
        };
        for dependency in dependencies(text) {
            if members.contains(&dependency.as_str()) && !may.contains(&dependency) {
                wrong.push(format!(
                    "{path}: {name} may not import {dependency} (table in ARCHITECTURE.md)"
                ));
            }
        }
    }
    for (name, _) in &allowed {
        if !tree.exists(&format!("crates/{name}/Cargo.toml")) {
            wrong.push(format!("ARCHITECTURE.md: crate {name} of the table does not exist"));
        }
    }
    wrong
}

/// Rows of the table: crate and what it may import.
fn table(map: &str) -> Vec<(String, Vec<String>)> {
    map.lines()
        .skip_while(|line| !line.starts_with(TABLE_MARK))
        .skip(2)
        .take_while(|line| line.starts_with('|'))
        .filter_map(|line| {
            let mut cells = line.trim_matches('|').split('|').map(str::trim);
            let name = cells.next()?.trim_matches('`').to_string();
            let may =
                cells.next()?.split_whitespace().map(|word| word.trim_matches('`').to_string());
            Some((name, may.collect()))
        })
        .collect()
}

/// Names under `[dependencies]` of a manifest (development dependencies are free).
fn dependencies(manifest: &str) -> Vec<String> {
    manifest
        .lines()
        .skip_while(|line| line.trim() != "[dependencies]")
        .skip(1)
        .take_while(|line| !line.trim_start().starts_with('['))
        .filter_map(|line| line.split(['.', '=', ' ']).next())
        .filter(|name| !name.is_empty() && !name.starts_with('#'))
        .map(str::to_string)
        .collect()
}

#[cfg(test)]
mod tests {
    use super::{TABLE_MARK, dependencies, table};

    #[test]
    fn the_table_and_a_manifest_are_read() {
        let map =
            format!("text\n\n{TABLE_MARK}\n|---|---|\n| `base` | |\n| `flight` | `base` |\n\nmore");
        assert_eq!(
            table(&map),
            [("base".into(), vec![]), ("flight".into(), vec!["base".to_string()])]
        );
        let manifest = "[package]\nname = \"x\"\n[dependencies]\nbase.workspace = true\ntoml = \"1\"\n\n[dev-dependencies]\nigc = \"0\"";
        assert_eq!(dependencies(manifest), ["base", "toml"]);
    }
}
