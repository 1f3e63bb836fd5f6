//! Decimal numbers out of bytes, faster than the standard parser for what recordings hold, and the same to the bit.

/// Powers of ten that a double holds exactly.
const TENS: [f64; 23] = [
    1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15, 1e16,
    1e17, 1e18, 1e19, 1e20, 1e21, 1e22,
];
/// Whole numbers below this are exact in a double.
const EXACT_BELOW: u64 = 1 << 53;

/// A number at the start of the bytes and where it ends: sign, digits, point, digits. `None` when there is none, or when
/// it is not certain to round as it should: then the standard parser has to read it.
///
/// Digits and power of ten are exact in a double, and one division rounds correctly (Clinger 1990, the fast path).
#[inline]
pub(crate) fn prefix(bytes: &[u8], comma: bool) -> Option<(f64, usize)> {
    let negative = bytes.first() == Some(&b'-');
    let start = usize::from(negative || bytes.first() == Some(&b'+'));
    let mut whole: u64 = 0;
    let mut at = start;
    let mut point = usize::MAX;
    while let Some(&byte) = bytes.get(at) {
        let digit = byte.wrapping_sub(b'0');
        if digit < 10 {
            whole = whole.wrapping_mul(10).wrapping_add(u64::from(digit));
        } else if point == usize::MAX && (byte == b'.' || (comma && byte == b',')) {
            point = at;
        } else {
            break;
        }
        at += 1;
    }
    let digits = at - start - usize::from(point != usize::MAX);
    // nineteen digits cannot overflow the count
    if digits == 0 || digits > 19 || whole >= EXACT_BELOW {
        return None;
    }
    let value =
        if point == usize::MAX { whole as f64 } else { whole as f64 / TENS[at - point - 1] };
    Some((if negative { -value } else { value }, at))
}

/// A text that is a number throughout, as [`str::parse`] reads it; `None` for everything else.
#[inline]
pub(crate) fn parse(text: &[u8]) -> Option<f64> {
    match prefix(text, false) {
        Some((value, end)) if end == text.len() => Some(value),
        _ => std::str::from_utf8(text).ok()?.parse().ok(),
    }
}

#[cfg(test)]
mod tests {
    use super::{parse, prefix};
    use proptest::prelude::*;

    fn same(text: &str) {
        let standard = text.parse::<f64>().ok();
        assert_eq!(parse(text.as_bytes()).map(f64::to_bits), standard.map(f64::to_bits), "{text}");
    }

    #[test]
    fn prop_the_borders_are_read_as_the_standard_parser_does() {
        for text in [
            "",
            "-",
            "+",
            ".",
            "-.",
            "0",
            "-0",
            "+0.0",
            "5.",
            ".5",
            "9007199254740991",
            "9007199254740992",
            "9007199254740993",
            "99999999999999999999",
            "18446744073709551616",
            "0.1",
            "00000000000000000000001",
            "0.0000000000000000000001",
            "1e5",
            "nan",
            "inf",
            "1.2.3",
            " 1",
            "1 ",
            "1,5",
            "123456789012345678.9",
            "-36893488147419103232",
            "184467440737095516160.5",
        ] {
            same(text);
        }
        assert_eq!(prefix(b"46,5;8", true), Some((46.5, 4)));
        assert_eq!(prefix(b"-8.25,4", false), Some((-8.25, 5)));
    }

    proptest! {
        #[test]
        fn prop_decimal_text_is_read_as_the_standard_parser_does(text in "[-+]?[0-9]{0,21}[.]?[0-9]{0,23}") {
            same(&text);
        }
        #[test]
        fn prop_numbers_as_programs_write_them(value in any::<f64>(), places in 0..12usize) {
            same(&value.to_string());
            same(&format!("{:.places$}", value % 1e6));
        }
        #[test]
        fn prop_other_text_is_read_as_the_standard_parser_does(text in "[-+0-9.eEinfa ,]{0,12}") {
            same(&text);
        }
    }
}
