//! Units the header does not state, from the data: speed against differenced positions, height against vertical speed,
//! attitude rates against attitude. Every unit found this way is a note with its evidence; what stays open in a column
//! the fixes need is a question to the user, in any other column the column is left out with a note.

#![allow(clippy::float_cmp, reason = "factors of one are exact")]

use super::build::Table;
use super::meanings::{Dimension, Meaning, Unit, unit, unit_names};
use crate::error::ReadError;
use crate::normal::assemble::{Draft, distance_m, median};
use crate::normal::{Fix, NoteKind, QuantityKind as Q};
use base::factors::{RAD_PER_DEG, STANDARD_GRAVITY_MPS2};
use base::math;

/// Slower than this, positions say little about speed, m/s.
const MOVING_MPS: f64 = 5.0;
/// How far a ratio may be from a unit's, natural logarithm: knots and miles per hour are 0.14 apart.
const RATIO_MISS: f64 = 0.04;
/// Fewer comparisons than this decide nothing.
const PAIRS_LEAST: usize = 10;
/// Span over which heights are differenced, s: long against the noise of one fix.
const CLIMB_SPAN_S: f64 = 10.0;
/// Share of the changes of speed squared that height must explain; the rest is power, drag and gusts.
const TRADE_EXPLAINED_LEAST: f64 = 0.25;
/// How far the trade may be from a unit's, natural logarithm: the squares of knots and m/s are 1.33 apart, and eight
/// recordings with known units (panel logs of trainers and a jet) stay within 0.25.
const TRADE_MISS: f64 = 0.4;
/// A device feels one g; where it feels less than this in the median, in g or m/s2, gravity is taken off.
const WITHOUT_GRAVITY: f64 = 0.5;
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
    whole_acceleration(table, draft);
    settle_angles_of_position(table, draft);
    let speeds = position_speeds(table, rows, clock_s);
    settle_ground_speed(table, &speeds, draft)?;
    settle_velocities(table)?;
    settle_heights(table, draft)?;
    settle_airspeeds(table, &speeds, draft);
    settle_airspeeds_by_energy(table, draft);
    settle_simple(table, draft);
    settle_rates(table, draft);
    settle_device_rates(table, rows, clock_s, draft);
    settle_normal_load(table, draft);
    drop_open(table, draft);
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

/// Speed over the ground by differenced positions at each row of a fix, m/s: the mean of the steps before and after.
fn position_speeds(table: &Table, rows: &[usize], clock_s: &[f64]) -> Vec<(usize, f64)> {
    let speed_open = |column: &super::header::Column| {
        column.unit.is_none() && column.meaning.dimension() == Dimension::Speed
    };
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
            let speed = (distance_m(&before, &here) + distance_m(&here, &after)) / step_s;
            (step_s > 0.0 && step_s < 30.0 && speed.is_finite()).then_some((three[1], speed))
        })
        .collect()
}

fn settle_ground_speed(
    table: &mut Table,
    speeds: &[(usize, f64)],
    draft: &mut Draft,
) -> Result<(), ReadError> {
    let Some(at) = open(table, Meaning::GroundSpeed) else { return Ok(()) };
    if table.find(Meaning::Latitude).is_none() {
        return Ok(());
    }
    let values = &table.numbers[at];
    let ratios: Vec<f64> = speeds
        .iter()
        .filter(|(row, speed)| *speed > MOVING_MPS && values[*row].is_finite())
        .map(|(row, speed)| values[*row] / speed)
        .collect();
    let count = ratios.len();
    let name = table.columns[at].name.clone();
    let candidates = ["m/s", "kt", "km/h", "mph", "ft/s", "cm/s", "mm/s", "mkt"];
    let ask = |what: String| ReadError::Ambiguous {
        what: format!("column {name}: {what}"),
        hint: format!(
            "give the unit: --unit {name}=kt (or one of {})",
            unit_names(Dimension::Speed)
        ),
    };
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
            assume(table, at, &known(Dimension::Speed, best), &why, draft);
            Ok(())
        }
        None => Err(ask(format!(
            "no unit in the header, and {ratio:.3} for each m/s of the positions fits none well"
        ))),
    }
}

