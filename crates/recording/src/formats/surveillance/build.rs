//! Rows to fixes and series: which aircraft, which units, which clock.

#![allow(clippy::float_cmp, reason = "a repeated stamp is the same bits again")]

use super::fields::Field;
use super::rows::{NOBODY, Rows, Seen, Table};
use super::{KEY, malformed};
use crate::error::ReadError;
use crate::formats::ReadOptions;
use crate::normal::assemble::{
    Draft, counted, course_rad, distance_m, line_list, lines_text, median,
};
use crate::normal::{Fix, HeightDatum, NoteKind, QuantityKind, Series};
use base::factors::{M_PER_FT, MPS_PER_FPM, MPS_PER_KMH, MPS_PER_KT, RAD_PER_DEG};
use base::math;

/// Step of a transponder's altitude, ft (ICAO Annex 10 volume IV).
const STEP_FT: f64 = 25.0;
/// Share of altitudes on such steps that makes them a transponder's; the rest may have been resampled. By chance it is 4 %.
const STEP_SHARE: f64 = 0.3;
/// Fewer values than this say nothing of steps or units.
const VALUES_LEAST: usize = 10;
/// A position older than this in its row has a wrong stamp, s.
const POSITION_AGE_MOST_S: f64 = 120.0;
/// Velocities of messages of their own are used up to so far from a position, s.
const VELOCITY_NEAR_S: f64 = 2.5;
/// Slower than this, positions say little about speed, m/s.
const MOVING_MPS: f64 = 15.0;
/// Register of a transponder that holds magnetic heading and indicated airspeed.
const HEADING_AND_SPEED_REGISTER: f64 = 0x60 as f64;

const NEW_LEG: u32 = 2;
const GEOMETRIC_RATE: u32 = 4;
const GEOMETRIC_ALTITUDE: u32 = 8;

/// Factors to SI.
#[derive(Debug, Clone, Copy)]
struct Units {
    altitude: f64,
    /// Whether the altitude is by pressure.
    by_pressure: bool,
    geometric: f64,
    speed: f64,
    rate: f64,
    airspeed: f64,
}

/// Puts the rows of one aircraft into a draft.
///
/// # Errors
/// Ambiguous when there are several aircraft; Malformed when there is no position.
pub(super) fn draft(mut rows: Rows, options: &ReadOptions) -> Result<Draft, ReadError> {
    let mut draft = Draft::new(KEY, &options.name);
    draft.epoch = rows.cells.epoch;
    let all = std::mem::take(&mut rows.all);
    let own = choose(all, &rows, options)?;
    tell_rows(&rows, &own, &mut draft);
    let units = units(&own, &rows, &mut draft);
    fixes(&own, units, &mut draft);
    series(&own, units, &mut draft);
    headings(&own, &mut draft);
    Ok(draft)
}

fn tell_rows(rows: &Rows, own: &Table, draft: &mut Draft) {
    if !rows.broken.is_empty() {
        let (count, list) = (rows.broken.len(), line_list(&rows.broken));
        draft.note(NoteKind::LeftOut, format!("{count} broken rows left out, lines {list}"));
    }
    if !rows.unread.is_empty() {
        draft.note(NoteKind::LeftOut, format!("fields not read: {}", rows.unread.join(", ")));
    }
    if !rows.cells.unreadable.is_empty() {
        let text = format!(
            "{} left out, {}",
            counted(
                rows.cells.unreadable.len(),
                "cell that is no number",
                "cells that are no numbers"
            ),
            lines_text(&rows.cells.unreadable)
        );
        draft.note(NoteKind::LeftOut, text);
    }
    let nowhere: Vec<u64> = own.iter().filter(|row| !placed(row)).map(Seen::line).collect();
    if !nowhere.is_empty() {
        let text = format!(
            "{} without a position, {}",
            counted(nowhere.len(), "row", "rows"),
            lines_text(&nowhere)
        );
        draft.note(NoteKind::Missing, text);
    }
    if rows.cells.unzoned > 0 {
        let text = format!(
            "{} no zone: taken as UTC",
            counted(rows.cells.unzoned, "time names", "times name")
        );
        draft.note(NoteKind::Assumed, text);
    }
    if !rows.cells.epoch {
        draft.note(NoteKind::Missing, "times do not count from 1970: the start is not known");
    }
    let untimed: Vec<u64> =
        own.iter().filter(|row| row.get(Field::Time).is_nan()).map(Seen::line).collect();
    if !untimed.is_empty() {
        let (rows, list) = (counted(untimed.len(), "row", "rows"), lines_text(&untimed));
        draft.note(NoteKind::LeftOut, format!("{rows} without a time left out, {list}"));
    }
}

