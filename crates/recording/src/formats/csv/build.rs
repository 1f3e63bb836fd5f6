//! From columns to fixes and series: times first, then units, then one sample a row.

#![allow(clippy::float_cmp, reason = "a held value is the same bits again")]

use super::clock::{self, DateOrder, Reading};
use super::deduce;
use super::header::Column;
use super::meanings::{Dimension, Meaning};
use super::spread::spread;
use super::table::malformed;
use super::{Data, Texts};
use crate::error::ReadError;
use crate::normal::assemble::{Draft, counted, lines_text, median};
use crate::normal::{Fix, HeightDatum, NoteKind, QuantityKind, Series};
use base::factors::RAD_PER_DEG;
use base::math;

/// Below this a receiver may rightly report the same position twice, m/s.
const STANDING_MPS: f64 = 2.0;
/// Whole-number stamps with a step this long may be milliseconds.
const STEP_UNCLEAR: f64 = 10.0;

/// Columns with their numbers, in the unit of the dimension once units are settled.
pub(crate) struct Table {
    pub(crate) columns: Vec<Column>,
    pub(crate) numbers: Vec<Vec<f64>>,
    /// Row times, s.
    pub(crate) times_s: Vec<f64>,
    /// Columns left out because their unit stayed open.
    pub(crate) left: Vec<Column>,
}

impl Table {
    /// A table of columns with their numbers.
    pub(crate) fn new(columns: Vec<Column>, numbers: Vec<Vec<f64>>, times_s: Vec<f64>) -> Self {
        Self { columns, numbers, times_s, left: Vec::new() }
    }
    /// Index of the column of a meaning.
    pub(crate) fn find(&self, meaning: Meaning) -> Option<usize> {
        self.columns.iter().position(|column| column.meaning == meaning)
    }
    /// Values of a meaning.
    pub(crate) fn values(&self, meaning: Meaning) -> Option<&[f64]> {
        self.find(meaning).map(|at| self.numbers[at].as_slice())
    }
}

/// What was said of the table as a whole.
pub(crate) struct Said {
    /// Line of the names.
    pub(crate) header_line: u64,
    /// Time from row to row, where no column gives times, s.
    pub(crate) interval_s: Option<f64>,
    /// What local times are ahead of UTC, s.
    pub(crate) utc_offset_s: Option<f64>,
    /// Order of slashed dates.
    pub(crate) date_order: Option<DateOrder>,
}

/// The recording, and the columns as they were read.
pub(crate) fn build(
    mut draft: Draft,
    columns: Vec<Column>,
    data: Data,
    said: &Said,
) -> Result<(Draft, Vec<Column>), ReadError> {
    let Data { lines, numbers, texts } = data;
    let (times_s, epoch) = row_times(&columns, &texts, lines.len(), said, &mut draft)?;
    draft.epoch = epoch;
    tell_untimed(&times_s, &lines, &mut draft);
    let fix_times_s = fix_times(&columns, &texts, epoch);
    let mut table = Table::new(columns, numbers, times_s);
    vertical_speed_of_receiver(&mut table);
    height_of_panel(&mut table, &mut draft);
    spread(&mut table, &mut draft);
    let rows = distinct_fixes(&table, fix_times_s.as_deref(), &mut draft);
    let fix_clock = fix_times_s.unwrap_or_else(|| table.times_s.clone());
    deduce::settle_units(&mut table, &rows, &fix_clock, &mut draft)?;
    make_fixes(&table, &rows, &fix_clock, &lines, &mut draft);
    make_series(&mut table, &mut draft);
    if draft.fixes.is_empty() && draft.series.is_empty() {
        return Err(malformed(
            "no row holds a time and a value",
            said.header_line,
            "the recording is empty or its numbers are written in a way that is not read",
        ));
    }
    table.columns.append(&mut table.left);
    Ok((draft, table.columns))
}

/// Rows whose time cannot be read are lost with all they hold: told.
fn tell_untimed(times_s: &[f64], lines: &[u32], draft: &mut Draft) {
    let untimed: Vec<u64> = times_s
        .iter()
        .zip(lines)
        .filter(|(time_s, _)| time_s.is_nan())
        .map(|(_, line)| u64::from(*line))
        .collect();
    if !untimed.is_empty() {
        let text = format!(
            "{} without a time that can be read left out, {}",
            counted(untimed.len(), "row", "rows"),
            lines_text(&untimed)
        );
        draft.note(NoteKind::LeftOut, text);
    }
}

