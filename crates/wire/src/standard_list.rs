//! `skychalk.standard/1`: standards with their rows and sources.

use maneuver::standard as engine;
use schemars::JsonSchema;
use serde::Serialize;

/// Name of the document and its version.
pub const SCHEMA: &str = "skychalk.standard/1";

/// Standards.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct StandardList {
    /// Always `skychalk.standard/1`.
    pub schema: &'static str,
    /// In the order of the list.
    pub standards: Vec<StandardEntry>,
}

/// One standard.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct StandardEntry {
    /// Stable key.
    pub id: String,
    /// As people call it.
    pub title: String,
    /// Licence it belongs to.
    pub licence: String,
    /// Edition.
    pub edition: String,
    /// Its rows.
    pub rows: Vec<RowOut>,
}

/// One tolerance.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct RowOut {
    /// Catalogue key of the maneuver.
    pub maneuver: String,
    /// Forms it applies to; empty for all.
    pub forms: Vec<String>,
    /// Stable key within the maneuver.
    pub id: String,
    /// What is measured.
    pub quantity: &'static str,
    /// Unit of target, plus and minus.
    pub unit: &'static str,
    /// Where it is measured: `at 90 deg of turn`, `at the end`, `throughout`, `greatest`, `least`.
    pub at: String,
    /// Wanted value.
    pub target: f64,
    /// Allowed above the target; null for no bound.
    pub plus: Option<f64>,
    /// Allowed below the target; null for no bound.
    pub minus: Option<f64>,
    /// As printed.
    pub tolerance: String,
    /// Source key and code.
    pub source: String,
    /// True when the figure is from memory and to be confirmed.
    pub from_memory: bool,
}

impl StandardList {
    /// The document for these standards.
    #[must_use]
    pub fn new(standards: &[engine::Standard]) -> Self {
        Self { schema: SCHEMA, standards: standards.iter().map(entry).collect() }
    }
}

fn entry(standard: &engine::Standard) -> StandardEntry {
    let row = |row: &engine::Row| RowOut {
        maneuver: row.maneuver.clone(),
        forms: row.forms.clone(),
        id: row.id.clone(),
        quantity: row.quantity.word(),
        unit: row.quantity.unit(),
        at: row.place.words(),
        target: row.target,
        plus: row.plus,
        minus: row.minus,
        tolerance: row.tolerance_text.clone(),
        source: row.source.clone(),
        from_memory: row.from_memory,
    };
    StandardEntry {
        id: standard.id.clone(),
        title: standard.title.clone(),
        licence: standard.licence.clone(),
        edition: standard.edition.clone(),
        rows: standard.rows.iter().map(row).collect(),
    }
}
