//! Recorded flights: one normal form, one reader per file format, a probe that looks at the content.
//!
//! Readers take bytes and return a [`Recording`] and notes; they open nothing. A recording with holes is a normal
//! recording. Nothing here knows airplanes or maneuvers.
//!
//! * [`normal`]: what every reader produces.
//! * [`error`]: who must act: malformed, unsupported, limit, or a question for the user.
//! * [`mod@merge`]: several recordings of one flight made one.
//! * [`summary`]: what a recording holds, sensor by sensor.
//! * [`formats`]: one folder or file per format and the list of them; [`read`] probes and reads.

mod decimal;
pub mod error;
pub mod formats;
pub mod merge;
pub mod normal;
#[cfg(test)]
mod outside;
pub mod summary;

pub use error::ReadError;
pub use formats::csv::columns::ColumnMap;
pub use formats::csv::read_with_columns;
pub use formats::csv::sensors::SensorHint;
pub use formats::{ReadOptions, read};
pub use merge::{MergeError, merge};
pub use normal::{Fix, Gap, HeightDatum, Note, NoteKind, QuantityKind, Recording, Series};
