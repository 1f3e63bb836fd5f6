//! The standard file: TOML to [`Standard`], every fault with its line and a hint.

use base::typed_toml::{self, Faults, Section};
use base::units::{Angle, Length, LoadFactor, Quantity, Speed};

use super::{Measured, MeasuredAt, Row, Standard};
use crate::catalog;

/// Every quantity a row may be about.
const QUANTITIES: [Measured; 22] = [
    Measured::HeadingErrorDeg,
    Measured::HeadingChangeDeg,
    Measured::BankDeg,
    Measured::BankKeptDeg,
    Measured::BankWanderDeg,
    Measured::PitchDeg,
    Measured::PitchHeldDeg,
    Measured::TurnedDeg,
    Measured::TurnOfHighestPitchDeg,
    Measured::TurnOfLowestPitchDeg,
    Measured::HeightChangeFt,
    Measured::HeightAboveGroundFt,
    Measured::HeightLostFt,
    Measured::CrestDifferenceFt,
    Measured::SlowestDifferenceKt,
    Measured::AirspeedChangeKt,
    Measured::AirspeedSpreadKt,
    Measured::AirspeedOverStallKt,
    Measured::AirspeedOver12StallKt,
    Measured::AirspeedOverManeuveringKt,
    Measured::LoadFactorG,
    Measured::LateralLoadG,
];

impl Standard {
    /// Reads a standard file. `name` is used in messages.
    ///
    /// # Errors
    /// Every fault of the file, each with its line: missing or impossible figures, unknown keys and maneuvers, rows twice.
    pub fn from_toml(text: &str, name: &str) -> Result<Self, Faults> {
        typed_toml::read(text, name, build)
    }
    /// Rows that apply to a maneuver in a form, in the order of the file.
    pub fn rows_for<'s>(
        &'s self,
        maneuver: &'s str,
        form: &'s str,
    ) -> impl Iterator<Item = &'s Row> {
        let applies = move |row: &&Row| {
            row.maneuver == maneuver
                && (row.forms.is_empty() || row.forms.iter().any(|known| known == form))
        };
        self.rows.iter().filter(applies)
    }
}

fn build(root: &Section<'_>) -> Option<Standard> {
    let (id, title) = (root.text("id"), root.text("title"));
    let (licence, edition) = (root.text("licence"), root.text("edition"));
    let (in_force, same_figures_in) =
        (root.optional_text("in_force"), root.texts("same_figures_in"));
    let taken: Vec<Row> = root.sections("inherits").iter().flat_map(inherited).collect();
    let sections = root.sections("row");
    if sections.is_empty() && taken.is_empty() {
        root.fault("row", "a standard needs rows", "add blocks [[row]]");
    }
    let rows: Vec<Option<Row>> = sections.iter().map(row).collect();
    let rows: Vec<Row> = rows.into_iter().collect::<Option<_>>()?;
    for (index, row) in rows.iter().enumerate() {
        let same = |other: &Row| other.maneuver == row.maneuver && other.id == row.id;
        if rows[..index].iter().any(same) {
            let what = format!("{} has two rows {:?}", row.maneuver, row.id);
            sections[index].fault("id", what, "give each row of a maneuver its own id");
        }
    }
    let (id, title, licence, edition) = (id?, title?, licence?, edition?);
    let own = |row: &Row| rows.iter().any(|o| o.maneuver == row.maneuver && o.id == row.id);
    let mut all: Vec<Row> = taken.into_iter().filter(|row| !own(row)).collect();
    all.extend(rows);
    Some(Standard { id, title, licence, edition, in_force, same_figures_in, rows: all })
}

