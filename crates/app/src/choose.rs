//! Finding a maneuver, a form, an airplane, a standard by what was typed: a key of what the program knows, or a file.

use base::typed_toml::{Fault, Faults};
use flight::airplane::bundled as airplanes;
use flight::airplane::published::{self, RigidAirplane};
use handbook::library;
use maneuver::standard::{Standard, bundled as standards};
use maneuver::{Form, Maneuver, catalog};

pub use flight::airplane::Airplane;

use crate::error::AppError;
use crate::{files, suggest};

/// The maneuver of a catalogue key.
///
/// # Errors
/// No such key; the hint names the nearest and lists all.
pub fn maneuver(typed: &str) -> Result<&'static dyn Maneuver, AppError> {
    catalog::find(typed.trim()).ok_or_else(|| {
        let known: Vec<&str> = catalog::ALL.iter().map(|maneuver| maneuver.id()).collect();
        suggest::unknown("maneuver", typed, &known)
    })
}

/// The form of a maneuver; the usual one when none is typed.
///
/// # Errors
/// No such form of this maneuver.
pub fn form(maneuver: &dyn Maneuver, typed: Option<&str>) -> Result<Form, AppError> {
    let forms = maneuver.forms();
    let Some(typed) = typed else { return Ok(forms[0]) };
    forms.iter().find(|form| form.key == typed.trim()).copied().ok_or_else(|| {
        let known: Vec<&str> = forms.iter().map(|form| form.key).collect();
        suggest::unknown(&format!("form of {}", maneuver.id()), typed, &known)
    })
}

/// The airplanes that come with the program, in the order of the list.
///
/// # Panics
/// When a bundled file has a fault, which a test excludes.
#[must_use]
pub fn bundled_airplanes() -> Vec<Airplane> {
    let load = |(id, _): &(&str, &str)| airplanes::load(id).expect("every listed airplane loads");
    airplanes::ALL.iter().map(load).collect()
}

/// The standards that come with the program, the usual one first.
///
/// # Panics
/// When a bundled file has a fault, which a test excludes.
#[must_use]
pub fn bundled_standards() -> Vec<Standard> {
    let load = |(id, _): &(&str, &str)| standards::load(id).expect("every listed standard loads");
    standards::ALL.iter().map(load).collect()
}

/// The airplanes from published stability data, in the order of the list.
///
/// # Panics
/// When a bundled file has a fault, which a test excludes.
#[must_use]
pub fn published_airplanes() -> Vec<RigidAirplane> {
    let load = |(id, _): &(&str, &str)| published::load(id).expect("every listed airplane loads");
    published::ALL.iter().map(load).collect()
}

/// An airplane to be shown or checked: of a flight manual, or of published stability data alone.
#[derive(Debug, Clone)]
pub enum Shown {
    /// Complete enough for a brief.
    Full(Box<Airplane>),
    /// Six-degree data alone.
    Published(Box<RigidAirplane>),
}

/// An airplane of either kind by its key, or read from a file.
///
/// # Errors
/// No such key or file; the faults of the file, each with its line.
pub fn shown_airplane(typed: &str) -> Result<Shown, AppError> {
    if is_path(typed) {
        return shown_airplane_file(typed);
    }
    if let Some(found) = published::load(typed.trim()) {
        return Ok(Shown::Published(Box::new(found)));
    }
    airplane(typed).map(|found| Shown::Full(Box::new(found)))
}

/// An airplane of either kind from a file. A file of published stability data has a block `[condition]`.
///
/// # Errors
/// No such file; its faults, each with its line.
pub fn shown_airplane_file(name: &str) -> Result<Shown, AppError> {
    let text = files::text(name)?;
    if is_published(&text) {
        return Ok(Shown::Published(Box::new(RigidAirplane::from_toml(&text, name)?)));
    }
    airplane_of_text(&text, name).map(|found| Shown::Full(Box::new(found)))
}

fn is_published(text: &str) -> bool {
    text.lines().any(|line| line.trim() == "[condition]")
}

