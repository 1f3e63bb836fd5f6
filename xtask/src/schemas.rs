//! Writes the JSON Schemas of the documents to `docs/reference/`.

use std::path::Path;

/// Writes every schema of [`wire::schema::ALL`].
pub(crate) fn run(root: &Path, _arguments: &[String]) -> Result<(), String> {
    let folder = root.join("docs/reference");
    std::fs::create_dir_all(&folder).map_err(|error| format!("{}: {error}", folder.display()))?;
    for (file, make) in wire::schema::ALL {
        let path = folder.join(file);
        std::fs::write(&path, wire::to_json(&make()))
            .map_err(|error| format!("{}: {error}", path.display()))?;
        println!("docs/reference/{file}");
    }
    Ok(())
}
