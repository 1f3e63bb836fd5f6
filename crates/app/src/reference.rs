//! The reference pages of the repository: what the catalogue, the standards and the airplane files say, as Markdown.

use flight::air::Day;
use flight::airplane::Airplane;
use flight::wind::Wind;
use maneuver::brief::{BriefRequest, Sides};
use maneuver::definition::Progress;
use maneuver::{Direction, Maneuver, catalog};
use report::model::{Block, Document};
use report::pictures;
use report::render::{markdown, svg};
use report::trace::Trace;

use crate::choose;

/// Every page: its name below `docs/reference`, and its bytes. Each maneuver has a page and a picture of its reference flight.
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
    for maneuver in catalog::ALL {
        let name = format!("maneuvers/{}", maneuver.id());
        let (page_name, mut text) = page(name.clone(), &report::lists::maneuver(*maneuver));
        if let Some((caption, picture)) = picture(*maneuver, &airplanes) {
            text.extend(format!("\n![{caption}]({}.svg)\n\n{caption}\n", maneuver.id()).bytes());
            out.push((format!("{name}.svg"), picture));
        }
        out.push((page_name, text));
    }
    out.extend(standards.iter().map(|standard| {
        page(format!("standards/{}", standard.id), &report::lists::standard(standard))
    }));
    out
}

/// The reference flight of the usual form to the left, by the first airplane that gives it: from outside, from above for figures
/// over the ground, as curves for scripted ones.
fn picture(maneuver: &'static dyn Maneuver, airplanes: &[Airplane]) -> Option<(String, Vec<u8>)> {
    let mut day = Day::standard();
    day.wind = Wind::parse("270/10kt").ok()?;
    let request = BriefRequest {
        sides: Sides::One(Direction::Left),
        hands: false,
        field_told: true,
        day,
        ..BriefRequest::default()
    };
    let flown = |airplane: &Airplane| {
        let brief = maneuver::brief::brief(maneuver, airplane, &request);
        let flight = brief.sides.into_iter().next()?;
        Some((flight, airplane.name.clone()))
    };
    let (flight, name) = airplanes.iter().find_map(flown)?;
    let air = day.wind.velocity();
    let trace = [Trace::of_reference(&flight, Some((air.x, air.y)))];
    let scene = match flight.progress {
        Progress::Position => pictures::plan(&trace),
        Progress::Phase => pictures::curves(&trace),
        Progress::Turn | Progress::Pitch | Progress::Roll | Progress::PitchAndRoll => {
            pictures::outside(&trace)
        }
    }?;
    let caption = format!(
        "{}, {}, {name}: {}",
        maneuver.title(),
        flight.form.title,
        scene.title.to_lowercase()
    );
    let sheet = Document {
        title: maneuver.title().into(),
        subtitle: format!("{}, {name}", flight.form.title),
        blocks: vec![Block::Figure(scene)],
    };
    Some((caption, svg(&sheet)))
}
