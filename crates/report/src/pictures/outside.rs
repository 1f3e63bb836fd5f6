//! From outside: the path in space with a ribbon that shows the bank, its shadow on a plane below, drop lines at the
//! checkpoints. A pinhole view from behind the entry, above and on the outer side of the first turn; of loops and rolls from
//! the side, or a loop would be a line.

use super::{Fit, Frame};
use crate::scene::{Anchor, Mark, Point, Role, Scene, at, round_step};
use crate::trace::{Trace, TracePoint};
use base::factors::{M_PER_FT, RAD_PER_DEG};
use base::frames::{Attitude, Body, Vec3};
use base::math::{cos, sin};
use maneuver::definition::Progress;

const WIDTH: f64 = 420.0;
const HEIGHT: f64 = 330.0;
/// The drawn plane lies this far below entry, or below the lowest point when that is lower.
const PLANE_BELOW_FT: f64 = 200.0;
/// Elevation of the eye as seen from the middle of the flight, and its bearing off the entry heading.
const EYE_TURN_DEG: (f64, f64) = (30.0, 22.0);
const EYE_LOOP_DEG: (f64, f64) = (14.0, 62.0);
const EYE_ROLL_DEG: (f64, f64) = (20.0, 48.0);
/// Distance of the eye in radii of the flight.
const EYE_RADII: f64 = 4.0;
/// Half width of the ribbon: about three wings of a light airplane, or a share of a large flight.
const RIBBON_HALF_M: f64 = 17.0;
const RIBBON_SHARE: f64 = 40.0;

type Space = [f64; 3];

/// The flights from outside; the first one carries labels, the last of those flown or to be flown the ribbon. `None` when there is nothing to draw.
#[must_use]
pub fn outside(traces: &[Trace]) -> Option<Scene> {
    let lead = traces.first().filter(|trace| trace.points.len() > 1)?;
    let side = lead.parts.first().map_or(1.0, |part| part.1);
    let plane_m = plane(traces);
    let camera = Camera::new(traces, (side, eye_deg(lead.progress)), plane_m);
    let mut scene = Scene::new("From outside", WIDTH, HEIGHT);
    let square_m = ground(&mut scene, traces, &camera, plane_m);
    for trace in traces {
        let shadow = trace.thinned(240).iter().map(|p| camera.see(on_plane(p, plane_m))).collect();
        scene.polyline(shadow, Mark::Shadow, trace.role);
    }
    drops(&mut scene, lead, &camera, plane_m);
    let aside = |trace: &Trace| matches!(trace.role, Role::Reflight | Role::Best);
    let wide = traces.iter().rposition(|trace| !aside(trace));
    for (index, trace) in traces.iter().enumerate() {
        if Some(index) == wide {
            ribbon(&mut scene, trace, &camera);
        }
        let path = trace.thinned(400).iter().map(|p| camera.see(place(p))).collect();
        scene.chalk(path, trace.role);
    }
    labels(&mut scene, lead, &camera);
    let note = format!(
        "squares {} m, plane {} ft below entry",
        crate::numbers::fixed(square_m, 0),
        crate::numbers::fixed(-plane_m / M_PER_FT, 0)
    );
    scene.small(at(8.0, HEIGHT - 8.0), note, Anchor::Start, Role::Muted);
    super::legend(&mut scene, traces);
    scene.description = describe(lead);
    Some(scene)
}

/// Elevation and bearing of the eye.
const fn eye_deg(progress: Progress) -> (f64, f64) {
    match progress {
        Progress::Turn | Progress::Phase | Progress::Position => EYE_TURN_DEG,
        Progress::Pitch | Progress::PitchAndRoll => EYE_LOOP_DEG,
        Progress::Roll => EYE_ROLL_DEG,
    }
}

/// Height of the drawn plane relative to entry, m.
fn plane(traces: &[Trace]) -> f64 {
    let low = traces.iter().flat_map(|t| &t.points).map(|p| p.up_m).fold(0.0, f64::min);
    let step = PLANE_BELOW_FT * M_PER_FT;
    -step * (1.0 + (-low / step).floor())
}

fn place(point: &TracePoint) -> Space {
    [point.along_m, point.right_m, point.up_m]
}

fn on_plane(point: &TracePoint, plane_m: f64) -> Space {
    [point.along_m, point.right_m, plane_m]
}

