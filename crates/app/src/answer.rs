//! What every answer can do: be a document, JSON, sometimes a table; and the forms it can be had in.

use report::model::Document;
use report::render;

use crate::error::{AppError, Outcome};
use crate::suggest;

/// An answer that can be rendered.
pub trait Answer {
    /// How it ends.
    fn outcome(&self) -> Outcome {
        Outcome::Done
    }
    /// Keys of the formats it can be had in, the usual one first.
    fn formats(&self) -> Vec<&'static str>;
    /// As a document, for people; `None` when it is only numbers.
    fn document(&self) -> Option<Document>;
    /// As JSON, for programs.
    fn json(&self) -> String;
    /// As CSV; `None` when it is not a table.
    fn csv(&self) -> Option<String> {
        None
    }
    /// As Parquet; `None` when it is not a table of columns.
    #[cfg(feature = "parquet")]
    fn parquet(&self) -> Option<Result<Vec<u8>, AppError>> {
        None
    }
    /// What was taken for what was not told, and what the reader had to say where the answer in this format does not; for
    /// the side channel.
    fn remarks(&self, format: &str) -> Vec<String> {
        let _ = format;
        Vec::new()
    }
}

/// Formats of answers with pictures.
#[must_use]
pub fn with_pictures() -> Vec<&'static str> {
    render::ALL.iter().map(|renderer| renderer.key).chain(["json"]).collect()
}

/// Formats of words.
#[must_use]
pub fn of_words() -> Vec<&'static str> {
    vec!["text", "html", "json"]
}

/// Formats of a debrief: pictures and numbers.
#[must_use]
pub fn with_pictures_and_tables() -> Vec<&'static str> {
    with_pictures().into_iter().chain(["csv"]).collect()
}

/// Formats of lists.
#[must_use]
pub fn of_lists() -> Vec<&'static str> {
    vec!["text", "json"]
}

/// Formats of the attempts alone.
#[must_use]
pub fn of_finds() -> Vec<&'static str> {
    vec!["text", "json", "csv"]
}

/// Formats of the checks of the engine.
#[must_use]
pub fn of_checks() -> Vec<&'static str> {
    vec!["text", "json", "csv"]
}

/// Formats of a reconstruction.
#[must_use]
pub fn of_numbers() -> Vec<&'static str> {
    #[cfg(feature = "parquet")]
    return vec!["csv", "json", "parquet"];
    #[cfg(not(feature = "parquet"))]
    return vec!["csv", "json"];
}

/// Bytes and media type of an answer in a format.
///
/// # Errors
/// A format that this answer cannot be had in.
pub fn render(answer: &dyn Answer, key: &str) -> Result<(Vec<u8>, &'static str), AppError> {
    let formats = answer.formats();
    let unknown = || suggest::unknown("format", key, &formats);
    if !formats.contains(&key) {
        return Err(unknown());
    }
    match key {
        "json" => Ok((answer.json().into_bytes(), "application/json")),
        "csv" => {
            let table = answer.csv().ok_or_else(unknown)?;
            Ok((table.into_bytes(), "text/csv; charset=utf-8"))
        }
        #[cfg(feature = "parquet")]
        "parquet" => {
            let table = answer.parquet().ok_or_else(unknown)??;
            Ok((table, "application/vnd.apache.parquet"))
        }
        _ => {
            let renderer = render::find(key).ok_or_else(unknown)?;
            let document = answer.document().ok_or_else(unknown)?;
            Ok(((renderer.render)(&document), renderer.media_type))
        }
    }
}