/// A bare vertical speed beside nothing but receiver data is the receiver's.
fn vertical_speed_of_receiver(table: &mut Table) {
    let vertical = Meaning::Sensor(QuantityKind::VerticalSpeedMps);
    let air_data = [
        QuantityKind::PressureAltitudeM,
        QuantityKind::IndicatedAltitudeM,
        QuantityKind::IndicatedAirspeedMps,
        QuantityKind::CalibratedAirspeedMps,
        QuantityKind::TrueAirspeedMps,
    ];
    let panel = air_data.iter().any(|&quantity| table.find(Meaning::Sensor(quantity)).is_some());
    if !panel
        && table.find(Meaning::FixClimb).is_none()
        && table.find(Meaning::Latitude).is_some()
        && let Some(at) = table.find(vertical)
    {
        table.columns[at].meaning = Meaning::FixClimb;
    }
}

/// Without positions no fix carries a height: the first height column stands for the altimeter, where none is named.
fn height_of_panel(table: &mut Table, draft: &mut Draft) {
    let altimeters =
        [QuantityKind::IndicatedAltitudeM, QuantityKind::PressureAltitudeM].map(Meaning::Sensor);
    if table.find(Meaning::Latitude).is_some()
        || altimeters.iter().any(|meaning| table.find(*meaning).is_some())
    {
        return;
    }
    let heights = [Meaning::SeaLevelHeight, Meaning::Height, Meaning::FixHeight];
    if let Some(at) = heights.iter().find_map(|meaning| table.find(*meaning)) {
        table.columns[at].meaning = altimeters[0];
        let text = format!(
            "no positions: column {} is taken as the indicated altitude",
            table.columns[at].name
        );
        draft.note(NoteKind::Assumed, text);
    }
}

// --- times ---------------------------------------------------------------------------------------------------------

/// Readings of one time column; a number is in its unit already.
fn readings(texts: &Texts, order: DateOrder) -> Vec<Option<Reading>> {
    let mut clock = clock::Clock::new(order);
    let mut last: &[u8] = b"";
    let mut reading = None;
    texts
        .iter()
        .map(|cell| {
            if cell != last {
                last = cell;
                reading = clock.read(cell);
            }
            reading
        })
        .collect()
}

/// Seconds of each row and whether they count from 1970 in UTC.
fn row_times(
    columns: &[Column],
    texts: &[Texts],
    rows: usize,
    said: &Said,
    draft: &mut Draft,
) -> Result<(Vec<f64>, bool), ReadError> {
    let wanted = [
        Meaning::Stamp,
        Meaning::Elapsed,
        Meaning::UtcTimeOfDay,
        Meaning::TimeOfDay,
        Meaning::FixStamp,
    ];
    let dated = columns.iter().position(|column| column.meaning == Meaning::Date);
    let mut candidates = Vec::new();
    for meaning in wanted {
        let Some(at) = columns.iter().position(|column| column.meaning == meaning) else {
            continue;
        };
        let order = order_of(&columns[at], &texts[at], said)?;
        let values = readings(&texts[at], order);
        let Some(first) = values.iter().flatten().next().copied() else { continue };
        let number_s =
            |value: f64| value * columns[at].unit.as_ref().map_or(1.0, |unit| unit.factor);
        let rank = match first {
            Reading::Epoch(_) => 0,
            Reading::OfDay(_) if dated.is_some() => 1,
            Reading::Civil(_) => 2,
            Reading::Number(value) if epoch_scale(number_s(value)).is_some() => 0,
            Reading::Number(_) if meaning == Meaning::Stamp && columns[at].unit.is_some() => 5,
            Reading::Number(_) => 3,
            Reading::OfDay(_) => 4,
            Reading::Day(_) => continue,
        };
        candidates.push((rank, at, values));
    }
    let best = candidates.into_iter().min_by_key(|(rank, ..)| *rank);
    let Some((rank, at, values)) = best else {
        if let Some(interval_s) = said.interval_s {
            let text =
                format!("no clock in this recording: rows are {interval_s} s apart, as told");
            draft.note(NoteKind::Assumed, text);
            return Ok(((0..rows).map(|row| row as f64 * interval_s).collect(), false));
        }
        return Err(malformed(
            "no cell of the columns of times can be read",
            said.header_line + 1,
            "times are read as seconds, 14:02:11.5, 2026-05-04T14:02:11Z, or date and time columns",
        ));
    };
    let offsets_s = match said.utc_offset_s {
        Some(offset_s) => Some(vec![offset_s; rows]),
        None => utc_offsets(columns, texts),
    };
    match rank {
        0 | 2 => stamped(&columns[at], &values, offsets_s.as_deref(), draft),
        1 => {
            let of_utc = columns[at].meaning == Meaning::UtcTimeOfDay;
            let dates = dated.unwrap_or(at);
            let days = readings(&texts[dates], order_of(&columns[dates], &texts[dates], said)?);
            let offsets_s = offsets_s.filter(|_| !of_utc);
            let known =
                of_utc || offsets_s.is_some() || columns[dates].name.to_lowercase().contains("utc");
            Ok(dated_times(&values, &days, offsets_s.as_deref(), known, draft))
        }
        3 | 5 => elapsed(&columns[at], &values, draft),
        _ => Ok(times_of_day(&columns[at], &values, draft)),
    }
}