/// The error for published stability data where a flight manual is needed.
fn no_manual(name: &str) -> AppError {
    let known: Vec<&str> = airplanes::ALL.iter().map(|(id, _)| *id).collect();
    let hint = format!("it can be shown, not flown in a figure; take one of: {}", known.join(", "));
    AppError::request(format!("{name} has stability data alone: no limits and no speeds"), hint)
}

/// An airplane that comes with the program, by its key. Opens no file.
///
/// # Errors
/// No such key; one of stability data alone.
pub fn known_airplane(typed: &str) -> Result<Airplane, AppError> {
    if published::ALL.iter().any(|(id, _)| *id == typed.trim()) {
        return Err(no_manual(typed.trim()));
    }
    let of_library = || crate::airplane_build::of_library(typed.trim());
    airplanes::load(typed.trim()).or_else(of_library).ok_or_else(|| {
        let bundled = airplanes::ALL.iter().map(|(id, _)| *id);
        let known: Vec<&str> = bundled.chain(library::ALL.iter().map(|(id, _)| *id)).collect();
        suggest::unknown("airplane", typed, &known)
    })
}

/// The file of an airplane that comes with the program; of public figures, the one that they make.
///
/// # Errors
/// No airplane of this key.
pub fn airplane_file_text(typed: &str) -> Result<String, AppError> {
    let key = typed.trim();
    if let Some((_, text)) = airplanes::ALL.iter().find(|(id, _)| *id == key) {
        return Ok((*text).to_string());
    }
    if library::ALL.iter().any(|(id, _)| *id == key) {
        return Ok(crate::airplane_build::of_key(key)?.airplane_file().to_string());
    }
    let known: Vec<&str> = airplanes::ALL.iter().map(|(id, _)| *id).collect();
    Err(suggest::unknown("airplane", typed, &known))
}

/// The error for a request that names no airplane.
#[must_use]
pub fn no_airplane() -> AppError {
    let known: Vec<&str> = airplanes::ALL.iter().map(|(id, _)| *id).collect();
    let hint =
        format!("say which with --airplane: {}, or the path of a .toml file", known.join(", "));
    AppError::request("no airplane given", hint)
}

/// An airplane by its key, or read from a file (a path: it holds a separator or ends in `.toml`).
///
/// # Errors
/// No such key or file; the faults of the file, each with its line.
pub fn airplane(typed: &str) -> Result<Airplane, AppError> {
    if is_path(typed) { airplane_file(typed) } else { known_airplane(typed).map_err(or_a_file) }
}

/// An airplane read from a file; one of a flight manual's figures is fitted first, as `airplane build` does it.
///
/// # Errors
/// No such file; its faults, each with its line.
pub fn airplane_file(name: &str) -> Result<Airplane, AppError> {
    let text = files::text(name)?;
    if is_published(&text) {
        return Err(no_manual(name));
    }
    if is_figures(&text) {
        return airplane_of_text(
            crate::airplane_build::build_text(&text, name)?.airplane_file(),
            name,
        );
    }
    airplane_of_text(&text, name)
}

/// Whether a text has the blocks of a flight manual's figures and none of an airplane made of them.
fn is_figures(text: &str) -> bool {
    let has = |block: &str| text.lines().any(|line| line.trim() == block);
    has("[layout]") && !has("[aerodynamics]")
}

/// An airplane from the text of a file.
///
/// # Errors
/// Its faults, each with its line.
pub fn airplane_of_text(text: &str, name: &str) -> Result<Airplane, AppError> {
    let airplane = Airplane::from_toml(text, name)?;
    let approved = airplane.categories.iter().flat_map(|category| &category.approved);
    let faults: Vec<Fault> = approved
        .filter(|key| !APPROVABLE.contains(&key.as_str()))
        .map(|key| unknown_figure(key, text))
        .collect();
    if faults.is_empty() { Ok(airplane) } else { Err(Faults { name: name.into(), faults }.into()) }
}

