//! Sheets and lists of what the program knows: maneuvers, airplanes, standards.

use crate::brief::with_source;
use crate::model::{Block, Cell, ColumnHead, Document, Table};
use crate::numbers::fixed;
use base::kinds::IndicatedAirspeed;
use base::units::{Angle, LoadFactor, Mass, Speed};
use flight::airplane::published::RigidAirplane;
use flight::airplane::rigid::Rigid;
use flight::airplane::{Airplane, BlockSource, Category};
use flight::controls::Channel;
use maneuver::standard::{Row, Standard};
use maneuver::{Maneuver, Sourced};

/// The catalogue as a table: key, title, forms.
#[must_use]
pub fn maneuvers(list: &[&dyn Maneuver]) -> Document {
    let row = |maneuver: &&dyn Maneuver| -> Vec<Cell> {
        let form = |form: &maneuver::Form| match maneuver.history(form) {
            Some(_) => format!("{} (history)", form.key),
            None => form.key.to_string(),
        };
        let forms: Vec<String> = maneuver.forms().iter().map(form).collect();
        let turn =
            format!("{}{}", fixed(maneuver.shape().span_deg, 0), maneuver.shape().progress.sign());
        let parts = match maneuver.shape().parts {
            1 => turn,
            n => format!("{n} × {turn}"),
        };
        let runs = format!("{parts} {}", maneuver.shape().progress.key());
        [maneuver.id().into(), maneuver.title().into(), forms.join(", "), runs]
            .map(Cell::Text)
            .into()
    };
    listed(
        "Maneuvers",
        format!("{} in the catalogue; the first form is the usual one", list.len()),
        Table {
            caption: "Show one with its key".into(),
            columns: ["key", "maneuver", "forms", "runs on"].map(ColumnHead::words).into(),
            rows: list.iter().map(row).collect(),
        },
    )
}

/// One maneuver: what it teaches, its forms, how it is entered, its errors and cautions.
#[must_use]
pub fn maneuver(maneuver: &dyn Maneuver) -> Document {
    let line = |sourced: &Sourced| with_source(sourced);
    let form = |form: &maneuver::Form| {
        let history = maneuver.history(form);
        let needs = match &history {
            Some(why) => format!("; kept as history and not flown here: {}", line(why)),
            None if maneuver.needs_approval(form) => {
                "; needs an entry in the airplane's list of approved maneuvers".into()
            }
            None => String::new(),
        };
        format!("{} ({}): {}{needs}", form.title, form.key, line(&form.description))
    };
    let shape = maneuver.shape();
    let read: Vec<String> = shape.checkpoints_deg.iter().map(|at| fixed(*at, 0)).collect();
    let mut blocks = vec![Block::Paragraph(line(&maneuver.purpose()))];
    let sections = [
        ("Forms", maneuver.forms().iter().map(form).collect::<Vec<_>>()),
        ("Entry", maneuver.entry().iter().map(line).collect()),
        ("Errors", maneuver.errors().iter().map(line).collect()),
        (
            "Steps",
            maneuver.steps().iter().map(|s| format!("{}: {}", s.title, line(&s.text))).collect(),
        ),
        ("Cautions", maneuver.cautions().iter().map(line).collect()),
        ("No published standard", maneuver.unpublished().iter().map(line).collect()),
        ("Hazard", maneuver.hazard().iter().map(line).collect()),
    ];
    for (title, lines) in sections {
        if !lines.is_empty() {
            blocks.push(Block::Heading(2, title.into()));
            blocks.push(Block::List(lines));
        }
    }
    let (sign, span) = (shape.progress.sign(), fixed(shape.span_deg, 0));
    let one = format!("{span}{sign} ({})", shape.progress.title());
    let ways = if shape.alternating { ", opposite ways" } else { "" };
    let parts = match shape.parts {
        1 => one,
        parts => format!("{parts} parts of {one}{ways}"),
    };
    let read = read.join(&format!("{sign}, "));
    let subtitle = format!("{}: {parts}, read at {read}{sign}", maneuver.id());
    Document { title: maneuver.title().into(), subtitle, blocks }
}

