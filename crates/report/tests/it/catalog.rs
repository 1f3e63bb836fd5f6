//! Every maneuver of the catalogue, every bundled airplane, either side: a brief in every form of answer.

use flight::air::Day;
use flight::airplane::bundled;
use flight::wind::Wind;
use maneuver::brief::{Brief, BriefRequest, Sides, Verdict, brief};
use maneuver::{Direction, catalog};
use report::render;

fn briefs() -> Vec<(String, Brief)> {
    let mut day = Day::standard();
    day.wind = Wind::parse("240/12kt").unwrap();
    let mut out = Vec::new();
    for (id, _) in bundled::ALL {
        let airplane = bundled::load(id).unwrap();
        for maneuver in catalog::ALL {
            for side in [Direction::Left, Direction::Right] {
                let request = BriefRequest {
                    sides: Sides::One(side),
                    day,
                    field_told: true,
                    ..BriefRequest::default()
                };
                let name = format!("{} {} {id}", maneuver.id(), side.word());
                out.push((name, brief(*maneuver, &airplane, &request)));
            }
        }
    }
    out
}

#[test]
fn prop_every_brief_comes_in_every_form() {
    let (_, schema) = wire::schema::ALL
        .iter()
        .find(|(file, _)| *file == "brief.schema.json")
        .expect("a brief has a schema");
    let validator = jsonschema::validator_for(&schema()).unwrap();
    let mut flown = std::collections::BTreeSet::new();
    for (name, brief) in briefs() {
        match brief.verdict {
            Verdict::OutsideLimits => {
                assert!(brief.sides.is_empty(), "{name}: drawn although outside limits");
                assert!(!brief.reasons.is_empty(), "{name}: no reason");
                let number = |text: &String| text.bytes().any(|byte| byte.is_ascii_digit());
                assert!(brief.reasons.iter().any(number), "{name}: {:?}", brief.reasons);
            }
            Verdict::WithinComputedLimits | Verdict::WithinComputedLimitsWith | Verdict::Hazard => {
                assert_eq!(brief.sides.len(), 1, "{name}");
                flown.insert(brief.maneuver.id());
            }
        }
        let document = report::brief::document(&brief);
        for renderer in render::ALL.iter().filter(|renderer| renderer.key != "pdf") {
            let bytes = (renderer.render)(&document);
            let text = String::from_utf8(bytes).expect("text");
            assert!(!text.contains("NaN") && !text.contains("inf "), "{name} {}", renderer.key);
        }
        let json = wire::to_json(&wire::brief::Brief::from(&brief));
        let value: serde_json::Value = serde_json::from_str(&json).unwrap();
        let errors: Vec<String> =
            validator.iter_errors(&value).take(3).map(|error| error.to_string()).collect();
        assert!(errors.is_empty(), "{name}: {errors:?}");
    }
    let unflown: Vec<&str> =
        catalog::ALL.iter().map(|m| m.id()).filter(|id| !flown.contains(id)).collect();
    assert!(unflown.is_empty(), "no bundled airplane flies {unflown:?}");
}
