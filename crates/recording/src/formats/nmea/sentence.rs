//! One line of a log: the sentence in it, its checksum, its fields.

use crate::decimal;

/// Longer than any sentence: the standard allows 82 characters, proprietary ones are a little longer.
const LENGTH_MOST: usize = 255;

/// Why a sentence is left out.
pub(super) type Broken = String;

/// A sentence between `$` and the end of its line.
#[derive(Debug, Clone, Copy)]
pub(super) struct Sentence<'a> {
    /// Three letters: RMC, GGA.
    pub(super) kind: &'a [u8],
    /// Between `$` and `*`.
    body: &'a [u8],
    /// Two hexadecimal digits after `*`, if there is one.
    checksum: Option<&'a [u8]>,
}

/// The last sentence of a line: an address of five letters or digits, then a comma.
pub(super) fn find(line: &[u8]) -> Option<Sentence<'_>> {
    let line = line.trim_ascii_end();
    let start = memchr::memrchr(b'$', line)?;
    let text = &line[start + 1..];
    let (body, checksum) = match text.iter().rposition(|&byte| byte == b'*') {
        Some(star) => (&text[..star], Some(&text[star + 1..])),
        None => (text, None),
    };
    let address = body.get(..5)?;
    let formed = address.iter().all(|byte| byte.is_ascii_uppercase() || byte.is_ascii_digit())
        && address[0].is_ascii_uppercase()
        && body.get(5) == Some(&b',');
    // P begins a maker's own sentence, whose kinds are not the standard's
    (formed && text.len() <= LENGTH_MOST && address[0] != b'P').then(|| Sentence {
        kind: &body[2..5],
        body,
        checksum,
    })
}

/// A line that may well be something else: empty, a comment, a maker's own sentence, an encapsulated message.
pub(super) fn is_other(line: &[u8]) -> bool {
    let line = line.trim_ascii();
    let own = line.iter().rposition(|&byte| byte == b'$').and_then(|at| line.get(at + 1..at + 3));
    matches!(line.first(), None | Some(b'#' | b'!'))
        || own.is_some_and(|own| own[0] == b'P' && own[1].is_ascii_uppercase())
}

impl<'a> Sentence<'a> {
    /// Whether the checksum (exclusive or of the bytes between `$` and `*`) holds; `None` without one.
    pub(super) fn checksum_holds(&self) -> Option<bool> {
        let digits = self.checksum?;
        let sum = self.body.iter().fold(0u8, |sum, byte| sum ^ byte);
        let written = match digits {
            [high, low] => hexadecimal(*high).zip(hexadecimal(*low)).map(|(h, l)| h * 16 + l),
            _ => None,
        };
        Some(written == Some(sum))
    }
    /// The fields after the address.
    pub(super) fn fields(&self) -> Fields<'a> {
        Fields { rest: Some(&self.body[6..]) }
    }
}

fn hexadecimal(byte: u8) -> Option<u8> {
    char::from(byte).to_digit(16).and_then(|digit| u8::try_from(digit).ok())
}

/// Fields one after another; beyond the last one they are empty, as in sentences of older editions.
#[derive(Debug)]
pub(super) struct Fields<'a> {
    rest: Option<&'a [u8]>,
}

