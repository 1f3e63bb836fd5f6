//! Weight and balance of the day: what was put where, the limits with the point in them, what the center of gravity does.

use flight::airplane::Airplane;
use flight::airplane::balance::{Balance, Loaded, Point as Center};

use crate::SAFETY_SENTENCE;
use crate::model::{Block, Cell, ColumnHead, Document, Table, Tone};
use crate::numbers::{fixed, signed};
use crate::scene::{Anchor, Mark, Point, Role, Scene, at};

/// The document; the airplane states weight and balance.
#[must_use]
pub fn document(airplane: &Airplane, loaded: &Loaded) -> Document {
    let mut blocks = vec![Block::Caution(SAFETY_SENTENCE.into()), verdict(loaded)];
    if !loaded.passed.is_empty() {
        blocks.push(Block::List(loaded.passed.clone()));
    }
    blocks.push(Block::Heading(2, "Loading".into()));
    blocks.push(Block::Table(rows(loaded)));
    if let Some(balance) = &airplane.stated.balance {
        blocks.push(Block::Figure(envelope(balance, airplane, loaded)));
    }
    blocks.push(Block::Heading(2, "Against the limits".into()));
    blocks.push(Block::Table(points(loaded)));
    blocks.push(Block::Heading(2, "What mass and center of gravity do".into()));
    blocks.push(Block::List(effects(loaded)));
    Document {
        title: format!("Weight and balance: {}", airplane.name),
        subtitle: format!(
            "{} kg at take-off, center of gravity {} m behind the datum",
            fixed(loaded.take_off.mass.to_kg(), 0),
            fixed(loaded.take_off.arm.to_m(), 3)
        ),
        blocks,
    }
}

fn verdict(loaded: &Loaded) -> Block {
    if loaded.passed.is_empty() {
        Block::Verdict(Tone::Met, "within the limits stated".into())
    } else {
        Block::Verdict(Tone::NotMet, "outside limits".into())
    }
}

fn rows(loaded: &Loaded) -> Table {
    let row = |what: &str, mass_kg: f64, arm_m: f64| -> Vec<Cell> {
        vec![
            what.into(),
            fixed(mass_kg, 1).into(),
            fixed(arm_m, 3).into(),
            fixed(mass_kg * arm_m, 1).into(),
        ]
    };
    let mut rows: Vec<Vec<Cell>> =
        loaded.rows.iter().map(|(what, mass, arm)| row(what, mass.to_kg(), arm.to_m())).collect();
    rows.push(row("together", loaded.take_off.mass.to_kg(), loaded.take_off.arm.to_m()));
    Table {
        caption: "Arms behind the datum of the manual".into(),
        columns: vec![
            ColumnHead::words("what"),
            ColumnHead::number("mass", "kg"),
            ColumnHead::number("arm", "m"),
            ColumnHead::number("moment", "kg m"),
        ],
        rows,
    }
}

fn points(loaded: &Loaded) -> Table {
    let row = |(when, point): (&str, &Center)| -> Vec<Cell> {
        let (forward, aft) = point.limits;
        vec![
            when.into(),
            fixed(point.mass.to_kg(), 0).into(),
            fixed(point.arm.to_m(), 3).into(),
            fixed(forward.to_m(), 3).into(),
            fixed(aft.to_m(), 3).into(),
            signed(1000.0 * (point.arm - forward).to_m(), 0).into(),
            signed(1000.0 * (aft - point.arm).to_m(), 0).into(),
            fixed(100.0 * point.chords, 1).into(),
        ]
    };
    Table {
        caption: "Fuel burns from the first to the second; room below nil is outside".into(),
        columns: vec![
            ColumnHead::words("when"),
            ColumnHead::number("mass", "kg"),
            ColumnHead::number("center of gravity", "m"),
            ColumnHead::number("foremost", "m"),
            ColumnHead::number("rearmost", "m"),
            ColumnHead::number("room ahead", "mm"),
            ColumnHead::number("room behind", "mm"),
            ColumnHead::number("mean chord", "%"),
        ],
        rows: [("take-off", &loaded.take_off), ("no fuel", &loaded.no_fuel)].map(row).into(),
    }
}

fn effects(loaded: &Loaded) -> Vec<String> {
    let effects = &loaded.effects;
    let mut out = vec![
        format!(
            "stall, flaps up, idle: {} kt indicated; {} kt with the center of gravity at the forward limit, as manuals state it",
            fixed(effects.stall.to_kt(), 1),
            fixed(effects.stall_forward.to_kt(), 1)
        ),
        format!(
            "maneuvering speed at this mass: {} kt indicated (falls with mass)",
            fixed(effects.maneuvering.to_kt(), 0)
        ),
    ];
    match (effects.static_margin, effects.stick_force_share) {
        (Some(margin), Some(share)) => out.push(format!(
            "static margin {} % of the mean chord; stick force for a g {} % of that at the forward limit: {}",
            fixed(100.0 * margin, 0),
            fixed(100.0 * share, 0),
            if share < 0.6 { "light in pull, easy to overstress" } else { "no lighter than usual" }
        )),
        _ => out.push("static margin and stick force are not known: the file states no neutral point".into()),
    }
    out
}

