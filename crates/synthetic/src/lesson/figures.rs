//! What is flown in a lesson, as what is wanted of bank, nose, power and pedals along the turn. No airplane is asked whether
//! it can: the hands do what they can.

use base::math::{sin, wrap_pi};

use super::airframe::Airframe;
use super::hands::Seen;
use super::{Attempt, rad};
use crate::dice::Dice;

/// What is wanted of the nose.
#[derive(Debug, Clone, Copy)]
pub(super) enum Nose {
    /// A height, m.
    Height(f64),
    /// A pitch attitude, rad.
    Pitch(f64),
    /// A climb, m/s.
    Climb(f64),
}

/// What is wanted of the power.
#[derive(Debug, Clone, Copy)]
pub(super) enum Power {
    /// A true airspeed, m/s.
    Speed(f64),
    /// A share of full power.
    Share(f64),
    /// As in level flight.
    Level,
}

/// What is wanted at an instant.
#[derive(Debug, Clone, Copy)]
pub(super) struct Aim {
    pub(super) bank_rad: f64,
    /// Fastest roll for it, rad/s.
    pub(super) roll_radps: f64,
    pub(super) nose: Nose,
    pub(super) power: Power,
    /// Whether this belongs to a figure: habits of the feet show there.
    pub(super) figure: bool,
}

/// One piece of a lesson.
#[derive(Debug, Clone, Copy)]
pub(super) struct Leg {
    what: What,
    /// Which way, right positive.
    sign: f64,
    /// Bank, rad.
    bank_rad: f64,
    /// Greatest pitch above that of level flight, rad, or seconds, or climb, as the piece needs it.
    size: f64,
    roll_radps: f64,
    /// Height and true airspeed of level flight.
    height_m: f64,
    speed_mps: f64,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum What {
    Straight,
    Climb,
    Descent,
    Turn,
    SteepTurn,
    Chandelle,
    LazyEight,
    WingOver,
    Spiral,
    STurns,
}

impl What {
    const fn name(self) -> Option<&'static str> {
        match self {
            Self::Straight | Self::Climb | Self::Descent | Self::Turn => None,
            Self::SteepTurn => Some("steep turn"),
            Self::Chandelle => Some("chandelle"),
            Self::LazyEight => Some("lazy eight"),
            Self::WingOver => Some("wing-over"),
            Self::Spiral => Some("steep spiral"),
            Self::STurns => Some("S-turns"),
        }
    }
}

/// A piece being flown: since when, from where.
#[derive(Debug, Clone)]
pub(super) struct Flying {
    leg: Leg,
    begun: Seen,
    /// Heading at the start of this part, rad, unwrapped; which way it goes; how many parts are done.
    from_rad: f64,
    sign: f64,
    parts: usize,
    rolling_out: bool,
}

/// Longest piece, s.
const MOST_S: f64 = 160.0;

impl Flying {
    pub(super) fn begin(leg: Leg, seen: &Seen) -> Self {
        let (begun, from_rad, sign) = (*seen, seen.heading_rad, leg.sign);
        Self { leg, begun, from_rad, sign, parts: 0, rolling_out: false }
    }
    /// The attempt, when this piece is one and is finished now.
    pub(super) fn attempt(&self, now_s: f64) -> Option<Attempt> {
        let figure = self.leg.what.name()?;
        Some(Attempt { figure, start_s: self.begun.time_s, end_s: now_s })
    }
    /// What is wanted now; `None` when the piece is finished.
    pub(super) fn aim(&mut self, seen: &Seen) -> Option<Aim> {
        let elapsed_s = seen.time_s - self.begun.time_s;
        if elapsed_s > MOST_S {
            return None;
        }
        let leg = self.leg;
        let turned_deg = self.sign * (seen.heading_rad - self.from_rad) / rad(1.0);
        let level = Aim {
            bank_rad: 0.0,
            roll_radps: leg.roll_radps,
            nose: Nose::Height(leg.height_m),
            power: Power::Speed(leg.speed_mps),
            figure: leg.what.name().is_some(),
        };
        match leg.what {
            What::Straight => (elapsed_s < leg.size).then_some(level),
            What::Climb => (elapsed_s < 40.0 && seen.height_m < leg.height_m).then_some(Aim {
                nose: Nose::Pitch(seen.pitch_level_rad + leg.size),
                power: Power::Share(1.0),
                ..level
            }),
            What::Descent => {
                let going = elapsed_s < 90.0 && seen.height_m > leg.height_m + 12.0;
                going.then_some(Aim { nose: Nose::Climb(-leg.size), ..level })
            }
            What::Turn | What::SteepTurn => self.turn(seen, turned_deg, level),
            What::Chandelle => self.chandelle(seen, turned_deg, level),
            What::LazyEight | What::WingOver => self.eight(seen, turned_deg, level),
            What::Spiral => self.spiral(seen, turned_deg, level),
            What::STurns => self.s_turns(seen, turned_deg, level),
        }
    }

