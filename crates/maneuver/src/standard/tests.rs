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

/// A row: maneuver, id, target, minus, plus, in the units of the row.
type Typed = (&'static str, &'static str, f64, Option<f64>, Option<f64>);

fn same(standard: &Standard, rows: &[Typed]) {
    for &(maneuver, id, target, minus, plus) in rows {
        let found = row(standard, maneuver, id);
        let close = |a: Option<f64>, b: Option<f64>| match (a, b) {
            (Some(a), Some(b)) => (a - b).abs() < 1e-9,
            (None, None) => true,
            _ => false,
        };
        checks::assert_near(id, found.0, target, 1e-9);
        assert!(
            close(found.1, minus) && close(found.2, plus),
            "{} {maneuver} {id}: {found:?}",
            standard.id
        );
    }
}

const fn both(value: f64) -> (Option<f64>, Option<f64>) {
    (Some(value), Some(value))
}

const TEN: (Option<f64>, Option<f64>) = both(10.0);

/// Slow flight, PA.VII.A.S2-S5 and CA.VII.A.S2-S5: 100 ft, +10/-0 kt, 10 and 10 degrees; 50 ft, +5/-0 kt, 10 and 5 degrees. Stalls,
/// PA.VII.B and C, CA.VII.B and C: 10 degrees of heading, bank not above 20 by 10, or by 5 without power; CA.VII.D never above the
/// maneuvering speed, 3,000 ft. The speed that is meant is in no recording: a band of +10/-0 kt is one of 10 kt between least and
/// greatest.
#[test]
fn val_slow_flight_and_stalls_of_both_licences() {
    let (private, commercial) =
        (bundled::load("faa-private").unwrap(), bundled::load("faa-commercial").unwrap());
    for (standard, ft, kt, bank, bank_off) in
        [(&private, 100.0, 10.0, 10.0, 10.0), (&commercial, 50.0, 5.0, 5.0, 5.0)]
    {
        same(
            standard,
            &[
                ("slow-flight", "height", 0.0, Some(ft), Some(ft)),
                ("slow-flight", "airspeed", 0.0, None, Some(kt)),
                ("slow-flight", "heading", 0.0, TEN.0, TEN.1),
                ("slow-flight", "bank", 0.0, Some(bank), Some(bank)),
                ("slow-flight", "height-above-ground", 1500.0, Some(0.0), None),
                ("power-off-stall", "bank", 20.0, None, Some(bank_off)),
                ("power-off-stall", "heading", 0.0, TEN.0, TEN.1),
                ("power-on-stall", "bank", 20.0, None, Some(10.0)),
                ("power-on-stall", "heading", 0.0, TEN.0, TEN.1),
                ("steep-turn", "entry-airspeed", 0.0, None, Some(0.0)),
            ],
        );
    }
    same(
        &commercial,
        &[
            ("accelerated-stall", "entry-airspeed", 0.0, None, Some(0.0)),
            ("accelerated-stall", "height-above-ground", 3000.0, Some(0.0), None),
            ("steep-spiral", "turns", 1080.0, Some(10.0), None),
        ],
    );
    let from_memory = |maneuver: &str| {
        let mut rows = private.rows.iter().filter(move |row| row.maneuver == maneuver);
        rows.all(|row| row.from_memory)
    };
    assert!(from_memory("power-on-stall") && !from_memory("power-off-stall"));
    assert_eq!(private.same_figures_in.len(), 4);
    assert!(commercial.in_force.as_deref().unwrap().contains("31 May 2024"));
}

/// FAA-S-8081-6 and FAA-S-ACS-25: to the commercial level; FAA-S-8081-12 (from memory): 100 ft, 10 kt, 50 by 5 degrees, pylons 30 to 40;
/// older slow flight: 100 ft, 1.2 times the stall speed +10/-5 kt, 10 degrees, bank 30 and none above.
#[test]
fn val_instructors_and_older_forms() {
    let commercial = bundled::load("faa-commercial").unwrap();
    for id in ["faa-instructor", "faa-instructor-practical"] {
        let instructor = bundled::load(id).unwrap();
        for row in &commercial.rows {
            same(
                &instructor,
                &[(leak(&row.maneuver), leak(&row.id), row.target, row.minus, row.plus)],
            );
        }
        same(&instructor, &[("s-turns", "height", 0.0, Some(100.0), Some(100.0))]);
        assert!(
            instructor
                .rows
                .iter()
                .all(|row| row.source.contains(", figures of ACS-")
                    || row.source.ends_with("AFH-3C"))
        );
        assert_eq!(instructor.rows.iter().all(|row| row.from_memory), id == "faa-instructor");
    }
    let older = bundled::load("faa-commercial-practical").unwrap();
    assert!(older.rows.iter().all(|row| row.from_memory));
    same(
        &older,
        &[
            ("steep-turn", "height", 0.0, Some(100.0), Some(100.0)),
            ("steep-turn", "airspeed", 0.0, TEN.0, TEN.1),
            ("steep-turn", "bank", 50.0, Some(5.0), Some(5.0)),
            ("eights-on-pylons", "bank", 35.0, Some(5.0), Some(5.0)),
            ("lazy-eight", "exit-height", 0.0, Some(100.0), Some(100.0)),
            ("chandelle", "rollout-heading", 0.0, TEN.0, TEN.1),
        ],
    );
    let slow = bundled::load("faa-slow-flight-older").unwrap();
    same(
        &slow,
        &[
            ("slow-flight", "height", 0.0, Some(100.0), Some(100.0)),
            ("slow-flight", "airspeed", 0.0, Some(5.0), Some(10.0)),
            ("slow-flight", "heading", 0.0, TEN.0, TEN.1),
            ("slow-flight", "bank", 30.0, None, Some(0.0)),
        ],
    );
}