const WIDTH: f64 = 420.0;
const HEIGHT: f64 = 300.0;
const LEFT: f64 = 62.0;
const RIGHT: f64 = 400.0;
const TOP: f64 = 30.0;
const BOTTOM: f64 = 252.0;

/// The limits, mass over arm, with take-off, no fuel, and the way between.
fn envelope(balance: &Balance, airplane: &Airplane, loaded: &Loaded) -> Scene {
    let points = [&loaded.take_off, &loaded.no_fuel];
    let arms = balance.envelope.iter().flat_map(|row| [row.forward.to_m(), row.aft.to_m()]);
    let arms: Vec<f64> = arms.chain(points.iter().map(|point| point.arm.to_m())).collect();
    let masses = balance.envelope.iter().map(|row| row.mass.to_kg());
    let masses: Vec<f64> = masses
        .chain(points.iter().map(|point| point.mass.to_kg()))
        .chain([airplane.masses.maximum.to_kg()])
        .collect();
    let (arm_low, arm_high) = span(&arms);
    let (mass_low, mass_high) = span(&masses);
    let place = |arm_m: f64, mass_kg: f64| -> Point {
        at(
            LEFT + (RIGHT - LEFT) * (arm_m - arm_low) / (arm_high - arm_low),
            BOTTOM - (BOTTOM - TOP) * (mass_kg - mass_low) / (mass_high - mass_low),
        )
    };
    let mut scene = Scene::new("Limits of the center of gravity", WIDTH, HEIGHT);
    axes(&mut scene, (arm_low, arm_high), (mass_low, mass_high), &place);
    let forward = balance.envelope.iter().map(|row| place(row.forward.to_m(), row.mass.to_kg()));
    let aft = balance.envelope.iter().rev().map(|row| place(row.aft.to_m(), row.mass.to_kg()));
    let mut edge: Vec<Point> = forward.chain(aft).collect();
    scene.polygon(edge.clone(), Mark::Band, Role::Reference);
    edge.extend(edge.first().copied());
    scene.polyline(edge, Mark::Stroke, Role::Limit);
    let [take_off, no_fuel] = points.map(|point| place(point.arm.to_m(), point.mass.to_kg()));
    scene.line(take_off, no_fuel, Mark::Thin, Role::Ink);
    for (point, words) in [(take_off, "take-off"), (no_fuel, "no fuel")] {
        scene.circle(point, 4.0, Mark::Dot, Role::Attempt);
        let anchor = if point.x > 0.7 * WIDTH { Anchor::End } else { Anchor::Start };
        let beside = if anchor == Anchor::End { -8.0 } else { 8.0 };
        scene.small(at(point.x + beside, point.y - 6.0), words, anchor, Role::Ink);
    }
    let inside = if loaded.passed.is_empty() { "inside the limits" } else { "outside limits" };
    scene.description = format!(
        "mass over arm: limits as an outline; take-off {} kg at {} m, without fuel {} kg at {} m: {inside}",
        fixed(loaded.take_off.mass.to_kg(), 0),
        fixed(loaded.take_off.arm.to_m(), 3),
        fixed(loaded.no_fuel.mass.to_kg(), 0),
        fixed(loaded.no_fuel.arm.to_m(), 3)
    );
    scene
}

/// Ends with a tenth of room at each.
fn span(values: &[f64]) -> (f64, f64) {
    let (low, high) = values
        .iter()
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), v| (low.min(*v), high.max(*v)));
    let room = 0.1 * (high - low).max(1e-3);
    (low - room, high + room)
}

fn axes(
    scene: &mut Scene,
    (arm_low, arm_high): (f64, f64),
    (mass_low, mass_high): (f64, f64),
    place: &impl Fn(f64, f64) -> Point,
) {
    scene.line(at(LEFT, BOTTOM), at(RIGHT, BOTTOM), Mark::Axis, Role::Ink);
    scene.line(at(LEFT, TOP), at(LEFT, BOTTOM), Mark::Axis, Role::Ink);
    for i in 0..=4 {
        let share = f64::from(i) / 4.0;
        let arm = arm_low + share * (arm_high - arm_low);
        let mass = mass_low + share * (mass_high - mass_low);
        let (below, beside) = (place(arm, mass_low), place(arm_low, mass));
        scene.small(at(below.x, BOTTOM + 16.0), fixed(arm, 2), Anchor::Middle, Role::Muted);
        scene.small(at(LEFT - 6.0, beside.y + 4.0), fixed(mass, 0), Anchor::End, Role::Muted);
        scene.line(at(LEFT, beside.y), at(RIGHT, beside.y), Mark::Thin, Role::Grid);
    }
    let middle = 0.5 * (LEFT + RIGHT);
    scene.small(at(middle, BOTTOM + 34.0), "arm behind the datum, m", Anchor::Middle, Role::Ink);
    scene.small(at(LEFT, TOP - 12.0), "mass, kg", Anchor::Middle, Role::Ink);
}
