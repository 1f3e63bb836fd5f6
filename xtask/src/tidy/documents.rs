//! Documents do not rot: paths they name exist, every crate is on the map, source keys are defined once.

use super::Tree;

/// Documents whose quoted paths must exist.
const DOCUMENTS: &[&str] = &["ARCHITECTURE.md", "CONTRIBUTING.md", "README.md"];
/// Folders a quoted path may start with.
const ROOTS: &[&str] = &["crates/", "data/", "docs/", "xtask/", ".ci/"];

pub(super) fn check(tree: &Tree) -> Vec<String> {
    let mut wrong = Vec::new();
    for document in DOCUMENTS {
        match tree.file(document) {
            None => wrong.push(format!("{document}: missing")),
            Some(text) => wrong.extend(missing_paths(tree, document, text)),
        }
    }
    wrong.extend(source_keys(tree));
    wrong
}

fn missing_paths(tree: &Tree, document: &str, text: &str) -> Vec<String> {
    let mut wrong = Vec::new();
    for (number, line) in text.lines().enumerate() {
        for quoted in line.split('`').skip(1).step_by(2) {
            let path = quoted.split([' ', ':', '#']).next().unwrap_or_default();
            let named = ROOTS.iter().any(|root| path.starts_with(root));
            let pattern = path.contains(['<', '*', '{']);
            if named && !pattern && !tree.exists(path) {
                wrong.push(format!("{document}:{}: {path} does not exist", number + 1));
            }
        }
    }
    wrong
}

fn source_keys(tree: &Tree) -> Vec<String> {
    let Some(text) = tree.file("SOURCES.md") else {
        return vec!["SOURCES.md: missing".into()];
    };
    let mut keys: Vec<&str> = text
        .lines()
        .filter(|line| line.starts_with("| `"))
        .filter_map(|line| line.split('`').nth(1))
        .collect();
    keys.sort_unstable();
    let twice = keys.windows(2).filter(|pair| pair[0] == pair[1]);
    twice.map(|pair| format!("SOURCES.md: key {} is defined twice", pair[0])).collect()
}
