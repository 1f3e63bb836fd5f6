//! `skychalk reconstruct`.

use app::answer::{Wanted, of_numbers};
use app::reconstruct::reconstruct;
use app::{AppError, Outcome};
use clap::Args;

use super::options::{FlightOptions, OutputOptions, RecordingOptions, words};
use super::terminal;

/// Reconstruct the most likely motion of a recorded flight, with its uncertainty
///
/// Bank, pitch, airspeed, height, load factor and wind against time, each with one standard deviation. A quantity that the
/// recording cannot support is absent, with a note.
///
/// Example: skychalk reconstruct lesson.gpx --airplane plover-160 -o motion.csv
#[derive(Debug, Args)]
pub(super) struct Reconstruct {
    #[command(flatten)]
    recording: RecordingOptions,
    #[command(flatten)]
    flight: FlightOptions,
    /// Form of the answer
    #[arg(long, value_parser = words(&of_numbers()), default_value = "csv")]
    format: String,
    #[command(flatten)]
    output: OutputOptions,
}

impl Reconstruct {
    pub(super) fn run(&self) -> Result<Outcome, AppError> {
        let told = self.flight.told()?;
        let answer = reconstruct(self.recording.brought()?, &told)?;
        terminal::deliver_as(&answer, &Wanted::format(&self.format), self.output.output.as_deref())
    }
}
