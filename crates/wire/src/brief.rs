//! `skychalk.brief/1`: the reference flight of an airplane on a day, its limits and its safety sheet.

use crate::fit::{Clearing, Fit, Recoveries, Series, Sun};
use crate::number::{degrees, feet, knots, rounded, seconds};
use crate::patter::PatterLine;
use flight::air::Day;
use flight::trajectory::FlightSample;
use maneuver::brief as engine;
use maneuver::optimum::overlay::Overlay;
use maneuver::reference as flown;
use schemars::JsonSchema;
use serde::Serialize;

/// Name of the document and its version.
pub const SCHEMA: &str = "skychalk.brief/1";

/// The sentence on every brief.
pub const SAFETY_SENTENCE: &str = "Training aid, not approved data. The flight manual, placards, local rules and a \
                                   qualified instructor decide.";

/// A brief.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Brief {
    /// Always `skychalk.brief/1`.
    pub schema: &'static str,
    /// Catalogue key.
    pub maneuver: &'static str,
    /// As people call it.
    pub title: &'static str,
    /// Form key.
    pub form: &'static str,
    /// What the progress of the pictures counts: `turn`, `pitch`, `roll`, `phase` or `position`.
    pub progress: &'static str,
    /// Airplane key.
    pub airplane: String,
    /// Airplane name.
    pub airplane_name: String,
    /// The day.
    pub day: DayOut,
    /// Mass of the day, kg.
    pub mass_kg: f64,
    /// Entry height above mean sea level, ft.
    pub height_ft: f64,
    /// True heading at entry of the first side as it is flown: as told, or as the wind decides for a figure over the ground (a note says
    /// so when it is not the one told); null when there is neither (the flight then begins on north).
    pub heading_deg: Option<f64>,
    /// `within computed limits`, `within computed limits with` (see reasons), `a hazard, shown with its checks` or `outside limits`.
    /// Never a clearance.
    pub verdict: &'static str,
    /// Why, one sentence each.
    pub reasons: Vec<String>,
    /// What the airplane cannot do, when there is no flight.
    pub infeasible: Option<Infeasible>,
    /// One entry a side; empty when it cannot be flown or may not be.
    pub sides: Vec<Side>,
    /// What changes most between left and right; null when it is not known, or nothing does.
    pub difference: Option<crate::controls::Difference>,
    /// Limits with margins, worst over the sides.
    pub limits: Vec<Limit>,
    /// Gates proposed to the instructor: values at which control is taken.
    pub gates: Vec<Gate>,
    /// The way out from the worst point; null when there is no flight.
    pub recoveries: Option<Recoveries>,
    /// The sides one after the other, height block and box; null when there is no flight.
    pub series: Option<Series>,
    /// Clearing turns, one entry a side.
    pub clearing: Vec<Clearing>,
    /// The sun; null when time and place were not told.
    pub sun: Option<Sun>,
    /// Window of entry speeds and sensitivities; null when not asked for.
    pub fit: Option<Fit>,
    /// The safety sheet.
    pub safety: Vec<Safety>,
    /// Keys of the sources used.
    pub sources: Vec<&'static str>,
    /// What this document leaves out, and cautions; where a heading was told and the wind decides otherwise, which.
    pub notes: Vec<String>,
}

/// A gate: the value at which the instructor takes control. A training aid, to be agreed or changed.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Gate {
    /// What is watched, and which way.
    pub what: &'static str,
    /// The value, in `unit`.
    pub value: f64,
    /// Unit.
    pub unit: &'static str,
}

/// The day.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct DayOut {
    /// Elevation of the field, ft above mean sea level; null when it was not told (the air is then that of a field at sea level,
    /// and the floor is not computed).
    pub field_elevation_ft: Option<f64>,
    /// Altimeter setting, hPa.
    pub qnh_hpa: f64,
    /// Outside air temperature at the field, degrees Celsius.
    pub oat_c: f64,
    /// The wind.
    pub wind: WindOut,
}

/// A wind.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct WindOut {
    /// Where it comes from, degrees true.
    pub from_deg: f64,
    /// Speed, kt.
    pub speed_kt: f64,
}

