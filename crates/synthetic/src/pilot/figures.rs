//! Figures: the reference flight of the catalogue, solved for this airplane, this day and the entry as it is, is the picture
//! the pilot has in mind. The pilot runs along it in time, hurries or waits when the turn is ahead or behind, sets its bank,
//! and pulls its load factor corrected by what the nose shows. What comes of it is the airplane's answer.

use base::factors::RAD_PER_DEG;
use base::kinds::{GeometricHeight, TrueHeading};
use flight::trajectory::FlightSample;
use maneuver::reference::{Entry, Infeasible};

use super::{LEVEL_RAD, Pilot};
use crate::cockpit::{Ask, STEP_S};
use crate::flown::{Attempt, Truth};
use crate::script::{Deviation, Figure};

/// How fast the picture runs compared with time, at the slowest and at the fastest.
const PACE: (f64, f64) = (0.5, 1.6);
/// A turn ahead or behind is caught up over this time, s.
const PACE_TIME_S: f64 = 2.5;
/// Nose against picture is put right over this time, s.
const CLIMB_TIME_S: f64 = 1.0;
/// Height against picture is put right over this time, s, by no more than [`HEIGHT_MOST_RAD`].
const HEIGHT_TIME_S: f64 = 12.0;
const HEIGHT_MOST_RAD: f64 = 2.5 * RAD_PER_DEG;
/// Fastest roll in figures, rad/s.
const ROLL_MOST_RADPS: f64 = 25.0 * RAD_PER_DEG;
/// Roll of a roll-out on purpose, rad/s.
const ROLL_OUT_RADPS: f64 = 20.0 * RAD_PER_DEG;
/// The pilot looks this far ahead in the picture, s: about what the airplane takes to follow.
const BANK_AHEAD_S: f64 = 0.6;
const PULL_AHEAD_S: f64 = 0.3;
/// A chandelle holds its wings level for this long before the recovery, s.
const CHANDELLE_HOLD_S: f64 = 1.5;
/// A part takes no longer than this many times its picture.
const TIME_MOST: f64 = 1.8;
/// The picture is taken to turn at least this fast when the turn is compared with it, rad/s.
const TURN_TO_WATCH_RADPS: f64 = 1.5 * RAD_PER_DEG;

pub(super) fn fly(pilot: &mut Pilot<'_>, figure: Figure) -> Result<Attempt, Infeasible> {
    let start_s = pilot.cockpit.time_s;
    let turned_last_rad = if figure.maneuver == "steep-turn" {
        steep_turn(pilot, figure)
    } else {
        after_picture(pilot, figure)?
    };
    let hold_s = if figure.maneuver == "chandelle" { CHANDELLE_HOLD_S } else { 0.0 };
    let end_s = last_banked_s(pilot) + hold_s;
    Ok(Attempt { figure, start_s, end_s, turned_last_rad })
}

/// When the bank was last beyond level.
fn last_banked_s(pilot: &Pilot<'_>) -> f64 {
    let banked = |truth: &&Truth| truth.sample.bank_rad.abs() > LEVEL_RAD;
    let last = pilot.cockpit.truth.iter().rev().find(banked);
    last.map_or(pilot.cockpit.time_s, |truth| truth.sample.time_s)
}

/// Height and speed held at a bank through a full turn.
fn steep_turn(pilot: &mut Pilot<'_>, figure: Figure) -> f64 {
    let sign = figure.direction.sign();
    let from_rad = pilot.cockpit.heading_rad();
    let mut bank_deg = figure.form.parse::<f64>().unwrap_or(45.0);
    let mut through_rad = std::f64::consts::TAU;
    let mut sink_m = 0.0;
    match figure.deviation {
        Deviation::BankOff(by) => bank_deg += by.to_deg(),
        Deviation::RolledOutEarly(by) => through_rad -= by.to_rad(),
        Deviation::RolledOutLate(by) => through_rad += by.to_rad(),
        Deviation::HeightLost(by) => sink_m = by.to_m(),
        Deviation::None | Deviation::NoseLowAtTheEnd(_) | Deviation::HurriedRoll(_) => {}
    }
    let sink = |turned_rad: f64| sink_m * ramp(turned_rad / RAD_PER_DEG, 110.0, 220.0);
    pilot.turn(sign, (through_rad, bank_deg * RAD_PER_DEG), sink);
    sign * (pilot.cockpit.heading_rad() - from_rad)
}

