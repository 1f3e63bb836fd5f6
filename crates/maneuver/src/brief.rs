//! A maneuver for an airplane and a day: both sides, limits with margins, verdict, safety.

mod bands;
mod best;
mod clearing;
mod cockpit;
mod controls;
mod fit;
mod gates;
mod height;
pub(crate) mod judge;
mod limits;
mod nearness;
mod place;
mod recovery;
mod safety;

pub use bands::Banded;
pub use clearing::Clearing;
pub use fit::{EntryWindow, Fit, NOTCH_SHARE, Sensitivity};
pub use gates::Gate;
pub use place::{GLARE_DEG, HOLDABLE_DEG, PlaceTold, SunSeen};
pub use recovery::{LATE_S, Recoveries, Recovery};

use crate::definition::{Direction, Form, Maneuver, Sourced};
use crate::explain::Explanation;
use crate::eye::{Eye, SeatSide};
use crate::optimum::NotFound;
use crate::optimum::overlay::Overlay;
use crate::patter::{self, Script, Sheet, SpeakingRate, Voice};
use crate::reference::{Infeasible, ReferenceFlight};
use crate::rigid::{NotFlown, RigidFlight};
use crate::rules::Country;
use crate::series::Series;
use base::kinds::{CalibratedAirspeed, GeometricHeight, TrueHeading};
use base::units::Mass;
use flight::air::Day;
use flight::airplane::Airplane;
use judge::{Case, Judged};

/// What is asked.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BriefRequest {
    /// Which form; `None` for the usual one.
    pub form: Option<Form>,
    /// Which sides, in the order to show.
    pub sides: Sides,
    /// Mass of the day; `None` for the airplane's typical one.
    pub mass: Option<Mass>,
    /// Entry height above mean sea level; `None` for a height that keeps the floor with margin.
    pub height: Option<GeometricHeight>,
    /// Entry speed; `None` for the one the maneuver chooses.
    pub speed: Option<CalibratedAirspeed>,
    /// From which seat the picture is drawn; in tandem there is one.
    pub seat: SeatSide,
    /// The day.
    pub day: Day,
    /// Whether the elevation of the field was told; else the floor above the ground is not computed.
    pub field_told: bool,
    /// Whether hands and feet are computed too: the flight at six degrees of freedom, which takes ten times the time.
    pub hands: bool,
    /// True heading at entry; `None`: north, and no reference is held against the sun.
    pub heading: Option<TrueHeading>,
    /// Cloud, visibility, area, sun.
    pub place: PlaceTold,
    /// Whose rules; `None`: those of every country known here are listed.
    pub country: Option<&'static Country>,
    /// Whether the window of entry speeds and the sensitivities are flown too: some twenty more flights.
    pub fit: bool,
    /// Whether the figure was flown already: its flight then stands beside what was flown even where it passes a limit, with hands and feet.
    /// The verdict says which.
    pub flown: bool,
}

impl Default for BriefRequest {
    /// The usual form, both sides, on a standard day over a field that is not told.
    fn default() -> Self {
        Self {
            form: None,
            sides: Sides::Both,
            mass: None,
            height: None,
            speed: None,
            seat: SeatSide::Left,
            day: Day::standard(),
            field_told: false,
            hands: true,
            heading: None,
            place: PlaceTold::default(),
            country: None,
            fit: false,
            flown: false,
        }
    }
}

/// Which sides are shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sides {
    /// One side.
    One(Direction),
    /// Left, then right; a figure without sides once.
    Both,
}

impl Sides {
    /// In the order to show.
    #[must_use]
    pub const fn directions(self) -> &'static [Direction] {
        match self {
            Self::One(Direction::Left) => &[Direction::Left],
            Self::One(Direction::Right) => &[Direction::Right],
            Self::Both => &[Direction::Left, Direction::Right],
        }
    }
}

