//! Recordings of real flights (recordings/README.md). Names of maneuvers there are inferred from the numbers, except on the
//! flight review, whose pilot describes it: a steep turn to the left and one to the right straight after.

use crate::debriefed;
use assess::attempt::Attempt;
use maneuver::Direction;

/// Attempts of a recording, printed; `None` when it is not here.
fn attempts(path: &str) -> Option<Vec<Attempt>> {
    let bytes = checks::recording(path)?;
    let debrief = debriefed(path, &bytes).unwrap_or_else(|error| panic!("{path}: {error}"));
    for found in &debrief.attempts {
        println!(
            "{path}: {} {} {:.0} to {:.0} s, confidence {:.2}",
            found.maneuver,
            assess::attempt::way(found.direction),
            found.start_s,
            found.end_s,
            found.confidence
        );
    }
    Some(debrief.attempts)
}

/// The pilot's own description: left 360 about 1000 s after the first row, lasting 58 s, right 360 straight after. Both were
/// flown at 35 degrees of bank: shallow, but as a pair of full turns no ordinary flying.
#[test]
fn val_the_flight_review_has_its_two_steep_turns() {
    let Some(found) = attempts("csv/da20_flight_review_2018-10-15_part.csv") else { return };
    let told: Vec<(&str, Direction)> =
        found.iter().map(|a| (a.maneuver, a.direction.expect("it turns"))).collect();
    assert_eq!(told, [("steep-turn", Direction::Left), ("steep-turn", Direction::Right)]);
    let left = &found[0];
    assert!((left.start_s - 1000.0).abs() < 4.0, "{}", left.start_s);
    assert!((left.end_s - left.start_s - 58.0).abs() < 4.0, "{}", left.end_s);
    assert!(found[1].start_s - left.end_s < 3.0);
    let turned = left.parts[0].turned_deg;
    assert!((turned.value - 360.0).abs() < 10.0, "{turned:?}");
}

/// Inferred from the numbers: half of a wing-over to the left from 1003 to 1027 s (pitch +16 to -10, bank to 66). The level
/// steep half turns of this flight (188 degrees at 1033 s, 202 at 1133 s) and its loops and rolls are none of the four.
#[test]
fn val_the_aerobatic_flight_has_its_wing_over_half() {
    let Some(found) = attempts("avionics-serial/garmin_g3x_2019-01-26_decoded_5hz.csv") else {
        return;
    };
    assert_eq!(found.len(), 1);
    let half = &found[0];
    assert_eq!(
        (half.maneuver, half.direction, half.parts.len()),
        ("wing-over", Some(Direction::Left), 1)
    );
    assert!((half.start_s - 1003.0).abs() < 3.0 && (half.end_s - 1027.0).abs() < 3.0);
    assert!(half.notes.iter().any(|note| note == "1 of 2 parts were flown"), "{:?}", half.notes);
}

/// Cross-country flights, test flights of a jet, paragliders, a recorder with wrong times: nothing is found.
#[test]
fn val_nothing_invented_is_found() {
    let paths = [
        "csv/g1000_2024-01-21_part.csv",
        "csv/g3x_2024-03-09_part.csv",
        "csv/citation_2019-03-12_1hz.csv",
        "csv/citation_reference_1hz.csv",
        "gpx/ljpz_lida_2024-04-13.gpx",
        "igc/aerofiles_skydrop-2019-04-15.igc",
        "igc/aerofiles_skytraxx21-2023-04-15.igc",
        "igc/gpsbabel_92GV66G1.igc",
        "igc/igc-xc-score_discontinuity.igc",
    ];
    for path in paths {
        let Some(found) = attempts(path) else { continue };
        assert_eq!(found.len(), 0, "{path}");
    }
}

/// Gliders circle for hours. What is taken for a maneuver there is wrong and should be none; today's count is kept here. The
/// half turn taken for a chandelle does trade speed for height; the fixes of the last are five seconds apart.
#[test]
fn val_hours_of_circling_give_hardly_anything() {
    let gliders = [
        ("igc/opensoar_aat_attitude.igc", 1),
        ("igc/opensoar_race_task_completed.igc", 1),
        ("igc/gpsbabel_92HV66G1.igc", 0),
        ("igc/gpsbabel_27GLQKF3.igc", 0),
    ];
    for (path, today) in gliders {
        let Some(found) = attempts(path) else { continue };
        assert_eq!(found.len(), today, "{path}");
    }
}
