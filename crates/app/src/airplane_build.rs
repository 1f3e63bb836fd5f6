//! An airplane from the figures of its flight manual.

use handbook::figures::Figures;
use handbook::file::{self, Built};
use handbook::fit::{self, Fitted};
use report::model::Document;

use crate::answer::{self, Answer};
use crate::error::AppError;
use crate::files;

pub use handbook::figures::TEMPLATE;

/// An airplane made of figures, with what was found on the way.
#[derive(Debug, Clone)]
pub struct BuildAnswer {
    figures: Figures,
    fitted: Fitted,
    built: Built,
}

impl BuildAnswer {
    /// The airplane file.
    #[must_use]
    pub fn airplane_file(&self) -> &str {
        &self.built.text
    }
}

impl Answer for BuildAnswer {
    fn formats(&self) -> Vec<&'static str> {
        answer::of_lists()
    }
    fn document(&self) -> Option<Document> {
        Some(report::airplane_build::document(&self.figures, &self.fitted, &self.built))
    }
    fn json(&self) -> String {
        let out =
            wire::airplane_build::AirplaneBuild::new(&self.figures, &self.fitted, &self.built);
        wire::to_json(&out)
    }
}

/// Makes an airplane from a file of figures.
///
/// # Errors
/// No such file; its faults, each with its line and the likely slip.
pub fn build(name: &str) -> Result<BuildAnswer, AppError> {
    let figures = Figures::from_toml(&files::text(name)?, name)?;
    let fitted = fit::fit(&figures);
    let built = file::build(&figures, &fitted)?;
    Ok(BuildAnswer { figures, fitted, built })
}
