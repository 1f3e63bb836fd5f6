//! `skychalk.airplane-build/1`: an airplane made of the figures of its flight manual.

use handbook::figures::Figures;
use handbook::file::Built;
use handbook::fit::Fitted;
use handbook::outlook;
use schemars::JsonSchema;
use serde::Serialize;

use crate::number::{rounded, significant};

/// Name of the document and its version.
pub const SCHEMA: &str = "skychalk.airplane-build/1";

/// An airplane made of figures.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct AirplaneBuild {
    /// Always `skychalk.airplane-build/1`.
    pub schema: &'static str,
    /// Stable key of the airplane.
    pub id: String,
    /// As people call it.
    pub name: String,
    /// Where the figures come from.
    pub source: String,
    /// Each figure beside the fit, in the order they are used.
    pub figures: Vec<FigureOut>,
    /// Figures that do not go with the others, in words, worst first.
    pub contradictions: Vec<String>,
    /// What the airplane will do, at greatest mass in standard air.
    pub predictions: Vec<PredictionOut>,
    /// What one more figure would take away, most first.
    pub helpful: Vec<HelpfulOut>,
    /// The fitted unknowns, SI.
    pub unknowns: Vec<UnknownOut>,
    /// What is not of the manual, or left out.
    pub notes: Vec<String>,
    /// The airplane file.
    pub airplane_file: String,
}

/// A figure beside the fit.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct FigureOut {
    /// Line of the file of figures.
    pub line: usize,
    /// In words.
    pub words: String,
    /// Unit of the values, empty for a ratio.
    pub unit: String,
    /// What the manual says.
    pub handbook: f64,
    /// What the airplane does.
    pub model: f64,
    /// What all other figures and the class say.
    pub others: f64,
    /// One standard deviation of the difference between the figure and that.
    pub others_sigma: f64,
    /// That difference in standard deviations.
    pub standardized: f64,
    /// Whether the figure was left out of the fit.
    pub set_aside: bool,
    /// Line of the figure that it contradicts most; `null` when it contradicts none.
    pub against_line: Option<usize>,
}

/// A predicted value with its 95 % band.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct PredictionOut {
    /// In words.
    pub words: String,
    /// Unit of the values, empty for a ratio.
    pub unit: String,
    /// Value.
    pub value: f64,
    /// Low end of the band.
    pub low: f64,
    /// High end of the band.
    pub high: f64,
}

/// A figure that is not there yet.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct HelpfulOut {
    /// In words.
    pub words: String,
    /// Expected share of the variance taken away, 0 to 1.
    pub share: f64,
}

/// A fitted unknown.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct UnknownOut {
    /// Key.
    pub key: String,
    /// In words.
    pub words: String,
    /// Value, SI.
    pub value: f64,
    /// One standard deviation as a share of the value.
    pub sigma_share: f64,
    /// What the class says before any figure.
    pub usual: f64,
    /// Where that comes from.
    pub source: String,
}

impl AirplaneBuild {
    /// From the engine's values.
    #[must_use]
    pub fn new(figures: &Figures, fitted: &Fitted, built: &Built) -> Self {
        let helpful = |one: handbook::fit::Helpful| HelpfulOut {
            words: one.words.into(),
            share: rounded(one.share, 3),
        };
        let contradictions = fitted.contradictions();
        Self {
            schema: SCHEMA,
            id: figures.id.clone(),
            name: figures.name.clone(),
            source: figures.source.clone(),
            figures: (0..fitted.evidence.len()).map(|i| figure(fitted, i)).collect(),
            contradictions: contradictions
                .into_iter()
                .map(|i| fitted.contradiction_words(i))
                .collect(),
            predictions: outlook::of(figures, fitted).into_iter().map(prediction).collect(),
            helpful: fitted.helpful(figures).into_iter().map(helpful).collect(),
            unknowns: (0..fitted.unknowns.len()).map(|i| unknown(fitted, i)).collect(),
            notes: built.notes.iter().chain(&fitted.notes).cloned().collect(),
            airplane_file: built.text.clone(),
        }
    }
}

/// A prediction as it is written.
pub(crate) fn prediction(one: outlook::Prediction) -> PredictionOut {
    let (low, high) = one.band.ends();
    let value = |si: f64| rounded(si / one.unit.scale, 3);
    PredictionOut {
        words: one.words.into(),
        unit: one.unit.symbol.into(),
        value: value(one.band.value),
        low: value(low),
        high: value(high),
    }
}

pub(crate) fn figure(fitted: &Fitted, i: usize) -> FigureOut {
    let (one, residual) = (&fitted.evidence[i], &fitted.residuals[i]);
    let value = |si: f64| rounded(si / one.unit.scale, 3);
    FigureOut {
        line: one.line,
        words: one.words.clone(),
        unit: one.unit.symbol.into(),
        handbook: value(one.value),
        model: value(residual.model),
        others: value(residual.others.value),
        others_sigma: value(residual.others.sigma),
        standardized: rounded(residual.standardized, 2),
        set_aside: residual.set_aside,
        against_line: residual.against.map(|other| fitted.evidence[other].line),
    }
}

pub(crate) fn unknown(fitted: &Fitted, i: usize) -> UnknownOut {
    let unknown = &fitted.unknowns[i];
    UnknownOut {
        key: unknown.key.clone(),
        words: unknown.words.clone(),
        value: significant(fitted.values[i], 5),
        sigma_share: rounded(fitted.sigma_log(i), 4),
        usual: significant(unknown.usual, 5),
        source: unknown.source.into(),
    }
}
