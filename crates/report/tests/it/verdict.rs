//! What the first lines of a brief say and with which sign; places by name; what lies beside the schedule.

use flight::air::Day;
use flight::airplane::bundled;
use maneuver::brief::{Brief, BriefRequest, brief};
use maneuver::{Direction, catalog};
use report::render;

use crate::made;

fn told(id: &str, airplane: &str, change: impl Fn(&mut BriefRequest)) -> Brief {
    let mut request =
        BriefRequest { day: Day::standard(), field_told: true, ..BriefRequest::default() };
    change(&mut request);
    brief(catalog::find(id).unwrap(), &bundled::load(airplane).unwrap(), &request)
}

fn rendered(brief: &Brief, key: &str) -> String {
    let document = report::brief::document(brief);
    String::from_utf8((render::find(key).unwrap().render)(&document)).unwrap()
}

/// Lines as one text: where a line ends is not what is tested.
fn words(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// High above its floor with every limit kept, and with what becomes of it told: no tick stands beside a verdict of a hazard.
#[test]
fn prop_a_hazard_never_gets_an_approving_sign() {
    let hazard = told("split-s", "sandpiper-550", |r| {
        r.height = Some(base::kinds::GeometricHeight::from_ft(9000.0));
        r.fit = true;
    });
    let text = rendered(&hazard, "text");
    assert!(words(&text).contains("! a hazard, shown with its checks"), "{text}");
    assert!(!text.contains("within computed limits"), "{text}");
    let page = rendered(&hazard, "html");
    assert!(page.contains("tone hazard") && !page.contains("within computed limits"));
    let json = wire::to_json(&wire::brief::Brief::from(&hazard));
    assert!(json.contains("a hazard, shown with its checks"));
}

#[test]
fn prop_what_is_outside_says_because() {
    let text = rendered(&told("loop", "plover-160", |_| {}), "text");
    assert!(words(&text).contains("✗ outside limits, because • loop is not among"), "{text}");
}

/// Phases have names wherever they are told: at the checkpoints, from the seat, in the hands, in the words.
#[test]
fn prop_phases_are_told_by_name() {
    let brief = made::brief("power-on-stall", Direction::Left);
    let text = rendered(&brief, "text");
    let row = |line: &&str| line.starts_with("4 lower the");
    assert_eq!(text.lines().filter(row).count(), 3, "checkpoints, seat, hands: {text}");
    assert!(!words(&text).contains("at 300 degrees"));
    let json = wire::to_json(&wire::brief::Brief::from(&brief));
    assert!(
        json.contains("\"phase\": \"full stall\"") || json.contains("\"phase\":\"full stall\"")
    );
}

/// What is fixed to the ground is not carried by the wind; what is not, is.
#[test]
fn prop_the_wind_carries_no_figure_of_the_ground() {
    let fixed = words(&rendered(&made::brief("turns-around-a-point", Direction::Left), "text"));
    assert!(fixed.contains("fixed to the ground") && !fixed.contains("the wind carries"));
    let loose = words(&rendered(&made::brief("chandelle", Direction::Left), "text"));
    assert!(loose.contains("the wind carries the whole"), "{loose}");
}

#[test]
fn prop_the_best_gain_is_labelled_as_what_it_is() {
    let brief = made::brief("chandelle", Direction::Left);
    let text = words(&rendered(&brief, "text"));
    assert!(text.contains("Greatest gain in the same time: no target"), "{text}");
    assert!(rendered(&brief, "html").contains("greatest gain, no target"));
    let json: serde_json::Value =
        serde_json::from_str(&wire::to_json(&wire::brief::Brief::from(&brief))).unwrap();
    let side = &json["sides"][0];
    let gain_ft = side["best_gain"]["gain_ft"].as_f64().unwrap();
    assert!(gain_ft > side["extremes"]["height_gain_max_ft"].as_f64().unwrap());
    assert_eq!(side["best_gain"]["path"]["time_s"][0], 0.0);
    assert!(!rendered(&made::brief("lazy-eight", Direction::Left), "text").contains("no target"));
}
