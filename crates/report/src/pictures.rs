//! The pictures: pure functions from traces to a scene. True or not drawn: every picture is a projection of the motion at
//! one scale; nothing is exaggerated. Where scale must give way (the ribbon is wider than the wing) the size lies, the
//! angle never.

mod curves;
mod nose_trace;
mod outside;
mod plan;
mod strip;

pub use curves::curves;
pub use nose_trace::nose_trace;
pub use outside::outside;
pub use plan::plan;
pub use strip::strip;

use crate::scene::{Point, at};

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

/// A round step (1, 2 or 5 times a power of ten) that cuts the span into at most `count` pieces.
fn round_step(span: f64, count: f64) -> f64 {
    let mut step = 1e-3;
    loop {
        for factor in [1.0, 2.0, 5.0] {
            if span / (step * factor) <= count || step > 1e12 {
                return step * factor;
            }
        }
        step *= 10.0;
    }
}
