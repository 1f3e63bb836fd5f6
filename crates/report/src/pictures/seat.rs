//! From the seat: two windows at each checkpoint, ahead and along the wing of the turn, each a pinhole picture of the motion:
//! horizon, lines on the ground, reference points, cowl and wing. Cowl and wing are a plain shape of the stated size.

use super::Frame;
use crate::numbers::fixed;
use crate::scene::{Anchor, Mark, Point, Role, Scene, at};
use base::factors::RAD_PER_DEG;
use base::frames::{Body, Ned, Vec3};
use base::math::{cos, sin, tan};
use maneuver::ReferenceFlight;
use maneuver::eye::{Eye, View, Window};

const COLUMNS: usize = 3;
const WINDOW_WIDTH: f64 = 128.0;
const WINDOW_HEIGHT: f64 = 88.0;
const GUTTER: f64 = 14.0;
const HEAD: f64 = 20.0;
const CELL_HEIGHT: f64 = HEAD + 2.0 * WINDOW_HEIGHT + 8.0 + 14.0;
const WIDTH: f64 = COLUMNS as f64 * (WINDOW_WIDTH + GUTTER);
/// Half the width of the window ahead and of the one to the side, degrees.
const AHEAD_HALF_DEG: f64 = 40.0;
const SIDE_HALF_DEG: f64 = 48.0;
/// Lines on the ground stand this far apart, m; nearer ones when flying low.
const LINES_M: f64 = 1500.0;
const LINES_LOW_M: f64 = 500.0;
const LOW_M: f64 = 800.0;
/// Lines on the ground are drawn this many steps away.
const LINES_REACH: i32 = 8;

/// A pinhole looking along an azimuth of the seat frame.
struct Camera {
    azimuth_rad: f64,
    focus: f64,
    frame: Frame,
}

impl Camera {
    fn new(azimuth_deg: f64, half_deg: f64, left: f64, top: f64) -> Self {
        let frame = Frame { left, top, right: left + WINDOW_WIDTH, bottom: top + WINDOW_HEIGHT };
        let focus = 0.5 * WINDOW_WIDTH / tan(half_deg * RAD_PER_DEG);
        Self { azimuth_rad: azimuth_deg * RAD_PER_DEG, focus, frame }
    }
    /// Where a direction is seen; `None` behind the window.
    fn see(&self, body: Vec3<Body>) -> Option<Point> {
        let (s, c) = (sin(self.azimuth_rad), cos(self.azimuth_rad));
        let (depth, across) = (c * body.x + s * body.y, c * body.y - s * body.x);
        let Frame { left, right, top, bottom } = self.frame;
        (depth > 0.02 * body.norm()).then(|| {
            at(
                0.5 * (left + right) + self.focus * across / depth,
                0.5 * (top + bottom) + self.focus * body.z / depth,
            )
        })
    }
    /// Draws a line through directions, as far as it lies in the window.
    fn trace(&self, scene: &mut Scene, directions: &[Vec3<Body>], mark: Mark, role: Role) {
        for pair in directions.windows(2) {
            if let (Some(a), Some(b)) = (self.see(pair[0]), self.see(pair[1]))
                && let Some((a, b)) = clipped(a, b, &self.frame)
            {
                scene.line(a, b, mark, role);
            }
        }
    }
    /// Fills an area between directions, as far as it lies in the window.
    fn fill(&self, scene: &mut Scene, corners: &[Vec3<Body>], role: Role) {
        let seen: Option<Vec<Point>> = corners.iter().map(|corner| self.see(*corner)).collect();
        let inside = seen.map(|corners| cut(corners, &self.frame)).unwrap_or_default();
        if inside.len() > 2 {
            let mut outline = inside.clone();
            outline.push(inside[0]);
            scene.polygon(inside, Mark::Solid, role);
            scene.polyline(outline, Mark::Thin, role);
        }
    }
}

/// The windows at every checkpoint, three checkpoints a row. `None` without checkpoints.
#[must_use]
pub fn seat(flight: &ReferenceFlight, eye: &Eye) -> Option<Scene> {
    if eye.views.is_empty() {
        return None;
    }
    let rows = eye.views.len().div_ceil(COLUMNS);
    let title = format!("From the {} seat", eye.side.word()).replace("tandem seat", "seat");
    let mut scene = Scene::new(&title, WIDTH, rows as f64 * CELL_HEIGHT);
    for (index, view) in eye.views.iter().enumerate() {
        let left = (index % COLUMNS) as f64 * (WINDOW_WIDTH + GUTTER) + 1.0;
        let top = (index / COLUMNS) as f64 * CELL_HEIGHT;
        cell(&mut scene, (flight, eye, view), left, top);
    }
    scene.description = description(flight, eye);
    Some(scene)
}

