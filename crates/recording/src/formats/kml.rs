//! KML 2.3 tracks: `Track` and `MultiTrack` of the standard and the same elements in the older extension namespace, their
//! times, places, angles and arrays; and placemarks of one point with a time each. A line without times is refused.
//!
//! * `collect`: the document to tracks. `choose`: which of several tracks is the flight.
//!
//! Elements, order and units: OGC 12-007r2 (KML 2.3): places are longitude, latitude, height in degrees and meters; angles
//! are heading, tilt, roll in degrees.

mod angles;
mod choose;
mod collect;
#[cfg(test)]
mod tests;

use crate::error::{Place, ReadError};
use crate::formats::{Format, ReadOptions, xml};
use crate::normal::Recording;
use crate::normal::assemble::Draft;

/// The entry of the table of formats.
pub const FORMAT: Format =
    Format { key: KEY, title: "KML 2.3 track", endings: &["kml", "kmz"], score, read };

const KEY: &str = "kml";

fn score(head: &[u8]) -> u8 {
    let text = String::from_utf8_lossy(head);
    let start = text.trim_start_matches('\u{feff}').trim_start();
    if start.starts_with('<') && (text.contains("<kml") || text.contains(":kml")) { 230 } else { 0 }
}

/// Reads the whole file. Linear in its size.
fn read(bytes: &[u8], options: &ReadOptions) -> Result<Recording, ReadError> {
    let mut draft = Draft::new(KEY, &options.name);
    draft.epoch = true;
    let text = xml::text_of(bytes, &mut draft);
    let document = xml::placed_in(bytes, collect::collect(&text))?;
    if document.tracks.is_empty() {
        return Err(match document.lines {
            0 => ReadError::Malformed {
                format: KEY,
                what: "no track".into(),
                place: Place::default(),
                hint: "this holds places or pictures; export the recorded track".into(),
            },
            _ => ReadError::Unsupported {
                what: "lines without times: a drawing of a flight, not a recording".into(),
                hint:
                    "export the track with its times (a Track, not a LineString), or as GPX or IGC"
                        .into(),
            },
        });
    }
    choose::into_draft(document, options, &mut draft)?;
    draft.finish()
}

fn malformed_option(wanted: &str, names: &[String]) -> ReadError {
    ReadError::Ambiguous {
        what: format!("no track is called {wanted}"),
        hint: format!("the tracks are called {}", names.join(", ")),
    }
}
