//! `skychalk recording`: what a recording holds.

use app::answer::with_pictures_and_tables;
use app::recording::show;
use app::{AppError, Outcome, files};
use clap::{Args, Subcommand};

use super::options::{ReaderOptions, RecordingOptions, words};
use super::terminal;

/// Show what a recording holds: sensors, rates, ranges, gaps, oddities, and how its columns were read
#[derive(Debug, Args)]
pub(super) struct RecordingCommand {
    #[command(subcommand)]
    what: What,
}

#[derive(Debug, Subcommand)]
enum What {
    Show(Show),
}

/// What a recording holds, by table and picture
///
/// Several recordings of one flight are joined by their clocks and by what they recorded.
///
/// Example: skychalk recording show lesson.csv --format html -o lesson.html
#[derive(Debug, Args)]
struct Show {
    #[command(flatten)]
    recording: RecordingOptions,
    /// File to write how the columns of a table were read to: correct it and give it with --columns
    #[arg(long, value_name = "FILE")]
    save_columns: Option<String>,
    /// Form of the answer
    #[arg(long, value_parser = words(&with_pictures_and_tables()), default_value = "text")]
    format: String,
    #[command(flatten)]
    reader: ReaderOptions,
}

impl RecordingCommand {
    pub(super) fn run(&self) -> Result<Outcome, AppError> {
        match &self.what {
            What::Show(show) => show.run(),
        }
    }
}

impl Show {
    fn run(&self) -> Result<Outcome, AppError> {
        let answer = show(self.recording.brought()?)?;
        if let Some(file) = &self.save_columns {
            files::write(file, answer.column_map()?.as_bytes())?;
            terminal::say(&format!("written: {file}"));
        }
        terminal::deliver(&answer, &self.format, &self.reader)
    }
}
