//! The scale of a quantity beside a picture. A picture remembers its scales, so that they can be drawn again, with round steps, in
//! other units.

use super::{Anchor, Item, Mark, Role, Scene, at, style};
use crate::numbers::fixed;
use crate::units::Units;
use std::ops::Range;

/// Steps of a scale, about.
const STEPS: f64 = 4.0;
/// The numbers end so far before the lines, and stand so much lower than them.
const BEFORE: f64 = 6.0;
const LOWER: f64 = 4.0;

/// Lines from left to right at round values, with the numbers before them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Scale {
    /// Where the lines begin and end.
    pub(crate) across: [f64; 2],
    /// Where the least and the greatest value stand.
    pub(crate) down: [f64; 2],
    /// Least and greatest value, in the unit.
    pub(crate) range: [f64; 2],
    pub(crate) unit: &'static str,
    /// Whether zero is an axis.
    pub(crate) axis: bool,
}

/// A scale, and which of the picture's items are its own.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Placed {
    scale: Scale,
    items: Range<usize>,
}

/// A round step (1, 2 or 5 times a power of ten) that cuts the span into at most `count` pieces.
pub(crate) fn round_step(span: f64, count: f64) -> f64 {
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

impl Scale {
    /// Where a value stands.
    pub(crate) fn y(&self, value: f64) -> f64 {
        let ([low, high], [bottom, top]) = (self.range, self.down);
        bottom + (top - bottom) * (value - low) / (high - low)
    }

    fn items(&self) -> Vec<Item> {
        let ([low, high], [left, right]) = (self.range, self.across);
        let step = round_step(high - low, STEPS);
        let mut out = Vec::new();
        for index in (low / step).ceil() as i64..=(high / step).floor() as i64 {
            let value = step * index as f64;
            let y = self.y(value);
            let line = match index == 0 && self.axis {
                true => style(Mark::Axis, Role::Muted),
                false => style(Mark::Thin, Role::Grid),
            };
            out.push(Item::Line(at(left, y), at(right, y), line));
            let text = format!("{} {}", fixed(value, 0), self.unit).replace(" °", "°");
            let place = at(left - BEFORE, y + LOWER);
            out.push(Item::Text(place, text, Anchor::End, style(Mark::Small, Role::Muted)));
        }
        out
    }

    fn in_units(self, units: &Units) -> Option<Self> {
        let (unit, factor) = units.unit(self.unit)?;
        Some(Self { range: self.range.map(|value| factor * value), unit, ..self })
    }
}

impl Scene {
    /// Draws a scale.
    pub(crate) fn scale(&mut self, scale: Scale) {
        let from = self.items.len();
        self.items.extend(scale.items());
        self.scales.push(Placed { scale, items: from..self.items.len() });
    }

    /// Draws the scales again in other units.
    pub(crate) fn convert_scales(&mut self, units: &Units) {
        for index in 0..self.scales.len() {
            let Placed { scale, items } = self.scales[index].clone();
            let Some(other) = scale.in_units(units) else { continue };
            let drawn = other.items();
            let now = items.start..items.start + drawn.len();
            self.items.splice(items.clone(), drawn);
            self.scales[index] = Placed { scale: other, items: now.clone() };
            for later in &mut self.scales[index + 1..] {
                let moved = |place: usize| place - items.end + now.end;
                later.items = moved(later.items.start)..moved(later.items.end);
            }
        }
    }
}