/// Grid squares under the flight; returns their side, m.
fn ground(scene: &mut Scene, traces: &[Trace], camera: &Camera, plane_m: f64) -> f64 {
    let (low, high) = bounds(traces);
    let span = (high[0] - low[0]).max(high[1] - low[1]);
    let square_m = if span <= 1200.0 { 100.0 } else { round_step(span, 12.0) };
    let edge = |value: f64, up: bool| {
        let squares = value / square_m;
        square_m * if up { (squares + 0.3).ceil() } else { (squares - 0.3).floor() }
    };
    let (x0, x1) = (edge(low[0], false), edge(high[0], true));
    let (y0, y1) = (edge(low[1], false), edge(high[1], true));
    let lines = |from: f64, to: f64| {
        let count = ((to - from) / square_m).round() as usize;
        (0..=count).map(move |index| from + square_m * index as f64)
    };
    for x in lines(x0, x1) {
        scene.line(
            camera.see([x, y0, plane_m]),
            camera.see([x, y1, plane_m]),
            Mark::Thin,
            Role::Grid,
        );
    }
    for y in lines(y0, y1) {
        let role = if y == 0.0 { Role::Muted } else { Role::Grid };
        scene.line(camera.see([x0, y, plane_m]), camera.see([x1, y, plane_m]), Mark::Thin, role);
    }
    square_m
}

fn drops(scene: &mut Scene, lead: &Trace, camera: &Camera, plane_m: f64) {
    for (progress, _) in &lead.checkpoints {
        let Some(point) = lead.at_progress(*progress) else { continue };
        let foot = camera.see(on_plane(point, plane_m));
        scene.line(camera.see(place(point)), foot, Mark::Drop, Role::Muted);
        scene.circle(foot, 2.0, Mark::Dot, Role::Muted);
    }
}

fn labels(scene: &mut Scene, lead: &Trace, camera: &Camera) {
    let last = lead.checkpoints.len().saturating_sub(1);
    for (index, (progress, text)) in lead.checkpoints.iter().enumerate() {
        let Some(point) = lead.at_progress(*progress) else { continue };
        let seen = camera.see(place(point));
        let near_end = index == last && lead.parts.len() == 1 && lead.checkpoints.len() > 3;
        let y = if near_end { seen.y + 18.0 } else { seen.y - 12.0 };
        scene.label(at(seen.x, y), text.clone(), Anchor::Middle);
    }
    if let Some(start) = lead.points.first() {
        let seen = camera.see(place(start));
        scene.circle(seen, 3.5, Mark::Dot, lead.role);
        scene.small(at(seen.x, seen.y + 16.0), "entry", Anchor::Middle, Role::Muted);
    }
}

/// Quads from wing tip to wing tip, far ones first, and a rung every 15 degrees of turn.
fn ribbon(scene: &mut Scene, trace: &Trace, camera: &Camera) {
    let points: Vec<TracePoint> =
        trace.thinned(160).into_iter().filter(|p| p.bank_deg.is_some()).collect();
    let (low, high) = bounds(std::slice::from_ref(trace));
    let half_m = ((high[0] - low[0]).max(high[1] - low[1]) / RIBBON_SHARE).max(RIBBON_HALF_M);
    let mut quads = Vec::new();
    for pair in points.windows(2) {
        let (first, second) = (tips(&pair[0], half_m), tips(&pair[1], half_m));
        let corners = [first[0], first[1], second[1], second[0]].map(|corner| camera.see(corner));
        let to_eye = minus(camera.eye, place(&pair[1]));
        let mark =
            if dot(axes(&pair[1]).1, to_eye) > 0.0 { Mark::RibbonTop } else { Mark::RibbonUnder };
        quads.push((dot(to_eye, to_eye), corners, mark));
    }
    quads.sort_by(|a, b| b.0.total_cmp(&a.0));
    for (_, corners, mark) in quads {
        scene.polygon(corners.to_vec(), mark, trace.role);
    }
    let step_deg = if trace.progress_max_deg() > 400.0 { 30.0 } else { 15.0 };
    let count = (trace.progress_max_deg() / step_deg).floor() as usize;
    for index in 1..=count {
        let progress = step_deg * index as f64;
        let Some(point) = trace.at_progress(progress).filter(|p| p.bank_deg.is_some()) else {
            continue;
        };
        let check = trace.checkpoints.iter().any(|(at, _)| (at - progress).abs() < 0.5);
        let mark = if check { Mark::RungCheck } else { Mark::Rung };
        let [left, right] = tips(point, half_m);
        scene.line(camera.see(left), camera.see(right), mark, trace.role);
    }
}

