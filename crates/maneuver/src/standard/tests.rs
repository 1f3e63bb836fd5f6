//! Standard files: the bundled ones against the published text, faults with their lines.

use super::{Measured, MeasuredAt, Standard, bundled};

const HEAD: &str = "id = \"x\"\ntitle = \"X\"\nlicence = \"none\"\nedition = \"1\"\n";

fn row(
    standard: &Standard,
    maneuver: &str,
    id: &str,
) -> (f64, Option<f64>, Option<f64>, MeasuredAt) {
    let row = standard.rows.iter().find(|row| row.maneuver == maneuver && row.id == id).unwrap();
    (row.target, row.minus, row.plus, row.place)
}

/// Airman certification standards, area V, tasks A (steep turns), C (chandelles), D (lazy eights).
#[test]
fn val_the_bundled_rows_are_the_published_ones() {
    let commercial = bundled::load("faa-commercial").unwrap();
    let both = |value| (Some(value), Some(value));
    let (target, minus, plus, place) = row(&commercial, "steep-turn", "bank");
    assert_eq!((target, (minus, plus), place), (50.0, both(5.0), MeasuredAt::Throughout));
    let (target, minus, plus, _) = row(&commercial, "steep-turn", "height");
    assert!(((minus.unwrap(), plus.unwrap()), target) == ((100.0, 100.0), 0.0));
    let (_, minus, plus, _) = row(&commercial, "steep-turn", "airspeed");
    assert_eq!((minus, plus), both(10.0));
    for maneuver in ["steep-turn", "chandelle", "lazy-eight"] {
        let (target, minus, plus, place) = row(&commercial, maneuver, "rollout-heading");
        assert_eq!((target, (minus, plus), place), (0.0, both(10.0), MeasuredAt::End));
    }
    let (_, minus, plus, _) = row(&commercial, "lazy-eight", "exit-height");
    assert_eq!((minus, plus), both(100.0));
    let (floor, minus, plus, place) = row(&commercial, "chandelle", "height-above-ground");
    assert_eq!((floor, minus, plus, place), (1500.0, Some(0.0), None, MeasuredAt::Least));
    let private = bundled::load("faa-private").unwrap();
    let (target, minus, plus, _) = row(&private, "steep-turn", "bank");
    assert_eq!((Some(target), minus, plus), (Some(45.0), Some(5.0), Some(5.0)));
}

/// Area V, tasks B (steep spiral, ground reference of the private pilot) and E (eights on pylons); area VII, slow flight and stalls.
#[test]
fn val_the_rows_of_figures_over_the_ground_and_of_stalls_are_the_published_ones() {
    let commercial = bundled::load("faa-commercial").unwrap();
    let private = bundled::load("faa-private").unwrap();
    for (standard, maneuver, id, target, minus, plus, place) in [
        (&commercial, "steep-spiral", "bank", 60.0, None, Some(0.0), MeasuredAt::Greatest),
        (
            &commercial,
            "steep-spiral",
            "airspeed",
            0.0,
            Some(10.0),
            Some(10.0),
            MeasuredAt::Throughout,
        ),
        (
            &commercial,
            "steep-spiral",
            "rollout-heading",
            0.0,
            Some(10.0),
            Some(10.0),
            MeasuredAt::End,
        ),
        (&commercial, "eights-on-pylons", "bank", 40.0, None, Some(0.0), MeasuredAt::Greatest),
        (&commercial, "slow-flight", "height", 0.0, Some(50.0), Some(50.0), MeasuredAt::Throughout),
        (&commercial, "power-off-stall", "bank", 20.0, None, Some(5.0), MeasuredAt::Greatest),
        (&commercial, "power-on-stall", "bank", 20.0, None, Some(10.0), MeasuredAt::Greatest),
        (
            &commercial,
            "accelerated-stall",
            "height-above-ground",
            3000.0,
            Some(0.0),
            None,
            MeasuredAt::Least,
        ),
        (&private, "turns-around-a-point", "lowest", 600.0, Some(0.0), None, MeasuredAt::Least),
        (&private, "s-turns", "highest", 1000.0, None, Some(0.0), MeasuredAt::Greatest),
        (
            &private,
            "rectangular-course",
            "height",
            0.0,
            Some(100.0),
            Some(100.0),
            MeasuredAt::Throughout,
        ),
        (&private, "slow-flight", "height", 0.0, Some(100.0), Some(100.0), MeasuredAt::Throughout),
        (&private, "power-off-stall", "bank", 20.0, None, Some(10.0), MeasuredAt::Greatest),
    ] {
        let found = row(standard, maneuver, id);
        checks::assert_near(id, found.0, target, 1e-9);
        let close = |a: Option<f64>, b: Option<f64>| {
            a.is_some() == b.is_some() && a.zip(b).is_none_or(|(a, b)| (a - b).abs() < 1e-9)
        };
        assert!(close(found.1, minus) && close(found.2, plus), "{maneuver} {id}: {found:?}");
        assert_eq!(found.3, place, "{maneuver} {id}");
    }
}

