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
    /// Since when it is in force, or until when it was; null when not known.
    pub in_force: Option<String>,
    /// Other editions with the same figures.
    pub same_figures_in: Vec<String>,
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
    /// Where it is measured: `at the start`, `at 90 deg of turn`, `before the break`, `at the end`, `in the level-off`, `throughout`,
    /// `greatest`, `least`.
    pub at: String,
    /// Wanted value.
    pub target: f64,
    /// Allowed above the target; null for no bound.
    pub plus: Option<f64>,
    /// Allowed below the target; null for no bound.
    pub minus: Option<f64>,
    /// Above the target and still excellent; null but for marking bands of our own.
    pub plus_excellent: Option<f64>,
    /// Below the target and still excellent.
    pub minus_excellent: Option<f64>,
    /// How much wider the band becomes for each meter a second of gusts found.
    pub wider_by_gusts: f64,
    /// True for a marking band of our own: a training aid, no published figure.
    pub training_aid: bool,
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
        plus_excellent: row.plus_excellent,
        minus_excellent: row.minus_excellent,
        wider_by_gusts: row.wider_by_gusts,
        training_aid: row.is_training_aid(),
        tolerance: row.tolerance_text.clone(),
        source: row.source.clone(),
        from_memory: row.from_memory,
    };
    StandardEntry {
        id: standard.id.clone(),
        title: standard.title.clone(),
        licence: standard.licence.clone(),
        edition: standard.edition.clone(),
        in_force: standard.in_force.clone(),
        same_figures_in: standard.same_figures_in.clone(),
        rows: standard.rows.iter().map(row).collect(),
    }
}
