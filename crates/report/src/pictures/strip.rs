//! The whole flight as a strip: height against time, attempts marked.

use crate::numbers::clock;
use crate::scene::{Anchor, Mark, Point, Role, Scale, Scene, at};
use assess::attempt::Attempt;
use base::factors::M_PER_FT;
use motion::Motion;

const WIDTH: f64 = 860.0;
const HEIGHT: f64 = 190.0;
const LEFT: f64 = 62.0;
const RIGHT: f64 = WIDTH - 14.0;
const TOP: f64 = 40.0;
const BOTTOM: f64 = HEIGHT - 28.0;
/// Most points of the line.
const POINTS_MAX: usize = 800;

/// Height against time with the attempts numbered from 1. `None` when no height was recorded.
#[must_use]
pub fn strip(motion: &Motion, attempts: &[Attempt]) -> Option<Scene> {
    let heights = &motion.height_m.as_ref()?.value;
    let (first, last) = (*motion.time_s.first()?, *motion.time_s.last()?);
    let low = heights.iter().copied().fold(f64::INFINITY, f64::min) / M_PER_FT;
    let high = heights.iter().copied().fold(f64::NEG_INFINITY, f64::max) / M_PER_FT;
    if !(low.is_finite() && high.is_finite() && last > first) {
        return None;
    }
    let (low, high) = (low - 50.0, high + 50.0);
    let x = |time_s: f64| LEFT + (RIGHT - LEFT) * (time_s - first) / (last - first);
    let (across, range) = ([LEFT, RIGHT], [low, high]);
    let scale = Scale { across, down: [BOTTOM, TOP], range, unit: "ft", axis: false };
    let mut scene = Scene::new("The whole flight", WIDTH, HEIGHT);
    scene.scale(scale);
    times_axis(&mut scene, first, last, BOTTOM, &x);
    for (index, attempt) in attempts.iter().enumerate() {
        flag(&mut scene, index + 1, x(attempt.start_s), x(attempt.end_s));
    }
    let step = heights.len().div_ceil(POINTS_MAX).max(1);
    let line: Vec<Point> = motion
        .time_s
        .iter()
        .zip(heights)
        .step_by(step)
        .map(|(&time, &height)| at(x(time), scale.y(height / M_PER_FT)))
        .collect();
    scene.polyline(line, Mark::Flown, Role::Attempt);
    scene.description = format!(
        "height against time over {}, attempts found: {}",
        clock(last - first),
        attempts.len()
    );
    Some(scene)
}

/// Times along the bottom of a picture, at round steps.
pub(super) fn times_axis(
    scene: &mut Scene,
    first: f64,
    last: f64,
    bottom: f64,
    x: &impl Fn(f64) -> f64,
) {
    const STEPS_S: [f64; 9] = [10.0, 30.0, 60.0, 120.0, 300.0, 600.0, 1200.0, 1800.0, 3600.0];
    let step = STEPS_S.into_iter().find(|step| (last - first) / step <= 10.0).unwrap_or(7200.0);
    for index in (first / step).ceil() as i64..=(last / step).floor() as i64 {
        let time = step * index as f64;
        scene.line(at(x(time), bottom), at(x(time), bottom + 4.0), Mark::Thin, Role::Muted);
        scene.small(at(x(time), bottom + 18.0), clock(time), Anchor::Middle, Role::Muted);
    }
}

/// The window of an attempt with its number above it.
fn flag(scene: &mut Scene, number: usize, from: f64, to: f64) {
    let to = to.max(from + 2.0);
    let corners = vec![at(from, TOP), at(to, TOP), at(to, BOTTOM), at(from, BOTTOM)];
    scene.polygon(corners, Mark::Band, Role::Attempt);
    // Numbers of neighbors alternate between two rows so that they do not lie on one another.
    let row = if number % 2 == 1 { 14.0 } else { 30.0 };
    let middle = f64::midpoint(from, to);
    scene.line(at(middle, row + 4.0), at(middle, TOP), Mark::Thin, Role::Attempt);
    scene.label(at(middle, row), number.to_string(), Anchor::Middle);
}
