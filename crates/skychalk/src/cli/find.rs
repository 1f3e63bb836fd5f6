//! `skychalk find`.

use app::answer::of_finds;
use app::debrief::debrief;
use app::{AppError, Outcome, choose};
use clap::Args;

use super::options::{FlightOptions, OutputOptions, RecordingOptions, words};
use super::terminal;

/// Find the attempts in the recording of a flight, without measuring them
///
/// Example: skychalk find lesson.igc --format csv
#[derive(Debug, Args)]
pub(super) struct Find {
    #[command(flatten)]
    recording: RecordingOptions,
    #[command(flatten)]
    flight: FlightOptions,
    /// Form of the answer
    #[arg(long, value_parser = words(&of_finds()), default_value = "text")]
    format: String,
    #[command(flatten)]
    output: OutputOptions,
}

impl Find {
    pub(super) fn run(&self) -> Result<Outcome, AppError> {
        let told = self.flight.told()?;
        let standard = choose::standard(choose::usual_standard())?;
        let answer = debrief(self.recording.brought()?, &told, &standard)?.found();
        terminal::deliver(&answer, &self.format, self.output.output.as_deref())
    }
}
