//! `skychalk debrief`.

use app::answer::with_pictures_and_tables;
use app::debrief::debrief;
use app::{AppError, Outcome, choose};
use clap::Args;

use super::options::{FlightOptions, OutputOptions, RecordingOptions, words};
use super::terminal;

/// Find, measure and judge the attempts in the recording of a flight
///
/// Every number stands with its uncertainty; a verdict is met, not met, or cannot tell from this recording.
///
/// Example: skychalk debrief lesson.gpx --airplane plover-160 --format html -o lesson.html
#[derive(Debug, Args)]
pub(super) struct Debrief {
    #[command(flatten)]
    recording: RecordingOptions,
    #[command(flatten)]
    flight: FlightOptions,
    /// Standard to judge by: a key (see `skychalk standard list`) or a standard file
    #[arg(long, value_name = "STANDARD", default_value = choose::usual_standard())]
    standard: String,
    /// Form of the answer
    #[arg(long, value_parser = words(&with_pictures_and_tables()), default_value = "text")]
    format: String,
    #[command(flatten)]
    output: OutputOptions,
}

impl Debrief {
    pub(super) fn run(&self) -> Result<Outcome, AppError> {
        let told = self.flight.told()?;
        let standard = choose::standard(&self.standard)?;
        let brought = self.recording.brought()?;
        for one in &brought {
            terminal::progress(&format!("reading {}", one.name));
        }
        let answer = debrief(brought, &told, &standard)?;
        terminal::deliver(&answer, &self.format, self.output.output.as_deref())
    }
}
