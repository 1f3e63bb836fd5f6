//! What a recording holds, and how the columns of a table were read.

use recording::{ColumnMap, Recording};
use report::model::Document;
use wire::recording_sheet::RecordingSheet;

use crate::answer::{self, Answer};
use crate::debrief::{Brought, recording_of};
use crate::error::AppError;
use crate::table;

/// A recording to be shown.
#[derive(Debug, Clone)]
pub struct RecordingAnswer {
    recording: Recording,
    columns: Option<ColumnMap>,
}

/// Reads a recording, or several of one flight that are joined. Linear in their length.
///
/// # Errors
/// As [`recording_of`].
pub fn show(brought: Vec<Brought>) -> Result<RecordingAnswer, AppError> {
    let columns = match brought.as_slice() {
        [one] if recording::formats::is_table(&one.bytes, &one.reading) => {
            recording::read_with_columns(&one.bytes, &one.options()).ok().map(|(_, map)| map)
        }
        _ => None,
    };
    let recording = recording_of(brought)?;
    Ok(RecordingAnswer { recording, columns })
}

impl RecordingAnswer {
    /// How the columns were read, as a file that people edit and give again.
    ///
    /// # Errors
    /// The recording is no single table.
    pub fn column_map(&self) -> Result<String, AppError> {
        let map = self.columns.as_ref().ok_or_else(|| {
            let what = format!("{} has no columns", self.recording.name);
            AppError::request(what, "a column map is made from one table (CSV)")
        })?;
        Ok(map.to_toml(&self.recording.name))
    }
}

impl Answer for RecordingAnswer {
    fn formats(&self) -> Vec<&'static str> {
        answer::with_pictures_and_tables()
    }
    fn document(&self) -> Option<Document> {
        Some(report::recorded::document(&self.recording, self.columns.as_ref()))
    }
    fn json(&self) -> String {
        wire::to_json(&RecordingSheet::new(&self.recording, self.columns.as_ref()))
    }
    fn csv(&self) -> Option<String> {
        Some(table::recording(&RecordingSheet::new(&self.recording, None)))
    }
    fn remarks(&self, format: &str) -> Vec<String> {
        match format {
            "csv" => self.recording.notes.iter().map(|note| note.text.clone()).collect(),
            _ => Vec::new(),
        }
    }
}
