//! Papers of every maneuver of the catalogue, every bundled airplane, either side and both: everything has its place on its page.

use crate::made;
use flight::air::Day;
use flight::airplane::bundled;
use flight::wind::Wind;
use maneuver::brief::{Brief, BriefRequest, Sides, brief};
use maneuver::{Direction, catalog};
use report::layout::{self, Item, Kind, Pages};
use report::model::{Block, Document};
use report::papers::{self, BriefPaper};
use report::render;
use std::collections::HashSet;

/// The paper of a brief on its sheets.
fn laid(paper: &BriefPaper, brief: &Brief, size: &str) -> Pages {
    let size = layout::size(size).unwrap();
    let sheet = paper.paper.sheet(*size, "Skychalk 0.1.0, figures 0000-0000".into());
    layout::lay_first(&(paper.versions)(brief), &sheet)
}

/// Everything has its place, and the paper has the pages that it promises.
fn fits(name: &str, paper: &BriefPaper, brief: &Brief) {
    for size in paper.paper.sizes {
        let pages = laid(paper, brief, size);
        let name = format!("{name} {} {size}", paper.paper.key);
        assert!(pages.overflow.is_empty(), "{name}: {:?}", pages.overflow);
        if let Some(count) = paper.paper.set.pages {
            assert_eq!(pages.pages.len(), count, "{name}");
        }
        // the caution stands on every page
        for page in &pages.pages {
            let words = page.placed.iter().filter_map(|placed| match &placed.item {
                Item::Words(words) => Some(words.text.as_str()),
                _ => None,
            });
            let text: Vec<&str> = words.collect();
            assert!(text.join(" ").contains("Training aid, not approved data."), "{name}");
        }
    }
}

#[test]
fn prop_every_paper_of_every_brief_fits_its_pages() {
    let mut day = Day::standard();
    day.wind = Wind::parse("240/12kt").unwrap();
    for (id, _) in bundled::ALL {
        let airplane = bundled::load(id).unwrap();
        for maneuver in catalog::ALL {
            let request = BriefRequest { day, field_told: true, ..BriefRequest::default() };
            let both = brief(*maneuver, &airplane, &request);
            let mut one = both.clone();
            one.sides.truncate(1);
            one.eyes.truncate(1);
            one.hands.truncate(1);
            for (sides, brief) in [("both", &both), ("one", &one)] {
                let name = format!("{} {sides} {id}", maneuver.id());
                papers::OF_BRIEF.iter().for_each(|paper| fits(&name, paper, brief));
            }
        }
    }
}

#[test]
fn prop_the_longest_words_fit_too() {
    let mut brief = made::brief("lazy-eight", Direction::Left);
    brief.airplane_name =
        "Long-winged Plover of the Saltmarsh Flying Club, second rebuild, ".repeat(2);
    brief.reasons =
        vec!["care: what has to be said here takes a good many words to say ".repeat(3); 3];
    for line in brief.patter.iter_mut().flat_map(|sheet| &mut sheet.lines) {
        line.text =
            "Nose up slowly, slower than you think, and let the bank come by itself, ".repeat(3);
    }
    papers::OF_BRIEF.iter().for_each(|paper| fits("longest", paper, &brief));
    let debrief = made::debrief(&"a-very-long-name-of-a-recording_".repeat(8), &brief.sides[0]);
    let document = papers::debrief(&debrief, &[Some(brief.sides[0].clone())], None);
    for size in papers::DEBRIEF.sizes {
        let sheet = papers::DEBRIEF.sheet(*layout::size(size).unwrap(), String::new());
        let pages = layout::lay(&document, &sheet);
        assert!(pages.overflow.is_empty(), "{size}: {:?}", pages.overflow);
    }
}

#[test]
fn prop_what_is_outside_limits_is_no_plan_on_paper() {
    let airplane = bundled::load("plover-160").unwrap();
    let request = BriefRequest { sides: Sides::Both, ..BriefRequest::default() };
    let refused = brief(catalog::find("loop").unwrap(), &airplane, &request);
    assert!(refused.sides.is_empty(), "the loop is refused for this airplane");
    for paper in papers::OF_BRIEF {
        let pages = laid(paper, &refused, paper.paper.sizes[0]);
        let text = text_of(&pages);
        assert!(text.contains("outside limits"), "{}: {text}", paper.paper.key);
        let own = pages.scenes.iter().map(|scene| scene.title.as_str());
        let own: Vec<&str> = own.filter(|title| *title != "Margins to limits").collect();
        assert!(own.is_empty(), "{}: {own:?}", paper.paper.key);
    }
}

fn text_of(pages: &Pages) -> String {
    let placed = pages.pages.iter().flat_map(|page| &page.placed);
    let words = placed.filter_map(|placed| match &placed.item {
        Item::Words(words) => Some(words.text.as_str()),
        _ => None,
    });
    words.collect::<Vec<_>>().join(" ")
}

#[test]
fn prop_same_pages_same_bytes() {
    for paper in papers::OF_BRIEF {
        let written = || {
            let brief = made::brief("chandelle", Direction::Right);
            let pages = laid(paper, &brief, paper.paper.sizes[0]);
            render::PAGED.iter().map(|renderer| (renderer.render)(&pages)).collect::<Vec<_>>()
        };
        let [first, second] = [written(), written()];
        assert!(first == second, "{}", paper.paper.key);
        assert!(first[0].starts_with(b"%PDF-1.7"), "{}", paper.paper.key);
        let most = if paper.paper.set.pages.is_some() { 300_000 } else { 1_000_000 };
        assert!(first[0].len() < most, "{}: {} bytes", paper.paper.key, first[0].len());
    }
}

