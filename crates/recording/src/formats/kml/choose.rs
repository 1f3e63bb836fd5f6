//! Which of the tracks of a document is the flight: pieces of one placemark are joined; of two tracks of the same moments
//! one may be by pressure; else pieces one after another are joined, or the longest is taken. What was done is told.

#![allow(clippy::float_cmp, reason = "the same stamps are the same bits")]

use super::collect::{Document, Mode, Track};
use super::{angles, malformed_option};
use crate::error::ReadError;
use crate::formats::ReadOptions;
use crate::formats::csv::header::words;
use crate::formats::extras::Extras;
use crate::normal::assemble::{Draft, counted};
use crate::normal::{Fix, HeightDatum, NoteKind, QuantityKind, Series};

/// Pieces of one placemark.
struct Group {
    name: String,
    pieces: Vec<Track>,
}

impl Group {
    fn count(&self) -> usize {
        self.pieces.iter().map(|track| track.times.len()).sum()
    }
    fn times(&self) -> impl Iterator<Item = f64> {
        self.pieces.iter().flat_map(|track| track.times.iter().map(|(time_s, _)| *time_s))
    }
    fn places(&self) -> impl Iterator<Item = (f64, Option<[f64; 3]>)> {
        self.pieces.iter().flat_map(|track| {
            track.times.iter().map(|(time_s, _)| *time_s).zip(track.places.iter().copied())
        })
    }
    fn span_s(&self) -> (f64, f64) {
        self.times().fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), time_s| {
            (low.min(time_s), high.max(time_s))
        })
    }
    /// Every place is 0,0 or missing.
    fn nowhere(&self) -> bool {
        self.places()
            .all(|(_, place)| place.is_none_or(|[east, north, _]| east == 0.0 && north == 0.0))
    }
    fn by_pressure(&self) -> bool {
        let name = self.name.to_lowercase();
        name.contains("pres") || name.contains("baro")
    }
}

/// Puts the flight into the draft.
///
/// # Errors
/// Ambiguous when the user names a track that is not there.
pub(super) fn into_draft(
    document: Document,
    options: &ReadOptions,
    draft: &mut Draft,
) -> Result<(), ReadError> {
    tell_times(&document, draft);
    let Document { tracks, titles, .. } = document;
    let groups = choose_named(grouped(tracks), options)?;
    let flight = choose(groups, draft);
    let mut extras = Extras::default();
    for track in flight.pieces {
        put(track, &titles, &mut extras, draft);
    }
    extras.finish(draft, false)
}

fn tell_times(document: &Document, draft: &mut Draft) {
    if document.cut_off {
        draft
            .note(NoteKind::Odd, "the file was cut off after a whole track: what is there is read");
    }
    if document.sixties > 0 {
        let text = format!(
            "{} 60 seconds: taken as the start of the next minute",
            counted(document.sixties, "time says", "times say")
        );
        draft.note(NoteKind::Odd, text);
    }
    if document.unzoned > 0 {
        let text = format!(
            "{} no zone: taken as UTC",
            counted(document.unzoned, "time names", "times name")
        );
        draft.note(NoteKind::Assumed, text);
    }
}

fn grouped(tracks: Vec<Track>) -> Vec<Group> {
    let mut groups: Vec<Group> = Vec::new();
    for track in tracks {
        match groups.last_mut() {
            Some(group) if group.pieces[0].placemark == track.placemark => group.pieces.push(track),
            _ => groups.push(Group { name: track.name.clone(), pieces: vec![track] }),
        }
    }
    groups
}

fn choose_named(groups: Vec<Group>, options: &ReadOptions) -> Result<Vec<Group>, ReadError> {
    let Some(wanted) = &options.aircraft else { return Ok(groups) };
    let names: Vec<String> = groups.iter().map(|group| group.name.clone()).collect();
    let chosen: Vec<Group> = groups
        .into_iter()
        .filter(|group| group.name.trim().eq_ignore_ascii_case(wanted.trim()))
        .collect();
    if chosen.is_empty() { Err(malformed_option(wanted, &names)) } else { Ok(chosen) }
}

