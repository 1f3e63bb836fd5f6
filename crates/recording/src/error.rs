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
}

impl ReadError {
    /// What to do about it.
    #[must_use]
    pub fn hint(&self) -> &str {
        match self {
            Self::Malformed { hint, .. }
            | Self::Unsupported { hint, .. }
            | Self::Limit { hint, .. }
            | Self::Ambiguous { hint, .. } => hint,
        }
    }
}
