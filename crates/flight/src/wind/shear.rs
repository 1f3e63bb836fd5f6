//! A wind that changes evenly with height.

use base::frames::{Ned, Vec3};

use super::{AirMotion, Wind, WindField};

/// Linear shear: the wind of one height and its change per meter of height, without limit up or down.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LinearShear {
    /// Velocity of the air at the reference height, m/s.
    pub velocity_mps: Vec3<Ned>,
    /// Height above mean sea level where it holds, m.
    pub height_reference_m: f64,
    /// Change of the velocity per meter upwards, 1/s.
    pub gradient_per_s: Vec3<Ned>,
}

impl LinearShear {
    /// Through the winds at two heights above mean sea level, m; `None` when the heights are equal or not finite.
    #[must_use]
    pub fn through(low: (f64, Wind), high: (f64, Wind)) -> Option<Self> {
        let rise_m = high.0 - low.0;
        let velocity_mps = low.1.velocity();
        (rise_m != 0.0 && rise_m.is_finite()).then(|| Self {
            velocity_mps,
            height_reference_m: low.0,
            gradient_per_s: (high.1.velocity() - velocity_mps) * (1.0 / rise_m),
        })
    }
}

impl WindField for LinearShear {
    fn at(&self, _time_s: f64, height_m: f64) -> AirMotion {
        let above_m = height_m - self.height_reference_m;
        let velocity_mps = self.velocity_mps + self.gradient_per_s * above_m;
        AirMotion { velocity_mps, ..AirMotion::STILL }
    }
}
