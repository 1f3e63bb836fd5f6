//! What flights say of an airplane beside the figures of its manual: before and after, stretch by stretch in groups.

use base::factors::{MPS_PER_FPM, MPS_PER_KT};
use handbook::figures::Figures;
use handbook::file::Built;
use handbook::flown::indicator::Row;
use handbook::flown::pulls::Engine;
use handbook::flown::update::Compared;
use handbook::flown::{Updated, indicator};
use handbook::outlook;

use crate::SAFETY_SENTENCE;
use crate::airplane_build::{in_unit, residuals, unknowns};
use crate::model::{Block, Cell, ColumnHead, Document, Table, Tone};
use crate::numbers::{SIGMAS_OF_95_PERCENT, fixed, signed};

/// What the document is made from: figures, fit, position error, airplane file.
pub type Parts<'a> = (&'a Figures, &'a Updated, &'a [Row], &'a Built);

/// The document.
#[must_use]
pub fn document((figures, updated, position, built): Parts<'_>) -> Document {
    let mut blocks = vec![Block::Caution(SAFETY_SENTENCE.into()), verdict(updated)];
    if !updated.doubtful.is_empty() {
        blocks.push(Block::Heading(2, "Why not".into()));
        let words = |one: &handbook::flown::Doubtful| format!("{} ({})", one.what, one.hint);
        blocks.push(Block::List(updated.doubtful.iter().map(words).collect()));
    }
    let mut add = |heading: &str, table: Table| {
        blocks.push(Block::Heading(2, heading.into()));
        blocks.push(Block::Table(table));
    };
    add("Flights", flights(updated));
    add("Stretches flown, before and after", groups(updated));
    add("What it will do, at greatest mass in standard air", predictions(figures, updated));
    add("Figures of the manual beside the airplane", residuals(&updated.after));
    if !position.is_empty() {
        add("Position error of the airspeed indicator", position_table(position));
    }
    add("Fitted", unknowns(&updated.after));
    let notes: Vec<String> = built.notes.iter().chain(&updated.after.notes).cloned().collect();
    if !notes.is_empty() {
        blocks.push(Block::Heading(2, "Not of the manual, or left out".into()));
        blocks.push(Block::List(notes));
    }
    let subtitle = format!("{}: from {} and its flights", figures.id, figures.source);
    Document { title: figures.name.clone(), subtitle, blocks }
}

fn verdict(updated: &Updated) -> Block {
    if updated.doubtful.is_empty() {
        Block::Verdict(Tone::Met, "figures and flights go together".into())
    } else {
        let words = "figures and flights do not go together: no airplane is made of them";
        Block::Verdict(Tone::NotMet, words.into())
    }
}

fn flights(updated: &Updated) -> Table {
    let share = |(value, sigma): (f64, f64)| {
        format!("{} within {}", signed(100.0 * (value - 1.0), 1), fixed(196.0 * sigma, 1))
    };
    let row = |one: &handbook::flown::update::FlightFound| {
        let told = if one.mass_told { "told" } else { "usual" };
        let name = one.name.rsplit(['/', '\\']).next().unwrap_or(&one.name);
        let cells = [
            name.to_string(),
            format!("{} ({told})", fixed(one.mass_kg, 0)),
            share(one.mass_share),
            share(one.speed_share),
            format!("{} of {}", one.used, one.found),
        ];
        cells.map(Cell::Text).into()
    };
    Table {
        caption: "What each flight shows against what was told, 95 %; a stretch is used where it is known what pulls".into(),
        columns: vec![
            ColumnHead::words("recording"),
            ColumnHead::number("mass", "kg"),
            ColumnHead::number("mass shown", "%"),
            ColumnHead::number("airspeed shown", "%"),
            ColumnHead::number("stretches used", ""),
        ],
        rows: updated.flights.iter().map(row).collect(),
    }
}

/// Width of a group of speeds.
const BAND_MPS: f64 = 15.0 * MPS_PER_KT;

fn engine_words(engine: Engine) -> &'static str {
    match engine {
        Engine::Full => "full throttle",
        Engine::Idle => "idle",
        Engine::Turning | Engine::Unknown => "by rpm",
    }
}