/// The flight among the groups.
fn choose(mut groups: Vec<Group>, draft: &mut Draft) -> Group {
    groups.sort_by_key(|group| std::cmp::Reverse((!group.nowhere(), group.count())));
    let mut rest = groups.split_off(1);
    let mut flight = groups.remove(0);
    // of two of the same moments, the one that is not by pressure gives the fixes
    if flight.by_pressure()
        && let Some(at) =
            rest.iter().position(|other| same_moments(&flight, other) && !other.nowhere())
    {
        std::mem::swap(&mut flight, &mut rest[at]);
    }
    let mut joined = Vec::new();
    for other in rest {
        let known = draft.series.iter().any(|s| s.quantity == QuantityKind::PressureAltitudeM);
        let beside = other.nowhere() || same_moments(&flight, &other);
        if beside && other.by_pressure() && !known {
            pressure(&other, draft);
        } else if beside || overlaps(&flight, &other) || !follows_name(&flight, &other) {
            let text = format!(
                "track '{}' ({} points) not used: '{}' ({} points) is read",
                other.name,
                other.count(),
                flight.name,
                flight.count()
            );
            draft.note(NoteKind::LeftOut, text);
        } else {
            joined.push(other.name.clone());
            flight.pieces.extend(other.pieces);
        }
    }
    if !joined.is_empty() {
        let text = format!("tracks one after another are read as one: {} more", joined.len());
        draft.note(NoteKind::Assumed, text);
    }
    flight
}

/// Whether nearly all moments of the shorter are moments of the longer.
fn same_moments(a: &Group, b: &Group) -> bool {
    let mut first: Vec<f64> = a.times().collect();
    first.sort_by(f64::total_cmp);
    let shared = b.times().filter(|t| first.binary_search_by(|at| at.total_cmp(t)).is_ok()).count();
    shared * 10 >= 9 * a.count().min(b.count())
}

fn overlaps(a: &Group, b: &Group) -> bool {
    let (a, b) = (a.span_s(), b.span_s());
    a.0 <= b.1 && b.0 <= a.1
}

/// Pieces of one recording are called alike but for a number.
fn follows_name(a: &Group, b: &Group) -> bool {
    let plain = |name: &str| {
        let words = words(name).into_iter();
        words.filter(|word| !word.bytes().all(|b| b.is_ascii_digit())).collect::<Vec<_>>()
    };
    plain(&a.name) == plain(&b.name)
}

fn pressure(group: &Group, draft: &mut Draft) {
    let heights = group.places().filter_map(|(time_s, place)| Some((time_s, place?[2])));
    let (times_s, values) = heights.unzip();
    let text = format!(
        "track '{}' gives the pressure altitude, by its name and because another track has the same times",
        group.name
    );
    draft.note(NoteKind::Assumed, text);
    let origin = format!("track '{}'", group.name);
    let quantity = QuantityKind::PressureAltitudeM;
    draft.series.push(Series { quantity, origin, times_s, values });
}

/// Fixes, arrays and angles of one track.
fn put(track: Track, titles: &[(String, String)], extras: &mut Extras, draft: &mut Draft) {
    let first = draft.fixes.len();
    draft.fixes.reserve(track.times.len().min(track.places.len()));
    if track.times.len() != track.places.len() {
        let text = format!(
            "track '{}' has {} times and {} places: read as far as both go",
            track.name,
            track.times.len(),
            track.places.len()
        );
        draft.note(NoteKind::Odd, text);
    }
    draft.height_datum = match track.mode {
        Mode::Absolute => HeightDatum::MeanSeaLevel,
        Mode::NotStated | Mode::AboveGround | Mode::OnGround => HeightDatum::NotStated,
    };
    let heights = !matches!(track.mode, Mode::AboveGround | Mode::OnGround);
    if !heights {
        let text = "heights are above the ground or left to it by the file's own word: not used";
        draft.note(NoteKind::LeftOut, text);
    }
    let columns: Vec<Option<usize>> = track
        .arrays
        .iter()
        .map(|(name, _)| {
            let title = titles.iter().find(|(of, _)| of == name).map(|(_, title)| title.as_str());
            let last = words(name).pop().unwrap_or_default();
            extras.column(name, &[title.unwrap_or(""), &last])
        })
        .collect();
    for (index, ((time_s, line), place)) in track.times.iter().zip(&track.places).enumerate() {
        let Some([longitude_deg, latitude_deg, height_m]) = *place else { continue };
        let fix = Fix {
            time_s: *time_s,
            latitude_deg,
            longitude_deg,
            height_m: heights.then_some(height_m),
            ground_speed_mps: None,
            track_deg: None,
            climb_mps: None,
        };
        for (column, (_, values)) in columns.iter().zip(&track.arrays) {
            if let (Some(column), Some(value)) = (column, values.get(index)) {
                extras.set(*column, draft.fixes.len(), *value);
            }
        }
        if draft.fixes.len() == first && first > 0 {
            draft.breaks.push(*time_s);
        }
        draft.fixes.push((fix, *line));
    }
    angles::put(&track, draft);
}
