//! A maneuver for an airplane and a day: both sides, limits with margins, verdict, safety.

mod cockpit;
mod gates;
mod limits;
mod safety;

pub use gates::Gate;

use crate::definition::{Direction, Form, Maneuver, Sourced};
use crate::explain::Explanation;
use crate::eye::{Eye, SeatSide};
use crate::patter::{self, Script, Sheet, SpeakingRate, Voice};
use crate::reference::{Entry, Infeasible, ReferenceFlight};
use crate::rigid::{NotFlown, RigidFlight};
use base::kinds::{CalibratedAirspeed, GeometricHeight, TrueHeading};
use base::units::Mass;
use flight::air::Day;
use flight::airplane::{Airplane, Category};

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
        }
    }
}

/// Which sides are shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sides {
    /// One side.
    One(Direction),
    /// Left, then right.
    Both,
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
    /// What changes most between left and right, when both were flown at six degrees.
    pub difference: Option<Explanation>,
    /// Why there is no flight.
    pub infeasible: Option<Infeasible>,
    /// Limits with margins, worst over the sides.
    pub limits: Vec<Limit>,
    /// Gates proposed to the instructor; empty when there is no flight.
    pub gates: Vec<Gate>,
    /// What is said, by side and voice; empty when there is no flight or no patter.
    pub patter: Vec<Sheet>,
    /// Cautions; those computed here and those that only people can check.
    pub safety: Vec<SafetyLine>,
    /// Source keys used.
    pub sources: Vec<&'static str>,
}

impl Brief {
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
    /// A limit is passed; never offered as a plan.
    OutsideLimits,
}

impl Verdict {
    /// As written in outputs.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::WithinComputedLimits => "within computed limits",
            Self::WithinComputedLimitsWith => "within computed limits with",
            Self::OutsideLimits => "outside limits",
        }
    }
}

/// One limit and how near the flight comes to it.
#[derive(Debug, Clone, PartialEq)]
pub struct Limit {
    /// Stable key: "load-factor", "stall-margin", "entry-speed-va", "floor", "never-exceed".
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
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SafetyLine {
    /// What to check or know.
    pub line: Sourced,
    /// Computed here, or for the instructor to check.
    pub whose: Whose,
}

/// Who checks.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Whose {
    /// Computed here.
    CheckedHere,
    /// The instructor's to check.
    YoursToCheck,
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
    let mass = request.mass.unwrap_or(airplane.masses.typical);
    let height = request.height.unwrap_or_else(|| usual_height(maneuver, &request.day));
    let mut brief = Brief {
        maneuver,
        form,
        airplane_name: airplane.name.clone(),
        airplane_id: airplane.id.clone(),
        day: request.day,
        field_told: request.field_told,
        mass,
        height,
        verdict: Verdict::OutsideLimits,
        reasons: refusals(maneuver, airplane, &form, (mass, height, &request.day)),
        sides: Vec::new(),
        eyes: Vec::new(),
        hands: Vec::new(),
        difference: None,
        infeasible: None,
        limits: Vec::new(),
        gates: Vec::new(),
        patter: Vec::new(),
        safety: Vec::new(),
        sources: Vec::new(),
    };
    if let (true, Some(category)) = (brief.reasons.is_empty(), airplane.category(mass)) {
        fly_sides(&mut brief, airplane, category, request);
    }
    brief.speak(&Script::of(maneuver, &form), SpeakingRate::USUAL);
    brief.safety = safety::lines(maneuver, &brief.limits, brief.field_told);
    brief.sources = sources(&brief);
    brief
}

/// A height with room: the one that the figure names, else 2,000 ft above its floor rounded up to 500 ft.
fn usual_height(maneuver: &dyn Maneuver, day: &Day) -> GeometricHeight {
    let floor = maneuver.floor();
    let field_ft = day.field_elevation.to_ft();
    match floor.entry_above_ground {
        Some(above_ground) => GeometricHeight::from_ft(field_ft + above_ground.to_ft()),
        None => {
            let least_ft = field_ft + floor.above_ground.to_ft() + 2000.0;
            GeometricHeight::from_ft((least_ft / 500.0).ceil() * 500.0)
        }
    }
}

