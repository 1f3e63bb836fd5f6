//! Numbers as they are written: rounded to a stated count of decimals; a value with one standard deviation.

use base::factors::{M_PER_FT, MPS_PER_KT, RAD_PER_DEG};
use schemars::JsonSchema;
use serde::Serialize;

/// A value with one standard deviation of its error.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct Estimate {
    /// Most likely value, in the unit that ends the name of the member.
    pub value: f64,
    /// One standard deviation, same unit.
    pub sigma: f64,
}

/// A column of values with one standard deviation each.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct EstimateColumn {
    /// Most likely values.
    pub value: Vec<f64>,
    /// One standard deviation each, same length.
    pub sigma: Vec<f64>,
}

/// Rounded half away from zero to this count of decimals; minus zero becomes zero.
#[must_use]
pub fn rounded(value: f64, decimals: i32) -> f64 {
    let scale = 10f64.powi(decimals);
    let out = (value * scale).round() / scale;
    if out == 0.0 { 0.0 } else { out }
}

/// Rounded to this count of significant digits (one to seventeen); minus zero becomes zero.
#[must_use]
pub fn significant(value: f64, digits: usize) -> f64 {
    let text = format!("{value:.*e}", digits.saturating_sub(1));
    let out = text.parse().unwrap_or(value);
    if out == 0.0 { 0.0 } else { out }
}

/// Seconds to the millisecond.
pub(crate) fn seconds(value_s: f64) -> f64 {
    rounded(value_s, 3)
}
/// Degrees to the hundredth.
pub(crate) fn degrees(value_rad: f64) -> f64 {
    rounded(value_rad / RAD_PER_DEG, 2)
}
/// Knots to the hundredth.
pub(crate) fn knots(value_mps: f64) -> f64 {
    rounded(value_mps / MPS_PER_KT, 2)
}
/// Feet to the tenth.
pub(crate) fn feet(value_m: f64) -> f64 {
    rounded(value_m / M_PER_FT, 1)
}

/// An engine estimate, rounded; the sigma keeps one decimal more than it needs so that it never shows as nil.
pub(crate) fn estimate(engine: assess::attempt::Estimate) -> Estimate {
    Estimate { value: rounded(engine.value, 3), sigma: rounded(engine.sigma, 4) }
}

/// As [`estimate`]; what could not be measured, or is not finite, is null.
pub(crate) fn maybe(engine: Option<assess::attempt::Estimate>) -> Option<Estimate> {
    engine.filter(|e| e.value.is_finite() && e.sigma.is_finite()).map(estimate)
}
