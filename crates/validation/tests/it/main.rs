//! Every group of checks: all are met, but for those that are listed as missed at today's value.
#![allow(clippy::print_stdout, reason = "a skipped check must be seen in the output of the test")]

use validation::{Check, Files, GROUPS, Verdict, group};

/// Checks that are missed: key, today's value, why. Each is asserted to be missed still, at that value.
const MISSED: &[(&str, f64, &str)] = &[
    (
        "propulsion-5868-9-2-blades-25-degrees",
        0.9359753159973688,
        "should be within 5 %: one of three points, next to the stall, is not; at equal flow angle this row takes 12 % more power a \
         blade than three blades at the same setting, so that no model of the blade meets both",
    ),
    (
        "propulsion-5868-9-3-blades-20-degrees",
        0.9440184316738014,
        "should be within 5 %: two of seven points are not; a third of a degree of blade angle is as much",
    ),
    (
        "propulsion-5868-9-3-blades-25-degrees",
        1.0561636066456341,
        "should be within 5 %: two of seven points, next to the stall, are not; at equal flow angle two blades at the same setting \
         take 12 % more power a blade, so that no model of the blade meets both",
    ),
    (
        "propulsion-5868-9-3-blades-30-degrees",
        0.9392800252556932,
        "should be within 5 %: one of seven points is not (CT 0.10); sections and thickness are from memory, no nacelle behind",
    ),
    (
        "propulsion-makers-122-hp",
        123.29219794340426,
        "should be 122: the engines of Gagg and Ferrar lose 11.7 % to friction, this one as quoted 12.8 %; their rule gives 123.1 in the \
         standard air (held to the digit), and the source of the figure asks a horsepower of its own rule (met)",
    ),
];

fn run(name: &str, read: &dyn Fn(&str) -> Option<Vec<u8>>) -> Vec<Check> {
    group::find(name).expect("the group is in the list").run(&Files::new(read))
}

/// Holds every check of a group, with the files that are here.
fn hold(name: &str) {
    let checks = run(name, &|path| checks::bytes(path));
    let mut wrong = Vec::new();
    for check in &checks {
        let missed = MISSED.iter().find(|(id, _, _)| *id == check.id);
        match (check.verdict, missed) {
            (Verdict::Met, None) => {}
            (Verdict::Skipped, _) => {
                assert!(!checks::complete(), "skipped: {check:?}");
                println!("skipped: {}: {}", check.id, check.note);
            }
            (Verdict::NotMet, Some((_, today, why))) => {
                let value = check.value.expect("a check that is made has a value");
                println!("still missed: {}: {value} ({why})", check.id);
                assert!((value - today).abs() <= 1e-6 * today.abs(), "{check:?}: was {today}");
            }
            (Verdict::Met | Verdict::NotMet, _) => wrong.push(format!("{check:?}")),
        }
    }
    assert!(wrong.is_empty(), "{name}, {} of {}:\n{}", wrong.len(), checks.len(), wrong.join("\n"));
    assert!(
        checks.iter().any(|check| check.verdict == Verdict::Met),
        "{name}: nothing was checked"
    );
}

#[test]
fn val_nesc() {
    hold("nesc");
}

#[test]
fn val_f16_tables() {
    hold("f16-tables");
}

#[test]
fn val_f16_flight() {
    hold("f16-flight");
}

#[test]
fn val_f16_trim() {
    hold("f16-trim");
}

#[test]
fn val_f16_linear() {
    hold("f16-linear");
}

#[test]
fn val_f16_turn() {
    hold("f16-turn");
}

#[test]
fn val_navion() {
    hold("navion");
}

#[test]
fn val_transport() {
    hold("transport");
}

#[test]
fn val_beaver() {
    hold("beaver");
}

#[test]
fn val_rudder() {
    hold("rudder");
}

#[test]
fn val_navion_vehicle() {
    hold("navion-vehicle");
}

#[test]
fn val_single_230hp() {
    hold("single-230hp");
}

#[test]
fn val_propulsion() {
    hold("propulsion");
}

/// Keys are unique, begin with the group, and every check says its source and unit; without files nothing fails.
#[test]
fn prop_a_plain_copy_checks_something_and_fails_nothing() {
    let mut ids = Vec::new();
    for group in GROUPS {
        let checks = run(group.name, &|_| None);
        assert!(!checks.is_empty(), "{}", group.name);
        for check in checks {
            assert_eq!(check.group, group.name);
            assert!(check.id.starts_with(&format!("{}-", group.name)), "{}", check.id);
            assert!(!check.source.is_empty(), "{}", check.id);
            let missed = MISSED.iter().any(|(id, _, _)| *id == check.id);
            assert!(missed || check.verdict != Verdict::NotMet, "{check:?}");
            ids.push(check.id);
        }
    }
    let count = ids.len();
    ids.sort_unstable();
    ids.dedup();
    assert_eq!(ids.len(), count, "a key is used twice");
}

/// What is listed as missed exists.
#[test]
fn prop_every_missed_check_is_one() {
    let known: Vec<String> = GROUPS
        .iter()
        .flat_map(|group| run(group.name, &|path| checks::bytes(path)))
        .map(|check| check.id)
        .collect();
    for (id, _, _) in MISSED {
        assert!(known.iter().any(|known| known == id), "{id}");
    }
}
