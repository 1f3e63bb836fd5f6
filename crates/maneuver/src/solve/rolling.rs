//! Rolling from bank to bank, level, at constant airspeed: the bank a sine of time.

use base::math::sin;
use flight::point_mass::{State, state};

use super::{Schedule, Setting, Steer, resolve};

/// The schedule.
#[derive(Debug, Clone)]
pub struct Rolling<'a> {
    setting: &'a Setting<'a>,
    amplitude_rad: f64,
    pace_radps: f64,
    swings: f64,
}

impl<'a> Rolling<'a> {
    /// So many swings, from level to a bank and back each, one way and the other, passing level at a roll rate (rad/s).
    #[must_use]
    pub fn new(setting: &'a Setting<'a>, amplitude_rad: f64, rate_radps: f64, swings: f64) -> Self {
        Self { setting, amplitude_rad, pace_radps: rate_radps / amplitude_rad, swings }
    }
}

impl Schedule for Rolling<'_> {
    fn steer(&self, time_s: f64, _: f64) -> Steer {
        Steer::Level { bank_rad: self.amplitude_rad * sin(self.pace_radps * time_s) }
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
        vec![self.swings * std::f64::consts::PI / self.pace_radps]
    }
}