/// Airplanes as a table: key, name, mass, maneuvering speed, load limits, six-degree data; and those of published stability
/// data alone.
#[must_use]
pub fn airplanes(list: &[Airplane], published: &[RigidAirplane]) -> Document {
    let row = |airplane: &Airplane| -> Vec<Cell> {
        let form = airplane.rigid.as_ref().map_or("none", |rigid| rigid.form.words());
        [
            airplane.id.clone(),
            airplane.name.clone(),
            kg(airplane.masses.maximum),
            kt(airplane.speeds.maneuvering),
            categories(airplane),
            form.into(),
        ]
        .map(Cell::Text)
        .into()
    };
    let mut document = listed(
        "Airplanes",
        format!("{} known; a file of your own is given by its path", list.len()),
        Table {
            caption: "Show one with its key".into(),
            columns: vec![
                ColumnHead::words("key"),
                ColumnHead::words("airplane"),
                ColumnHead::number("greatest mass", "kg"),
                ColumnHead::number("VA", "KIAS"),
                ColumnHead::words("categories"),
                ColumnHead::words("six-degree data"),
            ],
            rows: list.iter().map(row).collect(),
        },
    );
    document.blocks.push(Block::Table(published_table(published)));
    document
}

fn published_table(published: &[RigidAirplane]) -> Table {
    let row = |airplane: &RigidAirplane| -> Vec<Cell> {
        [
            airplane.id.clone(),
            airplane.name.clone(),
            fixed(airplane.condition.airspeed.to_kt(), 0),
            fixed(airplane.condition.height.to_ft(), 0),
            airplane.rigid.form.words().into(),
        ]
        .map(Cell::Text)
        .into()
    };
    Table {
        caption: "From published stability data alone, for study: no limits, no brief".into(),
        columns: vec![
            ColumnHead::words("key"),
            ColumnHead::words("airplane"),
            ColumnHead::number("published for", "KTAS"),
            ColumnHead::number("at", "ft"),
            ColumnHead::words("six-degree data"),
        ],
        rows: published.iter().map(row).collect(),
    }
}

fn categories(airplane: &Airplane) -> String {
    let words = |category: &Category| {
        let (least, most) = (g(category.load_factor_min), g(category.load_factor_max));
        format!("{} {most}/{least} g", category.name)
    };
    airplane.categories.iter().map(words).collect::<Vec<_>>().join(", ")
}

/// One airplane: masses, speeds, limits by category, sources.
#[must_use]
pub fn airplane(airplane: &Airplane) -> Document {
    let category = |category: &Category| -> Vec<Cell> {
        let approved = match category.approved.as_slice() {
            [] => "none".to_string(),
            list => list.join(", "),
        };
        [
            category.name.clone(),
            kg(category.mass_max),
            g(category.load_factor_max),
            g(category.load_factor_min),
            approved,
        ]
        .map(Cell::Text)
        .into()
    };
    let limits = Table {
        caption: "Limits by category; aerobatic figures need an entry in the last column".into(),
        columns: vec![
            ColumnHead::words("category"),
            ColumnHead::number("mass to", "kg"),
            ColumnHead::number("load to", "g"),
            ColumnHead::number("and to", "g"),
            ColumnHead::words("approved maneuvers"),
        ],
        rows: airplane.categories.iter().map(category).collect(),
    };
    let mut blocks = vec![
        Block::Paragraph(airplane.description.clone()),
        Block::Table(figures(airplane)),
        Block::Table(limits),
    ];
    match &airplane.rigid {
        Some(rigid) => blocks.push(Block::Table(six_degree(rigid))),
        None => blocks.push(Block::Paragraph(
            "No six-degree data: hands and feet, torque and slipstream cannot be told of this airplane."
                .into(),
        )),
    }
    blocks.extend(sources(&airplane.sources));
    Document { title: airplane.name.clone(), subtitle: airplane.id.clone(), blocks }
}

