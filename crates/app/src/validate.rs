//! The engine held against published figures. Check files that may not be redistributed are read from a folder of the user's.

use std::path::{Path, PathBuf};

use report::model::Document;
use validation::{Check, Files, GROUPS, Group, Verdict};
use wire::validation::Validation;

use crate::answer::{self, Answer};
use crate::error::{AppError, Outcome};
use crate::suggest;
use crate::table;

/// Environment variable that names the folder of check files.
pub const FOLDER_VARIABLE: &str = "SKYCHALK_CHECKS";

/// The checks of some groups, made.
#[derive(Debug, Clone)]
pub struct ValidateAnswer {
    groups: Vec<&'static Group>,
    checks: Vec<Check>,
    with_folder: bool,
}

/// Keys of all groups, in their order.
#[must_use]
pub fn groups() -> Vec<&'static str> {
    GROUPS.iter().map(|group| group.name).collect()
}

/// Makes the checks of these groups, of all when none is named. Without a folder (given, or named by
/// [`FOLDER_VARIABLE`]) every check that needs a file is skipped and said to be.
///
/// # Errors
/// No such group; the folder is none.
pub fn validate(names: &[String], folder: Option<&Path>) -> Result<ValidateAnswer, AppError> {
    let folder = match folder {
        Some(folder) => Some(folder.to_path_buf()),
        None => std::env::var_os(FOLDER_VARIABLE).map(PathBuf::from),
    };
    if let Some(folder) = folder.as_ref().filter(|folder| !folder.is_dir()) {
        return Err(AppError::File {
            name: folder.to_string_lossy().into_owned(),
            what: "no folder of check files".into(),
            hint: format!("name the folder with --checks or in {FOLDER_VARIABLE}"),
        });
    }
    made(names, folder.as_deref())
}

/// Makes the checks that need no file, of all groups. Opens no file.
#[must_use]
pub fn without_files() -> ValidateAnswer {
    made(&[], None).expect("no group is named, so none is unknown")
}

fn made(names: &[String], folder: Option<&Path>) -> Result<ValidateAnswer, AppError> {
    let find = |name: &String| {
        validation::group::find(name).ok_or_else(|| suggest::unknown("group", name, &groups()))
    };
    let chosen: Vec<&Group> = names.iter().map(find).collect::<Result<_, _>>()?;
    let wanted = |group: &&Group| names.is_empty() || chosen.iter().any(|c| c.name == group.name);
    let groups: Vec<&'static Group> = GROUPS.iter().filter(wanted).collect();
    let read = |path: &str| std::fs::read(folder?.join(path)).ok();
    let files = Files::new(&read);
    let checks = groups.iter().flat_map(|group| group.run(&files)).collect();
    Ok(ValidateAnswer { groups, checks, with_folder: folder.is_some() })
}

/// The checks that are made with the figures of an airplane: groups of the list, and how their keys begin.
const OF_AIRPLANE: &[(&str, &str, &str)] = &[
    ("navion-nelson", "navion", "navion-"),
    ("navion-nelson", "navion-vehicle", "navion-vehicle-"),
    ("beaver", "beaver", "beaver-"),
    ("single-230hp", "single-230hp", "single-230hp-"),
    ("plover-160", "rudder", "rudder-plover-160-"),
    ("sandpiper-550", "rudder", "rudder-sandpiper-550-"),
];

/// The checks made with the figures of one airplane; none for an airplane that nothing published is known of. Opens no file.
///
/// # Panics
/// When a group of the list is none, which a test excludes.
#[must_use]
pub fn of_airplane(id: &str) -> ValidateAnswer {
    let own = || OF_AIRPLANE.iter().filter(|(airplane, ..)| *airplane == id);
    let names: Vec<String> = own().map(|(_, group, _)| (*group).to_string()).collect();
    if names.is_empty() {
        return ValidateAnswer { groups: Vec::new(), checks: Vec::new(), with_folder: false };
    }
    let mut answer = made(&names, None).expect("every listed group is there");
    answer.checks.retain(|check| {
        own().any(|(_, group, head)| check.group == *group && check.id.starts_with(head))
    });
    answer
}

impl Answer for ValidateAnswer {
    fn outcome(&self) -> Outcome {
        let missed = self.checks.iter().any(|check| check.verdict == Verdict::NotMet);
        if missed { Outcome::Nothing } else { Outcome::Done }
    }
    fn formats(&self) -> Vec<&'static str> {
        answer::of_checks()
    }
    fn document(&self) -> Option<Document> {
        Some(report::validation::document(&self.groups, &self.checks))
    }
    fn json(&self) -> String {
        wire::to_json(&Validation::new(&self.checks))
    }
    fn csv(&self) -> Option<String> {
        Some(table::validation(&Validation::new(&self.checks)))
    }
    fn remarks(&self, _format: &str) -> Vec<String> {
        let skipped = self.checks.iter().any(|check| check.verdict == Verdict::Skipped);
        if self.with_folder || !skipped {
            return Vec::new();
        }
        vec![format!(
            "checks that need published files are skipped: name their folder with --checks or in {FOLDER_VARIABLE}"
        )]
    }
}

#[cfg(test)]
mod tests {
    use super::{OF_AIRPLANE, of_airplane};

    #[test]
    fn prop_every_listed_airplane_has_checks_of_each_of_its_groups() {
        for (airplane, group, _) in OF_AIRPLANE {
            let answer = of_airplane(airplane);
            let found = answer.checks.iter().any(|check| check.group == *group);
            assert!(found, "{airplane}: no check of {group}");
        }
        assert!(of_airplane("cessna-152").checks.is_empty());
    }
}
