//! Rolling from bank to bank, level, at constant airspeed, so that the nose swings as far to one side of its heading as to the other.
//!
//! A swing goes from level to a bank and back at one roll rate, turned round at the bank in [`REVERSAL_S`] at a steady roll
//! acceleration. What it turns is the integral of g tan(bank) / V: with the square of the bank, and over the roll rate. The first
//! and the last swing go to less bank, so that each turns half of what the others do: the nose then swings about the heading of
//! the beginning and ends on it.

use base::factors::STANDARD_GRAVITY_MPS2;
use base::math::tan;
use base::numerics::root;
use flight::point_mass::{State, state};

use super::{Schedule, Setting, Steer, resolve};

/// Time in which the roll is turned round at a bank, s: some twice the time a light airplane takes to reach a roll rate (common
/// practice, no source).
const REVERSAL_S: f64 = 0.6;

/// The schedule.
#[derive(Debug, Clone)]
pub struct Rolling<'a> {
    setting: &'a Setting<'a>,
    swings: [Swing; 4],
}

/// From level to a bank and back.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Swing {
    /// The bank, rad, positive; every other swing goes the other way.
    bank_rad: f64,
    rate_radps: f64,
}

impl Swing {
    /// Time at the roll rate, one way, s.
    fn straight_s(&self) -> f64 {
        self.bank_rad / self.rate_radps - 0.25 * REVERSAL_S
    }
    fn duration_s(&self) -> f64 {
        2.0 * self.straight_s() + REVERSAL_S
    }
    /// Bank at a time since level, rad.
    fn bank_at(&self, time_s: f64) -> f64 {
        let from_middle_s = (time_s - 0.5 * self.duration_s()).abs();
        if from_middle_s > 0.5 * REVERSAL_S {
            self.rate_radps * (0.5 * self.duration_s() - from_middle_s)
        } else {
            self.bank_rad - self.rate_radps * from_middle_s * from_middle_s / REVERSAL_S
        }
    }
    /// What it turns at an airspeed, rad: Simpson's rule on each side of the corners.
    fn turned_rad(&self, speed_mps: f64) -> f64 {
        const PIECES: i32 = 16;
        let rate = |time_s: f64| STANDARD_GRAVITY_MPS2 * tan(self.bank_at(time_s)) / speed_mps;
        let over = |begin_s: f64, end_s: f64| {
            let h = (end_s - begin_s) / f64::from(PIECES);
            let weight = |i| if i == 0 || i == PIECES { 1.0 } else { 2.0 + 2.0 * f64::from(i % 2) };
            let sum: f64 = (0..=PIECES).map(|i| weight(i) * rate(begin_s + h * f64::from(i))).sum();
            sum * h / 3.0
        };
        2.0 * (over(0.0, self.straight_s()) + over(self.straight_s(), 0.5 * self.duration_s()))
    }
}

impl<'a> Rolling<'a> {
    /// Four swings: to less than a bank (rad), to it the other way, to it, and to less again, at a roll rate (rad/s).
    #[must_use]
    pub fn new(setting: &'a Setting<'a>, bank_rad: f64, rate_radps: f64) -> Self {
        // No less bank than the reversal takes by itself, and no more roll than the bank leaves room for.
        let rate_radps = rate_radps.min(2.0 * bank_rad / REVERSAL_S);
        let whole = Swing { bank_rad, rate_radps };
        let less = |share: f64| Swing { bank_rad: share * bank_rad, rate_radps };
        let speed_mps = setting.speed_mps;
        let half =
            |share: f64| less(share).turned_rad(speed_mps) - 0.5 * whole.turned_rad(speed_mps);
        let least = 0.25 * rate_radps * REVERSAL_S / bank_rad;
        let first = root::find(half, least, 1.0, 1e-9).map_or(whole, less);
        Self { setting, swings: [first, whole, whole, first] }
    }
    /// Where a time stands: which swing, and how long since level there, s.
    fn place(&self, time_s: f64) -> (usize, f64) {
        let mut since_s = time_s;
        for (index, swing) in self.swings.iter().enumerate() {
            if since_s <= swing.duration_s() || index + 1 == self.swings.len() {
                return (index, since_s.min(swing.duration_s()));
            }
            since_s -= swing.duration_s();
        }
        (0, 0.0)
    }
    fn bank_rad(&self, time_s: f64) -> f64 {
        let (index, since_s) = self.place(time_s);
        let bank_rad = self.swings[index].bank_at(since_s);
        if index % 2 == 0 { bank_rad } else { -bank_rad }
    }
    /// Swings done at a time.
    #[must_use]
    pub fn swings_done(&self, time_s: f64) -> f64 {
        let (index, since_s) = self.place(time_s);
        index as f64 + since_s / self.swings[index].duration_s()
    }
    /// Bank of the first and of the last swing, rad.
    #[must_use]
    pub const fn first_bank_rad(&self) -> f64 {
        self.swings[0].bank_rad
    }
    /// Roll rate through level, rad/s.
    #[must_use]
    pub const fn rate_radps(&self) -> f64 {
        self.swings[1].rate_radps
    }
}

impl Schedule for Rolling<'_> {
    fn steer(&self, time_s: f64, _: f64) -> Steer {
        Steer::Level { bank_rad: self.bank_rad(time_s) }
    }
    fn power_share(&self) -> f64 {
        self.setting.power_to_hold(1.0)
    }
    fn power_share_in(&self, time_s: f64, x: &State) -> f64 {
        let lift_bank =
            resolve(&self.setting.body, x, self.steer(time_s, x[state::COURSE])).lift_bank_rad;
        self.setting.power_to_hold(1.0 / base::math::cos(lift_bank))
    }
    fn corners(&self) -> Vec<f64> {
        let mut end_s = 0.0;
        let mut corners = Vec::new();
        for swing in &self.swings {
            let first_s = end_s + swing.straight_s();
            end_s += swing.duration_s();
            corners.extend([first_s, first_s + REVERSAL_S, end_s]);
        }
        corners
    }
}
