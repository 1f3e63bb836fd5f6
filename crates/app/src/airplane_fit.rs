//! An airplane from the figures of its manual and from its own flights.

use base::numerics::interpolation::linear;
use flight::airplane::PositionErrorRow;
use handbook::figures::Figures;
use handbook::file::{self, Built};
use handbook::flown::indicator::{self, Pair, Row};
use handbook::flown::track::{AIRSPEEDS, wind_sigma};
use handbook::flown::{Doubtful, Flight, Track, Updated, guard, update};
use handbook::library;
use motion::{Known, Motion};
use recording::{QuantityKind, Recording};
use report::model::Document;

use crate::answer::{self, Answer};
use crate::debrief::{Brought, Told, recording_of};
use crate::error::{AppError, Outcome};
use crate::files;

/// An airplane fitted to its flights, with what was found on the way.
#[derive(Debug, Clone)]
pub struct FitAnswer {
    figures: Figures,
    updated: Updated,
    position: Vec<Row>,
    built: Built,
}

impl FitAnswer {
    /// The airplane file; `None` when the flights are not to be believed with these figures.
    #[must_use]
    pub fn airplane_file(&self) -> Option<&str> {
        self.updated.doubtful.is_empty().then_some(self.built.text.as_str())
    }
}

impl Answer for FitAnswer {
    fn outcome(&self) -> Outcome {
        if self.updated.doubtful.is_empty() { Outcome::Done } else { Outcome::Nothing }
    }
    fn formats(&self) -> Vec<&'static str> {
        answer::of_lists()
    }
    fn document(&self) -> Option<Document> {
        let parts = (&self.figures, &self.updated, self.position.as_slice(), &self.built);
        Some(report::airplane_fit::document(parts))
    }
    fn json(&self) -> String {
        let parts = (&self.figures, &self.updated, self.position.as_slice(), &self.built);
        wire::to_json(&wire::airplane_fit::AirplaneFit::new(parts))
    }
}

/// Fits an airplane to the figures of a file and to recorded flights, each its own. `told` holds the day, and its airplane is not used;
/// `masses_kg` one mass for all flights, one for each, or none.
///
/// # Errors
/// The file of figures or a recording is wrong; a recording lacks what the fit needs; as many masses as nobody understands.
pub fn fit(
    name: &str,
    flights: Vec<Brought>,
    told: &Told,
    masses_kg: &[f64],
) -> Result<FitAnswer, AppError> {
    let text = match library::text(name.trim()) {
        Some(text) => text.to_string(),
        None => files::text(name)?,
    };
    if !text.lines().any(|line| line.trim() == "[layout]") {
        return Err(AppError::request(
            format!("{name} is no file of figures of a flight manual"),
            "give the file that the airplane was built from (skychalk airplane template gives one to fill in)",
        ));
    }
    let figures = Figures::from_toml(&text, name)?;
    let masses = masses(flights.len(), masses_kg)?;
    let (mut seen, mut pairs, mut doubts) = (Vec::new(), Vec::new(), Vec::new());
    let mut wind_sigma_mps: f64 = 0.0;
    for (brought, mass_kg) in flights.into_iter().zip(masses) {
        let one = Seen::of(brought, told, &figures)?;
        doubts.extend(one.doubtful);
        wind_sigma_mps = wind_sigma_mps.max(one.wind_sigma_mps);
        pairs.extend(one.pairs);
        seen.push(Flight { name: one.name, track: one.track, mass_kg });
    }
    let mut updated = update(&figures, &seen);
    // A wrong wind is named before what follows from it.
    doubts.append(&mut updated.doubtful);
    updated.doubtful = doubts;
    let position = indicator::rows(&pairs, wind_sigma_mps);
    let mut known = figures.clone();
    if indicator::is_off(&position) && known.position_error.is_empty() {
        known.position_error = indicator::table(&position);
    }
    let built = file::build(&known, &updated.after)?;
    Ok(FitAnswer { figures, updated, position, built })
}