// --- which aircraft ------------------------------------------------------------------------------------------------

fn placed(row: &Seen<'_>) -> bool {
    row.get(Field::Latitude).is_finite() && row.get(Field::Longitude).is_finite()
}

fn identity(row: &Seen<'_>) -> u32 {
    if row.address() == NOBODY { row.callsign() } else { row.address() }
}

/// The rows of the one aircraft, or of the one the user names.
fn choose(mut all: Table, rows: &Rows, options: &ReadOptions) -> Result<Table, ReadError> {
    let names = &rows.cells.names;
    let mut positions = vec![0usize; names.len()];
    let mut callsigns = vec![NOBODY; names.len()];
    let mut any = false;
    for row in all.iter() {
        any |= placed(&row);
        let who = identity(&row) as usize;
        if let Some(count) = positions.get_mut(who) {
            *count += usize::from(placed(&row));
            if row.callsign() != NOBODY {
                callsigns[who] = row.callsign();
            }
        }
    }
    if !any {
        return Err(malformed(
            format!("{} rows, and none with a latitude and longitude", all.len()),
            0,
            "name the fields timestamp, icao24, latitude, longitude, altitude, groundspeed, track",
        ));
    }
    let several: Vec<usize> = (0..names.len()).filter(|&at| positions[at] > 0).collect();
    if let Some(wanted) = &options.aircraft {
        let called = |at: u32| {
            names.get(at as usize).is_some_and(|name| name.eq_ignore_ascii_case(wanted.trim()))
        };
        let mut meant = vec![false; names.len()];
        for row in all.iter() {
            if let Some(meant) = meant.get_mut(identity(&row) as usize) {
                *meant |= called(row.address()) || called(row.callsign());
            }
        }
        let is_meant = |row: Seen<'_>| meant.get(identity(&row) as usize).copied().unwrap_or(false);
        let marks: Vec<bool> = all.iter().map(is_meant).collect();
        all.retain(&marks);
        if !all.iter().any(|row| placed(&row)) {
            return Err(ReadError::Ambiguous {
                what: format!("no aircraft {wanted} with positions in this table"),
                hint: format!("it holds {}", list(&several, &positions, &callsigns, names)),
            });
        }
    } else if several.len() > 1 {
        return Err(ReadError::Ambiguous {
            what: format!("the table holds {} aircraft", several.len()),
            hint: format!(
                "say which with --aircraft ADDRESS: {}",
                list(&several, &positions, &callsigns, names)
            ),
        });
    }
    Ok(all)
}

/// "4b1815 (ABC123, 120 rows)", the most rows first.
fn list(several: &[usize], positions: &[usize], callsigns: &[u32], names: &[String]) -> String {
    let mut order = several.to_vec();
    order.sort_by_key(|&at| std::cmp::Reverse(positions[at]));
    let one = |&at: &usize| match names.get(callsigns[at] as usize) {
        Some(callsign) => format!("{} ({callsign}, {} rows)", names[at], positions[at]),
        None => format!("{} ({} rows)", names[at], positions[at]),
    };
    let more = order.len().saturating_sub(12);
    let shown = order.iter().take(12).map(one).collect::<Vec<_>>().join(", ");
    if more > 0 { format!("{shown} and {more} more") } else { shown }
}

// --- which units ---------------------------------------------------------------------------------------------------

