//! The program `lap` of the benches of `flight`, built for release: laps of the piston trainer.

use std::path::{Path, PathBuf};
use std::process::Command;

/// Forms of the air forces that are flown: what the demonstration flies, and the same as tables.
pub(crate) const FORMS: [&str; 2] = ["components", "tables"];

/// The built program.
pub(crate) struct Lap {
    program: PathBuf,
}

/// Builds a bench program for release and says where it is.
pub(crate) fn program(root: &Path, package: &str, bench: &str) -> Result<PathBuf, String> {
    let mut cargo = Command::new(env!("CARGO"));
    cargo.current_dir(root).args(["bench", "--package", package, "--bench", bench]);
    let output = cargo
        .args(["--no-run", "--message-format", "short"])
        .output()
        .map_err(|error| format!("cargo: {error}"))?;
    let words = String::from_utf8_lossy(&output.stderr);
    // Cargo ends with: Executable benches/lap.rs (target/release/deps/lap-1234)
    let program = words.lines().rev().find_map(|line| {
        line.contains("Executable")
            .then(|| line.rsplit('(').next())?
            .map(|path| path.trim_end_matches(')'))
    });
    match program {
        Some(path) if output.status.success() => Ok(root.join(path)),
        _ => Err(format!("the bench `{bench}` was not built:\n{words}")),
    }
}

impl Lap {
    /// Builds it.
    pub(crate) fn build(root: &Path) -> Result<Self, String> {
        program(root, "flight", "lap").map(|program| Self { program })
    }
    /// A lap: rule, earth, form of the air forces (see the program), and steps.
    pub(crate) fn command(&self, words: [&str; 3], steps: u32) -> Command {
        let mut command = Command::new(&self.program);
        command.args(words).arg(steps.to_string());
        command
    }
    /// The same lap under the instruction counter.
    pub(crate) fn counted(&self, words: [&str; 3], steps: u32) -> Command {
        let mut command = Command::new("valgrind");
        command.args(["--tool=callgrind", "--callgrind-out-file=/dev/null"]);
        command.arg(&self.program).args(words).arg(steps.to_string());
        command
    }
}
