//! The pilot: feedback laws for straight flight, climbs, descents and turns; figures are in [`figures`].
//!
//! The pilot sees bank, nose, height and speed, and corrects each within a few seconds; the hand adds its wander.

mod figures;

use base::factors::{MPS_PER_FPM, RAD_PER_DEG, STANDARD_GRAVITY_MPS2};
use base::math::{asin, cos, ln, sin, tan};
use base::numerics::root;
use maneuver::reference::Infeasible;

use crate::cockpit::{Ask, Cockpit, STEP_S};
use crate::flown::{Attempt, Flown};
use crate::script::{Piece, Setting};

/// Roll of ordinary flying, rad/s.
const ROLL_ORDINARY_RADPS: f64 = 10.0 * RAD_PER_DEG;
/// Errors of height are taken out over about this time, s, at no more than [`CLIMB_CORRECTION_MOST_RAD`].
const HEIGHT_TIME_S: f64 = 6.0;
const CLIMB_CORRECTION_MOST_RAD: f64 = 3.0 * RAD_PER_DEG;
/// Errors of the climb angle are taken out over this time, s.
const CLIMB_TIME_S: f64 = 1.2;
/// Errors of speed are taken out over about this time, s.
const SPEED_TIME_S: f64 = 8.0;
/// Wings count as level within this.
const LEVEL_RAD: f64 = 3.0 * RAD_PER_DEG;
/// Nothing lasts longer than this: a guard against a piece that never ends, s.
const PIECE_MOST_S: f64 = 900.0;
/// The rate of descents.
const SINK_MPS: f64 = 600.0 * MPS_PER_FPM;

/// Flies the pieces one after the other. Linear in the time flown.
///
/// # Errors
/// When the airplane cannot do a figure on this day.
pub fn fly(setting: Setting<'_>, pieces: &[Piece]) -> Result<Flown, Infeasible> {
    let height_m = setting.height.to_m();
    let mut pilot = Pilot { cockpit: Cockpit::new(setting), height_m, attempts: Vec::new() };
    for piece in pieces {
        pilot.piece(piece)?;
    }
    Ok(Flown { truth: pilot.cockpit.truth, attempts: pilot.attempts })
}

struct Pilot<'a> {
    cockpit: Cockpit<'a>,
    /// Height held between pieces.
    height_m: f64,
    attempts: Vec<Attempt>,
}