fn units(own: &Table, rows: &Rows, draft: &mut Draft) -> Units {
    let stated =
        |field: Field| rows.units.iter().find(|(of, _)| *of == field).map(|(_, unit)| unit.factor);
    let share = |field: Field, step: f64, tolerance: f64| step_share(own, field, step, tolerance);
    let on_steps = |field: Field, factor: f64| {
        share(field, STEP_FT * M_PER_FT / factor, 0.006 / factor.max(M_PER_FT)) > STEP_SHARE
    };
    let speed_stated = stated(Field::GroundSpeed).or_else(|| speed_by_positions(own, draft));
    // feet go with knots, meters with meters per second and kilometers per hour
    let metric = speed_stated.is_some_and(|factor| factor != MPS_PER_KT);
    let (altitude, why) = match stated(Field::Altitude) {
        Some(factor) => (factor, None),
        None if on_steps(Field::Altitude, M_PER_FT) => (M_PER_FT, Some("ft: in steps of 25")),
        None if on_steps(Field::Altitude, 1.0) => (1.0, Some("m: in steps of 25 ft")),
        None if metric => (1.0, Some("m, as its speeds are metric")),
        None => (M_PER_FT, Some("ft, as its speeds are knots")),
    };
    let has = |field: Field| own.iter().any(|row| row.get(field).is_finite());
    if let Some(why) = why.filter(|_| has(Field::Altitude)) {
        draft.note(NoteKind::Assumed, format!("altitude is taken as {why}"));
    }
    let by_pressure = on_steps(Field::Altitude, altitude);
    if has(Field::Altitude) && !by_pressure {
        draft.note(
            NoteKind::Assumed,
            "altitude does not come in the steps of a transponder: it is not taken as pressure altitude",
        );
    }
    let paired = if altitude == 1.0 { 1.0 } else { MPS_PER_FPM };
    let rate = stated(Field::VerticalRate).or(stated(Field::GeometricRate)).unwrap_or(paired);
    if stated(Field::VerticalRate).is_none() && has(Field::VerticalRate) {
        let name = if rate == 1.0 { "m/s" } else { "ft/min" };
        draft.note(
            NoteKind::Assumed,
            format!("vertical rate is taken as {name}, with the altitude"),
        );
    }
    let speed = speed_stated.unwrap_or_else(|| {
        let (name, factor) = if altitude == 1.0 { ("m/s", 1.0) } else { ("kt", MPS_PER_KT) };
        if has(Field::GroundSpeed) {
            let text = format!(
                "ground speed is taken as {name}, with the altitude: too little movement to find it"
            );
            draft.note(NoteKind::Assumed, text);
        }
        factor
    });
    Units {
        altitude,
        by_pressure,
        geometric: stated(Field::GeometricAltitude).unwrap_or(altitude),
        speed,
        rate,
        airspeed: stated(Field::IndicatedAirspeed).unwrap_or(MPS_PER_KT),
    }
}

/// Share of the values of a field, other than zero, that are whole steps.
fn step_share(own: &Table, field: Field, step: f64, tolerance: f64) -> f64 {
    let values = || own.iter().map(|row| row.get(field)).filter(|v| v.is_finite() && *v != 0.0);
    let count = values().count();
    if count < VALUES_LEAST {
        return 0.0;
    }
    let on = values().filter(|v| (v - (v / step).round() * step).abs() <= tolerance).count();
    on as f64 / count as f64
}

/// Unit of the ground speed by the speed of the positions.
fn speed_by_positions(own: &Table, draft: &mut Draft) -> Option<f64> {
    let mut ratios = Vec::new();
    let mut last: Option<(Fix, f64)> = None;
    for row in own.iter().filter(|row| placed(row)) {
        let (fix, speed) = (fix_of(&row), row.get(Field::GroundSpeed));
        if let Some((before, speed_before)) = &last {
            let step_s = (fix.time_s - before.time_s).abs();
            let moved_m = distance_m(before, &fix);
            let mean = 0.5 * (speed + speed_before);
            if step_s > 0.0 && step_s < 20.0 && moved_m > MOVING_MPS * step_s && mean > 0.0 {
                ratios.push(mean * step_s / moved_m);
            }
        }
        last = Some((fix, speed));
    }
    let count = ratios.len();
    let ratio = median(ratios).filter(|_| count >= VALUES_LEAST)?;
    let candidates = [("kt", MPS_PER_KT), ("m/s", 1.0), ("km/h", MPS_PER_KMH)];
    let miss = |factor: f64| math::ln(ratio * factor).abs();
    let (name, factor) = candidates
        .into_iter()
        .min_by(|a, b| miss(a.1).total_cmp(&miss(b.1)))
        .filter(|(_, f)| miss(*f) < 0.25)?;
    let text = format!(
        "ground speed is taken as {name}: it reads {ratio:.3} for each m/s of the positions ({count} steps)"
    );
    draft.note(NoteKind::Assumed, text);
    Some(factor)
}

// --- fixes and series ----------------------------------------------------------------------------------------------

/// The moment of the position in a row.
fn position_time(row: &Seen<'_>) -> f64 {
    let time_s = row.get(Field::Time);
    let age_s = row.get(Field::PositionAge);
    let own_s = if age_s.is_finite() { time_s - age_s } else { row.get(Field::PositionTime) };
    if (own_s - time_s).abs() <= POSITION_AGE_MOST_S { own_s } else { time_s }
}

/// A fix of time and place alone.
fn fix_of(row: &Seen<'_>) -> Fix {
    Fix {
        time_s: position_time(row),
        latitude_deg: row.get(Field::Latitude),
        longitude_deg: row.get(Field::Longitude),
        height_m: None,
        ground_speed_mps: None,
        track_deg: None,
        climb_mps: None,
    }
}

