//! Quantities and days as people type them: `1010kg`, `4500ft`, `29.80inHg`, `28C`, `270/12kt`.
//!
//! A bare number is refused with a hint, and so is a number that its unit makes absurd: 29.92 hPa is a slip of the unit, and
//! a wrong number is worse than none.

use base::kinds::{GeometricHeight, IndicatedAirspeed, TrueHeading};
use base::quantity::{self, QuantityError};
use base::time::UtcInstant;
use base::units::{Angle, AngularRate, Length, Mass, Pressure, Quantity, Speed, Temperature};
use flight::air::Day;
use flight::wind::Wind;
use maneuver::patter::SpeakingRate;
use maneuver::sun::Place;

use crate::error::AppError;
use crate::suggest;

/// A typed text that is refused: what is wrong and what would be right.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{what}")]
pub struct Refused {
    /// What is wrong.
    pub what: String,
    /// What to type instead.
    pub hint: String,
}

/// A mass: `1010kg`, `2227lb`.
///
/// # Errors
/// No number, no unit, an unknown unit, or outside 50 kg to 20 t.
pub fn mass(text: &str) -> Result<Mass, Refused> {
    within(
        text,
        "1010kg",
        |mass: &Mass| (50.0..=20_000.0).contains(&mass.to_kg()),
        "50 kg to 20,000 kg",
    )
}

/// What is put on a station of the airplane: `160kg`, `0kg`.
///
/// # Errors
/// No number, no unit, an unknown unit, or outside nil to 5 t.
pub fn load(text: &str) -> Result<Mass, Refused> {
    let fits = |mass: &Mass| (0.0..=5000.0).contains(&mass.to_kg());
    within(text, "160kg", fits, "0 kg to 5,000 kg")
}

/// A height above mean sea level: `4500ft`, `1370m`.
///
/// # Errors
/// No number, no unit, an unknown unit, or outside -500 m to 11 km (the air model).
pub fn height(text: &str) -> Result<GeometricHeight, Refused> {
    let fits = |height: &GeometricHeight| (-500.0..=11_000.0).contains(&height.to_m());
    within(text, "4500ft", fits, "-500 m to 11,000 m")
}

/// A height that a brief is asked for: `4500ft`. Heights that airplanes reach and the air model does not are taken: the brief
/// answers them with numbers.
///
/// # Errors
/// No number, no unit, an unknown unit, or outside -500 m to 30 km, which is a slip.
pub fn height_of_day(text: &str) -> Result<GeometricHeight, Refused> {
    let fits = |height: &GeometricHeight| (-500.0..=30_000.0).contains(&height.to_m());
    within(text, "4500ft", fits, "-500 m to 30,000 m")
}

/// A temperature that a brief is asked for: `28C`. Days that the air model does not hold for are taken: the brief answers them with
/// numbers.
///
/// # Errors
/// No number, no unit, an unknown unit, or outside -100 C to 100 C, which is a slip.
pub fn temperature_of_day(text: &str) -> Result<Temperature, Refused> {
    let fits = |temperature: &Temperature| (-100.0..=100.0).contains(&temperature.to_c());
    within(text, "28C", fits, "-100 C to 100 C")
}

/// An altimeter setting: `1009hPa`, `29.80inHg`.
///
/// # Errors
/// No number, no unit, an unknown unit, or outside 850 hPa to 1090 hPa (beyond every pressure recorded at sea level).
pub fn qnh(text: &str) -> Result<Pressure, Refused> {
    let fits = |pressure: &Pressure| (850.0..=1090.0).contains(&pressure.to_hpa());
    within(text, "1009hPa", fits, "850 hPa to 1090 hPa (25.1 inHg to 32.2 inHg)")
}

