//! Bank, pitch, speed and height against the progress of the maneuver, with the stall speed at that load as a limit and the 95 %
//! band of an attempt; below them what a computed flight has of its own (groundspeed, wind correction, height over a pylon).

use crate::numbers::{SIGMAS_OF_95_PERCENT, fixed};
use crate::scene::{Anchor, Mark, Point, Role, Scale, Scene, at};
use crate::trace::{Trace, TraceColumn, TracePoint};
use assess::attempt::Estimate;
use base::math::hypot;
use maneuver::definition::Progress;

const WIDTH: f64 = 420.0;
const LEFT: f64 = 118.0;
const RIGHT: f64 = WIDTH - 16.0;
const TOP: f64 = 28.0;
const STRIP: f64 = 78.0;
const GAP: f64 = 22.0;
/// Distance of the posts of a limit.
const POST_STEP: f64 = 9.0;

/// A step of an angle above this between neighbors is a jump.
const JUMP_DEG: f64 = 60.0;

/// One strip of the picture: what it shows and where it is found.
struct Quantity {
    title: &'static str,
    unit: &'static str,
    get: fn(&TracePoint) -> Option<Estimate>,
    /// Least span shown, in the unit.
    span_least: f64,
    stall: bool,
}

const BANK: &str = "bank";

const QUANTITIES: [Quantity; 4] = [
    Quantity { title: BANK, unit: "°", get: |p| p.bank_deg, span_least: 20.0, stall: false },
    Quantity { title: "pitch", unit: "°", get: |p| p.pitch_deg, span_least: 10.0, stall: false },
    Quantity { title: "CAS", unit: "kt", get: |p| p.speed_kt, span_least: 20.0, stall: true },
    Quantity { title: "height", unit: "ft", get: |p| p.up_ft, span_least: 100.0, stall: false },
];

/// The curves; checkpoints of the first flight stand as vertical lines. `None` when there is nothing to draw.
#[must_use]
pub fn curves(traces: &[Trace]) -> Option<Scene> {
    let lead = traces.first().filter(|trace| trace.points.len() > 1)?;
    let bottom = TOP + (QUANTITIES.len() + lead.columns.len()) as f64 * (STRIP + GAP) - GAP;
    let title = match lead.progress {
        Progress::Phase => "Against the phases, as numbered in the table".to_string(),
        progress => format!("Against {}", progress.title()),
    };
    let mut scene = Scene::new(&title, WIDTH, bottom + GAP + 26.0);
    let progress_max = traces.iter().map(Trace::progress_max_deg).fold(1.0, f64::max);
    // A ground figure may begin before its nil: on the way to abeam.
    let from = traces.iter().flat_map(|t| &t.points).map(|p| p.progress_deg).fold(0.0, f64::min);
    let x = |progress: f64| {
        LEFT + (RIGHT - LEFT) * ((progress - from) / (progress_max - from)).clamp(0.0, 1.0)
    };
    abscissa(&mut scene, lead, (progress_max, bottom), &x);
    for (index, quantity) in QUANTITIES.iter().enumerate() {
        let top = TOP + (STRIP + GAP) * index as f64;
        strip(&mut scene, traces, quantity, top, &x);
    }
    for (index, column) in lead.columns.iter().enumerate() {
        let top = TOP + (STRIP + GAP) * (QUANTITIES.len() + index) as f64;
        own_strip(&mut scene, lead, column, top, &x);
    }
    super::legend(&mut scene, traces);
    let own: String = lead.columns.iter().map(|column| format!(", {}", column.title)).collect();
    let band = traces.iter().flat_map(|trace| &trace.banks_wanted).next();
    scene.description = format!(
        "bank, pitch, calibrated airspeed, height{own} against {} from entry{}",
        lead.progress.title(),
        if band.is_some() { "; the bank that the standard asks for between two lines" } else { "" }
    );
    Some(scene)
}

fn abscissa(
    scene: &mut Scene,
    lead: &Trace,
    (progress_max, bottom): (f64, f64),
    x: &impl Fn(f64) -> f64,
) {
    let mut ticks: Vec<(f64, String)> = lead.checkpoints.clone();
    let begin = match lead.progress {
        Progress::Phase => "1".to_string(),
        progress => format!("0{}", progress.sign()),
    };
    ticks.push((0.0, begin));
    ticks.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut written = f64::NEG_INFINITY;
    for (progress, text) in ticks {
        if progress > progress_max + 1.0 {
            continue;
        }
        scene.line(at(x(progress), TOP), at(x(progress), bottom), Mark::Thin, Role::Grid);
        if x(progress) - written > 28.0 {
            scene.small(at(x(progress), bottom + 18.0), text, Anchor::Middle, Role::Muted);
            written = x(progress);
        }
    }
    scene.small(at(2.0, bottom + 18.0), lead.progress.word(), Anchor::Start, Role::Muted);
    for (begin, _) in lead.parts.iter().skip(1) {
        scene.line(at(x(*begin), TOP), at(x(*begin), bottom), Mark::Axis, Role::Muted);
    }
}

