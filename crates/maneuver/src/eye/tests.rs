//! The picture from the seat, against cases that can be worked out on paper.

use super::{Direction as Sight, Geometry, SeatSide, Window, direction, eye};
use crate::catalog;
use crate::definition::Direction;
use crate::reference::{Entry, ReferenceFlight};
use base::factors::RAD_PER_DEG;
use base::frames::{Attitude, Ned, Vec3};
use base::kinds::{GeometricHeight, TrueHeading};
use flight::air::Day;
use flight::airplane::{Airplane, bundled};

fn flown(airplane: &Airplane, id: &str, direction: Direction) -> ReferenceFlight {
    let maneuver = catalog::find(id).unwrap();
    let entry = Entry {
        form: maneuver.forms()[0],
        direction,
        mass: airplane.masses.typical,
        height: GeometricHeight::from_ft(4500.0),
        heading: TrueHeading::from_deg(350.0),
        speed: None,
    };
    maneuver.fly(airplane, &Day::standard(), &entry).unwrap()
}

fn seen(heading_deg: f64, pitch_deg: f64, bank_deg: f64, azimuth_deg: f64) -> Sight {
    let attitude = Attitude {
        heading_rad: heading_deg * RAD_PER_DEG,
        pitch_rad: pitch_deg * RAD_PER_DEG,
        bank_rad: bank_deg * RAD_PER_DEG,
    };
    direction(attitude.body_from_ned().apply(Vec3::<Ned>::new(
        base::math::cos(azimuth_deg * RAD_PER_DEG),
        base::math::sin(azimuth_deg * RAD_PER_DEG),
        0.0,
    )))
}

#[test]
fn a_landmark_stands_where_trigonometry_puts_it() {
    // level: azimuth is the difference of headings
    let level = seen(20.0, 0.0, 0.0, 65.0);
    assert!((level.azimuth_deg - 45.0).abs() < 1e-9 && level.elevation_deg.abs() < 1e-9);
    // nose up 10: what is ahead sinks by 10
    let up = seen(0.0, 10.0, 0.0, 0.0);
    assert!((up.elevation_deg + 10.0).abs() < 1e-9 && up.azimuth_deg.abs() < 1e-9);
    // 30 of bank to the right: what is abeam on the right rises by 30, it stands over the low wing
    let abeam = seen(0.0, 0.0, 30.0, 90.0);
    assert!((abeam.elevation_deg - 30.0).abs() < 1e-9 && (abeam.azimuth_deg - 90.0).abs() < 1e-9);
}

#[test]
fn the_horizon_ahead_follows_pitch_and_bank() {
    let airplane = bundled::load("plover-160").unwrap();
    for direction in [Direction::Left, Direction::Right] {
        let flight = flown(&airplane, "chandelle", direction);
        let eye = eye(&flight, &airplane, SeatSide::Left, 0.0);
        for (view, checkpoint) in eye.views.iter().zip(&flight.parts[0].checkpoints) {
            let (pitch, bank) = (checkpoint.sample.pitch_rad, checkpoint.sample.bank_rad);
            let wanted = -base::math::atan(base::math::tan(pitch) / base::math::cos(bank));
            let found = view.horizon_ahead_deg.unwrap();
            assert!((found - wanted / RAD_PER_DEG).abs() < 1e-9, "{view:?}");
            assert!((view.horizon_tilt_deg - bank / RAD_PER_DEG).abs() < 1e-9);
        }
        // the landmark of the 90-degree point is straight ahead when the nose has turned 90 degrees
        let at_90 = eye.views[2].sights.iter().find(|s| s.name == "90-degree reference").unwrap();
        let level = eye.views[2].horizon_ahead_deg.unwrap();
        assert!(at_90.direction.azimuth_deg.abs() < 12.0, "{at_90:?}");
        // and on the tilted line of the horizon
        let tilt = base::math::tan(eye.views[2].horizon_tilt_deg * RAD_PER_DEG);
        let line = level + tilt * at_90.direction.azimuth_deg;
        assert!((at_90.direction.elevation_deg - line).abs() < 1.0, "{at_90:?} {line}");
    }
}

