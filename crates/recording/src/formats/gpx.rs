//! GPX 1.0 and 1.1 tracks, with the speed and course of version 1.0, and with extensions of any namespace, known by their
//! local names as the columns of tables are.
//!
//! Pull events over the bytes; a document type or an entity is refused before anything is expanded, depth and size are
//! capped. Elements, attributes and units: GPX 1.0 and 1.1 schemas (meters, degrees, UTC; speed in m/s).

mod clock;
#[cfg(test)]
mod tests;

use crate::decimal;
use crate::error::{Place, ReadError};
use crate::formats::extras::Extras;
use crate::formats::stamp::Stamps;
use crate::formats::xml::{self, Element, Lines, Step, malformed, place};
use crate::formats::{Format, ReadOptions};
use crate::normal::assemble::{Draft, counted, distance_m, median};
use crate::normal::{Fix, HeightDatum, NoteKind, QuantityKind, Recording, Series};
use base::time::UtcInstant;

/// The entry of the table of formats.
pub const FORMAT: Format =
    Format { key: KEY, title: "GPX 1.0 or 1.1 track", endings: &["gpx"], score, read };

const KEY: &str = "gpx";
/// Slower than this, positions say little about speed, m/s.
const MOVING_MPS: f64 = 8.0;

fn score(head: &[u8]) -> u8 {
    let text = String::from_utf8_lossy(head);
    let start = text.trim_start_matches('\u{feff}').trim_start();
    match () {
        () if !start.starts_with('<') => 0,
        () if text.contains("<gpx") || text.contains(":gpx") => 230,
        // some other document, or one cut before its root: this reader says what is wrong
        () if text.contains("<trkpt") => 200,
        () => 10,
    }
}

/// Elements that matter, by local name.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Tag {
    Track,
    Segment,
    Point,
    Height,
    Speed,
    Course,
    Time,
    Name,
    Extensions,
    Other,
}

fn tag(name: &str) -> Tag {
    match name {
        "trk" => Tag::Track,
        "trkseg" => Tag::Segment,
        "trkpt" => Tag::Point,
        "ele" => Tag::Height,
        "speed" => Tag::Speed,
        "course" => Tag::Course,
        "time" => Tag::Time,
        "name" => Tag::Name,
        "extensions" => Tag::Extensions,
        _ => Tag::Other,
    }
}

/// What is collected while events come.
#[derive(Default)]
struct State {
    open: Vec<Tag>,
    stamps: Stamps,
    point: Option<Point>,
    track_points: usize,
    track_nowhere: usize,
    track_name: String,
    segment_start: bool,
    untimed: usize,
    untimed_line: u64,
    unzoned: usize,
    extras: Extras,
    /// Heights of a track without positions.
    nowhere: Vec<(f64, f64)>,
}

#[derive(Default)]
struct Point {
    /// Values of extensions by column.
    extras: Vec<(usize, f64)>,
    byte: usize,
    latitude_deg: f64,
    longitude_deg: f64,
    height_m: Option<f64>,
    speed_mps: Option<f64>,
    course_deg: Option<f64>,
    time: Option<UtcInstant>,
}

/// Reads the whole file. Linear in its size.
fn read(bytes: &[u8], options: &ReadOptions) -> Result<Recording, ReadError> {
    xml::placed_in(bytes, read_text(bytes, options))
}

fn read_text(bytes: &[u8], options: &ReadOptions) -> Result<Recording, ReadError> {
    if bytes.starts_with(&[0xff, 0xfe]) || bytes.starts_with(&[0xfe, 0xff]) {
        return Err(ReadError::Unsupported {
            what: "GPX in UTF-16".into(),
            hint: "save the file as UTF-8".into(),
        });
    }
    let mut draft = Draft::new(KEY, &options.name);
    let text = xml::text_of(bytes, &mut draft);
    let bytes = text.as_bytes();
    // a point with height and time takes a hundred bytes or so
    draft.fixes.reserve(bytes.len() / 96);
    draft.epoch = true;
    // GPX 1.0 and 1.1: elevation in meters; the schema does not say above what
    draft.height_datum = HeightDatum::NotStated;
    let mut state = State::default();
    let mut lines = Lines::new(bytes);
    let inside = xml::walk(&text, KEY, |step, byte| match step {
        Step::Start(element) => start(&element, byte, bytes, &mut state),
        Step::End(name, text) => end(name, text.trim_ascii(), &mut state, &mut draft, &mut lines)
            .map_err(|what| malformed(KEY, bytes, byte, &what)),
    })?;
    if let Some(name) = inside {
        let cut = format!("the file ends inside <{name}>: it was cut off");
        if draft.fixes.len() < POINTS_WORTH_READING {
            return Err(malformed(KEY, bytes, bytes.len(), &cut));
        }
        let line = place(bytes, bytes.len()).line;
        draft.note(NoteKind::Odd, format!("{cut} (line {line}); what comes before is read"));
    }
    std::mem::take(&mut state.extras).finish(&mut draft, true)?;
    finish(bytes, &state, draft)
}

