//! Several motions of the air at once: a mean wind with gusts upon it.

use base::frames::Vec3;

use super::{AirMotion, WindField};

/// The sum of its parts. None gives still air.
#[derive(Debug, Default)]
pub struct WindSum {
    /// What is added.
    pub parts: Vec<Box<dyn WindField>>,
}

impl WindField for WindSum {
    fn at(&self, time_s: f64, height_m: f64) -> AirMotion {
        let (mut velocity_mps, mut rotation_radps) = (Vec3::ZERO, Vec3::ZERO);
        for part in &self.parts {
            let motion = part.at(time_s, height_m);
            velocity_mps = velocity_mps + motion.velocity_mps;
            rotation_radps = rotation_radps + motion.rotation_radps;
        }
        AirMotion { velocity_mps, rotation_radps }
    }
}