fn order_of(column: &Column, texts: &Texts, said: &Said) -> Result<DateOrder, ReadError> {
    if let Some(order) = said.date_order {
        return Ok(order);
    }
    if !texts.holds(b'/') {
        return Ok(DateOrder::DayFirst);
    }
    clock::date_order(texts.iter()).map_err(|()| ReadError::Ambiguous {
        what: format!("column {}: day and month cannot be told apart", column.name),
        hint: "say date_order = \"day-month-year\" or \"month-day-year\" in a column map, given with --columns, or write dates as 2026-05-04".into(),
    })
}

fn utc_offsets(columns: &[Column], texts: &[Texts]) -> Option<Vec<f64>> {
    let at = columns.iter().position(|column| column.meaning == Meaning::UtcOffset)?;
    let read = |cell: &[u8]| clock::offset(std::str::from_utf8(cell).ok()?);
    let values: Vec<f64> = texts[at].iter().map(|cell| read(cell).unwrap_or(f64::NAN)).collect();
    values.iter().any(|value| value.is_finite()).then_some(values)
}

/// What makes a number one of seconds since 1970: one, or a power of ten for smaller units.
fn epoch_scale(number: f64) -> Option<f64> {
    [1.0, 1e-3, 1e-6, 1e-9].into_iter().find(|scale| clock::is_epoch(number * scale))
}

fn stamped(
    column: &Column,
    values: &[Option<Reading>],
    offsets_s: Option<&[f64]>,
    draft: &mut Draft,
) -> Result<(Vec<f64>, bool), ReadError> {
    let unit = column.unit.as_ref().map_or(1.0, |unit| unit.factor);
    let mut scale = None;
    let mut unzoned = false;
    let times_s: Vec<f64> = values
        .iter()
        .enumerate()
        .map(|(row, reading)| match reading {
            Some(Reading::Epoch(seconds)) => *seconds,
            Some(Reading::Civil(seconds)) => {
                let offset_s =
                    offsets_s.map(|all| all[row]).filter(|offset_s| offset_s.is_finite());
                unzoned |= offset_s.is_none();
                seconds - offset_s.unwrap_or(0.0)
            }
            Some(Reading::Number(number)) => {
                if scale.is_none() {
                    scale = epoch_scale(number * unit);
                }
                scale.map_or(f64::NAN, |scale| number * unit * scale)
            }
            _ => f64::NAN,
        })
        .collect();
    if unzoned && !column.name.to_lowercase().contains("utc") {
        let text = format!("times of column {} name no zone: taken as UTC", column.name);
        draft.note(NoteKind::Assumed, text);
    }
    if let (Some(scale), None) = (scale, &column.unit) {
        let text = format!("column {} is taken as units of {scale} s since 1970", column.name);
        draft.note(NoteKind::Assumed, text);
    }
    Ok((times_s, true))
}

fn dated_times(
    values: &[Option<Reading>],
    days: &[Option<Reading>],
    offsets_s: Option<&[f64]>,
    zone_known: bool,
    draft: &mut Draft,
) -> (Vec<f64>, bool) {
    if !zone_known {
        draft.note(NoteKind::Assumed, "date and time name no zone: taken as UTC");
    }
    let mut last_offset_s = 0.0;
    let at = |row: usize| {
        let (Some(Reading::OfDay(of_day_s)), Some(Reading::Day(day))) = (values[row], days[row])
        else {
            return f64::NAN;
        };
        let offset_s = offsets_s.map(|all| all[row]).filter(|offset_s| offset_s.is_finite());
        last_offset_s = offset_s.unwrap_or(last_offset_s);
        day * 86_400.0 + of_day_s - last_offset_s
    };
    ((0..values.len()).map(at).collect(), true)
}