/// What the airplane cannot do.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Infeasible {
    /// What is missing.
    pub what: String,
    /// Needed, in `unit`.
    pub needed: f64,
    /// Available, in `unit`.
    pub available: f64,
    /// Unit.
    pub unit: &'static str,
    /// What would help.
    pub advice: String,
}

/// The reference flight of one side.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Side {
    /// `left` or `right`: the way of the first part.
    pub direction: &'static str,
    /// At the checkpoints; empty for figures of two halves, whose parts carry them.
    pub checkpoints: Vec<Checkpoint>,
    /// Only for figures of two halves.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub parts: Option<Vec<Part>>,
    /// The whole flight as columns of equal length.
    pub path: Path,
    /// Hands and feet, and why; null when the airplane has no six-degree data or does not give what is asked.
    pub controls: Option<crate::controls::Controls>,
    /// Why there are no controls.
    pub controls_missing: Option<String>,
    /// The greatest gain of height in the same time, for a chandelle: the physical best, not the standard's target; null for other
    /// figures, and where none is found.
    pub best_gain: Option<BestGain>,
    /// What is seen from the seat.
    pub eye: Option<crate::eye::Eye>,
    /// What is said, in three voices, in the order of speaking; empty where there is no patter.
    pub patter: Vec<PatterLine>,
    /// What lies on the ground: road, point, pylons, field; empty for figures that need nothing there.
    pub marks: Vec<Mark>,
    /// Further quantities along `path`, such as the wind correction angle.
    pub columns: Vec<Column>,
    /// What the form left open and the solution found.
    pub unknowns: Vec<Unknown>,
    /// Worst values of the flight.
    pub extremes: Extremes,
}

/// The greatest gain of height in a stated time: the physical best beside the schedule, never its target.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct BestGain {
    /// Height gained at most.
    pub gain_ft: f64,
    /// Within this time, that of the reference flight.
    pub seconds: f64,
    /// Bank no steeper than this.
    pub bank_max_deg: f64,
    /// Load factor no less than this.
    pub load_factor_min: f64,
    /// Load factor no greater than this.
    pub load_factor_max: f64,
    /// The flight as columns of equal length.
    pub path: Path,
}

/// Something on the ground.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Mark {
    /// As people call it.
    pub name: &'static str,
    /// One point, or the corners of a line: north of the start, m.
    pub north_m: Vec<f64>,
    /// East of the start, m.
    pub east_m: Vec<f64>,
}

/// A further quantity along the flight.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Column {
    /// Stable key with its unit.
    pub key: &'static str,
    /// As people call it.
    pub title: &'static str,
    /// Unit.
    pub unit: &'static str,
    /// One value a sample of `path`; null where it has no meaning.
    pub values: Vec<Option<f64>>,
    /// Source key of the law it follows.
    pub source: &'static str,
}

/// One half of a figure of two halves.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Part {
    /// `left` or `right`.
    pub direction: &'static str,
    /// Begin, seconds from the start of the flight.
    pub start_s: f64,
    /// End.
    pub end_s: f64,
    /// At the checkpoints, by degrees turned since the start of the part.
    pub checkpoints: Vec<Checkpoint>,
}

/// The state at a checkpoint.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Checkpoint {
    /// Progress of the part, of the kind named by `progress`.
    pub progress_deg: f64,
    /// The phase that begins there, in figures of phases; null in others.
    pub phase: Option<String>,
    /// Degrees of heading turned since the start of the part.
    pub turn_deg: f64,
    /// Seconds from the start of the flight.
    pub time_s: f64,
    /// Bank, right positive.
    pub bank_deg: f64,
    /// Pitch, up positive.
    pub pitch_deg: f64,
    /// Calibrated airspeed.
    pub cas_kt: f64,
    /// Indicated airspeed.
    pub ias_kt: f64,
    /// Height above mean sea level.
    pub height_ft: f64,
    /// Lift over weight.
    pub load_factor: f64,
    /// Calibrated airspeed above the stall speed at this load.
    pub stall_margin_kt: f64,
}

