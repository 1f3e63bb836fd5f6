//! What several papers of a brief say.

use crate::model::{Block, Cell, ColumnHead, Fact, Table, Tone};
use crate::numbers::{fixed, signed};
use crate::pictures;
use crate::scene::Scene;
use crate::trace::Trace;
use base::factors::{M_PER_FT, MPS_PER_KT, RAD_PER_DEG};
use maneuver::ReferenceFlight;
use maneuver::brief::{Brief, Limit, LimitSide, Whose};
use maneuver::definition::Progress;
use maneuver::reference::ReferencePart;

/// Verdict and reasons, without the purpose.
pub(super) fn verdict(blocks: &mut Vec<Block>, brief: &Brief) {
    crate::brief::verdict(blocks, brief);
    if matches!(blocks.last(), Some(Block::Paragraph(_))) {
        blocks.pop();
    }
}

/// The numbers that are read first; none where there is no flight.
pub(super) fn facts(brief: &Brief) -> Option<Block> {
    let first = brief.sides.first()?.samples.first()?;
    let worst = |get: fn(&ReferenceFlight) -> f64| brief.sides.iter().map(get);
    let slowest = worst(|flight| flight.extremes.speed_min_kt).fold(f64::INFINITY, f64::min);
    let load = worst(|flight| flight.extremes.load_factor_max).fold(0.0, f64::max);
    let fact = |value: String, unit, words: &str| Fact { value, unit, words: words.into() };
    let floor = match brief.floor_ft() {
        Some(floor) => fact(fixed(floor, 0), "ft", "floor"),
        None => {
            let above = brief.maneuver.floor().above_ground.to_ft();
            fact(fixed(above, 0), "ft", "floor, above ground")
        }
    };
    Some(Block::Facts(vec![
        fact(fixed(first.indicated_airspeed_mps / MPS_PER_KT, 0), "kt", "entry"),
        fact(fixed(first.height_m / M_PER_FT, 0), "ft", "entry height"),
        floor,
        fact(fixed(slowest, 0), "kt", "slowest"),
        fact(fixed(load, 1), "g", "greatest load"),
    ]))
}

/// A row of a table of checkpoints, and what it says without the place.
fn row(flight: &ReferenceFlight, at: &maneuver::reference::Checkpoint, entry_m: f64) -> Vec<Cell> {
    let s = &at.sample;
    let place = crate::brief::place(flight, at.progress_deg);
    let sign = flight.progress.sign();
    [
        if flight.phases.is_empty() { format!("{place}{sign}") } else { place },
        fixed((s.bank_rad / RAD_PER_DEG).abs(), 0),
        signed(s.pitch_rad / RAD_PER_DEG, 0),
        fixed(s.indicated_airspeed_mps / MPS_PER_KT, 0),
        signed((s.height_m - entry_m) / M_PER_FT, 0),
        fixed(s.load_factor, 1),
    ]
    .map(Cell::Text)
    .into()
}

fn rows(flight: &ReferenceFlight, part: &ReferencePart) -> Vec<Vec<Cell>> {
    let entry_m = flight.samples.first().map_or(0.0, |sample| sample.height_m);
    part.checkpoints.iter().map(|at| row(flight, at, entry_m)).collect()
}

/// The checkpoints of all sides in as few tables as tell everything: what is the same both ways is told once.
pub(super) fn checkpoints(brief: &Brief) -> Vec<Table> {
    let mut told: Vec<(String, Vec<Vec<Cell>>)> = Vec::new();
    for flight in &brief.sides {
        let several = flight.parts.len() > 1;
        for (index, part) in flight.parts.iter().enumerate() {
            let rows = rows(flight, part);
            let sided = brief.maneuver.sided(&flight.form);
            let name = match (several, sided) {
                (true, _) if brief.maneuver.shape().alternating => {
                    format!("{} part, {}", ordinal(index), part.direction.word())
                }
                (true, true) => format!("{}, part {}", flight.direction.word(), index + 1),
                (true, false) => format!("part {}", index + 1),
                (false, true) => format!("to the {}", flight.direction.word()),
                (false, false) => String::new(),
            };
            match told.iter_mut().find(|(_, known)| *known == rows) {
                // the other side of what is told already
                Some((names, _)) => match (several, sided) {
                    (_, true) if !brief.maneuver.shape().alternating => {
                        *names = match several {
                            true => format!("part {}, both ways", index + 1),
                            false => "both ways".into(),
                        }
                    }
                    _ => *names = format!("{names}; {name}"),
                },
                None => told.push((name, rows)),
            }
        }
    }
    let several = told.len() > 1;
    let table = |(names, rows): (String, Vec<Vec<Cell>>)| Table {
        caption: if several { capital(&names) } else { String::new() },
        columns: heads(brief),
        rows,
    };
    told.into_iter().map(table).collect()
}

