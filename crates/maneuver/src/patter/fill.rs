//! Values of the flight in the places that a sentence leaves for them.

use base::factors::{M_PER_FT, MPS_PER_KT, RAD_PER_DEG};
use flight::trajectory::FlightSample;

use crate::definition::Direction;

/// What may stand in braces, and what is put there.
pub const PLACEHOLDERS: &[(&str, &str)] = &[
    ("bank", "bank, degrees"),
    ("pitch", "nose, degrees and up or down"),
    ("speed", "indicated airspeed, knots"),
    (
        "heading",
        "true heading, three digits; the flight begins on north unless another heading is asked for",
    ),
    ("height", "height above mean sea level, feet"),
    ("gain", "height above entry, feet"),
    ("load", "load factor"),
    ("power", "share of full power, percent"),
    ("side", "way of the part: left or right"),
    ("other", "the other way"),
];

/// What sentences are filled from.
#[derive(Debug, Clone, Copy)]
pub(super) struct Values<'a> {
    /// State at the place that is quoted.
    pub(super) sample: &'a FlightSample,
    /// Height at entry, m.
    pub(super) entry_m: f64,
    /// Way of the part.
    pub(super) direction: Direction,
}

/// The sentence with its places filled. A brace that opens no known place stays as it is: files are checked when they are read.
pub(super) fn fill(text: &str, values: &Values<'_>) -> String {
    let mut out = String::with_capacity(text.len());
    let mut rest = text;
    while let Some(open) = rest.find('{') {
        let (before, inside) = rest.split_at(open);
        out.push_str(before);
        let found = inside.find('}').and_then(|close| {
            value(&inside[1..close], values).map(|text| (text, &inside[close + 1..]))
        });
        match found {
            Some((text, after)) => {
                out.push_str(&text);
                rest = after;
            }
            None => {
                out.push('{');
                rest = &inside[1..];
            }
        }
    }
    out.push_str(rest);
    begun_large(&out)
}

fn value(name: &str, values: &Values<'_>) -> Option<String> {
    let s = values.sample;
    Some(match name {
        "bank" => whole(s.bank_rad.abs() / RAD_PER_DEG),
        "pitch" => pitch(s.pitch_rad / RAD_PER_DEG),
        "speed" => whole(s.indicated_airspeed_mps / MPS_PER_KT),
        "heading" => {
            let degrees = (s.heading_rad / RAD_PER_DEG).round().rem_euclid(360.0);
            format!("{:03}", if degrees == 0.0 { 360.0 } else { degrees })
        }
        "height" => thousands((s.height_m / M_PER_FT / 50.0).round() * 50.0),
        "gain" => thousands(((s.height_m - values.entry_m) / M_PER_FT / 10.0).round() * 10.0),
        "load" => format!("{:.1}", s.load_factor),
        "power" => whole(100.0 * s.power_share),
        "side" => values.direction.word().into(),
        "other" => values.direction.opposite().word().into(),
        _ => return None,
    })
}

/// Names in braces that are no place, in the order of the text; an open brace without its close is one too.
pub(super) fn unknown_places(text: &str) -> Vec<String> {
    let mut out = Vec::new();
    let mut rest = text;
    while let Some(open) = rest.find('{') {
        let inside = &rest[open + 1..];
        let close = inside.find('}');
        let name = &inside[..close.unwrap_or(inside.len())];
        if close.is_none() || !PLACEHOLDERS.iter().any(|(known, _)| *known == name) {
            out.push(name.to_string());
        }
        rest = &inside[close.map_or(inside.len(), |close| close + 1)..];
    }
    out
}

fn whole(value: f64) -> String {
    format!("{:.0}", value.round() + 0.0)
}

fn pitch(degrees: f64) -> String {
    match degrees.round() {
        d if d > 0.0 => format!("{d:.0} up"),
        d if d < 0.0 => format!("{:.0} down", -d),
        _ => "level".into(),
    }
}

/// "3,500".
fn thousands(value: f64) -> String {
    let (sign, whole) = (if value < 0.0 { "minus " } else { "" }, value.abs() as u64);
    if whole < 1000 {
        format!("{sign}{whole}")
    } else {
        format!("{sign}{},{:03}", whole / 1000, whole % 1000)
    }
}

/// A sentence that begins with a filled place begins with a capital all the same.
fn begun_large(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}
