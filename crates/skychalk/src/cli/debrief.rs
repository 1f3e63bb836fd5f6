//! `skychalk debrief`.

use app::answer::{Wanted, with_pictures_and_tables};
use app::corrections::Corrections;
use app::debrief::{Told, debrief};
use app::many::{self, Standard};
use app::notes::FlightNotes;
use app::typed::attempt;
use app::{AppError, Outcome, choose};
use clap::Args;

use super::options::{FlightOptions, PageOptions, ReaderOptions, RecordingOptions, typed, words};
use super::terminal;

/// Find, measure and judge the attempts in the recording of a flight
///
/// Every number stands with its uncertainty; a verdict is met, not met, or cannot tell from this recording.
///
/// Several recordings are those of one flight and are joined; with --each, and in a folder, each is a flight of its own.
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
    /// Each recording is a flight of its own (as for folders): many at once, as text, json or csv
    #[arg(long)]
    each: bool,
    /// Notes about the attempts: a file that says who flew each, and with what help
    #[arg(long, value_name = "FILE")]
    notes: Option<String>,
    /// Begin with what to ask the student, to be answered before the figures are seen (text, html, pdf)
    #[arg(long)]
    own_account: bool,
    /// Corrections of the attempts found: a file that gives another name, other limits, or says that it was no maneuver
    #[arg(long, value_name = "FILE")]
    corrections: Option<String>,
    /// Report plain climbing, descending and standard-rate turns too, not only those flown as an exercise
    #[arg(long)]
    plain_turns: bool,
    /// Tell this attempt alone in full, by its number in the list (text, html, pdf, svg)
    #[arg(long, value_name = "NUMBER")]
    attempt: Option<String>,
    /// Form of the answer
    #[arg(long, value_parser = words(&with_pictures_and_tables()), default_value = "text")]
    format: String,
    #[command(flatten)]
    page: PageOptions,
    #[command(flatten)]
    reader: ReaderOptions,
}

impl Debrief {
    pub(super) fn run(&self) -> Result<Outcome, AppError> {
        let mut told = self.flight.told()?;
        told.plain_turns = self.plain_turns;
        told.attempt = typed(&[("attempt", &self.attempt)]).quantity("attempt", attempt)?;
        if let Some(name) = &self.notes {
            told.notes = FlightNotes::open(name)?;
        }
        if let Some(name) = &self.corrections {
            told.corrections = Corrections::open(name)?;
        }
        let standard = choose::standard(&self.standard)?;
        if self.each || self.recording.recordings.iter().any(|path| path.is_dir()) {
            return self.each_its_own(&told, &standard);
        }
        let brought = self.recording.brought()?;
        for one in &brought {
            terminal::progress(&format!("reading {}", one.name));
        }
        let answer = debrief(brought, &told, &standard)?.with_own_account(self.own_account);
        let wanted = Wanted {
            page_size: self.page.page_size.as_deref(),
            units: self.reader.shown_in.as_deref(),
            ..Wanted::format(&self.format)
        };
        terminal::deliver_as(&answer, &wanted, self.reader.output())
    }
    /// Every recording a flight of its own.
    fn each_its_own(&self, told: &Told, standard: &Standard) -> Result<Outcome, AppError> {
        if self.notes.is_some() || self.corrections.is_some() || self.attempt.is_some() {
            return Err(AppError::request(
                "notes, corrections and the number of an attempt belong to one flight, and several were given",
                "debrief their flight by itself",
            ));
        }
        let paths = many::recordings(&self.recording.recordings)?;
        let reading = self.recording.reading_of_all()?;
        let asked = many::Asked { reading, told, standard, format: &self.format };
        let threads = std::thread::available_parallelism().map_or(1, usize::from);
        let mut sink = terminal::Stream::to(self.reader.output())?;
        many::debriefs(&paths, &asked, threads, &mut sink)
    }
}