/// One airplane of published stability data.
#[must_use]
pub fn published_airplane(airplane: &RigidAirplane) -> Document {
    let condition = &airplane.condition;
    let published = format!(
        "Published for {} kt true airspeed at {} ft. For study: the file has no limits and no speeds of a flight manual, so that \
         no brief is made of it.",
        fixed(condition.airspeed.to_kt(), 0),
        fixed(condition.height.to_ft(), 0)
    );
    let mut blocks = vec![
        Block::Paragraph(airplane.description.clone()),
        Block::Paragraph(published),
        Block::Table(six_degree(&airplane.rigid)),
    ];
    blocks.extend(sources(&airplane.sources));
    Document { title: airplane.name.clone(), subtitle: airplane.id.clone(), blocks }
}

fn sources(sources: &[BlockSource]) -> [Block; 2] {
    let line = |block: &BlockSource| format!("{}: {}", block.block, block.source);
    [Block::Heading(2, "Sources".into()), Block::List(sources.iter().map(line).collect())]
}

fn six_degree(rigid: &Rigid) -> Table {
    let (loading, domain, controls) = (&rigid.loading, rigid.form.domain(), &rigid.controls);
    let moment = |kgm2: f64| fixed(kgm2, 0);
    let deg = |angle_rad: f64| fixed(Angle::from_rad(angle_rad).to_deg(), 1);
    let limits = |channel: &Channel| {
        let (least, most) = channel.actuator.limits_rad;
        format!("{} to {}", deg(least), deg(most))
    };
    let known = [
        ("stick fore and aft", controls.elevator.force),
        ("stick to the side", controls.aileron.force),
        ("pedals", controls.rudder.force),
    ];
    let known: Vec<&str> =
        known.iter().filter(|(_, force)| force.is_some()).map(|(name, _)| *name).collect();
    let forces = if known.is_empty() { "not known".into() } else { known.join(", ") };
    let alpha = format!("{} to {}", deg(domain.alpha_rad.0), deg(domain.alpha_rad.1));
    let knots = |mps: f64| fixed(Speed::from_mps(mps).to_kt(), 0);
    let airspeeds = match domain.equivalent_mps {
        (slow, fast) if fast.is_finite() => format!("{} to {}", knots(slow), knots(fast)),
        (slow, _) if slow > 0.0 => format!("from {}", knots(slow)),
        _ => "not stated".into(),
    };
    let rows = [
        ("form of the aerodynamic data", rigid.form.words().into(), ""),
        ("what pulls", rigid.pull.words().into(), ""),
        ("inertia stated for", kg(loading.mass), "kg"),
        ("moment of inertia, roll", moment(loading.inertia.xx), "kg m²"),
        ("moment of inertia, pitch", moment(loading.inertia.yy), "kg m²"),
        ("moment of inertia, yaw", moment(loading.inertia.zz), "kg m²"),
        ("product of inertia", moment(loading.inertia.xz), "kg m²"),
        ("angle of attack covered", alpha, "°"),
        ("sideslip covered, either way", deg(domain.beta_rad), "°"),
        ("equivalent airspeed covered", airspeeds, "kt"),
        ("elevator", limits(&controls.elevator), "°"),
        ("ailerons", limits(&controls.aileron), "°"),
        ("rudder", limits(&controls.rudder), "°"),
        ("forces of hand and foot", forces, ""),
    ];
    Table {
        caption: "Six-degree data; elevator positive down, ailerons right one down, rudder left"
            .into(),
        columns: vec![
            ColumnHead::words("what"),
            ColumnHead::number("figure", ""),
            ColumnHead::words("unit"),
        ],
        rows: rows
            .into_iter()
            .map(|(what, value, unit): (&str, String, &'static str)| {
                vec![what.into(), Cell::from(value).of(unit), Cell::Named(unit, unit.into())]
            })
            .collect(),
    }
}