impl Pilot<'_> {
    fn piece(&mut self, piece: &Piece) -> Result<(), Infeasible> {
        match *piece {
            Piece::Straight { seconds } => self.straight(seconds),
            Piece::Climb { to, speed } => self.climb(to.to_m(), self.cockpit.true_mps(speed)),
            Piece::Descent { to } => self.descent(to.to_m()),
            Piece::Turn { direction, through, bank } => {
                self.turn(direction.sign(), (through.to_rad(), bank.to_rad()), |_| 0.0);
            }
            Piece::Figure(figure) => {
                self.settle();
                let attempt = figures::fly(self, figure)?;
                self.attempts.push(attempt);
            }
        }
        Ok(())
    }
    /// Straight and level at the speed of the setting until height and speed are there: an entry.
    fn settle(&mut self) {
        const LEAST_S: f64 = 6.0;
        let begun_s = self.cockpit.time_s;
        loop {
            self.straight(1.0);
            let speed_off = self.cockpit.speed_mps() - self.speed_wanted_mps();
            let height_off = self.cockpit.height_m() - self.height_m;
            let calm = speed_off.abs() < 0.8 && height_off.abs() < 6.0;
            let waited_s = self.cockpit.time_s - begun_s;
            if (calm && waited_s >= LEAST_S) || waited_s > PIECE_MOST_S {
                return;
            }
        }
    }
    fn speed_wanted_mps(&self) -> f64 {
        self.cockpit.true_mps(self.cockpit.setting.speed)
    }
    fn straight(&mut self, seconds: f64) {
        let end_s = self.cockpit.time_s + seconds;
        while self.cockpit.time_s < end_s - 0.5 * STEP_S {
            let ask = self.level(0.0, self.height_m, ROLL_ORDINARY_RADPS);
            self.cockpit.step(&ask);
        }
    }
    fn climb(&mut self, to_m: f64, speed_mps: f64) {
        let end_s = self.cockpit.time_s + PIECE_MOST_S;
        // The level-off is led by what the climb carries on in a few seconds.
        let lead_s = 4.0;
        while self.cockpit.time_s < end_s {
            let rate_mps = self.cockpit.speed_mps() * sin(self.cockpit.climb_rad());
            if self.cockpit.height_m() + lead_s * rate_mps >= to_m {
                break;
            }
            // Pitch for speed: what the excess thrust does not put into speed goes into the climb.
            let faster = ((speed_mps - self.cockpit.speed_mps()) / SPEED_TIME_S).clamp(-1.0, 1.0);
            let excess = self.excess_mps2(1.0);
            let climb_rad = asin(((excess - faster) / STANDARD_GRAVITY_MPS2).clamp(-0.2, 0.2));
            let ask = self.ask((0.0, ROLL_ORDINARY_RADPS), climb_rad, 1.0);
            self.cockpit.step(&ask);
        }
        self.height_m = to_m;
    }
    fn descent(&mut self, to_m: f64) {
        let end_s = self.cockpit.time_s + PIECE_MOST_S;
        while self.cockpit.time_s < end_s && self.cockpit.height_m() > to_m + 4.0 * SINK_MPS {
            let climb_rad = -asin((SINK_MPS / self.cockpit.speed_mps()).min(0.5));
            let power = self.power_for_speed(climb_rad);
            let ask = self.ask((0.0, ROLL_ORDINARY_RADPS), climb_rad, power);
            self.cockpit.step(&ask);
        }
        self.height_m = to_m;
    }
    /// A level turn; `sink_m` is how far the height held is let down at a turn, rad. The roll-out is led.
    fn turn(
        &mut self,
        sign: f64,
        (through_rad, bank_rad): (f64, f64),
        sink_m: impl Fn(f64) -> f64,
    ) {
        // Steeper turns are rolled into faster.
        let roll_radps = ROLL_ORDINARY_RADPS.max(bank_rad / 3.0);
        let from_rad = self.cockpit.heading_rad();
        let end_s = self.cockpit.time_s + PIECE_MOST_S;
        let mut rolling_out = false;
        while self.cockpit.time_s < end_s {
            let turned_rad = sign * (self.cockpit.heading_rad() - from_rad);
            let lead_rad = self.roll_out_lead_rad(sign, roll_radps);
            rolling_out |= turned_rad >= through_rad - lead_rad;
            if rolling_out && self.cockpit.bank_rad().abs() < LEVEL_RAD {
                break;
            }
            let bank = if rolling_out { 0.0 } else { sign * bank_rad };
            let ask = self.level(bank, self.height_m - sink_m(turned_rad), roll_radps);
            self.cockpit.step(&ask);
        }
    }
    /// Turn still made while the bank comes off evenly: the rate goes with the tangent of the bank, whose integral over the
    /// bank is the logarithm of its cosine.
    fn roll_out_lead_rad(&self, sign: f64, roll_radps: f64) -> f64 {
        /// Reaction and roll mode.
        const DELAY_S: f64 = 0.15;
        let bank = (sign * self.cockpit.bank_rad()).clamp(1e-3, 1.4);
        let rate = (sign * self.cockpit.turn_rate_radps()).max(0.0);
        rate * (-ln(cos(bank)) / (tan(bank) * roll_radps) + DELAY_S)
    }
    /// Height and speed held at a bank.
    fn level(&self, bank_rad: f64, height_m: f64, roll_most_radps: f64) -> Ask {
        let off_m = height_m - self.cockpit.height_m();
        let climb_rad = (off_m / (self.cockpit.speed_mps() * HEIGHT_TIME_S))
            .clamp(-CLIMB_CORRECTION_MOST_RAD, CLIMB_CORRECTION_MOST_RAD);
        let power = self.power_for_speed(climb_rad);
        self.ask((bank_rad, roll_most_radps), climb_rad, power)
    }
    fn ask(&self, (bank_rad, roll_most_radps): (f64, f64), climb_rad: f64, power: f64) -> Ask {
        let bank_now = self.cockpit.bank_rad();
        Ask {
            bank_rad,
            roll_most_radps,
            climb_rad,
            load_factor: cos(self.cockpit.climb_rad()) / cos(bank_now).max(0.3),
            climb_time_s: CLIMB_TIME_S,
            power_share: power,
        }
    }
    /// Thrust less drag at a share of power, for each kilogram.
    fn excess_mps2(&self, power_share: f64) -> f64 {
        let cockpit = &self.cockpit;
        let (speed, height) = (cockpit.speed_mps(), cockpit.height_m());
        let drag_n = cockpit.body.drag_n(cockpit.command.lift_coefficient, speed, height);
        (cockpit.body.thrust_n(power_share, speed, height) - drag_n) / cockpit.body.mass_kg
    }
    /// Power that brings the speed back on a path.
    fn power_for_speed(&self, climb_rad: f64) -> f64 {
        let off = self.speed_wanted_mps() - self.cockpit.speed_mps();
        let faster = (off / SPEED_TIME_S).clamp(-1.5, 1.5);
        let wanted = faster + STANDARD_GRAVITY_MPS2 * sin(climb_rad);
        let short = |share: f64| self.excess_mps2(share) - wanted;
        if short(1.0) <= 0.0 {
            return 1.0;
        }
        if short(0.0) >= 0.0 {
            return 0.0;
        }
        root::find(short, 0.0, 1.0, 1e-3).unwrap_or(1.0)
    }
}
