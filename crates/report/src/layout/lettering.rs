//! The lettering of a picture on paper: never smaller than can be read, no text on another.

use super::face::{CAPITAL_EM, Cut, DESCENT_EM, Weight, Widths};
use crate::render::letters;
use crate::scene::{Anchor, Item, Mark, Point, Role, Scene, Style, at};

/// Height of a line of it, ems: capitals, what hangs under the base line, and a little air.
const LINE_EM: f64 = CAPITAL_EM + DESCENT_EM + 0.06;
/// Words may be set so far from where the picture has them, lines up or down and shares of their width aside; the nearest first.
const MOVES: [[f64; 2]; 13] = [
    [0.0, 0.0],
    [0.0, -0.4],
    [0.0, 0.4],
    [-0.35, 0.0],
    [0.35, 0.0],
    [0.0, -0.9],
    [0.0, 0.9],
    [-0.6, 0.0],
    [0.6, 0.0],
    [-0.6, -0.6],
    [0.6, -0.6],
    [-0.6, 0.6],
    [0.6, 0.6],
];

/// A text of a picture with the room that it takes, in units of the picture.
#[derive(Debug, Clone, PartialEq)]
pub struct Lettered {
    /// What it says.
    pub text: String,
    /// Size of its face.
    pub size: f64,
    /// Top left corner.
    pub from: [f64; 2],
    /// Bottom right corner.
    pub to: [f64; 2],
}

impl Lettered {
    /// Whether both take the same room somewhere.
    #[must_use]
    pub fn meets(&self, other: &Self) -> bool {
        (0..2).all(|axis| self.from[axis] < other.to[axis] && other.from[axis] < self.to[axis])
    }
}

/// The texts of a picture with the room that they take, in the order in which they are drawn.
#[must_use]
pub fn lettering(scene: &Scene) -> Vec<Lettered> {
    let mut widths = Widths::default();
    let text = |item: &Item| match item {
        Item::Text(place, text, anchor, style) => {
            Some(room(&mut widths, scene.lettering, (*place, text, *anchor, *style)))
        }
        _ => None,
    };
    scene.items.iter().filter_map(text).collect()
}

/// The room of a text at its place.
fn room(
    widths: &mut Widths,
    factor: f64,
    (place, text, anchor, style): (Point, &str, Anchor, Style),
) -> Lettered {
    let (size, strong) = letters(style);
    let weight = if strong { Weight::Bold } else { Weight::Regular };
    let size = factor * size;
    let wide = widths.of(Cut { weight, tabular: false }, text) * size;
    let left = match anchor {
        Anchor::Start => place.x,
        Anchor::Middle => place.x - wide / 2.0,
        Anchor::End => place.x - wide,
    };
    let (top, bottom) =
        (place.y - (LINE_EM - DESCENT_EM) * size, place.y + 0.7 * DESCENT_EM * size);
    Lettered { text: text.to_owned(), size, from: [left, top], to: [left + wide, bottom] }
}