/// One mass for each flight.
fn masses(flights: usize, told_kg: &[f64]) -> Result<Vec<Option<f64>>, AppError> {
    match told_kg {
        [] => Ok(vec![None; flights]),
        [one] => Ok(vec![Some(*one); flights]),
        list if list.len() == flights => Ok(list.iter().map(|mass| Some(*mass)).collect()),
        list => Err(AppError::request(
            format!("{} weights for {flights} flights", list.len()),
            "give one --weight for all flights, or one for each in their order",
        )),
    }
}

/// What one recording gives.
struct Seen {
    name: String,
    track: Track,
    pairs: Vec<Pair>,
    wind_sigma_mps: f64,
    doubtful: Option<Doubtful>,
}

impl Seen {
    fn of(brought: Brought, told: &Told, figures: &Figures) -> Result<Self, AppError> {
        let name = brought.name.clone();
        let recording = recording_of(vec![brought])?;
        let known =
            Known { airplane: None, qnh: told.qnh, temperature: told.temperature, wind: told.wind };
        let found = |recording: &Recording, known: &Known<'_>| {
            let named = |error| AppError::Motion { name: name.clone(), error };
            motion::reconstruct(recording, known).map_err(named)
        };
        // What the fixes and the turns say of airspeed when no airspeed is shown to them.
        let blind = without_airspeed(&recording).and_then(|blind| found(&blind, &known).ok());
        let wind_sigma_mps = blind.as_ref().map_or(0.0, wind_sigma);
        let pairs = blind.map_or_else(Vec::new, |motion| pairs(&recording, &motion));
        let seen = indicator::rows(&pairs, wind_sigma_mps);
        let table = match figures.position_error.as_slice() {
            [] if indicator::is_off(&seen) => indicator::table(&seen),
            stated => stated.to_vec(),
        };
        let recording = calibrated(recording, &table);
        let motion = found(&recording, &known)?;
        let track = Track::of(&recording, &motion).map_err(|missing| AppError::File {
            name: name.clone(),
            what: missing.to_string(),
            hint: missing.hint().into(),
        })?;
        let untold = Known { wind: None, ..known };
        let doubtful = match told.wind {
            Some(wind) => guard::wind(&name, wind.velocity(), &found(&recording, &untold)?),
            None => None,
        };
        Ok(Self { name, track, pairs, wind_sigma_mps, doubtful })
    }
}

/// The recording with its indicated airspeed corrected by a table; as it is without one.
fn calibrated(mut recording: Recording, table: &[PositionErrorRow]) -> Recording {
    if table.len() < 2 {
        return recording;
    }
    let (from, to): (Vec<f64>, Vec<f64>) =
        table.iter().map(|row| (row.indicated.to_mps(), row.calibrated.to_mps())).unzip();
    for series in &mut recording.series {
        if series.quantity == QuantityKind::IndicatedAirspeedMps {
            series.quantity = QuantityKind::CalibratedAirspeedMps;
            for value in &mut series.values {
                *value = linear(&from, &to, *value);
            }
        }
    }
    recording
}

/// The recording less its airspeeds; `None` when it shows no indicated one or has no fixes to do without.
fn without_airspeed(recording: &Recording) -> Option<Recording> {
    recording.series_of(QuantityKind::IndicatedAirspeedMps)?;
    if recording.fixes.is_empty() {
        return None;
    }
    let mut blind = recording.clone();
    blind.series.retain(|series| !AIRSPEEDS.contains(&series.quantity));
    Some(blind)
}

/// Indicated airspeed beside the calibrated one found without it, each second in steady flight.
fn pairs(recording: &Recording, motion: &Motion) -> Vec<Pair> {
    let Some(series) = recording.series_of(QuantityKind::IndicatedAirspeedMps) else {
        return Vec::new();
    };
    let Some(calibrated) = &motion.calibrated_airspeed_mps else { return Vec::new() };
    let one = |(time_s, value): (&f64, &f64)| {
        let place = motion.place_at(*time_s)?;
        let steady = motion.airborne[place.index]
            && motion
                .load_factor
                .as_ref()
                .is_some_and(|load| (load.at(place).0 - 1.0).abs() < 0.25);
        steady.then(|| Pair { indicated_mps: *value, calibrated_mps: calibrated.at(place).0 })
    };
    series.times_s.iter().zip(&series.values).filter_map(one).collect()
}
