//! Documents through every renderer.

use crate::made;
use maneuver::Direction;
use report::model::{Align, Block, Cell, ColumnHead, Document, Table, Tone};
use report::render;

const HOSTILE: &str = "<script>alert(1)</script>\u{1b}[31m\"'&\u{0}.csv";

fn rendered(document: &Document, key: &str) -> String {
    String::from_utf8((render::find(key).unwrap().render)(document)).unwrap()
}

/// The renderers whose bytes are text; the others are held by the tests of papers.
fn of_text() -> impl Iterator<Item = &'static render::Renderer> {
    render::ALL.iter().filter(|renderer| renderer.media_type != "application/pdf")
}

#[test]
fn prop_keys_of_renderers_are_unique() {
    for (index, renderer) in render::ALL.iter().enumerate() {
        assert!(render::ALL[..index].iter().all(|other| other.key != renderer.key));
    }
}

#[test]
fn prop_every_page_carries_the_safety_sentence_and_is_the_same_twice() {
    for maneuver in maneuver::catalog::ALL {
        let brief = made::brief(maneuver.id(), Direction::Right);
        let document = report::brief::document(&brief);
        for renderer in of_text() {
            let text = rendered(&document, renderer.key);
            assert!(text.contains(report::SAFETY_SENTENCE) || renderer.key == "text");
            assert_eq!(text, rendered(&report::brief::document(&brief), renderer.key));
        }
        assert!(rendered(&document, "text").replace('\n', " ").contains(report::SAFETY_SENTENCE));
    }
}

#[test]
fn prop_text_keeps_to_eighty_columns() {
    for maneuver in maneuver::catalog::ALL {
        let brief = made::brief(maneuver.id(), Direction::Left);
        let mut documents = vec![report::brief::document(&brief)];
        if let Some(flight) = brief.sides.first() {
            documents.push(report::debrief::document(&made::debrief(HOSTILE, flight)));
        }
        for line in documents.iter().map(|d| rendered(d, "text")).collect::<String>().lines() {
            assert!(line.chars().count() <= 80, "{line}");
        }
    }
}

#[test]
fn prop_a_hostile_name_is_harmless() {
    let brief = made::brief("chandelle", Direction::Left);
    let debrief = made::debrief(HOSTILE, &brief.sides[0]);
    let document = report::debrief::document_with(&debrief, &[Some(brief.sides[0].clone())], None);
    for renderer in of_text() {
        let text = rendered(&document, renderer.key);
        assert!(!text.contains('\u{1b}') || renderer.key == "html", "{}", renderer.key);
        assert!(renderer.key == "text" || !text.contains("<script"), "{}", renderer.key);
    }
    let json = wire::to_json(&wire::debrief::Debrief::from(&debrief));
    let read: serde_json::Value = serde_json::from_str(&json).unwrap();
    assert_eq!(read["recording"]["file"], HOSTILE);
}

/// Never a clearance.
#[test]
fn prop_no_document_reads_as_a_clearance() {
    for maneuver in maneuver::catalog::ALL {
        let brief = made::brief(maneuver.id(), Direction::Right);
        let text = rendered(&report::brief::document(&brief), "text").to_lowercase();
        for word in ["can be flown", "is safe", "safe to", "cleared to"] {
            assert!(!text.contains(word), "{}: {word}", maneuver.id());
        }
    }
}

#[test]
fn prop_nothing_found_says_what_was_looked_for() {
    let brief = made::brief("chandelle", Direction::Left);
    let mut debrief = made::debrief("lesson.csv", &brief.sides[0]);
    debrief.attempts.clear();
    let text = rendered(&report::debrief::document(&debrief), "text");
    assert!(text.contains("no attempts found") && text.contains("Chandelle"), "{text}");
}

#[test]
fn golden_text_of_every_block() {
    insta::assert_snapshot!(rendered(&small(), "text"));
}

#[test]
fn golden_svg_of_a_small_document() {
    insta::assert_snapshot!(rendered(&small(), "svg"));
}

fn small() -> Document {
    let mut scene = report::scene::Scene::new("A line", 100.0, 50.0);
    scene.description = "from one corner to the other".into();
    let (from, to) = (report::scene::at(0.0, 0.0), report::scene::at(100.0, 50.04));
    let style = report::scene::style(report::scene::Mark::Stroke, report::scene::Role::Attempt);
    scene.items.push(report::scene::Item::Line(from, to, style));
    Document {
        title: "Steep turn & <more>".into(),
        subtitle: "an invented airplane".into(),
        blocks: vec![
            Block::Heading(2, "Judged".into()),
            Block::Verdict(Tone::CannotTell, "cannot tell".into()),
            Block::Paragraph("A paragraph that is long enough to be broken at the eightieth column of a terminal, twice \
                              if need be, at blanks only."
                .into()),
            Block::List(vec!["first".into(), "second".into()]),
            Block::Table(Table {
                caption: "Numbers".into(),
                columns: vec![
                    ColumnHead::words("what"),
                    ColumnHead { title: "value".into(), unit: "°", align: Align::Right },
                    ColumnHead::words("verdict"),
                ],
                rows: vec![
                    vec!["bank".into(), "−45.0 ± 2.9".into(), Cell::Verdict(Tone::Met, "met".into())],
                    vec!["pitch".into(), "–".into(), Cell::Verdict(Tone::NotMet, "not met".into())],
                ],
            }),
            Block::Figure(scene),
            Block::Caution("Careful.".into()),
        ],
    }
}
