//! From above: the track over the ground, entry heading up, with the wind as an arrow that points the way the air goes.

use super::{Fit, Frame};
use crate::numbers::{SIGMAS_OF_95_PERCENT, fixed};
use crate::scene::{Anchor, Mark, Point, Role, Scene, at, round_step};
use crate::trace::{Trace, TraceMark, TracePoint};
use base::factors::{MPS_PER_KT, RAD_PER_DEG};
use base::math::{atan2, cos, hypot, sin};

const WIDTH: f64 = 420.0;
const HEIGHT: f64 = 330.0;
/// Below this the air is called calm.
const CALM_KT: f64 = 0.5;

/// The tracks from above; the first carries labels, wind and north. `None` when there is nothing to draw.
#[must_use]
pub fn plan(traces: &[Trace]) -> Option<Scene> {
    let lead = traces.first().filter(|trace| trace.points.len() > 1)?;
    let mut scene = Scene::new("From above", WIDTH, HEIGHT);
    let mut places: Vec<Point> = traces.iter().flat_map(|t| &t.points).map(above).collect();
    let marks = || traces.iter().flat_map(|trace| &trace.marks);
    places.extend(marks().flat_map(|mark| &mark.line_m).map(on_ground));
    let frame = Frame { left: 40.0, top: 46.0, right: WIDTH - 124.0, bottom: HEIGHT - 40.0 };
    let fit = Fit::new(&places, frame);
    for mark in marks() {
        ground_mark(&mut scene, mark, &fit);
    }
    for trace in traces {
        band(&mut scene, trace, &fit);
        let path = trace.thinned(400).iter().map(|p| fit.place(above(p))).collect();
        scene.chalk(path, trace.role);
    }
    checkpoints(&mut scene, lead, &fit);
    arrows(&mut scene, traces);
    scale_bar(&mut scene, &fit);
    super::legend(&mut scene, traces);
    scene.description = describe(lead);
    Some(scene)
}

fn above(point: &TracePoint) -> Point {
    at(point.right_m, -point.along_m)
}

fn on_ground(&(along_m, right_m): &(f64, f64)) -> Point {
    at(right_m, -along_m)
}

/// What lies on the ground: a line, or a cross in a circle where it is one point; named beside it.
fn ground_mark(scene: &mut Scene, mark: &TraceMark, fit: &Fit) {
    let line: Vec<Point> = mark.line_m.iter().map(|place| fit.place(on_ground(place))).collect();
    let Some(&last) = line.last() else { return };
    if line.len() > 1 {
        scene.polyline(line, Mark::Axis, Role::Ink);
        scene.small(at(last.x + 4.0, last.y - 5.0), mark.name, Anchor::Start, Role::Ink);
        return;
    }
    const REACH: f64 = 5.0;
    scene.circle(last, REACH, Mark::Pointer, Role::Ink);
    for (dx, dy) in [(REACH, 0.0), (0.0, REACH)] {
        let (a, b) = (at(last.x - dx, last.y - dy), at(last.x + dx, last.y + dy));
        scene.line(a, b, Mark::Pointer, Role::Ink);
    }
    scene.small(at(last.x, last.y - 9.0), mark.name, Anchor::Middle, Role::Ink);
}

/// The 95 % band of the place, across the track; nothing for a computed flight.
fn band(scene: &mut Scene, trace: &Trace, fit: &Fit) {
    let points = trace.thinned(240);
    if points.len() < 2 || points.iter().all(|p| p.place_sigma_m == 0.0) {
        return;
    }
    let edge = |sign: f64| -> Vec<Point> {
        (0..points.len())
            .map(|index| {
                let (a, b) = (index.saturating_sub(1), (index + 1).min(points.len() - 1));
                let (dx, dy) =
                    (points[b].right_m - points[a].right_m, points[a].along_m - points[b].along_m);
                let length = hypot(dx, dy).max(1e-6);
                let reach = sign * SIGMAS_OF_95_PERCENT * points[index].place_sigma_m;
                let place = above(&points[index]);
                fit.place(at(place.x - reach * dy / length, place.y + reach * dx / length))
            })
            .collect()
    };
    let outline = edge(1.0).into_iter().chain(edge(-1.0).into_iter().rev()).collect();
    scene.polygon(outline, Mark::Band, trace.role);
}

