//! Documents do not rot: paths they name exist, every crate is on the map.

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
