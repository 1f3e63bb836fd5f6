//! Hands and feet: pedals, stick and throttle against the progress of the figure, and the pedals by cause. Each deflection as a
//! share of its travel; left and right figure one over the other when both are given.

use crate::numbers::fixed;
use crate::scene::{Anchor, Mark, Point, Role, Scene, at, round_step};
use base::factors::RAD_PER_DEG;
use flight::inverse::causes::Reason;
use maneuver::ReferenceFlight;
use maneuver::rigid::{ControlSample, RigidFlight};

const WIDTH: f64 = 420.0;
const LEFT: f64 = 118.0;
const RIGHT: f64 = WIDTH - 16.0;
const TOP: f64 = 16.0;
const STRIP: f64 = 70.0;
const CAUSES: f64 = 120.0;
const GAP: f64 = 20.0;
/// Points of a curve at most.
const POINTS: usize = 300;
/// Causes that are drawn: the greatest.
const DRAWN: usize = 5;

/// One strip: what it shows, in the words for its two senses.
struct Strip {
    title: &'static str,
    up: &'static str,
    down: &'static str,
    get: fn(&ControlSample) -> f64,
}

const STRIPS: [Strip; 4] = [
    Strip { title: "pedals", up: "right", down: "left", get: |c| c.pedal_right },
    Strip { title: "stick across", up: "right", down: "left", get: |c| c.stick_right },
    Strip { title: "stick", up: "back", down: "forward", get: |c| c.stick_back },
    Strip { title: "throttle", up: "open", down: "", get: |c| c.throttle },
];

/// The picture of one side. `None` without samples.
#[must_use]
pub fn hands(reference: &ReferenceFlight, flight: &RigidFlight) -> Option<Scene> {
    let points = thinned(&flight.controls);
    let span_deg = points.last().map(|(progress, _)| *progress)?.max(1.0);
    let causes = ranked(&points);
    let names = 16.0 * causes.len().div_ceil(2) as f64;
    let bottom = TOP + 4.0 * (STRIP + GAP) + CAUSES + 6.0;
    let height = bottom + 34.0 + names;
    let way = reference.direction.word();
    let mut scene = Scene::new("Hands and feet", WIDTH, height);
    let x = |progress: f64| LEFT + (RIGHT - LEFT) * (progress / span_deg).clamp(0.0, 1.0);
    abscissa(&mut scene, reference, bottom, &x);
    for (index, strip) in STRIPS.iter().enumerate() {
        draw(&mut scene, strip, &points, TOP + index as f64 * (STRIP + GAP), &x);
    }
    draw_causes(&mut scene, &causes, &points, TOP + 4.0 * (STRIP + GAP), &x);
    scene.description = format!(
        "stick, pedals and throttle of the figure to the {way} against {}, as shares of their travel; the pedals by cause: {}",
        reference.progress.title(),
        causes.iter().map(|reason| reason.words()).collect::<Vec<_>>().join(", ")
    );
    Some(scene)
}

/// Samples with their progress summed over the parts, degrees, at most [`POINTS`].
fn thinned(controls: &[ControlSample]) -> Vec<(f64, &ControlSample)> {
    let (mut offset_deg, mut last_deg, mut out) = (0.0, 0.0, Vec::new());
    let step = controls.len().div_ceil(POINTS).max(1);
    for (index, sample) in controls.iter().enumerate() {
        let progress_deg = sample.progress_rad / RAD_PER_DEG;
        // the next part counts from nil again
        if progress_deg < last_deg - 10.0 {
            offset_deg += last_deg;
        }
        last_deg = progress_deg;
        if index % step == 0 || index + 1 == controls.len() {
            out.push((offset_deg + progress_deg, sample));
        }
    }
    out
}

fn abscissa(scene: &mut Scene, reference: &ReferenceFlight, bottom: f64, x: &impl Fn(f64) -> f64) {
    let (mut offset_deg, mut written) = (0.0, f64::NEG_INFINITY);
    for part in &reference.parts {
        for checkpoint in &part.checkpoints {
            let place = x(offset_deg + checkpoint.progress_deg);
            scene.line(at(place, TOP), at(place, bottom), Mark::Thin, Role::Grid);
            if place - written > 28.0 {
                let text = crate::trace::place_text(reference, checkpoint.progress_deg);
                scene.small(at(place, bottom + 18.0), text, Anchor::Middle, Role::Muted);
                written = place;
            }
        }
        offset_deg += reference.samples[part.last].progress_rad / RAD_PER_DEG;
    }
    scene.small(at(2.0, bottom + 18.0), reference.progress.word(), Anchor::Start, Role::Muted);
}

/// Range shown, shares of travel, nil always in it.
fn range(values: impl Iterator<Item = f64>, least: f64) -> (f64, f64) {
    let (low, high) = values.fold((0.0_f64, 0.0_f64), |(low, high), v| (low.min(v), high.max(v)));
    let missing = (least - (high - low)).max(0.0) / 2.0;
    (low - missing - 0.04 * (high - low), high + missing + 0.04 * (high - low))
}