fn elapsed(
    column: &Column,
    values: &[Option<Reading>],
    draft: &mut Draft,
) -> Result<(Vec<f64>, bool), ReadError> {
    let factor = column.unit.as_ref().map_or(1.0, |unit| unit.factor);
    let times_s: Vec<f64> = values
        .iter()
        .map(|reading| match reading {
            Some(Reading::Number(number)) => number * factor,
            _ => f64::NAN,
        })
        .collect();
    if column.unit.is_none() {
        let steps = times_s.windows(2).map(|pair| pair[1] - pair[0]).collect();
        let step = median(steps).unwrap_or(0.0);
        if step >= STEP_UNCLEAR {
            return Err(ReadError::Ambiguous {
                what: format!(
                    "column {}: steps of {step} may be seconds or milliseconds, and the header does not say",
                    column.name
                ),
                hint: format!("give --unit {0}=ms or --unit {0}=s", column.name),
            });
        }
        let text =
            format!("column {} is taken as seconds: its usual step is {step:.3}", column.name);
        draft.note(NoteKind::Assumed, text);
    }
    Ok((times_s, false))
}

fn times_of_day(
    column: &Column,
    values: &[Option<Reading>],
    draft: &mut Draft,
) -> (Vec<f64>, bool) {
    let mut times_s: Vec<f64> = values
        .iter()
        .map(|reading| match reading {
            Some(Reading::OfDay(seconds)) => *seconds,
            _ => f64::NAN,
        })
        .collect();
    let days = clock::roll_over(&mut times_s);
    if days > 0 {
        draft.note(NoteKind::Odd, format!("column {} passes midnight", column.name));
    }
    draft.note(NoteKind::Missing, "the file names no date: the start is not known");
    (times_s, false)
}

/// Times of the fixes themselves, where a column gives them on the same clock as the rows.
fn fix_times(columns: &[Column], texts: &[Texts], epoch: bool) -> Option<Vec<f64>> {
    let at = columns.iter().position(|column| column.meaning == Meaning::FixStamp)?;
    let factor = columns[at].unit.as_ref().map_or(1.0, |unit| unit.factor);
    let values: Vec<f64> = readings(&texts[at], DateOrder::DayFirst)
        .into_iter()
        .map(|reading| match reading {
            Some(Reading::Epoch(seconds)) => seconds,
            Some(Reading::Number(number)) => {
                let scale = epoch_scale(number * factor).unwrap_or(f64::NAN);
                number * factor * scale
            }
            _ => f64::NAN,
        })
        .collect();
    (epoch && values.iter().any(|value| value.is_finite())).then_some(values)
}

// --- fixes ---------------------------------------------------------------------------------------------------------

/// Rows that hold a new fix: a position, and not the one before held over (same stamp, or all values the same while
/// moving).
fn distinct_fixes(table: &Table, fix_times_s: Option<&[f64]>, draft: &mut Draft) -> Vec<usize> {
    let (Some(latitude), Some(longitude)) =
        (table.values(Meaning::Latitude), table.values(Meaning::Longitude))
    else {
        return Vec::new();
    };
    let others: Vec<&[f64]> =
        [Meaning::FixHeight, Meaning::Height, Meaning::GroundSpeed, Meaning::Track]
            .into_iter()
            .filter_map(|meaning| table.values(meaning))
            .collect();
    let speed = table.values(Meaning::GroundSpeed);
    let mut out: Vec<usize> = Vec::with_capacity(latitude.len());
    let mut held = 0;
    for row in 0..latitude.len() {
        let empty = latitude[row].is_nan() && longitude[row].is_nan();
        if empty || table.times_s[row].is_nan() {
            continue;
        }
        let repeats = out.last().is_some_and(|&last| match fix_times_s {
            Some(times_s) => times_s[row] == times_s[last],
            None => {
                let same = |values: &[f64]| {
                    values[row] == values[last] || (values[row].is_nan() && values[last].is_nan())
                };
                let moving =
                    speed.is_none_or(|speed| speed[row].is_nan() || speed[row] > STANDING_MPS);
                moving
                    && same(latitude)
                    && same(longitude)
                    && others.iter().all(|values| same(values))
            }
        });
        if repeats {
            held += 1;
        } else {
            out.push(row);
        }
    }
    if held > 0 {
        let text = format!(
            "{} the fix of the row before; {} kept",
            counted(held, "row repeats", "rows repeat"),
            counted(out.len(), "fix is", "fixes are")
        );
        draft.note(NoteKind::Odd, text);
    }
    out
}