/// The picture as it is drawn at a scale, points for a unit: its letters enlarged where they would be smaller than `least` points, and
/// every text where it lies on no other, on no round mark if there is such a place, and inside of the picture. What finds no place within
/// reach is left out, the least important first: names and notes stay before checkpoints (which stand in a table), these before the
/// numbers of scales.
pub(super) fn legible(scene: &Scene, scale: f64, least: f64, widths: &mut Widths) -> Scene {
    let mut out = scene.clone();
    let sizes = scene.items.iter().filter_map(|item| match item {
        Item::Text(.., style) => Some(letters(*style).0),
        _ => None,
    });
    let smallest = sizes.fold(f64::INFINITY, f64::min);
    // to the hundredth, upwards: renderers write it with as many digits
    out.lettering = ((100.0 * least / (scale * smallest)).ceil() / 100.0).max(1.0);
    if out.lettering > 1.0 {
        push_away(&mut out);
    }
    break_wide(&mut out, widths);
    let dots: Vec<Lettered> = out.items.iter().filter_map(dot).collect();
    let mut placed: Vec<Lettered> = Vec::new();
    let mut lost = Vec::new();
    for index in by_importance(&out.items) {
        let Item::Text(place, text, anchor, style) = &out.items[index] else { continue };
        if text.is_empty() {
            continue;
        }
        let (place, anchor, style) = (*place, *anchor, *style);
        let own = room(widths, out.lettering, (place, text, anchor, style));
        let fixed = is_of_scale(text, style);
        let moves = if fixed { &MOVES[..1] } else { &MOVES[..] };
        let free = |marks: &[Lettered]| {
            moves.iter().find_map(|by| {
                let (by, moved) = moved(&own, *by, [scene.width, scene.height]);
                let mut taken = placed.iter().chain(marks);
                taken.all(|other| !other.meets(&moved)).then_some((by, moved))
            })
        };
        let marks: &[Lettered] = if fixed { &[] } else { &dots };
        match free(marks).or_else(|| free(&[])) {
            Some(([right, down], moved)) => {
                let place = at(place.x + right, place.y + down);
                out.items[index] = Item::Text(place, text.clone(), anchor, style);
                placed.push(moved);
            }
            None => lost.push(index),
        }
    }
    if !lost.is_empty() {
        let mut index = 0;
        out.items.retain(|_| {
            index += 1;
            !lost.contains(&(index - 1))
        });
        // they say which items are theirs, and pages are never converted
        out.scales.clear();
    }
    out
}

/// The room of a round mark of a flight.
fn dot(item: &Item) -> Option<Lettered> {
    let Item::Circle(place, radius, style) = item else { return None };
    (style.mark == Mark::Dot && style.role != Role::Muted).then(|| Lettered {
        text: String::new(),
        size: 0.0,
        from: [place.x - radius, place.y - radius],
        to: [place.x + radius, place.y + radius],
    })
}

/// Labels that stand beside a round mark move away from it as their letters grow.
fn push_away(scene: &mut Scene) {
    const BESIDE: f64 = 26.0;
    let dots: Vec<Lettered> = scene.items.iter().filter_map(dot).collect();
    let middle =
        |dot: &Lettered| at((dot.from[0] + dot.to[0]) / 2.0, (dot.from[1] + dot.to[1]) / 2.0);
    for item in &mut scene.items {
        let Item::Text(place, _, Anchor::Middle, style) = item else { continue };
        if style.mark != Mark::Label {
            continue;
        }
        // half of the height of capitals over the base line is the middle of a label
        let rise = CAPITAL_EM * letters(*style).0 / 2.0;
        let away = |dot: &Lettered| (place.x - middle(dot).x, place.y - rise - middle(dot).y);
        let far = |(x, y): (f64, f64)| base::math::hypot(x, y);
        let nearest = dots.iter().map(away).min_by(|a, b| far(*a).total_cmp(&far(*b)));
        if let Some((x, y)) = nearest.filter(|by| far(*by) < BESIDE) {
            let more = scene.lettering - 1.0;
            *place = at(place.x + more * x, place.y + more * y + more * rise);
        }
    }
}

/// Texts wider than the picture stand on two lines, the second where the text stood.
fn break_wide(scene: &mut Scene, widths: &mut Widths) {
    for index in (0..scene.items.len()).rev() {
        let Item::Text(place, text, anchor, style) = &scene.items[index] else { continue };
        let (place, anchor, style) = (*place, *anchor, *style);
        let own = room(widths, scene.lettering, (place, text, anchor, style));
        if own.to[0] - own.from[0] <= scene.width {
            continue;
        }
        let blanks = text.match_indices(' ').map(|(byte, _)| byte);
        let Some(blank) = blanks.min_by_key(|byte| byte.abs_diff(text.len() / 2)) else { continue };
        let (first, second) = (text[..blank].to_owned(), text[blank + 1..].to_owned());
        let above = at(place.x, place.y - LINE_EM * own.size);
        scene.items[index] = Item::Text(above, first, anchor, style);
        scene.items.insert(index + 1, Item::Text(place, second, anchor, style));
        scene.scales.clear();
    }
}

