//! One case flown and held against everything: what is refused at once, the flights, limits, verdict.

use base::factors::M_PER_FT;
use base::kinds::{CalibratedAirspeed, GeometricHeight, TrueHeading};
use base::units::Mass;
use flight::air::Day;
use flight::airplane::{Airplane, Category};

use super::place::{self, PlaceTold};
use super::recovery::{self, Recoveries};
use super::{Limit, Verdict, controls, limits, safety};
use crate::definition::{Direction, Form, Maneuver};
use crate::reference::{Entry, Infeasible, ReferenceFlight};
use crate::rigid::{self, NotFlown, RigidFlight};
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
    /// It was flown already: shown even where a limit is passed.
    pub(crate) flown: bool,
}

/// What came of it.
#[derive(Debug, Clone)]
pub(super) struct Judged {
    pub(super) verdict: Verdict,
    pub(super) reasons: Vec<String>,
    pub(super) flights: Vec<ReferenceFlight>,
    /// The flights at six degrees of freedom, when asked for and nothing else forbids the figure.
    pub(super) hands: Vec<Result<RigidFlight, NotFlown>>,
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
            hands: Vec::new(),
            series: None,
            infeasible,
            limits: Vec::new(),
            recoveries: None,
        }
    }
    /// Where it is entered: a figure may find its own height, as eights on pylons do.
    pub(super) fn entry_height(&self) -> Option<GeometricHeight> {
        let first = self.flights.first()?.samples.first()?;
        Some(GeometricHeight::from_m(first.height_m))
    }
}

/// Flies the sides of a case and holds them against everything; hands and feet too when asked for.
pub(super) fn judge(case: &Case<'_>, directions: &[Direction], hands: bool) -> Judged {
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
    let mut judged = Judged { flights, ..Judged::refused(Vec::new(), None) };
    let case = &Case { height: judged.entry_height().unwrap_or(case.height), ..*case };
    held(&mut judged, case, category);
    conclude(&mut judged, case, category);
    if hands && (judged.verdict != Verdict::OutsideLimits || case.flown) {
        let fly = |flight: &ReferenceFlight| {
            let entry = case.entry(flight.direction);
            rigid::fly(case.airplane, &case.day, &entry, flight)
        };
        judged.hands = judged.flights.iter().map(fly).collect();
        judged.limits.extend(controls::limits(&judged.hands));
        conclude(&mut judged, case, category);
    }
    judged
}

/// Series, way out and limits of flights.
fn held(judged: &mut Judged, case: &Case<'_>, category: &Category) {
    let flights = &judged.flights;
    let series = series::of(case, flights);
    judged.recoveries = recovery::of(flights, case, category);
    let mut limits = limits::of(flights, category, case);
    if let Some(recoveries) = &judged.recoveries {
        limits.extend(limits::of_recovery(recoveries, case));
    }
    if series.flights.len() > 1 {
        limits.extend(limits::of_series(series.block.low_m, case));
    }
    limits.extend(place::limits(case, &series.block));
    if let Some(country) = case.country {
        limits.extend(safety::limits(case, country, series.block.low_m));
    }
    (judged.limits, judged.series) = (limits, Some(series));
}

/// Verdict and reasons of flights and their limits.
fn conclude(judged: &mut Judged, case: &Case<'_>, category: &Category) {
    let (flights, limits) = (&judged.flights, &judged.limits);
    let of_controls = controls::reasons(flights, &judged.hands);
    let broken = limits.iter().filter(|limit| !limit.kept && limit.hard);
    let mut reasons: Vec<String> =
        broken.filter(|limit| !controls::is_one(limit)).map(limits::sentence).collect();
    reasons.extend(limits::missed(flights).0);
    reasons.extend(of_controls.outside);
    if !reasons.is_empty() {
        (judged.verdict, judged.reasons) = (Verdict::OutsideLimits, reasons);
        return;
    }
    let mut needs = limits::needs(flights, category, limits);
    needs.extend(of_controls.care);
    judged.verdict = match case.maneuver.hazard() {
        Some(_) => Verdict::Hazard,
        None => Verdict::WithinComputedLimits.with(&needs),
    };
    judged.reasons = needs;
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
    out.extend(outside_the_air(case));
    out.extend(not_approved(case));
    out.extend(flaps_unknown(case));
    out
}

/// A form with flaps down for an airplane of which nothing is known with flaps down.
fn flaps_unknown(case: &Case<'_>) -> Option<String> {
    let why = case.maneuver.flaps(&case.form).set(case.airplane).err()?;
    let title = case.maneuver.title().to_lowercase();
    Some(format!("{title}, {}: {why}; {}", case.form.title, why.hint()))
}

/// Heights that the air model holds for, m.
const HEIGHTS_M: std::ops::RangeInclusive<f64> = -500.0..=9000.0;

/// A day for which the air is not known well enough.
fn outside_the_air(case: &Case<'_>) -> Vec<String> {
    let mut out = Vec::new();
    let offset_k = case.day.temperature_offset_k();
    if offset_k.abs() > OFFSET_MOST_K {
        let word = if offset_k > 0.0 { "above" } else { "below" };
        out.push(format!(
            "outside the air model: {:.0} C at the field is {:.0} C {word} standard, and the model holds within {OFFSET_MOST_K:.0} C of it",
            case.day.temperature_at_field.to_c(),
            offset_k.abs()
        ));
    }
    if !HEIGHTS_M.contains(&case.height.to_m()) {
        let [low, high] = [*HEIGHTS_M.start(), *HEIGHTS_M.end()];
        let rounded = |m: f64| thousands((m / M_PER_FT / 100.0).trunc() * 100.0);
        out.push(format!(
            "outside the air model: entry at {} ft, and the model holds from {} to {} ft",
            thousands(case.height.to_ft()),
            rounded(low),
            rounded(high)
        ));
    }
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

/// "1,500", "-1,600".
pub(super) fn thousands(value: f64) -> String {
    let whole = value.round() as i64;
    if whole.abs() < 1000 {
        return whole.to_string();
    }
    format!("{},{:03}", whole / 1000, whole.abs() % 1000)
}