fn make_fixes(table: &Table, rows: &[usize], clock_s: &[f64], lines: &[u32], draft: &mut Draft) {
    let (Some(latitude), Some(longitude)) =
        (table.values(Meaning::Latitude), table.values(Meaning::Longitude))
    else {
        draft.note(NoteKind::Missing, "no positions in this recording");
        return;
    };
    let pressure = Meaning::Sensor(QuantityKind::PressureAltitudeM);
    let heights = [
        (Meaning::FixHeight, HeightDatum::NotStated),
        (Meaning::SeaLevelHeight, HeightDatum::MeanSeaLevel),
        (Meaning::Height, HeightDatum::NotStated),
        (pressure, HeightDatum::Pressure),
    ];
    let height =
        heights.iter().find_map(|(meaning, datum)| table.find(*meaning).map(|at| (at, *datum)));
    if let Some((at, datum)) = height {
        draft.height_datum = datum;
        if datum == HeightDatum::Pressure {
            let text =
                format!("no height by satellite: {} stands in for it", table.columns[at].name);
            draft.note(NoteKind::Assumed, text);
        }
    }
    let value =
        |values: Option<&[f64]>, row: usize| values.map(|all| all[row]).filter(|v| v.is_finite());
    if let Some(at) = table.find(Meaning::GroundSpeed) {
        let column = &table.columns[at];
        let unit = column.unit.as_ref().map_or("", |unit| unit.name);
        draft.speed_origin = Some((column.name.clone(), unit));
    }
    let speed = table.values(Meaning::GroundSpeed);
    let track = table.values(Meaning::Track);
    let climb = table.values(Meaning::FixClimb);
    let east = table.values(Meaning::VelocityEast);
    let north = table.values(Meaning::VelocityNorth);
    draft.fixes.reserve_exact(rows.len());
    for &row in rows {
        let velocity = value(east, row).zip(value(north, row));
        let of_velocity = velocity.map(|(east, north)| {
            let track_deg = math::wrap_two_pi(math::atan2(east, north)) / RAD_PER_DEG;
            (math::hypot(east, north), track_deg)
        });
        let fix = Fix {
            time_s: clock_s[row],
            latitude_deg: latitude[row],
            longitude_deg: longitude[row],
            height_m: value(height.map(|(at, _)| table.numbers[at].as_slice()), row),
            ground_speed_mps: value(speed, row).or(of_velocity.map(|(speed, _)| speed)),
            track_deg: value(track, row).or(of_velocity.map(|(_, track)| track)),
            climb_mps: value(climb, row),
        };
        draft.fixes.push((fix, u64::from(lines[row])));
    }
}

/// One series a column, in the memory of the column where every row has a time and a value.
fn make_series(table: &mut Table, draft: &mut Draft) {
    let timed = table.times_s.iter().all(|time_s| time_s.is_finite());
    for (column, numbers) in table.columns.iter().zip(&mut table.numbers) {
        let Meaning::Sensor(quantity) = column.meaning else { continue };
        if column.meaning.dimension() == Dimension::Time {
            continue;
        }
        let mut values = std::mem::take(numbers);
        let mut times_s = Vec::with_capacity(values.len());
        if timed && values.iter().all(|value| value.is_finite()) {
            times_s.extend_from_slice(&table.times_s);
        } else {
            let mut clock = table.times_s.iter();
            values.retain(|value| {
                let time_s = clock.next().copied().unwrap_or(f64::NAN);
                let kept = time_s.is_finite() && value.is_finite();
                if kept {
                    times_s.push(time_s);
                }
                kept
            });
        }
        if values.is_empty() {
            draft.note(NoteKind::Missing, format!("column {} is empty", column.name));
            continue;
        }
        draft.series.push(Series { quantity, origin: column.name.clone(), times_s, values });
    }
}
