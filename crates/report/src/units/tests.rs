//! Figures by hand, from the definitions of foot, nautical mile and pound (SI-9, SP-811).

use super::{Units, find};
use crate::model::{Block, Cell, ColumnHead, Document, Fact, Table, Tone};
use crate::pictures;
use motion::{Column, Motion};

fn metric() -> &'static Units {
    find("kmh-m").expect("units of the list")
}

#[test]
fn sentences_keep_their_units_with_the_others_behind() {
    let cases = [
        ("1,500 ft above the ground", "1,500 ft (457 m) above the ground"),
        ("kept from 62 to 97 kt.", "kept from 62 to 97 kt (115 to 180 km/h)."),
        ("−9 ft instead of +120 ft", "−9 ft (−3 m) instead of +120 ft (+37 m)"),
        ("farthest 1.0 NM; 645 ft/min", "farthest 1.0 NM (1.9 km); 645 ft/min (3.3 m/s)"),
        ("12,500 ft after 30 minutes", "12,500 ft (3,810 m) after 30 minutes"),
        ("asked: ±100 ft", "asked: ±100 ft (30 m)"),
        // no quantity, or none that is another
        ("the 90-degree point, 2 ft-lb, SERA.5005", "the 90-degree point, 2 ft-lb, SERA.5005"),
        ("begun late, 0 ft below entry", "begun late, 0 ft below entry"),
        ("930 kg, 15 °C", "930 kg, 15 °C"),
    ];
    for (own, also) in cases {
        assert_eq!(metric().also(own), also);
    }
    let pounds = find("kt-ft-lb").expect("units of the list");
    assert_eq!(pounds.also("930 kg at 97 kt"), "930 kg (2050 lb) at 97 kt");
}

#[test]
fn numbers_of_tables_and_facts_stand_in_the_other_units_alone() {
    let row = vec![
        "entry speed at the 90-degree point".into(),
        "97 ± 3".into(),
        Cell::from("at most 98.0").of("kt"),
        Cell::Verdict(Tone::Met, "met, 0.7 inside".into()).of("kt"),
        Cell::Named("ft", "height at 90 degrees, ft".into()),
        Cell::Said("Area clear; 3,500 feet.".into()),
        Cell::from("at least 500 ft").of("ft"),
        "±100 ft".into(),
    ];
    let columns = ["what", "IAS", "bound", "by", "named", "said", "floor", "tolerance"];
    let mut columns: Vec<ColumnHead> = columns.into_iter().map(ColumnHead::words).collect();
    columns[1] = ColumnHead::number("IAS", "kt");
    let facts = vec![Fact { value: "2000".into(), unit: "ft", words: "entry height".into() }];
    let document = Document {
        title: "Chandelle".into(),
        subtitle: "entry at 2000 ft".into(),
        blocks: vec![
            Block::Table(Table { caption: "all".into(), columns, rows: vec![row] }),
            Block::Facts(facts),
        ],
    };
    let same = find("kt-ft").expect("units of the list").document(document.clone());
    assert_eq!(same, document, "documents are written in kt and ft");
    let other = metric().document(document);
    assert_eq!(other.subtitle, "entry at 2000 ft (610 m)");
    let Block::Table(table) = &other.blocks[0] else { panic!("a table") };
    assert_eq!(table.columns[1].unit, "km/h");
    let told: Vec<&str> = table.rows[0].iter().map(Cell::words).collect();
    let want = [
        "entry speed at the 90-degree point",
        "180 ± 6",
        "at most 181.5",
        "met, 1.3 inside",
        "height at 90 degrees, m",
        "Area clear; 1,067 meters.",
        "at least 152 m",
        "±100 ft (30 m)",
    ];
    assert_eq!(told, want);
    let Block::Facts(facts) = &other.blocks[1] else { panic!("facts") };
    assert_eq!(facts[0].line(), "entry height: 610 m");
}

#[test]
fn scales_of_pictures_have_round_steps_in_the_other_units() {
    let times: Vec<f64> = (0..60).map(f64::from).collect();
    let value: Vec<f64> = times.iter().map(|time| 600.0 + 5.0 * time).collect();
    let height_m = Some(Column { sigma: vec![2.0; value.len()], value });
    let motion = Motion { time_s: times, height_m, ..Motion::default() };
    let strip = pictures::strip(&motion, &[]).expect("a picture of heights");
    let mut document = Document {
        title: String::new(),
        subtitle: String::new(),
        blocks: vec![Block::Figure(strip)],
    };
    let labels = |document: &Document| -> Vec<String> {
        let Block::Figure(scene) = &document.blocks[0] else { panic!("a picture") };
        let texts = scene.items.iter().filter_map(|item| match item {
            crate::scene::Item::Text(_, text, ..) => Some(text.clone()),
            _ => None,
        });
        texts.filter(|text| text.ends_with(" ft") || text.ends_with(" m")).collect()
    };
    assert_eq!(labels(&document), ["2000 ft", "2500 ft"]);
    document = metric().document(document);
    assert_eq!(labels(&document), ["600 m", "700 m", "800 m", "900 m"]);
}