fn settle_velocities(table: &Table) -> Result<(), ReadError> {
    for meaning in [Meaning::VelocityEast, Meaning::VelocityNorth] {
        if let Some(at) = open(table, meaning) {
            let name = &table.columns[at].name;
            return Err(ReadError::Ambiguous {
                what: format!("column {name}: no unit in the header"),
                hint: format!("give the unit: --unit {name}=m/s"),
            });
        }
    }
    Ok(())
}

// --- heights and vertical speeds -----------------------------------------------------------------------------------

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

fn settle_heights(table: &mut Table, draft: &mut Draft) -> Result<(), ReadError> {
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

// --- the other sensors ---------------------------------------------------------------------------------------------

/// Airspeeds against the speed of the positions: knots, m/s and km/h are far enough apart for any ordinary wind; miles
/// per hour are not, and are read only when the header or the user says so.
fn settle_airspeeds(table: &mut Table, speeds: &[(usize, f64)], draft: &mut Draft) {
    let airspeeds = [Q::TrueAirspeedMps, Q::CalibratedAirspeedMps, Q::IndicatedAirspeedMps];
    for quantity in airspeeds {
        let Some(at) = open(table, Meaning::Sensor(quantity)) else { continue };
        let values = &table.numbers[at];
        let ratios: Vec<f64> = speeds
            .iter()
            .filter(|(row, speed)| *speed > 4.0 * MOVING_MPS && values[*row] > 0.0)
            .map(|(row, speed)| values[*row] / speed)
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

/// Without positions, by energy: an airplane trades speed for height, so that the square of its speed falls by twice gravity
/// for each meter it climbs; what power and drag sustain over longer is taken out by differencing twice. The square of a
/// unit tells knots, m/s and km/h well apart; miles per hour are too near to knots to be told.
fn settle_airspeeds_by_energy(table: &mut Table, draft: &mut Draft) {
    let airspeeds = [Q::IndicatedAirspeedMps, Q::CalibratedAirspeedMps, Q::TrueAirspeedMps];
    let altimeters = [Q::IndicatedAltitudeM, Q::PressureAltitudeM].map(Meaning::Sensor);
    let height = altimeters
        .iter()
        .filter_map(|meaning| table.find(*meaning))
        .find(|&at| table.columns[at].unit.is_some());
    let Some(height) = height else { return };
    let column = |q: &Q| open(table, Meaning::Sensor(*q));
    let open_columns: Vec<usize> = airspeeds.iter().filter_map(column).collect();
    let found = open_columns.iter().find_map(|&at| {
        let trade = trade(&table.times_s, &table.numbers[at], &table.numbers[height])?;
        let square = |name: &str| {
            let factor = known(Dimension::Speed, name).factor;
            factor * factor
        };
        let miss = |name: &&str| math::ln(trade.ratio * square(name)).abs();
        let best = ["m/s", "kt", "km/h"].into_iter().min_by(|a, b| miss(a).total_cmp(&miss(b)))?;
        (miss(&best) < TRADE_MISS).then(|| {
            let why = format!(
                "the square of {} and the height trade {:.2} to one, of which {:.2} is expected in {best} ({} changes, share explained {:.2}; miles per hour not considered)",
                table.columns[at].name,
                trade.ratio,
                1.0 / square(best),
                trade.count,
                trade.explained
            );
            (best, why)
        })
    });
    let Some((name, why)) = found else { return };
    for at in open_columns {
        assume(table, at, &known(Dimension::Speed, name), &why, draft);
    }
}

/// How the square of a speed follows the height.
struct Trade {
    /// Change of the square for each m2/s2 of potential energy times two.
    ratio: f64,
    explained: f64,
    count: usize,
}

/// Second differences over [`CLIMB_SPAN_S`] of the speed squared against those of height; the slope of the reduced major
/// axis, since both carry the noise of what is not traded.
fn trade(times_s: &[f64], speed: &[f64], height_m: &[f64]) -> Option<Trade> {
    let mut points: Vec<(f64, f64, f64)> = Vec::new();
    for row in 0..times_s.len() {
        let (time_s, v, h) = (times_s[row], speed[row], height_m[row]);
        let finite = time_s.is_finite() && v.is_finite() && h.is_finite();
        if finite && points.last().is_none_or(|last| time_s - last.0 >= CLIMB_SPAN_S) {
            points.push((time_s, v * v, -2.0 * STANDARD_GRAVITY_MPS2 * h));
        }
    }
    let whole = |three: &&[(f64, f64, f64)]| three[2].0 - three[0].0 < 3.0 * CLIMB_SPAN_S;
    let pairs: Vec<(f64, f64)> = points
        .windows(3)
        .filter(whole)
        .map(|three| {
            let bend = |get: fn(&(f64, f64, f64)) -> f64| {
                get(&three[2]) - 2.0 * get(&three[1]) + get(&three[0])
            };
            (bend(|point| point.2), bend(|point| point.1))
        })
        .collect();
    let sum = |product: fn(&(f64, f64)) -> f64| pairs.iter().map(product).sum::<f64>();
    let (xx, xy, yy) = (sum(|p| p.0 * p.0), sum(|p| p.0 * p.1), sum(|p| p.1 * p.1));
    let explained = xy * xy / (xx * yy);
    let enough = pairs.len() >= 3 * PAIRS_LEAST && xy > 0.0 && explained > TRADE_EXPLAINED_LEAST;
    enough.then(|| Trade { ratio: (yy / xx).sqrt(), explained, count: pairs.len() })
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
    settle_device_force(table, draft);
}

/// Takes columns out of the table.
fn leave(table: &mut Table, away: &mut [usize]) {
    away.sort_unstable();
    for &at in away.iter().rev() {
        table.numbers.remove(at);
        let column = table.columns.remove(at);
        table.left.push(column);
    }
}

/// Accelerations from which the device has taken gravity, with its gravity beside them, are whole when added; alone they are
/// of no use, nor is gravity, which follows the whole slowly. Where the whole is recorded, it counts.
fn whole_acceleration(table: &mut Table, draft: &mut Draft) {
    let force =
        [Q::DeviceForceXMps2, Q::DeviceForceYMps2, Q::DeviceForceZMps2].map(Meaning::Sensor);
    let whole = force.iter().all(|meaning| table.find(*meaning).is_some());
    let pair = |table: &Table, axis: u8| {
        table.find(Meaning::Linear(axis)).zip(table.find(Meaning::Gravity(axis)))
    };
    let added = !whole && (0..3).all(|axis| pair(table, axis).is_some());
    let mut names = Vec::new();
    for (axis, meaning) in (0..3).zip(force).filter(|_| added) {
        let Some((linear, gravity)) = pair(table, axis) else { continue };
        let sum = table.numbers[linear].iter().zip(&table.numbers[gravity]);
        table.numbers[linear] = sum.map(|(a, g)| a + g).collect();
        table.columns[linear].meaning = meaning;
        names.push(format!("{} and {}", table.columns[linear].name, table.columns[gravity].name));
    }
    if added {
        let names = names.join(", ");
        draft.note(
            NoteKind::Assumed,
            format!("gravity is taken off and written beside: added again ({names})"),
        );
    }
    let mut spare: Vec<usize> = (0..table.columns.len())
        .filter(|&at| matches!(table.columns[at].meaning, Meaning::Linear(_) | Meaning::Gravity(_)))
        .collect();
    if spare.is_empty() {
        return;
    }
    let names: Vec<&str> = spare.iter().map(|&at| table.columns[at].name.as_str()).collect();
    let why = if whole {
        "the whole acceleration is recorded beside them"
    } else {
        "gravity is taken off, or it is gravity alone: of no use for attitude and load"
    };
    if !added {
        draft.note(NoteKind::LeftOut, format!("columns {}: {why}; not used", names.join(", ")));
    }
    leave(table, &mut spare);
}

/// Three device axes together: at rest and over a flight the length of the vector is about one g.
fn settle_device_force(table: &mut Table, draft: &mut Draft) {
    let axes = [Q::DeviceForceXMps2, Q::DeviceForceYMps2, Q::DeviceForceZMps2]
        .map(|quantity| table.find(Meaning::Sensor(quantity)));
    let [Some(x), Some(y), Some(z)] = axes else { return };
    let open: Vec<usize> =
        [x, y, z].into_iter().filter(|&at| table.columns[at].unit.is_none()).collect();
    let length = |row: usize| {
        let (a, b, c) = (table.numbers[x][row], table.numbers[y][row], table.numbers[z][row]);
        math::hypot(math::hypot(a, b), c)
    };
    let typical = median((0..table.times_s.len()).map(length).collect()).unwrap_or(0.0);
    // a device that feels nothing most of the time falls freely, or has gravity taken off
    if typical < WITHOUT_GRAVITY && typical > 0.0 {
        let text = format!(
            "columns {}, {} and {} have gravity taken off (together {typical:.2} long in the median): of no use for attitude and load, not used",
            table.columns[x].name, table.columns[y].name, table.columns[z].name
        );
        draft.note(NoteKind::LeftOut, text);
        leave(table, &mut [x, y, z]);
        return;
    }
    if open.is_empty() {
        return;
    }
    let name = match typical {
        t if (0.75..1.4).contains(&t) => "g",
        t if (0.75..1.4).contains(&(t / STANDARD_GRAVITY_MPS2)) => "m/s2",
        _ => return,
    };
    let why = format!(
        "the three axes together are {typical:.2} long (directions and signs as the device has them)"
    );
    for at in open {
        assume(table, at, &known(Dimension::Acceleration, name), &why, draft);
    }
}

/// Roll and pitch rate against the attitude they change; the rates of one file share their unit.
fn settle_rates(table: &mut Table, draft: &mut Draft) {
    let body = [Q::RollRateRadps, Q::PitchRateRadps, Q::YawRateRadps];
    let rates: Vec<usize> =
        body.into_iter().filter_map(|quantity| open(table, Meaning::Sensor(quantity))).collect();
    if rates.is_empty() {
        return;
    }
    let pairs = [(Q::RollRateRadps, Q::BankDeg), (Q::PitchRateRadps, Q::PitchDeg)];
    let by_attitude = pairs.into_iter().find_map(|(rate, attitude)| {
        let rate_at = open(table, Meaning::Sensor(rate))?;
        let attitude_at = table.find(Meaning::Sensor(attitude))?;
        table.columns[attitude_at].unit.as_ref()?;
        let steps =
            angle_steps(&table.times_s, &table.numbers[rate_at], &table.numbers[attitude_at]);
        let slope = slope(&steps)?;
        let miss = |expected: f64| math::ln(slope / expected).abs();
        match slope {
            _ if slope <= 0.0 => None,
            _ if miss(1.0) < 0.3 => Some(("deg/s", slope)),
            _ if miss(1.0 / RAD_PER_DEG) < 0.3 => Some(("rad/s", slope)),
            _ => None,
        }
    });
    let most = rates.iter().map(|&at| greatest(&table.numbers[at])).fold(0.0, f64::max);
    let (name, why) = match by_attitude {
        Some((name, slope)) => (name, format!("the attitude turns {slope:.2} deg for each of it")),
        None if most > 7.0 => ("deg/s", format!("values of {most:.1} are no rad/s of an airplane")),
        None => return,
    };
    let found = known(Dimension::Rate, if name == "deg/s" { "deg/s" } else { "rad/s" });
    for at in rates {
        assume(table, at, &found, &why, draft);
    }
}

/// Device axes: an airplane in a steady turn rotates about as fast as its track does (pitch and roll come on top, so
/// the length of the vector is a little larger), and radians and degrees are a factor of 57 apart.
fn settle_device_rates(table: &mut Table, rows: &[usize], clock_s: &[f64], draft: &mut Draft) {
    let axes = [Q::DeviceRateXRadps, Q::DeviceRateYRadps, Q::DeviceRateZRadps]
        .map(|quantity| open(table, Meaning::Sensor(quantity)));
    let [Some(x), Some(y), Some(z)] = axes else { return };
    let lengths: Vec<(f64, f64)> = (0..table.times_s.len())
        .map(|row| {
            let (a, b, c) = (table.numbers[x][row], table.numbers[y][row], table.numbers[z][row]);
            (table.times_s[row], math::hypot(math::hypot(a, b), c))
        })
        .filter(|(time_s, length)| time_s.is_finite() && length.is_finite())
        .collect();
    let mut ratios = Vec::new();
    for (from_s, to_s, rate_radps) in turns(table, rows, clock_s) {
        let start = lengths.partition_point(|(time_s, _)| *time_s < from_s);
        let inside = lengths[start..].iter().take_while(|(time_s, _)| *time_s <= to_s);
        if let Some(length) = median(inside.map(|(_, length)| *length).collect()) {
            ratios.push(length / rate_radps);
        }
    }
    let count = ratios.len();
    let Some(ratio) = median(ratios).filter(|_| count >= PAIRS_LEAST) else { return };
    let name = match ratio {
        r if (0.5..3.0).contains(&r) => "rad/s",
        r if (0.5..3.0).contains(&(r * RAD_PER_DEG)) => "deg/s",
        _ => return,
    };
    let why =
        format!("the three axes read {ratio:.2} for each rad/s the track turns ({count} steps)");
    for at in [x, y, z] {
        assume(table, at, &known(Dimension::Rate, name), &why, draft);
    }
}

/// Steps between fixes in which the track turns at 4 deg/s or more: from, to and rate.
fn turns(table: &Table, rows: &[usize], clock_s: &[f64]) -> Vec<(f64, f64, f64)> {
    let Some(track) = table.values(Meaning::Track) else { return Vec::new() };
    rows.windows(2)
        .filter_map(|pair| {
            let step_s = clock_s[pair[1]] - clock_s[pair[0]];
            let turned = math::wrap_pi((track[pair[1]] - track[pair[0]]) * RAD_PER_DEG).abs();
            let rate = turned / step_s;
            let turning = step_s > 0.0 && step_s < 3.0 && rate > 4.0 * RAD_PER_DEG && rate < 0.7;
            turning.then_some((clock_s[pair[0]], clock_s[pair[1]], rate))
        })
        .collect()
}

/// Integral of the rate and change of the angle from row to row.
fn angle_steps(times_s: &[f64], rate: &[f64], angle_deg: &[f64]) -> Vec<(f64, f64)> {
    (1..times_s.len())
        .filter_map(|row| {
            let step_s = times_s[row] - times_s[row - 1];
            let turned = angle_deg[row] - angle_deg[row - 1];
            let integral = 0.5 * (rate[row] + rate[row - 1]) * step_s;
            let usable =
                step_s > 0.0 && step_s < 3.0 && turned.abs() < 90.0 && integral.is_finite();
            usable.then_some((integral, turned))
        })
        .collect()
}

/// Some logs write the normal load less one g, some with the sign of the acceleration. What the user's map says is taken.
fn settle_normal_load(table: &mut Table, draft: &mut Draft) {
    let Some(at) = table.find(Meaning::Sensor(Q::NormalLoadG)) else { return };
    let said = table.columns[at].at_rest_g;
    let values = &mut table.numbers[at];
    if let Some(at_rest_g) = said {
        values.iter_mut().for_each(|value| *value += 1.0 - at_rest_g);
        return;
    }
    let Some(typical) = median(values.clone()) else { return };
    let name = table.columns[at].name.clone();
    if typical.abs() < 0.4 {
        values.iter_mut().for_each(|value| *value += 1.0);
        table.columns[at].at_rest_g = Some(0.0);
        let text = format!(
            "column {name} is the normal load less one g (its middle value is {typical:.2}): one added"
        );
        draft.note(NoteKind::Assumed, text);
    } else if (-1.5..=-0.6).contains(&typical) {
        values.iter_mut().for_each(|value| *value = -*value);
        table.columns[at].turned = !table.columns[at].turned;
        table.columns[at].at_rest_g = Some(1.0);
        let text = format!(
            "column {name} counts down as positive (its middle value is {typical:.2}): sign turned"
        );
        draft.note(NoteKind::Assumed, text);
    } else if (0.6..=1.5).contains(&typical) {
        table.columns[at].at_rest_g = Some(1.0);
        let text = format!(
            "column {name} is the whole normal load, one in level flight (its middle value is {typical:.2})"
        );
        draft.note(NoteKind::Assumed, text);
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