/// Rows taken over from a bundled standard: all, or those of some maneuvers; each says whose figures they are.
fn inherited(section: &Section<'_>) -> Vec<Row> {
    let (key, source) = (section.text("standard"), section.text("source"));
    let (maneuvers, from_memory) = (section.texts("maneuvers"), section.flag("from_memory"));
    section.refuse_unknown();
    let (Some(key), Some(source)) = (key, source) else { return Vec::new() };
    let known: Vec<&str> = super::bundled::PLAIN.iter().map(|(known, _)| *known).collect();
    let Some((name, text)) = super::bundled::PLAIN.iter().find(|(known, _)| *known == key) else {
        let hint = format!("one of: {}", known.join(", "));
        section.fault("standard", format!("no bundled standard {key:?} to take rows from"), hint);
        return Vec::new();
    };
    let base = Standard::from_toml(text, name).expect("bundled standards are checked by a test");
    let wanted = |row: &Row| maneuvers.is_empty() || maneuvers.contains(&row.maneuver);
    let mut rows: Vec<Row> = base.rows.into_iter().filter(wanted).collect();
    for row in &mut rows {
        row.source = format!("{source}, figures of {}", row.source);
        row.from_memory |= from_memory;
    }
    for maneuver in &maneuvers {
        if !rows.iter().any(|row| row.maneuver == *maneuver) {
            let what = format!("{key} has no rows for {maneuver:?}");
            section.fault("maneuvers", what, "name maneuvers that it has rows for");
        }
    }
    rows
}

fn row(section: &Section<'_>) -> Option<Row> {
    let id = section.text("id");
    let maneuver = section.text("maneuver");
    let forms = section.texts("forms");
    if let Some(maneuver) = &maneuver {
        check_maneuver(section, maneuver, &forms);
    }
    let words = QUANTITIES.map(|quantity| (quantity.word(), quantity));
    let quantity = section.choice("quantity", &words);
    let place = place(section);
    let figures = quantity.and_then(|quantity| figures(section, quantity));
    let excellent = quantity.and_then(|quantity| excellent(section, quantity));
    let tolerance_text = section.text("tolerance");
    let source = section.text("source");
    let from_memory = section.flag("from_memory");
    if quantity.is_none() {
        // Not to be refused as unknown: they could not be read without their quantity.
        let _ = (
            section.optional_text("target"),
            section.optional_text("plus"),
            section.optional_text("minus"),
            section.optional_text("plus_excellent"),
            section.optional_text("minus_excellent"),
            section.optional_text("wider_by_gusts"),
        );
    }
    section.refuse_unknown();
    let (target, plus, minus) = figures?;
    let (plus_excellent, minus_excellent, wider_by_gusts) = excellent?;
    Some(Row {
        id: id?,
        maneuver: maneuver?,
        forms,
        quantity: quantity?,
        place: place?,
        target,
        plus,
        minus,
        plus_excellent,
        minus_excellent,
        wider_by_gusts,
        tolerance_text: tolerance_text?,
        source: source?,
        from_memory,
    })
}

fn check_maneuver(section: &Section<'_>, id: &str, forms: &[String]) {
    let Some(maneuver) = catalog::find(id) else {
        let known: Vec<&str> = catalog::ALL.iter().map(|maneuver| maneuver.id()).collect();
        let hint = format!("one of: {}", known.join(", "));
        section.fault("maneuver", format!("maneuver {id:?} is not in the catalogue"), hint);
        return;
    };
    for form in forms {
        if !maneuver.forms().iter().any(|known| known.key == form) {
            let known: Vec<&str> = maneuver.forms().iter().map(|form| form.key).collect();
            let hint = format!("one of: {}", known.join(", "));
            section.fault("forms", format!("{id} has no form {form:?}"), hint);
        }
    }
}

