//! `skychalk.maneuver/1`: the catalogue.

use maneuver::definition::{Maneuver, Sourced};
use schemars::JsonSchema;
use serde::Serialize;

/// Name of the document and its version.
pub const SCHEMA: &str = "skychalk.maneuver/1";

/// The catalogue, or a part of it.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct ManeuverList {
    /// Always `skychalk.maneuver/1`.
    pub schema: &'static str,
    /// In the order of the catalogue.
    pub maneuvers: Vec<ManeuverEntry>,
}

/// One maneuver.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct ManeuverEntry {
    /// Catalogue key.
    pub id: &'static str,
    /// As people call it.
    pub title: &'static str,
    /// What it teaches.
    pub purpose: Statement,
    /// The ways it is flown, the usual one first.
    pub forms: Vec<FormEntry>,
    /// Parts flown one after the other.
    pub parts: usize,
    /// Whether each part goes the opposite way of the one before.
    pub alternating: bool,
    /// Whether left and right are different figures.
    pub sided: bool,
    /// What the progress angle counts: `turn`, `pitch`, `roll`, `phase` or `position`.
    pub progress: &'static str,
    /// Progress of one part, degrees.
    pub span_deg: f64,
    /// Progress at which one part is read, degrees.
    pub checkpoints_deg: Vec<f64>,
    /// How it is entered.
    pub entry: Vec<Statement>,
    /// The errors known to the trade.
    pub errors: Vec<Statement>,
    /// Cautions and rules of this figure.
    pub cautions: Vec<Statement>,
    /// Nothing of it goes below this height above the ground, ft.
    pub floor_ft: f64,
    /// Says that no published standard exists; null where one does.
    pub unpublished: Option<Statement>,
    /// Why it is shown as a hazard, never proposed without its checks; null for exercises.
    pub hazard: Option<Statement>,
    /// Whether recordings are searched for it.
    pub sought: bool,
}

/// One way of flying a maneuver.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct FormEntry {
    /// Stable key.
    pub key: &'static str,
    /// As people call it.
    pub title: &'static str,
    /// What makes it this form.
    pub description: Statement,
    /// Whether the airplane needs an entry for it in its list of approved maneuvers.
    pub needs_approval: bool,
    /// Why it is kept as history and not flown here; null for forms that are flown.
    pub history: Option<Statement>,
}

/// A statement with the key of its source.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Statement {
    /// The statement.
    pub text: &'static str,
    /// Source key; `common-practice` when no source is published, `from-memory` when still to be confirmed.
    pub source: &'static str,
}

impl From<Sourced> for Statement {
    fn from(sourced: Sourced) -> Self {
        Self { text: sourced.text, source: sourced.source }
    }
}

impl ManeuverList {
    /// The document for these maneuvers.
    #[must_use]
    pub fn new(maneuvers: &[&dyn Maneuver]) -> Self {
        Self { schema: SCHEMA, maneuvers: maneuvers.iter().map(|m| entry(*m)).collect() }
    }
}

fn entry(maneuver: &dyn Maneuver) -> ManeuverEntry {
    let shape = maneuver.shape();
    let statements = |list: &[Sourced]| list.iter().map(|&line| line.into()).collect();
    let form = |form: &maneuver::Form| FormEntry {
        key: form.key,
        title: form.title,
        description: form.description.into(),
        needs_approval: maneuver.needs_approval(form),
        history: maneuver.history(form).map(Into::into),
    };
    ManeuverEntry {
        id: maneuver.id(),
        title: maneuver.title(),
        purpose: maneuver.purpose().into(),
        forms: maneuver.forms().iter().map(form).collect(),
        parts: shape.parts,
        alternating: shape.alternating,
        sided: shape.sided,
        progress: shape.progress.key(),
        span_deg: shape.span_deg,
        checkpoints_deg: shape.checkpoints_deg.to_vec(),
        entry: statements(maneuver.entry()),
        errors: statements(maneuver.errors()),
        cautions: statements(maneuver.cautions()),
        floor_ft: crate::number::rounded(maneuver.floor().above_ground.to_ft(), 1),
        unpublished: maneuver.unpublished().map(Into::into),
        hazard: maneuver.hazard().map(Into::into),
        sought: shape.sought,
    }
}
