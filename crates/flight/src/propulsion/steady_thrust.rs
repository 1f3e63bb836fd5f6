//! A thrust that follows one law, for published sets that say nothing of engine and propeller. It acts along the body's
//! x axis through the aerodynamic reference point, turns nothing, and does not fall with height.

use base::frames::Vec3;

use super::{Propulsion, Running};
use crate::budget::{Budget, Cause, Wrench};
use crate::controls::Inputs;
use crate::flow::Flow;

/// How thrust goes with airspeed at a given throttle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum ThrustLaw {
    /// The same at every airspeed, as a derivative of thrust with speed of nil says.
    Constant {
        /// Thrust at full throttle, N.
        thrust_max_n: f64,
    },
    /// Thrust times airspeed is constant, down to the airspeed where the greatest thrust is reached.
    Power {
        /// Thrust power at full throttle (shaft power times efficiency), W.
        power_max_w: f64,
        /// Greatest thrust at full throttle, N.
        thrust_max_n: f64,
    },
}

/// Thrust by one law, in proportion to the throttle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SteadyThrust {
    /// The law.
    pub law: ThrustLaw,
}

impl SteadyThrust {
    /// Thrust at full throttle, N.
    #[must_use]
    pub fn full_n(&self, speed_mps: f64) -> f64 {
        match self.law {
            ThrustLaw::Constant { thrust_max_n } => thrust_max_n,
            ThrustLaw::Power { power_max_w, thrust_max_n } => {
                // Compared as products, so that nothing is divided by nil.
                if thrust_max_n * speed_mps <= power_max_w {
                    thrust_max_n
                } else {
                    power_max_w / speed_mps
                }
            }
        }
    }
}

impl Propulsion for SteadyThrust {
    fn run(&self, flow: &Flow, inputs: &Inputs, _: f64, budget: &mut Budget) -> Running {
        let thrust_n = inputs.throttle.clamp(0.0, 1.0) * self.full_n(flow.speed_mps);
        let force_n = Vec3::new(thrust_n, 0.0, 0.0);
        budget.add(Cause::Thrust, Wrench { force_n, moment_nm: Vec3::ZERO });
        Running { thrust_n, ..Running::default() }
    }
    fn settled(&self, _: &Flow, _: &Inputs) -> f64 {
        0.0
    }
}

#[cfg(test)]
mod tests {
    use super::{SteadyThrust, ThrustLaw};

    #[test]
    fn thrust_by_law() {
        let constant = SteadyThrust { law: ThrustLaw::Constant { thrust_max_n: 900.0 } };
        assert!((constant.full_n(0.0) - constant.full_n(80.0)).abs() < 1e-12);
        let law = ThrustLaw::Power { power_max_w: 90_000.0, thrust_max_n: 3000.0 };
        let power = SteadyThrust { law };
        assert!((power.full_n(0.0) - 3000.0).abs() < 1e-12);
        assert!((power.full_n(30.0) - 3000.0).abs() < 1e-9, "both laws meet");
        assert!((power.full_n(60.0) - 1500.0).abs() < 1e-9);
    }
}
