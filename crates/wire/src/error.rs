//! `skychalk.error/1`: what went wrong, where, and what to do.

use schemars::JsonSchema;
use serde::Serialize;

/// Name of the document and its version.
pub const SCHEMA: &str = "skychalk.error/1";

/// An error answer.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Failure {
    /// Always `skychalk.error/1`.
    pub schema: &'static str,
    /// What is wrong and where (line, byte, time).
    pub error: String,
    /// What to do about it, when something can be done.
    pub hint: Option<String>,
    /// Names of the recordings of an archive of several; absent elsewhere. Each can be asked for by its name (`entry`).
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub recordings: Vec<String>,
    /// The exit status a command ends with: 2 the request or a file is wrong, 3 the machine failed.
    pub status: u8,
}

impl Failure {
    /// The answer for a message and a hint.
    #[must_use]
    pub fn new(error: impl Into<String>, hint: Option<String>, status: u8) -> Self {
        Self { schema: SCHEMA, error: error.into(), hint, recordings: Vec::new(), status }
    }
}