#[test]
fn prop_heads_of_tables_stand_on_every_page_and_headings_with_what_follows() {
    use report::model::{Block, Cell, ColumnHead, Document, Table};
    let row = |index: usize| vec![Cell::Text(index.to_string()), "word ".repeat(30).into()];
    let table = Table {
        caption: "A long table".into(),
        columns: vec![ColumnHead::number("number", "m"), ColumnHead::words("what it is")],
        rows: (0..150).map(row).collect(),
    };
    let blocks = vec![
        Block::Table(table),
        Block::Paragraph("word ".repeat(500)),
        Block::Heading(2, "Last".into()),
        Block::Paragraph("end".into()),
    ];
    let document = Document { title: "Title".into(), subtitle: "Subtitle".into(), blocks };
    let sheet = papers::WHOLE.sheet(layout::SIZES[2], String::new());
    let pages = layout::lay(&document, &sheet);
    assert!(pages.overflow.is_empty(), "{:?}", pages.overflow);
    let texts = |index: usize| -> Vec<&str> {
        let words = pages.pages[index].placed.iter().filter_map(|placed| match &placed.item {
            Item::Words(words) => Some(words.text.as_str()),
            _ => None,
        });
        words.collect()
    };
    let with_rows = (0..pages.pages.len()).filter(|index| texts(*index).contains(&"what it is"));
    assert!(with_rows.count() > 3);
    assert!(texts(1).contains(&"what it is"), "{:?}", texts(1));
    let page_of =
        |wanted: &str| (0..pages.pages.len()).find(|index| texts(*index).contains(&wanted));
    assert_eq!(page_of("Last"), page_of("end"));
}

/// Letters of a page: words beside the pictures, and those in them, points.
fn smallest_letters(pages: &Pages) -> (f64, f64) {
    let (mut words, mut letters) = (f64::INFINITY, f64::INFINITY);
    for placed in pages.pages.iter().flat_map(|page| &page.placed) {
        match &placed.item {
            Item::Words(set) => words = words.min(set.size),
            Item::Scene { scale, scene, .. } => {
                let sizes = layout::lettering(&pages.scenes[*scene]);
                letters = sizes.iter().map(|text| scale * text.size).fold(letters, f64::min);
            }
            _ => {}
        }
    }
    (words, letters)
}

/// No two texts of a picture lie on each other, and all lie inside of it.
fn apart(name: &str, pages: &Pages) {
    for scene in &pages.scenes {
        let texts = layout::lettering(scene);
        for (index, text) in texts.iter().enumerate() {
            let inside = text.from[0] >= -0.5
                && text.from[1] >= -0.5
                && text.to[0] <= scene.width + 0.5
                && text.to[1] <= scene.height + 0.5;
            assert!(inside, "{name}, {}: {text:?} is cut off", scene.title);
            for other in &texts[..index] {
                assert!(!text.meets(other), "{name}, {}: {text:?} on {other:?}", scene.title);
            }
        }
    }
}

/// Words of cells that no cell of the document has: pieces of one that was parted.
fn torn(pages: &Pages, documents: &[Document]) -> Vec<String> {
    let words = |text: &str| -> Vec<String> {
        text.split(|letter: char| !letter.is_alphabetic()).map(str::to_owned).collect()
    };
    let blocks = documents.iter().flat_map(|document| &document.blocks);
    let inside = blocks.flat_map(|block| match block {
        Block::Columns(columns) => columns.iter().flatten().collect(),
        block => vec![block],
    });
    let tables = inside.filter_map(|block| match block {
        Block::Table(table) => Some(table),
        _ => None,
    });
    let cells = tables.flat_map(|table| table.rows.iter().flatten());
    let known: HashSet<String> = cells.flat_map(|cell| words(cell.words())).collect();
    let placed = pages.pages.iter().flat_map(|page| &page.placed);
    let set = placed.filter_map(|placed| match &placed.item {
        Item::Words(words) if pages.elements[placed.element].kind == Kind::Cell => {
            Some(words.text.as_str())
        }
        _ => None,
    });
    set.flat_map(words).filter(|word| !known.contains(word)).collect()
}

/// The least letters of all papers of one page or two, both airplanes, every maneuver and form: the cards' are read in the cockpit.
#[test]
fn prop_no_letter_is_too_small_and_none_lies_on_another() {
    let mut day = Day::standard();
    day.wind = Wind::parse("240/12kt").unwrap();
    for (id, _) in bundled::ALL {
        let airplane = bundled::load(id).unwrap();
        for maneuver in catalog::ALL {
            for form in maneuver.forms() {
                let request = BriefRequest {
                    form: Some(*form),
                    day,
                    field_told: true,
                    ..BriefRequest::default()
                };
                let brief = brief(*maneuver, &airplane, &request);
                for paper in papers::OF_BRIEF.iter().filter(|paper| paper.paper.set.pages.is_some())
                {
                    for size in paper.paper.sizes {
                        let pages = laid(paper, &brief, size);
                        let key = paper.paper.key;
                        let name = format!("{} {} {id} {key} {size}", maneuver.id(), form.key);
                        assert!(pages.overflow.is_empty(), "{name}: {:?}", pages.overflow);
                        assert_eq!(Some(pages.pages.len()), paper.paper.set.pages, "{name}");
                        let (words, letters) = smallest_letters(&pages);
                        assert!(words >= 6.0 - 1e-9, "{name}: words of {words:.1} points");
                        let least = paper.paper.set.letters_least;
                        assert!(letters >= least - 1e-9, "{name}: letters of {letters:.1} points");
                        assert!(least >= 6.0 && (key != "card" || least >= 6.5), "{name}");
                        apart(&name, &pages);
                        let torn = torn(&pages, &(paper.versions)(&brief));
                        assert!(torn.is_empty(), "{name}: {torn:?}");
                    }
                }
            }
        }
    }
}