fn leak(text: &str) -> &'static str {
    String::from(text).leak()
}

/// AMC1 FCL.125: 150 ft, 15 kt; Part-FCL appendix 4 (from memory): 100 ft, 10 kt, 10 degrees; appendix 9 B: 100 ft, 5 degrees.
#[test]
fn val_the_other_european_rows() {
    for (id, ft, kt, deg, from_memory) in [
        ("easa-lapl", 150.0, Some(15.0), None, false),
        ("easa-cpl", 100.0, Some(10.0), Some(10.0), true),
        ("easa-type-rating", 100.0, None, Some(5.0), false),
    ] {
        let standard = bundled::load(id).unwrap();
        let of = |id: &str| {
            standard.rows.iter().find(|row| row.maneuver == "steep-turn" && row.id == id)
        };
        same(&standard, &[("steep-turn", "height", 0.0, Some(ft), Some(ft))]);
        let near = |row: Option<&super::Row>, wanted: Option<f64>| match (
            row.and_then(|row| row.plus),
            wanted,
        ) {
            (Some(plus), Some(wanted)) => (plus - wanted).abs() < 1e-9,
            (None, None) => true,
            _ => false,
        };
        assert!(near(of("airspeed"), kt) && near(of("rollout-heading"), deg), "{id}");
        assert!(standard.rows.iter().all(|row| row.from_memory == from_memory));
    }
}

/// checks/maneuver-standards.md 3.25 (one instructor's judgement, no source): excellent and satisfactory.
#[test]
fn val_the_marking_bands_are_the_instructors() {
    let own = bundled::load(bundled::OWN_BANDS).unwrap();
    for (maneuver, id, excellent, satisfactory) in [
        ("chandelle", "pitch-held", 1.5, 3.0),
        ("chandelle", "bank-at-90", 2.0, 5.0),
        ("chandelle", "bank-at-135", 3.0, 6.0),
        ("chandelle", "rollout-heading", 3.0, 10.0),
        ("chandelle", "level-off", 20.0, 50.0),
        ("lazy-eight", "bank-at-90", 3.0, 6.0),
        ("lazy-eight", "lowest", 5.0, 15.0),
        ("lazy-eight", "halves-crest", 40.0, 80.0),
        ("lazy-eight", "halves-slowest", 3.0, 6.0),
        ("lazy-eight", "exit-height", 40.0, 100.0),
        ("lazy-eight", "exit-airspeed", 4.0, 10.0),
        ("lazy-eight", "rollout-heading", 4.0, 10.0),
        ("wing-over", "exit-height", 50.0, 100.0),
        ("wing-over", "exit-airspeed", 5.0, 10.0),
        ("wing-over", "rollout-heading", 5.0, 10.0),
    ] {
        let row = own.rows.iter().find(|row| row.maneuver == maneuver && row.id == id).unwrap();
        checks::assert_near(id, row.plus.unwrap(), satisfactory, 1e-9);
        checks::assert_near(id, row.plus_excellent.unwrap(), excellent, 1e-9);
    }
    let finish = own.rows.iter().find(|row| row.id == "finish-over-stall").unwrap();
    let band = |plus: Option<f64>, minus: Option<f64>| {
        [finish.target - minus.unwrap(), finish.target + plus.unwrap()]
    };
    for (found, wanted) in [
        (band(finish.plus, finish.minus), [1.0, 10.0]),
        (band(finish.plus_excellent, finish.minus_excellent), [3.0, 6.0]),
    ] {
        checks::assert_near("over the stall, low", found[0], wanted[0], 1e-9);
        checks::assert_near("over the stall, high", found[1], wanted[1], 1e-9);
    }
}

#[test]
fn rows_are_taken_over_from_bundled_standards_only() {
    let text = format!("{HEAD}[[inherits]]\nstandard = \"faa-privat\"\nsource = \"x\"\n");
    let faults = Standard::from_toml(&text, "x.toml").unwrap_err();
    assert!(faults.to_string().contains("line 6: no bundled standard \"faa-privat\""), "{faults}");
    let text = format!(
        "{HEAD}[[inherits]]\nstandard = \"faa-private\"\nmaneuvers = [\"steep-turn\", \"loop\"]\nsource = \"x\"\n"
    );
    let faults = Standard::from_toml(&text, "x.toml").unwrap_err();
    assert!(faults.to_string().contains("faa-private has no rows for \"loop\""), "{faults}");
    let narrow = "[[row]]\nmaneuver = \"steep-turn\"\nid = \"height\"\nquantity = \"height change\"\nat = \"throughout\"\n\
                  target = \"0 ft\"\nplus = \"60 ft\"\nminus = \"60 ft\"\ntolerance = \"60 ft\"\nsource = \"school\"\n";
    let text = format!(
        "{HEAD}[[inherits]]\nstandard = \"faa-private\"\nmaneuvers = [\"steep-turn\"]\nsource = \"school\"\n{narrow}"
    );
    let school = Standard::from_toml(&text, "x.toml").unwrap();
    assert_eq!(school.rows.len(), 5);
    same(&school, &[("steep-turn", "height", 0.0, Some(60.0), Some(60.0))]);
}
