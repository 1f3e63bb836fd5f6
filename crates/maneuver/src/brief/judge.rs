//! One case flown and held against everything: what is refused at once, the flights, limits, verdict.

use base::kinds::{CalibratedAirspeed, GeometricHeight, TrueHeading};
use base::units::Mass;
use flight::air::Day;
use flight::airplane::{Airplane, Category};

use super::place::{self, PlaceTold};
use super::recovery::{self, Recoveries};
use super::{Limit, Verdict, limits, safety};
use crate::definition::{Direction, Form, Maneuver};
use crate::reference::{Entry, Infeasible, ReferenceFlight};
use crate::rules::Country;
use crate::series::{self, Series};

/// What is flown: everything chosen.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Case<'a> {
    pub(crate) maneuver: &'static dyn Maneuver,
    pub(crate) airplane: &'a Airplane,
    pub(crate) form: Form,
    pub(crate) mass: Mass,
    pub(crate) height: GeometricHeight,
    pub(crate) heading: TrueHeading,
    pub(crate) speed: Option<CalibratedAirspeed>,
    pub(crate) day: Day,
    pub(crate) field_told: bool,
    pub(crate) place: PlaceTold,
    pub(crate) country: Option<&'static Country>,
}

/// What came of it.
#[derive(Debug, Clone)]
pub(super) struct Judged {
    pub(super) verdict: Verdict,
    pub(super) reasons: Vec<String>,
    pub(super) flights: Vec<ReferenceFlight>,
    pub(super) series: Option<Series>,
    pub(super) infeasible: Option<Infeasible>,
    pub(super) limits: Vec<Limit>,
    pub(super) recoveries: Option<Recoveries>,
}

impl Case<'_> {
    /// The floor above mean sea level, ft; `None` when the elevation of the field was not told.
    pub(super) fn floor_ft(&self) -> Option<f64> {
        let above_ground = self.maneuver.floor().above_ground;
        self.field_told.then(|| (self.day.field_elevation + above_ground).to_ft())
    }
    pub(super) fn entry(&self, direction: Direction) -> Entry {
        Entry {
            form: self.form,
            direction,
            mass: self.mass,
            height: self.height,
            heading: self.heading,
            speed: self.speed,
        }
    }
    pub(crate) fn fly(&self, direction: Direction) -> Result<ReferenceFlight, Infeasible> {
        self.maneuver.fly(self.airplane, &self.day, &self.entry(direction))
    }
    pub(super) fn category(&self) -> Option<&Category> {
        self.airplane.category(self.mass)
    }
}

impl Judged {
    fn refused(reasons: Vec<String>, infeasible: Option<Infeasible>) -> Self {
        Self {
            verdict: Verdict::OutsideLimits,
            reasons,
            flights: Vec::new(),
            series: None,
            infeasible,
            limits: Vec::new(),
            recoveries: None,
        }
    }
}

/// Flies the sides of a case and holds them against everything.
pub(super) fn judge(case: &Case<'_>, directions: &[Direction]) -> Judged {
    let refusals = refusals(case);
    let Some(category) = case.category().filter(|_| refusals.is_empty()) else {
        return Judged::refused(refusals, None);
    };
    let flights: Result<Vec<ReferenceFlight>, Infeasible> =
        directions.iter().map(|direction| case.fly(*direction)).collect();
    let flights = match flights {
        Ok(flights) => flights,
        Err(why) => return Judged::refused(vec![why.to_string()], Some(why)),
    };
    let series = series::of(case, &flights);
    let recoveries = recovery::of(&flights, case, category);
    let mut limits = limits::of(&flights, category, case);
    if let Some(recoveries) = &recoveries {
        limits.extend(limits::of_recovery(recoveries, case));
    }
    if series.flights.len() > 1 {
        limits.extend(limits::of_series(series.block.low_m, case));
    }
    limits.extend(place::limits(case, &series.block));
    if let Some(country) = case.country {
        limits.extend(safety::limits(case, country, series.block.low_m));
    }
    let (verdict, reasons) = conclude(&flights, category, &limits);
    let (infeasible, series) = (None, Some(series));
    Judged { verdict, reasons, flights, series, infeasible, limits, recoveries }
}

