//! The brief: a maneuver for an airplane and a day.

use base::kinds::{GeometricHeight, IndicatedAirspeed, TrueHeading};
use base::units::Mass;
use flight::airplane::Airplane;
use flight::wind::Wind;
use maneuver::brief::{Brief, BriefRequest, PlaceTold, Sides, Verdict};
use maneuver::definition::Progress;
use maneuver::eye::SeatSide;
use maneuver::patter::{Script, SpeakingRate};
use maneuver::rules::{self, Country};
use maneuver::{Direction, Form, Maneuver};
use report::model::Document;
use report::papers::{self, Paper};

use crate::answer::{self, Answer};
use crate::error::{AppError, Outcome};
use crate::typed::{self, DayTold, Typed};
use crate::{choose, suggest};

/// What is asked; what is `None` is chosen by the program and said.
#[derive(Debug, Clone)]
pub struct Asked {
    /// Which maneuver.
    pub maneuver: &'static dyn Maneuver,
    /// Which form.
    pub form: Form,
    /// Which sides.
    pub sides: Sides,
    /// Which airplane.
    pub airplane: Airplane,
    /// Mass of the day.
    pub mass: Option<Mass>,
    /// Entry height above mean sea level.
    pub height: Option<GeometricHeight>,
    /// Entry speed.
    pub speed: Option<IndicatedAirspeed>,
    /// From which seat the picture is drawn.
    pub seat: SeatSide,
    /// The day.
    pub day: DayTold,
    /// True heading at entry.
    pub heading: Option<TrueHeading>,
    /// Cloud, visibility, area, sun.
    pub place: PlaceTold,
    /// Whose rules; `None` for all that are known.
    pub country: Option<&'static Country>,
    /// Whether hands and feet are computed too; words need the flight alone.
    pub hands: bool,
    /// Whether the window of entry speeds and the sensitivities are computed too.
    pub fit: bool,
    /// Whether it was flown already: shown even where a limit is passed, to be held against what was flown.
    pub flown: bool,
    /// Speaking rate; `None` for the usual one.
    pub speaking_rate: Option<SpeakingRate>,
    /// Words of one's own; `None` for those of the program.
    pub script: Option<Script>,
}

/// The words for the sides.
pub const SIDES: &[(&str, Sides)] = &[
    ("left", Sides::One(Direction::Left)),
    ("right", Sides::One(Direction::Right)),
    ("both", Sides::Both),
];

/// The words for the seats.
pub const SEATS: &[(&str, SeatSide)] = &[("left", SeatSide::Left), ("right", SeatSide::Right)];

/// The words for whether the fit is computed.
pub const FIT: &[(&str, bool)] = &[("yes", true), ("no", false)];

/// The words for whether hands and feet are computed.
pub const HANDS: &[(&str, bool)] = &[("yes", true), ("no", false)];

/// The words for whether the figure was flown already: then it is shown even where a limit is passed.
pub const FLOWN: &[(&str, bool)] = &[("yes", true), ("no", false)];

/// Names of the options of a brief.
pub const OPTIONS: &[&str] = &[
    "maneuver",
    "form",
    "direction",
    "airplane",
    "weight",
    "height",
    "speed",
    "seat",
    "field-elevation",
    "qnh",
    "oat",
    "wind",
    "heading",
    "cloud-base",
    "visibility",
    "top",
    "room",
    "time",
    "place",
    "country",
    "speaking-rate",
    "fit",
    "hands",
    "flown",
];

impl Asked {
    /// From what was typed; the airplane is found by the caller, who knows whether files may be opened.
    ///
    /// # Errors
    /// An unknown maneuver, form or side, or a quantity that is refused.
    pub fn read(typed: &Typed<'_>, airplane: Airplane) -> Result<Self, AppError> {
        typed.only(OPTIONS)?;
        let maneuver = choose::maneuver(typed.required("maneuver")?)?;
        Ok(Self {
            maneuver,
            form: choose::form(maneuver, typed.text("form"))?,
            sides: sides(typed.text("direction"))?,
            airplane,
            mass: typed.quantity("weight", typed::mass)?,
            height: typed.quantity("height", typed::height_of_day)?,
            speed: typed.quantity("speed", typed::airspeed)?,
            seat: seat(typed.text("seat"))?,
            day: DayTold::read(typed)?,
            heading: typed.quantity("heading", typed::heading)?,
            place: place(typed)?,
            country: typed.text("country").map(country).transpose()?,
            hands: yes_or_no("hands", HANDS, typed.text("hands"))?,
            fit: yes_or_no("fit", FIT, typed.text("fit"))?,
            flown: yes_or_no("flown", FLOWN, typed.text("flown").or(Some("no")))?,
            speaking_rate: typed.quantity("speaking-rate", typed::speaking_rate)?,
            script: None,
        })
    }
}

impl Asked {
    /// The words: one's own, else those of the program.
    #[must_use]
    pub fn script(&self) -> Script {
        self.script.clone().unwrap_or_else(|| {
            Script::of(self.maneuver, &self.form, self.day.wind.unwrap_or(Wind::CALM))
        })
    }
    /// The speaking rate that was told, else the usual one.
    #[must_use]
    pub fn speaking_rate(&self) -> SpeakingRate {
        self.speaking_rate.unwrap_or(SpeakingRate::USUAL)
    }
    /// Takes the words of a file. `text` is what the file named `name` holds.
    ///
    /// # Errors
    /// Every fault of the file, each with its line.
    pub fn read_script(&mut self, text: &str, name: &str) -> Result<(), AppError> {
        self.script = Some(Script::from_toml(text, name, self.maneuver, &self.form)?);
        Ok(())
    }
}

