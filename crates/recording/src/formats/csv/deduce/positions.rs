//! Units of speeds by the speed of the positions.

use super::super::build::Table;
use super::super::header::Column;
use super::super::meanings::{Dimension, Meaning, unit_names};
use super::{MOVING_MPS, PAIRS_LEAST, assume, known, open};
use crate::error::ReadError;
use crate::normal::assemble::{Draft, apart_m, distance_m, median};
use crate::normal::{Fix, QuantityKind as Q};
use base::math;

/// How far a ratio may be from a unit's, natural logarithm: knots and miles per hour are 0.14 apart.
const RATIO_MISS: f64 = 0.04;

/// Motion over the ground by differenced positions at the row of a fix.
pub(super) struct Move {
    row: usize,
    /// Mean of the steps before and after.
    speed_mps: f64,
    east_mps: f64,
    north_mps: f64,
}

/// Motion at each row of a fix, where a speed is open.
pub(super) fn moves(table: &Table, rows: &[usize], clock_s: &[f64]) -> Vec<Move> {
    let speed_open =
        |column: &Column| column.unit.is_none() && column.meaning.dimension() == Dimension::Speed;
    if !table.columns.iter().any(speed_open) {
        return Vec::new();
    }
    let (Some(latitude), Some(longitude)) =
        (table.values(Meaning::Latitude), table.values(Meaning::Longitude))
    else {
        return Vec::new();
    };
    let place = |row: usize| Fix {
        time_s: clock_s[row],
        latitude_deg: latitude[row],
        longitude_deg: longitude[row],
        height_m: None,
        ground_speed_mps: None,
        track_deg: None,
        climb_mps: None,
    };
    rows.windows(3)
        .filter_map(|three| {
            let [before, here, after] = [place(three[0]), place(three[1]), place(three[2])];
            let step_s = after.time_s - before.time_s;
            let speed_mps = (distance_m(&before, &here) + distance_m(&here, &after)) / step_s;
            let (east_m, north_m) = apart_m(&before, &after);
            let (east_mps, north_mps) = (east_m / step_s, north_m / step_s);
            let one = Move { row: three[1], speed_mps, east_mps, north_mps };
            (step_s > 0.0 && step_s < 30.0 && speed_mps.is_finite()).then_some(one)
        })
        .collect()
}

/// The unit of a column from what it reads for each m/s of the positions.
///
/// # Errors
/// Ambiguous when they move too little or no unit fits.
fn unit_of_ratios(ratios: Vec<f64>, name: &str) -> Result<(&'static str, String), ReadError> {
    let candidates = ["m/s", "kt", "km/h", "mph", "ft/s", "cm/s", "mm/s", "mkt"];
    let ask = |what: String| ReadError::Ambiguous {
        what: format!("column {name}: {what}"),
        hint: format!(
            "give the unit: --unit {name}=kt (or one of {})",
            unit_names(Dimension::Speed)
        ),
    };
    let count = ratios.len();
    let ratio = median(ratios).filter(|_| count >= PAIRS_LEAST);
    let Some(ratio) = ratio else {
        return Err(ask(
            "no unit in the header, and too little movement to find it from the positions".into(),
        ));
    };
    let miss = |name: &str| math::ln(ratio * known(Dimension::Speed, name).factor).abs();
    let best = candidates.into_iter().min_by(|a, b| miss(a).total_cmp(&miss(b)));
    match best.filter(|best| ratio > 0.0 && miss(best) < RATIO_MISS) {
        Some(best) => {
            let why = format!("it reads {ratio:.3} for each m/s of the positions ({count} steps)");
            Ok((best, why))
        }
        None => Err(ask(format!(
            "no unit in the header, and {ratio:.3} for each m/s of the positions fits none well"
        ))),
    }
}

pub(super) fn settle_ground_speed(
    table: &mut Table,
    moves: &[Move],
    draft: &mut Draft,
) -> Result<(), ReadError> {
    let Some(at) = open(table, Meaning::GroundSpeed) else { return Ok(()) };
    if table.find(Meaning::Latitude).is_none() {
        return Ok(());
    }
    let values = &table.numbers[at];
    let ratios: Vec<f64> = moves
        .iter()
        .filter(|one| one.speed_mps > MOVING_MPS && values[one.row].is_finite())
        .map(|one| values[one.row] / one.speed_mps)
        .collect();
    let (name, why) = unit_of_ratios(ratios, &table.columns[at].name)?;
    assume(table, at, &known(Dimension::Speed, name), &why, draft);
    Ok(())
}

/// Velocities to the east and to the north, which have one unit: each against the motion along its own direction.
pub(super) fn settle_velocities(
    table: &mut Table,
    moves: &[Move],
    draft: &mut Draft,
) -> Result<(), ReadError> {
    type Along = fn(&Move) -> f64;
    let both: [(Meaning, Along); 2] = [
        (Meaning::VelocityEast, |one| one.east_mps),
        (Meaning::VelocityNorth, |one| one.north_mps),
    ];
    let columns: Vec<(usize, Along)> = both
        .into_iter()
        .filter_map(|(meaning, along)| Some((open(table, meaning)?, along)))
        .collect();
    let Some(&(first, _)) = columns.first() else { return Ok(()) };
    let ratios = columns.iter().flat_map(|&(at, along)| {
        let values = &table.numbers[at];
        let fast = move |one: &&Move| along(one).abs() > MOVING_MPS;
        let ratio = move |one: &Move| values[one.row] / along(one);
        moves.iter().filter(fast).map(ratio).filter(|ratio| ratio.is_finite())
    });
    let (name, why) = unit_of_ratios(ratios.collect(), &table.columns[first].name)?;
    for (at, _) in columns {
        assume(table, at, &known(Dimension::Speed, name), &why, draft);
    }
    Ok(())
}

/// Airspeeds against the speed of the positions: knots, m/s and km/h are far enough apart for any ordinary wind; miles
/// per hour are not, and are read only when the header or the user says so.
pub(super) fn settle_airspeeds(table: &mut Table, moves: &[Move], draft: &mut Draft) {
    let airspeeds = [Q::TrueAirspeedMps, Q::CalibratedAirspeedMps, Q::IndicatedAirspeedMps];
    for quantity in airspeeds {
        let Some(at) = open(table, Meaning::Sensor(quantity)) else { continue };
        let values = &table.numbers[at];
        let ratios: Vec<f64> = moves
            .iter()
            .filter(|one| one.speed_mps > 4.0 * MOVING_MPS && values[one.row] > 0.0)
            .map(|one| values[one.row] / one.speed_mps)
            .collect();
        if ratios.len() < PAIRS_LEAST {
            continue;
        }
        let Some(ratio) = median(ratios) else { continue };
        let miss = |name: &&str| math::ln(ratio * known(Dimension::Speed, name).factor).abs();
        let best = ["m/s", "kt", "km/h"].into_iter().min_by(|a, b| miss(a).total_cmp(&miss(b)));
        if let Some(best) = best.filter(|best| miss(best) < 0.27) {
            let why = format!(
                "it reads {ratio:.2} for each m/s over the ground (miles per hour not considered)"
            );
            assume(table, at, &known(Dimension::Speed, best), &why, draft);
        }
    }
}