fn start(
    element: &Element<'_>,
    byte: usize,
    bytes: &[u8],
    state: &mut State,
) -> Result<(), ReadError> {
    let name = element.local_name();
    if state.open.is_empty() && name != "gpx" {
        let found = name.chars().take(40).collect::<String>();
        return Err(ReadError::Unsupported {
            what: format!("an XML document whose root is {found}, not gpx"),
            hint: "export the track as GPX".into(),
        });
    }
    let tag = tag(name);
    match tag {
        Tag::Track => {
            (state.track_points, state.track_nowhere) = (0, 0);
            state.track_name.clear();
            state.nowhere.clear();
        }
        Tag::Segment => state.segment_start = true,
        Tag::Point => state.point = Some(position(element, byte, bytes)?),
        _ => {}
    }
    state.open.push(tag);
    Ok(())
}

fn position(element: &Element<'_>, byte: usize, bytes: &[u8]) -> Result<Point, ReadError> {
    let mut point =
        Point { byte, latitude_deg: f64::NAN, longitude_deg: f64::NAN, ..Point::default() };
    for attribute in element.attributes() {
        let (name, text) = attribute.map_err(|error| {
            malformed(KEY, bytes, byte, &format!("attribute of a point ({error})"))
        })?;
        let into = match name {
            "lat" => &mut point.latitude_deg,
            "lon" => &mut point.longitude_deg,
            _ => continue,
        };
        if !into.is_nan() {
            return Err(malformed(KEY, bytes, byte, "a point with the same coordinate twice"));
        }
        *into = decimal::parse(text.trim().as_bytes()).ok_or_else(|| {
            let shown: String = text.chars().take(24).collect();
            malformed(
                KEY,
                bytes,
                byte,
                &format!("a point with the coordinate '{shown}', no number"),
            )
        })?;
    }
    if point.latitude_deg.is_nan() || point.longitude_deg.is_nan() {
        return Err(malformed(KEY, bytes, byte, "a track point without lat and lon"));
    }
    Ok(point)
}

/// What is wrong with the text of an element is the error.
fn end(
    name: &str,
    text: &str,
    state: &mut State,
    draft: &mut Draft,
    lines: &mut Lines<'_>,
) -> Result<(), String> {
    let Some(tag) = state.open.pop() else { return Ok(()) };
    match tag {
        Tag::Point => close_point(state, draft, lines),
        Tag::Track if state.track_points > 0 && state.track_nowhere == state.track_points => {
            close_nowhere(state, draft);
        }
        Tag::Track | Tag::Segment | Tag::Extensions => {}
        Tag::Height | Tag::Speed | Tag::Course | Tag::Time | Tag::Name | Tag::Other => {
            return word(tag, name, text, state);
        }
    }
    Ok(())
}

/// The text of an element; what is wrong with it.
fn word(tag: Tag, name: &str, text: &str, state: &mut State) -> Result<(), String> {
    match tag {
        Tag::Name if state.open.last() == Some(&Tag::Track) => {
            state.track_name = text.chars().take(60).collect();
        }
        Tag::Height | Tag::Speed | Tag::Course => {
            let Some(point) = state.point.as_mut() else { return Ok(()) };
            if text.is_empty() {
                return Ok(());
            }
            let value = decimal::parse(text.as_bytes()).ok_or_else(|| {
                let shown: String = text.chars().take(24).collect();
                format!("{name} '{shown}' is no number")
            })?;
            let value = Some(value).filter(|value| value.is_finite());
            match tag {
                Tag::Height => point.height_m = value,
                Tag::Speed => point.speed_mps = value,
                _ => point.course_deg = value,
            }
        }
        Tag::Time => {
            let Some(point) = state.point.as_mut() else { return Ok(()) };
            point.time = state.stamps.read(text).or_else(|| {
                state.unzoned += 1;
                UtcInstant::parse_rfc3339(&format!("{text}Z"))
            });
            if point.time.is_none() {
                let shown: String = text.chars().take(32).collect();
                return Err(format!("time '{shown}' is not like 2026-05-04T14:02:11Z"));
            }
        }
        _ => extension(name, text, state),
    }
    Ok(())
}

/// A number in an element below `extensions` of a point.
fn extension(name: &str, text: &str, state: &mut State) {
    let Some(point) = state.point.as_mut() else { return };
    if text.is_empty() || !state.open.contains(&Tag::Extensions) {
        return;
    }
    let value = decimal::parse(text.as_bytes()).filter(|value| value.is_finite());
    let Some(value) = value else { return };
    if let Some(column) = state.extras.column(name, &[]) {
        point.extras.push((column, value));
    }
}

