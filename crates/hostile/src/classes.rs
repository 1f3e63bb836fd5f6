//! Ways in which files are broken, each made from a good file: a corpus that grows with every format and fixture.

use crate::pack;
use crate::random::Random;
use crate::seeds::Seed;

/// What must be said of a file broken in a way.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Says {
    /// It is refused.
    Error,
    /// It is refused, or read with a note that the good file has not; or nothing was lost: the same values.
    Told,
    /// The same values are read: this breaks nothing.
    Same,
    /// Damage that may hide in a digit: no more is asked than of any bytes, and that lost samples are told.
    Sound,
    /// As [`Self::Sound`], and samples may be lost in silence: what is left may look like a whole file.
    Cut,
}

/// One way.
#[derive(Debug, Clone, Copy)]
pub struct Class {
    /// Name.
    pub name: &'static str,
    /// What must be said.
    pub says: Says,
    /// The broken file; `None` where the way makes no sense for the format.
    pub make: fn(&Seed, &mut Random) -> Option<Vec<u8>>,
}

const fn class(
    name: &'static str,
    says: Says,
    make: fn(&Seed, &mut Random) -> Option<Vec<u8>>,
) -> Class {
    Class { name, says, make }
}

/// Every way.
pub const ALL: &[Class] = &[
    class("empty", Says::Error, |_, _| Some(Vec::new())),
    class("white space only", Says::Error, |_, _| Some(b" \r\n\t\r\n".to_vec())),
    class("NUL bytes only", Says::Error, |seed, _| Some(vec![0; seed.bytes.len()])),
    class("random bytes", Says::Error, |_, random| {
        Some((0..4096).map(|_| random.bits() as u8).collect())
    }),
    class("a program before it", Says::Told, |seed, _| {
        Some([b"\x7fELF\x02\x01\x01\0\0\0\0\0\0\0\0\0\x03\0>\0".as_slice(), &seed.bytes].concat())
    }),
    class("a web page", Says::Error, |_, _| {
        Some(b"<!DOCTYPE html><html><body>File not found</body></html>\n".to_vec())
    }),
    class("first line only", Says::Cut, |seed, _| {
        several_lines(seed).map(|lines| lines[0].to_vec())
    }),
    class("cut in half", Says::Cut, |seed, _| Some(seed.bytes[..seed.bytes.len() / 2].to_vec())),
    class("cut inside the last line", Says::Told, cut_last_line),
    class("byte order mark", Says::Same, |seed, _| {
        let bare = text(seed)?.as_bytes();
        let bare = bare.strip_prefix(MARK).unwrap_or(bare);
        Some([MARK, bare].concat())
    }),
    class("lines end in CR LF", Says::Same, |seed, _| line_ends(seed, b"\r\n")),
    class("lines end in CR", Says::Same, |seed, _| line_ends(seed, b"\r")),
    class("UTF-16, little end first", Says::Same, |seed, _| wide(seed, u16::to_le_bytes)),
    class("UTF-16, big end first", Says::Same, |seed, _| wide(seed, u16::to_be_bytes)),
    class("half UTF-16", Says::Told, |seed, random| {
        let half = seed.bytes.len() / 2;
        let tail =
            wide(&Seed { bytes: seed.bytes[half..].to_vec(), ..seed.clone() }, u16::to_le_bytes)?;
        let _ = random;
        Some([&seed.bytes[..half], &tail].concat())
    }),
    class("bytes of another encoding", Says::Told, |seed, _| inserted(seed, b"\xe9\xff\xfc")),
    class("NUL bytes inside", Says::Told, |seed, _| inserted(seed, &[0; 64])),
    class("a block of zeros", Says::Told, |seed, _| {
        let mut bytes = seed.bytes.clone();
        let middle = bytes.len() / 2;
        let end = (middle + 128).min(bytes.len());
        bytes[middle..end].fill(0);
        Some(bytes)
    }),
    class("terminal commands inside", Says::Told, |seed, _| inserted(seed, b"\x1b[2J\x1b]0;x\x07")),
    class("a line of garbage", Says::Told, |seed, _| line_inserted(seed, b"garbage ~~~ !!\n")),
    class("a gigantic line", Says::Told, |seed, _| line_inserted(seed, &vec![b'x'; 2 << 20])),
    class("a line twice", Says::Told, |seed, _| {
        let line = middle_line(seed)?;
        line_inserted(seed, &line)
    }),
    class("first lines again in the middle", Says::Told, |seed, _| {
        let lines = several_lines(seed)?;
        line_inserted(seed, &lines[..lines.len().min(3)].concat())
    }),
    class("the file twice", Says::Told, |seed, _| {
        Some([seed.bytes.clone(), seed.bytes.clone()].concat())
    }),
    class("lines reversed", Says::Told, |seed, _| {
        let lines = several_lines(seed)?;
        let (first, last) = data_lines(&lines)?;
        let middle: Vec<&[u8]> = lines[first..last].iter().rev().copied().collect();
        Some([lines[..first].concat(), middle.concat(), lines[last..].concat()].concat())
    }),
    class("a line of another format", Says::Told, |seed, _| {
        let other: &[u8] = match seed.format {
            "igc" | "nmea" => b"12.5;46.5;8.1;1200\n",
            _ => b"$GPRMC,120211.00,A,4630.0000,N,00806.0000,E,99.5,45.0,040526,,,A*6C\n",
        };
        line_inserted(seed, other)
    }),
    class("a latitude of 96", Says::Told, |seed, _| replaced_place(seed, b"96")),
    class("a latitude that is NaN", Says::Told, |seed, _| replaced_number(seed, b"NaN")),
    class("a latitude of 1e308", Says::Told, |seed, _| replaced_number(seed, b"1e308")),
    class("a latitude of forty digits", Says::Told, |seed, _| {
        replaced_number(seed, b"4650000000000000000000000000000000000000")
    }),
    class("a latitude with two points", Says::Told, |seed, _| replaced_number(seed, b"46.5.1")),
    class("an empty latitude", Says::Told, |seed, _| replaced_number(seed, b"")),
    class("another year in the middle", Says::Told, |seed, _| {
        let at = middle_of(&seed.bytes, b"2026-")?;
        let mut bytes = seed.bytes.clone();
        bytes[at..at + 4].copy_from_slice(b"2036");
        Some(bytes)
    }),
    class("second 73", Says::Told, |seed, _| {
        let at = middle_of(&seed.bytes, b":13").or_else(|| middle_of(&seed.bytes, b"120213"))?;
        let mut bytes = seed.bytes.clone();
        let tens = at + if bytes[at] == b':' { 1 } else { 4 };
        bytes[tens] = b'7';
        Some(bytes)
    }),
    class("a quote that never closes", Says::Told, |seed, _| inserted(seed, b"\"")),
    class("a cell less in one row", Says::Told, |seed, _| {
        if seed.format != "csv" {
            return None;
        }
        let line = middle_line(seed)?;
        let cut = line.iter().rposition(|byte| b",;".contains(byte))?;
        let cut = line[..cut].iter().rposition(|byte| b",;".contains(byte))?;
        let cut = line[..cut].iter().rposition(|byte| b",;".contains(byte))?;
        let at = find(&seed.bytes, &line)?;
        Some([&seed.bytes[..at + cut], b"\n", &seed.bytes[at + line.len()..]].concat())
    }),
    class("wrong checksum", Says::Told, |seed, _| {
        let at = middle_of(&seed.bytes, b"*")?;
        let mut bytes = seed.bytes.clone();
        let digit = bytes.get_mut(at + 1).filter(|_| seed.format == "nmea")?;
        *digit = if *digit == b'0' { b'1' } else { b'0' };
        Some(bytes)
    }),
    class("entity bomb", Says::Error, |seed, _| {
        let root = document_root(seed)?;
        let mut bomb = b"<!DOCTYPE x [<!ENTITY a \"aaaaaaaaaaaaaaaaaaaa\">".to_vec();
        for level in b'b'..=b'k' {
            let (name, inner) = (level as char, (level - 1) as char);
            bomb.extend(
                format!("<!ENTITY {name} \"{}\">", format!("&{inner};").repeat(10)).bytes(),
            );
        }
        bomb.extend_from_slice(b"]>");
        Some([&seed.bytes[..root], &bomb, &seed.bytes[root..]].concat())
    }),
    class("an entity of its own", Says::Error, |seed, _| {
        document_root(seed)?;
        let at = middle_of(&seed.bytes, b"</")?;
        Some([&seed.bytes[..at], b"&bomb;", &seed.bytes[at..]].concat())
    }),
    class("nested without end", Says::Told, |seed, _| {
        let piece: &[u8] = match seed.bytes.trim_ascii_start().first()? {
            b'<' => b"<a>",
            b'[' | b'{' => b"[",
            _ => b"(\"",
        };
        inserted(seed, &piece.repeat(20_000))
    }),
    class("a tag that never closes", Says::Error, |seed, _| {
        document_root(seed)?;
        let at = middle_of(&seed.bytes, b"</")?;
        Some([&seed.bytes[..at], b"<open ", &seed.bytes[at..]].concat())
    }),
    class("in a gzip stream", Says::Same, |seed, _| Some(pack::gzip(&seed.bytes))),
    class("in a zip archive", Says::Same, |seed, _| Some(pack::zip(&[(&seed.name, &seed.bytes)]))),
    class("a gzip stream cut in half", Says::Error, |seed, _| {
        let packed = pack::gzip(&seed.bytes);
        Some(packed[..packed.len() / 2].to_vec())
    }),
    class("a zip archive cut in half", Says::Error, |seed, _| {
        let packed = pack::zip(&[(&seed.name, &seed.bytes)]);
        Some(packed[..packed.len() / 2].to_vec())
    }),
    class("a zip archive with a flipped bit", Says::Error, |seed, _| {
        let mut packed = pack::zip(&[(&seed.name, &seed.bytes)]);
        // inside the packed content: after the local header and the name
        let at = 30 + seed.name.len() + (packed.len() - 100 - 2 * seed.name.len()) / 2;
        packed[at] ^= 4;
        Some(packed)
    }),
    class("archives nested too deep", Says::Error, |seed, _| {
        Some((0..6).fold(seed.bytes.clone(), |bytes, _| pack::zip(&[("a.zip", &bytes)])))
    }),
    class("zip bomb", Says::Error, |seed, _| Some(pack::zip(&[(&seed.name, &swollen(seed)?)]))),
    class("gzip bomb", Says::Error, |seed, _| Some(pack::gzip(&swollen(seed)?))),
    class("two recordings in an archive", Says::Error, |seed, _| {
        if seed.format == "container" {
            return None;
        }
        let second = format!("b-{}", seed.name);
        Some(pack::zip(&[(&seed.name, &seed.bytes), (&second, &seed.bytes)]))
    }),
    class("an archive without a recording", Says::Error, |_, _| {
        Some(pack::zip(&[("readme.md", b"Thank you.\n")]))
    }),
    class("bit flipped, 1", Says::Sound, flipped),
    class("bit flipped, 2", Says::Sound, flipped),
    class("bit flipped, 3", Says::Sound, flipped),
    class("bit flipped, 4", Says::Sound, flipped),
    class("byte lost, 1", Says::Sound, lost),
    class("byte lost, 2", Says::Sound, lost),
    class("byte lost, 3", Says::Sound, lost),
    class("a block twice", Says::Sound, |seed, _| {
        let (start, end) = (seed.bytes.len() / 3, seed.bytes.len() * 2 / 3);
        Some([&seed.bytes[..end], &seed.bytes[start..]].concat())
    }),
];

