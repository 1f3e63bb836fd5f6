//! Times in tables: from cells to seconds, since 1970 where the table says the day, else from an unstated moment.

use crate::decimal;

/// Seconds in a day.
const DAY_S: f64 = 86_400.0;
/// Numbers above this are seconds since 1970 (1998 and later); anything smaller is a time of day or elapsed.
const EPOCH_LEAST_S: f64 = 9e8;

/// Which of the two orders a slashed date has.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum DateOrder {
    /// 31/12/2026.
    DayFirst,
    /// 12/31/2026.
    MonthFirst,
}

/// One reading of a time cell.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Reading {
    /// Seconds since 1970, UTC.
    Epoch(f64),
    /// Seconds since 1970 on a clock whose zone is not stated.
    Civil(f64),
    /// Days since 1970, no time.
    Day(f64),
    /// Seconds since midnight, UTC or not.
    OfDay(f64),
    /// A bare number, in the column's unit.
    Number(f64),
}

/// Reads the cells of one column: what they share with the one before (the day) is read once.
#[derive(Debug)]
pub(crate) struct Clock {
    order: DateOrder,
    date: [u8; 10],
    day: f64,
}

impl Clock {
    pub(crate) fn new(order: DateOrder) -> Self {
        Self { order, date: [0; 10], day: f64::NAN }
    }
    /// As [`read`], to the bit.
    pub(crate) fn read(&mut self, cell: &[u8]) -> Option<Reading> {
        self.plain(cell).or_else(|| read(cell, self.order))
    }
    /// The usual shapes: a plain number, `14:02:11.5`, `2026-05-04T14:02:11.5` with or without `Z` or an offset.
    fn plain(&mut self, cell: &[u8]) -> Option<Reading> {
        if let Some((number, end)) = decimal::prefix(cell, false)
            && end == cell.len()
        {
            return Some(Reading::Number(number));
        }
        if cell.get(2) == Some(&b':') {
            let (of_day_s, rest) = plain_time(cell)?;
            return rest.is_empty().then_some(Reading::OfDay(of_day_s));
        }
        let (date, rest) = cell.split_first_chunk::<10>()?;
        let (b'T' | b' ', clock) = rest.split_first()? else { return None };
        let (of_day_s, zone) = plain_time(clock)?;
        if *date != self.date {
            self.day = self::date(std::str::from_utf8(date).ok()?, self.order)?;
            self.date = *date;
        }
        let seconds = self.day * DAY_S + of_day_s;
        match zone {
            [] => Some(Reading::Civil(seconds)),
            [b'Z'] => Some(Reading::Epoch(seconds - 0.0)),
            [b'+' | b'-', _, _, b':', _, _] => {
                let offset_s = offset(std::str::from_utf8(zone).ok()?)?;
                Some(Reading::Epoch(seconds - offset_s))
            }
            _ => None,
        }
    }
}

/// `14:02:11.25` at the start of the bytes: seconds since midnight, and what follows.
fn plain_time(text: &[u8]) -> Option<(f64, &[u8])> {
    let [h, hh, b':', m, mm, b':', rest @ ..] = text else { return None };
    let two = |tens: u8, ones: u8| {
        (tens.is_ascii_digit() && ones.is_ascii_digit())
            .then(|| f64::from((tens - b'0') * 10 + (ones - b'0')))
    };
    let (hours, minutes) = (two(*h, *hh)?, two(*m, *mm)?);
    let (seconds, end) = decimal::prefix(rest, false).filter(|_| rest[0].is_ascii_digit())?;
    let fits = hours < 24.0 && minutes < 60.0 && seconds < 61.0;
    fits.then(|| (hours * 3600.0 + minutes * 60.0 + seconds, &rest[end..]))
}

