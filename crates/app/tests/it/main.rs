//! Hostile recordings from bytes to documents: whatever stands in a cell, there is an error with its place or a debrief
//! whose numbers an airplane can have.

use app::debrief::{Brought, Told, debrief};
use app::reconstruct::reconstruct;
use app::{Answer, AppError, answer, choose, demo};
use proptest::prelude::*;

/// A stretch of the bundled flight with a steep turn in it, with panel columns, as rows of cells.
fn table() -> Vec<Vec<String>> {
    let text = String::from_utf8(demo::recording().bytes).expect("the bundled file is text");
    let rows = text.lines().filter(|line| !line.starts_with('#'));
    let mut rows: Vec<Vec<String>> =
        rows.map(|line| line.split(',').map(String::from).collect()).collect();
    let head = rows.remove(0);
    let mut out = vec![head];
    out[0].extend(["ias_kt", "press_alt_ft", "roll_deg", "pitch_deg"].map(String::from));
    for (index, mut row) in rows.into_iter().skip(550).step_by(2).take(240).enumerate() {
        let sway = (index % 7) as f64 * 0.3;
        row.extend([95.0 + sway, 3480.0 + sway, sway, 2.0].map(|value| format!("{value:.1}")));
        out.push(row);
    }
    out
}

fn brought(rows: &[Vec<String>]) -> Brought {
    let text: Vec<String> = rows.iter().map(|row| row.join(",")).collect();
    Brought::new("hostile.csv", text.join("\n").into_bytes())
}

fn standard() -> maneuver::standard::Standard {
    choose::known_standard(choose::usual_standard()).expect("bundled")
}

/// Debriefs with and without the airplane, renders everything; numbers must be ones an airplane can have.
fn holds(brought: &Brought) -> Result<(), TestCaseError> {
    let airplane = choose::known_airplane(demo::AIRPLANE).ok();
    for airplane in [None, airplane] {
        let told = Told { airplane, ..Told::default() };
        match debrief(vec![brought.clone()], &told, &standard()) {
            Err(error) => refused(&error)?,
            Ok(answer) => {
                for format in answer.formats() {
                    prop_assert!(
                        answer::render(&answer, &answer::Wanted::format(format)).is_ok(),
                        "{format}"
                    );
                }
                for part in answer.debrief.attempts.iter().flat_map(|attempt| &attempt.parts) {
                    for at in &part.checkpoints {
                        let most = [
                            ("bank", at.bank_deg, 180.0),
                            ("pitch", at.pitch_deg, 90.0),
                            ("CAS", at.cas_kt, 780.0),
                            ("height", at.height_ft, 66_000.0),
                            ("load", at.load_factor, 30.0),
                        ];
                        for (name, estimate, most) in most {
                            let fits =
                                estimate.is_none_or(|e| e.value.abs() <= most && e.sigma >= 0.0);
                            prop_assert!(fits, "{name}: {estimate:?}");
                        }
                    }
                }
            }
        }
    }
    if let Ok(answer) = reconstruct(vec![brought.clone()], &Told::default()) {
        prop_assert!(!answer.json().contains("NaN"));
        prop_assert!(answer.csv().is_some_and(|csv| !csv.contains("NaN") && !csv.contains("inf")));
    }
    Ok(())
}

/// A refusal says what is wrong and what to do, and blames the file.
fn refused(error: &AppError) -> Result<(), TestCaseError> {
    prop_assert!(!error.to_string().is_empty() && !error.hint().is_empty(), "{error:?}");
    prop_assert_eq!(error.status(), 2);
    Ok(())
}

const CELLS: [&str; 22] = [
    "",
    "0",
    "-0",
    "-1",
    "1e9",
    "-1e9",
    "1e99",
    "-1e99",
    "1e308",
    "1e-300",
    "NaN",
    "inf",
    "-inf",
    "89.9999",
    "-180",
    "180",
    "999999",
    "-99999",
    "2026-06-13T09:14:00Z",
    "1970-01-01T00:00:00Z",
    "9999-12-31T23:59:59Z",
    "x",
];