const MARK: &[u8] = b"\xef\xbb\xbf";

fn find(bytes: &[u8], piece: &[u8]) -> Option<usize> {
    bytes.windows(piece.len().max(1)).position(|window| window == piece)
}

/// The middle one of the places where a piece stands.
fn middle_of(bytes: &[u8], piece: &[u8]) -> Option<usize> {
    let windows = bytes.windows(piece.len().max(1)).enumerate();
    let all: Vec<usize> =
        windows.filter(|(_, window)| *window == piece).map(|(at, _)| at).collect();
    all.get(all.len() / 2).copied()
}

/// Lines with their ends, of a file that has several.
fn several_lines(seed: &Seed) -> Option<Vec<&[u8]>> {
    let lines: Vec<&[u8]> = text(seed)?.as_bytes().split_inclusive(|&byte| byte == b'\n').collect();
    (lines.len() > 3).then_some(lines)
}

/// The longest run of lines that begin and measure alike.
fn data_lines(lines: &[&[u8]]) -> Option<(usize, usize)> {
    let alike = |a: &[u8], b: &[u8]| {
        a.len().abs_diff(b.len()) * 8 <= a.len()
            && a.first().map(u8::is_ascii_digit) == b.first().map(u8::is_ascii_digit)
    };
    let mut best = (0, 0);
    let mut first = 0;
    for at in 1..=lines.len() {
        if at == lines.len() || !alike(lines[at - 1], lines[at]) {
            if at - first > best.1 - best.0 {
                best = (first, at);
            }
            first = at;
        }
    }
    (best.1 - best.0 > 2).then_some(best)
}

