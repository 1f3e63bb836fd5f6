//! Instants: the examples of RFC 3339, leap days, refusals.

use base::time::UtcInstant;
use checks::assert_near;
use proptest::prelude::{ProptestConfig, proptest};

fn read(text: &str) -> UtcInstant {
    UtcInstant::parse_rfc3339(text).unwrap_or_else(|| panic!("{text} is an instant"))
}

/// RFC-3339, section 5.8; seconds of 1970 by counting days on paper.
#[test]
fn val_examples_of_rfc_3339() {
    for (text, day, seconds, micro) in [
        // 23:20:50.52 on the 5,580th day after 1970-01-01.
        ("1985-04-12T23:20:50.52Z", 5_580, 84_050, 520_000),
        // Eight hours west: 1996-12-20T00:39:57Z.
        ("1996-12-19T16:39:57-08:00", 9_850, 2_397, 0),
        // Twenty minutes east (the Netherlands of 1937): 11:40:27.87Z, before 1970.
        ("1937-01-01T12:00:27.87+00:20", -12_053, 42_027, 870_000),
    ] {
        let expected: i64 = (day * 86_400 + seconds) * 1_000_000 + micro;
        assert_eq!(read(text).to_unix_microseconds(), expected, "{text}");
    }
    let west = read("1996-12-19T16:39:57-08:00");
    assert_eq!(west, read("1996-12-20T00:39:57Z"));
    assert_eq!(west.to_string(), "1996-12-20T00:39:57Z");
}

/// The two leap-second examples of the same section. Leap seconds are not counted here: the instant is the last second of
/// the day that the clock shows, so that it never falls into the next day.
#[test]
fn val_leap_second_examples_of_rfc_3339() {
    for text in ["1990-12-31T23:59:60Z", "1990-12-31T15:59:60-08:00"] {
        assert_eq!(read(text), read("1990-12-31T23:59:59Z"), "{text}");
    }
}

/// RFC-3339, appendix C: leap years, 2000 one of them, 1900 and 2100 not.
#[test]
fn val_leap_days() {
    for text in ["2024-02-29T12:00:00Z", "2000-02-29T00:00:00Z"] {
        let (_, month, day) = read(text).date();
        assert_eq!((month, day), (2, 29));
    }
    for text in ["2023-02-29T12:00:00Z", "1900-02-29T12:00:00Z", "2100-02-29T12:00:00Z"] {
        assert_eq!(UtcInstant::parse_rfc3339(text), None, "{text}");
    }
    let eve = read("2024-02-28T23:59:59Z");
    assert_eq!(eve.plus_seconds(1.0).to_string(), "2024-02-29T00:00:00Z");
    assert_eq!(read("2023-02-28T23:59:59Z").plus_seconds(1.0).to_string(), "2023-03-01T00:00:00Z");
    assert_near(
        "a leap year",
        read("2025-01-01T00:00:00Z").seconds_since(read("2024-01-01T00:00:00Z")),
        366.0 * 86_400.0,
        0.0,
    );
}

/// Days of the year by the calendar: the magnetic field model asks for the year as a decimal.
#[test]
fn val_decimal_years() {
    for (text, year) in [
        ("2025-01-01T00:00:00Z", 2025.0),
        ("2024-07-02T00:00:00Z", 2024.5),
        ("2025-12-31T23:59:59Z", 2025.0 + 364.0 / 365.0),
        ("2024-12-31T00:00:00Z", 2024.0 + 365.0 / 366.0),
    ] {
        assert_near(text, read(text).decimal_year(), year, 1e-12);
    }
}

/// What is not an instant is refused, not guessed: no offset, no time, impossible fields, other notations.
#[test]
fn bad_texts_are_refused() {
    for text in [
        "",
        "yesterday",
        "2026-05-04",
        "14:02:11Z",
        "1777903331",
        "2026-05-04T14:02:11",
        "2026-05-04 14:02:11",
        "2026-13-04T14:02:11Z",
        "2026-00-04T14:02:11Z",
        "2026-04-31T14:02:11Z",
        "2026-05-04T24:00:00Z",
        "2026-05-04T14:60:11Z",
        "2026-05-04T14:02:61Z",
        "04.05.2026 14:02:11Z",
        "05/04/2026 14:02:11Z",
        "2026-05-04T14:02:11Zulu",
        "2026-05-04T14:02:11.Z",
        "2026-05-04T14:02:11+99:00",
        "2026-05-04T14:02:11Z 2026-05-05T14:02:11Z",
    ] {
        assert_eq!(UtcInstant::parse_rfc3339(text), None, "{text:?}");
    }
}

/// Hours of the end of the calendar do not wrap around and do not become another year.
#[test]
fn regress_the_ends_of_time_do_not_wrap() {
    let (first, last) = (
        UtcInstant::from_unix_microseconds(i64::MIN),
        UtcInstant::from_unix_microseconds(i64::MAX),
    );
    assert_eq!(last.plus_seconds(1e9), last);
    assert_eq!(first.plus_seconds(-1e9), first);
    assert!(last.seconds_since(first) > 1.8e13);
    assert!(last.decimal_year() > 9999.0 && first.decimal_year() < -9998.0);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(500))]

    #[test]
    fn prop_text_and_back(microseconds in -2_000_000_000_000_000_i64..4_000_000_000_000_000) {
        let start = UtcInstant::from_unix_microseconds(microseconds);
        assert_eq!(read(&start.to_string()), start);
    }

    #[test]
    fn prop_offsets_name_the_same_instant(
        microseconds in -2_000_000_000_000_000_i64..4_000_000_000_000_000, minutes in -840_i64..=840,
    ) {
        let start = UtcInstant::from_unix_microseconds(microseconds);
        let shown = UtcInstant::from_unix_microseconds(microseconds + minutes * 60_000_000).to_string();
        let sign = if minutes < 0 { '-' } else { '+' };
        let away = minutes.abs();
        let text = format!("{}{sign}{:02}:{:02}", shown.trim_end_matches('Z'), away / 60, away % 60);
        assert_eq!(read(&text), start, "{text}");
    }

    #[test]
    fn prop_seconds_add_up(microseconds in 0_i64..4_000_000_000_000_000, seconds in -1e6_f64..1e6) {
        let start = UtcInstant::from_unix_microseconds(microseconds);
        let later = start.plus_seconds(seconds);
        assert_near("seconds", later.seconds_since(start), seconds, 5.1e-7);
        assert!((later > start) == (seconds > 5e-7));
    }
}
