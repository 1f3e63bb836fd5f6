//! Mutations that know what recordings are made of: bytes, numbers, words, lines, cells.

#![allow(clippy::ptr_arg, reason = "every mutation has the form of those that change the length")]

use crate::dictionary::NUMBERS;
use crate::random::Random;
use std::ops::Range;

/// Inputs grow no further than this, bytes.
pub const LENGTH_MOST: usize = 32 << 10;

/// What mutations draw on.
#[derive(Debug)]
pub struct Stock<'a> {
    /// Words of the format.
    pub words: &'a [&'static [u8]],
    /// Other inputs, to splice with.
    pub others: &'a [Vec<u8>],
}

type Mutation = fn(&mut Vec<u8>, &Stock<'_>, &mut Random);

/// Every mutation; listed more than once where it finds more.
const ALL: &[Mutation] = &[
    flip_bit,
    set_byte,
    set_byte,
    remove_range,
    repeat_range,
    copy_range,
    swap_ranges,
    truncate,
    paste_word,
    paste_word,
    paste_word,
    replace_number,
    replace_number,
    replace_number,
    nudge_digit,
    nudge_digit,
    splice,
    remove_line,
    repeat_line,
    swap_lines,
    repeat_lines_many,
    replace_cell,
];

/// Applies one to eight mutations, few more often than many; sentences mostly get a checksum that holds again.
pub fn mutate(bytes: &mut Vec<u8>, stock: &Stock<'_>, random: &mut Random) {
    let rounds = 1 + (random.bits().trailing_zeros() as usize).min(7);
    for _ in 0..rounds {
        if let Some(mutation) = random.pick(ALL) {
            mutation(bytes, stock, random);
        }
        bytes.truncate(LENGTH_MOST);
    }
    if random.below(4) != 0 {
        mend_checksums(bytes);
        mend_frames(bytes);
    }
}

const FLAG: u8 = 0x7e;
const ESCAPE: u8 = 0x7d;

/// Makes the cyclic checksum of each frame between flags hold (polynomial 0x1021, low byte first).
pub fn mend_frames(bytes: &mut Vec<u8>) {
    if bytes.iter().filter(|&&byte| byte == FLAG).count() < 2 {
        return;
    }
    let mut out = Vec::with_capacity(bytes.len());
    for frame in bytes.split(|&byte| byte == FLAG) {
        let mut escaped = false;
        let mut open: Vec<u8> = Vec::with_capacity(frame.len());
        for &byte in frame {
            if byte == ESCAPE && !escaped {
                escaped = true;
            } else {
                open.push(if escaped { byte ^ 0x20 } else { byte });
                escaped = false;
            }
        }
        if open.len() > 2 {
            open.truncate(open.len() - 2);
            open.extend_from_slice(&cyclic_sum(&open).to_le_bytes());
        }
        for byte in open {
            match byte {
                FLAG | ESCAPE => out.extend_from_slice(&[ESCAPE, byte ^ 0x20]),
                _ => out.push(byte),
            }
        }
        out.push(FLAG);
    }
    out.pop();
    *bytes = out;
}

fn cyclic_sum(message: &[u8]) -> u16 {
    message.iter().fold(0, |sum: u16, &byte| {
        let mut high = sum & 0xff00;
        for _ in 0..8 {
            high = if high & 0x8000 == 0 { high << 1 } else { (high << 1) ^ 0x1021 };
        }
        high ^ (sum << 8) ^ u16::from(byte)
    })
}

/// Makes the checksum of each line `$...*hh` hold: the exclusive or of what stands between.
pub fn mend_checksums(bytes: &mut [u8]) {
    for line in bytes.split_mut(|&byte| byte == b'\n') {
        let Some(start) = line.iter().position(|&byte| byte == b'$' || byte == b'!') else {
            continue;
        };
        let Some(star) = line.iter().rposition(|&byte| byte == b'*') else { continue };
        if star > start && star + 2 < line.len() {
            let sum = line[start + 1..star].iter().fold(0, |sum, byte| sum ^ byte);
            let digit = |value: u8| b"0123456789ABCDEF"[usize::from(value)];
            (line[star + 1], line[star + 2]) = (digit(sum >> 4), digit(sum & 15));
        }
    }
}

fn flip_bit(bytes: &mut Vec<u8>, _: &Stock<'_>, random: &mut Random) {
    let at = random.below(bytes.len());
    if let Some(byte) = bytes.get_mut(at) {
        *byte ^= 1 << random.below(8);
    }
}

fn set_byte(bytes: &mut Vec<u8>, _: &Stock<'_>, random: &mut Random) {
    let at = random.below(bytes.len());
    let value = random.bits() as u8;
    // a letter of text half of the time: other bytes end in the same complaint
    let value = if random.below(2) == 0 { b' ' + value % 95 } else { value };
    if let Some(byte) = bytes.get_mut(at) {
        *byte = value;
    }
}

fn remove_range(bytes: &mut Vec<u8>, _: &Stock<'_>, random: &mut Random) {
    if !bytes.is_empty() {
        bytes.drain(random.range(bytes.len()));
    }
}

fn repeat_range(bytes: &mut Vec<u8>, _: &Stock<'_>, random: &mut Random) {
    if bytes.is_empty() {
        return;
    }
    let range = random.range(bytes.len());
    let most = if random.below(16) == 0 { 2000 } else { 8 };
    let times = 1 + random.below(most);
    let room = LENGTH_MOST.saturating_sub(bytes.len()) / range.len().max(1);
    let piece = bytes[range.clone()].repeat(times.min(room));
    bytes.splice(range.end..range.end, piece);
}

fn copy_range(bytes: &mut Vec<u8>, _: &Stock<'_>, random: &mut Random) {
    if bytes.is_empty() {
        return;
    }
    let piece = bytes[random.range(bytes.len())].to_vec();
    let at = random.below(bytes.len() + 1);
    bytes.splice(at..at, piece);
}

fn swap_ranges(bytes: &mut Vec<u8>, _: &Stock<'_>, random: &mut Random) {
    if bytes.len() < 2 {
        return;
    }
    let middle = 1 + random.below(bytes.len() - 1);
    let (first, second) = (random.range(middle), random.range(bytes.len() - middle));
    let piece = bytes[middle + second.start..middle + second.end].to_vec();
    let other = bytes[first.clone()].to_vec();
    bytes.splice(middle + second.start..middle + second.end, other);
    bytes.splice(first, piece);
}

fn truncate(bytes: &mut Vec<u8>, _: &Stock<'_>, random: &mut Random) {
    if random.below(4) == 0 {
        bytes.truncate(random.below(bytes.len() + 1));
    } else {
        let lost = random.below(bytes.len().min(40) + 1);
        bytes.truncate(bytes.len() - lost);
    }
}

fn paste_word(bytes: &mut Vec<u8>, stock: &Stock<'_>, random: &mut Random) {
    let Some(word) = random.pick(stock.words) else { return };
    let at = random.below(bytes.len() + 1);
    let end = if random.below(2) == 0 { at } else { (at + word.len()).min(bytes.len()) };
    bytes.splice(at..end, word.iter().copied());
}

/// The run of bytes of a kind around or after a place.
fn run(bytes: &[u8], from: usize, of: impl Fn(u8) -> bool) -> Option<Range<usize>> {
    let start = from + bytes.get(from..)?.iter().position(|&byte| of(byte))?;
    let end = bytes[start..].iter().position(|&byte| !of(byte)).map_or(bytes.len(), |n| start + n);
    Some(start..end)
}

fn replace_number(bytes: &mut Vec<u8>, _: &Stock<'_>, random: &mut Random) {
    let from = random.below(bytes.len());
    let of = |byte: u8| byte.is_ascii_digit() || byte == b'.' || byte == b'-';
    let Some(range) = run(bytes, from, of) else { return };
    let number = if random.below(3) == 0 {
        random_number(random)
    } else {
        random.pick(NUMBERS).map_or_else(String::new, |text| (*text).to_owned())
    };
    bytes.splice(range, number.into_bytes());
}

fn random_number(random: &mut Random) -> String {
    let whole = random.bits() as i64 >> random.below(64);
    match random.below(4) {
        0 => whole.to_string(),
        1 => format!("{}", whole as f64 * 1e-6),
        2 => format!("{}", f64::from_bits(random.bits())),
        _ => format!("{whole}.{:0width$}", random.below(1000), width = random.below(24)),
    }
}

fn nudge_digit(bytes: &mut Vec<u8>, _: &Stock<'_>, random: &mut Random) {
    let from = random.below(bytes.len());
    if let Some(range) = run(bytes, from, |byte| byte.is_ascii_digit()) {
        let at = range.start + random.below(range.len());
        bytes[at] = b'0' + random.below(10) as u8;
    }
}

fn splice(bytes: &mut Vec<u8>, stock: &Stock<'_>, random: &mut Random) {
    let Some(other) = random.pick(stock.others).filter(|other| !other.is_empty()) else { return };
    let piece = random.range(other.len());
    if random.below(2) == 0 && !bytes.is_empty() {
        let range = random.range(bytes.len());
        bytes.splice(range, other[piece].iter().copied());
    } else {
        bytes.truncate(random.below(bytes.len() + 1));
        bytes.extend_from_slice(&other[piece.start..]);
    }
}

fn line(bytes: &[u8], random: &mut Random) -> Range<usize> {
    let at = random.below(bytes.len());
    let start = bytes[..at].iter().rposition(|&byte| byte == b'\n').map_or(0, |n| n + 1);
    let end =
        bytes[at..].iter().position(|&byte| byte == b'\n').map_or(bytes.len(), |n| at + n + 1);
    start..end
}

fn remove_line(bytes: &mut Vec<u8>, _: &Stock<'_>, random: &mut Random) {
    let range = line(bytes, random);
    bytes.drain(range);
}

fn repeat_line(bytes: &mut Vec<u8>, _: &Stock<'_>, random: &mut Random) {
    let (from, to) = (line(bytes, random), line(bytes, random));
    let piece = bytes[from].to_vec();
    bytes.splice(to.start..to.start, piece);
}

fn swap_lines(bytes: &mut Vec<u8>, _: &Stock<'_>, random: &mut Random) {
    let (a, b) = (line(bytes, random), line(bytes, random));
    let (first, second) = if a.start <= b.start { (a, b) } else { (b, a) };
    if first.end <= second.start {
        let (early, late) = (bytes[first.clone()].to_vec(), bytes[second.clone()].to_vec());
        bytes.splice(second, early);
        bytes.splice(first, late);
    }
}

/// One line many times, its numbers left alone or its digits drawn anew: long recordings with every sort of step.
fn repeat_lines_many(bytes: &mut Vec<u8>, _: &Stock<'_>, random: &mut Random) {
    if random.below(8) != 0 {
        return;
    }
    let range = line(bytes, random);
    let piece = bytes[range.clone()].to_vec();
    let room = LENGTH_MOST.saturating_sub(bytes.len()) / piece.len().max(1);
    let times = random.below(200).min(room);
    let drawn = random.below(3);
    let mut many = Vec::with_capacity(times * piece.len());
    for _ in 0..times {
        let start = many.len();
        many.extend_from_slice(&piece);
        for _ in 0..drawn {
            let from = start + random.below(piece.len());
            if let Some(byte) = many.get_mut(from).filter(|byte| byte.is_ascii_digit()) {
                *byte = b'0' + random.below(10) as u8;
            }
        }
    }
    bytes.splice(range.end..range.end, many);
}

fn replace_cell(bytes: &mut Vec<u8>, stock: &Stock<'_>, random: &mut Random) {
    let from = random.below(bytes.len());
    let of = |byte: u8| !b",;\t\n\r<>\"* ".contains(&byte);
    let Some(range) = run(bytes, from, of) else { return };
    match random.below(3) {
        0 => drop(bytes.drain(range)),
        _ => {
            if let Some(word) = random.pick(stock.words) {
                bytes.splice(range, word.iter().copied());
            }
        }
    }
}
