//! Rolling from bank to bank, level, at constant airspeed, so that the nose swings as far to one side of its heading as to the other.
//!
//! A swing goes from level to a bank and back at one roll rate, turned round at the bank at a steady roll acceleration; the first
//! begins and the last ends without roll rate. What a swing turns is the integral of
//! g tan(bank) / V: it goes with the square of the bank, and over the roll rate. The first and the last go to less bank, so that each
//! turns half of what the others do: the nose then swings about the heading of the beginning and ends on it.

use base::factors::{RAD_PER_DEG, STANDARD_GRAVITY_MPS2};
use base::math::tan;
use base::numerics::root;
use flight::point_mass::{State, state};

use super::{Schedule, Setting, Steer, resolve};

/// Roll acceleration with which a roll is begun, turned round and ended, rad/s^2: a light airplane reaches 40 degrees a second in a
/// third of a second (common practice, no source).
const ACCELERATION_RADPS2: f64 = 130.0 * RAD_PER_DEG;
/// Share of the bank that the first swing goes to at the least: it must have room to be begun and turned round.
const FIRST_SHARE: f64 = 0.6;

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
    /// Whether it begins, and whether it ends, without roll rate.
    from_rest: bool,
    to_rest: bool,
}

impl Swing {
    /// Time in which the roll rate comes from nil, s.
    fn rise_s(&self) -> f64 {
        self.rate_radps / ACCELERATION_RADPS2
    }
    /// What a beginning or an end without roll rate takes longer, s.
    fn later_s(&self, rest: bool) -> f64 {
        if rest { 0.5 * self.rise_s() } else { 0.0 }
    }
    /// When the bank is greatest, s.
    fn middle_s(&self) -> f64 {
        self.later_s(self.from_rest) + self.bank_rad / self.rate_radps + 0.5 * self.rise_s()
    }
    fn duration_s(&self) -> f64 {
        let back_s = self.bank_rad / self.rate_radps + 0.5 * self.rise_s();
        self.middle_s() + back_s + self.later_s(self.to_rest)
    }
    /// Where its law changes, s: the roll rate reached, held no longer, reached the other way, held no longer, the end.
    fn corners_s(&self) -> [f64; 5] {
        let (rise_s, middle_s, end_s) = (self.rise_s(), self.middle_s(), self.duration_s());
        [
            2.0 * self.later_s(self.from_rest),
            middle_s - rise_s,
            middle_s + rise_s,
            end_s - 2.0 * self.later_s(self.to_rest),
            end_s,
        ]
    }
    /// Bank at a time since level, rad.
    fn bank_at(&self, time_s: f64) -> f64 {
        let [begun_s, _, _, ending_s, end_s] = self.corners_s();
        let half = 0.5 * ACCELERATION_RADPS2;
        let from_middle_s = (time_s - self.middle_s()).abs();
        if time_s < begun_s {
            half * time_s * time_s
        } else if time_s > ending_s {
            half * (end_s - time_s) * (end_s - time_s)
        } else if from_middle_s < self.rise_s() {
            self.bank_rad - half * from_middle_s * from_middle_s
        } else {
            self.bank_rad - self.rate_radps * (from_middle_s - 0.5 * self.rise_s())
        }
    }
    /// What it turns at an airspeed, rad: Simpson's rule from corner to corner.
    fn turned_rad(&self, speed_mps: f64) -> f64 {
        const PIECES: i32 = 16;
        let rate = |time_s: f64| STANDARD_GRAVITY_MPS2 * tan(self.bank_at(time_s)) / speed_mps;
        let mut begin_s = 0.0;
        let mut sum = 0.0;
        for end_s in self.corners_s() {
            let h = (end_s - begin_s) / f64::from(PIECES);
            let weight = |i| if i == 0 || i == PIECES { 1.0 } else { 2.0 + 2.0 * f64::from(i % 2) };
            let over: f64 =
                (0..=PIECES).map(|i| weight(i) * rate(begin_s + h * f64::from(i))).sum();
            sum += over * h / 3.0;
            begin_s = end_s;
        }
        sum
    }
}

impl<'a> Rolling<'a> {
    /// Four swings: to less than a bank (rad), to it the other way, to it, and to less again, at a roll rate (rad/s) or at what the
    /// bank leaves room for.
    #[must_use]
    pub fn new(setting: &'a Setting<'a>, bank_rad: f64, rate_radps: f64) -> Self {
        let rate_radps = rate_radps.min((FIRST_SHARE * bank_rad * ACCELERATION_RADPS2).sqrt());
        let whole = Swing { bank_rad, rate_radps, from_rest: false, to_rest: false };
        let first = |share: f64| Swing { bank_rad: share * bank_rad, from_rest: true, ..whole };
        let wanted_rad = 0.5 * whole.turned_rad(setting.speed_mps);
        let off = |share: f64| first(share).turned_rad(setting.speed_mps) - wanted_rad;
        let share = root::find(off, FIRST_SHARE, 1.0, 1e-9).unwrap_or(FIRST_SHARE);
        let last = Swing { from_rest: false, to_rest: true, ..first(share) };
        Self { setting, swings: [first(share), whole, whole, last] }
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
        let mut begin_s = 0.0;
        let mut corners: Vec<f64> = Vec::new();
        for swing in &self.swings {
            for corner in swing.corners_s().map(|since_s| begin_s + since_s) {
                if corner > corners.last().copied().unwrap_or(0.0) + 1e-9 {
                    corners.push(corner);
                }
            }
            begin_s += swing.duration_s();
        }
        corners
    }
}
