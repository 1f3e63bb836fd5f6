//! A picture on a page, by the look that the style sheet gives its primitives.

use krilla::geom::Point as PdfPoint;
use krilla::paint::{FillRule, LineCap, Stroke, StrokeDash};
use krilla::surface::Surface;

use super::{Fonts, area, circle, filled, glyphs, path, pen, rectangle, stroked};
use crate::layout::face::{self, Cut, Weight};
use crate::render::look::{Element, Look};
use crate::scene::{Anchor, Item, Point, Scene};

/// Draws a picture with its top left corner at a place, cut off at its edges.
pub(super) fn draw(
    surface: &mut Surface,
    fonts: &Fonts,
    scene: &Scene,
    (at, scale): ([f64; 2], f64),
) {
    let Some(edge) = rectangle(at, scale * scene.width, scale * scene.height) else { return };
    surface.push_clip_path(&edge, &FillRule::NonZero);
    let pen = Pen { at, scale, lettering: scene.lettering };
    for item in &scene.items {
        pen.item(surface, fonts, item);
    }
    surface.pop();
}

/// Where a picture stands and how large it is drawn.
struct Pen {
    at: [f64; 2],
    scale: f64,
    /// Letters so many times as large.
    lettering: f64,
}

impl Pen {
    fn place(&self, point: Point) -> [f64; 2] {
        [self.at[0] + self.scale * point.x, self.at[1] + self.scale * point.y]
    }
    fn places(&self, points: &[Point]) -> Vec<[f64; 2]> {
        let finite = points.iter().filter(|point| point.x.is_finite() && point.y.is_finite());
        finite.map(|point| self.place(*point)).collect()
    }

    fn item(&self, surface: &mut Surface, fonts: &Fonts, item: &Item) {
        match item {
            Item::Polyline(points, style) => {
                let look = fonts.looks.of(Element::Polyline, *style);
                let line = || path(&self.places(points), false);
                self.drawn(surface, line, &look);
            }
            Item::Polygon(points, style) => {
                let look = fonts.looks.of(Element::Polygon, *style);
                self.drawn(surface, || path(&self.places(points), true), &look);
            }
            Item::Line(from, to, style) => {
                let look = fonts.looks.of(Element::Line, *style);
                self.drawn(surface, || path(&self.places(&[*from, *to]), false), &look);
            }
            Item::Circle(place, radius, style) => {
                let look = fonts.looks.of(Element::Circle, *style);
                let ring = || circle(self.place(*place), self.scale * radius);
                self.drawn(surface, ring, &look);
            }
            Item::Text(place, text, anchor, style) => {
                let look = fonts.looks.of(Element::Text, *style);
                self.words(surface, fonts, (self.place(*place), text, *anchor), &look);
            }
        }
    }

    /// Area first, line over it. What cannot be seen is not drawn.
    fn drawn(
        &self,
        surface: &mut Surface,
        path: impl Fn() -> Option<krilla::geom::Path>,
        look: &Look,
    ) {
        if let Some((color, opacity)) = look.fill.filter(|(_, opacity)| *opacity > 0.0) {
            filled(surface, path(), area(color, opacity));
        }
        if look.stroke.is_some_and(|(_, opacity)| opacity > 0.0) {
            stroked(surface, path(), self.stroke(look));
        }
    }

    fn stroke(&self, look: &Look) -> Stroke {
        let (color, opacity) = look.stroke.unwrap_or_default();
        let dash = (!look.dash.is_empty()).then(|| StrokeDash {
            array: look.dash.iter().map(|part| (part * self.scale) as f32).collect(),
            offset: 0.0,
        });
        let pen = pen(color, opacity, look.width * self.scale);
        let line_cap = if look.round { LineCap::Round } else { LineCap::Butt };
        Stroke { dash, line_cap, ..pen }
    }

    /// Words over their halo; the halo is drawn as an area, for it is not read.
    fn words(
        &self,
        surface: &mut Surface,
        fonts: &Fonts,
        (at, text, anchor): ([f64; 2], &str, Anchor),
        look: &Look,
    ) {
        let weight = if look.strong { Weight::Bold } else { Weight::Regular };
        let cut = Cut { weight, tabular: false };
        let size = look.size * self.scale * self.lettering;
        let wide = face::shape(cut, text).iter().map(|glyph| glyph.advance).sum::<f64>() * size;
        let left = match anchor {
            Anchor::Start => at[0],
            Anchor::Middle => at[0] - wide / 2.0,
            Anchor::End => at[0] - wide,
        };
        if !(left.is_finite() && at[1].is_finite()) {
            return;
        }
        let start = PdfPoint::from_xy(left as f32, at[1] as f32);
        let (glyphs, font) = (glyphs(cut, text), fonts.of(weight));
        if look.stroke.is_some() {
            surface.set_fill(None);
            surface.set_stroke(Some(self.stroke(look)));
            surface.draw_glyphs(start, &glyphs, font.clone(), text, size as f32, true);
        }
        let (color, opacity) = look.fill.unwrap_or_default();
        surface.set_stroke(None);
        surface.set_fill(Some(area(color, opacity)));
        surface.draw_glyphs(start, &glyphs, font, text, size as f32, false);
    }
}