/// An outside air temperature: `28C`, `82F`.
///
/// # Errors
/// No number, no unit, an unknown unit, or outside -60 C to 60 C.
pub fn temperature(text: &str) -> Result<Temperature, Refused> {
    let fits = |temperature: &Temperature| (-60.0..=60.0).contains(&temperature.to_c());
    within(text, "28C", fits, "-60 C to 60 C")
}

/// An indicated airspeed: `105kt`.
///
/// # Errors
/// No number, no unit, an unknown unit, or outside 20 kt to 400 kt.
pub fn airspeed(text: &str) -> Result<IndicatedAirspeed, Refused> {
    let fits = |speed: &IndicatedAirspeed| (20.0..=400.0).contains(&speed.to_kt());
    within(text, "105kt", fits, "20 kt to 400 kt")
}

/// How near the stall is told: `5kt`.
///
/// # Errors
/// No number, no unit, an unknown unit, or outside 0 kt to 30 kt.
pub fn stall_margin(text: &str) -> Result<Speed, Refused> {
    let fits = |speed: &Speed| (0.0..=30.0).contains(&speed.to_kt());
    within(text, "5kt", fits, "0 kt to 30 kt")
}

/// The greatest engine speed: `2700rpm`.
///
/// # Errors
/// No number, no unit, an unknown unit, or outside 500 rpm to 60,000 rpm.
pub fn engine_speed(text: &str) -> Result<AngularRate, Refused> {
    let fits = |speed: &AngularRate| (500.0..=60_000.0).contains(&speed.to_rpm());
    within(text, "2700rpm", fits, "500 rpm to 60,000 rpm")
}

/// A distance over the ground: `2NM`, `4km`.
///
/// # Errors
/// No number, no unit, an unknown unit, or not above nil and up to 100 km.
pub fn distance(text: &str) -> Result<Length, Refused> {
    let fits = |length: &Length| length.to_km() > 0.0 && length.to_km() <= 100.0;
    within(text, "2NM", fits, "0 to 100 km")
}

/// A flight visibility: `5km`, `3SM` (statute miles).
///
/// # Errors
/// No number, no unit, an unknown unit, or outside 0 to 200 km.
pub fn visibility(text: &str) -> Result<Length, Refused> {
    let miles = text.trim().strip_suffix("SM").and_then(|n| n.trim().parse::<f64>().ok());
    let meters = miles.map(|miles| format!("{}m", miles * base::factors::M_PER_MI));
    let fits = |length: &Length| (0.0..=200.0).contains(&length.to_km());
    let mut read = within(meters.as_deref().unwrap_or(text), "5km or 3SM", fits, "0 to 200 km");
    if let (Err(refused), Some(_)) = (&mut read, meters) {
        refused.what = format!("visibility outside 0 to 200 km: {text:?}");
    }
    read
}

/// A true heading: `270deg`.
///
/// # Errors
/// No number, no unit, an unknown unit, or outside 0 to 360 degrees.
pub fn heading(text: &str) -> Result<TrueHeading, Refused> {
    let fits = |angle: &Angle| (0.0..=360.0).contains(&angle.to_deg());
    let angle: Angle = within(text, "270deg", fits, "0 deg to 360 deg")?;
    Ok(TrueHeading::from_deg(angle.to_deg()))
}

/// An instant: `2026-06-13T14:00:00Z`, or with an offset, `2026-06-13T16:00:00+02:00`.
///
/// # Errors
/// Not of that form.
pub fn instant(text: &str) -> Result<UtcInstant, Refused> {
    UtcInstant::parse_rfc3339(text).ok_or_else(|| Refused {
        what: format!("not a time with its offset: {text:?}"),
        hint: "write 2026-06-13T14:00:00Z, or with an offset 2026-06-13T16:00:00+02:00".into(),
    })
}