impl<'a> Fields<'a> {
    /// The next field, without blanks around it.
    pub(super) fn text(&mut self) -> &'a [u8] {
        let Some(rest) = self.rest else { return b"" };
        let (field, rest) = match rest.iter().position(|&byte| byte == b',') {
            Some(comma) => (&rest[..comma], Some(&rest[comma + 1..])),
            None => (rest, None),
        };
        self.rest = rest;
        field.trim_ascii()
    }
    /// Passes over fields.
    pub(super) fn skip(&mut self, count: usize) {
        for _ in 0..count {
            self.text();
        }
    }
    /// The next field as a number.
    ///
    /// # Errors
    /// When it is something else.
    pub(super) fn number(&mut self, what: &str) -> Result<Option<f64>, Broken> {
        number(self.text(), what)
    }
    /// hhmmss.ss: seconds since midnight.
    ///
    /// # Errors
    /// When it is something else.
    pub(super) fn time_of_day(&mut self) -> Result<Option<f64>, Broken> {
        let text = self.text();
        if text.is_empty() {
            return Ok(None);
        }
        let broken = || format!("'{}' is no time of day", shown(text));
        let pair = |at: usize| digits(text.get(at..at + 2)?);
        let (hours, minutes) = pair(0).zip(pair(2)).ok_or_else(broken)?;
        let seconds = text.get(4..).ok_or_else(broken)?;
        let seconds = number(seconds, "time")?.filter(|s| (0.0..61.0).contains(s));
        let seconds = seconds.filter(|_| hours < 24.0 && minutes < 60.0).ok_or_else(broken)?;
        Ok(Some(hours * 3600.0 + minutes * 60.0 + seconds))
    }
    /// Two fields: ddmm.mmm and N or S, dddmm.mmm and E or W; degrees.
    ///
    /// # Errors
    /// When they are something else or beyond the pole or the date line.
    pub(super) fn angle(&mut self, most_deg: f64) -> Result<Option<f64>, Broken> {
        let (text, side) = (self.text(), self.text());
        if text.is_empty() && side.is_empty() {
            return Ok(None);
        }
        let broken = || format!("'{},{}' is no coordinate", shown(text), shown(side));
        let packed =
            number(text, "coordinate")?.filter(|value| *value >= 0.0).ok_or_else(broken)?;
        let degrees = (packed / 100.0).trunc();
        let minutes = packed - degrees * 100.0;
        let value = degrees + minutes / 60.0;
        let sign = match (side, most_deg > 90.0) {
            (b"N", false) | (b"E", true) => 1.0,
            (b"S", false) | (b"W", true) => -1.0,
            _ => return Err(broken()),
        };
        if minutes >= 60.0 || value > most_deg {
            return Err(broken());
        }
        Ok(Some(sign * value))
    }
    /// ddmmyy: days since 1970.
    ///
    /// # Errors
    /// When it is something else.
    pub(super) fn date(&mut self) -> Result<Option<f64>, Broken> {
        let text = self.text();
        if text.is_empty() {
            return Ok(None);
        }
        let pair = |at: usize| text.get(at..at + 2).and_then(digits);
        let found = pair(0).zip(pair(2)).zip(pair(4)).filter(|_| text.len() == 6);
        let ((day, month), year) = found.ok_or_else(|| no_date(text))?;
        // two digits of the year: those of the satellite age
        let year = if year >= 80.0 { 1900.0 + year } else { 2000.0 + year };
        days_since_1970(year, month, day).map(Some).ok_or_else(|| no_date(text))
    }
}

fn no_date(text: &[u8]) -> Broken {
    format!("'{}' is no date", shown(text))
}

/// A calendar date as days since 1970.
pub(super) fn days_since_1970(year: f64, month: f64, day: f64) -> Option<f64> {
    let date = jiff::civil::Date::new(year as i16, month as i8, day as i8).ok()?;
    let zero = jiff::civil::Date::constant(1970, 1, 1);
    zero.until(date).ok().map(|span| f64::from(span.get_days()))
}

fn digits(text: &[u8]) -> Option<f64> {
    let plain = !text.is_empty() && text.iter().all(u8::is_ascii_digit);
    plain.then(|| text.iter().fold(0.0, |value, byte| value * 10.0 + f64::from(byte - b'0')))
}

fn number(text: &[u8], what: &str) -> Result<Option<f64>, Broken> {
    if text.is_empty() {
        return Ok(None);
    }
    let plain = text.iter().all(|byte| byte.is_ascii_digit() || b"+-.".contains(byte));
    match decimal::parse(text).filter(|_| plain) {
        Some(value) => Ok(Some(value)),
        None => Err(format!("{what} '{}' is no number", shown(text))),
    }
}

fn shown(text: &[u8]) -> String {
    String::from_utf8_lossy(text).chars().take(24).collect()
}