fn ordinal(index: usize) -> String {
    ["first", "second", "third", "fourth"]
        .get(index)
        .map_or_else(|| format!("{}th", index + 1), |word| (*word).into())
}

fn capital(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

fn heads(brief: &Brief) -> Vec<ColumnHead> {
    let place = brief.sides.first().map_or_else(
        || ColumnHead::words("at"),
        |flight| match flight.phases.len() {
            0 => ColumnHead::words(flight.progress.word()),
            _ => ColumnHead::words("begins"),
        },
    );
    vec![
        place,
        ColumnHead::number("bank", "°"),
        ColumnHead::number("pitch", "°"),
        ColumnHead::number("speed", "kt"),
        ColumnHead::number("height", "ft"),
        ColumnHead::number("load", "g"),
    ]
}

/// A picture of a flight.
pub(super) type Draw = fn(&[Trace]) -> Option<Scene>;

/// The pictures that tell most of a figure, the first one first: what a turn does to the nose, how a figure on the ground lies, the
/// shape of a loop.
pub(super) fn telling(brief: &Brief) -> [Draw; 2] {
    match brief.maneuver.shape().progress {
        Progress::Turn => [pictures::nose_trace, pictures::outside],
        Progress::Position => [pictures::plan, pictures::outside],
        _ => [pictures::outside, pictures::nose_trace],
    }
}

/// The same for half of a small page.
pub(super) fn telling_on_a_card(brief: &Brief) -> [Draw; 2] {
    match brief.maneuver.shape().progress {
        Progress::Turn => [pictures::nose_trace_card, pictures::outside],
        _ => telling(brief),
    }
}

/// Pictures of every side, each titled with its side.
pub(super) fn drawn(brief: &Brief, draw: Draw) -> Vec<Scene> {
    let air = brief.day.wind.velocity();
    let one = |flight: &ReferenceFlight| {
        let mut scene = draw(&[Trace::of_reference(flight, Some((air.x, air.y)))])?;
        if brief.maneuver.sided(&flight.form) {
            scene.title = format!("{}, to the {}", scene.title, flight.direction.word());
        }
        Some(scene)
    };
    brief.sides.iter().filter_map(one).collect()
}

/// The limits that matter most: a brief has them in that order.
fn chosen(brief: &Brief, most: usize) -> Vec<&Limit> {
    brief.limits.iter().take(most).collect()
}

/// The margins of the limits that matter most, drawn.
pub(super) fn margins(brief: &Brief, most: usize) -> Option<Block> {
    pictures::margins(&chosen(brief, most)).map(Block::Figure)
}

/// The limits that matter most, in numbers.
pub(super) fn limits(brief: &Brief, most: usize) -> Option<Table> {
    let chosen = chosen(brief, most);
    if chosen.is_empty() {
        return None;
    }
    let row = |limit: &&Limit| -> Vec<Cell> {
        let decimals = crate::brief::limit_decimals(limit);
        let unit = crate::brief::unit_text(limit.unit);
        let space = if unit == "°" { "" } else { " " };
        let (tone, word) = match limit.kept {
            true => (Tone::Met, signed(limit.margin, decimals)),
            false => (Tone::NotMet, signed(limit.margin, decimals)),
        };
        let bound = match limit.side {
            LimitSide::Above => "at most",
            LimitSide::Below => "at least",
        };
        vec![
            limit.title.into(),
            Cell::from(format!("{}{space}{unit}", fixed(limit.value, decimals))).of(limit.unit),
            Cell::from(format!("{bound} {}", fixed(limit.limit, decimals))).of(limit.unit),
            Cell::Verdict(tone, word).of(limit.unit),
        ]
    };
    let left_out = brief.limits.len() - chosen.len();
    let caption = match left_out {
        0 => "Limits, worst over the sides".into(),
        some => format!("Limits, worst over the sides; {some} more in the whole brief"),
    };
    Some(Table {
        caption,
        columns: vec![
            ColumnHead::words("limit"),
            ColumnHead::number("flown", ""),
            ColumnHead::number("bound", ""),
            ColumnHead::words("margin"),
        ],
        rows: chosen.iter().map(row).collect(),
    })
}

/// Lines that only people can check, without those of a country.
pub(super) fn yours_to_check(brief: &Brief) -> Vec<String> {
    let yours = brief.safety.iter();
    let yours = yours.filter(|line| line.whose == Whose::YoursToCheck && line.country.is_none());
    yours.map(crate::brief::safety_line).collect()
}

/// The escape as the safety sheet has it.
pub(super) fn escape(brief: &Brief) -> Option<Block> {
    const HEAD: &str = "escape, from any point: ";
    let found = brief.safety.iter().find_map(|line| line.line.text.strip_prefix(HEAD))?;
    Some(Block::Lead("Escape, from any point".into(), format!("{}.", capital(found))))
}
