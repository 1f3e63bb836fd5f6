//! XML as a stream of steps over the bytes: what is common to the readers of documents. Nothing is expanded: a document type
//! or an entity of its own is refused, depth and size are capped.
//!
//! Plain tags and text, which is nearly all of a recording, are stepped through where they stand; everything else (comments,
//! character data, declarations, references, whatever is not well-formed) is one event of the library. Linear time.

use crate::error::{Place, ReadError};
use crate::normal::NoteKind;
use crate::normal::assemble::Draft;
use memchr::{memchr, memchr2, memchr3};
use quick_xml::Reader;
use quick_xml::events::Event;
use quick_xml::events::attributes::Attributes;
use std::borrow::Cow;

/// Deepest nesting that is read.
const DEPTH_MOST: usize = 64;
/// Largest file that is read, bytes.
const SIZE_MOST: usize = 512 << 20;
/// Longest text that is put together from pieces, bytes.
const PIECES_MOST: usize = 4096;
/// Attributes beyond these are not looked at.
const ATTRIBUTES_MOST: usize = 32;

/// One step through a document.
pub(crate) enum Step<'a> {
    /// An element opens.
    Start(Element<'a>),
    /// The element that opened last closes: its local name, and the text since the tag before.
    End(&'a str, &'a str),
}

/// The tag that opens an element.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Element<'a> {
    /// Between the angle brackets.
    content: &'a str,
    name_end: usize,
}

impl<'a> Element<'a> {
    /// Of a tag, what stands between the angle brackets.
    fn new(content: &'a str) -> Self {
        let ends = |byte: u8| byte.is_ascii_whitespace() || byte == b'/';
        let name_end = content.bytes().position(ends).unwrap_or(content.len());
        Self { content, name_end }
    }
    fn name(&self) -> &'a str {
        &self.content[..self.name_end]
    }
    /// Its name without the prefix of the namespace.
    pub(crate) fn local_name(&self) -> &'a str {
        local(self.name())
    }
    /// Attributes by name as it is written, undecoded.
    ///
    /// # Errors
    /// What the library says of an attribute that is not well-formed.
    pub(crate) fn attributes(
        &self,
    ) -> impl Iterator<Item = Result<(&'a str, Cow<'a, str>), String>> + use<'a> {
        let mut all = Attributes::new(self.content, self.name_end);
        all.with_checks(false);
        all.take(ATTRIBUTES_MOST).map(|attribute| match attribute {
            Ok(attribute) => Ok((attribute.key.0, attribute.value)),
            Err(error) => Err(error.to_string()),
        })
    }
    /// The value of an attribute by its local name; broken attributes are absent.
    pub(crate) fn attribute(&self, name: &str) -> Option<String> {
        let found = self.attributes().flatten().find(|(key, _)| local(key) == name)?;
        Some(found.1.trim().to_owned())
    }
}

fn local(name: &str) -> &str {
    memchr(b':', name.as_bytes()).map_or(name, |colon| &name[colon + 1..])
}

/// Walks through a document and calls `visit` with each step and the byte it begins at; returns the name of the element that
/// the document ends inside, when it was cut off.
///
/// # Errors
/// Malformed when the document is not well-formed, Limit when it is too deep or too large, Unsupported when it
/// has a document type or entities; what `visit` returns.
pub(crate) fn walk<'a>(
    text: &'a str,
    format: &'static str,
    mut visit: impl FnMut(Step<'_>, usize) -> Result<(), ReadError>,
) -> Result<Option<&'a str>, ReadError> {
    let bytes = text.as_bytes();
    if bytes.len() > SIZE_MOST {
        return Err(limit(bytes, 0, format!("more than {SIZE_MOST} bytes")));
    }
    let mut walk = Walk { text, format, at: 0, open: Vec::new(), words: Words::default() };
    walk.at = if text.starts_with('\u{feff}') { '\u{feff}'.len_utf8() } else { 0 };
    while let Some(&byte) = bytes.get(walk.at) {
        let next = bytes.get(walk.at + 1).copied().unwrap_or(b'!');
        let on = match byte {
            b'<' if next == b'/' => walk.end(&mut visit)?,
            b'<' if !b"!?".contains(&next) => walk.start(&mut visit)?,
            b'<' | b'&' => walk.other()?,
            _ => walk.text(),
        };
        if !on {
            break;
        }
    }
    Ok(walk.open.last().copied())
}

struct Walk<'a> {
    text: &'a str,
    format: &'static str,
    at: usize,
    /// Names of the open elements.
    open: Vec<&'a str>,
    words: Words<'a>,
}

/// Each step returns whether the document goes on.
impl<'a> Walk<'a> {
    fn text(&mut self) -> bool {
        let rest = &self.text[self.at..];
        let length = memchr2(b'<', b'&', rest.as_bytes()).unwrap_or(rest.len());
        self.words.add(&rest[..length]);
        self.at += length;
        true
    }