/// Side by side in the left seat the nose seems to rise in a left turn and to sink in a right one. Source: AFH-3A page 3-11.
#[test]
fn val_parallax_of_the_left_seat() {
    let airplane = bundled::load("plover-160").unwrap();
    let at_180 = |direction, side| {
        let flight = flown(&airplane, "steep-turn", direction);
        eye(&flight, &airplane, side, 0.0).views[2].parallax_deg
    };
    let (left, right) =
        (at_180(Direction::Left, SeatSide::Left), at_180(Direction::Right, SeatSide::Left));
    assert!(left > 3.0 && right < -3.0, "{left} {right}");
    assert!((at_180(Direction::Right, SeatSide::Right) - left).abs() < 1e-6);
}

#[test]
fn tandem_has_no_parallax() {
    let airplane = bundled::load("sandpiper-550").unwrap();
    let flight = flown(&airplane, "steep-turn", Direction::Left);
    let eye = eye(&flight, &airplane, SeatSide::Right, 0.0);
    assert_eq!(eye.side, SeatSide::Tandem);
    assert!(eye.views.iter().all(|view| view.parallax_deg.abs() < 1e-9));
}

#[test]
fn regress_abeam_right_lies_to_the_right_of_a_figure_to_the_left_too() {
    let airplane = bundled::load("sandpiper-550").unwrap();
    for direction in [Direction::Left, Direction::Right] {
        let eye = eye(&flown(&airplane, "loop", direction), &airplane, SeatSide::Tandem, 0.0);
        for (name, azimuth_deg) in [("abeam, right", 90.0), ("abeam, left", -90.0)] {
            let sight = eye.views[0].sights.iter().find(|sight| sight.name == name).unwrap();
            assert!((sight.direction.azimuth_deg - azimuth_deg).abs() < 1.0, "{sight:?}");
        }
    }
}

#[test]
fn prop_left_mirrors_right_from_the_middle() {
    let airplane = bundled::load("sandpiper-550").unwrap();
    for maneuver in catalog::ALL {
        let entry = |direction| Entry {
            form: maneuver.forms()[0],
            direction,
            mass: airplane.masses.typical,
            height: GeometricHeight::from_ft(4500.0),
            heading: TrueHeading::from_deg(0.0),
            speed: None,
        };
        let fly = |direction| maneuver.fly(&airplane, &Day::standard(), &entry(direction));
        let (Ok(left), Ok(right)) = (fly(Direction::Left), fly(Direction::Right)) else { continue };
        let see = |flight| eye(flight, &airplane, SeatSide::Tandem, 0.0);
        for (l, r) in see(&left).views.iter().zip(&see(&right).views) {
            assert!((l.tips_over_horizon_deg[0] - r.tips_over_horizon_deg[1]).abs() < 1e-6);
            for (one, other) in l.sights.iter().zip(&r.sights).filter(|(one, _)| {
                // abeam points are named by their side and points dead astern may flip
                !one.name.contains("abeam") && one.direction.azimuth_deg.abs() < 179.0
            }) {
                let sum = one.direction.azimuth_deg + other.direction.azimuth_deg;
                assert!(sum.abs() < 1e-6, "{}: {one:?} {other:?}", maneuver.id());
            }
        }
    }
}

#[test]
fn the_wing_hides_what_is_behind_it() {
    let airplane = bundled::load("plover-160").unwrap();
    let geometry = Geometry::new(&airplane, SeatSide::Left);
    let tip = direction(geometry.tips_m()[1]);
    assert!(tip.azimuth_deg > 80.0 && tip.elevation_deg < 0.0, "{tip:?}");
    let look = |azimuth_deg, elevation_deg| geometry.window(Sight { azimuth_deg, elevation_deg });
    assert_eq!(look(tip.azimuth_deg, tip.elevation_deg - 5.0), Window::BehindWing);
    assert_eq!(look(tip.azimuth_deg, tip.elevation_deg + 5.0), Window::Right);
    assert_eq!(look(0.0, -10.0), Window::BehindCowl);
    assert_eq!(look(0.0, 0.0), Window::Ahead);
    assert_eq!(look(170.0, 0.0), Window::OutOfSight);
    assert_eq!(look(-80.0, 70.0), Window::Above);
}