/// Keys of the figures that a flight manual may approve, the ones that are not briefed here yet included.
const APPROVABLE: &[&str] = &[
    "steep-turn",
    "chandelle",
    "lazy-eight",
    "wing-over",
    "steep-spiral",
    "eights-on-pylons",
    "slow-flight",
    "power-off-stall",
    "power-on-stall",
    "accelerated-stall",
    "spin",
    "aileron-roll",
    "barrel-roll",
    "loop",
    "half-cuban-eight",
    "cuban-eight",
    "immelmann",
    "split-s",
];

/// The fault of an approved maneuver whose key nobody knows: a misspelled one must not silently approve nothing.
fn unknown_figure(key: &str, text: &str) -> Fault {
    let line = text.lines().position(|line| line.contains(&format!("\"{key}\"")));
    let what = format!("approved maneuver {key:?} is not known");
    let hint = suggest::unknown("maneuver", key, APPROVABLE).hint();
    Fault { line: line.map_or(0, |line| line + 1), what, hint }
}

/// A standard that comes with the program, by its key. Opens no file.
///
/// # Errors
/// No such key.
pub fn known_standard(typed: &str) -> Result<Standard, AppError> {
    standards::load(typed.trim()).ok_or_else(|| {
        let known: Vec<&str> = standards::ALL.iter().map(|(id, _)| *id).collect();
        suggest::unknown("standard", typed, &known)
    })
}

/// A standard by its key, or read from a file (a path: it holds a separator or ends in `.toml`).
///
/// # Errors
/// No such key or file; the faults of the file, each with its line.
pub fn standard(typed: &str) -> Result<Standard, AppError> {
    if !is_path(typed) {
        return known_standard(typed).map_err(or_a_file);
    }
    Ok(Standard::from_toml(&files::text(typed)?, typed)?)
}

/// Key of the usual standard.
#[must_use]
pub fn usual_standard() -> &'static str {
    standards::ALL[0].0
}

/// The column and the unit of a text such as `ground_speed=kt`.
///
/// # Errors
/// Not of that form.
pub fn unit(pair: &str) -> Result<(String, String), AppError> {
    let split = pair.rsplit_once('=').map(|(column, unit)| (column.trim(), unit.trim()));
    match split {
        Some((column, unit)) if !column.is_empty() && !unit.is_empty() => {
            Ok((column.into(), unit.into()))
        }
        _ => Err(AppError::request(
            format!("unit: not a column and its unit: {pair:?}"),
            "write the name of the column, an equals sign and the unit: ground_speed=kt",
        )),
    }
}

fn is_path(typed: &str) -> bool {
    let ends = |ending: &str| typed.to_lowercase().ends_with(ending);
    typed.contains(['/', '\\']) || ends(".toml")
}

fn or_a_file(error: AppError) -> AppError {
    match error {
        AppError::Request { what, hint } => {
            AppError::Request { what, hint: format!("{hint}; or the path of a .toml file") }
        }
        other => other,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn prop_every_bundled_thing_is_found_by_its_key() {
        for airplane in bundled_airplanes() {
            assert_eq!(known_airplane(&airplane.id).expect("known").name, airplane.name);
        }
        for standard in bundled_standards() {
            assert_eq!(known_standard(&standard.id).expect("known").title, standard.title);
        }
        for known in catalog::ALL {
            assert_eq!(maneuver(known.id()).expect("known").id(), known.id());
            assert_eq!(form(*known, None).expect("usual"), known.forms()[0]);
        }
    }

    #[test]
    fn prop_a_misspelled_key_gets_the_nearest_and_the_list() {
        let error = maneuver("chandele").expect_err("must be refused");
        assert!(error.hint().contains("did you mean chandelle?"), "{}", error.hint());
        let error = airplane("plover160").expect_err("must be refused");
        assert!(error.hint().contains("did you mean plover-160?"), "{}", error.hint());
        assert!(error.hint().contains(".toml"), "{}", error.hint());
        let error = form(catalog::find("chandelle").expect("in the catalogue"), Some("steap"))
            .expect_err("must be refused");
        assert!(error.hint().contains("did you mean steep?"), "{}", error.hint());
    }
}
