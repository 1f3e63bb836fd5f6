//! What must hold for any bytes: no panic, little time and memory, a sound recording or an error with place and hint.

use recording::{Fix, ReadError, ReadOptions, Recording};
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::time::{Duration, Instant};

/// Longest time for one input, whatever the machine does beside.
pub const TIME_MOST: Duration = Duration::from_secs(2);
/// Most memory for one input, bytes.
pub const MEMORY_MOST: u64 = 256 << 20;
/// Longest message, bytes: one screen.
const MESSAGE_MOST: usize = 4096;

/// How bytes are read: one reader, or the probe with its containers.
pub type Read<'a> = &'a dyn Fn(&[u8], &ReadOptions) -> Result<Recording, ReadError>;

/// Time of this thread on a processor, which what runs beside does not lengthen; `None` where the system does not tell.
fn on_processor() -> Option<Duration> {
    let text = std::fs::read_to_string("/proc/thread-self/schedstat").ok()?;
    text.split(' ').next()?.parse().ok().map(Duration::from_nanos)
}

/// What one run cost and gave.
#[derive(Debug)]
pub struct Outcome {
    /// Wall time.
    pub time: Duration,
    /// Peak of memory, bytes.
    pub memory: u64,
    /// Kind of result: equal for inputs that went the same way, as far as messages tell.
    pub way: u64,
    /// What did not hold, if anything.
    pub fault: Option<String>,
}

/// Reads once and checks everything; an input that seems slow is read once more by the clock of the processor.
#[must_use]
pub fn run(read: Read<'_>, bytes: &[u8]) -> Outcome {
    let first = once(read, bytes);
    if first.time <= TIME_MOST {
        return first;
    }
    let begin = on_processor();
    let mut second = once(read, bytes);
    if let (Some(begin), Some(end)) = (begin, on_processor()) {
        second.time = end.saturating_sub(begin);
    }
    if second.fault.is_none() && second.time > TIME_MOST {
        second.fault = Some(format!("slow: {:.1} s", second.time.as_secs_f64()));
    }
    second
}

fn once(read: Read<'_>, bytes: &[u8]) -> Outcome {
    let options = ReadOptions { name: "hostile".into(), ..ReadOptions::default() };
    let mut result = None;
    let begin = Instant::now();
    let cost = allocation_counter::measure(|| {
        result = Some(catch_unwind(AssertUnwindSafe(|| read(bytes, &options))));
    });
    let time = begin.elapsed();
    let memory = cost.bytes_max;
    let (way, fault) = match result {
        Some(Ok(Ok(recording))) => (way_of(&recording), unsound(&recording).err()),
        Some(Ok(Err(error))) => (way_of_error(&error), unhelpful(&error, bytes).err()),
        Some(Err(panic)) => (0, Some(format!("panic: {}", words(panic.as_ref())))),
        None => (0, Some("nothing came back".into())),
    };
    let fault = fault.or_else(|| (memory > MEMORY_MOST).then(|| format!("memory: {memory} bytes")));
    Outcome { time, memory, way, fault }
}

fn words(panic: &(dyn std::any::Any + Send)) -> String {
    let text = panic.downcast_ref::<&str>().map(|text| (*text).to_owned());
    text.or_else(|| panic.downcast_ref::<String>().cloned())
        .unwrap_or_else(|| "without words".into())
}

/// What is wrong with a recording, in words.
///
/// # Errors
/// The first promise of the normal form that does not hold.
pub fn unsound(recording: &Recording) -> Result<(), String> {
    if recording.fixes.is_empty() && recording.series.is_empty() {
        return Err("neither fixes nor series, and no error".into());
    }
    rising("fixes", recording.fixes.iter().map(|fix| fix.time_s))?;
    for fix in &recording.fixes {
        sound_fix(fix)?;
    }
    for series in &recording.series {
        let name = &series.origin;
        if series.times_s.len() != series.values.len() || series.values.is_empty() {
            return Err(format!(
                "{name}: {} times, {} values",
                series.times_s.len(),
                series.values.len()
            ));
        }
        rising(name, series.times_s.iter().copied())?;
        let plausible = series.quantity.plausible();
        if let Some(value) = series.values.iter().find(|value| !plausible.contains(value)) {
            return Err(format!("{name}: {value} cannot be"));
        }
    }
    for gap in &recording.gaps {
        if gap.from_s.partial_cmp(&gap.to_s) != Some(std::cmp::Ordering::Less) {
            return Err(format!("a gap from {} to {} s", gap.from_s, gap.to_s));
        }
    }
    recording.notes.iter().try_for_each(|note| readable("note", &note.text))
}