/// A place in degrees: `48.1N/11.5E`.
///
/// # Errors
/// Not of that form, or beyond 90 and 180 degrees.
pub fn place(text: &str) -> Result<Place, Refused> {
    let read = |part: &str, plus: char, minus: char, most: f64| {
        let part = part.trim();
        let sign = match part.chars().last()? {
            last if last.eq_ignore_ascii_case(&plus) => 1.0,
            last if last.eq_ignore_ascii_case(&minus) => -1.0,
            _ => return None,
        };
        let degrees: f64 = part[..part.len() - 1].trim().parse().ok()?;
        (0.0..=most).contains(&degrees).then(|| Angle::from_deg(sign * degrees).to_rad())
    };
    let found = text.split_once('/').and_then(|(latitude, longitude)| {
        Some(Place {
            latitude_rad: read(latitude, 'N', 'S', 90.0)?,
            longitude_rad: read(longitude, 'E', 'W', 180.0)?,
        })
    });
    found.ok_or_else(|| Refused {
        what: format!("not a place: {text:?}"),
        hint: "write degrees with their side: 48.1N/11.5E".into(),
    })
}

/// A speaking rate: `150wpm` (words a minute).
///
/// # Errors
/// No number, no unit, an unknown unit, or outside what is spoken and followed.
pub fn speaking_rate(text: &str) -> Result<SpeakingRate, Refused> {
    let range = SpeakingRate::RANGE_WPM;
    let range = format!("{} to {} words a minute", range.start(), range.end());
    let refused = |what: String| Refused {
        what,
        hint: format!("write the number and wpm, as in 150wpm ({range})"),
    };
    let number = text.trim().strip_suffix("wpm").map(|number| number.trim().parse::<f64>());
    match number {
        Some(Ok(words)) => SpeakingRate::from_wpm(words)
            .ok_or_else(|| refused(format!("speaking rate outside {range}: {text:?}"))),
        _ => Err(refused(format!("not a speaking rate: {text:?}"))),
    }
}

/// The number of an attempt, from one: `3`.
///
/// # Errors
/// No whole number, or nil.
pub fn attempt(text: &str) -> Result<usize, Refused> {
    text.trim().parse().ok().filter(|number| *number > 0).ok_or_else(|| Refused {
        what: format!("not the number of an attempt: {text:?}"),
        hint: "write the number that stands before it in the list, such as 3".into(),
    })
}

/// A wind by where it comes from: `270/12kt`, `calm`.
///
/// # Errors
/// Not of that form, or more than 150 kt.
pub fn wind(text: &str) -> Result<Wind, Refused> {
    let refused = |error: flight::wind::WindError| Refused {
        what: error.to_string(),
        hint: error.hint().into(),
    };
    let wind = Wind::parse(text).map_err(refused)?;
    if wind.speed.to_kt() > 150.0 {
        let what = format!("a wind of more than 150 kt: {text:?}");
        return Err(Refused { what, hint: "check the unit: 270/12kt".into() });
    }
    Ok(wind)
}

fn within<Q: Quantity>(
    text: &str,
    example: &str,
    fits: impl Fn(&Q) -> bool,
    range: &str,
) -> Result<Q, Refused> {
    let value: Q = quantity::parse(text).map_err(|error| refused(&error, example))?;
    if fits(&value) {
        return Ok(value);
    }
    let units = unit_list::<Q>();
    Err(Refused {
        what: format!("{} outside {range}: {text:?}", Q::NAME),
        hint: format!("check the number and its unit, as in {example} (units: {units})"),
    })
}

fn refused(error: &QuantityError, example: &str) -> Refused {
    let hint = match error {
        QuantityError::NoUnit { units, .. } => {
            format!("write the unit too, as in {example} (units: {units})")
        }
        other => format!("{}, as in {example}", other.hint()),
    };
    Refused { what: error.to_string(), hint }
}

fn unit_list<Q: Quantity>() -> String {
    Q::UNITS.iter().map(|unit| unit.symbol).collect::<Vec<_>>().join(", ")
}

/// What was typed, by the name of each option: the same names on the command line and in the page's address.
#[derive(Debug, Clone, Default)]
pub struct Typed<'a> {
    given: Vec<(&'a str, &'a str)>,
}

