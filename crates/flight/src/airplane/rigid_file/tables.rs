//! The block `[tables]`: one `[[tables.table]]` each table.

use base::factors::RAD_PER_DEG;
use base::numerics::grid::GridError;
use base::typed_toml::Section;

use super::head::{self, Head};
use super::polynomial::{self, AXES, Slip};
use crate::aerodynamics::Variable;
use crate::aerodynamics::polynomial::Coefficient;
use crate::aerodynamics::table::{TableAxis, TableError, TableFigures, Tables};
use crate::airplane::rigid::Form;

/// Keys of the knots by variable, and counts in one of the variable.
const KNOTS: [(Variable, &str, f64); Variable::ALL.len()] = [
    (Variable::Alpha, "alpha_deg", 1.0 / RAD_PER_DEG),
    (Variable::Beta, "beta_deg", 1.0 / RAD_PER_DEG),
    (Variable::RollRate, "roll_rate", 1.0),
    (Variable::PitchRate, "pitch_rate", 1.0),
    (Variable::YawRate, "yaw_rate", 1.0),
    (Variable::Elevator, "elevator_deg", 1.0 / RAD_PER_DEG),
    (Variable::Aileron, "aileron_deg", 1.0 / RAD_PER_DEG),
    (Variable::Rudder, "rudder_deg", 1.0 / RAD_PER_DEG),
    (Variable::Flap, "flap_deg", 1.0 / RAD_PER_DEG),
    (Variable::PressureRise, "pressure_rise", 1.0),
    (Variable::Mach, "mach", 1.0),
];

/// Reads the block: the form, and the point that moments refer to.
pub(super) fn read(section: &Section<'_>) -> Option<(Form, f64)> {
    let head = head::read(section);
    let axes = section.choice("axes", AXES);
    let incidence = polynomial::incidence_rate(section);
    let blocks = section.sections("table");
    section.refuse_unknown();
    if blocks.is_empty() {
        section.fault("table", "no table", "add [[tables.table]] with of, over, knots and values");
    }
    let (head, axes) = (head?, axes?);
    let coefficients = polynomial::blocks(axes);
    let mut figures = Vec::new();
    for block in &blocks {
        figures.push(table(block, &coefficients, &head));
    }
    let figures: Vec<TableFigures> = figures.into_iter().collect::<Option<_>>()?;
    match Tables::new(polynomial::frame(&head, axes, incidence), &figures) {
        Ok(built) => Some((Form::Tables(built), head.moment_reference)),
        Err((index, error)) => {
            fault(&blocks[index], &figures[index], &error);
            None
        }
    }
}

fn table(
    section: &Section<'_>,
    coefficients: &[(&str, Coefficient)],
    head: &Head,
) -> Option<TableFigures> {
    let of = section.choice("of", coefficients);
    let mut axes = Vec::new();
    for word in section.texts("over") {
        match KNOTS.iter().find(|(known, _, _)| known.word() == word) {
            Some((over, key, scale)) => {
                let knots = section.numbers(key);
                axes.push(TableAxis { over: *over, scale: scale * head.signs.of(*over), knots });
            }
            None => unknown(section, &word),
        }
    }
    let values = section.numbers("values");
    let times =
        section.optional_text("times").map_or(Ok(Vec::new()), |text| polynomial::factors(&text));
    section.refuse_unknown();
    let times = match times {
        Ok(times) => times,
        Err(Slip { what, hint }) => {
            section.fault("times", what, hint);
            return None;
        }
    };
    let number = times.iter().fold(1.0, |number, factor| number * head.signs.of(*factor));
    reach(section, &axes, head);
    Some(TableFigures { of: of?, axes, values, number, times })
}

fn unknown(section: &Section<'_>, word: &str) {
    let known: Vec<&str> = Variable::ALL.iter().map(|known| known.word()).collect();
    let hint = format!("known: {}", known.join(", "));
    section.fault("over", format!("{word:?} is not a variable"), hint);
}

/// The angles and Mach numbers that the block claims must lie in every table over them.
fn reach(section: &Section<'_>, axes: &[TableAxis], head: &Head) {
    let domain = &head.domain;
    let claims = [
        (Variable::Alpha, domain.alpha_rad, "alpha_least and alpha_most reach"),
        (Variable::Beta, (-domain.beta_rad, domain.beta_rad), "beta_most reaches"),
        (Variable::Mach, (0.0, domain.mach), "mach_most reaches"),
    ];
    for (variable, (least, most), claim) in claims {
        let Some(axis) = axes.iter().find(|axis| axis.over == variable) else { continue };
        let (Some(first), Some(last)) = (axis.knots.first(), axis.knots.last()) else { continue };
        let slack = 1e-9;
        let (one, other) = (least * axis.scale, most * axis.scale);
        // A source that counts an angle the other way has the ends swapped.
        if one.min(other) < first - slack || one.max(other) > last + slack {
            let key = KNOTS.iter().find(|(known, _, _)| *known == variable).map_or("over", |k| k.1);
            section.fault(
                key,
                format!("{claim} beyond the knots of this table"),
                "narrow the range, or give the table more knots: nothing is guessed beyond them",
            );
        }
    }
}

fn fault(section: &Section<'_>, figures: &TableFigures, error: &TableError) {
    let (key, hint) = match error {
        TableError::Grid(grid) => (grid_key(figures, grid), grid.hint()),
        TableError::Axes(_) => ("over", "over = [\"alpha\"], with a list of knots for each"),
        TableError::Factors(_) => ("times", "multiply by fewer variables"),
    };
    section.fault(key, error.to_string(), hint);
}

/// The line to look at.
fn grid_key(figures: &TableFigures, error: &GridError) -> &'static str {
    match error {
        GridError::Short { axis, .. } | GridError::NotRising { axis, .. } => {
            let over = figures.axes[*axis].over;
            KNOTS.iter().find(|(known, _, _)| *known == over).map_or("over", |(_, key, _)| key)
        }
        GridError::Count { .. } | GridError::NotFinite { .. } => "values",
    }
}