fn figures(airplane: &Airplane) -> Table {
    let (masses, speeds) = (&airplane.masses, &airplane.speeds);
    let stated = |speed: Option<IndicatedAirspeed>| speed.map_or("not stated".into(), kt);
    let at_typical = airplane.maneuvering_speed(masses.typical);
    let rows = [
        ("mass, empty", kg(masses.empty), "kg"),
        ("mass, two up with half fuel", kg(masses.typical), "kg"),
        ("mass, greatest", kg(masses.maximum), "kg"),
        ("stall, flaps up, idle, greatest mass", stated(speeds.stall), "KIAS"),
        ("maneuvering speed VA, greatest mass", kt(speeds.maneuvering), "KIAS"),
        ("maneuvering speed VA, two up with half fuel", kt(at_typical), "KIAS"),
        ("entry to training maneuvers", stated(speeds.maneuver_entry), "KIAS"),
        ("greatest structural cruise speed", kt(speeds.normal_max), "KIAS"),
        ("never exceed", kt(speeds.never_exceed), "KIAS"),
    ];
    Table {
        caption: "Figures".into(),
        columns: vec![
            ColumnHead::words("what"),
            ColumnHead::number("figure", ""),
            ColumnHead::words("unit"),
        ],
        rows: rows
            .into_iter()
            .map(|(what, value, unit)| {
                vec![what.into(), Cell::from(value).of(unit), Cell::Named(unit, unit.into())]
            })
            .collect(),
    }
}

/// Standards as a table: key, title, edition, count of rows.
#[must_use]
pub fn standards(list: &[Standard]) -> Document {
    let row = |standard: &Standard| -> Vec<Cell> {
        [
            standard.id.clone(),
            standard.title.clone(),
            standard.edition.clone(),
            standard.rows.len().to_string(),
        ]
        .map(Cell::Text)
        .into()
    };
    listed(
        "Standards",
        format!("{} known; a file of your own is given by its path", list.len()),
        Table {
            caption: "Show one with its key".into(),
            columns: vec![
                ColumnHead::words("key"),
                ColumnHead::words("standard"),
                ColumnHead::words("edition"),
                ColumnHead::number("rows", ""),
            ],
            rows: list.iter().map(row).collect(),
        },
    )
}

/// One standard: its rows, each with its source.
#[must_use]
pub fn standard(standard: &Standard) -> Document {
    let row = |row: &Row| -> Vec<Cell> {
        let memory = if row.from_memory { " (from memory, to be confirmed)" } else { "" };
        let forms = match row.forms.as_slice() {
            [] => row.maneuver.clone(),
            forms => format!("{} ({})", row.maneuver, forms.join(", ")),
        };
        [
            forms,
            format!("{}, {}", row.quantity.word(), row.place.words()),
            match (row.plus_excellent, row.minus_excellent) {
                (None, None) => row.tolerance_text.clone(),
                _ => format!("{} (excellent: {})", row.tolerance_text, excellent(row)),
            },
            format!("{}{memory}", row.source),
        ]
        .map(Cell::Text)
        .into()
    };
    let table = Table {
        caption: "Rows".into(),
        columns: ["maneuver", "what", "tolerance", "source"].map(ColumnHead::words).into(),
        rows: standard.rows.iter().map(row).collect(),
    };
    let mut subtitle = format!("{}; {}, {}", standard.id, standard.licence, standard.edition);
    if let Some(in_force) = &standard.in_force {
        subtitle.push_str(&format!("; in force: {in_force}"));
    }
    if !standard.same_figures_in.is_empty() {
        subtitle.push_str(&format!("; same figures in: {}", standard.same_figures_in.join(", ")));
    }
    Document { title: standard.title.clone(), subtitle, blocks: vec![Block::Table(table)] }
}

/// The narrower band of a marking scale, in words: "-2 to +3 kt".
fn excellent(row: &Row) -> String {
    let unit = row.quantity.unit();
    let edge = |value: f64| crate::numbers::fixed(value, if unit == "g" { 2 } else { 1 });
    match (row.minus_excellent, row.plus_excellent) {
        (Some(minus), Some(plus)) => {
            format!("{} to {} {unit}", edge(row.target - minus), edge(row.target + plus))
        }
        (None, Some(plus)) => format!("at most {} {unit}", edge(row.target + plus)),
        (Some(minus), None) => format!("at least {} {unit}", edge(row.target - minus)),
        (None, None) => "none".into(),
    }
}

fn listed(title: &str, subtitle: String, table: Table) -> Document {
    Document { title: title.into(), subtitle, blocks: vec![Block::Table(table)] }
}

fn kg(mass: Mass) -> String {
    fixed(mass.to_kg(), 0)
}

fn kt(speed: IndicatedAirspeed) -> String {
    fixed(speed.to_kt(), 0)
}

fn g(load: LoadFactor) -> String {
    fixed(load.to_g(), 1)
}