    /// Whether the wings are level again after a roll-out that began `through` degrees less a lead.
    fn rolled_out(&mut self, seen: &Seen, turned_deg: f64, through_deg: f64) -> bool {
        let lead_deg = 0.5 * seen.turn_radps.abs() * seen.bank_rad.abs() / self.leg.roll_radps;
        self.rolling_out |= turned_deg >= through_deg - lead_deg / rad(1.0);
        self.rolling_out && seen.bank_rad.abs() < rad(4.0)
    }
    fn turn(&mut self, seen: &Seen, turned_deg: f64, level: Aim) -> Option<Aim> {
        if self.rolled_out(seen, turned_deg, self.leg.size) {
            return None;
        }
        let bank_rad = if self.rolling_out { 0.0 } else { self.sign * self.leg.bank_rad };
        Some(Aim { bank_rad, ..level })
    }
    fn chandelle(&mut self, seen: &Seen, turned_deg: f64, level: Aim) -> Option<Aim> {
        let slow = seen.speed_mps < 0.68 * self.leg.speed_mps || seen.near_stall;
        if turned_deg > 176.0
            || (slow && turned_deg > 120.0)
            || seen.lost(&self.begun, self.drop_most_m())
        {
            return None;
        }
        let out = ((180.0 - turned_deg) / 90.0).clamp(0.12, 1.0);
        let bank_rad = self.sign * self.leg.bank_rad * out;
        let up = (turned_deg / 85.0).clamp(0.08, 1.0) * if slow { 0.6 } else { 1.0 };
        let nose = Nose::Pitch(seen.pitch_level_rad + self.leg.size * up);
        Some(Aim { bank_rad, nose, power: Power::Share(1.0), ..level })
    }
    /// A half of a lazy eight or wing-over after the other, two of each.
    fn eight(&mut self, seen: &Seen, turned_deg: f64, level: Aim) -> Option<Aim> {
        if turned_deg > 176.0 || seen.lost(&self.begun, self.drop_most_m()) {
            self.parts += 1;
            if self.parts == 2 || seen.lost(&self.begun, self.drop_most_m()) {
                return None;
            }
            self.sign = -self.sign;
            self.from_rad = seen.heading_rad;
            return self.aim(seen);
        }
        let turned = rad(turned_deg.clamp(12.0, 168.0));
        let bank_rad = self.sign * self.leg.bank_rad * sin(turned);
        let down = if turned_deg > 90.0 { 0.85 } else { 1.0 };
        let pitch = seen.pitch_level_rad + self.leg.size * down * sin(2.0 * turned);
        let power = Power::Level;
        Some(Aim { bank_rad, nose: Nose::Pitch(pitch), power, ..level })
    }
    /// Height that may be lost before the pilot gives up, m.
    const fn drop_most_m(&self) -> f64 {
        if matches!(self.leg.what, What::Spiral) { 480.0 } else { 200.0 }
    }
    fn spiral(&mut self, seen: &Seen, turned_deg: f64, level: Aim) -> Option<Aim> {
        if self.rolled_out(seen, turned_deg, 720.0) || seen.lost(&self.begun, self.drop_most_m()) {
            return None;
        }
        let bank_rad = if self.rolling_out { 0.0 } else { self.sign * self.leg.bank_rad };
        let off_mps = seen.speed_mps - 0.9 * self.leg.speed_mps;
        let nose = Nose::Climb(-self.leg.size + 0.35 * off_mps.clamp(-8.0, 8.0));
        Some(Aim { bank_rad, nose, power: Power::Share(0.12), ..level })
    }
    fn s_turns(&mut self, seen: &Seen, turned_deg: f64, level: Aim) -> Option<Aim> {
        if self.rolled_out(seen, turned_deg, 180.0) {
            self.parts += 1;
            if self.parts == 2 {
                return None;
            }
            (self.sign, self.from_rad, self.rolling_out) = (-self.sign, seen.heading_rad, false);
        }
        // Steeper where the wind is behind: here simply by the half of the turn.
        let steep = 1.0 + 0.25 * sin(wrap_pi(rad(2.0 * turned_deg)));
        let bank = if self.rolling_out { 0.0 } else { self.sign * self.leg.bank_rad * steep };
        Some(Aim { bank_rad: bank, ..level })
    }
}

