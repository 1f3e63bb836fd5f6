//! Text in UTF-16, with a mark or without, and in Latin-1: decoded before the readers see it. Binary content stays as it is.

use std::borrow::Cow;

/// So many units are looked at to tell UTF-16 without a mark.
const UNITS_LOOKED_AT: usize = 64;

/// The bytes as UTF-8, and what to say when they were not.
pub(super) fn to_utf8(bytes: &[u8]) -> (Cow<'_, [u8]>, Option<String>) {
    let (little, body) = match bytes {
        [0xff, 0xfe, rest @ ..] => (true, rest),
        [0xfe, 0xff, rest @ ..] => (false, rest),
        _ if plain_halves(bytes, 0) => (true, bytes),
        _ if plain_halves(bytes, 1) => (false, bytes),
        _ if is_latin(bytes) => {
            let text: String = bytes.iter().map(|&byte| char::from(byte)).collect();
            return (
                Cow::Owned(text.into_bytes()),
                Some("the text is not UTF-8: read as Latin-1".into()),
            );
        }
        _ if returns_only(bytes) => {
            let text = bytes.iter().map(|&byte| if byte == b'\r' { b'\n' } else { byte });
            return (
                Cow::Owned(text.collect()),
                Some("lines end in carriage returns alone".into()),
            );
        }
        _ => return (Cow::Borrowed(bytes), None),
    };
    let units = body.chunks_exact(2).map(|pair| match little {
        true => u16::from_le_bytes([pair[0], pair[1]]),
        false => u16::from_be_bytes([pair[0], pair[1]]),
    });
    let mut bad = body.len() % 2;
    let mut text = String::with_capacity(body.len() / 2);
    for letter in char::decode_utf16(units) {
        text.push(letter.unwrap_or_else(|_| {
            bad += 1;
            char::REPLACEMENT_CHARACTER
        }));
    }
    let faults = match bad {
        0 => String::new(),
        bad => format!("; {bad} units of it are broken"),
    };
    (Cow::Owned(text.into_bytes()), Some(format!("the text is UTF-16{faults}")))
}

/// Whether lines end as on machines of long ago. A binary file holds the one or the other sooner or later.
fn returns_only(bytes: &[u8]) -> bool {
    memchr::memchr(b'\n', bytes).is_none()
        && memchr::memchr(b'\r', bytes).is_some()
        && !bytes.iter().any(|&byte| byte < b' ' && !b"\t\r".contains(&byte))
}

/// Where a byte of the decoded text stands in the file it was decoded from.
pub(super) fn byte_in_file(file: &[u8], text: &[u8], byte: u64) -> u64 {
    if text.len() == file.len() {
        return byte;
    }
    let before = usize::try_from(byte).map_or(text, |byte| &text[..byte.min(text.len())]);
    let letters = || String::from_utf8_lossy(before);
    if is_latin(file) {
        return letters().chars().count() as u64;
    }
    let mark =
        if file.starts_with(&[0xff, 0xfe]) || file.starts_with(&[0xfe, 0xff]) { 2 } else { 0 };
    mark + 2 * letters().encode_utf16().count() as u64
}

/// Whether the first units are Latin letters, the letter in the byte named: no recording of a line or two looks so otherwise.
fn plain_halves(bytes: &[u8], letter: usize) -> bool {
    let mut pairs = bytes.chunks_exact(2).take(UNITS_LOOKED_AT);
    bytes.len() >= 8 && pairs.all(|pair| pair[1 - letter] == 0 && pair[letter] != 0)
}

/// Whether this is text with letters beyond ASCII that are not UTF-8, or fewer of them are than are not.
fn is_latin(bytes: &[u8]) -> bool {
    if std::str::from_utf8(bytes).is_ok() || bytes.iter().any(|&byte| byte < b'\t') {
        return false;
    }
    let (mut letters, mut faults) = (0usize, 0usize);
    for chunk in bytes.utf8_chunks() {
        letters += chunk.valid().chars().filter(|letter| !letter.is_ascii()).count();
        faults += chunk.invalid().len();
    }
    faults > letters
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn golden_both_orders_with_and_without_a_mark() {
        let text = "time,lat\n1,2\n";
        let wide = |order: fn(u16) -> [u8; 2]| -> Vec<u8> {
            text.encode_utf16().flat_map(order).collect()
        };
        let (little, big) = (wide(u16::to_le_bytes), wide(u16::to_be_bytes));
        let marked = [b"\xff\xfe".as_slice(), &little].concat();
        let marked_big = [b"\xfe\xff".as_slice(), &big].concat();
        for bytes in [little, big, marked, marked_big] {
            let (found, said) = to_utf8(&bytes);
            assert_eq!(found.as_ref(), text.as_bytes());
            assert_eq!(said.as_deref(), Some("the text is UTF-16"));
        }
    }

    #[test]
    fn regress_other_bytes_stay_and_broken_units_are_counted() {
        let (same, said) = to_utf8(b"caf\xe9,\0\0");
        assert_eq!((same.as_ref(), said), (b"caf\xe9,\0\0".as_slice(), None));
        // A place after a letter of two bytes stands one byte earlier in the file.
        assert_eq!(byte_in_file(b"roll (\xb0)\n", "roll (°)\n".as_bytes(), 8), 7);
        assert_eq!(byte_in_file(b"\xff\xfea\0b\0", b"ab", 1), 4);
        assert_eq!(byte_in_file(b"plain", b"plain", 3), 3);
        let (latin, said) = to_utf8(b"roll (\xb0)\n");
        assert_eq!(latin.as_ref(), "roll (°)\n".as_bytes());
        assert!(said.is_some_and(|said| said.contains("Latin-1")));
        let mostly = "pitch (°), roll (°)\n".bytes().chain([0xff]).collect::<Vec<_>>();
        assert_eq!(to_utf8(&mostly).0.as_ref(), mostly);
        let (_, said) = to_utf8(b"\xff\xfea\0\x00\xd8b\0c");
        assert_eq!(said.as_deref(), Some("the text is UTF-16; 2 units of it are broken"));
    }
}
