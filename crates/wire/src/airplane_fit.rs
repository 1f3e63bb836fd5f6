//! `skychalk.airplane-fit/1`: an airplane of the figures of its manual and of its own flights.

use base::factors::{MPS_PER_FPM, MPS_PER_KT};
use handbook::figures::Figures;
use handbook::file::Built;
use handbook::flown::Updated;
use handbook::flown::indicator::Row;
use handbook::flown::pulls::Engine;
use handbook::flown::update::{Compared, FlightFound};
use handbook::outlook;
use schemars::JsonSchema;
use serde::Serialize;

use crate::airplane_build::{FigureOut, PredictionOut, UnknownOut, figure, prediction, unknown};
use crate::number::{Estimate, rounded};

/// Name of the document and its version.
pub const SCHEMA: &str = "skychalk.airplane-fit/1";

/// What the document is made from: figures, fit, position error, airplane file.
pub type Parts<'a> = (&'a Figures, &'a Updated, &'a [Row], &'a Built);

/// An airplane of figures and flights.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct AirplaneFit {
    /// Always `skychalk.airplane-fit/1`.
    pub schema: &'static str,
    /// Stable key of the airplane.
    pub id: String,
    /// As people call it.
    pub name: String,
    /// Whether figures and flights go together; else nothing of the rest is to be relied on and there is no airplane file.
    pub believed: bool,
    /// Why not, with numbers and what to do.
    pub doubtful: Vec<DoubtOut>,
    /// What each flight says of its mass and airspeed.
    pub flights: Vec<FlightOut>,
    /// Stretches that were used, in the order of the flights.
    pub stretches: Vec<StretchOut>,
    /// Each figure of the manual beside the fit.
    pub figures: Vec<FigureOut>,
    /// What the airplane will do at greatest mass in standard air, by the figures alone.
    pub predictions_before: Vec<PredictionOut>,
    /// The same by figures and flights.
    pub predictions: Vec<PredictionOut>,
    /// Position error of the airspeed system, where an indicated airspeed was recorded with positions.
    pub position_error: Vec<PositionOut>,
    /// The fitted unknowns, SI.
    pub unknowns: Vec<UnknownOut>,
    /// What is not of the manual, or left out.
    pub notes: Vec<String>,
    /// The airplane file; `null` when the flights are not believed.
    pub airplane_file: Option<String>,
}

/// A reason not to believe.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct DoubtOut {
    /// What is wrong.
    pub what: String,
    /// What to do.
    pub hint: String,
}

/// A flight.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct FlightOut {
    /// Name of the recording.
    pub name: String,
    /// Mass told, or the usual one.
    pub mass_kg: f64,
    /// Whether it was told.
    pub mass_told: bool,
    /// Mass that the flight shows over that one.
    pub mass_share: Estimate,
    /// True airspeed that the flight shows over the one found.
    pub airspeed_share: Estimate,
    /// Stretches used.
    pub stretches_used: usize,
    /// Stretches found.
    pub stretches_found: usize,
}

/// A stretch of a flight.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct StretchOut {
    /// Number of the flight, from one.
    pub flight: usize,
    /// Beginning, from time zero of its recording.
    pub start_s: f64,
    /// In the pilot's words.
    pub kind: String,
    /// What pulled: "full", "idle", "rpm".
    pub engine: String,
    /// Mean calibrated airspeed.
    pub calibrated_kt: f64,
    /// Mean load factor.
    pub load_factor: f64,
    /// Specific excess power flown (rate of climb with change of speed counted in).
    pub flown_fpm: f64,
    /// By the figures alone; `null` where they do not know what the engine gave.
    pub before_fpm: Option<f64>,
    /// By figures and flights.
    pub after_fpm: f64,
    /// Residual after, in standard deviations.
    pub standardized: f64,
    /// Whether it was left out of the fit.
    pub set_aside: bool,
}

/// Position error in a band of speeds.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct PositionOut {
    /// Shown.
    pub indicated_kt: f64,
    /// Calibrated less indicated.
    pub error_kt: Estimate,
    /// Seconds it rests on.
    pub seconds: usize,
}

/// What pulled, as a key.
fn engine(engine: Engine) -> &'static str {
    match engine {
        Engine::Full => "full",
        Engine::Idle => "idle",
        Engine::Turning | Engine::Unknown => "rpm",
    }
}

impl AirplaneFit {
    /// From the engine's values.
    #[must_use]
    pub fn new((figures, updated, position, built): Parts<'_>) -> Self {
        let after = &updated.after;
        let believed = updated.doubtful.is_empty();
        let doubt = |one: &handbook::flown::Doubtful| DoubtOut {
            what: one.what.clone(),
            hint: one.hint.clone(),
        };
        let of_figures = (0..after.evidence.len()).filter(|i| after.evidence[*i].line > 0);
        Self {
            schema: SCHEMA,
            id: figures.id.clone(),
            name: figures.name.clone(),
            believed,
            doubtful: updated.doubtful.iter().map(doubt).collect(),
            flights: updated.flights.iter().map(flight).collect(),
            stretches: updated.stretches.iter().map(stretch).collect(),
            figures: of_figures.map(|i| figure(after, i)).collect(),
            predictions_before: outlook::of(figures, &updated.before)
                .into_iter()
                .map(prediction)
                .collect(),
            predictions: outlook::of(figures, after).into_iter().map(prediction).collect(),
            position_error: position.iter().map(self::position).collect(),
            unknowns: (0..after.unknowns.len()).map(|i| unknown(after, i)).collect(),
            notes: built.notes.iter().chain(&after.notes).cloned().collect(),
            airplane_file: believed.then(|| built.text.clone()),
        }
    }
}

fn estimate((value, sigma): (f64, f64), decimals: i32) -> Estimate {
    Estimate { value: rounded(value, decimals), sigma: rounded(sigma, decimals) }
}

fn flight(one: &FlightFound) -> FlightOut {
    FlightOut {
        name: one.name.rsplit(['/', '\\']).next().unwrap_or(&one.name).into(),
        mass_kg: rounded(one.mass_kg, 1),
        mass_told: one.mass_told,
        mass_share: estimate(one.mass_share, 4),
        airspeed_share: estimate(one.speed_share, 4),
        stretches_used: one.used,
        stretches_found: one.found,
    }
}

fn stretch(one: &Compared) -> StretchOut {
    let fpm = |mps: f64| rounded(mps / MPS_PER_FPM, 0);
    StretchOut {
        flight: one.flight + 1,
        start_s: rounded(one.start_s, 1),
        kind: one.kind.words().into(),
        engine: engine(one.engine).into(),
        calibrated_kt: rounded(one.calibrated_mps / MPS_PER_KT, 1),
        load_factor: rounded(one.load, 2),
        flown_fpm: fpm(one.flown_mps),
        before_fpm: one.before_mps.map(fpm),
        after_fpm: fpm(one.after_mps),
        standardized: rounded(one.standardized, 2),
        set_aside: one.set_aside,
    }
}

fn position(row: &Row) -> PositionOut {
    PositionOut {
        indicated_kt: rounded(row.indicated_mps / MPS_PER_KT, 1),
        error_kt: estimate((row.error_mps / MPS_PER_KT, row.sigma_mps / MPS_PER_KT), 1),
        seconds: row.seconds,
    }
}
