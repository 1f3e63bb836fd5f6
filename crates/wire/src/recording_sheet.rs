//! `skychalk.recording/1`: what a recording holds, sensor by sensor, and what its reader had to say.

use crate::number::{rounded, seconds, significant};
use recording::formats::csv::columns::{ColumnMap, MappedColumn};
use recording::formats::csv::meanings::Meaning;
use recording::summary::{Held, held};
use recording::{HeightDatum, NoteKind, Recording};
use schemars::JsonSchema;
use serde::Serialize;

/// Name of the document and its version.
pub const SCHEMA: &str = "skychalk.recording/1";

/// What a recording holds.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct RecordingSheet {
    /// Always `skychalk.recording/1`.
    pub schema: &'static str,
    /// Name of the file, or of the files joined.
    pub file: String,
    /// Key of the format it was read by.
    pub format: &'static str,
    /// Instant of time zero, when the file says it (RFC 3339, UTC).
    pub start: Option<String>,
    /// Last sample, seconds from the first.
    pub duration_s: f64,
    /// What the heights of the fixes are measured from: `not stated`, `mean sea level`, `ellipsoid`, `pressure`.
    pub height_datum: &'static str,
    /// Box around the positions; null without positions.
    pub area: Option<AreaOut>,
    /// Every quantity recorded.
    pub sensors: Vec<SensorOut>,
    /// What the reader had to say.
    pub notes: Vec<NoteOut>,
    /// How the columns of a table were read; null when it is no table.
    pub columns: Option<Vec<ColumnOut>>,
    /// Columns of a table that were not read.
    pub columns_not_read: Vec<String>,
}

/// A box on the map.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct AreaOut {
    /// Southernmost latitude.
    pub south_deg: f64,
    /// Northernmost latitude.
    pub north_deg: f64,
    /// Westernmost longitude of the first box that holds all, which may pass the date line.
    pub west_deg: f64,
    /// Easternmost longitude.
    pub east_deg: f64,
}

/// One quantity recorded.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct SensorOut {
    /// Key of the quantity.
    pub quantity: &'static str,
    /// Column or record it comes from.
    pub origin: String,
    /// Unit of least and most.
    pub unit: &'static str,
    /// How many samples.
    pub count: usize,
    /// Samples a second, by the usual step; null for a single one.
    pub rate_hz: Option<f64>,
    /// Time of the first sample.
    pub from_s: f64,
    /// Time of the last sample.
    pub to_s: f64,
    /// Least value; null for positions.
    pub least: Option<f64>,
    /// Greatest value; null for positions.
    pub most: Option<f64>,
    /// Where there are no samples: from the last before to the first after, seconds.
    pub gaps: Vec<[f64; 2]>,
}

/// A note.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct NoteOut {
    /// `odd`, `left out`, `assumed`, `missing` or `found`.
    pub kind: &'static str,
    /// One sentence.
    pub text: String,
}

/// A column of a table.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct ColumnOut {
    /// As the header spells it.
    pub name: String,
    /// What it holds, in the words of a column map.
    pub meaning: &'static str,
    /// Unit in the file; null where a quantity has none or it is not known.
    pub unit: Option<&'static str>,
    /// Whether the unit was found from the data.
    pub found: bool,
    /// Whether the sign was turned.
    pub turned: bool,
    /// What a normal load reads in level flight.
    pub at_rest_g: Option<f64>,
}

/// The word of a sort of note.
#[must_use]
pub const fn kind_word(kind: NoteKind) -> &'static str {
    match kind {
        NoteKind::Assumed => "assumed",
        NoteKind::Missing => "missing",
        NoteKind::Odd => "odd",
        NoteKind::LeftOut => "left out",
        NoteKind::Found => "found",
    }
}

impl RecordingSheet {
    /// The document of a recording, with the columns of a table.
    #[must_use]
    pub fn new(recording: &Recording, columns: Option<&ColumnMap>) -> Self {
        let mapped = columns.map_or(&[][..], |map| &map.columns);
        let note = |note: &recording::Note| NoteOut {
            kind: kind_word(note.kind),
            text: note.text.clone(),
        };
        let read = |column: &MappedColumn| {
            let meaning = column.meaning?;
            let told = format!("column {} is taken as ", column.name);
            Some(ColumnOut {
                name: column.name.clone(),
                meaning: Meaning::key(meaning),
                unit: column.unit.as_ref().map(|unit| unit.name),
                found: recording.notes.iter().any(|note| note.text.starts_with(&told)),
                turned: column.turned,
                at_rest_g: column.at_rest_g,
            })
        };
        let not_read = mapped.iter().filter(|column| column.meaning.is_none());
        Self {
            schema: SCHEMA,
            file: recording.name.clone(),
            format: recording.format,
            start: recording.start.map(|start| start.to_string()),
            duration_s: seconds(recording.duration_s()),
            height_datum: datum_word(recording.height_datum),
            area: area(recording),
            sensors: held(recording).iter().map(sensor).collect(),
            notes: recording.notes.iter().map(note).collect(),
            columns: columns.map(|_| mapped.iter().filter_map(read).collect()),
            columns_not_read: not_read.map(|column| column.name.clone()).collect(),
        }
    }
}

const fn datum_word(datum: HeightDatum) -> &'static str {
    match datum {
        HeightDatum::NotStated => "not stated",
        HeightDatum::MeanSeaLevel => "mean sea level",
        HeightDatum::Ellipsoid => "ellipsoid",
        HeightDatum::Pressure => "pressure",
    }
}

fn sensor(held: &Held) -> SensorOut {
    SensorOut {
        quantity: held.key,
        origin: held.origin.clone(),
        unit: held.unit,
        count: held.count,
        rate_hz: held.rate_hz().map(|hz| significant(hz, 4)),
        from_s: seconds(held.first_s),
        to_s: seconds(held.last_s),
        least: held.range.map(|(least, _)| rounded(least, 4)),
        most: held.range.map(|(_, most)| rounded(most, 4)),
        gaps: held.holes.iter().map(|hole| [seconds(hole.from_s), seconds(hole.to_s)]).collect(),
    }
}

fn area(recording: &Recording) -> Option<AreaOut> {
    let first = recording.fixes.first()?;
    // longitudes relative to the first do not jump at the date line
    let east = |fix: &recording::Fix| {
        (fix.longitude_deg - first.longitude_deg + 180.0).rem_euclid(360.0) - 180.0
    };
    let range = |get: &dyn Fn(&recording::Fix) -> f64| {
        recording
            .fixes
            .iter()
            .map(get)
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), v| (low.min(v), high.max(v)))
    };
    let (south, north) = range(&|fix| fix.latitude_deg);
    let (west, easternmost) = range(&east);
    let wrapped = |deg: f64| rounded((deg + 180.0).rem_euclid(360.0) - 180.0, 6);
    Some(AreaOut {
        south_deg: rounded(south, 6),
        north_deg: rounded(north, 6),
        west_deg: wrapped(first.longitude_deg + west),
        east_deg: wrapped(first.longitude_deg + easternmost),
    })
}
