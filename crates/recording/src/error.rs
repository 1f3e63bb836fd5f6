//! Why a file could not be read, by who must act. Every message says what, where, and what to do.

/// Where in the file.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Place {
    /// Line, counted from one; 0 when not by lines.
    pub line: u64,
    /// Byte offset from the start of the file, when known.
    pub byte: Option<u64>,
}

impl std::fmt::Display for Place {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match (self.line, self.byte) {
            (0, Some(byte)) => write!(out, "byte {byte}"),
            (0, None) => write!(out, "the whole file"),
            (line, _) => write!(out, "line {line}"),
        }
    }
}

/// A file that could not be read.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum ReadError {
    /// The file breaks the rules of its own format.
    #[error("{format}: {what}, {place}")]
    Malformed {
        /// Format key.
        format: &'static str,
        /// What is wrong.
        what: String,
        /// Where.
        place: Place,
        /// What to do.
        hint: String,
    },
    /// The content is of no known format, or of a part of one that is not read.
    #[error("{what}")]
    Unsupported {
        /// What it looks like.
        what: String,
        /// What to do.
        hint: String,
    },
    /// A limit of the reader was reached.
    #[error("{what}, {place}")]
    Limit {
        /// Which limit.
        what: String,
        /// Where.
        place: Place,
        /// What to do.
        hint: String,
    },
    /// The data allow two readings: the user must say which.
    #[error("{what}")]
    Ambiguous {
        /// What is open.
        what: String,
        /// The option to give, for example `--unit ground_speed=kt`.
        hint: String,
    },
    /// An archive of several flights: each can be read by its name.
    #[error("the archive holds {} recordings", .entries.len())]
    Several {
        /// Their names in the archive, all of them.
        entries: Vec<String>,
        /// How one of them is named.
        hint: String,
    },
}

impl ReadError {
    /// Makes the pieces of a file in it fit to be shown.
    pub(crate) fn make_readable(&mut self) {
        match self {
            Self::Malformed { what, hint, .. }
            | Self::Unsupported { what, hint }
            | Self::Limit { what, hint, .. }
            | Self::Ambiguous { what, hint } => {
                make_readable(what);
                make_readable(hint);
            }
            // The names stay as they are: they are given back to find the file.
            Self::Several { hint, .. } => make_readable(hint),
        }
    }
    /// Names of the recordings of an archive of several; nothing of any other.
    #[must_use]
    pub fn entries(&self) -> &[String] {
        match self {
            Self::Several { entries, .. } => entries,
            _ => &[],
        }
    }
    /// What to do about it.
    #[must_use]
    pub fn hint(&self) -> &str {
        match self {
            Self::Malformed { hint, .. }
            | Self::Unsupported { hint, .. }
            | Self::Limit { hint, .. }
            | Self::Ambiguous { hint, .. }
            | Self::Several { hint, .. } => hint,
        }
    }
}

/// Longest text that is shown, bytes.
const TEXT_MOST: usize = 2000;

/// As [`readable`], in place.
pub(crate) fn make_readable(text: &mut String) {
    if let std::borrow::Cow::Owned(fit) = readable(text) {
        *text = fit;
    }
}

/// Text that may hold pieces of a file, fit to be shown: nothing that steers a terminal, and not endless.
pub(crate) fn readable(text: &str) -> std::borrow::Cow<'_, str> {
    let fits = |letter: char| !letter.is_control() && !DIRECTION_MARKS.contains(&letter);
    if text.len() <= TEXT_MOST && text.chars().all(fits) {
        return text.into();
    }
    // Counted as written: a control character of one byte is shown by a sign of three.
    let mut out = String::new();
    for letter in text.chars() {
        let shown = match letter {
            '\t' | '\r' | '\n' => ' ',
            letter if fits(letter) => letter,
            _ => char::REPLACEMENT_CHARACTER,
        };
        if out.len() + shown.len_utf8() > TEXT_MOST {
            out.push_str(" ...");
            break;
        }
        out.push(shown);
    }
    out.into()
}

/// Characters that turn the direction of the text after them.
const DIRECTION_MARKS: [char; 9] = [
    '\u{202a}', '\u{202b}', '\u{202c}', '\u{202d}', '\u{202e}', '\u{2066}', '\u{2067}', '\u{2068}',
    '\u{2069}',
];

#[cfg(test)]
mod tests {
    use super::{TEXT_MOST, readable};

    #[test]
    fn golden_text_of_a_file_cannot_steer_a_terminal() {
        assert_eq!(readable("column lat"), "column lat");
        assert_eq!(readable("a\tb\x1b[2Jc\u{202e}"), "a b\u{fffd}[2Jc\u{fffd}");
        for letter in ["\u{e9}", "\u{1}", "\u{202e}", "\u{1f6e9}"] {
            let shown = readable(&letter.repeat(TEXT_MOST)).into_owned();
            assert!(shown.len() < TEXT_MOST + 8, "{} bytes", shown.len());
            assert!(shown.ends_with(" ..."), "cut without saying so");
        }
        assert_eq!(readable(&"a".repeat(TEXT_MOST)).len(), TEXT_MOST);
    }
}