/// Draws what is flown: figures between straight flight and ordinary turns.
pub(super) fn draw(
    airframe: &Airframe,
    (speed_mps, height_m): (f64, f64),
    dice: &mut Dice,
) -> Vec<Leg> {
    /// Figures of a lesson.
    const FIGURES: usize = 6;
    let mut draw = Draw { dice, height_m, speed_mps, bank_most_deg: airframe.bank_most_deg };
    let mut legs = vec![draw.straight(25.0, 35.0)];
    legs.push(draw.turn());
    for _ in 0..FIGURES {
        legs.push(draw.straight(8.0, 25.0));
        let figure = draw.figure();
        legs.push(figure);
        match figure.what {
            What::Chandelle => legs.push(draw.descent()),
            What::Spiral => legs.push(draw.climb()),
            _ if draw.dice.share() < 0.3 => legs.push(draw.turn()),
            _ => {}
        }
    }
    legs.push(draw.straight(15.0, 25.0));
    legs
}

struct Draw<'a> {
    dice: &'a mut Dice,
    height_m: f64,
    speed_mps: f64,
    bank_most_deg: f64,
}

impl Draw<'_> {
    fn leg(&mut self, what: What, bank_deg: f64, size: f64) -> Leg {
        Leg {
            what,
            sign: if self.dice.share() < 0.5 { -1.0 } else { 1.0 },
            bank_rad: rad(bank_deg),
            size,
            roll_radps: rad(self.dice.between(9.0, 24.0)),
            height_m: self.height_m,
            speed_mps: self.speed_mps,
        }
    }
    fn straight(&mut self, least_s: f64, most_s: f64) -> Leg {
        let seconds = self.dice.between(least_s, most_s);
        self.leg(What::Straight, 0.0, seconds)
    }
    fn turn(&mut self) -> Leg {
        let (bank_deg, turn_deg) = (self.dice.between(15.0, 30.0), self.dice.between(60.0, 200.0));
        self.leg(What::Turn, bank_deg, turn_deg)
    }
    fn descent(&mut self) -> Leg {
        let sink_mps = self.dice.between(2.0, 4.0);
        self.leg(What::Descent, 0.0, sink_mps)
    }
    fn climb(&mut self) -> Leg {
        let up = rad(self.dice.between(3.0, 6.0));
        self.leg(What::Climb, 0.0, up)
    }
    fn figure(&mut self) -> Leg {
        let which = self.dice.share();
        let most = self.bank_most_deg;
        if which < 0.26 {
            let bank = self.dice.between(40.0, most);
            self.leg(What::SteepTurn, bank, 360.0)
        } else if which < 0.46 {
            let (bank, up) = (self.dice.between(24.0, 38.0), self.dice.between(9.0, 15.0));
            self.leg(What::Chandelle, bank, rad(up))
        } else if which < 0.66 {
            let (bank, up) = (self.dice.between(24.0, 38.0), self.dice.between(5.0, 11.0));
            self.leg(What::LazyEight, bank, rad(up))
        } else if which < 0.82 {
            let (bank, up) = (self.dice.between(0.8 * most, most), self.dice.between(12.0, 19.0));
            self.leg(What::WingOver, bank, rad(up))
        } else if which < 0.9 {
            let (bank, sink) = (self.dice.between(35.0, 50.0), self.dice.between(4.0, 6.5));
            self.leg(What::Spiral, bank, sink)
        } else {
            let bank = self.dice.between(25.0, 38.0);
            self.leg(What::STurns, bank, 180.0)
        }
    }
}
