//! Lists and sheets: every entry of every list is shown, and helps name every command.

use crate::run::{checked, repository, run};

#[test]
fn prop_every_entry_of_a_list_can_be_shown() {
    for (kind, members) in [
        ("maneuver", "maneuvers"),
        ("airplane", "airplanes"),
        ("airplane", "published"),
        ("standard", "standards"),
    ] {
        let list = checked(kind, &run(&[kind, "list", "--format", "json"]).out);
        let entries = list[members].as_array().expect("a list");
        let table = run(&[kind, "list"]).out;
        assert!(entries.len() >= 2, "{kind}");
        for entry in entries {
            let id = entry["id"].as_str().expect("a key");
            assert!(table.contains(id), "{kind} list: {id}");
            let sheet = run(&[kind, "show", id]);
            assert_eq!((sheet.status, sheet.err.as_str()), (0, ""), "{kind} {id}");
            assert!(sheet.out.contains("Training aid"), "{kind} {id}");
            let json = checked(kind, &run(&[kind, "show", id, "--format", "json"]).out);
            assert_eq!(json[members][0], *entry, "{kind} {id}");
        }
    }
}

#[test]
fn prop_a_sound_airplane_file_is_checked_and_briefed() {
    let file = repository("data/airplanes/sandpiper-550.toml");
    let check = run(&["airplane", "check", &file]);
    assert_eq!(check.status, 0, "{}", check.err);
    assert!(check.err.contains("no fault found"), "{}", check.err);
    let brief = run(&["brief", "steep-turn", "--airplane", &file]);
    assert_eq!(brief.status, 0, "{}", brief.err);
    assert!(brief.out.contains("Sandpiper 550"), "{}", brief.out);
}

#[test]
fn prop_stability_data_are_checked_but_not_briefed() {
    let file = repository("data/airplanes-published/beaver.toml");
    let check = run(&["airplane", "check", &file]);
    assert_eq!(check.status, 0, "{}", check.err);
    assert!(check.out.contains("no brief is made of it"), "{}", check.out);
    for airplane in ["beaver", &file] {
        let brief = run(&["brief", "steep-turn", "--airplane", airplane]);
        assert_eq!(brief.status, 2, "{}", brief.out);
        assert!(brief.err.contains("stability data alone"), "{}", brief.err);
        assert!(brief.err.contains("plover-160"), "{}", brief.err);
    }
}

#[test]
fn prop_help_names_every_command_with_an_example_and_the_caution() {
    let help = run(&["--help"]);
    assert_eq!(help.status, 0);
    assert!(help.out.contains("Training aid, not approved data"), "{}", help.out);
    for command in [
        "demo",
        "serve",
        "brief",
        "debrief",
        "find",
        "reconstruct",
        "maneuver",
        "airplane",
        "standard",
        "validate",
    ] {
        assert!(help.out.contains(&format!("\n  {command} ")), "{command}");
        assert_eq!(run(&[command, "--help"]).status, 0, "{command}");
    }
    for command in ["brief", "debrief", "find", "reconstruct", "validate"] {
        assert!(run(&[command, "--help"]).out.contains("Example: skychalk "), "{command}");
    }
}

#[test]
fn prop_the_version_is_that_of_the_package() {
    assert_eq!(run(&["--version"]).out, format!("skychalk {}\n", env!("CARGO_PKG_VERSION")));
}