impl<'a> Typed<'a> {
    /// Options and their texts; an empty text counts as not given.
    #[must_use]
    pub fn new(given: impl IntoIterator<Item = (&'a str, &'a str)>) -> Self {
        Self { given: given.into_iter().filter(|(_, text)| !text.trim().is_empty()).collect() }
    }
    /// Without these options.
    #[must_use]
    pub fn without(self, names: &[&str]) -> Self {
        Self { given: self.given.into_iter().filter(|(name, _)| !names.contains(name)).collect() }
    }
    /// Refuses options that are not known here, and options given twice: a misspelled one must not silently count for nothing.
    ///
    /// # Errors
    /// The first such option; the hint names the nearest known one.
    pub fn only(&self, known: &[&str]) -> Result<(), AppError> {
        for (index, (name, _)) in self.given.iter().enumerate() {
            if !known.contains(name) {
                return Err(suggest::unknown("option", name, known));
            }
            if self.given[..index].iter().any(|(earlier, _)| earlier == name) {
                return Err(AppError::request(format!("{name} is given twice"), "give it once"));
            }
        }
        Ok(())
    }
    /// The text of an option.
    #[must_use]
    pub fn text(&self, option: &str) -> Option<&'a str> {
        self.given.iter().find(|(name, _)| *name == option).map(|(_, text)| *text)
    }
    /// The text of an option that must be given.
    ///
    /// # Errors
    /// It is not given.
    pub fn required(&self, option: &str) -> Result<&'a str, AppError> {
        let missing =
            || AppError::request(format!("no {option} given"), format!("say which {option}"));
        self.text(option).ok_or_else(missing)
    }
    /// The quantity of an option, when it is given.
    ///
    /// # Errors
    /// The text is refused; the message names the option.
    pub fn quantity<T>(
        &self,
        option: &str,
        parse: fn(&str) -> Result<T, Refused>,
    ) -> Result<Option<T>, AppError> {
        let named =
            |Refused { what, hint }| AppError::Request { what: format!("{option}: {what}"), hint };
        self.text(option).map(parse).transpose().map_err(named)
    }
}

/// What was told of the day; what was not is taken as standard, and said.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct DayTold {
    /// Elevation of the field at which the temperature was read, and of the ground below.
    pub field_elevation: Option<GeometricHeight>,
    /// Altimeter setting.
    pub qnh: Option<Pressure>,
    /// Outside air temperature at the field.
    pub temperature: Option<Temperature>,
    /// Wind.
    pub wind: Option<Wind>,
}

impl DayTold {
    /// From what was typed.
    ///
    /// # Errors
    /// A quantity that is refused.
    pub fn read(typed: &Typed<'_>) -> Result<Self, AppError> {
        Ok(Self {
            field_elevation: typed.quantity("field-elevation", height_of_day)?,
            qnh: typed.quantity("qnh", qnh)?,
            temperature: typed.quantity("oat", temperature_of_day)?,
            wind: typed.quantity("wind", wind)?,
        })
    }