/// The answer.
#[derive(Debug, Clone)]
pub struct Brief {
    /// The maneuver.
    pub maneuver: &'static dyn Maneuver,
    /// The form.
    pub form: Form,
    /// Name and key of the airplane.
    pub airplane_name: String,
    /// Key of the airplane.
    pub airplane_id: String,
    /// The day.
    pub day: Day,
    /// Whether the elevation of the field was told; else the floor above the ground is not computed.
    pub field_told: bool,
    /// Mass of the day.
    pub mass: Mass,
    /// Entry height.
    pub height: GeometricHeight,
    /// True heading at entry of the first side as it is flown: the one told, or the one that the wind decides; `None` when there is neither.
    pub heading: Option<TrueHeading>,
    /// The one told.
    pub heading_told: Option<TrueHeading>,
    /// Verdict over all sides.
    pub verdict: Verdict,
    /// Why, with numbers; one sentence each.
    pub reasons: Vec<String>,
    /// Reference flights, one a side; empty when it cannot be flown or may not be.
    pub sides: Vec<ReferenceFlight>,
    /// What is seen from the seat, one a side.
    pub eyes: Vec<Eye>,
    /// Hands and feet, one a side: the same flight at six degrees of freedom, or why it is not flown. Empty when not asked for.
    pub hands: Vec<Result<RigidFlight, NotFlown>>,
    /// The greatest gain of height in the time of each side, for a chandelle: the physical best, not the standard's target. Empty for
    /// other figures, and when hands and feet are not asked for.
    pub best_gains: Vec<Result<Overlay, NotFound>>,
    /// What changes most between left and right, when both were flown at six degrees.
    pub difference: Option<Explanation>,
    /// Why there is no flight.
    pub infeasible: Option<Infeasible>,
    /// Limits with margins, worst over the sides: what is passed first, then the nearest.
    pub limits: Vec<Limit>,
    /// Gates proposed to the instructor; empty when there is no flight.
    pub gates: Vec<Gate>,
    /// The way out from the worst point: prompt and bad; `None` when there is no flight.
    pub recoveries: Option<Recoveries>,
    /// The sides one after the other, each from where the one before ended: height block, box, drift; `None` when there is no flight.
    pub series: Option<Series>,
    /// Clearing turns, one entry a side.
    pub clearing: Vec<Clearing>,
    /// The sun, when time and place were told.
    pub sun: Option<SunSeen>,
    /// Window of entry speeds and sensitivities, when asked for.
    pub fit: Option<Fit>,
    /// What is said, by side and voice; empty when there is no flight or no patter.
    pub patter: Vec<Sheet>,
    /// Cautions; those computed here and those that only people can check.
    pub safety: Vec<SafetyLine>,
    /// Source keys used.
    pub sources: Vec<&'static str>,
}

impl Brief {
    /// What to know where a heading was told and the wind decides otherwise, in a sentence.
    #[must_use]
    pub fn heading_note(&self) -> Option<String> {
        let told = self.heading_told?;
        let lies = self.maneuver.entered_by_wind()?;
        let entry = |flight: &ReferenceFlight| {
            Some((flight.direction, flight.samples.first()?.heading_rad))
        };
        let entered: Vec<(Direction, f64)> = self.sides.iter().filter_map(entry).collect();
        let off_rad = |heading_rad: f64| base::math::wrap_pi(heading_rad - told.to_rad()).abs();
        if entered.iter().all(|(_, heading_rad)| off_rad(*heading_rad) < HEADING_KEPT_RAD) {
            return None;
        }
        let on = |heading_rad: f64| bearing_words(TrueHeading::from_rad(heading_rad));
        let (first, rest) = entered.split_first()?;
        let same = |other: &(Direction, f64)| on(other.1) == on(first.1);
        let flown = match rest.iter().all(same) {
            true => on(first.1),
            false => {
                let side = |(side, heading_rad): &(Direction, f64)| {
                    format!("{} to the {}", on(*heading_rad), side.word())
                };
                entered.iter().map(side).collect::<Vec<_>>().join(" and ")
            }
        };
        let told = bearing_words(told);
        Some(format!(
            "Heading {told} was told, but the wind decides: this figure is entered {lies}, on {flown} true."
        ))
    }
    /// The floor above mean sea level, ft; `None` when the elevation of the field was not told.
    #[must_use]
    pub fn floor_ft(&self) -> Option<f64> {
        let above_ground = self.maneuver.floor().above_ground;
        self.field_told.then(|| (self.day.field_elevation + above_ground).to_ft())
    }
    /// Puts words to the flights: a sheet for each side and voice.
    pub fn speak(&mut self, script: &Script, rate: SpeakingRate) {
        let sheets = |flight| Voice::ALL.map(|voice| patter::sheet(flight, script, voice, rate));
        let sheets = self.sides.iter().flat_map(sheets);
        self.patter = sheets.filter(|sheet| !sheet.lines.is_empty()).collect();
    }
}

