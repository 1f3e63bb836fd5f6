//! The motion of a recording, with uncertainty, as numbers.

use report::model::Document;
use wire::reconstruction::Reconstruction;

use crate::answer::{self, Answer};
use crate::debrief::{Brought, Told, motion_of};
use crate::error::AppError;
use crate::table;

/// A reconstruction.
#[derive(Debug, Clone)]
pub struct ReconstructAnswer {
    reconstruction: Reconstruction,
}

/// Reconstructs the motion of a recording. Linear in its length.
///
/// # Errors
/// The recording cannot be read, or determines no motion.
pub fn reconstruct(brought: Vec<Brought>, told: &Told) -> Result<ReconstructAnswer, AppError> {
    let (recording, motion) = motion_of(brought, told)?;
    Ok(ReconstructAnswer { reconstruction: Reconstruction::new(&recording, &motion) })
}

impl Answer for ReconstructAnswer {
    fn formats(&self) -> Vec<&'static str> {
        answer::of_numbers()
    }
    fn document(&self) -> Option<Document> {
        None
    }
    fn json(&self) -> String {
        wire::to_json(&self.reconstruction)
    }
    fn csv(&self) -> Option<String> {
        Some(table::reconstruction(&self.reconstruction))
    }
    #[cfg(feature = "parquet")]
    fn parquet(&self) -> Option<Result<Vec<u8>, AppError>> {
        Some(crate::parquet::reconstruction(&self.reconstruction))
    }
    fn remarks(&self, format: &str) -> Vec<String> {
        if format != "json" { self.reconstruction.notes.clone() } else { Vec::new() }
    }
}
