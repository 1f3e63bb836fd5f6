//! `airplane template` and `airplane build`: from the figures of a manual to an airplane that briefs.

use crate::run::{checked, run, temporary};

#[test]
fn prop_the_template_builds_an_airplane_that_briefs() {
    let template = run(&["airplane", "template"]);
    assert_eq!((template.status, template.err.as_str()), (0, ""));
    let figures = temporary("figures.toml", template.out.as_bytes());
    let airplane = temporary("built.toml", b"");
    let built = run(&["airplane", "build", &figures, "-o", &airplane]);
    assert_eq!(built.status, 0, "{}", built.err);
    assert!(built.err.contains("written: "), "{}", built.err);
    for part in ["Training aid", "the figures go together", "climb at 6000 ft", "One more figure"] {
        assert!(built.out.contains(part), "{part}: {}", built.out);
    }
    let check = run(&["airplane", "check", &airplane]);
    assert_eq!(check.status, 0, "{}", check.err);
    let brief = run(&["brief", "steep-turn", "--airplane", &airplane]);
    assert!([0, 1].contains(&brief.status), "{}", brief.err);
    assert!(brief.out.contains("Heron 180"), "{}", brief.out);
}

#[test]
fn prop_the_json_of_a_build_keeps_its_schema() {
    let template = run(&["airplane", "template"]);
    let figures = temporary("figures-json.toml", template.out.as_bytes());
    let json = run(&["airplane", "build", &figures, "--format", "json"]);
    let value = checked("airplane-build", &json.out);
    assert!(value["figures"].as_array().is_some_and(|list| list.len() >= 10));
    assert!(value["predictions"][0]["low"].as_f64() < value["predictions"][0]["high"].as_f64());
    let again = run(&["airplane", "build", &figures, "--format", "json"]);
    assert_eq!(json.out, again.out, "same input, same bytes");
}

#[test]
fn a_slip_is_told_with_its_line_and_cause() {
    let template = run(&["airplane", "template"]);
    let wrong = template.out.replacen("diameter = \"76 in\"", "diameter = \"76 m\"", 1);
    let figures = temporary("figures-wrong.toml", wrong.as_bytes());
    let built = run(&["airplane", "build", &figures]);
    assert_eq!((built.status, built.out.as_str()), (2, ""));
    assert!(built.err.contains("larger than the airplane"), "{}", built.err);
    assert!(built.err.contains("inches entered as meters?"), "{}", built.err);
    let none = run(&["airplane", "build", "no-such-file.toml"]);
    assert_eq!(none.status, 2);
    assert!(none.err.contains("no such file"), "{}", none.err);
}
