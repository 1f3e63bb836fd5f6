//! Lists and sheets of what the program knows: maneuvers, airplanes, standards.

use flight::airplane::Airplane;
use maneuver::standard::Standard;
use maneuver::{Maneuver, catalog};
use report::model::Document;
use wire::airplane_list::AirplaneList;
use wire::airplane_sheet::AirplaneSheet;
use wire::maneuver_list::ManeuverList;
use wire::standard_list::StandardList;

use crate::answer::{self, Answer};
use crate::choose::{self, Shown};
use crate::error::AppError;

/// A list, or the sheet of one entry.
#[derive(Debug, Clone)]
pub struct ListAnswer {
    document: Document,
    json: String,
}

impl Answer for ListAnswer {
    fn formats(&self) -> Vec<&'static str> {
        answer::of_lists()
    }
    fn document(&self) -> Option<Document> {
        Some(self.document.clone())
    }
    fn json(&self) -> String {
        self.json.clone()
    }
}

/// The catalogue.
#[must_use]
pub fn maneuvers() -> ListAnswer {
    let json = wire::to_json(&ManeuverList::new(catalog::ALL));
    ListAnswer { document: report::lists::maneuvers(catalog::ALL), json }
}

/// One maneuver.
#[must_use]
pub fn maneuver(maneuver: &'static dyn Maneuver) -> ListAnswer {
    let json = wire::to_json(&ManeuverList::new(&[maneuver]));
    ListAnswer { document: report::lists::maneuver(maneuver), json }
}

/// The airplanes that come with the program, those of published stability data apart.
#[must_use]
pub fn airplanes() -> ListAnswer {
    let (list, published) = (choose::bundled_airplanes(), choose::published_airplanes());
    let json = wire::to_json(&AirplaneList::new(&list, &published));
    ListAnswer { document: report::lists::airplanes(&list, &published), json }
}

/// One airplane.
#[must_use]
pub fn airplane(shown: &Shown) -> ListAnswer {
    match shown {
        Shown::Full(airplane) => {
            let list = AirplaneList::new(std::slice::from_ref(airplane.as_ref()), &[]);
            let document = report::lists::airplane(airplane);
            ListAnswer { document, json: wire::to_json(&list) }
        }
        Shown::Published(airplane) => {
            let list = AirplaneList::new(&[], std::slice::from_ref(airplane.as_ref()));
            let document = report::lists::published_airplane(airplane);
            ListAnswer { document, json: wire::to_json(&list) }
        }
    }
}

/// One airplane and what follows from its figures.
#[must_use]
pub fn airplane_sheet(airplane: &Airplane) -> ListAnswer {
    let json = wire::to_json(&AirplaneSheet::new(airplane));
    ListAnswer { document: report::lists::airplane(airplane), json }
}

/// Keys and names of the airplanes from public figures, as JSON: fitting them all takes too long for a list.
#[must_use]
pub fn library() -> String {
    let name_of = |text: &str| {
        let line = text.lines().find_map(|line| line.strip_prefix("name = "));
        line.unwrap_or_default().trim().to_string()
    };
    let entry =
        |(id, text): &(&str, &str)| format!("{{\"id\": \"{id}\", \"name\": {}}}", name_of(text));
    let entries: Vec<String> = handbook::library::ALL.iter().map(entry).collect();
    format!("[{}]", entries.join(", "))
}

/// The JSON Schema of a document by the name of its file; `None` when there is none.
#[must_use]
pub fn schema(file: &str) -> Option<String> {
    let found = wire::schema::ALL.iter().find(|(name, _)| *name == file);
    found.map(|(_, make)| wire::to_json(&make()))
}

/// Checks an airplane file: its sheet when it has no fault.
///
/// # Errors
/// No such file; its faults, each with its line and what would be right.
pub fn check_airplane(name: &str) -> Result<ListAnswer, AppError> {
    choose::shown_airplane_file(name).map(|checked| airplane(&checked))
}

/// The standards that come with the program.
#[must_use]
pub fn standards() -> ListAnswer {
    let list = choose::bundled_standards();
    let json = wire::to_json(&StandardList::new(&list));
    ListAnswer { document: report::lists::standards(&list), json }
}

/// One standard.
#[must_use]
pub fn standard(standard: &Standard) -> ListAnswer {
    let json = wire::to_json(&StandardList::new(std::slice::from_ref(standard)));
    ListAnswer { document: report::lists::standard(standard), json }
}

/// Titles of the sources by their keys, as JSON: for those who show keys.
#[must_use]
pub fn sources() -> String {
    let titles: std::collections::BTreeMap<_, _> = maneuver::sources::all().collect();
    wire::to_json(&titles).trim_end().to_owned()
}
