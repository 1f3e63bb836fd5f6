//! What a recording holds, as a document: pictures of it, its sensors, what the reader had to say, its columns.

use crate::SAFETY_SENTENCE;
use crate::model::{Block, Cell, ColumnHead, Document, Table};
use crate::numbers::{clock, fixed};
use crate::pictures::{self, rate_words};
use base::factors::{K_AT_ZERO_C, M_PER_FT, MPS_PER_FPM, MPS_PER_KT, PA_PER_HPA, RAD_PER_DEG};
use recording::formats::csv::columns::ColumnMap;
use recording::formats::csv::meanings::Meaning;
use recording::summary::{Held, held};
use recording::{HeightDatum, NoteKind, Recording};

/// How values of a quantity are shown to people: taken off, divided by, and called.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Shown {
    pub(crate) unit: &'static str,
    scale: f64,
    zero: f64,
    decimals: usize,
}

impl Shown {
    pub(crate) fn of(self, value: f64) -> f64 {
        (value - self.zero) / self.scale
    }
    fn text(self, value: f64) -> String {
        fixed(self.of(value), self.decimals)
    }
    /// Less than this is not spread over the height of a curve.
    pub(crate) const fn span_least(self) -> f64 {
        match self.decimals {
            0 => 20.0,
            _ => 2.0,
        }
    }
}

/// The units of the trade: feet, knots, feet a minute, degrees.
pub(crate) fn shown(key: &str) -> Shown {
    let (unit, scale, zero, decimals) = match key {
        "height" | "pressure-altitude" | "indicated-altitude" => ("ft", M_PER_FT, 0.0, 0),
        "ground-speed"
        | "indicated-airspeed"
        | "calibrated-airspeed"
        | "true-airspeed"
        | "wind-speed" => ("kt", MPS_PER_KT, 0.0, 0),
        "vertical-speed" | "satellite-vertical-speed" => ("ft/min", MPS_PER_FPM, 0.0, 0),
        "static-pressure" => ("hPa", PA_PER_HPA, 0.0, 1),
        "outside-air-temperature" => ("°C", 1.0, K_AT_ZERO_C, 0),
        "roll-rate" | "pitch-rate" | "yaw-rate" | "device-rate-x" | "device-rate-y"
        | "device-rate-z" => ("°/s", RAD_PER_DEG, 0.0, 1),
        "normal-load" | "lateral-load" | "longitudinal-load" => ("g", 1.0, 0.0, 2),
        "device-force-x" | "device-force-y" | "device-force-z" => ("m/s²", 1.0, 0.0, 2),
        "device-field-x" | "device-field-y" | "device-field-z" => ("µT", 1.0, 0.0, 1),
        "engine-speed" => ("rpm", 1.0, 0.0, 0),
        "horizontal-accuracy" => ("m", 1.0, 0.0, 0),
        _ => ("°", 1.0, 0.0, 0),
    };
    Shown { unit, scale, zero, decimals }
}

/// The document of a recording, with the columns of a table.
#[must_use]
pub fn document(recording: &Recording, columns: Option<&ColumnMap>) -> Document {
    let held = held(recording);
    let mut blocks = Vec::new();
    let drawn = [
        pictures::ground_track(recording),
        pictures::recorded_curves(recording, &held),
        pictures::availability(recording, &held),
    ];
    blocks.extend(drawn.into_iter().flatten().map(Block::Figure));
    blocks.push(Block::Table(sensors(&held)));
    blocks.extend(notes(recording));
    if let Some(map) = columns {
        blocks.extend(columns_read(map, recording));
    }
    blocks.push(Block::Caution(SAFETY_SENTENCE.into()));
    Document {
        title: format!("Recording: {}", recording.name),
        subtitle: subtitle(recording),
        blocks,
    }
}

