//! Height and speeds of a recording against time, and when each sensor recorded.

use super::strip::times_axis;
use crate::numbers::{clock, fixed};
use crate::recorded::{Shown, shown};
use crate::scene::{Anchor, Mark, Point, Role, Scale, Scene, at};
use recording::summary::Held;
use recording::{Gap, QuantityKind as Q, Recording};

const WIDTH: f64 = 860.0;
const LEFT: f64 = 206.0;
const RIGHT: f64 = WIDTH - 78.0;
/// Height of one curve, and from one to the next.
const CURVE: f64 = 96.0;
const CURVE_STEP: f64 = 116.0;
/// Height of one row of the strip of sensors.
const ROW: f64 = 22.0;
const TOP: f64 = 14.0;
const AXIS: f64 = 30.0;
/// Most columns of a curve; each draws its least and greatest value, so that nothing is lost by thinning.
const COLUMNS_MAX: usize = 680;
/// A hole is drawn when it is so wide.
const HOLE_LEAST: f64 = 2.0;

/// A curve: its name, how its values are shown, times and values, in pieces.
struct Curve {
    title: &'static str,
    shown: Shown,
    pieces: Vec<Vec<(f64, f64)>>,
}

/// Height, ground speed and airspeed against time. `None` when nothing of them was recorded.
#[must_use]
pub fn recorded_curves(recording: &Recording, held: &[Held]) -> Option<Scene> {
    let curves: Vec<Curve> = [
        height(recording, held),
        ground_speed(recording, held),
        airspeed(recording, held),
        bank(recording, held),
    ]
    .into_iter()
    .flatten()
    .collect();
    let last_s = recording.duration_s();
    if curves.is_empty() || last_s <= 0.0 {
        return None;
    }
    let bottom = TOP + CURVE_STEP * (curves.len() - 1) as f64 + CURVE;
    let mut scene = Scene::new("Against time", WIDTH, bottom + AXIS);
    let x = |time_s: f64| LEFT + (RIGHT - LEFT) * time_s / last_s;
    times_axis(&mut scene, 0.0, last_s, bottom, &x);
    let mut said = Vec::new();
    for (index, curve) in curves.iter().enumerate() {
        said.push(draw(&mut scene, curve, TOP + CURVE_STEP * index as f64, &x));
    }
    scene.description = format!("over {}: {}", clock(last_s), said.join("; "));
    Some(scene)
}

/// Holes that can be seen: shorter ones, of a recorder that changes its rate, would only fray the line.
fn seen(holes: &[Gap], last_s: f64) -> impl Iterator<Item = &Gap> {
    let least_s = HOLE_LEAST * last_s / (RIGHT - LEFT);
    holes.iter().filter(move |hole| hole.to_s - hole.from_s >= least_s)
}

/// Cut where the sensor has holes.
fn pieces(held: &[Held], key: &str, samples: Vec<(f64, f64)>) -> Vec<Vec<(f64, f64)>> {
    let last_s = held.iter().map(|held| held.last_s).fold(0.0, f64::max);
    let holes = held.iter().find(|held| held.key == key).map_or(&[][..], |held| &held.holes);
    let mut holes = seen(holes, last_s).peekable();
    let mut out = vec![Vec::new()];
    for sample in samples {
        if holes.next_if(|hole| sample.0 >= hole.to_s).is_some() {
            out.push(Vec::new());
        }
        if let Some(piece) = out.last_mut() {
            piece.push(sample);
        }
    }
    out
}

fn of_fixes(
    recording: &Recording,
    held: &[Held],
    (key, title): (&'static str, &'static str),
    get: fn(&recording::Fix) -> Option<f64>,
) -> Option<Curve> {
    let samples: Vec<(f64, f64)> =
        recording.fixes.iter().filter_map(|fix| Some((fix.time_s, get(fix)?))).collect();
    (samples.len() > 1).then(|| Curve {
        title,
        shown: shown(key),
        pieces: pieces(held, key, samples),
    })
}

fn of_series(recording: &Recording, held: &[Held], quantities: &[Q]) -> Option<Curve> {
    let series = quantities.iter().find_map(|quantity| recording.series_of(*quantity))?;
    let samples = series.times_s.iter().copied().zip(series.values.iter().copied()).collect();
    let key = series.quantity.key();
    let title = series.quantity.title();
    (series.values.len() > 1).then(|| Curve {
        title,
        shown: shown(key),
        pieces: pieces(held, key, samples),
    })
}

fn height(recording: &Recording, held: &[Held]) -> Option<Curve> {
    of_fixes(recording, held, ("height", "height"), |fix| fix.height_m)
        .or_else(|| of_series(recording, held, &[Q::IndicatedAltitudeM, Q::PressureAltitudeM]))
}

fn ground_speed(recording: &Recording, held: &[Held]) -> Option<Curve> {
    of_fixes(recording, held, ("ground-speed", "ground speed"), |fix| fix.ground_speed_mps)
}

fn airspeed(recording: &Recording, held: &[Held]) -> Option<Curve> {
    let airspeeds = [Q::IndicatedAirspeedMps, Q::CalibratedAirspeedMps, Q::TrueAirspeedMps];
    of_series(recording, held, &airspeeds)
}

fn bank(recording: &Recording, held: &[Held]) -> Option<Curve> {
    of_series(recording, held, &[Q::BankDeg])
}

