//! Every Rust file opens with a module doc that says what lives in it.

use super::Tree;

pub(super) fn check(tree: &Tree) -> Vec<String> {
    tree.files(|path| path.ends_with(".rs"))
        .filter(|(_, text)| !text.trim_start().starts_with("//!"))
        .map(|(path, _)| {
            format!("{path}:1: the file must open with a module doc (//! what lives here)")
        })
        .collect()
}