/// The flight as columns of equal length.
#[derive(Debug, Clone, PartialEq, Default, Serialize, JsonSchema)]
pub struct Path {
    /// Seconds from the start of the flight.
    pub time_s: Vec<f64>,
    /// Progress of the part being flown, of the kind named by `progress`.
    pub progress_deg: Vec<f64>,
    /// Degrees of heading turned since the start of the part being flown.
    pub turn_deg: Vec<f64>,
    /// Over the ground, from the start, north.
    pub north_m: Vec<f64>,
    /// Over the ground, from the start, east.
    pub east_m: Vec<f64>,
    /// Height above mean sea level.
    pub height_ft: Vec<f64>,
    /// Bank, right positive.
    pub bank_deg: Vec<f64>,
    /// Pitch, up positive.
    pub pitch_deg: Vec<f64>,
    /// Heading from true north; does not jump at north.
    pub heading_deg: Vec<f64>,
    /// Calibrated airspeed.
    pub cas_kt: Vec<f64>,
    /// Indicated airspeed.
    pub ias_kt: Vec<f64>,
    /// Lift over weight.
    pub load_factor: Vec<f64>,
    /// Stall speed (calibrated) at this load.
    pub stall_kt: Vec<f64>,
}

/// Something the form left open.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Unknown {
    /// What.
    pub name: &'static str,
    /// Found value, in `unit`.
    pub value: f64,
    /// Unit.
    pub unit: &'static str,
}

/// Worst values of a flight.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Extremes {
    /// Steepest bank, positive.
    pub bank_max_deg: f64,
    /// Highest nose.
    pub pitch_max_deg: f64,
    /// Lowest nose.
    pub pitch_min_deg: f64,
    /// Greatest load factor.
    pub load_factor_max: f64,
    /// Least load factor.
    pub load_factor_min: f64,
    /// Fastest, indicated.
    pub speed_max_kt: f64,
    /// Slowest, indicated.
    pub speed_min_kt: f64,
    /// Least calibrated airspeed above the stall speed at that load.
    pub stall_margin_min_kt: f64,
    /// Highest above entry.
    pub height_gain_max_ft: f64,
    /// Lowest relative to entry, negative below.
    pub height_low_ft: f64,
}

/// A limit and how near the flight comes to it.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Limit {
    /// Stable key.
    pub id: &'static str,
    /// As people call it.
    pub title: &'static str,
    /// Worst value, in `unit`.
    pub value: f64,
    /// The limit, in `unit`.
    pub limit: f64,
    /// Unit.
    pub unit: &'static str,
    /// `above`: values must stay below the limit; `below`: values must stay above it.
    pub side: &'static str,
    /// Margin, positive when kept, in `unit`.
    pub margin: f64,
    /// Whether it is kept.
    pub kept: bool,
    /// Whether passing it forbids the flight; else something is needed, or care is.
    pub hard: bool,
    /// Source key.
    pub source: &'static str,
}

/// A line of the safety sheet.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Safety {
    /// What to check or know.
    pub text: &'static str,
    /// Source key.
    pub source: &'static str,
    /// `checked` (computed here) or `yours to check`.
    pub whose: &'static str,
    /// Whose rule it is; null where it holds everywhere.
    pub country: Option<&'static str>,
    /// What the computed flight says of it.
    pub finding: Option<String>,
}