fn subtitle(recording: &Recording) -> String {
    let start = recording.start.map_or_else(
        || "start not stated".into(),
        |start| start.plus_seconds(-start.fraction_s()).to_string(),
    );
    let datum = match recording.height_datum {
        _ if recording.fixes.is_empty() => "no positions",
        HeightDatum::NotStated => "height datum not stated",
        HeightDatum::MeanSeaLevel => "heights above mean sea level",
        HeightDatum::Ellipsoid => "heights above the ellipsoid",
        HeightDatum::Pressure => "heights by pressure",
    };
    let title = recording::formats::ALL
        .iter()
        .find(|format| format.key == recording.format)
        .map_or(recording.format, |format| format.title);
    format!("{start}, {} recorded; {title}; {datum}", clock(recording.duration_s()))
}

fn sensors(held: &[Held]) -> Table {
    let row = |held: &Held| -> Vec<Cell> {
        let shown = shown(held.key);
        let range = held.range.map(|(least, most)| {
            format!("{} to {} {}", shown.text(least), shown.text(most), shown.unit)
                .replace(" °", "°")
        });
        let holes = match held.holes.len() {
            0 => "–".into(),
            count => format!("{count} ({})", clock(held.missing_s())),
        };
        [
            held.title.to_owned(),
            held.origin.clone(),
            held.count.to_string(),
            held.rate_hz().map_or_else(|| "–".into(), rate_words),
            format!("{}–{}", clock(held.first_s), clock(held.last_s)),
            range.unwrap_or_else(|| "–".into()),
            holes,
        ]
        .map(Cell::Text)
        .into()
    };
    Table {
        caption: "What it holds".into(),
        columns: vec![
            ColumnHead::words("quantity"),
            ColumnHead::words("from"),
            ColumnHead::number("samples", ""),
            ColumnHead::number("rate", ""),
            ColumnHead::number("when", "min:s"),
            ColumnHead::number("range", ""),
            ColumnHead::number("gaps", "min:s"),
        ],
        rows: held.iter().map(row).collect(),
    }
}

/// Notes by sort, what needs attention first.
fn notes(recording: &Recording) -> Vec<Block> {
    let sorts = [
        (NoteKind::Odd, "Odd"),
        (NoteKind::LeftOut, "Left out"),
        (NoteKind::Missing, "Missing"),
        (NoteKind::Assumed, "Taken from the data"),
        (NoteKind::Found, "Found"),
    ];
    let mut blocks = Vec::new();
    for (kind, title) in sorts {
        let of_kind = recording.notes.iter().filter(|note| note.kind == kind);
        let texts: Vec<String> = of_kind.map(|note| note.text.clone()).collect();
        if !texts.is_empty() {
            blocks.extend([Block::Heading(3, title.into()), Block::List(texts)]);
        }
    }
    if !blocks.is_empty() {
        blocks.insert(0, Block::Heading(2, "What the reader has to say".into()));
    }
    blocks
}

fn columns_read(map: &ColumnMap, recording: &Recording) -> Vec<Block> {
    let found = |name: &str| {
        let told = format!("column {name} is taken as ");
        recording.notes.iter().any(|note| note.text.starts_with(&told))
    };
    let row = |column: &recording::formats::csv::columns::MappedColumn| -> Option<Vec<Cell>> {
        let meaning = column.meaning?;
        let unit = column.unit.as_ref().map_or("", |unit| unit.name);
        let mut how = Vec::new();
        let usual = matches!(meaning, Meaning::Latitude | Meaning::Longitude | Meaning::Track);
        if !unit.is_empty() && !usual {
            how.push(if found(&column.name) { "unit found from the data" } else { "unit stated" });
        }
        if column.turned {
            how.push("sign turned");
        }
        match column.at_rest_g {
            Some(g) if g < 0.5 => how.push("gravity taken off in the file"),
            Some(_) => how.push("gravity in it"),
            None => {}
        }
        let cells =
            [column.name.clone(), meaning.key().replace('-', " "), unit.into(), how.join(", ")];
        Some(cells.map(Cell::Text).into())
    };
    vec![
        Block::Heading(2, "Columns".into()),
        Block::Table(Table {
            caption: "Columns read; write them to a file with --save-columns, correct it and give it with --columns"
                .into(),
            columns: ["column", "read as", "unit", "how"].map(ColumnHead::words).into(),
            rows: map.columns.iter().filter_map(row).collect(),
        }),
    ]
}