/// AMC1 FCL.235: 150 ft, 15 kt, 10 degrees in normal flight (checks/numeric-checks-handbook.csv, rows 268, 269 and 272).
#[test]
fn val_the_european_rows_are_the_published_ones() {
    let standard = bundled::load("easa-ppl").unwrap();
    assert_eq!(standard.rows.len(), 7);
    for row in &standard.rows {
        let (wanted, place) = match row.quantity {
            Measured::HeightChangeFt => (150.0, MeasuredAt::Throughout),
            Measured::AirspeedChangeKt => (15.0, MeasuredAt::Throughout),
            Measured::HeadingErrorDeg => (10.0, MeasuredAt::End),
            other => panic!("{other:?} is not in the published tolerances"),
        };
        checks::assert_near(&row.id, row.plus.unwrap(), wanted, 1e-9);
        checks::assert_near(&row.id, row.minus.unwrap(), wanted, 1e-9);
        assert_eq!((row.target, row.place), (0.0, place), "{}", row.id);
    }
}

#[test]
fn val_no_published_standard_holds_the_wing_over() {
    for (id, _) in bundled::ALL {
        let standard = bundled::load(id).unwrap();
        assert_eq!(&standard.id, id);
        let rows = standard.rows_for("wing-over", "standard").count();
        assert_eq!(rows > 0, *id == bundled::OWN_BANDS, "{id}");
        let labelled = standard.rows.iter().all(|row| row.source == "training-aid");
        assert_eq!(labelled, *id == bundled::OWN_BANDS, "{id}");
    }
}

#[test]
fn every_fault_is_told_with_line_and_hint() {
    let text = format!(
        "{HEAD}[[row]]\nmaneuver = \"chandel\"\nid = \"a\"\nquantity = \"heading error\"\nat = \"midway\"\n\
         target = \"0\"\nplus = \"-10 deg\"\ntolerance = \"10\"\nsorce = \"x\"\n"
    );
    let faults = Standard::from_toml(&text, "x.toml").unwrap_err();
    let told: Vec<(usize, &str)> =
        faults.faults.iter().map(|f| (f.line, f.what.as_str())).collect();
    assert!(told.contains(&(6, "maneuver \"chandel\" is not in the catalogue")), "{told:?}");
    assert!(told.contains(&(9, "\"midway\" is not a place in a maneuver")), "{told:?}");
    assert!(
        told.iter().any(|(line, what)| *line == 10 && what.contains("needs a unit")),
        "{told:?}"
    );
    assert!(told.contains(&(11, "plus must not be negative")), "{told:?}");
    assert!(
        told.iter().any(|(line, what)| *line == 13 && what.contains("sorce is not known")),
        "{told:?}"
    );
    assert!(faults.hint().contains("did you mean source?"));
}

#[test]
fn rows_twice_and_rows_without_bounds_are_refused() {
    let one = "[[row]]\nmaneuver = \"chandelle\"\nid = \"a\"\nquantity = \"bank\"\nat = \"turn 90 deg\"\n\
               target = \"30 deg\"\ntolerance = \"30\"\nsource = \"training-aid\"\n";
    let without = Standard::from_toml(&format!("{HEAD}{one}"), "x.toml").unwrap_err();
    assert!(without.to_string().contains("line 10: a row needs plus, minus or both"), "{without}");
    let bounded = one.replace("tolerance", "plus = \"5 deg\"\ntolerance");
    let good = Standard::from_toml(&format!("{HEAD}{bounded}"), "x.toml").unwrap();
    assert_eq!(
        (good.rows[0].quantity, good.rows[0].place),
        (Measured::BankDeg, MeasuredAt::Turn(90.0))
    );
    let twice = Standard::from_toml(&format!("{HEAD}{bounded}{bounded}"), "x.toml").unwrap_err();
    assert!(twice.to_string().contains("two rows"), "{twice}");
    assert!(Standard::from_toml(HEAD, "x.toml").is_err());
}