fn flag(row: &Seen<'_>, bit: u32) -> bool {
    let flags = row.get(Field::Flags);
    (0.0..256.0).contains(&flags) && flags as u32 & bit != 0
}

fn fixes(own: &Table, units: Units, draft: &mut Draft) {
    let placed: Vec<Seen<'_>> =
        own.iter().filter(|row| placed(row) && row.get(Field::Time).is_finite()).collect();
    let with = |field: Field| placed.iter().filter(|row| row.get(field).is_finite()).count();
    let geometric = with(Field::GeometricAltitude) * 2 > placed.len();
    tell_heights(geometric, with(Field::Altitude), units, draft);
    let mut held = 0;
    draft.fixes.reserve_exact(placed.len());
    for row in placed {
        let mut fix = fix_of(&row);
        let last = draft.fixes.last().map(|(last, _)| last);
        let repeated = last.is_some_and(|last| last.time_s == fix.time_s);
        if repeated && row.get(Field::PositionTime).is_finite() {
            held += 1;
            continue;
        }
        let some = |value: f64| Some(value).filter(|value| value.is_finite());
        let height = if geometric {
            row.get(Field::GeometricAltitude) * units.geometric
        } else {
            row.get(Field::Altitude) * units.altitude
        };
        fix.height_m = some(height);
        fix.ground_speed_mps = some(row.get(Field::GroundSpeed) * units.speed);
        let ground = row.get(Field::OnGround) == 1.0;
        // on the ground the track may be the heading
        fix.track_deg = some(row.get(Field::Track)).filter(|_| !ground).map(turned);
        let rate = row.get(Field::GeometricRate);
        let rate = if rate.is_nan() && flag(&row, GEOMETRIC_RATE) {
            row.get(Field::VerticalRate)
        } else {
            rate
        };
        fix.climb_mps = some(rate * units.rate);
        if flag(&row, NEW_LEG) && !draft.fixes.is_empty() {
            draft.breaks.push(fix.time_s);
        }
        draft.fixes.push((fix, row.line()));
    }
    if held > 0 {
        let text = format!(
            "{} a position that was received before: left out",
            counted(held, "row repeats", "rows repeat")
        );
        draft.note(NoteKind::LeftOut, text);
    }
    if draft.fixes.iter().any(|(fix, _)| fix.ground_speed_mps.is_none()) {
        velocities_of_messages(own, units, draft);
    }
}

fn turned(angle: f64) -> f64 {
    if angle.abs() <= 720.0 { angle.rem_euclid(360.0) } else { angle }
}

fn tell_heights(geometric: bool, altitudes: usize, units: Units, draft: &mut Draft) {
    if geometric {
        draft.height_datum = HeightDatum::Ellipsoid;
        draft.note(
            NoteKind::Assumed,
            "geometric altitude is taken as height above the ellipsoid, as transmitters are to send it",
        );
    } else if altitudes > 0 && units.by_pressure {
        draft.height_datum = HeightDatum::Pressure;
        draft.note(NoteKind::Missing, "no geometric altitude: pressure altitude stands in for it");
    }
}

/// Speed and track of messages without a position, brought to the moments of positions without a speed.
fn velocities_of_messages(own: &Table, units: Units, draft: &mut Draft) {
    let mut known: Vec<(f64, f64, f64)> = own
        .iter()
        .filter(|row| !placed(row))
        .filter_map(|row| {
            let speed = row.get(Field::GroundSpeed) * units.speed;
            let track = row.get(Field::Track) * RAD_PER_DEG;
            let sample = (row.get(Field::Time), speed * math::sin(track), speed * math::cos(track));
            (sample.0.is_finite() && sample.1.is_finite()).then_some(sample)
        })
        .collect();
    known.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut filled = 0;
    for (fix, _) in draft.fixes.iter_mut().filter(|(fix, _)| fix.ground_speed_mps.is_none()) {
        let after = known.partition_point(|sample| sample.0 < fix.time_s);
        let (Some(b), Some(a)) = (known.get(after), after.checked_sub(1).map(|at| known[at]))
        else {
            continue;
        };
        if fix.time_s - a.0 > VELOCITY_NEAR_S || b.0 - fix.time_s > VELOCITY_NEAR_S {
            continue;
        }
        let share = if b.0 > a.0 { (fix.time_s - a.0) / (b.0 - a.0) } else { 0.0 };
        let (east, north) = (a.1 + share * (b.1 - a.1), a.2 + share * (b.2 - a.2));
        fix.ground_speed_mps = Some(math::hypot(east, north));
        fix.track_deg = Some(math::wrap_two_pi(math::atan2(east, north)) / RAD_PER_DEG);
        filled += 1;
    }
    if filled > 0 {
        let text = format!(
            "speed and track of {filled} positions are between those of the messages before and after, at most {VELOCITY_NEAR_S} s away"
        );
        draft.note(NoteKind::Assumed, text);
    }
}