fn sound_fix(fix: &Fix) -> Result<(), String> {
    let within = |name: &str, value: Option<f64>, least: f64, most: f64| match value {
        Some(value) if !(least..=most).contains(&value) => Err(format!("{name} {value} cannot be")),
        _ => Ok(()),
    };
    within("latitude", Some(fix.latitude_deg), -90.0, 90.0)?;
    within("longitude", Some(fix.longitude_deg), -180.0, 180.0)?;
    within("height", fix.height_m, -1000.0, 20_000.0)?;
    within("ground speed", fix.ground_speed_mps, 0.0, 400.0)?;
    within("track", fix.track_deg, 0.0, 360.0_f64.next_down())?;
    within("climb", fix.climb_mps, -200.0, 200.0)
}

fn rising(name: &str, times_s: impl Iterator<Item = f64>) -> Result<(), String> {
    let mut last_s = f64::NEG_INFINITY;
    for time_s in times_s {
        if !time_s.is_finite() || time_s < 0.0 || time_s <= last_s {
            return Err(format!("{name}: time {time_s} s after {last_s} s"));
        }
        last_s = time_s;
    }
    Ok(())
}

/// A message for people: not empty, not endless, nothing that steers a terminal.
fn readable(what: &str, text: &str) -> Result<(), String> {
    if text.trim().is_empty() {
        return Err(format!("{what}: empty"));
    }
    if text.len() > MESSAGE_MOST {
        return Err(format!("{what}: {} bytes long", text.len()));
    }
    match text.chars().find(|letter| letter.is_control()) {
        Some(letter) => Err(format!("{what}: holds the control character {letter:?}")),
        None => Ok(()),
    }
}

fn unhelpful(error: &ReadError, bytes: &[u8]) -> Result<(), String> {
    readable("error", &error.to_string())?;
    readable("hint", error.hint())?;
    // in an archive or UTF-16, places are those of the text inside
    let plain = !bytes.contains(&0) && !recording::formats::containers::is_container(bytes);
    if plain && let ReadError::Malformed { place, .. } | ReadError::Limit { place, .. } = error {
        let lines = bytes.iter().filter(|&&byte| byte == b'\n' || byte == b'\r').count() as u64;
        if place.line > lines + 1 {
            return Err(format!("line {} of a file of {lines}", place.line));
        }
        if place.byte.is_some_and(|byte| byte > bytes.len() as u64 + 64) {
            return Err(format!("byte {:?} of a file of {}", place.byte, bytes.len()));
        }
    }
    Ok(())
}

/// A text without its numbers, so that "3 fixes" and "4 fixes" are the same way.
fn mix(way: u64, text: &str) -> u64 {
    let mut way = way;
    let mut quoted = false;
    for byte in text.bytes().filter(|byte| !byte.is_ascii_digit()) {
        quoted ^= byte == b'\'';
        if !quoted {
            way = (way ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3);
        }
    }
    way
}

fn way_of(recording: &Recording) -> u64 {
    let size = |count: usize| u64::from(usize::BITS - count.leading_zeros());
    let mut way = mix(0xcbf2_9ce4_8422_2325, recording.format);
    way = way.wrapping_mul(31) ^ size(recording.fixes.len());
    way = way.wrapping_mul(31) ^ recording.series.len() as u64;
    way = way.wrapping_mul(31) ^ size(recording.gaps.len());
    for note in &recording.notes {
        let text = note.text.get(..note.text.floor_char_boundary(60)).unwrap_or("");
        way = mix(way, text);
    }
    way
}

fn way_of_error(error: &ReadError) -> u64 {
    let text = error.to_string();
    mix(1, &text[..text.floor_char_boundary(48)])
}

/// Reads as one reader does (a key of [`recording::formats::ALL`], or "read" for the probe) and insists on every promise.
///
/// # Panics
/// When one does not hold, or there is no such reader.
pub fn insist(key: &str, bytes: &[u8]) {
    let format = recording::formats::ALL.iter().find(|format| format.key == key);
    assert!(format.is_some() || key == "read", "no reader {key}");
    let outcome = run(
        &|bytes, options| match format {
            Some(format) => format.read(bytes, options),
            None => recording::read(bytes, options),
        },
        bytes,
    );
    assert!(outcome.fault.is_none(), "{key}: {}", outcome.fault.unwrap_or_default());
}