/// A line of data in the middle.
fn middle_line(seed: &Seed) -> Option<Vec<u8>> {
    let lines = several_lines(seed)?;
    let (first, last) = data_lines(&lines)?;
    Some(lines[first.midpoint(last)].to_vec())
}

fn line_inserted(seed: &Seed, line: &[u8]) -> Option<Vec<u8>> {
    let lines = several_lines(seed)?;
    let (first, last) = data_lines(&lines)?;
    let (before, after) = lines.split_at(first.midpoint(last));
    let end: &[u8] = if line.ends_with(b"\n") { b"" } else { b"\n" };
    Some([before.concat().as_slice(), line, end, after.concat().as_slice()].concat())
}

/// A piece inserted in the middle of the middle number of the data.
fn inserted(seed: &Seed, piece: &[u8]) -> Option<Vec<u8>> {
    let at = place_of(seed)? + 1;
    Some([&seed.bytes[..at], piece, &seed.bytes[at..]].concat())
}

/// Where the latitude in the middle of the file stands: the good files are all flown at 46 degrees north.
fn place_of(seed: &Seed) -> Option<usize> {
    let windows = seed.bytes.windows(3).enumerate();
    let places: Vec<usize> = windows
        .filter(|(_, three)| three.starts_with(b"46") && b".,3".contains(&three[2]))
        .map(|(at, _)| at)
        .filter(|&at| at == 0 || !seed.bytes[at - 1].is_ascii_digit() || seed.format == "igc")
        .collect();
    places.get(places.len() / 2).copied()
}

