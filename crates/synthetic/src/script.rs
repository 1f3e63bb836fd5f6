//! What is to be flown: the setting of a flight, its pieces, and what is done wrong on purpose.

use base::geodesy::Geodetic;
use base::kinds::{CalibratedAirspeed, GeometricHeight, TrueHeading};
use base::units::{Angle, Length, Mass};
use flight::air::Day;
use flight::airplane::Airplane;
use maneuver::Direction;

/// Airplane, day, place and hand of a flight.
#[derive(Debug, Clone, Copy)]
pub struct Setting<'a> {
    /// The airplane.
    pub airplane: &'a Airplane,
    /// Its mass.
    pub mass: Mass,
    /// The day; its wind is the same everywhere.
    pub day: &'a Day,
    /// Where the flight begins; the height here is not used.
    pub place: Geodetic,
    /// Height where it begins.
    pub height: GeometricHeight,
    /// Heading where it begins.
    pub heading: TrueHeading,
    /// Speed of straight flight and of the entries.
    pub speed: CalibratedAirspeed,
    /// The pilot's hand.
    pub hand: Hand,
    /// Seed of everything left to chance in the flight (receivers have their own).
    pub seed: u64,
}

/// How unsteady the pilot's hand is: standard deviations about what is aimed at, and how long they last.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hand {
    /// Bank, degrees.
    pub bank_deg: f64,
    /// Nose against what is wanted, degrees.
    pub pitch_deg: f64,
    /// Time over which the hand forgets, s.
    pub memory_s: f64,
}

impl Hand {
    /// A practised hand.
    pub const PRACTISED: Self = Self { bank_deg: 0.8, pitch_deg: 0.3, memory_s: 4.0 };
    /// No wander at all: for checks against closed forms.
    pub const STEADY: Self = Self { bank_deg: 0.0, pitch_deg: 0.0, memory_s: 4.0 };
}

/// One piece of a flight. Straight pieces hold heading, height and the speed of the setting unless they say otherwise.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Piece {
    /// Straight and level for so many seconds.
    Straight {
        /// Seconds.
        seconds: f64,
    },
    /// Straight at full power until so high.
    Climb {
        /// Height above mean sea level to end at.
        to: GeometricHeight,
        /// Calibrated airspeed of the climb.
        speed: CalibratedAirspeed,
    },
    /// Straight and down at 600 ft/min until so low.
    Descent {
        /// Height above mean sea level to end at.
        to: GeometricHeight,
    },
    /// A level turn of the ordinary kind.
    Turn {
        /// Which way.
        direction: Direction,
        /// How far.
        through: Angle,
        /// How steep.
        bank: Angle,
    },
    /// A figure of the catalogue.
    Figure(Figure),
}

/// A figure of the catalogue, flown after its reference flight by a hand, with a deviation on purpose.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Figure {
    /// Catalogue key.
    pub maneuver: &'static str,
    /// Form key.
    pub form: &'static str,
    /// Way of the first part.
    pub direction: Direction,
    /// What is done wrong.
    pub deviation: Deviation,
}

/// What is done wrong on purpose.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Deviation {
    /// Nothing.
    None,
    /// Bank this much steeper (positive) or shallower than the form asks, where it is steepest.
    BankOff(Angle),
    /// The last roll-out is done this much before the turn is complete.
    RolledOutEarly(Angle),
    /// The last roll-out is done this much after the turn is complete.
    RolledOutLate(Angle),
    /// A steep turn sinks by this much in its second half.
    HeightLost(Length),
    /// The nose is this much too low toward the end.
    NoseLowAtTheEnd(Angle),
    /// In the first part the bank goes on this many times as fast over the turn.
    HurriedRoll(f64),
}

impl Figure {
    /// Key of the fault that answers to its deviation in a debrief; `None` when nothing is wrong.
    #[must_use]
    pub fn fault(&self) -> Option<&'static str> {
        match self.deviation {
            Deviation::None => None,
            // A wing-over may be anything from 60 to 90 degrees steep: more is no fault.
            Deviation::BankOff(by) if by.to_rad() > 0.0 => {
                (self.maneuver != "wing-over").then_some("bank-too-steep")
            }
            Deviation::BankOff(_) => Some("bank-too-shallow"),
            Deviation::RolledOutEarly(_) => Some("rolled-out-early"),
            Deviation::RolledOutLate(_) => Some("rolled-out-late"),
            Deviation::HeightLost(_) => Some("height-lost"),
            Deviation::NoseLowAtTheEnd(_) => Some("nose-low-at-the-end"),
            Deviation::HurriedRoll(_) => Some("hurried-roll"),
        }
    }
}
