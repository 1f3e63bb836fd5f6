//! Units the header does not state, from the data: speed against differenced positions, height against vertical speed,
//! attitude rates against attitude. Every unit found this way is a note with its evidence; what stays open in a column
//! the fixes need is a question to the user, in any other column the column is left out with a note.
//!
//! * `positions`: speeds. `heights`: heights and vertical speeds. `energy`: airspeeds without positions. `accelerations`,
//!   `rates`: of the body and of a device. Here: what the size of the values tells, and what is left open.

#![allow(clippy::float_cmp, reason = "factors of one are exact")]

mod accelerations;
mod energy;
mod heights;
mod positions;
mod rates;

use super::build::Table;
use super::header::Column;
use super::meanings::{Dimension, Meaning, Unit, unit, unit_names};
use crate::error::ReadError;
use crate::normal::NoteKind;
use crate::normal::assemble::{Draft, median};

/// Slower than this, positions say little about speed, m/s.
const MOVING_MPS: f64 = 5.0;
/// Fewer comparisons than this decide nothing.
const PAIRS_LEAST: usize = 10;
/// Span over which heights are differenced, s: long against the noise of one fix.
const CLIMB_SPAN_S: f64 = 10.0;
/// Share of the height changes that vertical speed must explain for a unit to be believed.
const EXPLAINED_LEAST: f64 = 0.6;

/// Brings every column to the unit of its dimension.
///
/// # Errors
/// Ambiguous when a column of the fixes allows two units.
pub(crate) fn settle_units(
    table: &mut Table,
    rows: &[usize],
    clock_s: &[f64],
    draft: &mut Draft,
) -> Result<(), ReadError> {
    for at in 0..table.columns.len() {
        if let Some(unit) = table.columns[at].unit.clone() {
            apply(table, at, &unit);
        }
        if table.columns[at].turned {
            table.numbers[at].iter_mut().for_each(|value| *value = -*value);
        }
    }
    accelerations::whole_acceleration(table, draft);
    settle_angles_of_position(table, draft);
    let moves = positions::moves(table, rows, clock_s);
    positions::settle_ground_speed(table, &moves, draft)?;
    positions::settle_velocities(table, &moves, draft)?;
    heights::settle_heights(table, draft)?;
    positions::settle_airspeeds(table, &moves, draft);
    energy::settle_airspeeds_by_energy(table, draft);
    settle_simple(table, draft);
    accelerations::settle_device_force(table, draft);
    rates::settle_rates(table, draft);
    rates::settle_device_rates(table, rows, clock_s, draft);
    accelerations::settle_normal_load(table, draft);
    drop_open(table, draft);
    let speeds = table.columns.iter().filter(|c| c.meaning.dimension() == Dimension::Speed);
    let named = |c: &Column| Some((c.name.clone(), c.unit.as_ref()?.name));
    draft.speed_units.extend(speeds.filter_map(named));
    Ok(())
}

fn apply(table: &mut Table, at: usize, unit: &Unit) {
    table.columns[at].unit = Some(unit.clone());
    if unit.factor == 1.0 && unit.offset == 0.0 {
        return;
    }
    for value in &mut table.numbers[at] {
        *value = *value * unit.factor + unit.offset;
    }
}

/// Settles a column and tells why.
fn assume(table: &mut Table, at: usize, unit: &Unit, why: &str, draft: &mut Draft) {
    apply(table, at, unit);
    let text = format!("column {} is taken as {}: {why}", table.columns[at].name, unit.name);
    draft.note(NoteKind::Assumed, text);
}

fn open(table: &Table, meaning: Meaning) -> Option<usize> {
    table.find(meaning).filter(|&at| table.columns[at].unit.is_none())
}

fn known(dimension: Dimension, name: &str) -> Unit {
    unit(dimension, name).expect("the names used here stand in the table of units")
}

fn greatest(values: &[f64]) -> f64 {
    values.iter().filter(|value| value.is_finite()).fold(0.0, |most, value| most.max(value.abs()))
}