/// A room moved by lines and shares of its width, then as far as it takes to lie inside of the picture; and how far that is.
fn moved(own: &Lettered, by: [f64; 2], size: [f64; 2]) -> ([f64; 2], Lettered) {
    let extent = [own.to[0] - own.from[0], LINE_EM * own.size];
    let by: [f64; 2] = std::array::from_fn(|axis| {
        let wanted = by[axis] * extent[axis];
        let most = size[axis] - own.to[axis];
        (wanted.min(most)).max(-own.from[axis])
    });
    let to = |at: [f64; 2]| [at[0] + by[0], at[1] + by[1]];
    (by, Lettered { from: to(own.from), to: to(own.to), ..own.clone() })
}

/// Whether a text is a number that stands at its line, or goes.
fn is_of_scale(text: &str, style: Style) -> bool {
    let number = text.starts_with(|first: char| first.is_ascii_digit() || "+-−–".contains(first));
    style.mark == Mark::Small && style.role == Role::Muted && number
}

/// The texts among the items, the most important first: names and notes, labels (the first, the last, every other, the rest), numbers
/// of scales.
fn by_importance(items: &[Item]) -> Vec<usize> {
    let (mut words, mut labels, mut numbers) = (Vec::new(), Vec::new(), Vec::new());
    for (index, item) in items.iter().enumerate() {
        let Item::Text(_, text, _, style) = item else { continue };
        match style.mark {
            Mark::Label => labels.push(index),
            _ if is_of_scale(text, *style) => numbers.push(index),
            _ => words.push(index),
        }
    }
    let last = labels.len().saturating_sub(1);
    let rank = |place: usize| (place != 0, place != last, place % 2);
    let mut places: Vec<usize> = (0..labels.len()).collect();
    places.sort_by_key(|place| rank(*place));
    words.into_iter().chain(places.into_iter().map(|place| labels[place])).chain(numbers).collect()
}

#[cfg(test)]
mod tests {
    use super::{legible, lettering};
    use crate::layout::face::Widths;
    use crate::scene::{Anchor, Role, Scene, at};

    #[test]
    fn prop_letters_are_enlarged_and_the_less_important_of_two_gives_way() {
        let mut scene = Scene::new("picture", 400.0, 300.0);
        scene.small(at(396.0, 100.0), "road", Anchor::Middle, Role::Ink);
        for index in 0..12 {
            let place = at(100.0 + 2.0 * f64::from(index), 200.0);
            scene.label(place, format!("{}°", 30 * index), Anchor::Middle);
        }
        for index in 0..40 {
            let place = at(10.0 * f64::from(index), 290.0);
            scene.small(place, format!("{index}"), Anchor::Start, Role::Muted);
        }
        let small = legible(&scene, 0.25, 6.0, &mut Widths::default());
        let texts = lettering(&small);
        assert!(texts.iter().all(|text| 0.25 * text.size >= 6.0), "{texts:?}");
        let said: Vec<&str> = texts.iter().map(|text| text.text.as_str()).collect();
        for kept in ["road", "0°", "330°"] {
            assert!(said.contains(&kept), "{kept}: {said:?}");
        }
        assert!(texts.len() < 40, "{said:?}");
        for (index, text) in texts.iter().enumerate() {
            assert!(texts[..index].iter().all(|other| !other.meets(text)), "{text:?}");
            assert!(text.from[0] >= 0.0 && text.to[0] <= 400.0, "{text:?}");
        }
        // what has room is left alone
        let mut one = Scene::new("picture", 400.0, 300.0);
        one.small(at(200.0, 100.0), "road", Anchor::Middle, Role::Ink);
        assert_eq!(legible(&one, 0.6, 6.0, &mut Widths::default()), one);
    }
}
