//! What a recording holds, as document and pictures.

use recording::formats::ReadOptions;
use recording::{Fix, Gap, HeightDatum, QuantityKind, Recording, Series, read, read_with_columns};
use report::model::Block;
use report::{pictures, render};

/// Ten minutes of an invented flight as a table: a square of turns, a hole of twenty seconds, bank at the rate of the rows.
fn table() -> String {
    let mut out = String::from("time,latitude,longitude,AltMSL (ft),GndSpd,Roll\n");
    let (mut north, mut east) = (0.0_f64, 0.0_f64);
    for second in (0..600).filter(|second| !(300..320).contains(second)) {
        let leg = second / 60 % 4;
        let (dn, de) = [(50.0, 0.0), (0.0, 50.0), (-50.0, 0.0), (0.0, -50.0)][leg];
        (north, east) = (north + dn, east + de);
        let bank = if second % 60 < 4 { 30.0 } else { f64::from(second as u32 % 3) * 0.5 };
        out += &format!(
            "{second},{:.6},{:.6},{},97.2,{bank}\n",
            46.0 + north / 111_195.0,
            8.0 + east / 77_240.0,
            3000 + second
        );
    }
    out
}

fn recording() -> Recording {
    read(table().as_bytes(), &ReadOptions { name: "square.csv".into(), ..ReadOptions::default() })
        .unwrap()
}

#[test]
fn golden_what_a_table_holds_in_words() {
    let options = ReadOptions { name: "square.csv".into(), ..ReadOptions::default() };
    let (recording, columns) = read_with_columns(table().as_bytes(), &options).unwrap();
    let document = report::recorded::document(&recording, Some(&columns));
    let text = String::from_utf8(render::text(&document)).unwrap();
    insta::assert_snapshot!(text);
}

#[test]
fn prop_pictures_show_holes_and_say_what_can_be_read_off() {
    let recording = recording();
    let held = recording::summary::held(&recording);
    let track = pictures::ground_track(&recording).unwrap();
    let track = render::scene_svg(&track);
    assert_eq!(track.matches("class=\"drop muted\"").count(), 1);
    assert!(
        track.contains("north up") && track.contains(" NM</text>") || track.contains(" m</text>"),
        "{track}"
    );
    let curves = render::scene_svg(&pictures::recorded_curves(&recording, &held).unwrap());
    for part in ["height 3000 to 3599 ft", "ground speed 97 to 97 kt", "bank 0 to 30 °"] {
        assert!(curves.contains(part), "{part}: {curves}");
    }
    // each of three curves is cut at the hole
    assert_eq!(curves.matches("class=\"flown attempt\"").count(), 6);
    let bars = render::scene_svg(&pictures::availability(&recording, &held).unwrap());
    assert_eq!(bars.matches("class=\"ribbon top attempt\"").count(), 2 * held.len());
    assert!(bars.contains(">1 Hz<"), "{bars}");
}

#[test]
fn prop_odd_recordings_are_drawn_or_left_without_a_picture() {
    let empty =
        Recording { fixes: Vec::new(), series: Vec::new(), gaps: Vec::new(), ..recording() };
    assert!(
        report::recorded::document(&empty, None)
            .blocks
            .iter()
            .all(|block| !matches!(block, Block::Figure(_)))
    );
    let one = Recording {
        fixes: recording().fixes[..1].to_vec(),
        series: Vec::new(),
        gaps: Vec::new(),
        ..recording()
    };
    let _ = render::html(&report::recorded::document(&one, None));
    // across the date line the track is as long as anywhere
    let fix = |time_s: f64, longitude_deg: f64| Fix {
        time_s,
        latitude_deg: 0.0,
        longitude_deg,
        height_m: None,
        ground_speed_mps: None,
        track_deg: None,
        climb_mps: None,
    };
    let dateline = Recording {
        fixes: vec![fix(0.0, 179.99), fix(20.0, -179.99), fix(40.0, -179.97)],
        height_datum: HeightDatum::NotStated,
        series: vec![Series {
            quantity: QuantityKind::DeviceForceXMps2,
            origin: "a".into(),
            times_s: vec![0.0],
            values: vec![1.0],
        }],
        gaps: vec![Gap { from_s: 0.0, to_s: 20.0 }],
        ..recording()
    };
    let track = pictures::ground_track(&dateline).unwrap();
    assert!(track.description.contains(" 2.4 NM from the start"), "{}", track.description);
    let _ = render::html(&report::recorded::document(&dateline, None));
}

/// Slow flight is told by no side, but its reference has one: beside an attempt it turns as was first turned.
#[test]
fn prop_the_side_of_a_figure_that_tells_none_is_that_of_its_first_turn() {
    use maneuver::Direction;
    for side in [Direction::Left, Direction::Right] {
        let brief = crate::made::brief("slow-flight", side);
        let mut debrief = crate::made::debrief("slow", &brief.sides[0]);
        let attempt = &mut debrief.attempts[0];
        attempt.direction = None;
        (attempt.start_s, attempt.end_s) = (0.0, 1e6);
        assert_eq!(attempt.side(&debrief.motion), Some(side));
        // what the figure tells goes first
        attempt.direction = Some(side.opposite());
        assert_eq!(attempt.side(&debrief.motion), Some(side.opposite()));
        // what is flown before the turn has no side
        attempt.direction = None;
        attempt.end_s = 10.0;
        assert_eq!(attempt.side(&debrief.motion), None);
    }
}