/// A track with every position at 0,0: heights by pressure where its name says so, else nothing to use.
fn close_nowhere(state: &mut State, draft: &mut Draft) {
    let name = state.track_name.to_lowercase();
    let pressure = name.contains("pres") || name.contains("baro");
    let known = draft.series.iter().any(|s| s.quantity == QuantityKind::PressureAltitudeM);
    let text = format!(
        "track '{}': all {} positions are 0,0: not a flight, not used",
        state.track_name, state.track_points
    );
    if !pressure || known || state.nowhere.is_empty() {
        draft.note(NoteKind::LeftOut, text);
        return;
    }
    let (times_s, values) = std::mem::take(&mut state.nowhere).into_iter().unzip();
    let origin = format!("track '{}'", state.track_name);
    let quantity = QuantityKind::PressureAltitudeM;
    draft.series.push(Series { quantity, origin, times_s, values });
    let text = format!("{text} as one; by its name its heights are taken as pressure altitude");
    draft.note(NoteKind::LeftOut, text);
}

fn close_point(state: &mut State, draft: &mut Draft, lines: &mut Lines<'_>) {
    let Some(point) = state.point.take() else { return };
    state.track_points += 1;
    let line = lines.line_of(point.byte);
    if point.latitude_deg == 0.0 && point.longitude_deg == 0.0 {
        state.track_nowhere += 1;
        if let (Some(time), Some(height_m)) = (point.time, point.height_m) {
            state.nowhere.push((time.to_unix_microseconds() as f64 * 1e-6, height_m));
        }
        return;
    }
    let Some(time) = point.time else {
        if state.untimed == 0 {
            state.untimed_line = line;
        }
        state.untimed += 1;
        return;
    };
    let time_s = time.to_unix_microseconds() as f64 * 1e-6;
    if std::mem::take(&mut state.segment_start) && !draft.fixes.is_empty() {
        draft.breaks.push(time_s);
    }
    let fix = Fix {
        time_s,
        latitude_deg: point.latitude_deg,
        longitude_deg: point.longitude_deg,
        height_m: point.height_m,
        ground_speed_mps: point.speed_mps,
        track_deg: point.course_deg,
        climb_mps: None,
    };
    for (column, value) in point.extras {
        state.extras.set(column, draft.fixes.len(), value);
    }
    draft.fixes.push((fix, line));
}

/// Fewer whole points of a file that was cut off are no recording.
const POINTS_WORTH_READING: usize = 2;

fn finish(bytes: &[u8], state: &State, mut draft: Draft) -> Result<Recording, ReadError> {
    if draft.fixes.is_empty() {
        return Err(match state.untimed {
            0 if draft.notes.iter().any(|note| note.kind == NoteKind::LeftOut) => {
                ReadError::Malformed {
                    format: KEY,
                    what: "every position of every track is 0,0".into(),
                    place: Place::default(),
                    hint:
                        "this is a height record, not a flight; export the track with its positions"
                            .into(),
                }
            }
            0 => malformed(KEY, bytes, 0, "no track points with a position"),
            _ => ReadError::Malformed {
                format: KEY,
                what: "no track point has a time".into(),
                place: Place { line: state.untimed_line, byte: None },
                hint: "this is a planned or edited track; export the recorded one with its times"
                    .into(),
            },
        });
    }
    if state.untimed > 0 {
        let text = format!(
            "{} without a time left out, first at line {}",
            counted(state.untimed, "point", "points"),
            state.untimed_line
        );
        draft.note(NoteKind::LeftOut, text);
    }
    if state.unzoned > 0 {
        let times = counted(state.unzoned, "time names", "times name");
        draft.note(NoteKind::Assumed, format!("{times} no zone: taken as UTC"));
    }
    check_speeds(&mut draft);
    clock::drop_contradictions(&mut draft);
    draft.finish()
}

/// Speeds that do not fit the positions as m/s (a writer with another unit) are not used.
fn check_speeds(draft: &mut Draft) {
    let ratios: Vec<f64> = draft
        .fixes
        .windows(2)
        .filter_map(|pair| {
            let (before, after) = (&pair[0].0, &pair[1].0);
            let mean = 0.5 * (before.ground_speed_mps? + after.ground_speed_mps?);
            let step_s = after.time_s - before.time_s;
            let speed = distance_m(before, after) / step_s;
            (step_s > 0.0 && step_s < 20.0 && speed > MOVING_MPS).then(|| mean / speed)
        })
        .collect();
    if ratios.len() < 10 {
        return;
    }
    let Some(ratio) = median(ratios).filter(|ratio| !(0.7..1.4).contains(ratio)) else { return };
    draft.fixes.iter_mut().for_each(|(fix, _)| fix.ground_speed_mps = None);
    let text = format!(
        "speeds are not used: they read {ratio:.2} for each m/s of the positions, and GPX writes m/s"
    );
    draft.note(NoteKind::LeftOut, text);
}