fn settle_angles_of_position(table: &mut Table, draft: &mut Draft) {
    let degrees = known(Dimension::Angle, "deg");
    let scaled = known(Dimension::Angle, "1e-7deg");
    let both = [Meaning::Latitude, Meaning::Longitude];
    // the two are written alike, and near the meridian a longitude alone would look like plain degrees
    let typical = |at: usize| median(table.numbers[at].iter().map(|value| value.abs()).collect());
    let large = both
        .iter()
        .filter_map(|meaning| open(table, *meaning))
        .any(|at| typical(at).is_some_and(|value| value > 1000.0));
    for at in both.iter().filter_map(|meaning| open(table, *meaning)).collect::<Vec<_>>() {
        if large {
            assume(table, at, &scaled, "its values are far beyond 180 degrees", draft);
        } else {
            apply(table, at, &degrees);
        }
    }
}

/// Slope through the origin, when it explains enough of the second list.
fn slope(pairs: &[(f64, f64)]) -> Option<f64> {
    if pairs.len() < PAIRS_LEAST {
        return None;
    }
    let sum = |product: fn(&(f64, f64)) -> f64| pairs.iter().map(product).sum::<f64>();
    let (xx, xy, yy) = (sum(|p| p.0 * p.0), sum(|p| p.0 * p.1), sum(|p| p.1 * p.1));
    let explained = xy * xy / (xx * yy);
    (xx > 0.0 && yy > 0.0 && explained > EXPLAINED_LEAST).then(|| xy / xx)
}

/// Units told by the size of the values alone.
fn settle_simple(table: &mut Table, draft: &mut Draft) {
    for at in 0..table.columns.len() {
        if table.columns[at].unit.is_some() {
            continue;
        }
        let dimension = table.columns[at].meaning.dimension();
        let values = &table.numbers[at];
        let most = greatest(values);
        let typical = median(values.iter().map(|value| value.abs()).collect()).unwrap_or(0.0);
        let found = match dimension {
            Dimension::Angle if most > 7.0 => {
                Some(("deg", "values beyond a full circle in radians"))
            }
            Dimension::Temperature if (200.0..330.0).contains(&typical) => {
                Some(("K", "values near 273"))
            }
            Dimension::Temperature if most <= 50.0 => {
                Some(("°C", "values between -50 and 50 (Fahrenheit not considered)"))
            }
            Dimension::Pressure if (300.0..1100.0).contains(&typical) => {
                Some(("hPa", "values of 300 to 1100"))
            }
            Dimension::Pressure if (33.0..110.0).contains(&typical) => {
                Some(("kPa", "values of 33 to 110"))
            }
            Dimension::Pressure if (30_000.0..110_000.0).contains(&typical) => {
                Some(("Pa", "values of 30000 to 110000"))
            }
            Dimension::Load if (7.0..13.0).contains(&typical) => Some(("m/s2", "values near 9.8")),
            Dimension::Load if typical < 3.0 => Some(("g", "values of a few units")),
            Dimension::Revolutions => Some(("rpm", "engine speeds are counted so")),
            _ => None,
        };
        if let Some((name, why)) = found {
            let found = known(dimension, name);
            if dimension == Dimension::Revolutions || table.columns[at].meaning == Meaning::Track {
                apply(table, at, &found);
            } else {
                assume(table, at, &found, why, draft);
            }
        }
    }
}

/// Sensors whose unit stayed open are left out, with the way to get them back.
fn drop_open(table: &mut Table, draft: &mut Draft) {
    let open: Vec<usize> = (0..table.columns.len())
        .filter(|&at| {
            let column = &table.columns[at];
            column.unit.is_none() && column.meaning.dimension() != Dimension::Time
        })
        .collect();
    for at in open.into_iter().rev() {
        let column = table.columns.remove(at);
        let values = table.numbers.remove(at);
        // a track of zero throughout is an airplane that stands still, or a field that is not filled
        if column.meaning != Meaning::Track || greatest(&values) > 0.0 {
            let text = format!(
                "column {}: the unit is not stated and cannot be told; to have it read give --unit {}={}",
                column.name,
                column.name,
                unit_names(column.meaning.dimension()).split(", ").next().unwrap_or("")
            );
            draft.note(NoteKind::LeftOut, text);
        }
        table.left.push(column);
    }
}
