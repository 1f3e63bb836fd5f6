//! What the user corrects in the attempts found. A file people write:
//!
//! ```toml
//! [[correction]]
//! at = "754 s"              # a moment within the attempt, from the first sample
//! maneuver = "chandelle"    # what it was, or where it began and ended, or both
//! direction = "left"        # which way it, or its first half, went
//! start = "741.5 s"
//! end = "779 s"
//!
//! [[correction]]
//! at = "1200 s"
//! not_a_maneuver = true
//! ```

use assess::corrections::{Correction, Misfit, Says};
use base::typed_toml::{self, Fault, Faults, Section};
use base::units::Duration;
use maneuver::{Direction, catalog};

use crate::error::AppError;
use crate::files;

/// Corrections to the attempts of one flight.
#[derive(Debug, Clone, Default)]
pub struct Corrections {
    name: String,
    lines: Vec<usize>,
    pub(crate) list: Vec<Correction>,
}

impl Corrections {
    /// Reads a file of corrections.
    ///
    /// # Errors
    /// The file cannot be read, or has faults, each told with its line.
    pub fn open(name: &str) -> Result<Self, AppError> {
        Ok(Self::from_toml(&files::text(name)?, name)?)
    }
    /// From the text of a file; `name` is used in messages.
    ///
    /// # Errors
    /// Every fault of the text, with its line.
    pub fn from_toml(text: &str, name: &str) -> Result<Self, Faults> {
        typed_toml::read(text, name, |root| build(root, name))
    }
    /// A correction that fits nothing, with its line in the file.
    pub(crate) fn misfit(&self, misfit: Misfit) -> AppError {
        let line = self.lines.get(misfit.index).copied().unwrap_or(1);
        let fault = Fault { line, what: misfit.what, hint: misfit.hint };
        AppError::from(Faults { name: self.name.clone(), faults: vec![fault] })
    }
}

fn build(root: &Section<'_>, name: &str) -> Option<Corrections> {
    let sections = root.sections("correction");
    if sections.is_empty() {
        root.fault("correction", "nothing is corrected", "add blocks [[correction]]");
    }
    let read: Vec<Option<Correction>> = sections.iter().map(correction).collect();
    let lines = sections.iter().map(|section| section.line("at")).collect();
    let list = read.into_iter().collect::<Option<_>>()?;
    Some(Corrections { name: name.into(), lines, list })
}

fn correction(section: &Section<'_>) -> Option<Correction> {
    let at = section.quantity::<Duration>("at");
    let keys: Vec<(&str, &'static str)> = catalog::ALL.iter().map(|m| (m.id(), m.id())).collect();
    let maneuver = section.has("maneuver").then(|| section.choice("maneuver", &keys));
    const WAYS: &[(&str, Direction)] = &[("left", Direction::Left), ("right", Direction::Right)];
    let way = section.has("direction").then(|| section.choice("direction", WAYS));
    let start_s = section.optional_quantity::<Duration>("start").map(Duration::to_s);
    let end_s = section.optional_quantity::<Duration>("end").map(Duration::to_s);
    let none = section.flag("not_a_maneuver");
    section.refuse_unknown();
    let named = match maneuver {
        Some(key) => Some(catalog::find(key?)?),
        None => None,
    };
    let direction = match way {
        Some(way) => Some(way?),
        None => None,
    };
    let some = named.is_some() || direction.is_some() || start_s.is_some() || end_s.is_some();
    let says = match (none, some) {
        (true, false) => Says::NotAManeuver,
        (false, true) => Says::Was { maneuver: named, direction, start_s, end_s },
        _ => {
            let what = "a correction says what it was, or that it was no maneuver";
            let hint = "write maneuver, direction, start or end; or not_a_maneuver = true alone";
            section.fault("at", what, hint);
            return None;
        }
    };
    Some(Correction { at_s: at?.to_s(), says })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn corrections_are_read_and_their_faults_told_by_line() {
        let text = "[[correction]]\nat = \"754 s\"\nmaneuver = \"chandelle\"\ndirection = \"left\"\nend = \"779 s\"\n\n[[correction]]\nat = \"20 min\"\nnot_a_maneuver = true\n";
        let read = Corrections::from_toml(text, "mine.toml").unwrap();
        assert!(matches!(read.list[1].says, Says::NotAManeuver));
        assert!((read.list[1].at_s - 1200.0).abs() < 1e-9);
        let Says::Was { maneuver, direction, start_s, end_s } = read.list[0].says else {
            panic!("it was")
        };
        assert_eq!(direction, Some(Direction::Left));
        assert_eq!((maneuver.unwrap().id(), start_s, end_s), ("chandelle", None, Some(779.0)));
        for wrong in [
            "",
            "[[correction]]\nat = \"754 s\"\n",
            "[[correction]]\nat = \"754 s\"\nmaneuver = \"chandele\"\n",
            "[[correction]]\nat = 754\nnot_a_maneuver = true\n",
        ] {
            assert!(Corrections::from_toml(wrong, "mine.toml").is_err(), "{wrong}");
        }
    }
}