impl From<&engine::Brief> for Brief {
    fn from(brief: &engine::Brief) -> Self {
        Self {
            schema: SCHEMA,
            maneuver: brief.maneuver.id(),
            title: brief.maneuver.title(),
            form: brief.form.key,
            progress: brief.maneuver.shape().progress.key(),
            airplane: brief.airplane_id.clone(),
            airplane_name: brief.airplane_name.clone(),
            day: day(&brief.day, brief.field_told),
            mass_kg: rounded(brief.mass.to_kg(), 1),
            height_ft: feet(brief.height.to_m()),
            heading_deg: brief.heading.map(|heading| rounded(heading.to_deg(), 1)),
            verdict: brief.verdict.words(),
            reasons: brief.reasons.clone(),
            infeasible: brief.infeasible.as_ref().map(infeasible),
            sides: brief
                .sides
                .iter()
                .enumerate()
                .map(|(index, flight)| side(brief, index, flight))
                .collect(),
            difference: brief.difference.as_ref().map(Into::into),
            limits: brief.limits.iter().map(limit).collect(),
            gates: brief.gates.iter().map(gate).collect(),
            recoveries: brief.recoveries.as_ref().map(Recoveries::from),
            series: brief.series.as_ref().map(Series::from),
            clearing: brief.clearing.iter().map(Clearing::from).collect(),
            sun: brief.sun.as_ref().map(Sun::from),
            fit: brief.fit.as_ref().map(Fit::from),
            safety: brief.safety.iter().map(safety).collect(),
            sources: brief.sources.clone(),
            notes: brief.heading_note().into_iter().chain([SAFETY_SENTENCE.into()]).collect(),
        }
    }
}

fn day(day: &Day, field_told: bool) -> DayOut {
    DayOut {
        field_elevation_ft: field_told.then(|| feet(day.field_elevation.to_m())),
        qnh_hpa: rounded(day.qnh.to_hpa(), 2),
        oat_c: rounded(day.temperature_at_field.to_c(), 2),
        wind: WindOut {
            from_deg: rounded(day.wind.from.to_deg(), 1),
            speed_kt: rounded(day.wind.speed.to_kt(), 2),
        },
    }
}

fn infeasible(infeasible: &flown::Infeasible) -> Infeasible {
    let flown::Infeasible { what, needed, available, unit, advice } = infeasible;
    Infeasible {
        what: what.clone(),
        needed: rounded(*needed, 3),
        available: rounded(*available, 3),
        unit,
        advice: advice.clone(),
    }
}

fn side(brief: &engine::Brief, index: usize, flight: &flown::ReferenceFlight) -> Side {
    let (controls, controls_missing) = crate::controls::controls(brief.hands.get(index));
    let several = flight.parts.len() > 1;
    let whole = flight.parts.first().filter(|_| !several);
    Side {
        direction: flight.direction.word(),
        checkpoints: whole.map(|part| checkpoints(flight, part)).unwrap_or_default(),
        parts: several.then(|| flight.parts.iter().map(|p| part(flight, p)).collect()),
        path: Path::from(flight.samples.as_slice()),
        controls,
        controls_missing,
        best_gain: brief.best_gains.get(index).and_then(|found| found.as_ref().ok()).map(best_gain),
        eye: brief.eyes.get(index).map(Into::into),
        patter: crate::patter::lines(&brief.patter, flight.direction),
        marks: flight.marks.iter().map(Into::into).collect(),
        columns: flight.columns.iter().map(column).collect(),
        unknowns: flight.unknowns.iter().map(unknown).collect(),
        extremes: extremes(&flight.extremes),
    }
}

fn best_gain(best: &Overlay) -> BestGain {
    BestGain {
        gain_ft: feet(best.gain_m),
        seconds: seconds(best.time_s),
        bank_max_deg: degrees(best.bank_max_rad),
        load_factor_min: rounded(best.loads.0, 3),
        load_factor_max: rounded(best.loads.1, 3),
        path: Path::from(best.samples.as_slice()),
    }
}

impl From<&flown::Mark> for Mark {
    fn from(mark: &flown::Mark) -> Self {
        let axis = |index: usize| mark.line_m.iter().map(|at| rounded(at[index], 1)).collect();
        Self { name: mark.name, north_m: axis(0), east_m: axis(1) }
    }
}

fn column(column: &flown::Column) -> Column {
    let value = |value: &f64| value.is_finite().then(|| rounded(*value, 3));
    Column {
        key: column.key,
        title: column.title,
        unit: column.unit,
        values: column.values.iter().map(value).collect(),
        source: column.source,
    }
}

fn part(flight: &flown::ReferenceFlight, part: &flown::ReferencePart) -> Part {
    let time = |index: usize| flight.samples.get(index).map_or(0.0, |s| seconds(s.time_s));
    Part {
        direction: part.direction.word(),
        start_s: time(part.first),
        end_s: time(part.last),
        checkpoints: checkpoints(flight, part),
    }
}

