//! `skychalk validate`: formats, schema, statuses, with and without the folder of check files.

use serde_json::Value;

use crate::run::{checked, run};

fn verdicts(document: &Value) -> Vec<&str> {
    let checks = document["checks"].as_array().expect("a list");
    checks.iter().map(|check| check["verdict"].as_str().expect("a word")).collect()
}

/// An empty folder stands for a plain copy: what needs no file is checked, the rest is skipped and said.
#[test]
fn prop_a_plain_copy_checks_what_needs_no_file() {
    let empty = format!("{}/no-checks", env!("CARGO_TARGET_TMPDIR"));
    std::fs::create_dir_all(&empty).expect("the temporary folder can be written");
    let run_as = |format: &str| run(&["validate", "--checks", &empty, "--format", format]);
    let document = checked("validate", &run_as("json").out);
    assert_eq!(document["schema"], "skychalk.validate/1");
    let verdicts = verdicts(&document);
    assert!(verdicts.iter().filter(|verdict| **verdict == "met").count() >= 20, "{verdicts:?}");
    assert!(verdicts.contains(&"skipped"));
    for check in document["checks"].as_array().expect("a list") {
        let skipped = check["verdict"] == "skipped";
        assert_eq!(check["value"].is_null(), skipped, "{check}");
        assert_eq!(check["difference"].is_null(), skipped, "{check}");
    }
    let csv = run_as("csv").out;
    assert!(csv.starts_with("id,group,value,reference,difference,tolerance,unit,verdict,source,"));
    assert_eq!(csv.lines().count(), verdicts.len() + 1);
    let text = run_as("text").out;
    assert!(text.contains("skipped: check file nesc/"), "{text}");
    assert!(text.contains(&format!("{} checks: ", verdicts.len())), "{text}");
}

/// The status says whether a check is not met.
#[test]
fn val_the_status_is_that_of_the_worst_check() {
    let Some(folder) = checks::folder() else { return };
    let folder = folder.to_str().expect("the path is text");
    let run = run(&["validate", "--checks", folder, "--format", "json"]);
    let document = checked("validate", &run.out);
    let missed = verdicts(&document).contains(&"not met");
    assert_eq!(run.status, i32::from(missed), "{}", run.err);
    assert_eq!(run.err, "");
}

#[test]
fn prop_one_group_is_made_alone() {
    let document =
        checked("validate", &run(&["validate", "--group", "nesc", "--format", "json"]).out);
    let checks = document["checks"].as_array().expect("a list");
    assert!(!checks.is_empty() && checks.iter().all(|check| check["group"] == "nesc"));
}

#[test]
fn prop_a_folder_that_is_none_is_refused() {
    let run = run(&["validate", "--checks", "no-such-folder"]);
    assert_eq!((run.status, run.out.as_str()), (2, ""));
    assert!(run.err.contains("no-such-folder: no folder of check files"), "{}", run.err);
    assert!(run.err.contains("hint: name the folder with --checks"), "{}", run.err);
}
