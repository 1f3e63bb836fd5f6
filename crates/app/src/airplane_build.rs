//! An airplane from the figures of its flight manual.

use std::collections::BTreeMap;
use std::sync::{Mutex, PoisonError};

use flight::airplane::Airplane;
use handbook::figures::Figures;
use handbook::file::{self, Built};
use handbook::fit::{self, Fitted};
use handbook::library;
use report::model::Document;

use crate::answer::{self, Answer};
use crate::error::AppError;
use crate::{files, suggest};

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

/// Makes an airplane from a file of figures, or from one that comes with the program by its key.
///
/// # Errors
/// No such file; its faults, each with its line and the likely slip.
pub fn build(name: &str) -> Result<BuildAnswer, AppError> {
    match library::text(name.trim()) {
        Some(text) => build_text(text, name),
        None => build_text(&files::text(name)?, name),
    }
}

/// Makes an airplane from the public figures of a key. Opens no file.
///
/// # Errors
/// No such key.
pub fn of_key(typed: &str) -> Result<BuildAnswer, AppError> {
    let known = || library::ALL.iter().map(|(id, _)| *id).collect::<Vec<_>>();
    let text = library::text(typed.trim());
    build_text(text.ok_or_else(|| suggest::unknown("airplane", typed, &known()))?, typed.trim())
}

/// Makes an airplane from the text of a file of figures; `name` is used in messages.
///
/// # Errors
/// Its faults, each with its line and the likely slip.
pub fn build_text(text: &str, name: &str) -> Result<BuildAnswer, AppError> {
    let figures = Figures::from_toml(text, name)?;
    let fitted = fit::fit(&figures);
    let built = file::build(&figures, &fitted)?;
    Ok(BuildAnswer { figures, fitted, built })
}

/// An airplane that comes with the program as public figures, fitted when it is first asked for; `None` for a key that is not of the
/// library.
#[must_use]
pub fn of_library(id: &str) -> Option<Airplane> {
    /// Fitted before: the same figures give the same airplane.
    static FITTED: Mutex<BTreeMap<String, Airplane>> = Mutex::new(BTreeMap::new());
    let text = library::text(id)?;
    let fitted = || FITTED.lock().unwrap_or_else(PoisonError::into_inner);
    if let Some(known) = fitted().get(id) {
        return Some(known.clone());
    }
    let answer = build_text(text, id).expect("every listed file of figures builds an airplane");
    fitted().insert(id.into(), answer.built.airplane.clone());
    Some(answer.built.airplane)
}