fn series(own: &Table, units: Units, draft: &mut Draft) {
    use QuantityKind as Q;

    let wanted: [(Field, Q, f64, &str); 7] = [
        (Field::Altitude, Q::PressureAltitudeM, units.altitude, "altitude"),
        (Field::VerticalRate, Q::VerticalSpeedMps, units.rate, "vertical rate"),
        (Field::IndicatedAirspeed, Q::IndicatedAirspeedMps, units.airspeed, "indicated airspeed"),
        (Field::TrueAirspeed, Q::TrueAirspeedMps, units.airspeed, "true airspeed"),
        (Field::Bank, Q::BankDeg, 1.0, "roll"),
        (Field::MagneticHeading, Q::MagneticHeadingDeg, 1.0, "magnetic heading"),
        (Field::TrueHeading, Q::TrueHeadingDeg, 1.0, "true heading"),
    ];
    for (field, quantity, factor, origin) in wanted {
        if field == Field::Altitude && !units.by_pressure {
            continue;
        }
        let not_bit = match field {
            Field::Altitude => GEOMETRIC_ALTITUDE,
            Field::VerticalRate => GEOMETRIC_RATE,
            _ => 0,
        };
        let (times_s, values): (Vec<f64>, Vec<f64>) = own
            .iter()
            .filter(|row| row.get(Field::Time).is_finite() && row.get(field).is_finite())
            .filter(|row| not_bit == 0 || !flag(row, not_bit))
            .map(|row| (row.get(Field::Time), row.get(field) * factor))
            .unzip();
        if !values.is_empty() {
            draft.series.push(Series { quantity, origin: origin.into(), times_s, values });
        }
    }
}

/// A field called heading: magnetic in the register that says so, the track where a table has no other and it fits the
/// positions.
fn headings(own: &Table, draft: &mut Draft) {
    let of_register = |row: &Seen<'_>| row.get(Field::Register) == HEADING_AND_SPEED_REGISTER;
    let timed = || {
        own.iter()
            .filter(|row| row.get(Field::Heading).is_finite() && row.get(Field::Time).is_finite())
    };
    let (times_s, values): (Vec<f64>, Vec<f64>) = timed()
        .filter(of_register)
        .map(|row| (row.get(Field::Time), turned(row.get(Field::Heading))))
        .unzip();
    if !values.is_empty() {
        let (quantity, origin) = (QuantityKind::MagneticHeadingDeg, "heading".to_owned());
        if !draft.series.iter().any(|series| series.quantity == quantity) {
            draft.series.push(Series { quantity, origin, times_s, values });
        }
    }
    let mut rest: Vec<(f64, f64)> = timed()
        .filter(|row| !of_register(row))
        .map(|row| (position_time(&row), row.get(Field::Heading)))
        .collect();
    rest.sort_by(|a, b| a.0.total_cmp(&b.0));
    let heading_at = |time_s: f64| {
        let at = rest.binary_search_by(|(at, _)| at.total_cmp(&time_s)).ok()?;
        Some(rest[at].1)
    };
    if rest.is_empty() {
        return;
    }
    let has_track = draft.fixes.iter().any(|(fix, _)| fix.track_deg.is_some());
    let misses: Vec<f64> = draft
        .fixes
        .windows(2)
        .filter_map(|pair| {
            let (a, b) = (&pair[0].0, &pair[1].0);
            let heading = heading_at(b.time_s)?;
            let miss = math::wrap_pi(course_rad(a, b) - heading * RAD_PER_DEG).abs();
            (distance_m(a, b) > 30.0).then_some(miss / RAD_PER_DEG)
        })
        .take(2000)
        .collect();
    let fits = misses.len() >= VALUES_LEAST && median(misses).is_some_and(|miss| miss < 4.0);
    if has_track || !fits {
        draft.note(
            NoteKind::LeftOut,
            "field heading: of the nose or of the track is not said; not read",
        );
        return;
    }
    for (fix, _) in &mut draft.fixes {
        fix.track_deg = heading_at(fix.time_s).map(turned);
    }
    draft.note(NoteKind::Assumed, "field heading is taken as the track: it fits the positions");
}
