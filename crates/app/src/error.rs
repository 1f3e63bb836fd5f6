//! What can go wrong, by who must act, and how an answer ends.

use base::typed_toml::Faults;
use motion::MotionError;
use recording::{MergeError, ReadError};

/// Something is wrong with the request, a file or the machine. Every message says what, where, and what to do.
#[derive(Debug, thiserror::Error)]
pub enum AppError {
    /// The request cannot be understood.
    #[error("{what}")]
    Request {
        /// What is wrong.
        what: String,
        /// What to do.
        hint: String,
    },
    /// A file cannot be had or written.
    #[error("{name}: {what}")]
    File {
        /// Name of the file.
        name: String,
        /// What is wrong.
        what: String,
        /// What to do.
        hint: String,
    },
    /// A file that people write (airplane, standard) has faults, each with its line.
    #[error("{0}")]
    Faults(#[from] Faults),
    /// A recording cannot be read.
    #[error("{name}: {error}")]
    Recording {
        /// Name of the recording.
        name: String,
        /// Why.
        error: ReadError,
    },
    /// Recordings cannot be joined.
    #[error("{0}")]
    Merge(#[from] MergeError),
    /// A recording was read but no motion can be found from it.
    #[error("{name}: {error}")]
    Motion {
        /// Name of the recording.
        name: String,
        /// Why.
        error: MotionError,
    },
    /// The machine failed: storage, pipe, network.
    #[error("{what}")]
    Machine {
        /// What failed.
        what: String,
        /// What to do.
        hint: String,
    },
}

impl AppError {
    /// A request that cannot be understood.
    #[must_use]
    pub fn request(what: impl Into<String>, hint: impl Into<String>) -> Self {
        Self::Request { what: what.into(), hint: hint.into() }
    }

    /// What to do about it; empty when nothing can be said.
    #[must_use]
    pub fn hint(&self) -> String {
        match self {
            Self::Request { hint, .. } | Self::File { hint, .. } | Self::Machine { hint, .. } => {
                hint.clone()
            }
            Self::Faults(faults) => faults.hint(),
            Self::Recording { error, .. } => error.hint().into(),
            Self::Merge(error) => error.hint(),
            Self::Motion { error, .. } => error.hint().into(),
        }
    }

    /// Exit status of a command that ends so: 2 the request or a file is wrong, 3 the machine failed.
    #[must_use]
    pub const fn status(&self) -> u8 {
        match self {
            Self::Machine { .. } => 3,
            _ => 2,
        }
    }

    /// The error as a document (`skychalk.error/1`).
    #[must_use]
    pub fn to_json(&self) -> String {
        let mut failure = failure(&self.to_string(), &self.hint(), self.status());
        if let Self::Recording { error, .. } = self {
            failure.recordings = error.entries().to_vec();
        }
        wire::to_json(&failure)
    }
}

/// An error document (`skychalk.error/1`) for an error that is not an [`AppError`]. An empty hint is left out.
#[must_use]
pub fn failure_json(error: &str, hint: &str, status: u8) -> String {
    wire::to_json(&failure(error, hint, status))
}

fn failure(error: &str, hint: &str, status: u8) -> wire::error::Failure {
    let hint = Some(hint.to_string()).filter(|hint| !hint.is_empty());
    wire::error::Failure::new(error, hint, status)
}

/// How an answer ends, when there is one.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Outcome {
    /// Done.
    Done,
    /// The answer is "cannot be done" or "nothing found".
    Nothing,
}

impl Outcome {
    /// Exit status: 0 done, 1 the answer is "cannot be done" or "nothing found".
    #[must_use]
    pub const fn status(self) -> u8 {
        match self {
            Self::Done => 0,
            Self::Nothing => 1,
        }
    }
}
