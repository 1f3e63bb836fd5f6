//! The JSON documents of the same values hold to their schemas and to the contract.

use crate::made;
use maneuver::Direction;
use serde_json::Value;

fn checked<T: serde::Serialize>(file: &str, document: &T) -> Value {
    let (_, make) = wire::schema::ALL.iter().find(|(name, _)| *name == file).unwrap();
    let value: Value = serde_json::from_str(&wire::to_json(document)).unwrap();
    let validator = jsonschema::validator_for(&make()).unwrap();
    let wrong: Vec<String> = validator.iter_errors(&value).map(|error| error.to_string()).collect();
    assert!(wrong.is_empty(), "{file}: {wrong:?}");
    value
}

#[test]
fn prop_every_document_holds_to_its_schema() {
    for maneuver in maneuver::catalog::ALL {
        let brief = made::brief(maneuver.id(), Direction::Left);
        checked("brief.schema.json", &wire::brief::Brief::from(&brief));
        if let Some(flight) = brief.sides.first() {
            let debrief = made::debrief("lesson.csv", flight);
            checked("debrief.schema.json", &wire::debrief::Debrief::from(&debrief));
            checked("find.schema.json", &wire::debrief::Find::from(&debrief));
        }
    }
    let all = wire::maneuver_list::ManeuverList::new(maneuver::catalog::ALL);
    checked("maneuver.schema.json", &all);
    checked("error.schema.json", &wire::error::Failure::new("no such file", None, 2));
}

/// Parts only for figures of two halves; those carry their own checkpoints and measures.
#[test]
fn prop_parts_only_for_figures_of_two_halves() {
    for (id, several) in [("chandelle", false), ("wing-over", true)] {
        let brief = made::brief(id, Direction::Left);
        let value = checked("brief.schema.json", &wire::brief::Brief::from(&brief));
        let side = &value["sides"][0];
        assert_eq!(side.get("parts").is_some(), several);
        assert_eq!(side["checkpoints"].as_array().unwrap().is_empty(), several);
        let debrief = made::debrief("lesson.csv", &brief.sides[0]);
        let value = checked("debrief.schema.json", &wire::debrief::Debrief::from(&debrief));
        let attempt = &value["attempts"][0];
        assert_eq!(attempt.get("parts").is_some(), several);
        let holder = if several { &attempt["parts"][1] } else { attempt };
        let measure = &holder["measures"]["heading_at_rollout_error_deg"];
        assert_eq!(measure, &serde_json::json!({"value": -1.4, "sigma": 0.7}));
        assert!(holder["checkpoints"][1]["load_factor"].is_null());
        assert_eq!(attempt["faults"][0]["refly"], Value::Null);
        let (time, turn) = (&attempt["track"]["time_s"], &attempt["track"]["turn_deg"]["value"]);
        assert_eq!(time.as_array().unwrap().len(), turn.as_array().unwrap().len());
    }
}