    /// The day, and what was taken for what was not told, one phrase each.
    #[must_use]
    pub fn day(&self) -> (Day, Vec<String>) {
        let mut taken = Vec::new();
        let mut day = Day::standard();
        match self.field_elevation {
            Some(elevation) => day.field_elevation = elevation,
            None => taken.push("field at sea level (field-elevation)".into()),
        }
        match self.qnh {
            Some(qnh) => day.qnh = qnh,
            None => taken.push("QNH 1013.25 hPa (qnh)".into()),
        }
        match self.wind {
            Some(wind) => day.wind = wind,
            None => taken.push("calm (wind)".into()),
        }
        match self.temperature {
            Some(temperature) => day.temperature_at_field = temperature,
            None => {
                let standard_k = day.temperature_at_field.to_k() - day.temperature_offset_k();
                day.temperature_at_field = Temperature::from_k(standard_k);
                let standard_c = day.temperature_at_field.to_c();
                taken.push(format!("standard temperature, {standard_c:.0} C at the field (oat)"));
            }
        }
        (day, taken)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(refused: Result<impl Sized, Refused>, what: &str, hint: &str) {
        let refused = refused.err().expect("must be refused");
        assert!(refused.what.contains(what), "{refused:?}");
        assert!(refused.hint.contains(hint), "{refused:?}");
    }

    #[test]
    fn prop_a_bare_number_a_wrong_unit_and_a_slip_of_unit_are_refused_with_an_example() {
        check(height("4500"), "needs a unit", "4500ft");
        check(height("4500yd"), "unknown unit \"yd\"", "units: m, ft");
        check(height("high"), "must start with a number", "4500ft");
        check(height("45000ft"), "outside", "unit");
        check(qnh("29.92hPa"), "outside 850 hPa", "inHg");
        check(temperature("82C"), "outside", "28C");
        check(temperature_of_day("180C"), "outside -100 C", "28C");
        check(height_of_day("400000ft"), "outside", "4500ft");
        check(mass("10kg"), "outside", "1010kg");
        check(airspeed("105m/s2"), "unknown unit", "105kt");
        check(distance("2"), "needs a unit", "2NM");
        check(distance("0NM"), "outside", "2NM");
        check(visibility("5"), "needs a unit", "5km");
        check(visibility("-3SM"), "outside 0 to 200 km", "3SM");
        check(heading("270"), "needs a unit", "270deg");
        check(heading("400deg"), "outside", "270deg");
        check(instant("2026-06-13"), "not a time", "Z");
        check(place("48.1/11.5"), "not a place", "48.1N/11.5E");
        check(place("98.1N/11.5E"), "not a place", "48.1N/11.5E");
        check(place("é/ü"), "not a place", "48.1N/11.5E");
        check(speaking_rate("150"), "not a speaking rate", "150wpm");
        check(speaking_rate("15wpm"), "outside 60 to 260", "150wpm");
        check(wind("270"), "not a wind", "270/12kt");
        check(wind("270/12"), "not a wind", "270/12kt");
        check(wind("270/900kt"), "more than 150 kt", "unit");
    }

    /// A day outside the air model is a question with an answer, no slip of the typist.
    #[test]
    fn prop_a_day_outside_the_air_model_is_taken_as_typed() {
        assert!((temperature_of_day("80C").expect("hot").to_c() - 80.0).abs() < 1e-9);
        assert!((height_of_day("40000ft").expect("high").to_ft() - 40_000.0).abs() < 1e-6);
    }

    #[test]
    fn prop_places_and_miles_are_read() {
        let place = place("33.5S/70.6W").expect("a place");
        assert!((place.latitude_rad - Angle::from_deg(-33.5).to_rad()).abs() < 1e-12);
        assert!((place.longitude_rad - Angle::from_deg(-70.6).to_rad()).abs() < 1e-12);
        assert!(
            (visibility("3SM").expect("miles").to_m() - 3.0 * base::factors::M_PER_MI).abs() < 1e-6
        );
        assert!((heading("090deg").expect("a heading").to_deg() - 90.0).abs() < 1e-9);
    }

    #[test]
    fn prop_a_day_of_which_nothing_is_told_is_standard_and_says_so() {
        let (day, taken) = DayTold::default().day();
        assert_eq!(taken.len(), 4, "{taken:?}");
        assert!(day.temperature_offset_k().abs() < 1e-9);
        let told = DayTold { field_elevation: height("4000ft").ok(), ..DayTold::default() };
        let (day, taken) = told.day();
        assert_eq!(taken.len(), 3);
        assert!(day.temperature_offset_k().abs() < 1e-9);
        assert!(day.temperature_at_field.to_c() < 8.0, "a high field is colder in standard air");
    }
}
