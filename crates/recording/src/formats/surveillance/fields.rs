//! Names of fields and what they mean.

use crate::formats::csv::header::words;
use crate::formats::csv::meanings::{Dimension, Unit, unit};

/// What a field holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Field {
    /// Of the row.
    Time,
    /// Since a stamp that stands beside the rows, s.
    Elapsed,
    /// Of the position in the row.
    PositionTime,
    /// How old the position is, s.
    PositionAge,
    /// The 24-bit address.
    Address,
    Callsign,
    Latitude,
    Longitude,
    /// By pressure, where it comes in the steps of a transponder.
    Altitude,
    GeometricAltitude,
    GroundSpeed,
    Track,
    /// A heading, or a track under another name.
    Heading,
    VerticalRate,
    GeometricRate,
    IndicatedAirspeed,
    TrueAirspeed,
    Bank,
    MagneticHeading,
    TrueHeading,
    OnGround,
    /// Bits of rows relative to a stamp: 1 nothing for a while before, 2 new leg, 4 geometric rate, 8 geometric altitude.
    Flags,
    /// Register of a message from a transponder.
    Register,
}

/// How many fields hold numbers in a row.
pub(super) const NUMBERS: usize = Field::Register as usize + 1;

const NAMES: &[(Field, &[&str])] = &[
    (Field::Time, &["timestamp", "time", "ts", "now", "datetime", "date_time"]),
    (
        Field::PositionTime,
        &["last_position", "lastposupdate", "last_pos_update", "time_position", "position_time"],
    ),
    (Field::PositionAge, &["seen_pos", "position_age"]),
    (
        Field::Address,
        &["icao24", "icao", "hex", "icao_address", "address", "mode_s", "icao24_address"],
    ),
    (Field::Callsign, &["callsign", "flight", "call_sign", "flight_id"]),
    (Field::Latitude, &["latitude", "lat"]),
    (Field::Longitude, &["longitude", "lon", "lng", "long"]),
    (
        Field::Altitude,
        &["altitude", "alt", "baroaltitude", "baro_altitude", "alt_baro", "pressure_altitude"],
    ),
    (
        Field::GeometricAltitude,
        &[
            "geoaltitude",
            "geo_altitude",
            "alt_geom",
            "geometric_altitude",
            "altitude_geometric",
            "gnss_altitude",
            "altitude_gnss",
        ],
    ),
    (Field::GroundSpeed, &["groundspeed", "ground_speed", "gs", "velocity", "speed", "gnd_spd"]),
    (Field::Track, &["track", "trk", "true_track", "track_angle", "course"]),
    (Field::Heading, &["heading", "hdg"]),
    (
        Field::VerticalRate,
        &[
            "vertical_rate",
            "vertrate",
            "vrate",
            "vert_rate",
            "baro_rate",
            "vertical_speed",
            "vrate_barometric",
        ],
    ),
    (Field::GeometricRate, &["geom_rate", "geometric_rate"]),
    (Field::IndicatedAirspeed, &["ias"]),
    (Field::TrueAirspeed, &["tas"]),
    (Field::Bank, &["roll", "roll_angle"]),
    (Field::MagneticHeading, &["mag_heading", "magnetic_heading"]),
    (Field::TrueHeading, &["true_heading"]),
    (Field::OnGround, &["onground", "on_ground", "ground", "is_on_ground"]),
    (Field::Register, &["bds"]),
];

/// What rows of numbers relative to a stamp hold, by place.
pub(super) const RELATIVE: &[Option<Field>] = &[
    Some(Field::Elapsed),
    Some(Field::Latitude),
    Some(Field::Longitude),
    Some(Field::Altitude),
    Some(Field::GroundSpeed),
    Some(Field::Track),
    Some(Field::Flags),
    Some(Field::VerticalRate),
    None,
    None,
    Some(Field::GeometricAltitude),
    Some(Field::GeometricRate),
    Some(Field::IndicatedAirspeed),
    Some(Field::Bank),
];

impl Field {
    /// The dimension of its unit, for fields that have one.
    pub(super) fn dimension(self) -> Option<Dimension> {
        Some(match self {
            Self::Altitude | Self::GeometricAltitude => Dimension::Length,
            Self::GroundSpeed
            | Self::VerticalRate
            | Self::GeometricRate
            | Self::IndicatedAirspeed
            | Self::TrueAirspeed => Dimension::Speed,
            _ => return None,
        })
    }
}

/// The field of a name, and the unit that the name states: `altitude`, `Alt (ft)`, `ground_speed_kt`.
pub(super) fn field(name: &str) -> Option<(Field, Option<Unit>)> {
    let lower = name.trim().to_ascii_lowercase();
    if let Some(found) = exact(&lower) {
        return Some((found, None));
    }
    let bracket = name
        .find(['(', '['])
        .map(|at| (&name[..at], name[at + 1..].trim_end_matches([')', ']', ' '])));
    if let Some((bare, text)) = bracket {
        let found = exact(&words(bare).join("_"))?;
        let stated = found.dimension().and_then(|dimension| unit(dimension, text));
        return Some((found, stated));
    }
    let words = words(name);
    if let Some(found) = exact(&words.join("_")) {
        return Some((found, None));
    }
    let (last, rest) = words.split_last()?;
    let found = exact(&rest.join("_"))?;
    let stated = unit(found.dimension()?, last)?;
    Some((found, Some(stated)))
}

fn exact(name: &str) -> Option<Field> {
    NAMES.iter().find(|(_, names)| names.contains(&name)).map(|(field, _)| *field)
}

/// Whether any name of a place or a series of rows stands in quotes in the text.
pub(super) fn quoted_any(text: &[u8]) -> bool {
    ["\"latitude\"", "\"lat\"", "\"icao24\"", "\"hex\"", "\"trace\"", "\"icao\""]
        .iter()
        .any(|name| text.windows(name.len()).any(|part| part == name.as_bytes()))
}
