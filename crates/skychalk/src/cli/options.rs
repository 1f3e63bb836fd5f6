//! Options that several commands share, and their way to `app`.

use std::path::PathBuf;

use app::debrief::{Brought, Told};
use app::many::ReadOptions;
use app::reading::Said;
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
    /// The recording, known by its content; - for standard input; several of one flight are joined
    #[arg(value_name = "RECORDING", required = true)]
    pub(super) recordings: Vec<PathBuf>,
    /// Unit of a column whose header does not say it, such as ground_speed=kt; may be repeated
    #[arg(long = "unit", value_name = "COLUMN=UNIT")]
    pub(super) units: Vec<String>,
    /// Column map of a table (see `skychalk recording show --save-columns`); repeated, one for each recording in their order
    #[arg(long, value_name = "FILE")]
    columns: Vec<String>,
    /// Time from row to row of a table without a clock, such as 1s or 200ms
    #[arg(long, value_name = "TIME")]
    row_interval: Option<String>,
    /// Which aircraft, where the recording holds several: its address or callsign
    #[arg(long, value_name = "AIRCRAFT")]
    aircraft: Option<String>,
    /// Which file, where the recording is an archive of several
    #[arg(long, value_name = "NAME")]
    entry: Option<String>,
}

impl RecordingOptions {
    /// How every one of several flights is read: what is said of one column map holds for all.
    pub(super) fn reading_of_all(&self) -> Result<ReadOptions, AppError> {
        if self.columns.len() > 1 {
            let what =
                format!("{} column maps for flights that are not joined", self.columns.len());
            return Err(AppError::request(what, "give one for all"));
        }
        let read = |name: &String| -> Result<(String, String), AppError> {
            Ok((name.clone(), files::text(name)?))
        };
        let map = self.columns.first().map(read).transpose()?;
        let said = Said {
            units: self.units.iter().map(String::as_str).collect(),
            columns: map.as_ref().map(|(name, text)| (name.as_str(), text.as_str())),
            row_interval: self.row_interval.as_deref(),
            aircraft: self.aircraft.as_deref(),
            entry: self.entry.as_deref(),
        };
        said.options()
    }
    /// Opens the recordings.
    pub(super) fn brought(&self) -> Result<Vec<Brought>, AppError> {
        let (maps, recordings) = (self.columns.len(), self.recordings.len());
        if maps > 1 && maps != recordings {
            let what = format!("{maps} column maps for {recordings} recordings");
            return Err(AppError::request(
                what,
                "give one for all, or one for each in their order",
            ));
        }
        let maps = self.columns.iter().map(|name| Ok((name.as_str(), files::text(name)?)));
        let maps: Vec<(&str, String)> = maps.collect::<Result<_, AppError>>()?;
        let one = |(index, path): (usize, &PathBuf)| {
            let columns = maps.get(index).or(maps.first());
            let said = Said {
                units: self.units.iter().map(String::as_str).collect(),
                columns: columns.map(|(name, text)| (*name, text.as_str())),
                row_interval: self.row_interval.as_deref(),
                aircraft: self.aircraft.as_deref(),
                entry: self.entry.as_deref(),
            };
            let name = match path.to_string_lossy() {
                name if name == "-" => "standard input".to_string(),
                name => name.into_owned(),
            };
            let reading = said.options()?;
            Ok(Brought { name, bytes: files::bytes(path)?, reading })
        };
        self.recordings.iter().enumerate().map(one).collect()
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
    /// Nearer to the stall than this is told wherever it happens, such as 5kt (usual: 3kt)
    #[arg(long, value_name = "MARGIN")]
    stall_margin: Option<String>,
    /// Greatest engine speed, such as 2700rpm: an engine turned faster is told, where the recording shows it
    #[arg(long, value_name = "SPEED")]
    engine_speed_max: Option<String>,
}

impl FlightOptions {
    pub(super) fn told(&self) -> Result<Told, AppError> {
        let airplane = self.airplane.as_deref().map(choose::airplane).transpose()?;
        let given = [
            ("wind", &self.wind),
            ("qnh", &self.qnh),
            ("oat", &self.oat),
            ("ground-elevation", &self.ground_elevation),
            ("stall-margin", &self.stall_margin),
            ("engine-speed-max", &self.engine_speed_max),
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

/// On which paper an answer is put.
#[derive(Debug, Args)]
pub(super) struct PageOptions {
    /// Size of the paper, with --format pdf, html or svg; else the one that the paper is made for
    #[arg(long, value_name = "SIZE", value_parser = page_sizes())]
    pub(super) page_size: Option<String>,
}

fn units() -> PossibleValuesParser {
    let keys: Vec<&str> = report::units::ALL.iter().map(|units| units.key).collect();
    words(&keys)
}

fn page_sizes() -> PossibleValuesParser {
    let keys: Vec<&str> = report::layout::SIZES.iter().map(|size| size.key).collect();
    words(&keys)
}

/// Where an answer goes.
#[derive(Debug, Args)]
pub(super) struct OutputOptions {
    /// File to write instead of standard output
    #[arg(short, long, value_name = "FILE")]
    pub(super) output: Option<String>,
}

/// Where an answer for people goes, and in which units they read it.
#[derive(Debug, Args)]
pub(super) struct ReaderOptions {
    #[command(flatten)]
    output: OutputOptions,
    /// Units of what people read: sentences keep theirs with these behind; csv and json keep theirs alone
    #[arg(long, value_name = "UNITS", value_parser = units())]
    pub(super) shown_in: Option<String>,
}

impl ReaderOptions {
    pub(super) fn output(&self) -> Option<&str> {
        self.output.output.as_deref()
    }
}
