//! Plain hygiene of text files: no trailing blanks, no tabs in Rust, no paths of somebody's machine.

use super::Tree;

pub(super) fn check(tree: &Tree) -> Vec<String> {
    let mut wrong = Vec::new();
    // Spelled in pieces, or this file would find itself.
    let machine = [["/ho", "me/"].concat(), ["/ro", "ot/"].concat(), ["/wo", "rk/"].concat()];
    for (path, text) in tree.files(|path| {
        !path.ends_with(".json") && path != "Cargo.lock" && !path.contains("/fixtures/")
    }) {
        for (number, line) in text.lines().enumerate() {
            let place = format!("{path}:{}", number + 1);
            if line.ends_with([' ', '\t']) {
                wrong.push(format!("{place}: trailing blank"));
            }
            if path.ends_with(".rs") && line.starts_with('\t') {
                wrong.push(format!("{place}: tab"));
            }
            if machine.iter().any(|folder| line.contains(folder.as_str())) {
                wrong.push(format!("{place}: path of a machine"));
            }
        }
    }
    wrong
}
