//! A document to its tracks.

use super::KEY;
use crate::decimal;
use crate::error::ReadError;
use crate::formats::csv::clock::{Clock, DateOrder, Reading};
use crate::formats::xml::{Element, Lines, Step, cut_off, malformed, walk};

/// Most titles of arrays that are kept.
const TITLES_MOST: usize = 256;

/// What a document holds.
#[derive(Debug, Default)]
pub(super) struct Document {
    pub(super) tracks: Vec<Track>,
    /// Lines without times.
    pub(super) lines: usize,
    /// Titles of arrays by name.
    pub(super) titles: Vec<(String, String)>,
    /// Times that say 60 seconds.
    pub(super) sixties: usize,
    /// Times without a zone.
    pub(super) unzoned: usize,
    /// The file ends early, after a whole track.
    pub(super) cut_off: bool,
}

/// Times and what belongs to each, by index.
#[derive(Debug, Default)]
pub(super) struct Track {
    /// Of the placemark around it.
    pub(super) name: String,
    /// Counts placemarks: tracks of one are pieces of one.
    pub(super) placemark: usize,
    /// Since 1970, with lines.
    pub(super) times: Vec<(f64, u64)>,
    /// Longitude, latitude, height; `None` for an empty element.
    pub(super) places: Vec<Option<[f64; 3]>>,
    /// Heading, tilt, roll; `None` for an empty element.
    pub(super) angles: Vec<Option<[f64; 3]>>,
    pub(super) arrays: Vec<(String, Vec<f64>)>,
    pub(super) mode: Mode,
}

/// What heights are measured from.
#[derive(Debug, Default, Clone, Copy, PartialEq, Eq)]
pub(super) enum Mode {
    /// Not said; the standard then means the ground, writers often do not.
    #[default]
    NotStated,
    /// Sea level.
    Absolute,
    /// The ground below.
    AboveGround,
    /// Heights are to be ignored.
    OnGround,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Tag {
    Placemark,
    Track,
    When,
    Coord,
    Angles,
    ArrayData,
    Value,
    Name,
    ArrayField,
    DisplayName,
    Mode,
    Point,
    Line,
    Coordinates,
    Other,
}

fn tag(name: &str) -> Tag {
    match name {
        "Placemark" => Tag::Placemark,
        "Track" => Tag::Track,
        "when" => Tag::When,
        "coord" => Tag::Coord,
        "angles" => Tag::Angles,
        "SimpleArrayData" => Tag::ArrayData,
        "value" => Tag::Value,
        "name" => Tag::Name,
        "SimpleArrayField" => Tag::ArrayField,
        "displayName" => Tag::DisplayName,
        "altitudeMode" => Tag::Mode,
        "Point" => Tag::Point,
        "LineString" => Tag::Line,
        "coordinates" => Tag::Coordinates,
        _ => Tag::Other,
    }
}

struct State<'a> {
    bytes: &'a [u8],
    lines: Lines<'a>,
    open: Vec<Tag>,
    document: Document,
    track: Option<Track>,
    placemark: usize,
    placemark_name: String,
    /// Time and place of a placemark of one point.
    moment: Option<(f64, u64)>,
    point: Option<[f64; 3]>,
    points: Track,
    field: String,
    clock: Clock,
}

/// Reads a document.
///
/// # Errors
/// As [`walk`]; Malformed for times and places that are none.
pub(super) fn collect(text: &str) -> Result<Document, ReadError> {
    let bytes = text.as_bytes();
    let mut state = State {
        bytes,
        lines: Lines::new(bytes),
        open: Vec::new(),
        document: Document::default(),
        track: None,
        placemark: 0,
        placemark_name: String::new(),
        moment: None,
        point: None,
        points: Track { name: "points with times".into(), ..Track::default() },
        field: String::new(),
        clock: Clock::new(DateOrder::DayFirst),
    };
    let inside = walk(text, KEY, |step, byte| match step {
        Step::Start(element) => state.start(&element, byte),
        Step::End(_, text) => match state.open.pop() {
            Some(tag) => state.close(tag, text.trim_ascii(), byte),
            None => Ok(()),
        },
    })?;
    let State { mut document, points, track, .. } = state;
    document.cut_off = inside.is_some();
    if inside.is_some() && (track.is_some() || document.tracks.is_empty()) {
        return Err(cut_off(KEY, bytes));
    }
    if document.tracks.is_empty() && points.times.len() > 1 {
        document.tracks.push(points);
    }
    Ok(document)
}

