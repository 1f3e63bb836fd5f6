//! `skychalk practice`.

use app::practice::{formats, practice};
use app::{AppError, Outcome};
use clap::Args;

use super::brief::Flown;
use super::options::{ReaderOptions, words};
use super::terminal;

/// Fly a maneuver with a fault in it, for your own practice in debriefing: name the fault, its cause and its cure
///
/// The flight comes as a recording; the same seed gives the same flight, and with --reveal the answer.
///
/// Example: skychalk practice chandelle --airplane plover-160 --seed 7 -o practice.csv
#[derive(Debug, Args)]
pub(super) struct Practice {
    #[command(flatten)]
    flown: Flown,
    /// What the flight and its fault are drawn from
    #[arg(long, value_name = "NUMBER", default_value_t = 1)]
    seed: u64,
    /// The fault to plant, such as rolled-out-early; else the seed draws one
    #[arg(long, value_name = "FAULT")]
    fault: Option<String>,
    /// Say what was wrong
    #[arg(long)]
    reveal: bool,
    /// Form of the answer; else the recording, and text for the answer
    #[arg(long, value_parser = words(&formats()))]
    format: Option<String>,
    #[command(flatten)]
    reader: ReaderOptions,
}

impl Practice {
    pub(super) fn run(&self) -> Result<Outcome, AppError> {
        let asked = self.flown.asked()?;
        let answer = practice(&asked, self.fault.as_deref(), (self.seed, self.reveal))?;
        let usual = if self.reveal { "text" } else { "csv" };
        let format = self.format.as_deref().unwrap_or(usual);
        terminal::deliver(&answer, format, &self.reader)
    }
}
