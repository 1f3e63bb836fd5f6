//! The nose against the horizon as seen from the seat: azimuth against elevation, the same degree both ways, with the
//! wings as ticks.

use super::{Fit, Frame};
use crate::numbers::{SIGMAS_OF_95_PERCENT, fixed};
use crate::scene::{Anchor, Mark, Role, Scene, at, round_step};
use crate::trace::{Trace, TracePoint};
use base::factors::RAD_PER_DEG;
use base::math::{cos, sin};

/// How wide it is drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Room {
    /// A page wide, or half of a large one.
    Page,
    /// Half of a small page: the words are as large beside the trace as they are there to be read at arm's length.
    Card,
}

impl Room {
    const fn width(self) -> f64 {
        match self {
            Self::Page => 420.0,
            Self::Card => 250.0,
        }
    }
    /// Room below the trace for the degrees, and what stands under them.
    const fn foot(self) -> f64 {
        match self {
            Self::Page => 62.0,
            Self::Card => 72.0,
        }
    }
}
/// Most height of the trace itself; above and below it stand the legend and the degrees.
const TRACE_HEIGHT_MAX: f64 = 170.0;
const HEAD: f64 = 34.0;

/// The nose traces; the first one carries the labels. `None` when a flight has no pitch: a nose trace without it would be
/// a guess.
#[must_use]
pub fn nose_trace(traces: &[Trace]) -> Option<Scene> {
    drawn(traces, Room::Page)
}

/// The same for half of a small page, with the wings and their bank under the checkpoints.
#[must_use]
pub fn nose_trace_card(traces: &[Trace]) -> Option<Scene> {
    drawn(traces, Room::Card)
}

fn drawn(traces: &[Trace], room: Room) -> Option<Scene> {
    let width = room.width();
    let lead = traces.first().filter(|trace| trace.points.len() > 1)?;
    let pitched = |trace: &Trace| trace.points.iter().all(|point| point.pitch_deg.is_some());
    if !traces.iter().all(pitched) {
        return None;
    }
    let places: Vec<_> = traces.iter().flat_map(|t| &t.points).map(nose).collect();
    let with_horizon: Vec<_> =
        places.iter().copied().chain([at(0.0, -12.0), at(0.0, 12.0)]).collect();
    let frame = Frame {
        left: 46.0,
        top: HEAD,
        right: width - if room == Room::Page { 30.0 } else { 16.0 },
        bottom: HEAD + TRACE_HEIGHT_MAX,
    };
    let mut fit = Fit::new(&with_horizon, frame);
    let of = |get: fn(f64, f64) -> f64, begin| with_horizon.iter().map(|p| p.y).fold(begin, get);
    let (top, bottom) = (of(f64::min, f64::INFINITY), of(f64::max, f64::NEG_INFINITY));
    fit.y = HEAD - fit.scale * top;
    let height = HEAD + fit.scale * (bottom - top) + room.foot();
    let mut scene = Scene::new("The nose on the horizon", width, height);
    super::legend(&mut scene, traces);
    axes(&mut scene, &places, &fit, room);
    if room == Room::Card {
        wings(&mut scene, lead, &fit);
    }
    for trace in traces {
        band(&mut scene, trace, &fit);
        // Straight up and down the azimuth jumps to the other side: no line is drawn through the jump.
        let jumps = |a: &TracePoint, b: &TracePoint| (b.azimuth_deg - a.azimuth_deg).abs() > 60.0;
        for piece in trace.thinned(400).chunk_by(|a, b| !jumps(a, b)) {
            scene.chalk(piece.iter().map(|p| fit.place(nose(p))).collect(), trace.role);
        }
        ticks(&mut scene, trace, &fit);
    }
    let pitch = |p: &TracePoint| p.pitch_deg.map_or(0.0, |pitch| pitch.value);
    let high = lead.points.iter().map(pitch).fold(f64::NEG_INFINITY, f64::max);
    let low = lead.points.iter().map(pitch).fold(f64::INFINITY, f64::min);
    scene.description = format!(
        "where the nose points: highest {}°, lowest {}° against the horizon; ticks show the wings",
        fixed(high, 1),
        fixed(low, 1)
    );
    Some(scene)
}

fn nose(point: &TracePoint) -> crate::scene::Point {
    at(point.azimuth_deg, -point.pitch_deg.map_or(0.0, |pitch| pitch.value))
}

