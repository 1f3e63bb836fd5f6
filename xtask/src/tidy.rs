//! Rules about the tree that the compiler does not check. A rule is one file and one line in [`RULES`].

mod documents;
mod factors;
mod imports;
mod module_docs;
mod sources;
mod text;

use std::fs;
use std::path::{Path, PathBuf};

/// What a rule looks at: every tracked-like text file of the tree, read once.
pub(crate) struct Tree {
    /// Path relative to the root with forward slashes, and content.
    files: Vec<(String, String)>,
    root: PathBuf,
}

impl Tree {
    /// Files whose relative path passes.
    fn files<'a>(
        &'a self,
        pass: impl Fn(&str) -> bool + 'a,
    ) -> impl Iterator<Item = (&'a str, &'a str)> {
        self.files
            .iter()
            .filter(move |(path, _)| pass(path))
            .map(|(path, text)| (path.as_str(), text.as_str()))
    }
    /// Content of one file.
    fn file(&self, path: &str) -> Option<&str> {
        self.files.iter().find(|(known, _)| known == path).map(|(_, text)| text.as_str())
    }
    /// Whether a path exists, file or folder.
    fn exists(&self, path: &str) -> bool {
        self.root.join(path).exists()
    }
}

/// One rule: returns what it found wrong, one line each.
type Rule = fn(&Tree) -> Vec<String>;

const RULES: &[(&str, Rule)] = &[
    ("module docs", module_docs::check),
    ("imports between crates", imports::check),
    ("stray conversion factors", factors::check),
    ("documents", documents::check),
    ("keys of sources", sources::check),
    ("text", text::check),
];

/// Runs every rule.
pub(crate) fn run(root: &Path, _arguments: &[String]) -> Result<(), String> {
    let tree = read_tree(root)?;
    let mut wrong = Vec::new();
    for (name, rule) in RULES {
        let found = rule(&tree);
        println!(
            "tidy: {name}: {}",
            if found.is_empty() { "in order".into() } else { format!("{} faults", found.len()) }
        );
        wrong.extend(found);
    }
    if wrong.is_empty() { Ok(()) } else { Err(wrong.join("\n")) }
}

const READ_ENDINGS: &[&str] = &["rs", "toml", "md", "js", "css", "html", "json", "sh"];
/// `vendor`: written by others, brought by a script and compared with what it gives.
const SKIPPED_FOLDERS: &[&str] = &["target", ".git", "node_modules", "out", "vendor"];

fn read_tree(root: &Path) -> Result<Tree, String> {
    let mut files = Vec::new();
    let mut folders = vec![root.to_path_buf()];
    while let Some(folder) = folders.pop() {
        let entries =
            fs::read_dir(&folder).map_err(|error| format!("{}: {error}", folder.display()))?;
        for entry in entries.flatten() {
            let path = entry.path();
            let name = entry.file_name().to_string_lossy().into_owned();
            if path.is_dir() {
                if !SKIPPED_FOLDERS.contains(&name.as_str()) {
                    folders.push(path);
                }
            } else if READ_ENDINGS.iter().any(|ending| name.ends_with(&format!(".{ending}")))
                && let Ok(text) = fs::read_to_string(&path)
            {
                files.push((relative(root, &path), text));
            }
        }
    }
    files.sort();
    Ok(Tree { files, root: root.to_path_buf() })
}

fn relative(root: &Path, path: &Path) -> String {
    path.strip_prefix(root).unwrap_or(path).to_string_lossy().replace('\\', "/")
}
