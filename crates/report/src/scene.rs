//! A picture as a list of primitives. Each has a role (what it means) and a mark (what kind of line or area it is), never
//! a color: the renderer's style gives both a look.

mod scale;

pub(crate) use scale::{Placed, Scale, round_step};

/// A picture. Coordinates run right and down, in units of about one pixel.
#[derive(Debug, Clone, PartialEq)]
pub struct Scene {
    /// What it shows, a few words.
    pub title: String,
    /// The same for people who do not see it: what can be read off.
    pub description: String,
    /// Width.
    pub width: f64,
    /// Height.
    pub height: f64,
    /// Letters are drawn so many times as large as the style says.
    pub lettering: f64,
    /// Drawn in order, later over earlier.
    pub items: Vec<Item>,
    /// Scales among them, in order.
    pub(crate) scales: Vec<Placed>,
}

/// A primitive.
#[derive(Debug, Clone, PartialEq)]
pub enum Item {
    /// An open line.
    Polyline(Vec<Point>, Style),
    /// A filled area.
    Polygon(Vec<Point>, Style),
    /// A straight line.
    Line(Point, Point, Style),
    /// A circle.
    Circle(Point, f64, Style),
    /// A short text at its base line.
    Text(Point, String, Anchor, Style),
}

/// A place in a picture.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Point {
    /// To the right.
    pub x: f64,
    /// Down.
    pub y: f64,
}

/// Shorthand for a place.
#[must_use]
pub const fn at(x: f64, y: f64) -> Point {
    Point { x, y }
}

/// Which end of a text stands at its place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Anchor {
    /// It begins there.
    Start,
    /// Its middle is there.
    Middle,
    /// It ends there.
    End,
}

/// What a primitive means and is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Style {
    /// Kind of line, area or text.
    pub mark: Mark,
    /// Meaning.
    pub role: Role,
}

/// Shorthand for a style.
#[must_use]
pub const fn style(mark: Mark, role: Role) -> Style {
    Style { mark, role }
}

/// Meaning of a primitive.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Role {
    /// The reference flight.
    Reference,
    /// The attempt.
    Attempt,
    /// The attempt flown again with one thing changed.
    Reflight,
    /// The physical best beside the reference.
    Best,
    /// A limit.
    Limit,
    /// Text, axes, now.
    Ink,
    /// Lesser text.
    Muted,
    /// Decoration without meaning.
    Grid,
}

/// Kind of a primitive.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Mark {
    /// The main line of a role.
    Stroke,
    /// The soft edge of a chalk stroke.
    Dust,
    /// The whole recording: solid.
    Flown,
    /// A hairline.
    Thin,
    /// An axis.
    Axis,
    /// Posts on the forbidden side of a limit.
    Posts,
    /// An uncertainty band.
    Band,
    /// The upper side of the ribbon.
    RibbonTop,
    /// The under side of the ribbon.
    RibbonUnder,
    /// A rung or a wing tick.
    Rung,
    /// A rung or a wing tick at a checkpoint.
    RungCheck,
    /// Shadow on the ground plane.
    Shadow,
    /// A part of the airplane that hides what is behind it.
    Solid,
    /// A drop line.
    Drop,
    /// A round mark.
    Dot,
    /// An arrow or a scale bar.
    Pointer,
    /// A text.
    Label,
    /// A small text.
    Small,
}

impl Role {
    /// Name of its class in style sheets.
    #[must_use]
    pub const fn class(self) -> &'static str {
        match self {
            Self::Reference => "reference",
            Self::Attempt => "attempt",
            Self::Reflight => "reflight",
            Self::Best => "best",
            Self::Limit => "limit",
            Self::Ink => "ink",
            Self::Muted => "muted",
            Self::Grid => "grid",
        }
    }
}

impl Mark {
    /// Name of its class in style sheets.
    #[must_use]
    pub const fn class(self) -> &'static str {
        match self {
            Self::Stroke => "stroke",
            Self::Dust => "dust",
            Self::Flown => "flown",
            Self::Thin => "thin",
            Self::Axis => "axis",
            Self::Posts => "posts",
            Self::Band => "band",
            Self::RibbonTop => "ribbon top",
            Self::RibbonUnder => "ribbon under",
            Self::Rung => "rung",
            Self::RungCheck => "rung check",
            Self::Shadow => "shadow",
            Self::Solid => "solid",
            Self::Drop => "drop",
            Self::Dot => "dot",
            Self::Pointer => "pointer",
            Self::Label => "label",
            Self::Small => "small",
        }
    }
}

impl Scene {
    /// An empty picture.
    #[must_use]
    pub fn new(title: &str, width: f64, height: f64) -> Self {
        let (items, scales) = (Vec::new(), Vec::new());
        let title = title.into();
        Self { title, description: String::new(), width, height, lettering: 1.0, items, scales }
    }
    /// Adds a straight line.
    pub(crate) fn line(&mut self, from: Point, to: Point, mark: Mark, role: Role) {
        self.items.push(Item::Line(from, to, style(mark, role)));
    }
    /// Adds an open line; one point draws nothing.
    pub(crate) fn polyline(&mut self, points: Vec<Point>, mark: Mark, role: Role) {
        if points.len() > 1 {
            self.items.push(Item::Polyline(points, style(mark, role)));
        }
    }
    /// Adds the main line of a role with its soft edge.
    pub(crate) fn chalk(&mut self, points: Vec<Point>, role: Role) {
        if !matches!(role, Role::Reflight | Role::Best) {
            self.polyline(points.clone(), Mark::Dust, role);
        }
        self.polyline(points, Mark::Stroke, role);
    }
    /// Adds an area.
    pub(crate) fn polygon(&mut self, points: Vec<Point>, mark: Mark, role: Role) {
        self.items.push(Item::Polygon(points, style(mark, role)));
    }
    /// Adds a circle.
    pub(crate) fn circle(&mut self, place: Point, radius: f64, mark: Mark, role: Role) {
        self.items.push(Item::Circle(place, radius, style(mark, role)));
    }
    /// Adds a small text.
    pub(crate) fn small(
        &mut self,
        place: Point,
        text: impl Into<String>,
        anchor: Anchor,
        role: Role,
    ) {
        self.items.push(Item::Text(place, text.into(), anchor, style(Mark::Small, role)));
    }
    /// Adds a text.
    pub(crate) fn label(&mut self, place: Point, text: impl Into<String>, anchor: Anchor) {
        self.items.push(Item::Text(place, text.into(), anchor, style(Mark::Label, Role::Ink)));
    }
}
