//! Pictures are true: one scale both ways, mirror images for mirrored flights, nothing drawn that is not known.

use crate::made;
use base::math::hypot;
use maneuver::Direction;
use report::pictures;
use report::scene::{Item, Mark, Point, Role, Scene};
use report::trace::Trace;

fn path(scene: &Scene) -> Vec<Point> {
    let main = |item: &Item| match item {
        Item::Polyline(points, style)
            if style.mark == Mark::Stroke && style.role == Role::Reference =>
        {
            Some(points.clone())
        }
        _ => None,
    };
    scene.items.iter().find_map(main).unwrap()
}

fn trace(maneuver: &str, direction: Direction) -> Trace {
    Trace::of_reference(&made::brief(maneuver, direction).sides[0], None)
}

/// Lengths on the map are lengths over the ground, at one scale, whichever way they run.
#[test]
fn prop_plan_has_one_scale() {
    let mut trace = trace("chandelle", Direction::Right);
    trace.points.truncate(300);
    let drawn = path(&pictures::plan(std::slice::from_ref(&trace)).unwrap());
    let (a, b) = (drawn[0], drawn[drawn.len() - 1]);
    let (p, q) = (trace.points[0], trace.points[trace.points.len() - 1]);
    let (across, ahead) =
        ((b.x - a.x) / (q.right_m - p.right_m), (a.y - b.y) / (q.along_m - p.along_m));
    assert!((across / ahead - 1.0).abs() < 1e-9, "{across} {ahead}");
}

#[test]
fn prop_nose_trace_has_the_same_degree_both_ways() {
    let trace = trace("wing-over", Direction::Right);
    let drawn = path(&pictures::nose_trace(std::slice::from_ref(&trace)).unwrap());
    let wide = |get: fn(&Point) -> f64| {
        let of = |pick: fn(f64, f64) -> f64, begin: f64| drawn.iter().map(get).fold(begin, pick);
        of(f64::max, f64::NEG_INFINITY) - of(f64::min, f64::INFINITY)
    };
    let span = |get: fn(&report::trace::TracePoint) -> f64| {
        let of =
            |pick: fn(f64, f64) -> f64, begin: f64| trace.points.iter().map(get).fold(begin, pick);
        of(f64::max, f64::NEG_INFINITY) - of(f64::min, f64::INFINITY)
    };
    let across = wide(|p| p.x) / span(|p| p.azimuth_deg);
    let up = wide(|p| p.y) / span(|p| p.pitch_deg.unwrap().value);
    assert!((across / up - 1.0).abs() < 0.01, "{across} {up}");
}

/// In calm air a left turn is the mirror image of a right one: the point-mass level knows no propeller effects.
#[test]
fn prop_left_mirrors_right() {
    let still = |direction| {
        let mut brief = made::brief("chandelle", direction);
        for sample in &mut brief.sides[0].samples {
            (sample.north_m, sample.east_m) = (sample.air_north_m, sample.air_east_m);
        }
        path(&pictures::outside(&[Trace::of_reference(&brief.sides[0], None)]).unwrap())
    };
    let (left, right) = (still(Direction::Left), still(Direction::Right));
    let middle = (left[0].x + right[0].x) / 2.0;
    for (l, r) in left.iter().zip(&right) {
        assert!(hypot(l.x - middle + r.x - middle, l.y - r.y) < 0.5, "{l:?} {r:?}");
    }
}

#[test]
fn prop_no_nose_trace_without_pitch() {
    let brief = made::brief("chandelle", Direction::Left);
    let mut debrief = made::debrief("lesson.csv", &brief.sides[0]);
    debrief.motion.pitch_rad = None;
    let trace = Trace::of_attempt(&debrief.attempts[0], &debrief.motion).unwrap();
    assert!(pictures::nose_trace(std::slice::from_ref(&trace)).is_none());
    assert!(pictures::curves(&[trace]).is_some());
}

#[test]
fn prop_an_attempt_has_its_band() {
    let brief = made::brief("chandelle", Direction::Left);
    let debrief = made::debrief("lesson.csv", &brief.sides[0]);
    let trace = Trace::of_attempt(&debrief.attempts[0], &debrief.motion).unwrap();
    let bands = |scene: Scene| {
        let band =
            |item: &&Item| matches!(item, Item::Polygon(_, style) if style.mark == Mark::Band);
        scene.items.iter().filter(band).count()
    };
    assert_eq!(bands(pictures::curves(std::slice::from_ref(&trace)).unwrap()), 4);
    assert_eq!(bands(pictures::plan(&[trace]).unwrap()), 1);
}

/// The bank that a standard asks for stands where it is held, on the side that was flown, in the scale of the strip.
#[test]
fn prop_the_bank_that_is_wanted_is_drawn_on_the_side_flown() {
    for side in [Direction::Left, Direction::Right] {
        let flight = &made::brief("steep-turn", side).sides[0];
        let mut debrief = made::debrief("steep", flight);
        let words = |debrief: &assess::debrief::Debrief| {
            let trace = Trace::of_attempt(&debrief.attempts[0], &debrief.motion).unwrap();
            let scene = pictures::curves(&[trace]).unwrap();
            let edges: Vec<f64> = scene
                .items
                .iter()
                .filter_map(|item| match item {
                    Item::Line(a, b, style)
                        if style.mark == Mark::Stroke && style.role == Role::Limit =>
                    {
                        assert!((a.y - b.y).abs() < 1e-9 && b.x > a.x);
                        Some(a.y)
                    }
                    _ => None,
                })
                .collect();
            let said = scene.items.iter().any(
                |item| matches!(item, Item::Text(_, text, ..) if text.as_str() == "45 to 55°"),
            );
            (edges, said)
        };
        assert_eq!(words(&debrief), (Vec::new(), false), "nothing is asked");
        let part = &mut debrief.attempts[0].parts[0];
        part.direction = Some(side);
        let row = &mut part.findings[0];
        row.id = "bank".into();
        (row.low, row.high, row.seconds_outside) = (Some(45.0), Some(55.0), Some(0.0));
        let (edges, said) = words(&debrief);
        assert!(said && edges.len() == 2, "{edges:?}");
        // edges go up with the bank, to the right positive
        assert!(edges[0] > edges[1], "{edges:?}");
        let trace = Trace::of_attempt(&debrief.attempts[0], &debrief.motion).unwrap();
        let bank = if side == Direction::Left { [-55.0, -45.0] } else { [45.0, 55.0] };
        let drawn = trace.banks_wanted[0].bank_deg;
        assert!(drawn.iter().zip(bank).all(|(a, b)| (a - b).abs() < 1e-9), "{drawn:?}");
    }
}
