//! Packages of the Python registry in a virtual environment in a temporary folder that is deleted afterwards.

use std::path::{Path, PathBuf};
use std::process::Command;

/// A virtual environment with packages in it; its interpreter.
pub(crate) fn install(folder: &Path, packages: &[&str]) -> Result<PathBuf, String> {
    let environment = folder.join("environment");
    let done = |command: &mut Command, hint: &str| match command.status() {
        Ok(status) if status.success() => Ok(()),
        _ => Err(format!("{command:?} failed: {hint}")),
    };
    done(
        Command::new("python3").args(["-m", "venv"]).arg(&environment),
        "install Python 3 with its venv module",
    )?;
    let python = environment.join("bin/python");
    done(
        Command::new(&python).args(["-m", "pip", "install", "--quiet"]).args(packages),
        "is the Python registry within reach?",
    )?;
    Ok(python)
}

/// A temporary folder, deleted when dropped.
pub(crate) struct Folder(pub(crate) PathBuf);

impl Folder {
    /// A new one for a task.
    pub(crate) fn new(task: &str) -> Result<Self, String> {
        let path = std::env::temp_dir().join(format!("skychalk-{task}-{}", std::process::id()));
        std::fs::create_dir_all(&path).map_err(|error| format!("{}: {error}", path.display()))?;
        Ok(Self(path))
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        let _ = std::fs::remove_dir_all(&self.0);
    }
}