impl State<'_> {
    fn start(&mut self, element: &Element<'_>, byte: usize) -> Result<(), ReadError> {
        let name = element.local_name();
        if self.open.is_empty() && name != "kml" {
            let found = name.chars().take(40).collect::<String>();
            return Err(ReadError::Unsupported {
                what: format!("an XML document whose root is {found}, not kml"),
                hint: "export the track as KML, GPX or IGC".into(),
            });
        }
        let tag = tag(name);
        match tag {
            Tag::Placemark => {
                self.placemark += 1;
                self.placemark_name.clear();
                (self.moment, self.point) = (None, None);
            }
            Tag::Track => {
                if self.track.is_some() {
                    return Err(malformed(KEY, self.bytes, byte, "a track inside a track"));
                }
                self.track = Some(Track { placemark: self.placemark, ..Track::default() });
            }
            Tag::ArrayData => {
                let name = element.attribute("name").unwrap_or_default();
                if let Some(track) = &mut self.track {
                    track.arrays.push((name, Vec::new()));
                }
            }
            Tag::ArrayField => self.field = element.attribute("name").unwrap_or_default(),
            Tag::Line => self.document.lines += 1,
            _ => {}
        }
        self.open.push(tag);
        Ok(())
    }

    fn close(&mut self, tag: Tag, text: &str, byte: usize) -> Result<(), ReadError> {
        match tag {
            Tag::When => {
                let time_s = self.time(text, byte)?;
                let line = self.lines.line_of(byte);
                match &mut self.track {
                    Some(track) => track.times.push((time_s, line)),
                    None => self.moment = Some((time_s, line)),
                }
            }
            Tag::Coord | Tag::Angles => {
                let three = self.three(text, byte)?;
                if let Some(track) = &mut self.track {
                    let into =
                        if tag == Tag::Coord { &mut track.places } else { &mut track.angles };
                    if into.is_empty() {
                        // writers put the times first
                        into.reserve_exact(track.times.len());
                    }
                    into.push(three);
                }
            }
            Tag::Value => {
                let value = decimal::parse(text.as_bytes()).filter(|value| value.is_finite());
                if let Some((_, values)) = self.track.as_mut().and_then(|t| t.arrays.last_mut()) {
                    values.push(value.unwrap_or(f64::NAN));
                }
            }
            Tag::Name if self.open.last() == Some(&Tag::Placemark) => {
                self.placemark_name = text.chars().take(60).collect();
            }
            Tag::DisplayName
                if self.open.last() == Some(&Tag::ArrayField)
                    && self.document.titles.len() < TITLES_MOST =>
            {
                let title = text.chars().take(60).collect();
                self.document.titles.push((std::mem::take(&mut self.field), title));
            }
            Tag::Mode => self.mode(text),
            Tag::Coordinates if self.open.last() == Some(&Tag::Point) => {
                self.point = self.three(&text.replace(',', " "), byte)?;
            }
            Tag::Track => {
                if let Some(mut track) = self.track.take() {
                    track.name.clone_from(&self.placemark_name);
                    self.document.tracks.push(track);
                }
            }
            Tag::Placemark => {
                if let (Some(moment), Some(point)) = (self.moment.take(), self.point.take()) {
                    self.points.times.push(moment);
                    self.points.places.push(Some(point));
                }
            }
            _ => {}
        }
        Ok(())
    }

    fn mode(&mut self, text: &str) {
        let mode = match text {
            "absolute" => Mode::Absolute,
            "relativeToGround" => Mode::AboveGround,
            "clampToGround" => Mode::OnGround,
            _ => Mode::NotStated,
        };
        match &mut self.track {
            Some(track) => track.mode = mode,
            None if self.open.contains(&Tag::Point) => self.points.mode = mode,
            None => {}
        }
    }

    fn time(&mut self, text: &str, byte: usize) -> Result<f64, ReadError> {
        // where the usual shape has its seconds
        if text.as_bytes().get(16..19) == Some(b":60") {
            self.document.sixties += 1;
        }
        match self.clock.read(text.as_bytes()) {
            Some(Reading::Epoch(seconds)) => Ok(seconds),
            Some(Reading::Civil(seconds)) => {
                self.document.unzoned += 1;
                Ok(seconds)
            }
            _ => {
                let shown: String = text.chars().take(32).collect();
                let what = format!("time '{shown}' is not like 2026-05-04T14:02:11Z");
                Err(malformed(KEY, self.bytes, byte, &what))
            }
        }
    }

    /// Two or three numbers; the third is zero when absent. `None` for nothing.
    fn three(&self, text: &str, byte: usize) -> Result<Option<[f64; 3]>, ReadError> {
        if text.is_empty() {
            return Ok(None);
        }
        let mut numbers = text.split_ascii_whitespace().map(|part| decimal::parse(part.as_bytes()));
        let (first, second) = (numbers.next().flatten(), numbers.next().flatten());
        let third = numbers.next();
        match (first, second, third) {
            (Some(a), Some(b), None) => Ok(Some([a, b, 0.0])),
            (Some(a), Some(b), Some(Some(c))) => Ok(Some([a, b, c])),
            _ => {
                let shown: String = text.chars().take(40).collect();
                let what = format!("'{shown}' is not three numbers");
                Err(malformed(KEY, self.bytes, byte, &what))
            }
        }
    }
}