fn description(flight: &ReferenceFlight, eye: &Eye) -> String {
    let one = |view: &View| {
        let at = crate::brief::place(flight, view.progress_deg);
        match view.horizon_over_cowl_deg {
            Some(over) if over > 0.0 => {
                format!("at {at}: horizon {}\u{b0} above the cowl", fixed(over, 0))
            }
            Some(_) => format!("at {at}: horizon hidden by the cowl"),
            None => format!("at {at}: no horizon ahead"),
        }
    };
    let all: Vec<String> = eye.views.iter().map(one).collect();
    format!("horizon, reference points, cowl and wing ahead and along the wing; {}", all.join("; "))
}

fn cell(
    scene: &mut Scene,
    (flight, eye, view): (&ReferenceFlight, &Eye, &View),
    left: f64,
    top: f64,
) {
    let text =
        format!("{}{}", crate::brief::place(flight, view.progress_deg), flight.progress.sign());
    scene.label(at(left, top + 14.0), text, Anchor::Start);
    let side = view.way.sign();
    let side_deg = eye.tips[usize::from(side > 0.0)].azimuth_deg;
    let below = top + HEAD + WINDOW_HEIGHT + 8.0;
    let ahead = Camera::new(0.0, AHEAD_HALF_DEG, left, top + HEAD);
    let along = Camera::new(side_deg, SIDE_HALF_DEG, left, below);
    for camera in [&ahead, &along] {
        outside(scene, flight, view, camera);
    }
    let corners = |wing: &[[f64; 3]]| -> Vec<Vec3<Body>> {
        wing.iter().map(|[x, y, z]| Vec3::new(*x, *y, *z)).collect()
    };
    ahead.fill(scene, &cowl(eye), Role::Muted);
    along.fill(scene, &corners(&eye.wings_m[usize::from(side > 0.0)]), Role::Muted);
    for camera in [&ahead, &along] {
        window(scene, &camera.frame);
        points(scene, view, camera);
    }
    let word = format!("along the {} wing", view.way.word());
    scene.small(at(left, below + WINDOW_HEIGHT + 12.0), word, Anchor::Start, Role::Muted);
}

/// Horizon, lines on the ground and marks.
fn outside(scene: &mut Scene, flight: &ReferenceFlight, view: &View, camera: &Camera) {
    let turned = view.attitude.body_from_ned();
    let body = |ned: Vec3<Ned>| turned.apply(ned);
    let step_m = if view.above_ground_m < LOW_M { LINES_LOW_M } else { LINES_M };
    if view.above_ground_m > 1.0 {
        let reach_m = f64::from(LINES_REACH) * step_m;
        for index in -LINES_REACH..=LINES_REACH {
            // lines stand fixed on the ground: the eye lies between them
            let [north, east] = view.place_m.map(|place| place - (place / step_m).floor() * step_m);
            let across = |offset: f64| f64::from(index) * step_m - offset;
            let along = (-40..=40).map(|i| f64::from(i) / 40.0 * reach_m);
            let down = view.above_ground_m;
            let eastward: Vec<_> =
                along.clone().map(|a| body(Vec3::new(across(north), a, down))).collect();
            let northward: Vec<_> = along.map(|a| body(Vec3::new(a, across(east), down))).collect();
            camera.trace(scene, &eastward, Mark::Thin, Role::Grid);
            camera.trace(scene, &northward, Mark::Thin, Role::Grid);
        }
    }
    for mark in flight.marks.iter().filter(|mark| mark.line_m.len() > 1) {
        let [north, east] = view.place_m;
        let line: Vec<_> = fine(&mark.line_m)
            .into_iter()
            .map(|[n, e]| body(Vec3::new(n - north, e - east, view.above_ground_m)))
            .collect();
        camera.trace(scene, &line, Mark::Axis, Role::Muted);
    }
    let horizon: Vec<_> = (0..=180)
        .map(|i| f64::from(i) * 2.0 * RAD_PER_DEG)
        .map(|azimuth| body(Vec3::new(cos(azimuth), sin(azimuth), 0.0)))
        .collect();
    camera.trace(scene, &horizon, Mark::Pointer, Role::Ink);
}

/// A line with its long pieces cut, so that what is behind the window does not take the rest with it.
fn fine(line_m: &[[f64; 2]]) -> Vec<[f64; 2]> {
    let between = |ends: &[[f64; 2]]| {
        let (a, b) = (ends[0], ends[1]);
        (0..=32).map(move |i| {
            let share = f64::from(i) / 32.0;
            [a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1])]
        })
    };
    line_m.windows(2).flat_map(between).collect()
}

