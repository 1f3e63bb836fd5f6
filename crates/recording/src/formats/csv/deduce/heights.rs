//! Units of heights and vertical speeds, by one another: what comes from one instrument first.

use super::super::build::Table;
use super::super::meanings::{Dimension, Meaning, unit_names};
use super::{CLIMB_SPAN_S, assume, known, open, slope};
use crate::error::ReadError;
use crate::normal::QuantityKind as Q;
use crate::normal::assemble::Draft;
use base::math;

const HEIGHTS: [Meaning; 5] = [
    Meaning::FixHeight,
    Meaning::SeaLevelHeight,
    Meaning::Height,
    Meaning::Sensor(Q::IndicatedAltitudeM),
    Meaning::Sensor(Q::PressureAltitudeM),
];
const CLIMBS: [Meaning; 2] = [Meaning::FixClimb, Meaning::Sensor(Q::VerticalSpeedMps)];
/// Pairs of units that go together, with the height change a unit of vertical speed makes in a second.
/// Feet with feet per second and meters with meters per minute are not considered (common practice, no source).
const PAIRS: [(&str, &str, f64); 5] = [
    ("m", "m/s", 1.0),
    ("ft", "fpm", 1.0 / 60.0),
    ("ft", "m/s", 1.0 / base::factors::M_PER_FT),
    ("m", "fpm", base::factors::MPS_PER_FPM),
    ("cm", "m/s", 100.0),
];

pub(super) fn settle_heights(table: &mut Table, draft: &mut Draft) -> Result<(), ReadError> {
    // what comes from one instrument first: receiver with receiver, static port with static port
    let [of_receiver, of_panel] = CLIMBS;
    let [fix, sea_level, height, indicated, pressure] = HEIGHTS;
    for (height, climb) in [
        (fix, of_receiver),
        (indicated, of_panel),
        (pressure, of_panel),
        (sea_level, of_receiver),
        (height, of_receiver),
    ] {
        settle_pair(table, height, climb, draft);
    }
    for height in HEIGHTS {
        for climb in CLIMBS {
            settle_pair(table, height, climb, draft);
        }
    }
    // a height still open may follow one that is settled
    for height in HEIGHTS {
        settle_by_other_height(table, height, draft);
    }
    if table.find(Meaning::Latitude).is_none() {
        return Ok(());
    }
    let used = HEIGHTS[..3].iter().copied().chain([Meaning::FixClimb]);
    for meaning in used {
        let Some(at) = open(table, meaning) else { continue };
        if table.numbers[at].iter().all(|value| value.is_nan()) {
            continue;
        }
        let name = &table.columns[at].name;
        let unit = if meaning == Meaning::FixClimb { "fpm" } else { "ft" };
        return Err(ReadError::Ambiguous {
            what: format!(
                "column {name}: no unit in the header, and nothing in the file to tell it by"
            ),
            hint: format!(
                "give the unit: --unit {name}={unit} (or one of {})",
                unit_names(table.columns[at].meaning.dimension())
            ),
        });
    }
    Ok(())
}

/// Finds the units of a height and a vertical speed, at least one of them open, by regression of one on the other.
fn settle_pair(table: &mut Table, height: Meaning, climb: Meaning, draft: &mut Draft) {
    let (Some(height_at), Some(climb_at)) = (table.find(height), table.find(climb)) else { return };
    let (height_open, climb_open) =
        (table.columns[height_at].unit.is_none(), table.columns[climb_at].unit.is_none());
    if !height_open && !climb_open {
        return;
    }
    let changes =
        height_changes(&table.times_s, &table.numbers[climb_at], &table.numbers[height_at]);
    let Some(slope) = slope(&changes) else { return };
    let expected = |pair: &(&str, &str, f64)| match (height_open, climb_open) {
        (true, true) => pair.2,
        (true, false) => 1.0 / known(Dimension::Length, pair.0).factor,
        _ => known(Dimension::Speed, pair.1).factor,
    };
    let miss = |pair: &(&str, &str, f64)| math::ln(slope / expected(pair)).abs();
    let best = PAIRS.iter().min_by(|a, b| miss(a).total_cmp(&miss(b)));
    let Some(best) = best.filter(|best| slope > 0.0 && miss(best) < 0.3) else { return };
    let names = (table.columns[height_at].name.clone(), table.columns[climb_at].name.clone());
    // settled columns are in meters and m/s by now: the evidence says so
    let (unit_of_height, unit_of_climb) =
        (if height_open { "" } else { " m" }, if climb_open { "unit" } else { "m/s" });
    let count = changes.len();
    let seen = format!(
        "{} changes by {slope:.4}{unit_of_height} a second for each {unit_of_climb} of {} ({count} spans of {CLIMB_SPAN_S} s)",
        names.0, names.1
    );
    if height_open {
        assume(table, height_at, &known(Dimension::Length, best.0), &seen, draft);
    }
    if climb_open {
        assume(table, climb_at, &known(Dimension::Speed, best.1), &seen, draft);
    }
}

/// Pairs over spans of some seconds: integral of the vertical speed, change of the height.
fn height_changes(times_s: &[f64], climb: &[f64], height: &[f64]) -> Vec<(f64, f64)> {
    let mut out = Vec::new();
    let mut start: Option<usize> = None;
    let mut last: Option<usize> = None;
    let mut integral = 0.0;
    for row in 0..times_s.len() {
        if !(times_s[row].is_finite() && climb[row].is_finite() && height[row].is_finite()) {
            continue;
        }
        if let (Some(first), Some(before)) = (start, last) {
            let step_s = times_s[row] - times_s[before];
            if !(0.0..CLIMB_SPAN_S).contains(&step_s) {
                start = None;
            } else {
                integral += 0.5 * (climb[row] + climb[before]) * step_s;
                if times_s[row] - times_s[first] >= CLIMB_SPAN_S {
                    out.push((integral, height[row] - height[first]));
                    start = None;
                }
            }
        }
        if start.is_none() {
            start = Some(row);
            integral = 0.0;
        }
        last = Some(row);
    }
    out
}

fn settle_by_other_height(table: &mut Table, height: Meaning, draft: &mut Draft) {
    let Some(at) = open(table, height) else { return };
    let other = HEIGHTS
        .iter()
        .filter_map(|meaning| table.find(*meaning))
        .find(|&other| table.columns[other].unit.is_some());
    let Some(other) = other else { return };
    let changes = height_steps(&table.numbers[other], &table.numbers[at]);
    let Some(slope) = slope(&changes) else { return };
    let miss = |name: &&str| math::ln(slope * known(Dimension::Length, name).factor).abs();
    let best = ["m", "ft", "cm"].into_iter().min_by(|a, b| miss(a).total_cmp(&miss(b)));
    if let Some(best) = best.filter(|best| slope > 0.0 && miss(best) < 0.2) {
        let why = format!(
            "it changes by {slope:.3} for each meter of {} ({} steps)",
            table.columns[other].name,
            changes.len()
        );
        assume(table, at, &known(Dimension::Length, best), &why, draft);
    }
}

/// Changes of two heights between every thirtieth row that has both.
fn height_steps(known: &[f64], open: &[f64]) -> Vec<(f64, f64)> {
    let both: Vec<(f64, f64)> = known
        .iter()
        .copied()
        .zip(open.iter().copied())
        .filter(|(a, b)| a.is_finite() && b.is_finite())
        .step_by(30)
        .collect();
    both.windows(2).map(|pair| (pair[1].0 - pair[0].0, pair[1].1 - pair[0].1)).collect()
}