fn checkpoints(scene: &mut Scene, lead: &Trace, fit: &Fit) {
    let mut written: Vec<Point> = Vec::new();
    for (progress, text) in &lead.checkpoints {
        let Some(point) = lead.at_progress(*progress) else { continue };
        let place = fit.place(above(point));
        scene.circle(place, 3.0, Mark::Dot, lead.role);
        // Where a figure comes by again, the first label stands for all.
        if written.iter().any(|p| hypot(p.x - place.x, p.y - place.y) < 12.0) {
            continue;
        }
        written.push(place);
        // The label stands outside of the turn: to the left of the nose in a right turn.
        let part = lead.parts.iter().rev().find(|(begin, _)| *begin < *progress - 1.0);
        let reach = 20.0 * part.map_or(1.0, |(_, sign)| *sign);
        let azimuth_rad = point.azimuth_deg * RAD_PER_DEG;
        let (x, y) = (place.x - reach * cos(azimuth_rad), place.y - reach * sin(azimuth_rad));
        scene.label(at(x, y + 5.0), text.clone(), Anchor::Middle);
    }
    if let Some(start) = lead.points.first() {
        let place = fit.place(above(start));
        scene.circle(place, 3.5, Mark::Dot, lead.role);
        scene.small(at(place.x, place.y + 17.0), "entry", Anchor::Middle, Role::Muted);
    }
}

/// Wind and north in the right margin, turned with the entry heading. The wind shown is that of the last flight that knows
/// one (an attempt's before the day's).
fn arrows(scene: &mut Scene, traces: &[Trace]) {
    let heading_deg = traces.last().map_or(0.0, |trace| trace.entry_heading_deg);
    let center = at(WIDTH - 42.0, 46.0);
    arrow(scene, center, -heading_deg, 18.0, Role::Muted);
    scene.small(at(center.x, center.y + 36.0), "north", Anchor::Middle, Role::Muted);
    let center = at(WIDTH - 42.0, 132.0);
    let Some((north, east)) = traces.iter().rev().find_map(|trace| trace.wind_mps) else {
        scene.small(center, "wind not known", Anchor::Middle, Role::Muted);
        return;
    };
    let speed_kt = hypot(north, east) / MPS_PER_KT;
    if speed_kt < CALM_KT {
        scene.small(center, "calm", Anchor::Middle, Role::Muted);
        return;
    }
    arrow(scene, center, atan2(east, north) / RAD_PER_DEG - heading_deg, 22.0, Role::Ink);
    let text = crate::numbers::wind(north, east);
    scene.small(at(center.x, center.y + 40.0), "wind", Anchor::Middle, Role::Ink);
    scene.small(at(center.x, center.y + 54.0), text, Anchor::Middle, Role::Ink);
}

/// An arrow through a center, pointing so many degrees clockwise from up.
fn arrow(scene: &mut Scene, center: Point, clockwise_deg: f64, half: f64, role: Role) {
    let angle_rad = clockwise_deg * RAD_PER_DEG;
    let (dx, dy) = (sin(angle_rad), -cos(angle_rad));
    let tip = at(center.x + half * dx, center.y + half * dy);
    scene.line(at(center.x - half * dx, center.y - half * dy), tip, Mark::Pointer, role);
    let barb =
        |sign: f64| at(tip.x - 8.0 * dx + sign * 5.0 * dy, tip.y - 8.0 * dy - sign * 5.0 * dx);
    scene.polyline(vec![barb(1.0), tip, barb(-1.0)], Mark::Pointer, role);
}

fn scale_bar(scene: &mut Scene, fit: &Fit) {
    let length_m = round_step(110.0 / fit.scale, 1.0);
    let length_m = if length_m * fit.scale > 150.0 { length_m / 2.0 } else { length_m };
    let (right, y) = (WIDTH - 12.0, HEIGHT - 14.0);
    let left = right - length_m * fit.scale;
    let bar = vec![at(left, y - 5.0), at(left, y), at(right, y), at(right, y - 5.0)];
    scene.polyline(bar, Mark::Thin, Role::Muted);
    let text = format!("{} m", fixed(length_m, 0));
    scene.small(at((left + right) / 2.0, y - 6.0), text, Anchor::Middle, Role::Muted);
}

fn describe(lead: &Trace) -> String {
    let side = lead
        .points
        .iter()
        .map(|p| p.right_m)
        .fold(0.0, |far: f64, x| if x.abs() > far.abs() { x } else { far });
    let ahead = lead.points.iter().map(|p| p.along_m).fold(0.0, f64::max);
    let way = if side < 0.0 { "left" } else { "right" };
    format!(
        "track over the ground, entry heading up: {} m ahead and {} m to the {way} at the farthest",
        fixed(ahead, 0),
        fixed(side.abs(), 0)
    )
}
