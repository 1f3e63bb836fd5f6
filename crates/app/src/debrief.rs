//! The debrief of a recording, and the attempts alone.

use assess::attempt::Attempt;
use assess::debrief::{Asked, Debrief, DebriefContext};
use assess::events::Watch;
use base::kinds::{CalibratedAirspeed, GeometricHeight, TrueHeading};
use base::units::{AngularRate, Pressure, Speed, Temperature};
use flight::air::Day;
use flight::airplane::Airplane;
use flight::wind::Wind;
use maneuver::standard::Standard;
use maneuver::{Direction, Entry, ReferenceFlight, catalog};
use motion::{Known, Motion};
use recording::{Note, NoteKind, ReadOptions, Recording};
use report::model::{Block, Document};
use report::papers::{self, Paper};

use crate::answer::{self, Answer};
use crate::corrections::Corrections;
use crate::error::{AppError, Outcome};
use crate::notes::FlightNotes;
use crate::table;
use crate::typed::{self, Typed};

/// A recording as it came.
#[derive(Debug, Clone)]
pub struct Brought {
    /// Name of the file.
    pub name: String,
    /// Its content.
    pub bytes: Vec<u8>,
    /// How it is to be read, by the user's word; the name there is not used.
    pub reading: ReadOptions,
}

impl Brought {
    /// A recording of which nothing is said.
    #[must_use]
    pub fn new(name: impl Into<String>, bytes: Vec<u8>) -> Self {
        Self { name: name.into(), bytes, reading: ReadOptions::default() }
    }

    /// Errors name the file as it was given; documents say its name without the folders.
    pub(crate) fn options(&self) -> ReadOptions {
        let name = self.name.rsplit(['/', '\\']).next().unwrap_or(&self.name);
        ReadOptions { name: name.into(), ..self.reading.clone() }
    }

    fn read(&self, one_of_several: bool) -> Result<Recording, AppError> {
        let named = |error| AppError::Recording { name: self.name.clone(), error };
        let options = ReadOptions { one_of_several, ..self.options() };
        recording::read(&self.bytes, &options).map_err(named)
    }
}

/// Reads the recordings of one flight: one, or several that are joined. The bytes of each are given back as soon as it is
/// read: what comes after holds samples alone.
///
/// # Errors
/// None was given, one cannot be read, or they cannot be joined.
pub fn recording_of(brought: Vec<Brought>) -> Result<Recording, AppError> {
    units_of_some(&brought)?;
    let several = brought.len() > 1;
    let read = |one: Brought| one.read(several);
    let mut read = brought.into_iter().map(read).collect::<Result<Vec<_>, _>>()?;
    match read.len() {
        0 => Err(AppError::request("no recording given", "give the file of a recording")),
        1 => Ok(read.remove(0)),
        _ => Ok(recording::merge(&read)?),
    }
}

/// What is known of the flight besides its recording.
#[derive(Debug, Clone, Default)]
pub struct Told {
    /// The airplane flown.
    pub airplane: Option<Airplane>,
    /// Altimeter setting.
    pub qnh: Option<Pressure>,
    /// Outside air temperature at the height first flown.
    pub temperature: Option<Temperature>,
    /// Wind; else it is found from the track.
    pub wind: Option<Wind>,
    /// Elevation of the ground in the practice area.
    pub ground_elevation: Option<GeometricHeight>,
    /// What is watched for in the whole flight.
    pub watch: Watch,
    /// Who flew what, and with what help.
    pub notes: FlightNotes,
    /// What the user corrected in the attempts found.
    pub corrections: Corrections,
    /// Whether plain climbing, descending and standard-rate turns are reported too.
    pub plain_turns: bool,
    /// Number of the attempt that documents tell in full, from one; else they tell all.
    pub attempt: Option<usize>,
}

/// The names of columns stand among so many first bytes.
const HEAD_BYTES: usize = 64 * 1024;

