//! The standard file: TOML to [`Standard`], every fault with its line and a hint.

use base::typed_toml::{self, Faults, Section};
use base::units::{Angle, Length, LoadFactor, Quantity, Speed};

use super::{Measured, MeasuredAt, Row, Standard};
use crate::catalog;

/// Every quantity a row may be about.
const QUANTITIES: [Measured; 8] = [
    Measured::HeadingErrorDeg,
    Measured::BankDeg,
    Measured::PitchDeg,
    Measured::HeightChangeFt,
    Measured::HeightAboveGroundFt,
    Measured::AirspeedChangeKt,
    Measured::AirspeedOverStallKt,
    Measured::LoadFactorG,
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
    let sections = root.sections("row");
    if sections.is_empty() {
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
    Some(Standard { id: id?, title: title?, licence: licence?, edition: edition?, rows })
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
    let tolerance_text = section.text("tolerance");
    let source = section.text("source");
    let from_memory = section.flag("from_memory");
    if quantity.is_none() {
        // Not to be refused as unknown: they could not be read without their quantity.
        let _ = (
            section.optional_text("target"),
            section.optional_text("plus"),
            section.optional_text("minus"),
        );
    }
    section.refuse_unknown();
    let (target, plus, minus) = figures?;
    Some(Row {
        id: id?,
        maneuver: maneuver?,
        forms,
        quantity: quantity?,
        place: place?,
        target,
        plus,
        minus,
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
        ("end", _) => Some(MeasuredAt::End),
        ("throughout", _) => Some(MeasuredAt::Throughout),
        ("greatest", _) => Some(MeasuredAt::Greatest),
        ("least", _) => Some(MeasuredAt::Least),
        (_, Some(angle)) if angle.to_deg() >= 0.0 => Some(MeasuredAt::Turn(angle.to_deg())),
        _ => {
            let hint =
                "one of: end, throughout, greatest, least, or a place such as \"turn 90 deg\"";
            section.fault("at", format!("{word:?} is not a place in a maneuver"), hint);
            None
        }
    }
}

/// Target, plus and minus in the unit of the quantity.
fn figures(section: &Section<'_>, quantity: Measured) -> Option<(f64, Option<f64>, Option<f64>)> {
    match quantity {
        Measured::HeadingErrorDeg | Measured::BankDeg | Measured::PitchDeg | Measured::TurnDeg => {
            read_figures(section, Angle::to_deg)
        }
        Measured::HeightChangeFt | Measured::HeightAboveGroundFt => {
            read_figures(section, Length::to_ft)
        }
        Measured::AirspeedChangeKt | Measured::AirspeedOverStallKt => {
            read_figures(section, Speed::to_kt)
        }
        Measured::LoadFactorG => read_figures(section, LoadFactor::to_g),
    }
}

fn read_figures<Q: Quantity>(
    section: &Section<'_>,
    unit: impl Fn(Q) -> f64,
) -> Option<(f64, Option<f64>, Option<f64>)> {
    let target = section.quantity::<Q>("target");
    let side = |key: &'static str| {
        let value = section.optional_quantity::<Q>(key).map(&unit);
        if value.is_some_and(|value| value < 0.0) {
            section.fault(
                key,
                format!("{key} must not be negative"),
                "write how far is allowed, without a sign",
            );
        }
        value
    };
    let (plus, minus) = (side("plus"), side("minus"));
    if plus.is_none() && minus.is_none() && !section.has("plus") && !section.has("minus") {
        section.fault(
            "target",
            "a row needs plus, minus or both",
            "a row that allows anything judges nothing",
        );
    }
    Some((unit(target?), plus, minus))
}