    fn start<V>(&mut self, visit: &mut V) -> Result<bool, ReadError>
    where
        V: FnMut(Step<'_>, usize) -> Result<(), ReadError>,
    {
        let rest = &self.text[self.at + 1..];
        let named = rest.starts_with(|c: char| c.is_alphabetic() || c == '_' || c == ':');
        let Some(length) = tag_end(rest.as_bytes()).filter(|_| named) else {
            return self.other();
        };
        let content = &rest[..length];
        let (content, empty) = match content.strip_suffix('/') {
            Some(content) => (content, true),
            None => (content, false),
        };
        let (element, byte) = (Element::new(content), self.at);
        if !empty && self.open.len() >= DEPTH_MOST {
            let what = format!("elements nested more than {DEPTH_MOST} deep");
            return Err(limit(self.text.as_bytes(), byte, what));
        }
        self.words.clear();
        self.at += length + 2;
        visit(Step::Start(element), byte)?;
        if empty {
            visit(Step::End(element.local_name(), ""), byte)?;
        } else {
            self.open.push(element.name());
        }
        Ok(true)
    }

    fn end<V>(&mut self, visit: &mut V) -> Result<bool, ReadError>
    where
        V: FnMut(Step<'_>, usize) -> Result<(), ReadError>,
    {
        let rest = &self.text[self.at + 2..];
        let Some(length) = memchr(b'>', rest.as_bytes()) else { return self.other() };
        let name = rest[..length].trim_ascii_end();
        if self.open.last() != Some(&name) {
            let found: String = name.chars().take(40).collect();
            let why = match self.open.last() {
                Some(open) => format!("expected `</{open}>`, but `</{found}>` was found"),
                None => format!("`</{found}>` closes nothing"),
            };
            return Err(self.ill_formed(self.at, &why));
        }
        self.open.pop();
        let byte = self.at;
        self.at += length + 3;
        visit(Step::End(local(name), self.words.get()), byte)?;
        self.words.clear();
        Ok(true)
    }

    /// One event of the library.
    fn other(&mut self) -> Result<bool, ReadError> {
        let bytes = self.text.as_bytes();
        let mut reader = Reader::from_str(&self.text[self.at..]);
        let event = match reader.read_event() {
            Ok(event) => event,
            // nothing is closed any more from here on: the end of a file that was cut off, not a fault in its middle
            Err(_) if !self.open.is_empty() && memchr(b'>', &bytes[self.at..]).is_none() => {
                return Ok(false);
            }
            Err(error) => {
                let at = usize::try_from(reader.error_position()).unwrap_or(0);
                return Err(self.ill_formed(self.at + at, &error.to_string()));
            }
        };
        match event {
            Event::CData(text) => self.words.add_piece(&text),
            Event::DocType(_) => {
                return Err(refused(self.format, bytes, self.at, "a document type"));
            }
            Event::GeneralRef(name) => match letter(&name) {
                Some(letter) => self.words.add(letter),
                None if name.starts_with('#') => {}
                None => return Err(refused(self.format, bytes, self.at, "an entity of its own")),
            },
            Event::Start(_) | Event::Empty(_) => {
                return Err(self.ill_formed(self.at, "a name begins with a letter"));
            }
            _ => {}
        }
        let on = usize::try_from(reader.buffer_position()).unwrap_or(0);
        self.at += on;
        Ok(on > 0)
    }

    fn ill_formed(&self, byte: usize, why: &str) -> ReadError {
        let what = format!("not well-formed ({why})");
        malformed(self.format, self.text.as_bytes(), byte, &what)
    }
}

/// Where a tag closes: at the first bracket outside of quotes.
fn tag_end(bytes: &[u8]) -> Option<usize> {
    let mut at = 0;
    loop {
        at += memchr3(b'>', b'"', b'\'', &bytes[at..])?;
        if bytes[at] == b'>' {
            return Some(at);
        }
        at += memchr(bytes[at], &bytes[at + 1..])? + 2;
    }
}

/// The text since the last tag: where it stands, or put together when there are several pieces.
#[derive(Default)]
struct Words<'a> {
    one: &'a str,
    pieces: String,
}

impl<'a> Words<'a> {
    fn clear(&mut self) {
        self.one = "";
        self.pieces.clear();
    }
    fn add(&mut self, text: &'a str) {
        if self.one.is_empty() && self.pieces.is_empty() {
            self.one = text;
        } else {
            self.add_piece(text);
        }
    }
    fn add_piece(&mut self, text: &str) {
        for piece in [std::mem::take(&mut self.one), text] {
            if self.pieces.len() < PIECES_MOST {
                let most = piece.floor_char_boundary(PIECES_MOST);
                self.pieces.push_str(&piece[..most]);
            }
        }
    }
    fn get(&self) -> &str {
        if self.pieces.is_empty() { self.one } else { &self.pieces }
    }
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

/// A document as text, told in the draft when it is not UTF-8 throughout: names may be Latin-1, what is read of a track is
/// ASCII.
pub(crate) fn text_of<'a>(bytes: &'a [u8], draft: &mut Draft) -> Cow<'a, str> {
    let text = String::from_utf8_lossy(bytes);
    if matches!(text, Cow::Owned(_)) {
        draft.note(NoteKind::Odd, "the file is not UTF-8 throughout: names may look wrong");
    }
    text
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