/// Reference points with their short names.
fn points(scene: &mut Scene, view: &View, camera: &Camera) {
    for sight in &view.sights {
        let (azimuth, elevation) = (
            sight.direction.azimuth_deg * RAD_PER_DEG,
            sight.direction.elevation_deg * RAD_PER_DEG,
        );
        let level = cos(elevation);
        let body = Vec3::new(level * cos(azimuth), level * sin(azimuth), -sin(elevation));
        let Some(place) = camera.see(body).filter(|place| within(*place, &camera.frame)) else {
            continue;
        };
        let role = if sight.window == Window::BehindCowl { Role::Muted } else { Role::Ink };
        scene.circle(place, 2.5, Mark::Dot, role);
        let name = sight.name.replace("-degree reference", "\u{b0}").replace(" reference", "");
        let anchor = if place.x > camera.frame.right - 36.0 { Anchor::End } else { Anchor::Start };
        let aside = if anchor == Anchor::End { -5.0 } else { 5.0 };
        let above = (place.y - 4.0).max(camera.frame.top + 10.0);
        scene.small(at(place.x + aside, above), name, anchor, role);
    }
}

/// The edge of the cowl: highest over its middle, falling off to the sides, down to the sill.
fn cowl(eye: &Eye) -> Vec<Vec3<Body>> {
    // degrees that the edge falls for each square degree from its middle (a plain invented shape)
    const FALL: f64 = 0.014;
    let middle_deg = eye.cowl_middle_azimuth_deg;
    let top_deg = -eye.cowl_below_axis_deg + FALL * middle_deg * middle_deg;
    let direction = |azimuth_deg: f64, elevation_deg: f64| {
        let (a, e) = (azimuth_deg * RAD_PER_DEG, elevation_deg * RAD_PER_DEG);
        Vec3::new(cos(e) * cos(a), cos(e) * sin(a), -sin(e))
    };
    let edge = (-10..=10).map(|i| {
        let aside_deg = f64::from(i) * 3.0;
        direction(middle_deg + aside_deg, top_deg - FALL * aside_deg * aside_deg)
    });
    let sill = [direction(middle_deg + 30.0, -45.0), direction(middle_deg - 30.0, -45.0)];
    edge.chain(sill).collect()
}

fn window(scene: &mut Scene, frame: &Frame) {
    let Frame { left, top, right, bottom } = *frame;
    let corners =
        [at(left, top), at(right, top), at(right, bottom), at(left, bottom), at(left, top)];
    scene.polyline(corners.to_vec(), Mark::Axis, Role::Muted);
}

fn within(place: Point, frame: &Frame) -> bool {
    (frame.left..=frame.right).contains(&place.x) && (frame.top..=frame.bottom).contains(&place.y)
}

/// The piece of a line that lies in a frame.
fn clipped(a: Point, b: Point, frame: &Frame) -> Option<(Point, Point)> {
    let (dx, dy) = (b.x - a.x, b.y - a.y);
    let (mut from, mut to) = (0.0_f64, 1.0_f64);
    let sides = [
        (-dx, a.x - frame.left),
        (dx, frame.right - a.x),
        (-dy, a.y - frame.top),
        (dy, frame.bottom - a.y),
    ];
    for (toward, room) in sides {
        if toward.abs() < 1e-12 {
            if room < 0.0 {
                return None;
            }
        } else if toward < 0.0 {
            from = from.max(room / toward);
        } else {
            to = to.min(room / toward);
        }
    }
    let point = |share: f64| at(a.x + share * dx, a.y + share * dy);
    (from < to).then(|| (point(from), point(to)))
}

/// An area cut to a frame, side by side.
fn cut(corners: Vec<Point>, frame: &Frame) -> Vec<Point> {
    // how far inside each side of the frame a point lies
    let rooms: [&dyn Fn(Point) -> f64; 4] =
        [&|p| p.x - frame.left, &|p| frame.right - p.x, &|p| p.y - frame.top, &|p| {
            frame.bottom - p.y
        }];
    rooms.iter().fold(corners, |area, room| {
        let mut out = Vec::new();
        for (index, &here) in area.iter().enumerate() {
            let before = area[(index + area.len() - 1) % area.len()];
            let (a, b) = (room(before), room(here));
            if (a < 0.0) != (b < 0.0) {
                let share = a / (a - b);
                out.push(at(
                    before.x + share * (here.x - before.x),
                    before.y + share * (here.y - before.y),
                ));
            }
            if b >= 0.0 {
                out.push(here);
            }
        }
        out
    })
}