/// What is told of place and day.
fn place(typed: &Typed<'_>) -> Result<PlaceTold, AppError> {
    let sun =
        match (typed.quantity("time", typed::instant)?, typed.quantity("place", typed::place)?) {
            (Some(at), Some(place)) => Some((at, place)),
            (None, None) => None,
            (at, _) => {
                let (has, lacks) = if at.is_some() { ("time", "place") } else { ("place", "time") };
                let what = format!("{has} without {lacks}: the sun needs both");
                return Err(AppError::request(
                    what,
                    "as in --time 2026-06-13T14:00:00Z --place 48.1N/11.5E",
                ));
            }
        };
    Ok(PlaceTold {
        cloud_base: typed.quantity("cloud-base", typed::height_of_day)?,
        visibility: typed.quantity("visibility", typed::visibility)?,
        top: typed.quantity("top", typed::height_of_day)?,
        room: typed.quantity("room", typed::distance)?,
        sun,
        heading_told: false,
    })
}

fn country(typed: &str) -> Result<&'static Country, AppError> {
    let known: Vec<&str> = rules::ALL.iter().map(|country| country.key).collect();
    rules::find(typed.trim()).ok_or_else(|| suggest::unknown("country", typed, &known))
}

fn sides(typed: Option<&str>) -> Result<Sides, AppError> {
    let Some(typed) = typed else { return Ok(Sides::Both) };
    let known: Vec<&str> = SIDES.iter().map(|(word, _)| *word).collect();
    let found = SIDES.iter().find(|(word, _)| *word == typed.trim());
    found.map(|(_, sides)| *sides).ok_or_else(|| suggest::unknown("direction", typed, &known))
}

fn yes_or_no(option: &str, words: &[(&str, bool)], typed: Option<&str>) -> Result<bool, AppError> {
    let Some(typed) = typed else { return Ok(true) };
    let known: Vec<&str> = words.iter().map(|(word, _)| *word).collect();
    let found = words.iter().find(|(word, _)| *word == typed.trim());
    found.map(|(_, yes)| *yes).ok_or_else(|| suggest::unknown(option, typed, &known))
}

fn seat(typed: Option<&str>) -> Result<SeatSide, AppError> {
    let Some(typed) = typed else { return Ok(SeatSide::Left) };
    let known: Vec<&str> = SEATS.iter().map(|(word, _)| *word).collect();
    let found = SEATS.iter().find(|(word, _)| *word == typed.trim());
    found.map(|(_, seat)| *seat).ok_or_else(|| suggest::unknown("seat", typed, &known))
}

/// A brief and what was taken for what was not told.
#[derive(Debug, Clone)]
pub struct BriefAnswer {
    /// The brief.
    pub brief: Brief,
    taken: Vec<String>,
}

/// Briefs a maneuver.
#[must_use]
pub fn brief(asked: &Asked) -> BriefAnswer {
    let (day, mut taken) = asked.day.day();
    let request = BriefRequest {
        form: Some(asked.form),
        sides: asked.sides,
        mass: asked.mass,
        height: asked.height,
        speed: asked.speed.map(|speed| asked.airplane.calibrated(speed)),
        hands: asked.hands,
        seat: asked.seat,
        day,
        field_told: asked.day.field_elevation.is_some(),
        heading: asked.heading,
        place: asked.place,
        country: asked.country,
        fit: asked.fit,
        flown: asked.flown,
    };
    let mut brief = maneuver::brief::brief(asked.maneuver, &asked.airplane, &request);
    brief.speak(&asked.script(), asked.speaking_rate());
    if asked.mass.is_none() {
        taken.push(format!("{:.0} kg, two up with half fuel (weight)", brief.mass.to_kg()));
    }
    let heading_free = asked.maneuver.shape().progress != Progress::Position;
    if asked.heading.is_none() && heading_free && !request.day.wind.is_calm() {
        taken.push("entry to the north, which the wind counts from (heading)".into());
    }
    if asked.height.is_none() {
        taken.push(format!("entry at {:.0} ft above sea level (height)", brief.height.to_ft()));
    }
    BriefAnswer { brief, taken }
}

impl Answer for BriefAnswer {
    fn outcome(&self) -> Outcome {
        match self.brief.verdict {
            Verdict::OutsideLimits => Outcome::Nothing,
            Verdict::WithinComputedLimits | Verdict::WithinComputedLimitsWith | Verdict::Hazard => {
                Outcome::Done
            }
        }
    }
    fn formats(&self) -> Vec<&'static str> {
        answer::with_pictures_and_tables()
    }
    fn document(&self) -> Option<Document> {
        Some(report::brief::document(&self.brief))
    }
    fn papers(&self) -> Vec<Paper> {
        papers::OF_BRIEF.iter().map(|one| one.paper).collect()
    }
    fn on_paper(&self, key: &str) -> Option<Vec<Document>> {
        let found = papers::OF_BRIEF.iter().find(|one| one.paper.key == key)?;
        Some((found.versions)(&self.brief))
    }
    fn json(&self) -> String {
        wire::to_json(&wire::brief::Brief::from(&self.brief))
    }
    fn csv(&self) -> Option<String> {
        Some(crate::table::of_brief(&wire::brief::Brief::from(&self.brief)))
    }
    /// A table has no room for the verdict and the caution: they go beside it.
    fn remarks(&self, format: &str) -> Vec<String> {
        let taken = self.taken.iter().map(|taken| format!("not told, taken: {taken}"));
        let verdict =
            || std::iter::once(self.brief.verdict.words().into()).chain(self.brief.reasons.clone());
        let table = (format == "csv").then(|| verdict().chain([report::SAFETY_SENTENCE.into()]));
        taken.chain(table.into_iter().flatten()).collect()
    }
}
