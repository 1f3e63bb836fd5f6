//! Tasks that calculate much: run again from a release build.

use std::path::Path;
use std::process::Command;

/// Runs the task from a release build when this is not one; `None` when it is.
pub(crate) fn again(root: &Path, task: &str, arguments: &[String]) -> Option<Result<(), String>> {
    if !cfg!(debug_assertions) {
        return None;
    }
    let mut cargo = Command::new(env!("CARGO"));
    cargo.current_dir(root).args(["run", "--release", "--quiet", "--package", "xtask", "--"]);
    Some(match cargo.arg(task).args(arguments).status() {
        Ok(status) if status.success() => Ok(()),
        Ok(status) if status.code() == Some(1) => Err(format!("{task}: see above")),
        other => Err(format!("the release build did not run: {other:?}")),
    })
}
