//! Drag, incidence and stall of the airplane, per weight and against impact pressure: of the airplane where it is known, of a usual
//! light single where not.

use crate::part::Part;
use base::factors::STANDARD_GRAVITY_MPS2;

/// A usual light piston single with its power on (common practice, no source): 65 kg/m2 of wing, drag coefficient without lift 0.032,
/// 0.054 of the square of the lift, five of lift per radian, greatest lift 1.45.
const USUAL: Polar = Polar {
    parasite_per_pa: 5.0e-5,
    induced_pa: 34.0,
    incidence_pa: 128.0,
    lift_most_per_pa: None,
    thrust_fall: 0.5,
};
/// Load factor per Pa at the stall of that airplane: where drag of lift has doubled.
const USUAL_LIFT_MOST_PER_PA: f64 = 2.3e-3;

/// How the airplane answers, per weight.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Polar {
    /// Drag without lift over weight, per Pa of dynamic pressure.
    pub(crate) parasite_per_pa: f64,
    /// Drag of lift over weight, times dynamic pressure, at 1 g, Pa.
    pub(crate) induced_pa: f64,
    /// Incidence, rad, times dynamic pressure, of 1 g, Pa.
    pub(crate) incidence_pa: f64,
    /// Load factor at the stall per Pa of dynamic pressure; only where the airplane is known.
    pub(crate) lift_most_per_pa: Option<f64>,
    /// Thrust at one throttle goes with speed to minus this power (0 for a rocket, 1 for constant thrust power; a propeller lies
    /// between).
    pub(crate) thrust_fall: f64,
}

impl Polar {
    /// Of the airplane flown, at its typical mass.
    pub(crate) fn of(part: &Part<'_>) -> Self {
        let Some(airplane) = part.airplane else { return USUAL };
        let air = airplane.aerodynamics;
        let weight_n = airplane.masses.typical.to_kg() * STANDARD_GRAVITY_MPS2;
        let wing_pa = weight_n / airplane.wing_area.to_m2();
        Self {
            parasite_per_pa: air.drag_zero_lift / wing_pa,
            induced_pa: air.drag_induced * wing_pa,
            incidence_pa: wing_pa / air.lift_slope_per_rad,
            lift_most_per_pa: Some(air.lift_max / wing_pa),
            thrust_fall: USUAL.thrust_fall,
        }
    }
    /// Drag over weight at a load factor and a dynamic pressure, Pa.
    pub(crate) fn drag(&self, load: f64, pressure_pa: f64) -> f64 {
        let most = self.lift_most_per_pa.unwrap_or(USUAL_LIFT_MOST_PER_PA);
        let near_stall = (load / (pressure_pa * most)).clamp(-1.2, 1.2);
        // The flow begins to part well before the stall: the parabola holds no longer.
        let parted = near_stall * near_stall * near_stall * near_stall;
        self.parasite_per_pa * pressure_pa
            + self.induced_pa * load * load / pressure_pa * (1.0 + parted)
    }
    /// Incidence above that of no lift, rad.
    pub(crate) fn incidence(&self, load: f64, pressure_pa: f64) -> f64 {
        self.incidence_pa * load / pressure_pa
    }
    /// The same with every number off by a share.
    pub(crate) fn shifted(&self, [parasite, induced, incidence, fall]: [f64; 4]) -> Self {
        Self {
            parasite_per_pa: self.parasite_per_pa * (1.0 + parasite),
            induced_pa: self.induced_pa * (1.0 + induced),
            incidence_pa: self.incidence_pa * (1.0 + incidence),
            thrust_fall: (self.thrust_fall + fall).clamp(0.0, 1.2),
            ..*self
        }
    }
}
