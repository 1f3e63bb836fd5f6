//! How a primitive of a picture looks on paper, read out of the style sheet of the pictures: for renderers that know no style
//! sheets. The sheet stays the only place where it is written.

use std::cell::RefCell;
use std::collections::HashMap;
use std::rc::Rc;
use std::sync::LazyLock;

use super::style;
use crate::scene::Style;

/// A color of paper, red, green, blue.
pub(super) type Rgb = [u8; 3];

/// How a primitive looks. Lengths in units of the picture.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Look {
    /// Color and opacity of its area.
    pub(super) fill: Option<(Rgb, f64)>,
    /// Color and opacity of its line.
    pub(super) stroke: Option<(Rgb, f64)>,
    /// Width of its line.
    pub(super) width: f64,
    /// Strokes and gaps of its line; empty for a whole one.
    pub(super) dash: Vec<f64>,
    /// Whether its line has round ends.
    pub(super) round: bool,
    /// Size of its face.
    pub(super) size: f64,
    /// Whether its face is strong.
    pub(super) strong: bool,
}

/// The element that a primitive is in a style sheet.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub(super) enum Element {
    Polyline,
    Polygon,
    Line,
    Circle,
    Text,
}

impl Element {
    const fn name(self) -> &'static str {
        match self {
            Self::Polyline => "polyline",
            Self::Polygon => "polygon",
            Self::Line => "line",
            Self::Circle => "circle",
            Self::Text => "text",
        }
    }
}

/// A rule of the sheet: element or none, classes, declarations.
struct Rule {
    element: Option<&'static str>,
    classes: Vec<&'static str>,
    declarations: Vec<(&'static str, String)>,
}

static RULES: LazyLock<Vec<Rule>> = LazyLock::new(|| rules(style::PICTURE_RULES));

/// Element, mark and role of a primitive.
type LookKey = (Element, &'static str, &'static str);

/// Looks that were read out of the sheet before: a picture has a thousand primitives and a dozen looks.
#[derive(Default)]
pub(super) struct Looks {
    known: RefCell<HashMap<LookKey, Rc<Look>>>,
}

impl Looks {
    /// How a primitive looks on paper.
    pub(super) fn of(&self, element: Element, style: Style) -> Rc<Look> {
        let key = (element, style.mark.class(), style.role.class());
        let mut known = self.known.borrow_mut();
        Rc::clone(known.entry(key).or_insert_with(|| Rc::new(of(element, style))))
    }
}

/// How a primitive looks on paper.
pub(super) fn of(element: Element, style: Style) -> Look {
    let mark = style.mark.class();
    let classes: Vec<&str> = mark.split(' ').chain([style.role.class()]).collect();
    let fits = |rule: &&Rule| {
        rule.element.is_none_or(|name| name == element.name())
            && rule.classes.iter().all(|class| classes.contains(class))
    };
    let mut found: Vec<&Rule> = RULES.iter().filter(fits).collect();
    // the more special rule wins, of equal ones the later
    found.sort_by_key(|rule| (rule.classes.len(), rule.element.is_some()));
    let declared = found.iter().flat_map(|rule| &rule.declarations);
    let values: HashMap<&str, &str> =
        declared.map(|(name, value)| (*name, value.as_str())).collect();
    look(&values)
}

fn look(values: &HashMap<&str, &str>) -> Look {
    let number =
        |name: &str| values.get(name).and_then(|text| text.trim_end_matches("px").parse().ok());
    let opacity = number("opacity").unwrap_or(1.0);
    let paint = |name: &str, share: &str| {
        let color = values.get(name).filter(|text| **text != "none")?;
        Some((rgb(color)?, opacity * number(share).unwrap_or(1.0)))
    };
    // without a word of the sheet an area is black and a line is none
    let fill = match values.get("fill") {
        None => Some(([0; 3], opacity)),
        Some(_) => paint("fill", "fill-opacity"),
    };
    let dash = values.get("stroke-dasharray").map_or_else(Vec::new, |text| {
        text.split(' ').filter_map(|part| part.parse().ok()).collect()
    });
    let mut font = values.get("font").map_or("", |font| font).split(' ');
    let weight: f64 = font.next().and_then(|text| text.parse().ok()).unwrap_or(400.0);
    let size = font.next().and_then(|text| text.trim_end_matches("px").parse().ok());
    Look {
        fill,
        stroke: paint("stroke", "stroke-opacity"),
        width: number("stroke-width").unwrap_or(1.0),
        dash,
        round: values.get("stroke-linecap").is_some_and(|cap| *cap == "round"),
        size: number("font-size").or(size).unwrap_or(13.0),
        strong: number("font-weight").unwrap_or(weight) > 550.0,
    }
}

fn rgb(text: &str) -> Option<Rgb> {
    let digits = text.strip_prefix('#')?;
    let byte = |at: usize| u8::from_str_radix(digits.get(at..at + 2)?, 16).ok();
    Some([byte(0)?, byte(2)?, byte(4)?])
}

/// A token of the look as a color of paper.
pub(super) fn token(name: &str) -> Rgb {
    rgb(&style::printed(&format!("var(--{name})"))).unwrap_or_default()
}

/// The rules of the sheet that concern what stands in a picture.
fn rules(sheet: &'static str) -> Vec<Rule> {
    let mut out = Vec::new();
    for (selectors, body) in sheet.split('}').filter_map(|rule| rule.split_once('{')) {
        let declaration = |text: &'static str| {
            let (name, value) = text.split_once(':')?;
            Some((name.trim(), style::printed(value.trim())))
        };
        let declarations: Vec<_> = body.split(';').filter_map(declaration).collect();
        for selector in selectors.split(',') {
            let Some(inner) = selector.trim().strip_prefix("svg.scene ") else { continue };
            let mut parts = inner.split('.');
            let element = parts.next().filter(|name| !name.is_empty());
            let declarations = declarations.clone();
            out.push(Rule { element, classes: parts.collect(), declarations });
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::{Element, of, token};
    use crate::scene::{Mark, Role, style};

    #[test]
    fn prop_the_style_sheet_is_read_as_a_browser_does() {
        let attempt = of(Element::Polyline, style(Mark::Stroke, Role::Attempt));
        assert_eq!((attempt.width, attempt.dash, attempt.round), (2.6, vec![9.0, 4.0], false));
        assert_eq!(attempt.stroke, Some((token("attempt"), 1.0)));
        assert_eq!(attempt.fill, None);
        let label = of(Element::Text, style(Mark::Label, Role::Limit));
        assert_eq!((label.size, label.strong, label.width), (14.0, true, 3.0));
        assert_eq!(label.fill, Some((token("limit"), 1.0)));
        assert_eq!(label.stroke, Some(([255; 3], 1.0)));
        let under = of(Element::Polygon, style(Mark::RibbonUnder, Role::Reference));
        assert_eq!(under.fill, Some((token("reference"), 0.15)));
        assert_eq!(under.stroke, None);
        let muted = of(Element::Circle, style(Mark::Dot, Role::Muted));
        assert_eq!((muted.fill, muted.stroke), (Some((token("muted"), 1.0)), None));
        let dust = of(Element::Polyline, style(Mark::Dust, Role::Reference));
        assert_eq!(dust.stroke.map(|(_, opacity)| opacity), Some(0.0));
    }
}
