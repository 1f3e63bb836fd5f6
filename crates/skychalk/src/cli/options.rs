//! Options that several commands share, and their way to `app`.

use std::path::PathBuf;

use app::debrief::{Brought, Told};
use app::typed::Typed;
use app::{AppError, choose, files};
use clap::Args;
use clap::builder::PossibleValuesParser;

/// A list of words as the only values of an option: help and completion derive from it.
pub(super) fn words(list: &[&'static str]) -> PossibleValuesParser {
    PossibleValuesParser::new(list.to_vec())
}

/// Which recording, and how it is to be read.
#[derive(Debug, Args)]
pub(super) struct RecordingOptions {
    /// The recording: CSV, GPX or IGC, known by its content; - for standard input
    #[arg(value_name = "RECORDING")]
    pub(super) recording: PathBuf,
    /// Unit of a column whose header does not say it, such as ground_speed=kt; may be repeated
    #[arg(long = "unit", value_name = "COLUMN=UNIT")]
    pub(super) units: Vec<String>,
}

impl RecordingOptions {
    /// Opens the recording.
    pub(super) fn brought(&self) -> Result<Brought, AppError> {
        let units = self.units.iter().map(|pair| choose::unit(pair)).collect::<Result<_, _>>()?;
        let named = match self.recording.to_string_lossy() {
            name if name == "-" => "standard input".to_string(),
            name => name.into_owned(),
        };
        Ok(Brought { name: named, bytes: files::bytes(&self.recording)?, units })
    }
}

/// What is known of a flight besides its recording.
#[derive(Debug, Args)]
pub(super) struct FlightOptions {
    /// Airplane flown: a key (see `skychalk airplane list`) or an airplane file; gives pitch, stall margin, reference flights
    #[arg(long, value_name = "AIRPLANE")]
    airplane: Option<String>,
    /// Wind, from degrees true and speed, such as 270/12kt; else it is found from the turns
    #[arg(long)]
    wind: Option<String>,
    /// Altimeter setting of the day, such as 1009hPa or 29.80inHg
    #[arg(long)]
    qnh: Option<String>,
    /// Outside air temperature at the height flown, such as 12C
    #[arg(long, allow_hyphen_values = true)]
    oat: Option<String>,
    /// Elevation of the ground in the practice area, such as 600ft: heights above it are judged only when it is given
    #[arg(long, value_name = "ELEVATION", allow_hyphen_values = true)]
    ground_elevation: Option<String>,
}

impl FlightOptions {
    pub(super) fn told(&self) -> Result<Told, AppError> {
        let airplane = self.airplane.as_deref().map(choose::airplane).transpose()?;
        let given = [
            ("wind", &self.wind),
            ("qnh", &self.qnh),
            ("oat", &self.oat),
            ("ground-elevation", &self.ground_elevation),
        ];
        Told::read(&typed(&given), airplane)
    }
}

/// The day of a brief.
#[derive(Debug, Args)]
pub(super) struct DayOptions {
    /// Elevation of the field, such as 600ft; also taken for the ground below
    #[arg(long, value_name = "ELEVATION", allow_hyphen_values = true)]
    pub(super) field_elevation: Option<String>,
    /// Altimeter setting, such as 1009hPa or 29.80inHg
    #[arg(long)]
    pub(super) qnh: Option<String>,
    /// Outside air temperature at the field, such as 28C
    #[arg(long, allow_hyphen_values = true)]
    pub(super) oat: Option<String>,
    /// Wind, from degrees true and speed, such as 270/12kt, or calm
    #[arg(long)]
    pub(super) wind: Option<String>,
}

/// What was typed, by option.
pub(super) fn typed<'a>(given: &[(&'a str, &'a Option<String>)]) -> Typed<'a> {
    Typed::new(given.iter().filter_map(|(name, text)| Some((*name, text.as_deref()?))))
}

/// Where an answer goes.
#[derive(Debug, Args)]
pub(super) struct OutputOptions {
    /// File to write instead of standard output
    #[arg(short, long, value_name = "FILE")]
    pub(super) output: Option<String>,
}
