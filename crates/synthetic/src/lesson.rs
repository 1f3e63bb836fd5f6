//! A lesson drawn from a seed: an airplane with its scatter, a day and its air, a pilot's hands, what is flown; and the
//! flight with six degrees of freedom that comes of it.
//!
//! These are flights to measure a reconstruction on: other airplanes, pilots and air than those of the check flights, with
//! slip, gusts, torque and a wind that changes. Nothing here knows the reconstruction.
//!
//! * [`airframe`]: which airplane, and how far it is from its file. `sky`: how the air moves.
//! * `figures`: what is flown, turn by turn. `hands`: from what is wanted to the controls, with habits.
//! * [`truth`]: everything fifty times a second, and the attempts in it.

pub mod airframe;
mod figures;
mod hands;
mod sky;
pub mod truth;

use base::factors::RAD_PER_DEG;
use base::geodesy::Geodetic;
use base::kinds::{GeometricHeight, TrueAirspeed, TrueHeading};
use base::time::UtcInstant;
use base::units::{Pressure, Temperature};
use flight::air::{AirColumn, Day};
use flight::earth::Earth;
use flight::trim::{Airspeed, Conditions, Trim, trim};
use flight::vehicle::{Stepping, World};
use flight::wind::Wind;

use crate::dice::Dice;
use airframe::Airframe;
use figures::Leg;
use hands::{Grip, Habits, Pilot};
pub use truth::{Attempt, Flight, Sample};

/// Step of the simulation and of the truth, s.
pub const STEP_S: f64 = 0.02;
/// Longest lesson, s.
const LONGEST_S: f64 = 900.0;

/// What sort of flying a lesson is mostly for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sort {
    /// Smooth air, feet that work.
    Coordinated,
    /// Smooth air, lazy feet or pedals pushed on purpose.
    Uncoordinated,
    /// Turbulence.
    Turbulent,
}

impl Sort {
    /// Half of the lessons coordinated, a quarter each of the others.
    const fn of(seed: u64) -> Self {
        match seed % 4 {
            2 => Self::Uncoordinated,
            3 => Self::Turbulent,
            _ => Self::Coordinated,
        }
    }
}

/// A lesson, drawn and not yet flown.
#[derive(Debug)]
pub struct Lesson {
    /// Seed of everything.
    pub seed: u64,
    /// What it is mostly for.
    pub sort: Sort,
    /// The airplane as it is, and as its file says it is.
    pub airframe: Airframe,
    /// The day; its wind is that at the height where the lesson begins.
    pub day: Day,
    /// When it begins.
    pub start: UtcInstant,
    /// Where it begins.
    pub place: Geodetic,
    sky: sky::Plan,
    habits: Habits,
    legs: Vec<Leg>,
    heading: TrueHeading,
    speed: TrueAirspeed,
}

impl Lesson {
    /// Draws a lesson.
    #[must_use]
    pub fn draw(seed: u64) -> Self {
        let mut dice = Dice::new(seed, 11);
        let sort = Sort::of(seed);
        let airframe = Airframe::draw(&mut dice);
        let place = Geodetic::from_deg(
            dice.between(-52.0, 62.0),
            dice.between(-179.9, 179.9),
            dice.between(airframe.height_m.0, airframe.height_m.1),
        );
        let wind = Wind {
            from: base::kinds::Track::from_deg(dice.between(0.0, 359.9)),
            speed: base::units::Speed::from_kt(dice.between(0.0, 28.0)),
        };
        let day = Day {
            field_elevation: GeometricHeight::from_m(0.0),
            qnh: Pressure::from_hpa(dice.between(993.0, 1036.0)),
            temperature_at_field: Temperature::from_c(15.0 + dice.between(-14.0, 16.0)),
            wind,
        };
        let speed = airframe.entry_speed(&day, place.height_m, &mut dice);
        let sky = sky::draw(sort, (&airframe, speed.to_mps(), place.height_m), wind, &mut dice);
        let habits = Habits::draw(sort, &mut dice);
        let legs = figures::draw(&airframe, (speed.to_mps(), place.height_m), &mut dice);
        let heading = TrueHeading::from_deg(dice.between(0.0, 359.9));
        let start = start(&mut dice);
        Self { seed, sort, airframe, day, start, place, sky, habits, legs, heading, speed }
    }

    /// Flies it. `None` when this airplane cannot hold level flight on this day at the speed drawn: draw another.
    /// Linear in the time flown.
    #[must_use]
    pub fn fly(&self) -> Option<Flight> {
        let column = AirColumn::of_day(&self.day, -450.0, self.place.height_m + 3000.0);
        let sky = self.sky.sky();
        let world = World { earth: Earth::WGS84, air: &column, wind: &sky };
        let trimmed = self.trimmed(&world)?;
        let vehicle = &self.airframe.vehicle;
        let grip = Grip::new(vehicle, &world, &trimmed);
        let dice = Dice::new(self.seed, 12);
        let mut pilot = Pilot::new(&self.habits, &self.legs, (grip, &self.airframe), dice);
        let mut samples: Vec<Sample> = Vec::with_capacity(30_000);
        let stepping = Stepping { step_s: STEP_S, keep_every: usize::MAX, seconds: LONGEST_S };
        let _ = vehicle.fly(&world, &trimmed.state.to_array(), &stepping, |moment| {
            // At the first moment nobody has set the controls yet: it is not part of the truth.
            if moment.time_s > 0.0 {
                let time_s = samples.len() as f64 * STEP_S;
                let wind_mps = sky.mean(moment.time_s, moment.instant.height_m);
                samples.push(Sample { time_s, wind_mps, ..Sample::of(moment, &world, vehicle) });
            }
            pilot.answer(moment, samples.last())
        });
        Some(Flight { samples, attempts: pilot.into_attempts() })
    }

    /// Level at the entry speed, or somewhat slower.
    fn trimmed(&self, world: &World<'_>) -> Option<Trim> {
        let position = world.earth.position(self.place);
        [1.0, 0.94, 0.88].into_iter().find_map(|share| {
            let speed = Airspeed::True(TrueAirspeed::from_mps(share * self.speed.to_mps()));
            let conditions =
                Conditions { heading: self.heading, ..Conditions::level(position, speed) };
            trim(&self.airframe.vehicle, world, &conditions).ok().filter(Trim::converged)
        })
    }
}

/// Some day between 2021 and 2028.
fn start(dice: &mut Dice) -> UtcInstant {
    const FIRST_MICROSECONDS: i64 = 1_609_500_000_000_000;
    const DAY_S: f64 = 86_400.0;
    let days = dice.between(0.0, 2800.0).floor();
    let of_day_s = dice.between(6.0 * 3600.0, 20.0 * 3600.0).floor();
    UtcInstant::from_unix_microseconds(FIRST_MICROSECONDS).plus_seconds(days * DAY_S + of_day_s)
}

/// Degrees to radians.
const fn rad(deg: f64) -> f64 {
    deg * RAD_PER_DEG
}