/// Names of the options of a debrief; the standard and the recording are chosen by the caller.
pub const OPTIONS: &[&str] = &[
    "name",
    "airplane",
    "standard",
    "wind",
    "qnh",
    "oat",
    "ground-elevation",
    "stall-margin",
    "engine-speed-max",
    "attempt",
];

impl Told {
    /// From what was typed; the airplane is found by the caller, who knows whether files may be opened.
    ///
    /// # Errors
    /// A quantity that is refused.
    pub fn read(typed: &Typed<'_>, airplane: Option<Airplane>) -> Result<Self, AppError> {
        typed.only(OPTIONS)?;
        Ok(Self {
            airplane,
            qnh: typed.quantity("qnh", typed::qnh)?,
            temperature: typed.quantity("oat", typed::temperature)?,
            wind: typed.quantity("wind", typed::wind)?,
            ground_elevation: typed.quantity("ground-elevation", typed::height)?,
            watch: Watch {
                stall_margin_kt: typed
                    .quantity("stall-margin", typed::stall_margin)?
                    .map_or(Watch::default().stall_margin_kt, Speed::to_kt),
                engine_speed_max_rpm: typed
                    .quantity("engine-speed-max", typed::engine_speed)?
                    .map(AngularRate::to_rpm),
            },
            notes: FlightNotes::default(),
            corrections: Corrections::default(),
            plain_turns: false,
            attempt: typed.quantity("attempt", typed::attempt)?,
        })
    }
}

/// A unit said of several recordings must be that of a column of some of them.
fn units_of_some(brought: &[Brought]) -> Result<(), AppError> {
    let head = |one: &Brought| {
        let head = &one.bytes[..one.bytes.len().min(HEAD_BYTES)];
        String::from_utf8_lossy(head).to_lowercase()
    };
    let heads: Vec<String> = brought.iter().filter(|_| brought.len() > 1).map(head).collect();
    let units = brought.iter().flat_map(|one| &one.reading.units);
    for (column, unit) in units.filter(|_| brought.len() > 1) {
        if !heads.iter().any(|head| head.contains(&column.to_lowercase())) {
            let what =
                format!("--unit {column}={unit}: none of the recordings names a column {column}");
            return Err(AppError::request(
                what,
                "write the column as the header of its table spells it",
            ));
        }
    }
    Ok(())
}

/// Names of the recordings, for messages.
fn names(brought: &[Brought]) -> String {
    brought.iter().map(|brought| brought.name.as_str()).collect::<Vec<_>>().join(" + ")
}

/// Reads the recordings of one flight and finds its motion.
///
/// # Errors
/// As [`recording_of`], or they determine no motion.
pub fn motion_of(brought: Vec<Brought>, told: &Told) -> Result<(Recording, Motion), AppError> {
    let name = names(&brought);
    let recording = recording_of(brought)?;
    let known = Known {
        airplane: told.airplane.as_ref(),
        qnh: told.qnh,
        temperature: told.temperature,
        wind: told.wind,
    };
    let named = |error| AppError::Motion { name, error };
    let motion = motion::reconstruct(&recording, &known).map_err(named)?;
    Ok((recording, motion))
}

/// Debriefs a flight, recorded in one or several files. Linear in its length.
///
/// # Errors
/// As [`motion_of`], or a correction fits nothing.
pub fn debrief(
    brought: Vec<Brought>,
    told: &Told,
    standard: &Standard,
) -> Result<DebriefAnswer, AppError> {
    let (recording, motion) = motion_of(brought, told)?;
    let context = DebriefContext {
        airplane: told.airplane.as_ref(),
        standard,
        ground_elevation_m: told.ground_elevation.map(GeometricHeight::to_m),
    };
    let corrections = &told.corrections;
    let asked = Asked { plain_turns: told.plain_turns, corrections: &corrections.list };
    let found = assess::debrief::asked(recording, motion, &context, &told.watch, &asked);
    let mut debrief = found.map_err(|misfit| corrections.misfit(misfit))?;
    if let Some(number) = told.attempt.filter(|number| *number > debrief.attempts.len()) {
        let count = debrief.attempts.len();
        return Err(AppError::request(
            format!("attempt {number} is asked for, and {count} were found"),
            "see their numbers with `skychalk find`, or leave the number out",
        ));
    }
    let lost = told.notes.tell(&mut debrief.attempts);
    debrief.notes.extend(lost.into_iter().map(|text| Note { kind: NoteKind::Odd, text }));
    Ok(DebriefAnswer { debrief, told: told.clone(), own_account: false })
}