fn draw(
    scene: &mut Scene,
    strip: &Strip,
    points: &[(f64, &ControlSample)],
    top: f64,
    x: &impl Fn(f64) -> f64,
) {
    let (low, high) = range(points.iter().map(|(_, sample)| (strip.get)(sample)), 0.1);
    let y = |value: f64| top + STRIP * (1.0 - (value - low) / (high - low));
    scene.label(at(2.0, top + STRIP / 2.0), strip.title, Anchor::Start);
    ordinate(scene, (low, high), &y);
    if high > 0.02 {
        scene.small(at(2.0, top + 10.0), strip.up, Anchor::Start, Role::Muted);
    }
    if low < -0.02 {
        scene.small(at(2.0, top + STRIP), strip.down, Anchor::Start, Role::Muted);
    }
    let curve: Vec<Point> =
        points.iter().map(|(progress, sample)| at(x(*progress), y((strip.get)(sample)))).collect();
    scene.chalk(curve, Role::Reference);
}

fn ordinate(scene: &mut Scene, (low, high): (f64, f64), y: &impl Fn(f64) -> f64) {
    let step = round_step(high - low, 4.0);
    for index in (low / step).ceil() as i64..=(high / step).floor() as i64 {
        let value = step * index as f64;
        let (mark, role) =
            if index == 0 { (Mark::Axis, Role::Muted) } else { (Mark::Thin, Role::Grid) };
        scene.line(at(LEFT, y(value)), at(RIGHT, y(value)), mark, role);
        let text = format!("{} %", fixed(100.0 * value, 0));
        scene.small(at(LEFT - 6.0, y(value) + 4.0), text, Anchor::End, Role::Muted);
    }
}

/// The causes of rudder that matter, greatest first.
fn ranked(points: &[(f64, &ControlSample)]) -> Vec<Reason> {
    // by the mean square: what jerks for an instant while rolling in is not what the feet are busy with
    let weight = |reason: Reason| -> f64 {
        points.iter().map(|(_, c)| c.causes.rudder.of(reason)).map(|part| part * part).sum()
    };
    let mut all: Vec<(Reason, f64)> = Reason::ALL.iter().map(|r| (*r, weight(*r).sqrt())).collect();
    all.sort_by(|a, b| b.1.total_cmp(&a.1));
    let greatest = all.first().map_or(0.0, |(_, value)| *value);
    all.retain(|(_, value)| *value > 0.05 * greatest && *value > 0.0);
    all.truncate(DRAWN);
    all.into_iter().map(|(reason, _)| reason).collect()
}

/// Rudder by cause, degrees, right positive: one numbered line a cause, the names below.
fn draw_causes(
    scene: &mut Scene,
    causes: &[Reason],
    points: &[(f64, &ControlSample)],
    top: f64,
    x: &impl Fn(f64) -> f64,
) {
    let value =
        |sample: &ControlSample, reason: Reason| sample.causes.rudder.of(reason) / RAD_PER_DEG;
    let all = points.iter().flat_map(|(_, c)| causes.iter().map(|r| value(c, *r)));
    let (low, high) = range(all, 1.0);
    let y = |value: f64| top + CAUSES * (1.0 - (value - low) / (high - low));
    scene.label(at(2.0, top + CAUSES / 2.0 - 8.0), "rudder", Anchor::Start);
    scene.label(at(2.0, top + CAUSES / 2.0 + 8.0), "by cause", Anchor::Start);
    let step = round_step(high - low, 5.0);
    for index in (low / step).ceil() as i64..=(high / step).floor() as i64 {
        let at_deg = step * index as f64;
        let (mark, role) =
            if index == 0 { (Mark::Axis, Role::Muted) } else { (Mark::Thin, Role::Grid) };
        scene.line(at(LEFT, y(at_deg)), at(RIGHT, y(at_deg)), mark, role);
        let text = format!("{}\u{b0}", fixed(at_deg, usize::from(step < 1.0)));
        scene.small(at(LEFT - 6.0, y(at_deg) + 4.0), text, Anchor::End, Role::Muted);
    }
    for (index, reason) in causes.iter().enumerate() {
        let curve: Vec<Point> =
            points.iter().map(|(p, c)| at(x(*p), y(value(c, *reason)))).collect();
        scene.polyline(curve, Mark::Pointer, Role::Muted);
        // numbers stand apart from one another along the curves
        let share = (0.5 + index as f64) / causes.len() as f64;
        let place = ((points.len() - 1) as f64 * share).round() as usize;
        let (progress, sample) = points[place];
        let number = (index + 1).to_string();
        scene.label(at(x(progress), y(value(sample, *reason)) + 5.0), number, Anchor::Middle);
    }
    for (index, reason) in causes.iter().enumerate() {
        let (column, row) = ((index % 2) as f64, (index / 2) as f64);
        let text = format!("{} {}", index + 1, reason.words());
        let place = at(LEFT + column * 150.0, top + CAUSES + 44.0 + 16.0 * row);
        scene.small(place, text, Anchor::Start, Role::Ink);
    }
}
