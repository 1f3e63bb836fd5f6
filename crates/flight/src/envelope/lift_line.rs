//! The lift line: lift coefficient against angle of attack, below the stall.

use crate::airplane::Airplane;

impl Airplane {
    /// Angle of attack at a lift coefficient, below the stall.
    #[must_use]
    pub fn incidence_rad(&self, lift_coefficient: f64) -> f64 {
        (lift_coefficient - self.aerodynamics.lift_at_zero_incidence)
            / self.aerodynamics.lift_slope_per_rad
    }
    /// Lift coefficient at an angle of attack, below the stall.
    #[must_use]
    pub fn lift_coefficient(&self, incidence_rad: f64) -> f64 {
        self.aerodynamics.lift_at_zero_incidence
            + self.aerodynamics.lift_slope_per_rad * incidence_rad
    }
}
