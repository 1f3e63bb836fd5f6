//! XML as a stream of steps over the bytes: what is common to the readers of documents. Nothing is expanded: a document type
//! or an entity of its own is refused, depth and size are capped.

use crate::error::{Place, ReadError};
use quick_xml::Reader;
use quick_xml::events::{BytesStart, Event};

/// Deepest nesting that is read.
const DEPTH_MOST: usize = 64;
/// Largest file that is read, bytes.
const SIZE_MOST: usize = 512 << 20;

/// One step through a document.
pub(crate) enum Step<'a> {
    /// An element opens.
    Start(&'a BytesStart<'a>),
    /// A piece of text; the pieces of one element belong together.
    Text(&'a str),
    /// The element that opened last closes.
    End,
}

/// Walks through a document and calls `visit` with each step and the byte it begins at; returns whether it was whole.
///
/// # Errors
/// Malformed when the document is not well-formed, Limit when it is too deep or too large, Unsupported when it
/// has a document type or entities; what `visit` returns.
pub(crate) fn walk(
    text: &str,
    format: &'static str,
    mut visit: impl FnMut(Step<'_>, usize) -> Result<(), ReadError>,
) -> Result<bool, ReadError> {
    let bytes = text.as_bytes();
    if bytes.len() > SIZE_MOST {
        return Err(limit(bytes, 0, format!("more than {SIZE_MOST} bytes")));
    }
    let mut reader = Reader::from_str(text);
    let mut depth = 0usize;
    loop {
        let byte = usize::try_from(reader.buffer_position()).unwrap_or(bytes.len());
        let event = reader.read_event().map_err(|error| {
            let at = usize::try_from(reader.error_position()).unwrap_or(byte);
            malformed(format, bytes, at, &format!("not well-formed ({error})"))
        })?;
        match event {
            Event::Start(element) => {
                depth += 1;
                if depth > DEPTH_MOST {
                    let what = format!("elements nested more than {DEPTH_MOST} deep");
                    return Err(limit(bytes, byte, what));
                }
                visit(Step::Start(&element), byte)?;
            }
            Event::Empty(element) => {
                visit(Step::Start(&element), byte)?;
                visit(Step::End, byte)?;
            }
            Event::End(_) => {
                depth = depth.saturating_sub(1);
                visit(Step::End, byte)?;
            }
            Event::Text(text) => visit(Step::Text(&text), byte)?,
            Event::CData(text) => visit(Step::Text(&text), byte)?,
            Event::DocType(_) => return Err(refused(format, bytes, byte, "a document type")),
            Event::GeneralRef(name) => match letter(&name) {
                Some(letter) => visit(Step::Text(letter), byte)?,
                None if name.starts_with('#') => {}
                None => return Err(refused(format, bytes, byte, "an entity of its own")),
            },
            Event::Eof => return Ok(depth == 0),
            _ => {}
        }
    }
}

/// Where bytes had to be replaced to read a document as text, offsets are not those of the file; lines are.
pub(crate) fn placed_in<T>(bytes: &[u8], mut result: Result<T, ReadError>) -> Result<T, ReadError> {
    if let Err(ReadError::Malformed { place, .. } | ReadError::Limit { place, .. }) = &mut result
        && std::str::from_utf8(bytes).is_err()
    {
        place.byte = None;
    }
    result
}

/// The error for a document that is not whole.
pub(crate) fn cut_off(format: &'static str, bytes: &[u8]) -> ReadError {
    malformed(format, bytes, bytes.len(), "the file ends inside an element: it was cut off")
}

/// The references that every document has.
fn letter(name: &str) -> Option<&'static str> {
    Some(match name {
        "amp" => "&",
        "lt" => "<",
        "gt" => ">",
        "quot" => "\"",
        "apos" => "'",
        _ => return None,
    })
}

/// The value of an attribute; broken attributes are absent.
pub(crate) fn attribute(element: &BytesStart<'_>, name: &str) -> Option<String> {
    let mut all = element.attributes().take(32).flatten();
    let found = all.find(|attribute| attribute.key.local_name().as_ref() == name)?;
    Some(found.value.trim().to_owned())
}

/// Line numbers of rising byte offsets, counted once through the file.
pub(crate) struct Lines<'a> {
    bytes: &'a [u8],
    at: usize,
    line: u64,
}

impl<'a> Lines<'a> {
    /// At the start of the file.
    pub(crate) fn new(bytes: &'a [u8]) -> Self {
        Self { bytes, at: 0, line: 1 }
    }
    /// The line of a byte that is not before the last one asked for.
    pub(crate) fn line_of(&mut self, byte: usize) -> u64 {
        let byte = byte.clamp(self.at, self.bytes.len());
        self.line += memchr::memchr_iter(b'\n', &self.bytes[self.at..byte]).count() as u64;
        self.at = byte;
        self.line
    }
}

/// Line and byte of a byte.
pub(crate) fn place(bytes: &[u8], byte: usize) -> Place {
    let before = &bytes[..byte.min(bytes.len())];
    let line = before.iter().filter(|&&b| b == b'\n').count() as u64 + 1;
    Place { line, byte: Some(byte as u64) }
}

/// Malformed at a byte.
pub(crate) fn malformed(format: &'static str, bytes: &[u8], byte: usize, what: &str) -> ReadError {
    ReadError::Malformed {
        format,
        what: what.to_owned(),
        place: place(bytes, byte),
        hint: "export or copy the file again; if it was edited by hand, look at this line".into(),
    }
}

/// A limit of the reader, reached at a byte.
pub(crate) fn limit(bytes: &[u8], byte: usize, what: String) -> ReadError {
    ReadError::Limit {
        what,
        place: place(bytes, byte),
        hint: "no track needs this; check that the right file was chosen".into(),
    }
}

/// Something that XML may hold and a track does not need.
pub(crate) fn refused(format: &str, bytes: &[u8], byte: usize, what: &str) -> ReadError {
    ReadError::Unsupported {
        what: format!("{format} with {what}, {}", place(bytes, byte)),
        hint: "tracks need neither document types nor entities, and they are refused because they can hide endless text; export the track again".into(),
    }
}
