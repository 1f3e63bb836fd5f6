//! The JSON types of the outside contract and their schemas: a promise to strangers.
//!
//! Engine types are not serializable; each document here is converted by hand from an engine value. Numbers are rounded
//! to a stated count of decimals, so the same input gives the same bytes. Nothing here reads or writes a file.
//!
//! * [`number`]: rounding, a value with its sigma.
//! * [`brief`]: `skychalk.brief/1`, the reference flight of an airplane on a day.
//! * [`fit`]: its parts beyond the flight: the way out, series, sun, sensitivities.
//! * [`patter`]: `skychalk.patter/1`, what is said while it is flown.
//! * [`practice`]: `skychalk.practice/1`, a flight with a fault in it.
//! * [`debrief`]: `skychalk.debrief/1` and `skychalk.find/1`, what was found in a recording.
//! * [`flight`]: `skychalk.flight/1`, a debrief with what is drawn around it.
//! * [`reconstruction`]: `skychalk.reconstruction/1`, the motion of a recording.
//! * [`recording_sheet`]: `skychalk.recording/1`, what a recording holds.
//! * [`maneuver_list`], [`airplane_list`], [`standard_list`]: the catalogue, airplanes, standards.
//! * [`airplane_build`]: `skychalk.airplane-build/1`, an airplane made of the figures of a manual.
//! * [`airplane_sheet`]: `skychalk.airplane-sheet/1`, one airplane and what follows from its figures.
//! * [`airplane_fit`]: `skychalk.airplane-fit/1`, and of its own flights.
//! * [`airplane_balance`]: `skychalk.airplane-balance/1`, weight and balance of the day.
//! * [`validation`]: `skychalk.validate/1`, the engine held against published figures.
//! * [`error`]: `skychalk.error/1`, what went wrong and what to do.
//! * [`schema`]: the JSON Schemas and the list of them.

pub mod airplane_balance;
pub mod airplane_build;
pub mod airplane_fit;
pub mod airplane_list;
pub mod airplane_sheet;
pub mod brief;
pub mod controls;
pub mod debrief;
pub mod error;
pub mod eye;
pub mod fit;
pub mod flight;
mod layout;
pub mod maneuver_list;
pub mod number;
pub mod patter;
pub mod practice;
pub mod question_list;
pub mod reconstruction;
pub mod recording_sheet;
pub mod schema;
pub mod standard_list;
pub mod validation;

#[cfg(test)]
mod tests;

/// The document as JSON text: members on their own lines, columns of numbers on one, with a final line end. Same value,
/// same bytes.
#[must_use]
pub fn to_json<T: serde::Serialize>(document: &T) -> String {
    let mut bytes = Vec::new();
    let mut writer = serde_json::Serializer::with_formatter(&mut bytes, layout::Layout::default());
    document.serialize(&mut writer).expect("documents have text keys and no failing conversions");
    bytes.push(b'\n');
    String::from_utf8(bytes).expect("JSON text is UTF-8")
}