fn strip(
    scene: &mut Scene,
    traces: &[Trace],
    quantity: &Quantity,
    top: f64,
    x: &impl Fn(f64) -> f64,
) {
    scene.label(at(2.0, top + STRIP / 2.0), quantity.title, Anchor::Start);
    let Some((low, high)) = range(traces, quantity) else {
        let text = "not in this recording";
        scene.small(at(LEFT + 8.0, top + STRIP / 2.0), text, Anchor::Start, Role::Muted);
        return;
    };
    let y = ordinate(scene, quantity.unit, (low, high), top);
    if quantity.stall && traces.iter().any(|t| t.points.iter().any(|p| p.stall_kt.is_some())) {
        let place = at(2.0, top + STRIP / 2.0 + 17.0);
        let flown = traces.iter().any(|trace| !matches!(trace.role, Role::Reference | Role::Best));
        let text = if flown { "stall, ref." } else { "stall" };
        scene.small(place, text, Anchor::Start, Role::Limit);
        stall(scene, traces, &y, x);
    }
    if quantity.title == BANK {
        wanted(scene, traces, top, &y, x);
    }
    for trace in traces {
        curve(scene, trace, quantity, &y, x);
    }
}

/// The bank that the standard asks to be held, where it asks: two lines, posts outside; and what they are.
fn wanted(
    scene: &mut Scene,
    traces: &[Trace],
    top: f64,
    y: &impl Fn(f64) -> f64,
    x: &impl Fn(f64) -> f64,
) {
    let bands = || traces.iter().flat_map(|trace| &trace.banks_wanted);
    let Some(first) = bands().next() else { return };
    for band in bands() {
        let [from, to] = band.progress_deg.map(x);
        for (edge, away) in band.bank_deg.into_iter().zip([4.0, -4.0]) {
            let height = y(edge);
            scene.line(at(from, height), at(to, height), Mark::Stroke, Role::Limit);
            let posts = ((to - from) / POST_STEP).floor().max(1.0);
            for post in 0..posts as usize {
                let foot = from + (to - from) * (post as f64 + 0.5) / posts;
                let ends = (at(foot, height), at(foot - 3.0, height + away));
                scene.line(ends.0, ends.1, Mark::Posts, Role::Limit);
            }
        }
    }
    let mut edges = first.bank_deg.map(f64::abs);
    edges.sort_by(f64::total_cmp);
    let text = format!("{} to {}°", fixed(edges[0], 0), fixed(edges[1], 0));
    for (down, line) in [(17.0, "wanted"), (32.0, text.as_str())] {
        scene.small(at(2.0, top + STRIP / 2.0 + down), line, Anchor::Start, Role::Limit);
    }
}

/// Range of all flights with their bands, and of the stall speed; `None` when no flight has it.
fn range(traces: &[Trace], quantity: &Quantity) -> Option<(f64, f64)> {
    let points = || traces.iter().flat_map(|trace| &trace.points);
    let edges = points().filter_map(quantity.get).flat_map(|e| {
        [e.value - SIGMAS_OF_95_PERCENT * e.sigma, e.value + SIGMAS_OF_95_PERCENT * e.sigma]
    });
    let stall = points().filter_map(|p| p.stall_kt.filter(|_| quantity.stall));
    let wanted = traces.iter().flat_map(|trace| &trace.banks_wanted).flat_map(|band| band.bank_deg);
    let wanted = wanted.filter(|_| quantity.title == BANK);
    let (low, high) = edges
        .chain(stall)
        .chain(wanted)
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), v| (low.min(v), high.max(v)));
    if !(low.is_finite() && high.is_finite()) {
        return None;
    }
    Some(widened((low, high), quantity.span_least))
}

/// A range with room about it, and at least this span.
fn widened((low, high): (f64, f64), span_least: f64) -> (f64, f64) {
    let missing = (span_least - (high - low)).max(0.0) / 2.0;
    let margin = missing + 0.04 * (high - low);
    (low - margin, high + margin)
}

