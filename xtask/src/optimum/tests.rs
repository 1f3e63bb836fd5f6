//! The folder of reference figures, and folders that are wrong.

use std::fs;

use super::folder::Folder;
use super::{compare, solve};

/// Every figure of checks/optimum (own values of that folder, computed with CasADi and SciPy on the equations in its README).
#[test]
fn val_every_case_of_the_folder() {
    let Some(folder) = checks::folder().map(|folder| folder.join("optimum")) else {
        assert!(!checks::complete(), "check data optimum is missing");
        println!("skipped: check data optimum is not here (see SKYCHALK_CHECKS)");
        return;
    };
    let sheet = solve(&folder).unwrap();
    assert!(sheet.problems.is_empty(), "{:#?}", sheet.problems);
    // MISSED: three angles that follow the lift at the very end of an optimum should be within 0.6 degrees and are 0.7 to 1.2 off; the
    // meshes there are coarser than here and still move.
    let missed: Vec<_> = sheet.figures.iter().filter(|figure| !figure.met()).collect();
    assert!(missed.iter().all(|figure| figure.loose.is_some()), "{missed:#?}");
    assert_eq!(missed.len(), 3, "{missed:#?}");
    assert!(sheet.figures.len() > 1000, "{} figures", sheet.figures.len());
}

#[test]
fn what_is_wrong_with_a_folder_is_said_with_its_place() {
    let place = std::env::temp_dir().join(format!("skychalk-optimum-test-{}", std::process::id()));
    fs::create_dir_all(&place).unwrap();
    let missing = compare(&place).unwrap_err();
    assert!(missing.contains("cases.json") && missing.contains("must hold"), "{missing}");
    fs::write(place.join("cases.json"), "{\"airplanes\": [}").unwrap();
    let broken = compare(&place).unwrap_err();
    assert!(broken.contains("line 1 column 16"), "{broken}");
    fs::write(
        place.join("cases.json"),
        "{\"airplanes\": [{\"key\": \"A\", \"airplane\": {\"m\": \"x\"}}]}",
    )
    .unwrap();
    let sheet = solve(&place).unwrap();
    assert!(sheet.problems[0].contains("airplanes[0]: airplane: "), "{:?}", sheet.problems);
    fs::write(place.join("t.csv"), "# note\na,b\n1,2\n3,x\n").unwrap();
    let table = Folder::open(&place).unwrap().table("t.csv").err().unwrap();
    assert!(table.contains("t.csv line 4 column b"), "{table}");
    fs::remove_dir_all(&place).unwrap();
}
