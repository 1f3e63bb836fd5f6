//! `skychalk find`.

use app::answer::of_finds;
use app::corrections::Corrections;
use app::debrief::debrief;
use app::{AppError, Outcome, choose};
use clap::Args;

use super::options::{FlightOptions, ReaderOptions, RecordingOptions, words};
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
    /// Corrections of the attempts found: a file that gives another name, other limits, or says that it was no maneuver
    #[arg(long, value_name = "FILE")]
    corrections: Option<String>,
    /// Report plain climbing, descending and standard-rate turns too, not only those flown as an exercise
    #[arg(long)]
    plain_turns: bool,
    /// Form of the answer
    #[arg(long, value_parser = words(&of_finds()), default_value = "text")]
    format: String,
    #[command(flatten)]
    reader: ReaderOptions,
}

impl Find {
    pub(super) fn run(&self) -> Result<Outcome, AppError> {
        let mut told = self.flight.told()?;
        told.plain_turns = self.plain_turns;
        if let Some(name) = &self.corrections {
            told.corrections = Corrections::open(name)?;
        }
        let standard = choose::standard(choose::usual_standard())?;
        let answer = debrief(self.recording.brought()?, &told, &standard)?.found();
        terminal::deliver(&answer, &self.format, &self.reader)
    }
}