/// Reads one cell; `None` when it is no time at all.
pub(crate) fn read(cell: &[u8], order: DateOrder) -> Option<Reading> {
    let text = std::str::from_utf8(cell).ok()?.trim();
    if text.is_empty() {
        return None;
    }
    if let Ok(number) = text.parse::<f64>() {
        return number.is_finite().then_some(Reading::Number(number));
    }
    if let Some(of_day_s) = time_of_day(text) {
        return Some(Reading::OfDay(of_day_s));
    }
    let split = text.find(['T', ' ', 't']).unwrap_or(text.len());
    let day = date(&text[..split], order)?;
    let rest = text[split..].trim_start_matches(['T', 't', ' ']);
    if rest.is_empty() {
        return Some(Reading::Day(day));
    }
    let (clock, offset_s) = split_offset(rest);
    let seconds = day * DAY_S + time_of_day(clock.trim())?;
    Some(match offset_s {
        Some(offset_s) => Reading::Epoch(seconds - offset_s),
        None => Reading::Civil(seconds),
    })
}

/// `14:02:11.5Z`, `14:02 +02:00`, `14:02 -0500`: the clock and the offset in seconds.
fn split_offset(text: &str) -> (&str, Option<f64>) {
    if let Some(clock) = text.strip_suffix(['Z', 'z']) {
        return (clock, Some(0.0));
    }
    if let Some(clock) = text.strip_suffix("UTC") {
        return (clock, Some(0.0));
    }
    match text.rfind(['+', '-']) {
        Some(at) => (&text[..at], offset(&text[at..])),
        None => (text, None),
    }
}

/// An offset from UTC: `+02:00`, `-0500`, `+1`, `5.5`; seconds.
pub(crate) fn offset(text: &str) -> Option<f64> {
    let text = text.trim();
    let (sign, rest) = match text.as_bytes().first()? {
        b'+' => (1.0, &text[1..]),
        b'-' => (-1.0, &text[1..]),
        _ => (1.0, text),
    };
    let (hours, minutes) = match rest.split_once(':') {
        Some((hours, minutes)) => (hours.parse::<f64>().ok()?, minutes.parse::<f64>().ok()?),
        None if rest.len() == 4 && rest.bytes().all(|digit| digit.is_ascii_digit()) => {
            (rest[..2].parse().ok()?, rest[2..].parse().ok()?)
        }
        None => (rest.parse().ok()?, 0.0),
    };
    (hours <= 15.0 && minutes < 60.0).then_some(sign * (hours * 3600.0 + minutes * 60.0))
}

/// An offset from UTC as it is written: `+02:00`.
pub(crate) fn offset_text(offset_s: f64) -> String {
    let minutes = (offset_s.abs() / 60.0).round() as u32;
    let sign = if offset_s < 0.0 { '-' } else { '+' };
    format!("{sign}{:02}:{:02}", minutes / 60, minutes % 60)
}

/// `14:02`, `14:02:11`, `2:02:11.25 pm`: seconds since midnight.
fn time_of_day(text: &str) -> Option<f64> {
    let lower = text.as_bytes().last()?.eq_ignore_ascii_case(&b'm');
    let (clock, noon) = if lower && text.len() > 2 && text.is_char_boundary(text.len() - 2) {
        let (clock, half) = text.split_at(text.len() - 2);
        (clock.trim(), Some(half.eq_ignore_ascii_case("pm")))
    } else {
        (text, None)
    };
    let mut parts = clock.split(':');
    let mut hours: f64 = digits(parts.next()?)?;
    let minutes: f64 = digits(parts.next()?)?;
    let seconds: f64 = match parts.next() {
        Some(text) if text.as_bytes().first()?.is_ascii_digit() => text.parse().ok()?,
        Some(_) => return None,
        None => 0.0,
    };
    if let Some(noon) = noon {
        hours = hours % 12.0 + if noon { 12.0 } else { 0.0 };
    }
    let fits = hours < 24.0 && minutes < 60.0 && seconds < 61.0 && parts.next().is_none();
    fits.then_some(hours * 3600.0 + minutes * 60.0 + seconds)
}

