//! Text to quantities and back: `"4500ft"`, `"1009 hPa"`, `"28C"`. One parser for commands and for files.

use crate::units::Quantity;

/// Why a text is not the quantity asked for. The message says what was wrong and what would be right.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum QuantityError {
    /// Only a number was given.
    #[error("{name} needs a unit: {text:?}")]
    NoUnit {
        /// What was asked for.
        name: &'static str,
        /// What was given.
        text: String,
        /// Units that would be accepted.
        units: String,
    },
    /// The unit is not one of this quantity.
    #[error("unknown unit {unit:?} for {name}: {text:?}")]
    UnknownUnit {
        /// What was asked for.
        name: &'static str,
        /// The unit as typed.
        unit: String,
        /// What was given.
        text: String,
        /// Units that would be accepted.
        units: String,
    },
    /// No number at the start.
    #[error("{name} must start with a number: {text:?}")]
    NotANumber {
        /// What was asked for.
        name: &'static str,
        /// What was given.
        text: String,
        /// Units that would be accepted.
        units: String,
    },
    /// A number with a unit, but beyond what can be counted with.
    #[error("{name} is too large: {text:?}")]
    TooLarge {
        /// What was asked for.
        name: &'static str,
        /// What was given.
        text: String,
    },
}

impl QuantityError {
    /// What to do about it, for people.
    #[must_use]
    pub fn hint(&self) -> String {
        match self {
            Self::NoUnit { text, units, .. } => {
                let first = units.split(", ").next().unwrap_or_default();
                format!("write {text}{first} (units: {units})")
            }
            Self::UnknownUnit { units, .. } => format!("units: {units}"),
            Self::NotANumber { text, units, .. } if text.contains(',') => {
                format!("write decimals with a point (1.5); units: {units}")
            }
            Self::NotANumber { units, .. } => format!("for example 100 and a unit out of {units}"),
            Self::TooLarge { .. } => "check the figure and its exponent".into(),
        }
    }
}

/// Reads a number with its unit; blanks between them are allowed, case matters only where units differ by it. A comma
/// parts thousands and nothing else: `4,500 ft` is read, `1,5 kt` refused, for a decimal comma would be ten times too much.
///
/// # Errors
/// A bare number, an unknown unit, no number, or one too large: each says what would be accepted.
///
/// # Examples
/// ```
/// use base::{quantity, units::Length};
/// assert!((quantity::parse::<Length>("4500ft").unwrap().to_m() - 1371.6).abs() < 1e-9);
/// assert!(quantity::parse::<Length>("4500").is_err());
/// ```
pub fn parse<Q: Quantity>(text: &str) -> Result<Q, QuantityError> {
    let trimmed = text.trim();
    let split = number_length(trimmed);
    let (number, unit) = trimmed.split_at(split);
    let unit = unit.trim();
    let value = commas_part_thousands(number)
        .then(|| number.replace(',', "").parse::<f64>().ok())
        .flatten()
        .filter(|value| value.is_finite());
    let Some(value) = value else {
        return Err(QuantityError::NotANumber {
            name: Q::NAME,
            text: text.into(),
            units: units::<Q>(),
        });
    };
    if unit.is_empty() {
        return Err(QuantityError::NoUnit {
            name: Q::NAME,
            text: trimmed.into(),
            units: units::<Q>(),
        });
    }
    let found = Q::UNITS
        .iter()
        .find(|known| known.symbol == unit)
        .or_else(|| Q::UNITS.iter().find(|known| known.symbol.eq_ignore_ascii_case(unit)));
    let Some(known) = found else {
        return Err(QuantityError::UnknownUnit {
            name: Q::NAME,
            unit: unit.into(),
            text: text.into(),
            units: units::<Q>(),
        });
    };
    Q::try_from_si(known.scale * value + known.offset)
        .ok_or_else(|| QuantityError::TooLarge { name: Q::NAME, text: text.into() })
}

/// Whether commas, if any, stand where thousands are parted: one to three digits before the first, not beginning with nil,
/// three after each, none behind the point.
fn commas_part_thousands(number: &str) -> bool {
    let whole = number.trim_start_matches(['+', '-']);
    let whole_length = whole.find(['.', 'e', 'E']).unwrap_or(whole.len());
    let (whole, rest) = whole.split_at(whole_length);
    let mut groups = whole.split(',');
    let first = groups.next().unwrap_or_default();
    let mut parted = groups.peekable();
    !rest.contains(',')
        && (parted.peek().is_none() || (1..=3).contains(&first.len()) && !first.starts_with('0'))
        && parted.all(|group| group.len() == 3)
}

fn units<Q: Quantity>() -> String {
    Q::UNITS.iter().map(|unit| unit.symbol).collect::<Vec<_>>().join(", ")
}

/// Length in bytes of the leading number: sign, digits, thousands commas, point, exponent.
fn number_length(text: &str) -> usize {
    let bytes = text.as_bytes();
    let mut end = 0;
    while end < bytes.len() {
        let byte = bytes[end];
        let sign =
            matches!(byte, b'+' | b'-') && (end == 0 || matches!(bytes[end - 1], b'e' | b'E'));
        let exponent = matches!(byte, b'e' | b'E')
            && end > 0
            && bytes
                .get(end + 1)
                .is_some_and(|next| next.is_ascii_digit() || matches!(next, b'+' | b'-'));
        if byte.is_ascii_digit() || matches!(byte, b'.' | b',') || sign || exponent {
            end += 1;
        } else {
            break;
        }
    }
    end
}