/// Whether a case is outside limits, and the first reason: [`judge`] without what only needs care.
pub(super) fn outside(case: &Case<'_>, direction: Direction) -> Option<String> {
    if let Some(reason) = refusals(case).into_iter().next() {
        return Some(reason);
    }
    let category = case.category()?;
    match case.fly(direction) {
        Err(why) => Some(why.to_string()),
        Ok(flight) => {
            let flights = [flight];
            let limits = limits::of(&flights, category, case);
            let (verdict, reasons) = conclude(&flights, category, &limits);
            let reason = reasons.into_iter().next().unwrap_or_default();
            (verdict == Verdict::OutsideLimits).then_some(reason)
        }
    }
}

/// Verdict and reasons of flights and their limits.
fn conclude(
    flights: &[ReferenceFlight],
    category: &Category,
    limits: &[Limit],
) -> (Verdict, Vec<String>) {
    let broken = limits.iter().filter(|limit| !limit.kept && limit.hard);
    let mut reasons: Vec<String> = broken.map(limits::sentence).collect();
    reasons.extend(limits::missed(flights).0);
    if !reasons.is_empty() {
        return (Verdict::OutsideLimits, reasons);
    }
    let needs = limits::needs(flights, category, limits);
    let verdict = if needs.is_empty() {
        Verdict::WithinComputedLimits
    } else {
        Verdict::WithinComputedLimitsWith
    };
    (verdict, needs)
}

/// Days warmer or colder than standard by more are outside the air model, K.
const OFFSET_MOST_K: f64 = 45.0;

/// What forbids the flight before it is flown, one sentence each.
pub(super) fn refusals(case: &Case<'_>) -> Vec<String> {
    let mut out: Vec<String> = kept_as_history(case).into_iter().collect();
    let (masses, mass_kg) = (&case.airplane.masses, case.mass.to_kg());
    if case.mass > masses.maximum {
        let most_kg = masses.maximum.to_kg();
        out.push(format!("{mass_kg:.0} kg is above the maximum mass of {most_kg:.0} kg"));
    }
    if case.mass < masses.empty {
        let least_kg = masses.empty.to_kg();
        out.push(format!("{mass_kg:.0} kg is below the empty mass of {least_kg:.0} kg"));
    }
    if case.maneuver.hazard().is_some() && !case.field_told {
        let title = case.maneuver.title().to_lowercase();
        out.push(format!(
            "{title} is shown only with its height check: the elevation of the field was not told"
        ));
    }
    let above_ground = case.maneuver.floor().above_ground;
    let floor = case.day.field_elevation + above_ground;
    if case.height < floor {
        let (entry_ft, floor_ft) = (case.height.to_ft(), floor.to_ft());
        let above = thousands(above_ground.to_ft());
        out.push(format!(
            "entry at {entry_ft:.0} ft is below the floor of {floor_ft:.0} ft ({above} ft above the field)"
        ));
    }
    let offset_k = case.day.temperature_offset_k();
    if offset_k.abs() > OFFSET_MOST_K || !(-500.0..=9000.0).contains(&case.height.to_m()) {
        let what = format!("{offset_k:+.0} C from standard at {:.0} ft", case.height.to_ft());
        out.push(format!(
            "the day is outside the air model: {what} (model: within 45 C of standard, up to 29,500 ft)"
        ));
    }
    out.extend(not_approved(case));
    out
}

fn kept_as_history(case: &Case<'_>) -> Option<String> {
    let why = case.maneuver.history(&case.form)?.text;
    let title = case.maneuver.title().to_lowercase();
    Some(format!(
        "{title}, {}: kept as history and not flown here: {why}; take another form",
        case.form.title
    ))
}

fn not_approved(case: &Case<'_>) -> Option<String> {
    let mass_kg = case.mass.to_kg();
    let Some(category) = case.category() else {
        return Some(format!("no category of this airplane allows {mass_kg:.0} kg"));
    };
    let listed = category.approved.iter().any(|id| id == case.maneuver.id());
    if listed || !case.maneuver.needs_approval(&case.form) {
        return None;
    }
    let (name, title) = (&category.name, case.maneuver.title().to_lowercase());
    Some(format!(
        "{title} is not among the maneuvers approved in the {name} category at {mass_kg:.0} kg"
    ))
}

/// "1,500".
pub(super) fn thousands(value: f64) -> String {
    let whole = value.round() as i64;
    if whole < 1000 { whole.to_string() } else { format!("{},{:03}", whole / 1000, whole % 1000) }
}
