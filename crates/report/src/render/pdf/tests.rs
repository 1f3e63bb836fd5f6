//! The PDF held against the rules of accessible documents, as far as its writer checks them.

use super::written;
use crate::layout::{self, SIZES};
use crate::model::{Block, Cell, ColumnHead, Document, Fact, Table, Tone};
use crate::papers;
use crate::scene::{Mark, Role, Scene, at};
use krilla::configure::{Accessibility, ConfigurationBuilder};

fn everything() -> Document {
    let mut scene = Scene::new("A picture", 100.0, 60.0);
    scene.chalk(vec![at(0.0, 0.0), at(100.0, 60.0)], Role::Attempt);
    scene.circle(at(50.0, 30.0), 5.0, Mark::Dot, Role::Reference);
    scene.label(at(50.0, 20.0), "label", crate::scene::Anchor::Middle);
    scene.description = "a line and a ring".into();
    let table = Table {
        caption: "A table".into(),
        columns: vec![ColumnHead::words("what"), ColumnHead::number("value", "kt")],
        rows: vec![vec!["speed".into(), Cell::Verdict(Tone::CannotTell, "97".into())]; 3],
    };
    let fact = Fact { value: "97".into(), unit: "kt", words: "entry".into() };
    Document {
        title: "Everything".into(),
        subtitle: "that a page can hold".into(),
        blocks: vec![
            Block::Verdict(Tone::Met, "within computed limits".into()),
            Block::Heading(2, "Heading".into()),
            Block::Facts(vec![fact; 3]),
            Block::Lead("Change".into(), "One thing.".into()),
            Block::Table(table),
            Block::Figure(scene),
            Block::List(vec!["one".into(), "two".into()]),
            Block::Columns(vec![
                vec![Block::Boxes(vec!["ticked".into()])],
                vec![Block::Caution("care".into())],
            ]),
        ],
    }
}

/// PDF/UA-1 (ISO 14289-1): title, language, tags, alternative texts, every letter known.
#[test]
fn val_the_pdf_keeps_the_rules_of_accessible_documents() {
    let sheet = papers::WHOLE.sheet(SIZES[0], "Skychalk".into());
    let pages = layout::lay(&everything(), &sheet);
    assert_eq!(pages.overflow, Vec::<String>::new());
    let rules = ConfigurationBuilder::new().with_accessibility_validator(Accessibility::UA1);
    let written = written(&pages, rules.finish().expect("PDF/UA-1 is known"));
    assert!(written.is_ok(), "{:?}", written.err());
}