/// The reference flight beside each attempt, when the airplane is known. Why there is none is told in the notes. Solving
/// them costs more than the rest of a debrief, so only documents have them.
/// Only that of the attempt that was asked for, when one was.
pub(crate) fn references(debrief: &mut Debrief, told: &Told) -> Vec<Option<ReferenceFlight>> {
    let Some(airplane) = &told.airplane else { return Vec::new() };
    let mut flights = Vec::with_capacity(debrief.attempts.len());
    let mut missing = Vec::new();
    for (index, attempt) in debrief.attempts.iter().enumerate() {
        if told.attempt.is_some_and(|number| number != index + 1) {
            flights.push(None);
            continue;
        }
        match reference(attempt, &debrief.motion, airplane, told) {
            Ok(flight) => flights.push(Some(flight)),
            Err(why) => {
                flights.push(None);
                missing.push(format!(
                    "attempt {}: no reference flight is drawn beside it: {why}",
                    index + 1
                ));
            }
        }
    }
    let note = |text| Note { kind: NoteKind::Missing, text };
    debrief.notes.extend(missing.into_iter().map(note));
    flights
}

/// The flight that this airplane would make of the attempt's figure from the attempt's own entry: same height, speed,
/// heading, wind, and the side to which it was flown.
fn reference(
    attempt: &Attempt,
    motion: &Motion,
    airplane: &Airplane,
    told: &Told,
) -> Result<ReferenceFlight, String> {
    let maneuver = catalog::find(attempt.maneuver).ok_or("it is not in the catalogue")?;
    let form = maneuver.forms().iter().find(|form| form.key == attempt.form);
    let place = motion.place_at(attempt.start_s).ok_or("the recording is empty")?;
    let value = |column: &Option<motion::Column>| column.as_ref().map(|c| c.at(place).0);
    let height_m = value(&motion.height_m).ok_or("the recording has no height")?;
    let speed_mps =
        value(&motion.calibrated_airspeed_mps).ok_or("the recording gives no airspeed")?;
    let heading_rad = value(&motion.heading_rad).ok_or("the recording gives no heading")?;
    let height = GeometricHeight::from_m(height_m);
    let entry = Entry {
        form: *form.ok_or("its form is not in the catalogue")?,
        direction: attempt.side(motion).unwrap_or(Direction::Left),
        mass: airplane.masses.typical,
        height,
        heading: TrueHeading::from_rad(heading_rad),
        speed: Some(CalibratedAirspeed::from_mps(speed_mps)),
    };
    let wind = value(&motion.wind_north_mps).zip(value(&motion.wind_east_mps));
    let mut day = Day::standard();
    day.qnh = told.qnh.unwrap_or(day.qnh);
    day.wind = wind.map_or(day.wind, |(north, east)| Wind::from_velocity(north, east));
    if let Some(temperature) = told.temperature {
        // The temperature told is that of the air first flown in, so that height is where it was read.
        let first = motion.airborne.iter().position(|airborne| *airborne).unwrap_or(0);
        let read_m = motion.height_m.as_ref().map_or(height_m, |column| column.value[first]);
        day.field_elevation = GeometricHeight::from_m(read_m);
        day.temperature_at_field = temperature;
    }
    let mut flight =
        maneuver.fly(airplane, &day, &entry).map_err(|infeasible| infeasible.to_string())?;
    // Beside a half stands a half.
    flight.parts.truncate(attempt.parts.len());
    Ok(flight)
}

