//! Limits with what is left to them: each on a line of its own that begins at zero, to scale.

use crate::brief::{limit_decimals, unit_text};
use crate::numbers::fixed;
use crate::scene::{Anchor, Mark, Role, Scene, at};
use maneuver::brief::{Limit, LimitSide};

const WIDTH: f64 = 560.0;
const BESIDE: usize = 4;
const HIGH: f64 = 88.0;
/// Free beside each line.
const EDGE: f64 = 16.0;
/// Letters of a title on one line.
const LETTERS: usize = 19;

/// The margins of limits, four beside one another; `None` without any.
#[must_use]
pub fn margins(limits: &[&Limit]) -> Option<Scene> {
    if limits.is_empty() {
        return None;
    }
    let rows = limits.len().div_ceil(BESIDE);
    let mut scene = Scene::new("Margins to limits", WIDTH, rows as f64 * HIGH);
    let cell = WIDTH / BESIDE as f64;
    let mut told = Vec::new();
    for (index, limit) in limits.iter().enumerate() {
        let left = (index % BESIDE) as f64 * cell;
        let top = (index / BESIDE) as f64 * HIGH;
        gauge(&mut scene, limit, [left + EDGE, left + cell - EDGE, top + 26.0]);
        let unit = unit_text(limit.unit);
        let decimals = limit_decimals(limit);
        told.push(format!(
            "{}: {} {unit}, limit {} {unit}",
            limit.title,
            fixed(limit.value, decimals),
            fixed(limit.limit, decimals)
        ));
    }
    scene.description = told.join("; ");
    Some(scene)
}

/// The line of one limit, from left to right at a height.
fn gauge(scene: &mut Scene, limit: &Limit, [left, right, y]: [f64; 3]) {
    let low = 0.0_f64.min(limit.value).min(limit.limit);
    let high = 0.0_f64.max(limit.value).max(limit.limit);
    let span = (high - low).max(1e-9) * 1.06;
    let place = |value: f64| left + (right - left) * (value - low + 0.03 * span) / span;
    let (value, bound) = (place(limit.value), place(limit.limit));
    scene.line(at(left, y), at(right, y), Mark::Thin, Role::Muted);
    scene.line(at(value, y), at(bound, y), Mark::Pointer, Role::Ink);
    // posts on the forbidden side
    let away = match limit.side {
        LimitSide::Above => 6.0,
        LimitSide::Below => -6.0,
    };
    scene.line(at(bound, y - 10.0), at(bound, y + 10.0), Mark::Stroke, Role::Limit);
    for step in [-8.0, -2.5, 3.0, 8.5] {
        let (from, to) = (at(bound, y + step), at(bound + away, y + step - 4.0));
        scene.line(from, to, Mark::Posts, Role::Limit);
    }
    scene.circle(at(value, y), 4.5, Mark::Dot, Role::Reference);
    let decimals = limit_decimals(limit);
    let unit = unit_text(limit.unit);
    let space = if unit == "°" { "" } else { " " };
    let margin = format!("{}{space}{unit}", crate::numbers::signed(limit.margin, decimals));
    scene.label(at((left + right) / 2.0, y - 13.0), margin, Anchor::Middle);
    let words = format!(
        "{}, limit {}{space}{unit}",
        fixed(limit.value, decimals),
        fixed(limit.limit, decimals)
    );
    let middle = (left + right) / 2.0;
    scene.small(at(middle, y + 25.0), words, Anchor::Middle, Role::Ink);
    let (first, second) = two_lines(limit.title);
    scene.small(at(middle, y + 40.0), first, Anchor::Middle, Role::Muted);
    scene.small(at(middle, y + 54.0), second, Anchor::Middle, Role::Muted);
}

/// A title on two lines, parted at a blank.
fn two_lines(title: &str) -> (String, String) {
    let (mut first, mut second) = (String::new(), String::new());
    for word in title.split(' ') {
        let room = first.chars().count() + word.chars().count() < LETTERS;
        let line = if room && second.is_empty() { &mut first } else { &mut second };
        if !line.is_empty() {
            line.push(' ');
        }
        line.push_str(word);
    }
    (first, second)
}