fn tips(point: &TracePoint, half_m: f64) -> [Space; 2] {
    let (wing, center) = (axes(point).0, place(point));
    [-half_m, half_m].map(|reach| std::array::from_fn(|axis| center[axis] + reach * wing[axis]))
}

/// Right wing and up through the cabin roof, in along, right, up.
fn axes(point: &TracePoint) -> (Space, Space) {
    let attitude = Attitude {
        bank_rad: point.bank_deg.map_or(0.0, |bank| bank.value) * RAD_PER_DEG,
        pitch_rad: point.nose_deg * RAD_PER_DEG,
        heading_rad: point.azimuth_deg * RAD_PER_DEG,
    };
    let entry_from_body = attitude.body_from_ned().inverse();
    let axis = |right: f64, down: f64| {
        let seen = entry_from_body.apply(Vec3::<Body>::new(0.0, right, down));
        [seen.north(), seen.east(), -seen.down()]
    };
    (axis(1.0, 0.0), axis(0.0, -1.0))
}

fn bounds(traces: &[Trace]) -> (Space, Space) {
    let (mut low, mut high) = ([f64::INFINITY; 3], [f64::NEG_INFINITY; 3]);
    for point in traces.iter().flat_map(|trace| &trace.points) {
        for (axis, value) in place(point).into_iter().enumerate() {
            low[axis] = low[axis].min(value);
            high[axis] = high[axis].max(value);
        }
    }
    (low, high)
}

fn describe(lead: &Trace) -> String {
    let high = lead.points.iter().map(|p| p.up_m).fold(0.0, f64::max) / M_PER_FT;
    let low = lead.points.iter().map(|p| p.up_m).fold(0.0, f64::min) / M_PER_FT;
    let end = lead.points.last().map_or(0.0, |p| p.up_m) / M_PER_FT;
    format!(
        "the path in space with the wings drawn as a ribbon: up to {} ft above entry, down to {} ft, ending at {} ft",
        crate::numbers::fixed(high, 0),
        crate::numbers::fixed(low, 0),
        crate::numbers::signed(end, 0)
    )
}

fn minus(a: Space, b: Space) -> Space {
    std::array::from_fn(|axis| a[axis] - b[axis])
}

fn dot(a: Space, b: Space) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

/// A pinhole camera fitted to the flights.
struct Camera {
    eye: Space,
    forward: Space,
    right: Space,
    up: Space,
    fit: Fit,
}

impl Camera {
    fn new(traces: &[Trace], (side, eye_deg): (f64, (f64, f64)), plane_m: f64) -> Self {
        let (mut low, high) = bounds(traces);
        low[2] = plane_m;
        let middle: Space = std::array::from_fn(|axis| (low[axis] + high[axis]) / 2.0);
        let size = minus(high, low);
        let away_m = EYE_RADII * (dot(size, size).sqrt() / 2.0).max(1.0);
        let (elevation, bearing) = (eye_deg.0 * RAD_PER_DEG, eye_deg.1 * RAD_PER_DEG);
        let forward =
            [cos(elevation) * cos(bearing), side * cos(elevation) * sin(bearing), -sin(elevation)];
        let right = [-side * sin(bearing), cos(bearing), 0.0];
        let up =
            [sin(elevation) * cos(bearing), side * sin(elevation) * sin(bearing), cos(elevation)];
        let eye: Space = std::array::from_fn(|axis| middle[axis] - away_m * forward[axis]);
        let raw = Fit { scale: 1.0, x: 0.0, y: 0.0 };
        let mut camera = Self { eye, forward, right, up, fit: raw };
        let points = traces.iter().flat_map(|trace| trace.thinned(120));
        let margin_m = RIBBON_HALF_M;
        let seen: Vec<Point> = points
            .flat_map(|p| {
                let [along, right, up] = place(&p);
                [[along, right, up + margin_m], [along, right, plane_m]]
            })
            .map(|place| camera.see(place))
            .collect();
        let frame = Frame { left: 26.0, top: 42.0, right: WIDTH - 26.0, bottom: HEIGHT - 38.0 };
        camera.fit = Fit::new(&seen, frame);
        camera
    }
    fn see(&self, place: Space) -> Point {
        let ray = minus(place, self.eye);
        let depth = dot(ray, self.forward).max(1e-6);
        self.fit.place(at(dot(ray, self.right) / depth, -dot(ray, self.up) / depth))
    }
}