fn axes(scene: &mut Scene, places: &[crate::scene::Point], fit: &Fit, room: Room) {
    let width = scene.width;
    let low = places.iter().map(|p| p.x).fold(f64::INFINITY, f64::min);
    let high = places.iter().map(|p| p.x).fold(f64::NEG_INFINITY, f64::max);
    let horizon = fit.place(at(0.0, 0.0)).y;
    scene.line(at(40.0, horizon), at(width - 6.0, horizon), Mark::Axis, Role::Ink);
    // On a card the degrees stand where the wings do: a full turn has them at its quarters.
    let step = match high - low {
        span if span > 400.0 => 180.0,
        span if span > 200.0 && room == Room::Card => 90.0,
        _ => 45.0,
    };
    let (from, to) = ((low / step).ceil() as i64, (high / step).floor() as i64);
    for index in from..=to {
        let azimuth = step * index as f64;
        let x = fit.place(at(azimuth, 0.0)).x;
        scene.line(at(x, horizon - 3.0), at(x, horizon + 3.0), Mark::Thin, Role::Ink);
        let text = format!("{}°", fixed(azimuth.abs(), 0));
        let place = at(x, scene.height - room.foot() + 26.0);
        scene.small(place, text, Anchor::Middle, Role::Muted);
    }
    let highest = places.iter().map(|p| -p.y).fold(0.0, f64::max);
    let step = round_step(highest.max(10.0), 3.0);
    let apart = step * fit.scale > 12.0;
    for sign in [-1.0, 1.0].into_iter().filter(|sign| apart || *sign > 0.0) {
        let y = fit.place(at(0.0, -sign * step)).y;
        scene.line(at(40.0, y), at(width - 6.0, y), Mark::Thin, Role::Grid);
        let text = format!("{}°", crate::numbers::signed(sign * step, 0));
        let rise = if apart { 4.0 } else { -2.0 };
        scene.small(at(4.0, y + rise), text, Anchor::Start, Role::Muted);
    }
    if room == Room::Card {
        return;
    }
    let place = at(width / 2.0, scene.height - 14.0);
    scene.small(
        place,
        "degrees turned from entry; the same degree both ways",
        Anchor::Middle,
        Role::Muted,
    );
}

/// The wings as seen from behind, with their bank, under the checkpoints and the entry; those that would overprint are left out.
fn wings(scene: &mut Scene, lead: &Trace, fit: &Fit) {
    const REACH: f64 = 11.0;
    const APART: f64 = 30.0;
    let (middle, foot) = (scene.height - 28.0, scene.height - 6.0);
    let mut taken: Vec<f64> = Vec::new();
    let checks = std::iter::once(0.0).chain(lead.checkpoints.iter().map(|(progress, _)| *progress));
    // The last place is where the flight ends: the wings may come level after it is reached.
    let end_deg = lead.progress_max_deg();
    let point = |progress: f64| {
        if progress > end_deg - 0.5 { lead.points.last() } else { lead.at_progress(progress) }
    };
    for point in checks.filter_map(point) {
        let Some(bank) = point.bank_deg else { continue };
        let x = fit.place(nose(point)).x;
        if taken.iter().any(|other| (other - x).abs() < APART) {
            continue;
        }
        taken.push(x);
        let angle = bank.value * RAD_PER_DEG;
        let (across, down) = (REACH * cos(angle), REACH * sin(angle));
        let ends = (at(x - across, middle - down), at(x + across, middle + down));
        scene.line(ends.0, ends.1, Mark::RungCheck, lead.role);
        let text = format!("{}°", fixed(bank.value.abs(), 0));
        scene.small(at(x, foot), text, Anchor::Middle, Role::Muted);
    }
}

/// The 95 % band in elevation; nothing for a computed flight.
fn band(scene: &mut Scene, trace: &Trace, fit: &Fit) {
    let points = trace.thinned(240);
    if points.iter().all(|p| p.pitch_deg.is_none_or(|pitch| pitch.sigma == 0.0)) {
        return;
    }
    let edge = |sign: f64| {
        points.iter().map(move |p| {
            let sigma = p.pitch_deg.map_or(0.0, |pitch| pitch.sigma);
            let place = nose(p);
            fit.place(at(place.x, place.y - sign * SIGMAS_OF_95_PERCENT * sigma))
        })
    };
    let outline = edge(1.0).chain(edge(-1.0).rev()).collect();
    scene.polygon(outline, Mark::Band, trace.role);
}

/// The wings at every 15 degrees of turn, larger at the checkpoints.
fn ticks(scene: &mut Scene, trace: &Trace, fit: &Fit) {
    let step_deg = if trace.progress_max_deg() > 400.0 { 45.0 } else { 15.0 };
    let count = (trace.progress_max_deg() / step_deg).floor() as usize;
    for index in 1..=count {
        let progress = step_deg * index as f64;
        let Some(point) = trace.at_progress(progress) else { continue };
        let Some(bank) = point.bank_deg else { continue };
        let check = trace.checkpoints.iter().any(|(at, _)| (at - progress).abs() < 0.5);
        let (reach, mark) = if check { (11.0, Mark::RungCheck) } else { (6.0, Mark::Rung) };
        let center = fit.place(nose(point));
        let (across, down) =
            (reach * cos(bank.value * RAD_PER_DEG), reach * sin(bank.value * RAD_PER_DEG));
        let ends = (at(center.x - across, center.y - down), at(center.x + across, center.y + down));
        scene.line(ends.0, ends.1, mark, trace.role);
    }
}
