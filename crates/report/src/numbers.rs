//! How numbers are written: fixed decimals, a real minus sign, bands of 95 %.

use assess::attempt::Estimate;

/// Half width of a 95 % band in standard deviations of a normal error.
pub const SIGMAS_95: f64 = 1.96;

/// Fixed decimals with a real minus sign; minus zero is written as zero, what is not finite as a dash.
#[must_use]
pub fn fixed(value: f64, decimals: usize) -> String {
    if !value.is_finite() {
        return "–".into();
    }
    let text = format!("{:.decimals$}", value.abs());
    let nil = text.bytes().all(|byte| matches!(byte, b'0' | b'.'));
    if value < 0.0 && !nil { format!("−{text}") } else { text }
}

/// As [`fixed`], with a plus where the sign is the news.
#[must_use]
pub fn signed(value: f64, decimals: usize) -> String {
    let text = fixed(value, decimals);
    let nil = text.bytes().all(|byte| matches!(byte, b'0' | b'.'));
    if value > 0.0 && !nil { format!("+{text}") } else { text }
}

/// A value with its 95 % band: `82.3 ± 3.7`.
#[must_use]
pub fn banded(estimate: Estimate, decimals: usize) -> String {
    format!("{} ± {}", fixed(estimate.value, decimals), fixed(SIGMAS_95 * estimate.sigma, decimals))
}

/// As [`banded`]; what could not be measured is a dash.
#[must_use]
pub fn banded_or_dash(estimate: Option<Estimate>, decimals: usize) -> String {
    estimate.map_or_else(|| "–".into(), |estimate| banded(estimate, decimals))
}

/// Minutes and seconds from the first sample: `5:12`, hours only when needed.
#[must_use]
pub fn clock(time_s: f64) -> String {
    let whole = time_s.max(0.0).round() as u64;
    let (hours, minutes, seconds) = (whole / 3600, whole / 60 % 60, whole % 60);
    if hours > 0 {
        format!("{hours}:{minutes:02}:{seconds:02}")
    } else {
        format!("{minutes}:{seconds:02}")
    }
}