/// The debrief of a recording.
#[derive(Debug, Clone)]
pub struct DebriefAnswer {
    /// The debrief.
    pub debrief: Debrief,
    pub(crate) told: Told,
    own_account: bool,
}

impl DebriefAnswer {
    /// Documents begin with what to ask the student before any figure is seen.
    #[must_use]
    pub const fn with_own_account(mut self, asked: bool) -> Self {
        self.own_account = asked;
        self
    }
    /// Place of the attempt that documents tell in full, from nil.
    fn only(&self) -> Option<usize> {
        self.told.attempt.map(|number| number - 1)
    }
    /// The attempts alone.
    #[must_use]
    pub fn found(self) -> FindAnswer {
        FindAnswer { debrief: self.debrief }
    }
}

impl Answer for DebriefAnswer {
    fn outcome(&self) -> Outcome {
        outcome(&self.debrief)
    }
    fn formats(&self) -> Vec<&'static str> {
        answer::with_pictures_and_tables()
    }
    fn document(&self) -> Option<Document> {
        let mut debrief = self.debrief.clone();
        let references = references(&mut debrief, &self.told);
        let mut document = report::debrief::document_with(&debrief, &references, self.only());
        if self.own_account {
            document.blocks.splice(0..0, report::debrief::own_account(&debrief));
        }
        Some(document)
    }
    fn papers(&self) -> Vec<Paper> {
        vec![papers::DEBRIEF, papers::WHOLE]
    }
    fn on_paper(&self, key: &str) -> Option<Vec<Document>> {
        if key != papers::DEBRIEF.key {
            return self.document().map(|document| vec![document]);
        }
        let mut debrief = self.debrief.clone();
        let references = references(&mut debrief, &self.told);
        let mut document = papers::debrief(&debrief, &references, self.only());
        if self.own_account {
            // on a page of its own: the figures are turned to when it is answered
            let asked = report::debrief::own_account(&debrief);
            document.blocks.splice(0..0, asked.into_iter().chain([Block::PageBreak]));
        }
        Some(vec![document])
    }
    fn json(&self) -> String {
        wire::to_json(&wire::debrief::Debrief::from(&self.debrief))
    }
    fn csv(&self) -> Option<String> {
        Some(table::debrief(&self.debrief))
    }
    fn remarks(&self, format: &str) -> Vec<String> {
        remarks(&self.debrief, format)
    }
}

/// The attempts of a recording alone.
#[derive(Debug, Clone)]
pub struct FindAnswer {
    debrief: Debrief,
}

impl Answer for FindAnswer {
    fn outcome(&self) -> Outcome {
        outcome(&self.debrief)
    }
    fn formats(&self) -> Vec<&'static str> {
        answer::of_finds()
    }
    fn document(&self) -> Option<Document> {
        Some(report::debrief::found(&self.debrief))
    }
    fn json(&self) -> String {
        wire::to_json(&wire::debrief::Find::from(&self.debrief))
    }
    fn csv(&self) -> Option<String> {
        Some(table::found(&self.debrief))
    }
    fn remarks(&self, format: &str) -> Vec<String> {
        remarks(&self.debrief, format)
    }
}

fn outcome(debrief: &Debrief) -> Outcome {
    if debrief.attempts.is_empty() { Outcome::Nothing } else { Outcome::Done }
}

/// A table has no room for notes and the caution: they go beside it.
fn remarks(debrief: &Debrief, format: &str) -> Vec<String> {
    let mut remarks = Vec::new();
    if format == "csv" {
        remarks.extend(debrief.notes.iter().map(|note| note.text.clone()));
        if debrief.attempts.is_empty() {
            remarks.push("no attempts found".into());
        }
        remarks.push(report::SAFETY_SENTENCE.into());
    }
    remarks
}