/// Draws a curve and says its range.
fn draw(scene: &mut Scene, curve: &Curve, top: f64, x: &impl Fn(f64) -> f64) -> String {
    let values = || curve.pieces.iter().flatten().map(|(_, value)| curve.shown.of(*value));
    let (low, high) = values()
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), v| (low.min(v), high.max(v)));
    let margin =
        (0.05 * (high - low)).max(1e-3).max(0.5 * (curve.shown.span_least() - (high - low)));
    let (from, to) = (low - margin, high + margin);
    let (across, down, unit) = ([LEFT, RIGHT], [top + CURVE, top], curve.shown.unit);
    let scale = Scale { across, down, range: [from, to], unit, axis: false };
    scene.scale(scale);
    let words: Vec<&str> = curve.title.split(' ').collect();
    for (line, word) in words.iter().enumerate() {
        let down = 16.0 * (line as f64 - 0.5 * (words.len() as f64 - 1.0)) + 5.0;
        scene.label(at(2.0, top + 0.5 * CURVE + down), *word, Anchor::Start);
    }
    for piece in &curve.pieces {
        let line =
            thinned(piece).iter().map(|(t, v)| at(x(*t), scale.y(curve.shown.of(*v)))).collect();
        scene.polyline(line, Mark::Flown, Role::Attempt);
    }
    format!("{} {} to {} {unit}", curve.title, fixed(low, 0), fixed(high, 0))
}

/// At most two points a column: its least and its greatest value, in their order of time.
fn thinned(piece: &[(f64, f64)]) -> Vec<(f64, f64)> {
    let size = piece.len().div_ceil(COLUMNS_MAX).max(1);
    if size < 3 {
        return piece.to_vec();
    }
    let mut out = Vec::with_capacity(2 * COLUMNS_MAX + 2);
    for column in piece.chunks(size) {
        let least = column.iter().min_by(|a, b| a.1.total_cmp(&b.1));
        let most = column.iter().max_by(|a, b| a.1.total_cmp(&b.1));
        let (Some(least), Some(most)) = (least, most) else { continue };
        let (first, second) = if least.0 <= most.0 { (least, most) } else { (most, least) };
        out.push(*first);
        if second.0 > first.0 {
            out.push(*second);
        }
    }
    out
}

/// When each sensor recorded: a bar from its first to its last sample, open where there are holes.
#[must_use]
pub fn availability(recording: &Recording, held: &[Held]) -> Option<Scene> {
    let last_s = recording.duration_s();
    if held.is_empty() || last_s <= 0.0 {
        return None;
    }
    let rows = rows(held);
    let bottom = TOP + ROW * rows.len() as f64;
    let mut scene = Scene::new("When each sensor recorded", WIDTH, bottom + AXIS);
    let x = |time_s: f64| LEFT + (RIGHT - LEFT) * time_s / last_s;
    times_axis(&mut scene, 0.0, last_s, bottom, &x);
    let mut holes = 0;
    for (index, (title, held)) in rows.iter().enumerate() {
        let top = TOP + ROW * index as f64;
        scene.small(at(2.0, top + 0.5 * ROW + 4.0), title.clone(), Anchor::Start, Role::Ink);
        let mut from = held.first_s;
        holes += held.holes.len();
        for hole in seen(&held.holes, last_s) {
            bar(&mut scene, x(from), x(hole.from_s), top);
            let y = top + 0.5 * ROW;
            scene.line(at(x(hole.from_s), y), at(x(hole.to_s), y), Mark::Drop, Role::Limit);
            from = hole.to_s;
        }
        bar(&mut scene, x(from), x(held.last_s), top);
        if let Some(rate_hz) = held.rate_hz() {
            let place = at(WIDTH - 8.0, top + 0.5 * ROW + 4.0);
            scene.small(place, rate_words(rate_hz), Anchor::End, Role::Muted);
        }
    }
    scene.description = format!(
        "bars from the first to the last sample of {} over {}; places without samples: {holes}",
        rows.iter().map(|(title, _)| title.as_str()).collect::<Vec<_>>().join(", "),
        clock(last_s)
    );
    Some(scene)
}

fn bar(scene: &mut Scene, from: f64, to: f64, top: f64) {
    let to = to.max(from + 1.0);
    let (high, low) = (top + 4.0, top + ROW - 4.0);
    let corners: Vec<Point> = vec![at(from, high), at(to, high), at(to, low), at(from, low)];
    scene.polygon(corners, Mark::RibbonTop, Role::Attempt);
}

/// One row a quantity; the three axes of a device in one when they recorded alike.
fn rows(held: &[Held]) -> Vec<(String, &Held)> {
    let mut out: Vec<(String, &Held)> = Vec::new();
    for one in held {
        let (stem, axis) = match one.title.rsplit_once(' ') {
            Some((stem, axis @ ("x" | "y" | "z"))) => (stem, axis),
            _ => (one.title, ""),
        };
        let alike = out.last_mut().filter(|(title, other)| {
            let same = title.starts_with(stem) && other.count == one.count;
            !axis.is_empty() && same && other.first_s.to_bits() == one.first_s.to_bits()
        });
        match alike {
            Some((title, _)) => *title += &format!(", {axis}"),
            None => out.push((one.title.to_owned(), one)),
        }
    }
    out
}

/// `5 Hz`, `50 Hz`, `every 4 s`.
pub(crate) fn rate_words(rate_hz: f64) -> String {
    if rate_hz > 0.95 {
        let decimals =
            if rate_hz < 9.5 && (rate_hz - rate_hz.round()).abs() > 0.05 { 1 } else { 0 };
        format!("{} Hz", fixed(rate_hz, decimals))
    } else {
        let step_s = 1.0 / rate_hz;
        format!("every {} s", fixed(step_s, if step_s < 9.5 { 1 } else { 0 }))
    }
}