fn replaced_place(seed: &Seed, by: &[u8]) -> Option<Vec<u8>> {
    let at = place_of(seed)?;
    Some([&seed.bytes[..at], by, &seed.bytes[at + 2..]].concat())
}

/// The whole number, where numbers have no fixed place.
fn replaced_number(seed: &Seed, by: &[u8]) -> Option<Vec<u8>> {
    let at = place_of(seed)?;
    let of = |byte: &u8| byte.is_ascii_digit() || *byte == b'.';
    let length = match seed.format {
        "igc" => 7,
        _ => seed.bytes[at..].iter().take_while(|byte| of(byte)).count(),
    };
    Some([&seed.bytes[..at], by, &seed.bytes[at + length..]].concat())
}

fn cut_last_line(seed: &Seed, _: &mut Random) -> Option<Vec<u8>> {
    let lines = several_lines(seed)?;
    let (first, last) = data_lines(&lines)?;
    // the data end there, two bytes short of the line's end
    let kept = lines[first..last].concat();
    let kept = kept.trim_ascii_end();
    Some([lines[..first].concat().as_slice(), &kept[..kept.len() - 2]].concat())
}

/// The file as text, unless it is none.
fn text(seed: &Seed) -> Option<&str> {
    std::str::from_utf8(&seed.bytes).ok().filter(|text| !text.contains('\0'))
}

fn line_ends(seed: &Seed, end: &[u8]) -> Option<Vec<u8>> {
    let bytes = text(seed)?.as_bytes();
    let mut out = Vec::with_capacity(bytes.len() * 2);
    for line in bytes.split_inclusive(|&byte| byte == b'\n') {
        out.extend_from_slice(line.trim_ascii_end());
        if line.ends_with(b"\n") {
            out.extend_from_slice(end);
        }
    }
    Some(out)
}

fn wide(seed: &Seed, order: fn(u16) -> [u8; 2]) -> Option<Vec<u8>> {
    Some(text(seed)?.encode_utf16().flat_map(order).collect())
}

/// Where the root of an XML document begins.
fn document_root(seed: &Seed) -> Option<usize> {
    let roots: [&[u8]; 2] = [b"<gpx", b"<kml"];
    roots.iter().find_map(|root| find(&seed.bytes, root))
}

/// A file of 24 MiB that packs to next to nothing.
fn swollen(seed: &Seed) -> Option<Vec<u8>> {
    // once a format: it is the archive that is tried, and it takes its time
    let names = ["extensions.igc", "two_segments.gpx", "phone_sensors.csv", "receiver.nmea"];
    if !names.contains(&seed.name.as_str()) {
        return None;
    }
    let line = match middle_line(seed) {
        Some(line) => line,
        None => seed.bytes.split_inclusive(|&byte| byte == b'\n').next()?.to_vec(),
    };
    let times = (24 << 20) / line.len();
    line_inserted(seed, &line.repeat(times))
        .or_else(|| Some([line.repeat(times), seed.bytes.clone()].concat()))
}

fn flipped(seed: &Seed, random: &mut Random) -> Option<Vec<u8>> {
    let mut bytes = seed.bytes.clone();
    let at = random.below(bytes.len());
    *bytes.get_mut(at)? ^= 1 << random.below(8);
    Some(bytes)
}

fn lost(seed: &Seed, random: &mut Random) -> Option<Vec<u8>> {
    let mut bytes = seed.bytes.clone();
    let at = random.below(bytes.len());
    bytes.remove(at);
    Some(bytes)
}
