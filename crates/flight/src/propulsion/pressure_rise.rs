//! Engine and propeller told by one figure: the rise of total pressure through the propeller, over dynamic pressure. The
//! aerodynamic data depend on it ([`crate::aerodynamics::Variable::PressureRise`]) and hold the thrust; there is no thrust
//! force besides.
//!
//! ```text
//! power  P = scale (constant + product (manifold + manifold_offset)(rpm + rpm_offset)
//!                   + (height_constant + height_per_rpm rpm)(1 - density / density_zero))
//! rise   dpt = rise_zero + rise_per_length2 P / (density / 2 * speed^3)
//! ```
//!
//! Source: LR-556 (form and figures of the Beaver; the figures stand in its file).

use base::factors::RADPS_PER_RPM;

use super::{Propulsion, Running, Wash};
use crate::budget::Budget;
use crate::controls::Inputs;
use crate::flow::Flow;

/// Below this airspeed, m/s, the rise is that at it: the formula has no limit at standstill.
const SPEED_LEAST_MPS: f64 = 10.0;

/// Power of the engine from manifold pressure, speed of rotation and air density.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct EnginePower {
    /// Watts in one of the formula's units of power.
    pub scale_w: f64,
    /// Constant term.
    pub constant: f64,
    /// Factor of the product of manifold pressure (inHg) and speed (rpm), each with its offset.
    pub product: f64,
    /// Added to the manifold pressure, inHg.
    pub manifold_offset_inhg: f64,
    /// Added to the speed, rpm.
    pub speed_offset_rpm: f64,
    /// Gain with falling density.
    pub height_constant: f64,
    /// The same, for each rpm.
    pub height_per_rpm: f64,
    /// Density at which the gain is nil, kg/m3.
    pub density_zero_kgpm3: f64,
}

/// Engine and propeller as a pressure rise.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PressureRise {
    /// Power.
    pub power: EnginePower,
    /// Rise without power.
    pub rise_zero: f64,
    /// Factor of power over half density times speed cubed, 1/m2.
    pub rise_per_m2: f64,
    /// Manifold pressure at throttle nil and one, inHg.
    pub manifold_inhg: (f64, f64),
    /// Speed of rotation at propeller lever nil and one, rpm.
    pub speed_rpm: (f64, f64),
}

impl EnginePower {
    /// Shaft power, W; below nil when the airstream turns the engine.
    #[must_use]
    pub fn power_w(&self, manifold_inhg: f64, speed_rpm: f64, density_kgpm3: f64) -> f64 {
        let product = (manifold_inhg + self.manifold_offset_inhg)
            * (speed_rpm + self.speed_offset_rpm)
            * self.product;
        let height = (self.height_constant + self.height_per_rpm * speed_rpm)
            * (1.0 - density_kgpm3 / self.density_zero_kgpm3);
        self.scale_w * (self.constant + product + height)
    }
}

impl PressureRise {
    /// Manifold pressure, inHg, and speed, rpm, at a setting of throttle and propeller lever.
    #[must_use]
    pub fn setting(&self, inputs: &Inputs) -> (f64, f64) {
        let along =
            |(low, high): (f64, f64), share: f64| low + (high - low) * share.clamp(0.0, 1.0);
        (along(self.manifold_inhg, inputs.throttle), along(self.speed_rpm, inputs.propeller))
    }
    /// Throttle and propeller lever for a manifold pressure, inHg, and a speed, rpm; `None` when they do not reach it.
    #[must_use]
    pub fn levers(&self, manifold_inhg: f64, speed_rpm: f64) -> Option<(f64, f64)> {
        let share = |(low, high): (f64, f64), at: f64| (at - low) / (high - low);
        let levers = (share(self.manifold_inhg, manifold_inhg), share(self.speed_rpm, speed_rpm));
        let reached = |lever: f64| (0.0..=1.0).contains(&lever);
        (reached(levers.0) && reached(levers.1)).then_some(levers)
    }
    /// Rise of total pressure over dynamic pressure.
    #[must_use]
    pub fn rise(&self, power_w: f64, density_kgpm3: f64, speed_mps: f64) -> f64 {
        let speed = speed_mps.max(SPEED_LEAST_MPS);
        let flux = 0.5 * density_kgpm3 * speed * speed * speed;
        self.rise_zero + self.rise_per_m2 * power_w / flux
    }
}

impl Propulsion for PressureRise {
    fn run(&self, flow: &Flow, inputs: &Inputs, _: f64, _: &mut Budget) -> Running {
        let (manifold_inhg, speed_rpm) = self.setting(inputs);
        let density = flow.air.density_kgpm3;
        let power_w = self.power.power_w(manifold_inhg, speed_rpm, density);
        let rise = self.rise(power_w, density, flow.speed_mps);
        let wash = Wash { pressure_rise_pa: rise * flow.dynamic_pressure_pa, ..Wash::default() };
        Running { wash, power_w, speed_radps: speed_rpm * RADPS_PER_RPM, ..Running::default() }
    }
    fn settled(&self, _: &Flow, _: &Inputs) -> f64 {
        0.0
    }
}

#[cfg(test)]
mod tests {
    use super::{EnginePower, PressureRise};
    use crate::controls::Inputs;

    fn beaver() -> PressureRise {
        let power = EnginePower {
            scale_w: 735.5,
            constant: -326.5,
            product: 0.00412,
            manifold_offset_inhg: 7.4,
            speed_offset_rpm: 2010.0,
            height_constant: 408.0,
            height_per_rpm: -0.0965,
            density_zero_kgpm3: 1.225,
        };
        PressureRise {
            power,
            rise_zero: 0.08696,
            rise_per_m2: 0.19118,
            manifold_inhg: (12.0, 36.5),
            speed_rpm: (1600.0, 2300.0),
        }
    }

    /// LR-556: power and pressure rise at 35 m/s, sea level, 20 inHg, 1800 rpm, as in our own table of the check data
    /// (beaver_trim_own.csv, first row; its air has a gas constant of 287.05 J/(kg K)).
    #[test]
    fn val_power_and_rise() {
        let pull = beaver();
        let density = 101_325.0 / (287.05 * 288.15);
        let power_w = pull.power.power_w(20.0, 1800.0, density);
        assert!((power_w - 76_198.5).abs() < 0.1, "{power_w}");
        let rise = pull.rise(power_w, density, 35.0);
        assert!((rise - 0.641_681).abs() < 1e-6, "{rise}");
    }

    #[test]
    fn levers_and_settings_undo_each_other() {
        let pull = beaver();
        let (throttle, propeller) = pull.levers(20.0, 1800.0).unwrap();
        let inputs = Inputs { throttle, propeller, ..Inputs::default() };
        let (manifold, speed) = pull.setting(&inputs);
        assert!((manifold - 20.0).abs() < 1e-12 && (speed - 1800.0).abs() < 1e-9);
        assert_eq!(pull.levers(50.0, 1800.0), None);
    }
}
