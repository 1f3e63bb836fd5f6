//! `skychalk validate`.

use std::path::PathBuf;

use app::answer::{Wanted, of_checks};
use app::validate::{groups, validate};
use app::{AppError, Outcome};
use clap::Args;

use super::options::{OutputOptions, words};
use super::terminal;

/// Hold the engine against published figures, value by value
///
/// Every check with value, reference, difference, tolerance and source. Published files that may not be redistributed are
/// read from a folder of yours; without it their checks are skipped and said to be. Exit status 1 when a check is not met.
///
/// Example: skychalk validate --group nesc --format csv -o nesc.csv
#[derive(Debug, Args)]
pub(super) struct Validate {
    /// Only this group; may be repeated
    #[arg(long = "group", value_name = "NAME", value_parser = words(&groups()))]
    groups: Vec<String>,
    /// Folder of check files; else the one that the environment variable SKYCHALK_CHECKS names
    #[arg(long, value_name = "FOLDER")]
    checks: Option<PathBuf>,
    /// Form of the answer
    #[arg(long, value_parser = words(&of_checks()), default_value = "text")]
    format: String,
    #[command(flatten)]
    output: OutputOptions,
}

impl Validate {
    pub(super) fn run(&self) -> Result<Outcome, AppError> {
        let answer = validate(&self.groups, self.checks.as_deref())?;
        terminal::deliver_as(&answer, &Wanted::format(&self.format), self.output.output.as_deref())
    }
}