/// What forbids the flight before it is flown, one sentence each.
fn refusals(
    maneuver: &dyn Maneuver,
    airplane: &Airplane,
    form: &Form,
    (mass, height, day): (Mass, GeometricHeight, &Day),
) -> Vec<String> {
    let mut out = Vec::new();
    let kg = Mass::to_kg;
    if mass > airplane.masses.maximum {
        out.push(format!(
            "{:.0} kg is above the maximum mass of {:.0} kg",
            kg(mass),
            kg(airplane.masses.maximum)
        ));
    }
    if mass < airplane.masses.empty {
        out.push(format!(
            "{:.0} kg is below the empty mass of {:.0} kg",
            kg(mass),
            kg(airplane.masses.empty)
        ));
    }
    let above_ground = maneuver.floor().above_ground;
    let floor = day.field_elevation + above_ground;
    if height < floor {
        let (entry_ft, floor_ft) = (height.to_ft(), floor.to_ft());
        let above = thousands(above_ground.to_ft());
        out.push(format!("entry at {entry_ft:.0} ft is below the floor of {floor_ft:.0} ft ({above} ft above the field)"));
    }
    let offset_k = day.temperature_offset_k();
    if offset_k.abs() > 45.0 || !(-500.0..=9000.0).contains(&height.to_m()) {
        let what = format!("{offset_k:+.0} C from standard at {:.0} ft", height.to_ft());
        out.push(format!("the day is outside the air model: {what} (model: within 45 C of standard, up to 29,500 ft)"));
    }
    match airplane.category(mass) {
        None => out.push(format!("no category of this airplane allows {:.0} kg", kg(mass))),
        Some(category)
            if maneuver.needs_approval(form)
                && !category.approved.iter().any(|id| id == maneuver.id()) =>
        {
            let (name, title) = (&category.name, maneuver.title().to_lowercase());
            out.push(format!(
                "{title} is not among the maneuvers approved in the {name} category at {:.0} kg",
                kg(mass)
            ));
        }
        Some(_) => {}
    }
    out
}

/// "1,500".
fn thousands(value: f64) -> String {
    let whole = value.round() as i64;
    if whole < 1000 { whole.to_string() } else { format!("{},{:03}", whole / 1000, whole % 1000) }
}

/// How a side is begun.
fn entry(brief: &Brief, request: &BriefRequest, direction: Direction) -> Entry {
    Entry {
        form: brief.form,
        direction,
        mass: brief.mass,
        height: brief.height,
        heading: TrueHeading::NORTH,
        speed: request.speed,
    }
}

fn fly_sides(brief: &mut Brief, airplane: &Airplane, category: &Category, request: &BriefRequest) {
    let directions: &[Direction] = match request.sides {
        Sides::One(Direction::Left) => &[Direction::Left],
        Sides::One(Direction::Right) => &[Direction::Right],
        Sides::Both => &[Direction::Left, Direction::Right],
    };
    let mut flights = Vec::new();
    for &direction in directions {
        let entry = entry(brief, request, direction);
        match brief.maneuver.fly(airplane, &brief.day, &entry) {
            Ok(flight) => flights.push(flight),
            Err(why) => {
                brief.reasons.push(why.to_string());
                brief.infeasible = Some(why);
                return;
            }
        }
    }
    brief.limits = limits::of(&flights, airplane, category, brief);
    let broken = brief.limits.iter().filter(|limit| !limit.kept && limit.hard);
    brief.reasons.extend(broken.map(limits::sentence));
    brief.reasons.extend(limits::missed(&flights).0);
    if brief.reasons.is_empty() {
        brief.reasons = limits::needs(&flights, category, &brief.limits);
        brief.verdict = if brief.reasons.is_empty() {
            Verdict::WithinComputedLimits
        } else {
            Verdict::WithinComputedLimitsWith
        };
        brief.gates = gates::of(&flights, airplane, category, brief.floor_ft());
        brief.sides = flights;
        cockpit::fill(brief, airplane, request);
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
