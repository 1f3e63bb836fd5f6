//! Times of documents, `2026-05-04T14:02:11Z`: what a time shares with the one before (the day) is read once.

use base::time::UtcInstant;

/// Reads the times of one document.
#[derive(Debug, Default)]
pub(crate) struct Stamps {
    date: [u8; 10],
    day_us: i64,
}

impl Stamps {
    /// As [`UtcInstant::parse_rfc3339`].
    pub(crate) fn read(&mut self, text: &str) -> Option<UtcInstant> {
        self.plain(text.as_bytes()).or_else(|| UtcInstant::parse_rfc3339(text))
    }

    /// The usual shape: whole seconds or up to six decimals, `Z`.
    fn plain(&mut self, text: &[u8]) -> Option<UtcInstant> {
        let (date, rest) = text.split_first_chunk::<10>()?;
        let [b'T', h, hh, b':', m, mm, b':', s, ss, fraction @ .., b'Z'] = rest else {
            return None;
        };
        let (hour, minute, second) = (two(*h, *hh)?, two(*m, *mm)?, two(*s, *ss)?);
        if hour > 23 || minute > 59 || second > 59 {
            return None;
        }
        if *date != self.date {
            let midnight = format!("{}T00:00:00Z", std::str::from_utf8(date).ok()?);
            self.day_us = UtcInstant::parse_rfc3339(&midnight)?.to_unix_microseconds();
            self.date = *date;
        }
        let whole = hour * 3600 + minute * 60 + second;
        let us = self.day_us + whole * 1_000_000 + microseconds(fraction)?;
        Some(UtcInstant::from_unix_microseconds(us))
    }
}

fn two(tens: u8, ones: u8) -> Option<i64> {
    (tens.is_ascii_digit() && ones.is_ascii_digit())
        .then(|| i64::from(tens - b'0') * 10 + i64::from(ones - b'0'))
}

/// `.25` is 250,000.
fn microseconds(fraction: &[u8]) -> Option<i64> {
    let digits = match fraction {
        [] => return Some(0),
        [b'.', digits @ ..] if (1..=6).contains(&digits.len()) => digits,
        _ => return None,
    };
    let mut value = 0;
    for at in 0..6 {
        let byte = digits.get(at).copied().unwrap_or(b'0');
        if !byte.is_ascii_digit() {
            return None;
        }
        value = value * 10 + i64::from(byte - b'0');
    }
    Some(value)
}

#[cfg(test)]
mod tests {
    use super::Stamps;
    use base::time::UtcInstant;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn prop_times_are_read_as_the_library_reads_them(
            texts in proptest::collection::vec(
                "[ ]?(1|2)[0-9]{3}-[01][0-9]-[0-3][0-9][Tt ][0-2][0-9]:[0-6][0-9]:[0-6][0-9](\\.[0-9]{0,9})?(Z|z|\\+02:00)?",
                1..8,
            ),
        ) {
            let mut stamps = Stamps::default();
            for text in &texts {
                prop_assert_eq!(stamps.read(text), UtcInstant::parse_rfc3339(text), "{}", text);
            }
        }
    }
}