proptest! {
    #![proptest_config(ProptestConfig { cases: 120, ..ProptestConfig::default() })]

    #[test]
    fn prop_hostile_cells_give_an_error_or_numbers_an_airplane_can_have(
        hits in proptest::collection::vec((1usize..240, 0usize..11, 0usize..CELLS.len()), 1..6),
        column in proptest::option::of((0usize..11, 0usize..CELLS.len())),
    ) {
        let mut rows = table();
        for (row, cell, value) in hits {
            rows[row][cell] = CELLS[value].into();
        }
        if let Some((cell, value)) = column {
            for row in rows.iter_mut().skip(1).step_by(3) {
                row[cell] = CELLS[value].into();
            }
        }
        holds(&brought(&rows))?;
    }

    #[test]
    fn prop_missing_columns_and_rows_give_an_error_or_numbers_an_airplane_can_have(
        kept in proptest::collection::vec(any::<bool>(), 11),
        from in 0usize..200,
        count in 0usize..240,
    ) {
        let mut rows = table();
        rows.drain(1..=from);
        rows.truncate(count + 1);
        for row in &mut rows {
            let mut kept = kept.iter();
            row.retain(|_| *kept.next().unwrap_or(&true));
        }
        holds(&brought(&rows))?;
    }
}

/// Cells that no airplane shows are left out and told; the rest of the recording is debriefed as if they were empty.
#[test]
fn regress_one_absurd_cell_spoils_nothing() {
    for (column, cell) in [(3, "1e9"), (4, "1e99"), (6, "-1e9"), (7, "-1e9"), (8, "1e9")] {
        let (mut empty, mut absurd) = (table(), table());
        empty[100][column] = String::new();
        absurd[100][column] = cell.into();
        let csv =
            |rows| reconstruct(vec![brought(rows)], &Told::default()).expect("it is read").csv();
        assert_eq!(csv(&absurd), csv(&empty), "{cell} in column {column}");
        let debriefed =
            debrief(vec![brought(&absurd)], &Told::default(), &standard()).expect("read");
        let told = |note: &recording::Note| note.text.contains("that cannot be");
        assert!(debriefed.debrief.notes.iter().any(told), "{cell} in column {column}");
    }
}

/// A track without heights, or with a few, is a normal recording: what needs a height is absent and said, the rest is there.
#[test]
fn prop_a_track_without_heights_still_has_a_motion() {
    let climb = table()[0].iter().position(|name| name == "climb_mps").expect("a column");
    for kept in [0, 60] {
        let mut rows = table();
        for (index, row) in rows.iter_mut().enumerate() {
            if index > 0 && index > kept {
                row[3] = String::new();
            }
            row.truncate(7);
            row.remove(climb);
        }
        let answer = reconstruct(vec![brought(&rows)], &Told::default()).expect("it is read");
        let csv = answer.csv().expect("a table");
        let head = csv.lines().next().expect("a head");
        for (column, there) in
            [("bank_deg", true), ("ground_speed_kt", true), ("height_ft", false), ("cas_kt", false)]
        {
            assert_eq!(
                head.split(',').any(|name| name == column),
                there,
                "{column}, {kept} heights"
            );
        }
        let debriefed =
            debrief(vec![brought(&rows)], &Told::default(), &standard()).expect("it is read");
        assert!(debriefed.debrief.attempts.is_empty());
        let said = |note: &recording::Note| note.text.starts_with("no height in this recording");
        assert!(debriefed.debrief.notes.iter().any(said));
    }
}

/// The wind of the bundled flight is from 240 degrees at 14 kt: told so, nothing is said; told the other way round, it is.
#[test]
fn prop_a_wind_told_against_the_evidence_is_said() {
    for (wind, contradicted) in [("240/14kt", false), ("250/10kt", false), ("060/14kt", true)] {
        let told = Told {
            airplane: choose::known_airplane(demo::AIRPLANE).ok(),
            wind: app::typed::wind(wind).ok(),
            ..Told::default()
        };
        let answer = debrief(vec![demo::recording()], &told, &standard()).expect("it is read");
        let said = |note: &recording::Note| note.text.contains("contradicts");
        assert_eq!(answer.debrief.notes.iter().any(said), contradicted, "{wind}");
    }
}

#[test]
fn golden_reference_pages_are_the_committed_ones() {
    for (file, made) in app::reference::pages() {
        let path = format!("{}/../../docs/reference/{file}", env!("CARGO_MANIFEST_DIR"));
        let committed = std::fs::read(&path).unwrap_or_default();
        assert!(committed == made, "docs/reference/{file} is stale: run `cargo xtask reference`");
    }
}