/// Verdict of a brief. Never reads as a clearance.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Verdict {
    /// Every limit that is computed here is kept by its margin.
    WithinComputedLimits,
    /// Kept, but something is needed (parachutes, an approved-maneuver entry).
    WithinComputedLimitsWith,
    /// Kept, but it is a hazard: shown with its checks, never offered as a plan, never with an approving sign.
    Hazard,
    /// A limit is passed; never offered as a plan.
    OutsideLimits,
}

impl Verdict {
    /// The verdict where something more is needed.
    const fn with(self, reasons: &[String]) -> Self {
        match self {
            Self::WithinComputedLimits if !reasons.is_empty() => Self::WithinComputedLimitsWith,
            other => other,
        }
    }
    /// As written where what is needed stands elsewhere.
    #[must_use]
    pub const fn words_alone(self) -> &'static str {
        match self {
            Self::WithinComputedLimitsWith => "within computed limits with what is listed above",
            other => other.words(),
        }
    }
    /// As written in outputs.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::WithinComputedLimits => "within computed limits",
            Self::WithinComputedLimitsWith => "within computed limits with",
            Self::Hazard => "a hazard, shown with its checks",
            Self::OutsideLimits => "outside limits",
        }
    }
}

/// One limit and how near the flight comes to it.
#[derive(Debug, Clone, PartialEq)]
pub struct Limit {
    /// Stable key: "load-factor", "stall-margin", "entry-speed", "maneuvering-speed", "floor", "never-exceed".
    pub id: &'static str,
    /// As people call it.
    pub title: &'static str,
    /// Worst value of the flight, in `unit`.
    pub value: f64,
    /// The limit, in `unit`.
    pub limit: f64,
    /// Unit.
    pub unit: &'static str,
    /// Whether the limit is above (a greatest value) or below (a least value).
    pub side: LimitSide,
    /// Margin to the limit, positive when kept.
    pub margin: f64,
    /// Source key.
    pub source: &'static str,
    /// Whether it is kept.
    pub kept: bool,
    /// Whether passing it forbids the flight; else something is needed (parachutes), or care is.
    pub hard: bool,
}

/// On which side of the values the limit lies.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LimitSide {
    /// Values must stay below.
    Above,
    /// Values must stay above.
    Below,
}

/// One line of the safety sheet.
#[derive(Debug, Clone, PartialEq)]
pub struct SafetyLine {
    /// What to check or know.
    pub line: Sourced,
    /// Computed here, or for the instructor to check.
    pub whose: Whose,
    /// Whose rule it is; `None` where it holds everywhere.
    pub country: Option<&'static str>,
    /// What the computed flight says of it.
    pub finding: Option<String>,
}

impl SafetyLine {
    /// A line that holds everywhere, without a finding.
    #[must_use]
    pub const fn of(line: Sourced, whose: Whose) -> Self {
        Self { line, whose, country: None, finding: None }
    }
}

/// Who checks.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Whose {
    /// Computed here.
    CheckedHere,
    /// The instructor's to check.
    YoursToCheck,
}

/// A heading is kept when the flight begins this close to it, rad.
const HEADING_KEPT_RAD: f64 = 0.5 * base::factors::RAD_PER_DEG;

/// A heading in three figures, north as 360: "060".
fn bearing_words(heading: TrueHeading) -> String {
    let whole = heading.to_deg().round().rem_euclid(360.0);
    format!("{:03.0}", if whole < 0.5 { 360.0 } else { whole })
}