/// "end", "throughout", "greatest", "least", or "turn 90 deg".
fn place(section: &Section<'_>) -> Option<MeasuredAt> {
    let word = section.text("at")?;
    let turn =
        word.strip_prefix("turn ").and_then(|rest| base::quantity::parse::<Angle>(rest).ok());
    match (word.as_str(), turn) {
        ("start", _) => Some(MeasuredAt::Start),
        ("before the break", _) => Some(MeasuredAt::BeforeBreak),
        ("level-off", _) => Some(MeasuredAt::LevelOff),
        ("end", _) => Some(MeasuredAt::End),
        ("throughout", _) => Some(MeasuredAt::Throughout),
        ("greatest", _) => Some(MeasuredAt::Greatest),
        ("least", _) => Some(MeasuredAt::Least),
        (_, Some(angle)) if angle.to_deg() >= 0.0 => Some(MeasuredAt::Turn(angle.to_deg())),
        _ => {
            let hint = "one of: start, before the break, end, level-off, throughout, greatest, least, or a place such as \"turn 90 deg\"";
            section.fault("at", format!("{word:?} is not a place in a maneuver"), hint);
            None
        }
    }
}

/// How the figures of a quantity are written.
enum Written {
    Angle,
    Length,
    Speed,
    Load,
}

/// By the unit of the quantity; rows are about no other units.
fn written(quantity: Measured) -> Written {
    match quantity.unit() {
        "ft" => Written::Length,
        "kt" => Written::Speed,
        "g" => Written::Load,
        _ => Written::Angle,
    }
}

/// Target, plus and minus in the unit of the quantity.
fn figures(section: &Section<'_>, quantity: Measured) -> Option<(f64, Option<f64>, Option<f64>)> {
    match written(quantity) {
        Written::Angle => read_figures(section, Angle::to_deg),
        Written::Length => read_figures(section, Length::to_ft),
        Written::Speed => read_figures(section, Speed::to_kt),
        Written::Load => read_figures(section, LoadFactor::to_g),
    }
}

/// The narrower band of a marking scale, above and below, and how gusts widen both bands.
type Excellent = (Option<f64>, Option<f64>, f64);

fn excellent(section: &Section<'_>, quantity: Measured) -> Option<Excellent> {
    match written(quantity) {
        Written::Angle => read_excellent(section, Angle::to_deg),
        Written::Length => read_excellent(section, Length::to_ft),
        Written::Speed => read_excellent(section, Speed::to_kt),
        Written::Load => read_excellent(section, LoadFactor::to_g),
    }
}

/// A figure that must not be negative.
fn not_negative<Q: Quantity>(
    section: &Section<'_>,
    key: &'static str,
    unit: impl Fn(Q) -> f64,
) -> Option<f64> {
    let value = section.optional_quantity::<Q>(key).map(unit);
    if value.is_some_and(|value| value < 0.0) {
        let what = format!("{key} must not be negative");
        section.fault(key, what, "write how far is allowed, without a sign");
    }
    value
}

fn read_excellent<Q: Quantity>(
    section: &Section<'_>,
    unit: impl Fn(Q) -> f64 + Copy,
) -> Option<Excellent> {
    let side = |key: &'static str, outer: &'static str| {
        let value = not_negative::<Q>(section, key, unit);
        if section.has(key) && !section.has(outer) {
            let what = format!("{key} without {outer}");
            section.fault(key, what, "the excellent band lies inside the allowed one");
        }
        value
    };
    let (plus, minus) = (side("plus_excellent", "plus"), side("minus_excellent", "minus"));
    let wider = not_negative::<Q>(section, "wider_by_gusts", unit).unwrap_or(0.0);
    Some((plus, minus, wider))
}

fn read_figures<Q: Quantity>(
    section: &Section<'_>,
    unit: impl Fn(Q) -> f64 + Copy,
) -> Option<(f64, Option<f64>, Option<f64>)> {
    let target = section.quantity::<Q>("target");
    let (plus, minus) =
        (not_negative::<Q>(section, "plus", unit), not_negative::<Q>(section, "minus", unit));
    if plus.is_none() && minus.is_none() && !section.has("plus") && !section.has("minus") {
        section.fault(
            "target",
            "a row needs plus, minus or both",
            "a row that allows anything judges nothing",
        );
    }
    Some((unit(target?), plus, minus))
}
