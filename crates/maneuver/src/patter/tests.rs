//! Words of every maneuver on every airplane that comes with the program; files there and back; times.

mod claims;

use super::{
    BREATH_S, PLACEHOLDERS, Script, SecondsFit, SpeakingRate, Voice, fill, sheet, spoken_words,
};
use crate::brief::{Brief, BriefRequest, Sides, brief};
use crate::catalog;
use crate::definition::{Maneuver, When};
use crate::eye::SeatSide;
use flight::air::Day;
use flight::airplane::bundled;
use flight::wind::Wind;

fn flown(maneuver: &'static dyn Maneuver, form: crate::Form, airplane: &str) -> Brief {
    let airplane = bundled::load(airplane).unwrap();
    let request = BriefRequest {
        form: Some(form),
        sides: Sides::Both,
        mass: None,
        height: None,
        hands: false,
        seat: SeatSide::Left,
        speed: None,
        day: Day::standard(),
        field_told: true,
        ..BriefRequest::default()
    };
    brief(maneuver, &airplane, &request)
}

/// Every maneuver and form on every airplane that flies it, with its words.
fn each(mut check: impl FnMut(&Brief, &Script)) {
    for maneuver in catalog::ALL {
        for form in maneuver.forms() {
            for (airplane, _) in bundled::ALL {
                check(&flown(*maneuver, *form, airplane), &Script::of(*maneuver, form, Wind::CALM));
            }
        }
    }
}

#[test]
fn prop_every_exercise_has_words_and_a_hazard_has_none() {
    for maneuver in catalog::ALL {
        let spoken = maneuver.forms().iter().any(|form| !maneuver.script(form, false).is_empty());
        assert_eq!(spoken, maneuver.hazard().is_none(), "{}", maneuver.id());
    }
}

#[test]
fn prop_words_stand_at_places_the_figure_has_in_rising_order() {
    for maneuver in catalog::ALL {
        let shape = maneuver.shape();
        for (form, calm) in maneuver.forms().iter().flat_map(|form| [(form, false), (form, true)]) {
            let mut last = (0, -1.0);
            for line in maneuver.script(form, calm) {
                let key = format!("{} {}: {}", maneuver.id(), form.key, line.short);
                assert!(line.part < shape.parts, "{key}");
                let last_part = line.when != When::After || line.part + 1 == shape.parts;
                assert!(last_part, "{key}: said after the whole figure");
                assert!((0.0..=shape.span_deg).contains(&line.value_at_deg), "{key}");
                let place = match line.when {
                    When::Before => -1.0,
                    When::At(at) => at,
                    When::After => f64::INFINITY,
                };
                let comes_after = line.part > last.0 || place > last.1 || place < 0.0;
                assert!(comes_after, "{key}");
                assert!(place < 0.0 || place == f64::INFINITY || place <= shape.span_deg, "{key}");
                last = (line.part, place);
                for text in [line.demonstrating, line.directing, line.monitoring, line.short] {
                    assert!(fill::unknown_places(text).is_empty(), "{key}: {text}");
                    assert!(!text.is_empty() && text.ends_with(['.', '?', ':']), "{key}: {text}");
                }
            }
        }
    }
}

/// In calm air no sentence tells of a wind that is not there.
#[test]
fn prop_in_calm_air_nothing_is_said_of_a_wind() {
    const OF_A_WIND: &[&str] =
        &["downwind", "upwind", "crosswind", "the wind", "wind behind", "drift?"];
    for maneuver in catalog::ALL {
        for line in maneuver.forms().iter().flat_map(|form| maneuver.script(form, true)) {
            for text in [line.demonstrating, line.directing, line.monitoring, line.short] {
                let text = text.to_lowercase();
                let told = OF_A_WIND.iter().find(|words| text.contains(*words));
                assert!(told.is_none() && text != "wind?", "{}: {text}", maneuver.id());
            }
        }
    }
}

/// Every sentence is said: in full, or short; none runs into the next one at the usual speaking rate.
#[test]
fn prop_words_fit_their_seconds() {
    let mut said = 0;
    each(|brief, script| {
        for flight in &brief.sides {
            for voice in Voice::ALL {
                let sheet = sheet(flight, script, voice, SpeakingRate::USUAL);
                assert_eq!(sheet.lines.len(), script.lines.len());
                for line in &sheet.lines {
                    let told = format!("{} {} {voice:?}: {line:?}", script.maneuver, script.form);
                    let fits = matches!(line.fit, SecondsFit::Full | SecondsFit::Short { .. });
                    assert!(fits, "{told}");
                    assert!(!line.text.contains(['{', '}']), "{told}");
                    let room = line.window_s.is_none_or(|w| line.seconds + BREATH_S <= w);
                    assert!(room, "{told}");
                    said += 1;
                }
                for pair in sheet.lines.windows(2) {
                    let end_s = pair[0].time_s + pair[0].seconds;
                    assert!(end_s <= pair[1].time_s + 1e-9, "{} {pair:?}", script.maneuver);
                }
            }
        }
    });
    assert!(said > 300, "{said}");
}

