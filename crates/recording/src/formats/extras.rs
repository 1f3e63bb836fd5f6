//! Values beside the fixes of a track (extensions of GPX, arrays of KML): understood by their names as in tables, units
//! deduced as in tables, and made series. Names that are not understood are told.

use super::csv::build::Table;
use super::csv::deduce;
use super::csv::header::{Cell, Column, understand};
use super::csv::meanings::{Dimension, Meaning, Unit};
use crate::error::ReadError;
use crate::normal::assemble::Draft;
use crate::normal::{Fix, NoteKind, Series};

/// More names than this are no extensions of a track.
const NAMES_MOST: usize = 256;

/// Named values, aligned with the fixes of a draft.
#[derive(Debug, Default)]
pub(crate) struct Extras {
    columns: Vec<Extra>,
    too_many: bool,
}

#[derive(Debug)]
struct Extra {
    name: String,
    cell: Option<Cell>,
    values: Vec<f64>,
}

impl Extras {
    /// The column of a name, made when it is new; `titles` are other words for the same thing, tried first.
    pub(crate) fn column(&mut self, name: &str, titles: &[&str]) -> Option<usize> {
        if let Some(at) = self.columns.iter().position(|column| column.name == name) {
            return Some(at);
        }
        if self.columns.len() >= NAMES_MOST {
            self.too_many = true;
            return None;
        }
        let cell = titles.iter().copied().chain([name]).find_map(understand).filter(|cell| {
            matches!(
                cell.meaning,
                Meaning::Sensor(_) | Meaning::GroundSpeed | Meaning::Track | Meaning::FixClimb
            ) && cell.unknown_unit.is_none()
        });
        let name = name.chars().take(60).collect();
        self.columns.push(Extra { name, cell, values: Vec::new() });
        Some(self.columns.len() - 1)
    }
    /// The value of a column at a fix, counted from zero.
    pub(crate) fn set(&mut self, column: usize, fix: usize, value: f64) {
        let Some(column) = self.columns.get_mut(column) else { return };
        if column.cell.is_none() {
            return;
        }
        if column.values.len() <= fix {
            column.values.resize(fix, f64::NAN);
            column.values.push(value);
        } else {
            column.values[fix] = value;
        }
    }
    /// Makes series of what is understood; speeds, tracks and climbs go to the fixes that have none. Where the format is
    /// of SI units (`of_si`) these are taken in them, else they are found from the positions.
    ///
    /// # Errors
    /// None in practice: units of fixes are settled before.
    pub(crate) fn finish(self, draft: &mut Draft, of_si: bool) -> Result<(), ReadError> {
        let not_read: Vec<&str> = self
            .columns
            .iter()
            .filter(|column| column.cell.is_none())
            .map(|column| column.name.as_str())
            .collect();
        if !not_read.is_empty() {
            let more = if self.too_many { " and more" } else { "" };
            let text = format!("extensions not read: {}{more}", not_read.join(", "));
            draft.note(NoteKind::LeftOut, text);
        }
        if self.columns.iter().all(|extra| extra.cell.is_none() || extra.values.is_empty()) {
            return Ok(());
        }
        let count = draft.fixes.len();
        let mut table = of_fixes(draft);
        let own = table.columns.len();
        for extra in self.columns {
            let Some(cell) = extra.cell.filter(|_| !extra.values.is_empty()) else { continue };
            if table.find(cell.meaning).is_some_and(|at| at >= own) {
                let text = format!("extension {}: the same thing a second time", extra.name);
                draft.note(NoteKind::LeftOut, text);
                continue;
            }
            let mut values = extra.values;
            values.resize(count, f64::NAN);
            let mut unit = cell.unit;
            if unit.is_none() && cell.meaning.of_fix() {
                if !of_si && !settled(&extra.name, cell.meaning, &mut values, draft) {
                    continue;
                }
                unit = of_standard(cell.meaning);
            }
            table.columns.push(Column::new(0, extra.name, cell.meaning, unit));
            table.numbers.push(values);
        }
        if table.columns.len() == own {
            return Ok(());
        }
        let rows: Vec<usize> = (0..count).collect();
        let clock_s = table.times_s.clone();
        deduce::settle_units(&mut table, &rows, &clock_s, draft)?;
        place(&table, own, draft);
        Ok(())
    }
}

