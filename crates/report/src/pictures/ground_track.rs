//! The whole recording from above: north up, one scale both ways, holes dotted.

use super::{Fit, Frame};
use crate::numbers::{clock, fixed};
use crate::scene::{Anchor, Mark, Point, Role, Scene, at, round_step};
use base::factors::{M_PER_NM, RAD_PER_DEG};
use base::math::{cos, hypot, wrap_pi};
use recording::{Fix, Recording};

const WIDTH: f64 = 860.0;
const HEIGHT: f64 = 460.0;
/// Most points of the line: steps below a pixel are not seen.
const POINTS_MAX: usize = 4000;
/// A hole is dotted when the positions beside it are so far apart; a shorter one is drawn over.
const HOLE_LEAST: f64 = 4.0;
/// Mean radius of the earth, m: plenty for a picture.
const EARTH_RADIUS_M: f64 = 6_371_000.0;

/// The track over the ground. `None` without two positions.
#[must_use]
pub fn ground_track(recording: &Recording) -> Option<Scene> {
    let fixes = &recording.fixes;
    let first = fixes.first().filter(|_| fixes.len() > 1)?;
    let middle_rad = middle_latitude_rad(fixes);
    let place = |fix: &Fix| -> Point {
        let north = EARTH_RADIUS_M * (fix.latitude_deg - first.latitude_deg) * RAD_PER_DEG;
        let turned = wrap_pi((fix.longitude_deg - first.longitude_deg) * RAD_PER_DEG);
        at(EARTH_RADIUS_M * turned * cos(middle_rad), -north)
    };
    let places: Vec<Point> = fixes.iter().map(place).collect();
    let frame = Frame { left: 70.0, top: 30.0, right: WIDTH - 110.0, bottom: HEIGHT - 30.0 };
    let fit = Fit::new(&places, frame);
    let mut scene = Scene::new("From above", WIDTH, HEIGHT);
    track(&mut scene, recording, &places, &fit);
    let ends = [(0, "start"), (fixes.len() - 1, "end")];
    let near = {
        let [a, b] = [fit.place(places[0]), fit.place(places[fixes.len() - 1])];
        hypot(a.x - b.x, a.y - b.y) < 40.0
    };
    for (index, word) in ends {
        let place = fit.place(places[index]);
        scene.circle(place, 3.5, Mark::Dot, Role::Attempt);
        let word = if near { "start and end" } else { word };
        if !(near && index > 0) {
            scene.small(at(place.x, place.y + 17.0), word, Anchor::Middle, Role::Muted);
        }
    }
    north(&mut scene);
    scale_bar(&mut scene, &fit);
    scene.description = describe(recording, &places);
    Some(scene)
}

fn middle_latitude_rad(fixes: &[Fix]) -> f64 {
    let range = fixes.iter().fold((90.0_f64, -90.0_f64), |(low, high), fix| {
        (low.min(fix.latitude_deg), high.max(fix.latitude_deg))
    });
    0.5 * (range.0 + range.1) * RAD_PER_DEG
}

/// Solid where there are fixes, dotted over holes.
fn track(scene: &mut Scene, recording: &Recording, places: &[Point], fit: &Fit) {
    let step = places.len().div_ceil(POINTS_MAX).max(1);
    let mut gaps = recording.gaps.iter().peekable();
    let mut line: Vec<Point> = Vec::new();
    for (index, fix) in recording.fixes.iter().enumerate() {
        let gap = gaps.next_if(|gap| fix.time_s >= gap.to_s).is_some() && index > 0;
        let begins = gap && {
            let (from, to) = (fit.place(places[index - 1]), fit.place(places[index]));
            hypot(to.x - from.x, to.y - from.y) > HOLE_LEAST
        };
        if begins {
            let from = fit.place(places[index - 1]);
            line.push(from);
            scene.polyline(std::mem::take(&mut line), Mark::Flown, Role::Attempt);
            scene.line(from, fit.place(places[index]), Mark::Drop, Role::Muted);
        }
        if begins || index % step == 0 || index + 1 == places.len() {
            line.push(fit.place(places[index]));
        }
    }
    scene.polyline(line, Mark::Flown, Role::Attempt);
}

fn north(scene: &mut Scene) {
    let (x, y) = (WIDTH - 42.0, 46.0);
    let tip = at(x, y - 18.0);
    scene.line(at(x, y + 18.0), tip, Mark::Pointer, Role::Muted);
    let barbs = vec![at(x - 5.0, y - 10.0), tip, at(x + 5.0, y - 10.0)];
    scene.polyline(barbs, Mark::Pointer, Role::Muted);
    scene.small(at(x, y + 36.0), "north", Anchor::Middle, Role::Muted);
}

fn scale_bar(scene: &mut Scene, fit: &Fit) {
    let (unit_m, unit) = if 120.0 / fit.scale > M_PER_NM { (M_PER_NM, "NM") } else { (1.0, "m") };
    let count = round_step(90.0 / (fit.scale * unit_m), 1.0);
    let length = count * unit_m * fit.scale;
    let (right, y) = (WIDTH - 12.0, HEIGHT - 14.0);
    let left = right - length;
    let bar = vec![at(left, y - 5.0), at(left, y), at(right, y), at(right, y - 5.0)];
    scene.polyline(bar, Mark::Thin, Role::Muted);
    let text = format!("{} {unit}", fixed(count, 0));
    scene.small(at(f64::midpoint(left, right), y - 6.0), text, Anchor::Middle, Role::Muted);
}

fn describe(recording: &Recording, places: &[Point]) -> String {
    let far = places.iter().map(|place| hypot(place.x, place.y)).fold(0.0, f64::max);
    format!(
        "track over the ground, north up: {} positions over {}, {} NM from the start at the farthest, holes dotted",
        recording.fixes.len(),
        clock(recording.duration_s()),
        fixed(far / M_PER_NM, 1)
    )
}