/// From nil at `from` smoothly to one at `to`.
fn ramp(value: f64, from: f64, to: f64) -> f64 {
    let s = ((value - from) / (to - from)).clamp(0.0, 1.0);
    s * s * (3.0 - 2.0 * s)
}

fn after_picture(pilot: &mut Pilot<'_>, figure: Figure) -> Result<f64, Infeasible> {
    let maneuver = maneuver::catalog::find(figure.maneuver);
    let maneuver = maneuver.ok_or_else(|| unknown("maneuver", figure.maneuver))?;
    let form = maneuver.forms().iter().find(|form| form.key == figure.form);
    let form = *form.ok_or_else(|| unknown("form", figure.form))?;
    let setting = &pilot.cockpit.setting;
    let entry = Entry {
        form,
        direction: figure.direction,
        mass: setting.mass,
        height: GeometricHeight::from_m(pilot.cockpit.height_m()),
        heading: TrueHeading::from_rad(pilot.cockpit.heading_rad()),
        speed: Some(pilot.cockpit.calibrated()),
    };
    let reference = maneuver.fly(setting.airplane, setting.day, &entry)?;
    let last = reference.parts.len() - 1;
    let mut turned_rad = 0.0;
    for (index, part) in reference.parts.iter().enumerate() {
        let picture = Picture {
            samples: reference.part_samples(part),
            sign: part.direction.sign(),
            first: index == 0,
            last: index == last,
            figure,
        };
        turned_rad = fly_part(pilot, &picture);
    }
    if figure.maneuver == "chandelle" {
        hold(pilot, CHANDELLE_HOLD_S);
    }
    Ok(turned_rad)
}

fn unknown(what: &str, key: &str) -> Infeasible {
    Infeasible {
        what: format!("no {what} {key:?} in the catalogue"),
        needed: 1.0,
        available: 0.0,
        unit: "entries",
        advice: "correct the script".into(),
    }
}

/// One part of the reference flight, as the pilot has it in mind.
struct Picture<'a> {
    samples: &'a [FlightSample],
    sign: f64,
    first: bool,
    last: bool,
    figure: Figure,
}

impl Picture<'_> {
    fn duration_s(&self) -> f64 {
        self.samples[self.samples.len() - 1].time_s - self.samples[0].time_s
    }
    /// The picture at a time since its start; held at its end.
    fn at(&self, time_s: f64) -> FlightSample {
        let last = self.samples.len() - 1;
        let place = (time_s / self.duration_s() * last as f64).clamp(0.0, last as f64);
        let index = (place as usize).min(last - 1);
        self.samples[index].mixed(&self.samples[index + 1], place - index as f64)
    }
    /// The picture where it has turned so far.
    fn at_turn(&self, turned_rad: f64) -> FlightSample {
        let after = self.samples.partition_point(|sample| sample.turned_rad < turned_rad);
        self.samples[after.min(self.samples.len() - 1)]
    }
    /// How fast the picture turns, rad/s.
    fn turn_rate_radps(&self, time_s: f64) -> f64 {
        self.at(time_s + 0.5).turned_rad - self.at(time_s - 0.5).turned_rad
    }
    /// Bank wanted, into the turn positive, with what is done wrong.
    fn bank_rad(&self, shown: &FlightSample, turned_rad: f64) -> f64 {
        let bank = self.sign * shown.lift_bank_rad;
        match self.figure.deviation {
            Deviation::BankOff(by) => {
                let greatest = self.samples.iter().map(|s| self.sign * s.lift_bank_rad);
                bank * (1.0 + by.to_rad() / greatest.fold(0.1, f64::max))
            }
            Deviation::HurriedRoll(times) if self.first => {
                let right = std::f64::consts::FRAC_PI_2;
                if turned_rad >= right {
                    return bank;
                }
                let ahead = self.at_turn((times * turned_rad).min(right));
                bank.max(self.sign * ahead.lift_bank_rad)
            }
            _ => bank,
        }
    }
    /// How much too low the nose is, on purpose, rad.
    fn nose_low_rad(&self, turned_rad: f64) -> f64 {
        let Deviation::NoseLowAtTheEnd(by) = self.figure.deviation else { return 0.0 };
        if !self.last {
            return 0.0;
        }
        let from_deg = if self.figure.maneuver == "chandelle" { 95.0 } else { 130.0 };
        by.to_rad() * ramp(turned_rad / RAD_PER_DEG, from_deg, 165.0)
    }
    /// Where the last roll-out is to end, when that is wrong on purpose, rad of turn.
    fn roll_out_rad(&self) -> Option<f64> {
        let end = std::f64::consts::PI;
        match self.figure.deviation {
            Deviation::RolledOutEarly(by) if self.last => Some(end - by.to_rad()),
            Deviation::RolledOutLate(by) if self.last => Some(end + by.to_rad()),
            _ => None,
        }
    }
}