fn digits(text: &str) -> Option<f64> {
    let plain = (1..=2).contains(&text.len()) && text.bytes().all(|digit| digit.is_ascii_digit());
    plain.then(|| text.parse().ok()).flatten()
}

/// `2026-05-04`, `2026/05/04`, `4.5.2026`, `05/04/2026`: days since 1970.
fn date(text: &str, order: DateOrder) -> Option<f64> {
    let mark = text.chars().find(|letter| !letter.is_ascii_digit())?;
    let parts: Vec<i16> = text.split(mark).map(|part| part.parse().ok()).collect::<Option<_>>()?;
    let [first, second, third] = parts[..] else { return None };
    let (year, month, day) = match (mark, order) {
        _ if first > 31 => (first, second, third),
        ('.', _) | (_, DateOrder::DayFirst) => (third, second, first),
        (_, DateOrder::MonthFirst) => (third, first, second),
    };
    let date = jiff::civil::Date::new(year, month.try_into().ok()?, day.try_into().ok()?).ok()?;
    let zero = jiff::civil::Date::new(1970, 1, 1).ok()?;
    let span = zero.until(date).ok()?;
    Some(f64::from(span.get_days()))
}

/// What order the slashed dates of a column have, when their numbers tell; `Err` when they do not.
pub(crate) fn date_order<'a>(cells: impl Iterator<Item = &'a [u8]>) -> Result<DateOrder, ()> {
    let mut slashed = false;
    for cell in cells.filter(|cell| cell.contains(&b'/')) {
        let text = std::str::from_utf8(cell).unwrap_or("").trim();
        let date = text.split(['T', ' ']).next().unwrap_or("");
        let mut parts = date.split('/').map(str::parse::<u16>);
        let (Some(Ok(first)), Some(Ok(second))) = (parts.next(), parts.next()) else { continue };
        if first > 31 {
            continue;
        }
        slashed = true;
        if first > 12 {
            return Ok(DateOrder::DayFirst);
        }
        if second > 12 {
            return Ok(DateOrder::MonthFirst);
        }
        if first == second {
            slashed = false;
        }
    }
    if slashed { Err(()) } else { Ok(DateOrder::DayFirst) }
}

/// Whether a number of seconds is one since 1970.
pub(crate) fn is_epoch(seconds: f64) -> bool {
    (EPOCH_LEAST_S..5.0 * EPOCH_LEAST_S).contains(&seconds)
}

/// Adds a day wherever a time of day falls back by more than half a day.
pub(crate) fn roll_over(times_s: &mut [f64]) -> usize {
    let mut added_s = 0.0;
    let mut days = 0;
    let mut last = f64::NAN;
    for time_s in times_s.iter_mut().filter(|time_s| time_s.is_finite()) {
        if last - *time_s > 0.5 * DAY_S {
            added_s += DAY_S;
            days += 1;
        }
        last = *time_s;
        *time_s += added_s;
    }
    days
}

#[cfg(test)]
mod tests {
    use super::{Clock, DateOrder, read};
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn prop_the_quick_way_reads_as_the_careful_one(
            cells in proptest::collection::vec(
                "(20[0-9]{2}-[01][0-9]-[0-3][0-9]|[0-3][0-9]/[01][0-9]/20[0-9]{2}|[0-3][0-9]\\.05\\.2026|[0-9]{0,2})[T ]?\
                 [0-2]?[0-9]:[0-6][0-9](:[0-6][0-9](\\.[0-9]{1,7})?)?(Z|z| UTC|[+-][01][0-9]:?[0-6][0-9]| pm)?|[0-9]{1,12}(\\.[0-9]{0,6})?",
                1..12,
            ),
        ) {
            for order in [DateOrder::DayFirst, DateOrder::MonthFirst] {
                let mut clock = Clock::new(order);
                for cell in &cells {
                    prop_assert_eq!(clock.read(cell.as_bytes()), read(cell.as_bytes(), order), "{}", cell);
                }
            }
        }
    }
}
