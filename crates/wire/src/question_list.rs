//! `skychalk.questions/1`: what is asked for a file of figures of a flight manual.

use schemars::JsonSchema;
use serde::Serialize;

/// Name of the document and its version.
pub const SCHEMA: &str = "skychalk.questions/1";

/// Questions whose answers make a file of figures.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct QuestionList {
    /// Always `skychalk.questions/1`.
    pub schema: &'static str,
    /// In the order they are asked.
    pub questions: Vec<QuestionOut>,
}

/// One question.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct QuestionOut {
    /// Block of the file; empty for its head.
    pub block: &'static str,
    /// True when the block may stand several times, as the rows of a table do.
    pub repeated: bool,
    /// Key in the block.
    pub key: &'static str,
    /// As asked.
    pub words: &'static str,
    /// Help.
    pub help: &'static str,
    /// `words`, `choice`, `number`, `quantity` or `list`.
    pub kind: &'static str,
    /// What may be chosen; empty for other kinds.
    pub choices: &'static [&'static str],
    /// A quantity as it may be written; null for other kinds.
    pub example: Option<&'static str>,
    /// Whether the file, or the row, cannot do without.
    pub needed: bool,
}