/// Flies one part; returns the turn made in it.
fn fly_part(pilot: &mut Pilot<'_>, picture: &Picture<'_>) -> f64 {
    let from_rad = pilot.cockpit.heading_rad();
    let end_s = pilot.cockpit.time_s + TIME_MOST * picture.duration_s();
    let mut shown_s = 0.0;
    let mut rolling_out = false;
    loop {
        let turned_rad = picture.sign * (pilot.cockpit.heading_rad() - from_rad);
        let shown = picture.at(shown_s + PULL_AHEAD_S);
        let bank = picture.sign * pilot.cockpit.bank_rad();
        let mut wanted = picture.bank_rad(&picture.at(shown_s + BANK_AHEAD_S), turned_rad);
        if let Some(out_rad) = picture.roll_out_rad() {
            let lead_rad = pilot.roll_out_lead_rad(picture.sign, ROLL_OUT_RADPS);
            rolling_out |= turned_rad > 1.0 && turned_rad >= out_rad - lead_rad;
            wanted = if rolling_out { 0.0 } else { wanted.max(late_bank_rad(picture, turned_rad)) };
        }
        let through = shown_s >= picture.duration_s();
        let level = bank < LEVEL_RAD;
        let done = if picture.roll_out_rad().is_some() { rolling_out } else { through };
        // Between parts the pilot rolls through; the last ends wings level.
        if (done && (level || !picture.last)) || pilot.cockpit.time_s > end_s {
            return turned_rad;
        }
        let ask = ask(pilot, picture, &shown, (picture.sign * wanted, turned_rad));
        pilot.cockpit.step(&ask);
        shown_s += STEP_S * pace(picture, shown_s, turned_rad);
    }
}

/// When rolling out late some bank is kept until then.
fn late_bank_rad(picture: &Picture<'_>, turned_rad: f64) -> f64 {
    match picture.figure.deviation {
        Deviation::RolledOutLate(_) if turned_rad > 2.0 => 12.0 * RAD_PER_DEG,
        _ => 0.0,
    }
}

fn pace(picture: &Picture<'_>, shown_s: f64, turned_rad: f64) -> f64 {
    let rate = picture.turn_rate_radps(shown_s).max(TURN_TO_WATCH_RADPS);
    let ahead_rad = turned_rad - picture.at(shown_s).turned_rad;
    (1.0 + ahead_rad / (rate * PACE_TIME_S)).clamp(PACE.0, PACE.1)
}

fn ask(
    pilot: &Pilot<'_>,
    picture: &Picture<'_>,
    shown: &FlightSample,
    (bank_rad, turned_rad): (f64, f64),
) -> Ask {
    let cockpit = &pilot.cockpit;
    let height_off = if picture.figure.maneuver == "chandelle" {
        0.0
    } else {
        (shown.height_m - cockpit.height_m()) / (cockpit.speed_mps() * HEIGHT_TIME_S)
    };
    Ask {
        bank_rad,
        roll_most_radps: ROLL_MOST_RADPS,
        climb_rad: shown.climb_rad + height_off.clamp(-HEIGHT_MOST_RAD, HEIGHT_MOST_RAD)
            - picture.nose_low_rad(turned_rad),
        load_factor: shown.load_factor,
        climb_time_s: CLIMB_TIME_S,
        power_share: shown.power_share,
    }
}

/// Wings level, nose where it is.
fn hold(pilot: &mut Pilot<'_>, seconds: f64) {
    let end_s = pilot.cockpit.time_s + seconds;
    let (climb_rad, power) = (pilot.cockpit.climb_rad(), pilot.cockpit.command.power_share);
    while pilot.cockpit.time_s < end_s - 0.5 * STEP_S {
        let ask = pilot.ask((0.0, ROLL_MOST_RADPS), climb_rad, power);
        pilot.cockpit.step(&ask);
    }
}