#[test]
fn prop_a_faster_speaker_never_says_less() {
    let brief = flown(
        catalog::find("wing-over").unwrap(),
        catalog::find("wing-over").unwrap().forms()[0],
        "plover-160",
    );
    let script = Script::of(brief.maneuver, &brief.form, Wind::CALM);
    let full = |wpm: f64| {
        let rate = SpeakingRate::from_wpm(wpm).unwrap();
        let sheet = sheet(&brief.sides[0], &script, Voice::Demonstrating, rate);
        sheet.lines.iter().filter(|line| line.fit == SecondsFit::Full).count()
    };
    assert!(full(240.0) >= full(150.0) && full(150.0) >= full(80.0));
    assert!(full(240.0) > full(80.0));
    let slow = SpeakingRate::from_wpm(60.0).unwrap();
    let slow = sheet(&brief.sides[0], &script, Voice::Demonstrating, slow);
    assert!(slow.lines.iter().any(|line| line.warning().is_some()));
    assert!(SpeakingRate::from_wpm(20.0).is_none() && SpeakingRate::from_wpm(f64::NAN).is_none());
}

#[test]
fn prop_what_is_written_is_read_back() {
    for maneuver in catalog::ALL {
        for form in maneuver.forms().iter().filter(|form| !maneuver.script(form, false).is_empty())
        {
            let script = Script::of(*maneuver, form, Wind::CALM);
            let read = Script::from_toml(&script.to_toml(), "own.toml", *maneuver, form).unwrap();
            assert_eq!(read.lines, script.lines);
            assert_eq!(read.own.as_deref(), Some("own.toml"));
        }
    }
}

#[test]
fn every_fault_of_a_script_is_told_with_its_line() {
    let chandelle = catalog::find("chandelle").unwrap();
    let told = |text: &str| {
        let read = Script::from_toml(text, "own.toml", chandelle, &chandelle.forms()[0]);
        read.expect_err("must be refused").to_string()
    };
    let line = |when: &str, rest: &str| {
        format!(
            "maneuver = \"chandelle\"\n[[line]]\nwhen = \"{when}\"\n{rest}demonstrating = \"Roll {{bank}}.\"\ndirecting = \"a\"\nmonitoring = \"b\"\nshort = \"c\"\n"
        )
    };
    let read = |text: &str| Script::from_toml(text, "own.toml", chandelle, &chandelle.forms()[0]);
    assert!(read(&line("at 45", "")).is_ok());
    assert!(told("maneuver = \"chandelle\"\n").contains("no sentence"));
    assert!(
        told(&line("at 45", "").replace("chandelle", "loop"))
            .contains("line 1: these are words for \"loop\"")
    );
    assert!(told(&line("at 270", "")).contains("line 3: the figure has no place 270"));
    assert!(told(&line("soon", "")).contains("\"soon\" is no place"));
    assert!(told(&line("at 45", "part = 2\n")).contains("part is 2"));
    assert!(told(&line("at 45", "").replace("{bank}", "{banc}")).contains("{banc} is not known"));
    assert!(told(&line("at 45", "").replace("{bank}", "{bank")).contains("is not known"));
    assert!(told(&line("at 45", "").replace("short", "shrt")).contains("shrt is not known"));
    assert!(
        told(&line("at 45", "").replace("Roll", &"Roll ".repeat(100))).contains("letters long")
    );
    assert!(told("maneuver = \"chandelle\"\nform = \"steep\"\n").contains("form \"steep\""));
    assert!(told("[[line").contains("line 1"));
}

#[test]
fn numbers_are_counted_as_they_are_spoken() {
    for (text, words) in [
        ("", 0),
        ("Roll left.", 2),
        ("30", 1),
        ("97 knots", 3),
        ("104", 3),
        ("3,500 feet", 5),
        ("1.8", 3),
        ("Wing-over: go!", 3),
        ("... -", 0),
        ("12,345", 6),
    ] {
        assert_eq!(spoken_words(text), words, "{text}");
    }
    assert!((SpeakingRate::USUAL.seconds(150) - 60.0).abs() < 1e-12);
}

#[test]
fn values_come_from_the_place_quoted() {
    let chandelle = catalog::find("chandelle").unwrap();
    let brief = flown(chandelle, chandelle.forms()[0], "plover-160");
    let script = Script::of(chandelle, &chandelle.forms()[0], Wind::CALM);
    for flight in &brief.sides {
        let sheet = sheet(flight, &script, Voice::Directing, SpeakingRate::USUAL);
        let first = &sheet.lines[0];
        assert!(first.text.contains(flight.direction.word()), "{}", first.text);
        assert!(first.time_s < 0.0);
        let roll = sheet.lines.iter().find(|line| line.when == When::At(0.0)).unwrap();
        assert!(roll.text.contains("30"), "{}", roll.text);
    }
    assert!(PLACEHOLDERS.iter().all(|(name, what)| !name.is_empty() && !what.is_empty()));
}