/// Finds the unit of a speed or climb by the positions and brings the values to SI; what cannot be found is left out.
fn settled(name: &str, meaning: Meaning, values: &mut Vec<f64>, draft: &mut Draft) -> bool {
    let mut table = of_fixes(draft);
    table.columns.push(Column::new(0, name.into(), meaning, None));
    table.numbers.push(std::mem::take(values));
    let rows: Vec<usize> = (0..draft.fixes.len()).collect();
    let clock_s = table.times_s.clone();
    let before = draft.notes.len();
    if deduce::settle_units(&mut table, &rows, &clock_s, draft).is_ok()
        && let Some(at) = table.find(meaning).filter(|&at| table.columns[at].name == name)
    {
        *values = std::mem::take(&mut table.numbers[at]);
        return true;
    }
    draft.notes.truncate(before);
    let text = format!("extension {name}: its unit is not stated and cannot be told; not read");
    draft.note(NoteKind::LeftOut, text);
    false
}

/// Meters per second and degrees.
fn of_standard(meaning: Meaning) -> Option<Unit> {
    let name = match meaning {
        Meaning::GroundSpeed | Meaning::FixClimb => "m/s",
        Meaning::Track => "deg",
        _ => return None,
    };
    super::csv::meanings::unit(meaning.dimension(), name)
}

/// The fixes as a table, for the deduction of units to compare with.
fn of_fixes(draft: &Draft) -> Table {
    type Read = fn(&Fix) -> f64;
    let members: [(Meaning, &str, Read); 4] = [
        (Meaning::Latitude, "deg", |fix| fix.latitude_deg),
        (Meaning::Longitude, "deg", |fix| fix.longitude_deg),
        (Meaning::Height, "m", |fix| fix.height_m.unwrap_or(f64::NAN)),
        (Meaning::Track, "deg", |fix| fix.track_deg.unwrap_or(f64::NAN)),
    ];
    let column = |(meaning, unit, _): &(Meaning, &str, Read)| {
        let unit = super::csv::meanings::unit(meaning.dimension(), unit);
        Column::new(0, format!("{meaning:?}").to_lowercase(), *meaning, unit)
    };
    let numbers =
        |(.., read): &(Meaning, &str, Read)| draft.fixes.iter().map(|(fix, _)| read(fix)).collect();
    Table::new(
        members.iter().map(column).collect(),
        members.iter().map(numbers).collect(),
        draft.fixes.iter().map(|(fix, _)| fix.time_s).collect(),
    )
}

fn place(table: &Table, own: usize, draft: &mut Draft) {
    for (column, values) in table.columns.iter().zip(&table.numbers).skip(own) {
        if column.meaning.dimension() == Dimension::Time {
            continue;
        }
        let finite = || values.iter().enumerate().filter(|(_, value)| value.is_finite());
        if let Meaning::Sensor(quantity) = column.meaning {
            let (times_s, values): (Vec<f64>, Vec<f64>) =
                finite().map(|(at, value)| (table.times_s[at], *value)).unzip();
            let origin = column.name.clone();
            if !values.is_empty() && !draft.series.iter().any(|s| s.quantity == quantity) {
                draft.series.push(Series { quantity, origin, times_s, values });
            }
            continue;
        }
        for (at, value) in finite() {
            let fix = &mut draft.fixes[at].0;
            let member = match column.meaning {
                Meaning::GroundSpeed => &mut fix.ground_speed_mps,
                Meaning::Track => &mut fix.track_deg,
                _ => &mut fix.climb_mps,
            };
            if member.is_none() {
                *member = Some(*value);
            }
        }
    }
}
