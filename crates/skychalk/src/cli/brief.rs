//! `skychalk brief`.

use app::airplane_balance::{self, BalanceAnswer};
use app::answer::{Wanted, with_pictures_and_tables};
use app::brief::{Asked, brief};
use app::{AppError, Outcome, choose};
use clap::Args;
use clap::builder::PossibleValuesParser;

use super::options::{DayOptions, PageOptions, ReaderOptions, typed, words};
use super::terminal;

/// Which maneuver is flown, by what, and on which day.
#[derive(Debug, Args)]
pub(super) struct Flown {
    /// Key of the maneuver, such as chandelle (see `skychalk maneuver list`)
    #[arg(value_name = "MANEUVER")]
    maneuver: String,
    /// Airplane: a key (see `skychalk airplane list`) or an airplane file
    #[arg(long, value_name = "AIRPLANE")]
    airplane: Option<String>,
    /// Form of the maneuver, such as steep (see `skychalk maneuver show`); else the usual one
    #[arg(long)]
    form: Option<String>,
    /// Which way (of the first part)
    #[arg(long, value_parser = words(&["left", "right", "both"]), default_value = "both")]
    direction: String,
    /// Mass of the day, such as 1010kg or 2200lb; else two up with half fuel
    #[arg(long, allow_hyphen_values = true)]
    weight: Option<String>,
    /// Weight from what is put on the stations of the airplane, such as "seats=165kg" or fuel=80l; may be repeated, instead of --weight
    #[arg(long, value_name = "STATION=MASS", conflicts_with = "weight")]
    load: Vec<String>,
    /// Entry height above mean sea level, such as 4500ft; else one with room over the floor
    #[arg(long, allow_hyphen_values = true)]
    height: Option<String>,
    /// Entry speed, indicated, such as 105kt; else the one the maneuver asks for
    #[arg(long, allow_hyphen_values = true)]
    speed: Option<String>,
    /// Seat from which the picture is drawn, side by side: the left one, or the instructor's right one
    #[arg(long, value_parser = words(&["left", "right"]), default_value = "left")]
    seat: String,
    #[command(flatten)]
    day: DayOptions,
    /// True heading at entry, such as 270deg
    #[arg(long, value_name = "HEADING")]
    heading: Option<String>,
    /// Base of the cloud above mean sea level, such as 5000ft
    #[arg(long, value_name = "HEIGHT")]
    cloud_base: Option<String>,
    /// Flight visibility, such as 8km or 5SM
    #[arg(long, value_name = "DISTANCE")]
    visibility: Option<String>,
    /// Top of the airspace that may be used, above mean sea level, such as 6000ft
    #[arg(long, value_name = "HEIGHT")]
    top: Option<String>,
    /// From the entry point to the nearest edge of the area, such as 2NM
    #[arg(long, value_name = "DISTANCE")]
    room: Option<String>,
    /// When it is flown, for the sun, such as 2026-06-13T14:00:00Z (with --place)
    #[arg(long, value_name = "TIME")]
    time: Option<String>,
    /// Where it is flown, for the sun, such as 48.1N/11.5E (with --time)
    #[arg(long, value_name = "PLACE")]
    place: Option<String>,
    /// Whose rules: us, eu, uk, canada, australia, south-africa; else all of them are listed
    #[arg(long, value_name = "COUNTRY")]
    country: Option<String>,
    /// Speaking rate of the patter, such as 150wpm (words a minute)
    #[arg(long, value_name = "RATE")]
    speaking_rate: Option<String>,
}

impl Flown {
    /// The airplane as loaded; `None` where no loads are told.
    fn loaded(&self) -> Result<Option<BalanceAnswer>, AppError> {
        if self.load.is_empty() {
            return Ok(None);
        }
        let airplane = self.airplane.as_deref().ok_or_else(choose::no_airplane)?;
        airplane_balance::balance(choose::airplane(airplane)?, &self.load).map(Some)
    }

    /// The request, airplane file opened.
    pub(super) fn asked(&self) -> Result<Asked, AppError> {
        let (maneuver, direction) = (Some(self.maneuver.clone()), Some(self.direction.clone()));
        let seat = Some(self.seat.clone());
        let loaded = self.loaded()?.map(|loaded| format!("{:.1}kg", loaded.mass().to_kg()));
        let weight = self.weight.clone().or(loaded);
        let given = [
            ("maneuver", &maneuver),
            ("form", &self.form),
            ("direction", &direction),
            ("weight", &weight),
            ("height", &self.height),
            ("speed", &self.speed),
            ("seat", &seat),
            ("field-elevation", &self.day.field_elevation),
            ("qnh", &self.day.qnh),
            ("oat", &self.day.oat),
            ("wind", &self.day.wind),
            ("heading", &self.heading),
            ("cloud-base", &self.cloud_base),
            ("visibility", &self.visibility),
            ("top", &self.top),
            ("room", &self.room),
            ("time", &self.time),
            ("place", &self.place),
            ("country", &self.country),
            ("speaking-rate", &self.speaking_rate),
        ];
        // The maneuver is looked at before the airplane file is opened: the cheaper mistake is told first.
        choose::maneuver(&self.maneuver)?;
        let airplane = self.airplane.as_deref().ok_or_else(choose::no_airplane)?;
        let airplane = choose::airplane(airplane)?;
        Asked::read(&typed(&given), airplane)
    }
}

/// Compute how an airplane flies a maneuver on a day, and inside which limits
///
/// The maneuver is solved for the airplane and the day and held against the limits of the airplane. What is not told is
/// taken as usual, and said.
///
/// Example: skychalk brief wing-over --airplane sandpiper-550 --height 6000ft --oat 20C --format html -o wing-over.html
#[derive(Debug, Args)]
pub(super) struct Brief {
    #[command(flatten)]
    flown: Flown,
    /// Whether the window of entry speeds and what becomes of it a little heavier, higher, warmer, weaker are computed too: some
    /// twenty more flights
    #[arg(long, value_parser = words(&["yes", "no"]), default_value = "yes")]
    fit: String,
    /// Form of the answer; csv is the flight itself, one time a row
    #[arg(long, value_parser = words(&with_pictures_and_tables()), default_value = "text")]
    format: String,
    /// Paper to put it on: the brief on one page, the kneeboard card, the safety sheet, or the whole; with --format pdf, html or svg
    #[arg(long, value_name = "PAPER", value_parser = papers())]
    paper: Option<String>,
    #[command(flatten)]
    page: PageOptions,
    #[command(flatten)]
    reader: ReaderOptions,
}

fn papers() -> PossibleValuesParser {
    let keys: Vec<&str> = report::papers::OF_BRIEF.iter().map(|one| one.paper.key).collect();
    words(&keys)
}

impl Brief {
    pub(super) fn run(&self) -> Result<Outcome, AppError> {
        // An airplane out of its limits is not briefed: it is told why.
        if let Some(loaded) = self.flown.loaded()?
            && !loaded.passed().is_empty()
        {
            return terminal::deliver(&loaded, &self.format, &self.reader);
        }
        let asked = Asked { fit: self.fit == "yes", ..self.flown.asked()? };
        let answer = brief(&asked);
        let wanted = Wanted {
            format: &self.format,
            paper: self.paper.as_deref(),
            page_size: self.page.page_size.as_deref(),
            units: self.reader.shown_in.as_deref(),
        };
        terminal::deliver_as(&answer, &wanted, self.reader.output())
    }
}
