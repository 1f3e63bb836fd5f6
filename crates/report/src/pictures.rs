//! The pictures: pure functions from traces to a scene. True or not drawn: every picture is a projection of the motion at
//! one scale; nothing is exaggerated. Where scale must give way (the ribbon is wider than the wing) the size lies, the
//! angle never.

mod curves;
mod ground_track;
mod hands;
mod margins;
mod nose_trace;
mod outside;
mod plan;
mod recorded;
mod seat;
mod strip;

pub use curves::curves;
pub use ground_track::ground_track;
pub use hands::hands;
pub use margins::margins;
pub use nose_trace::{nose_trace, nose_trace_card};
pub use outside::outside;
pub use plan::plan;
pub(crate) use recorded::rate_words;
pub use recorded::{availability, recorded_curves};
pub use seat::seat;
pub use strip::strip;

use crate::scene::{Anchor, Mark, Point, Role, Scene, at};
use crate::trace::Trace;

/// A box in a picture that something is fitted into.
#[derive(Debug, Clone, Copy)]
struct Frame {
    left: f64,
    top: f64,
    right: f64,
    bottom: f64,
}

/// One scale both ways, and where the origin stands.
#[derive(Debug, Clone, Copy)]
struct Fit {
    scale: f64,
    x: f64,
    y: f64,
}

impl Fit {
    /// The greatest scale at which all places (right, down) lie in the frame, centered. Nil extent is taken as one unit.
    fn new(places: &[Point], frame: Frame) -> Self {
        let low = |get: fn(&Point) -> f64| places.iter().map(get).fold(f64::INFINITY, f64::min);
        let high =
            |get: fn(&Point) -> f64| places.iter().map(get).fold(f64::NEG_INFINITY, f64::max);
        let (x0, x1, y0, y1) = (low(|p| p.x), high(|p| p.x), low(|p| p.y), high(|p| p.y));
        if !(x0.is_finite() && x1.is_finite() && y0.is_finite() && y1.is_finite()) {
            return Self { scale: 1.0, x: frame.left, y: frame.top };
        }
        let wide = (frame.right - frame.left) / (x1 - x0).max(1e-9);
        let tall = (frame.bottom - frame.top) / (y1 - y0).max(1e-9);
        let scale = wide.min(tall);
        Self {
            scale,
            x: (frame.left + frame.right) / 2.0 - scale * (x0 + x1) / 2.0,
            y: (frame.top + frame.bottom) / 2.0 - scale * (y0 + y1) / 2.0,
        }
    }
    fn place(&self, point: Point) -> Point {
        at(self.x + self.scale * point.x, self.y + self.scale * point.y)
    }
}

/// Names the strokes by a word, top left; a single reference needs none.
fn legend(scene: &mut Scene, traces: &[Trace]) {
    if traces.iter().all(|trace| trace.role == Role::Reference) {
        return;
    }
    let mut x = 8.0;
    for trace in traces {
        let word = match trace.role {
            Role::Attempt => "attempt, band 95 %",
            Role::Reflight => "re-flight",
            Role::Best => "greatest gain, no target",
            Role::Reference | Role::Limit | Role::Ink | Role::Muted | Role::Grid => "reference",
        };
        scene.polyline(vec![at(x, 10.0), at(x + 30.0, 10.0)], Mark::Stroke, trace.role);
        scene.small(at(x + 36.0, 14.0), word, Anchor::Start, Role::Muted);
        x += 60.0 + 7.0 * word.len() as f64;
    }
}
