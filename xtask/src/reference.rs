//! Writes the reference pages of the catalogue, the standards and the airplanes to `docs/reference/`.

use std::path::Path;

/// Writes every page of [`app::reference::pages`].
pub(crate) fn run(root: &Path, _arguments: &[String]) -> Result<(), String> {
    for (file, text) in app::reference::pages() {
        let path = root.join("docs/reference").join(&file);
        let folder = path.parent().ok_or("docs/reference: no folder")?;
        std::fs::create_dir_all(folder)
            .and_then(|()| std::fs::write(&path, text))
            .map_err(|error| format!("{}: {error}", path.display()))?;
        println!("docs/reference/{file}");
    }
    Ok(())
}
