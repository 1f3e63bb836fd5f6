//! `skychalk.validate/1`: the engine held against published figures, value by value.

use schemars::JsonSchema;
use serde::Serialize;
use validation as engine;

use crate::number::significant;

/// Name of the document and its version.
pub const SCHEMA: &str = "skychalk.validate/1";

/// Significant digits of values and references, and of differences and tolerances.
const DIGITS: (usize, usize) = (12, 4);

/// Checks, group by group.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Validation {
    /// Always `skychalk.validate/1`.
    pub schema: &'static str,
    /// In the order of the groups.
    pub checks: Vec<CheckOut>,
}

/// One comparison. Figures are null when it was not made, or when they are not finite.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct CheckOut {
    /// Stable key.
    pub id: String,
    /// Key of its group.
    pub group: &'static str,
    /// What the engine gives.
    pub value: Option<f64>,
    /// What it should be, or the bound.
    pub reference: Option<f64>,
    /// Value less reference; for a bound, by how much it is passed.
    pub difference: Option<f64>,
    /// Greatest difference allowed, either way.
    pub tolerance: Option<f64>,
    /// Unit of the four; empty for a ratio.
    pub unit: &'static str,
    /// `met`, `not met` or `skipped`.
    pub verdict: &'static str,
    /// Key of the source and the place in it.
    pub source: String,
    /// What else must be said; may be empty.
    pub note: String,
}

impl Validation {
    /// The document for these checks.
    #[must_use]
    pub fn new(checks: &[engine::Check]) -> Self {
        Self { schema: SCHEMA, checks: checks.iter().map(check).collect() }
    }
}

fn check(check: &engine::Check) -> CheckOut {
    let figure = |figure: Option<f64>, digits| {
        figure.filter(|value| value.is_finite()).map(|value| significant(value, digits))
    };
    CheckOut {
        id: check.id.clone(),
        group: check.group,
        value: figure(check.value, DIGITS.0),
        reference: figure(check.reference, DIGITS.0),
        difference: figure(check.difference, DIGITS.1),
        tolerance: figure(check.tolerance, DIGITS.1),
        unit: check.unit,
        verdict: check.verdict.word(),
        source: check.source.clone(),
        note: check.note.clone(),
    }
}
