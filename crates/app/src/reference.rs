//! The reference pages of the repository: what the catalogue, the standards and the airplane files say, as Markdown.

use maneuver::catalog;
use report::model::Document;
use report::render::markdown;

use crate::choose;

/// Every page: its name below `docs/reference`, and its text.
#[must_use]
pub fn pages() -> Vec<(String, Vec<u8>)> {
    let page = |name: String, document: &Document| (format!("{name}.md"), markdown(document));
    let (airplanes, published) = (choose::bundled_airplanes(), choose::published_airplanes());
    let standards = choose::bundled_standards();
    let mut out = vec![
        page("maneuvers".into(), &report::lists::maneuvers(catalog::ALL)),
        page("standards".into(), &report::lists::standards(&standards)),
        page("airplanes".into(), &report::lists::airplanes(&airplanes, &published)),
    ];
    out.extend(catalog::ALL.iter().map(|maneuver| {
        page(format!("maneuvers/{}", maneuver.id()), &report::lists::maneuver(*maneuver))
    }));
    out.extend(standards.iter().map(|standard| {
        page(format!("standards/{}", standard.id), &report::lists::standard(standard))
    }));
    out
}