/// Stretches of one kind, one setting and one band of speeds.
fn groups(updated: &Updated) -> Table {
    let key = |one: &Compared| {
        (engine_words(one.engine), (one.calibrated_mps / BAND_MPS) as usize, one.kind)
    };
    let mut all: Vec<&Compared> = updated.stretches.iter().collect();
    all.sort_by_key(|one| key(one));
    let rows = all.chunk_by(|a, b| key(a) == key(b)).map(group);
    Table {
        caption: "Specific excess power: rate of climb with change of speed counted in; means of the group, and the root mean square of \
                  what is left"
            .into(),
        columns: vec![
            ColumnHead::words("engine"),
            ColumnHead::words("stretches"),
            ColumnHead::number("speed", "kt"),
            ColumnHead::number("flown", "ft/min"),
            ColumnHead::number("figures alone", "ft/min"),
            ColumnHead::number("with flights", "ft/min"),
            ColumnHead::number("left before", "ft/min"),
            ColumnHead::number("left after", "ft/min"),
        ],
        rows: rows.collect(),
    }
}

fn group(list: &[&Compared]) -> Vec<Cell> {
    let n = list.len() as f64;
    let mean = |f: &dyn Fn(&Compared) -> f64| list.iter().map(|one| f(one)).sum::<f64>() / n;
    let fpm = |mps: f64| fixed(mps / MPS_PER_FPM, 0);
    let before = list.iter().all(|one| one.before_mps.is_some());
    let was = |one: &Compared| one.before_mps.unwrap_or(f64::NAN);
    let if_known = |text: String| if before { text } else { "-".into() };
    let left = |f: &dyn Fn(&Compared) -> f64| mean(&|one| (one.flown_mps - f(one)).powi(2)).sqrt();
    let aside = list.iter().filter(|one| one.set_aside).count();
    let aside = if aside > 0 { format!(", {aside} left out") } else { String::new() };
    let cells = [
        engine_words(list[0].engine).to_string(),
        format!("{} {}{aside}", list.len(), list[0].kind.words()),
        fixed(mean(&|one| one.calibrated_mps) / MPS_PER_KT, 0),
        fpm(mean(&|one| one.flown_mps)),
        if_known(fpm(mean(&was))),
        fpm(mean(&|one| one.after_mps)),
        if_known(fpm(left(&was))),
        fpm(left(&|one| one.after_mps)),
    ];
    cells.map(Cell::Text).into()
}

fn predictions(figures: &Figures, updated: &Updated) -> Table {
    let before = outlook::of(figures, &updated.before);
    let row = |one: outlook::Prediction| {
        let was = before.iter().find(|was| was.words == one.words);
        let band = |one: &outlook::Prediction| {
            let (low, high) = one.band.ends();
            format!("{} to {}", in_unit(one.unit, low), in_unit(one.unit, high))
        };
        let symbol = one.unit.symbol;
        let number = |text: String| Cell::from(text).of(symbol);
        vec![
            one.words.into(),
            Cell::Named(symbol, symbol.into()),
            number(was.map_or_else(|| "-".into(), |was| in_unit(was.unit, was.band.value))),
            number(was.map_or_else(|| "-".into(), band)),
            number(in_unit(one.unit, one.band.value)),
            number(band(&one)),
        ]
    };
    Table {
        caption: "Bands of 95 %, by the figures alone and with the flights".into(),
        columns: vec![
            ColumnHead::words("what"),
            ColumnHead::words("unit"),
            ColumnHead::number("figures alone", ""),
            ColumnHead::number("band", ""),
            ColumnHead::number("with flights", ""),
            ColumnHead::number("band", ""),
        ],
        rows: outlook::of(figures, &updated.after).into_iter().map(row).collect(),
    }
}

fn position_table(rows: &[Row]) -> Table {
    let row = |one: &Row| {
        let cells = [
            fixed(one.indicated_mps / MPS_PER_KT, 0),
            signed(one.error_mps / MPS_PER_KT, 1),
            fixed(SIGMAS_OF_95_PERCENT * one.sigma_mps / MPS_PER_KT, 1),
            one.seconds.to_string(),
        ];
        cells.map(Cell::Text).into()
    };
    let word = if indicator::is_off(rows) { "it is off" } else { "none can be told from nil" };
    Table {
        caption: format!(
            "Indicated beside what satellite fixes and the wind of the turns say, 95 %: {word}"
        ),
        columns: vec![
            ColumnHead::number("indicated", "kt"),
            ColumnHead::number("calibrated less indicated", "kt"),
            ColumnHead::number("within", "kt"),
            ColumnHead::number("from", "s"),
        ],
        rows: rows.iter().map(row).collect(),
    }
}