/// Answers a request: flies every side, holds the flight against the limits, collects what must be known.
///
/// "Cannot be done" is an answer: the brief then has the verdict *outside limits*, reasons with numbers and no flight.
#[must_use]
pub fn brief(
    maneuver: &'static dyn Maneuver,
    airplane: &Airplane,
    request: &BriefRequest,
) -> Brief {
    let form = request.form.unwrap_or(maneuver.forms()[0]);
    // One whose file tells nothing of its flaps stays as it is, and is refused with the reason.
    let configured = maneuver.flaps(&form).set(airplane);
    let airplane = configured.as_deref().unwrap_or(airplane);
    let directions = match request.sides {
        Sides::Both if !maneuver.sided(&form) => Sides::One(Direction::Right).directions(),
        sides => sides.directions(),
    };
    let mut case = Case {
        maneuver,
        airplane,
        form,
        mass: request.mass.unwrap_or(airplane.masses.typical),
        height: request.height.unwrap_or(request.day.field_elevation),
        heading: request.heading.unwrap_or(TrueHeading::NORTH),
        speed: request.speed,
        day: request.day,
        field_told: request.field_told,
        place: PlaceTold { heading_told: request.heading.is_some(), ..request.place },
        country: request.country,
        flown: request.flown,
    };
    if request.height.is_none() {
        case.height = height::usual(&case, directions);
    }
    let judged = judge::judge(&case, directions, request.hands);
    if let Some(height) = judged.entry_height() {
        case.height = height;
    }
    let mut brief = told(&case, &judged, directions);
    if let Some(asked) = request.height {
        brief.reasons.extend(height::other(asked, case.height));
        brief.verdict = brief.verdict.with(&brief.reasons);
    }
    cockpit::fill(&mut brief, &case, request.seat);
    if request.hands {
        brief.best_gains = best::of(&case, &brief.sides);
    }
    if request.fit && judge::refusals(&case).is_empty() {
        brief.fit = Some(fit::of(&case, directions, (&judged, request.hands)));
    }
    brief.speak(&Script::of(maneuver, &case.form, request.day.wind), SpeakingRate::USUAL);
    brief.sources = sources(&brief);
    brief
}

/// The brief of a judged case. Flights outside limits are not shown, but beside what was flown.
fn told(case: &Case<'_>, judged: &Judged, directions: &[Direction]) -> Brief {
    let headings = place::headings(case, &judged.flights, directions);
    let shown = judged.verdict != Verdict::OutsideLimits || case.flown;
    let sides = if shown { judged.flights.clone() } else { Vec::new() };
    let gates = case.category().filter(|_| !sides.is_empty()).map(|category| {
        let speeds = limits::maneuvering_kept_kt(case);
        gates::of(&sides, case.airplane, category, (case.floor_ft(), speeds))
    });
    let aerobatic = case.maneuver.needs_approval(&case.form);
    let clearing = sides.iter().filter_map(|flight| clearing::before(flight, aerobatic)).collect();
    Brief {
        maneuver: case.maneuver,
        form: case.form,
        airplane_name: case.airplane.name.clone(),
        airplane_id: case.airplane.id.clone(),
        day: case.day,
        field_told: case.field_told,
        mass: case.mass,
        height: case.height,
        heading: headings.first().map(|(_, heading)| *heading),
        heading_told: case.place.heading_told.then_some(case.heading),
        verdict: judged.verdict,
        reasons: judged.reasons.clone(),
        hands: if shown { judged.hands.clone() } else { Vec::new() },
        sides,
        eyes: Vec::new(),
        best_gains: Vec::new(),
        difference: None,
        infeasible: judged.infeasible.clone(),
        limits: nearness::sorted(judged.limits.clone(), limits::too_slow(&judged.flights)),
        gates: gates.unwrap_or_default(),
        recoveries: judged.recoveries.filter(|_| shown),
        series: judged.series.clone().filter(|_| shown),
        clearing,
        sun: place::sun_seen(case, directions, &headings),
        fit: None,
        patter: Vec::new(),
        safety: safety::lines(case, judged),
        sources: Vec::new(),
    }
}

fn sources(brief: &Brief) -> Vec<&'static str> {
    let maneuver = brief.maneuver;
    let texts = maneuver.entry().iter().chain(maneuver.errors()).map(|text| text.source);
    let mut out: Vec<&'static str> = texts
        .chain([maneuver.purpose().source, brief.form.description.source])
        .chain(brief.limits.iter().map(|limit| limit.source))
        .chain(brief.safety.iter().map(|line| line.line.source))
        .collect();
    out.sort_unstable();
    out.dedup();
    out
}

#[cfg(test)]
mod tests;