fn checkpoints(flight: &flown::ReferenceFlight, part: &flown::ReferencePart) -> Vec<Checkpoint> {
    part.checkpoints.iter().map(|at| checkpoint(flight, at)).collect()
}

fn checkpoint(flight: &flown::ReferenceFlight, at: &flown::Checkpoint) -> Checkpoint {
    let s = &at.sample;
    Checkpoint {
        progress_deg: rounded(at.progress_deg, 2),
        phase: flight.phase_at(at.progress_deg),
        turn_deg: degrees(s.turned_rad),
        time_s: seconds(s.time_s),
        bank_deg: degrees(s.bank_rad),
        pitch_deg: degrees(s.pitch_rad),
        cas_kt: knots(s.calibrated_airspeed_mps),
        ias_kt: knots(s.indicated_airspeed_mps),
        height_ft: feet(s.height_m),
        load_factor: rounded(s.load_factor, 3),
        stall_margin_kt: knots(s.calibrated_airspeed_mps - s.stall_speed_mps),
    }
}

impl From<&[FlightSample]> for Path {
    fn from(samples: &[FlightSample]) -> Self {
        let column = |get: fn(&FlightSample) -> f64| samples.iter().map(get).collect::<Vec<f64>>();
        Self {
            time_s: column(|s| seconds(s.time_s)),
            progress_deg: column(|s| degrees(s.progress_rad)),
            turn_deg: column(|s| degrees(s.turned_rad)),
            north_m: column(|s| rounded(s.north_m, 2)),
            east_m: column(|s| rounded(s.east_m, 2)),
            height_ft: column(|s| feet(s.height_m)),
            bank_deg: column(|s| degrees(s.bank_rad)),
            pitch_deg: column(|s| degrees(s.pitch_rad)),
            heading_deg: column(|s| degrees(s.heading_rad)),
            cas_kt: column(|s| knots(s.calibrated_airspeed_mps)),
            ias_kt: column(|s| knots(s.indicated_airspeed_mps)),
            load_factor: column(|s| rounded(s.load_factor, 3)),
            stall_kt: column(|s| knots(s.stall_speed_mps)),
        }
    }
}

fn unknown(unknown: &flown::Unknown) -> Unknown {
    Unknown { name: unknown.name, value: rounded(unknown.value, 3), unit: unknown.unit }
}

fn extremes(e: &flown::Extremes) -> Extremes {
    Extremes {
        bank_max_deg: rounded(e.bank_max_deg, 2),
        pitch_max_deg: rounded(e.pitch_max_deg, 2),
        pitch_min_deg: rounded(e.pitch_min_deg, 2),
        load_factor_max: rounded(e.load_factor_max, 3),
        load_factor_min: rounded(e.load_factor_min, 3),
        speed_max_kt: rounded(e.speed_max_kt, 2),
        speed_min_kt: rounded(e.speed_min_kt, 2),
        stall_margin_min_kt: rounded(e.stall_margin_min_kt, 2),
        height_gain_max_ft: feet(e.height_gain_max_m),
        height_low_ft: feet(e.height_low_m),
    }
}

fn limit(limit: &engine::Limit) -> Limit {
    Limit {
        id: limit.id,
        title: limit.title,
        value: rounded(limit.value, 3),
        limit: rounded(limit.limit, 3),
        unit: limit.unit,
        side: match limit.side {
            engine::LimitSide::Above => "above",
            engine::LimitSide::Below => "below",
        },
        margin: rounded(limit.margin, 3),
        kept: limit.kept,
        hard: limit.hard,
        source: limit.source,
    }
}

fn gate(gate: &engine::Gate) -> Gate {
    Gate { what: gate.what, value: rounded(gate.value, 2), unit: gate.unit }
}

fn safety(line: &engine::SafetyLine) -> Safety {
    Safety {
        text: line.line.text,
        source: line.line.source,
        whose: match line.whose {
            engine::Whose::CheckedHere => "checked",
            engine::Whose::YoursToCheck => "yours to check",
        },
        country: line.country,
        finding: line.finding.clone(),
    }
}
