//! The engine of the F-16: thrust by power, Mach number and altitude; in the book with lag and a rotor.

use std::sync::Arc;

use base::factors::{M_PER_FT, N_PER_LBF};
use base::frames::Vec3;
use flight::air::{geometric_m, pressure_altitude_m};
use flight::budget::{Budget, Cause, Wrench};
use flight::controls::Inputs;
use flight::flow::Flow;
use flight::propulsion::{Propulsion, Running};

use super::book::{self, power_asked};
use super::{Edition, Tables};
use crate::bodies::KGM2_PER_SLUGFT2;

/// Angular momentum of the rotor, slug ft2/s, from the tail clockwise. Source: SL-2003 (from memory).
const ROTOR_SLUGFT2PS: f64 = 160.0;

/// The engine. Its state is its power, percent; NASA's follows the lever at once.
#[derive(Debug, Clone)]
pub struct Engine {
    tables: Arc<Tables>,
}

impl Engine {
    /// With these tables.
    #[must_use]
    pub const fn new(tables: Arc<Tables>) -> Self {
        Self { tables }
    }
}

impl Propulsion for Engine {
    fn run(&self, flow: &Flow, inputs: &Inputs, state: f64, budget: &mut Budget) -> Running {
        let (power_pct, state_rate, altitude_m, rotor) = match self.tables.edition() {
            Edition::Nasa => {
                let altitude_m = geometric_m(pressure_altitude_m(flow.air.pressure_pa));
                (100.0 * inputs.throttle, 0.0, altitude_m, 0.0)
            }
            Edition::Book => {
                let rate = book::power_rate(state, power_asked(inputs.throttle));
                let altitude_m = book::altitude_m(flow.air.density_kgpm3);
                (state, rate, altitude_m, ROTOR_SLUGFT2PS * KGM2_PER_SLUGFT2)
            }
        };
        let thrust_lbf = self.tables.thrust_lbf(power_pct, flow.mach(), altitude_m / M_PER_FT);
        let thrust_n = thrust_lbf * N_PER_LBF;
        let force_n = Vec3::new(thrust_n, 0.0, 0.0);
        budget.add(Cause::Thrust, Wrench { force_n, moment_nm: Vec3::ZERO });
        let momentum = Vec3::new(rotor, 0.0, 0.0);
        budget.add(Cause::Gyroscopic, Wrench::moment(momentum.cross(flow.rates_inertial_radps)));
        Running { state_rate, thrust_n, ..Running::default() }
    }
    fn settled(&self, _: &Flow, inputs: &Inputs) -> f64 {
        match self.tables.edition() {
            Edition::Nasa => 100.0 * inputs.throttle,
            Edition::Book => power_asked(inputs.throttle),
        }
    }
}