/// A strip of a quantity that a computed flight has of its own; broken where it has no value.
fn own_strip(
    scene: &mut Scene,
    lead: &Trace,
    column: &TraceColumn,
    top: f64,
    x: &impl Fn(f64) -> f64,
) {
    // Two lines of about so many letters stand beside a strip.
    const LETTERS: usize = 10;
    let mut lines: Vec<String> = vec![String::new()];
    for word in column.title.split(' ') {
        let line = lines.last_mut().expect("one line at least");
        if line.is_empty() {
            line.push_str(word);
        } else if line.len() + word.len() < LETTERS {
            line.push(' ');
            line.push_str(word);
        } else {
            lines.push(word.into());
        }
    }
    let first = top + STRIP / 2.0 - 7.5 * (lines.len() - 1) as f64;
    for (index, line) in lines.into_iter().enumerate() {
        scene.small(at(2.0, first + 15.0 * index as f64), line, Anchor::Start, Role::Ink);
    }
    let finite = || column.values.iter().copied().filter(|value| value.is_finite());
    let low = finite().fold(f64::INFINITY, f64::min);
    let high = finite().fold(f64::NEG_INFINITY, f64::max);
    if low > high {
        return;
    }
    let (low, high) = widened((low, high), 10.0);
    let unit = if column.unit == "deg" { "°" } else { column.unit };
    let y = ordinate(scene, unit, (low, high), top);
    let step = lead.points.len().div_ceil(300).max(1);
    let all: Vec<(f64, f64)> =
        lead.points.iter().map(|p| p.progress_deg).zip(column.values.iter().copied()).collect();
    for run in all.split(|(_, value)| !value.is_finite()) {
        let mut line: Vec<Point> =
            run.iter().step_by(step).map(|&(progress, value)| at(x(progress), y(value))).collect();
        line.extend(run.last().map(|&(progress, value)| at(x(progress), y(value))));
        if line.len() > 1 {
            scene.chalk(line, lead.role);
        }
    }
}

/// Draws the scale of a strip and tells where its values stand.
fn ordinate(
    scene: &mut Scene,
    unit: &'static str,
    (low, high): (f64, f64),
    top: f64,
) -> impl Fn(f64) -> f64 + use<> {
    let (across, down, range) = ([LEFT, RIGHT], [top + STRIP, top], [low, high]);
    let scale = Scale { across, down, range, unit, axis: true };
    scene.scale(scale);
    move |value| scale.y(value)
}

/// The stall speed at the load flown: a line with posts on the forbidden side.
fn stall(scene: &mut Scene, traces: &[Trace], y: &impl Fn(f64) -> f64, x: &impl Fn(f64) -> f64) {
    let Some(trace) = traces.iter().find(|t| t.points.iter().any(|p| p.stall_kt.is_some())) else {
        return;
    };
    let line: Vec<Point> = trace
        .thinned(180)
        .iter()
        .filter_map(|p| p.stall_kt.map(|stall| at(x(p.progress_deg), y(stall))))
        .collect();
    let mut since_post = 0.0;
    for pair in line.windows(2) {
        since_post += hypot(pair[1].x - pair[0].x, pair[1].y - pair[0].y);
        if since_post >= POST_STEP {
            since_post = 0.0;
            let foot = pair[1];
            scene.line(foot, at(foot.x - 3.0, foot.y + 5.0), Mark::Posts, Role::Limit);
        }
    }
    scene.polyline(line, Mark::Stroke, Role::Limit);
}

fn curve(
    scene: &mut Scene,
    trace: &Trace,
    quantity: &Quantity,
    y: &impl Fn(f64) -> f64,
    x: &impl Fn(f64) -> f64,
) {
    let points: Vec<(f64, Estimate)> = trace
        .thinned(300)
        .iter()
        .filter_map(|p| Some((x(p.progress_deg), (quantity.get)(p)?)))
        .collect();
    if points.iter().any(|(_, estimate)| estimate.sigma > 0.0) {
        let edge = |sign: f64| {
            points
                .iter()
                .map(move |(x, e)| at(*x, y(e.value + sign * SIGMAS_OF_95_PERCENT * e.sigma)))
        };
        scene.polygon(edge(1.0).chain(edge(-1.0).rev()).collect(), Mark::Band, trace.role);
    }
    // Bank and heading jump where the nose passes straight up or down: no line is drawn through the jump.
    let jumps = |a: &(f64, Estimate), b: &(f64, Estimate)| {
        quantity.unit == "°" && (b.1.value - a.1.value).abs() > JUMP_DEG
    };
    for piece in points.chunk_by(|a, b| !jumps(a, b)) {
        scene.chalk(piece.iter().map(|(x, e)| at(*x, y(e.value))).collect(), trace.role);
    }
}
