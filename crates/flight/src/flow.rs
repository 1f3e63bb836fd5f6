//! How the air meets the airplane at one instant: what aerodynamics and propulsion are computed from.

use base::frames::{Body, Vec3};
use base::math::unit_angle;

use crate::air::AirState;

/// Motion of the airplane through the air, of its center of gravity, expressed in body axes, with the air's state.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Flow {
    /// Velocity through the air, m/s.
    pub velocity_mps: Vec3<Body>,
    /// Angular velocity relative to the air, rad/s, which turns with the earth and in gusts: what damping comes from.
    pub rates_radps: Vec3<Body>,
    /// Angular velocity relative to inertial space, rad/s: what gyroscopic moments come from.
    pub rates_inertial_radps: Vec3<Body>,
    /// True airspeed, m/s.
    pub speed_mps: f64,
    /// Angle of attack, rad: nil when the air comes from straight ahead, positive from below.
    pub alpha_rad: f64,
    /// Sine and cosine of the angle of attack.
    pub alpha_sin_cos: (f64, f64),
    /// Sine and cosine of the sideslip.
    pub beta_sin_cos: (f64, f64),
    /// The air.
    pub air: AirState,
    /// Half density times speed squared, Pa.
    pub dynamic_pressure_pa: f64,
    /// One over the speed, and over its part in the plane of symmetry, s/m; nil at rest.
    pub(crate) per_speed: (f64, f64),
}

impl Flow {
    /// From velocity and rates in air that does not turn. At rest both angles are nil.
    #[must_use]
    #[inline]
    pub fn new(velocity_mps: Vec3<Body>, rates_radps: Vec3<Body>, air: AirState) -> Self {
        let Vec3 { x: u, y: v, z: w, .. } = velocity_mps;
        let (in_plane_square, square) = (u * u + w * w, u * u + w * w + v * v);
        let (in_plane, speed_mps) = (in_plane_square.sqrt(), square.sqrt());
        let (per_plane, per_speed) =
            (per_root(in_plane_square, in_plane), per_root(square, speed_mps));
        let alpha_sin_cos =
            if per_plane != 0.0 { (w * per_plane, u * per_plane) } else { (0.0, 1.0) };
        let beta_sin_cos =
            if per_speed != 0.0 { (v * per_speed, in_plane * per_speed) } else { (0.0, 1.0) };
        Self {
            velocity_mps,
            rates_radps,
            rates_inertial_radps: rates_radps,
            speed_mps,
            alpha_rad: unit_angle(alpha_sin_cos.0, alpha_sin_cos.1),
            alpha_sin_cos,
            beta_sin_cos,
            air,
            dynamic_pressure_pa: 0.5 * air.density_kgpm3 * square,
            per_speed: (per_speed, per_plane),
        }
    }
    /// Sideslip, rad: positive from the right. From its sine and cosine, which most models can do with.
    #[must_use]
    #[inline]
    pub fn beta_rad(&self) -> f64 {
        unit_angle(self.beta_sin_cos.0, self.beta_sin_cos.1)
    }
    /// Mach number.
    #[must_use]
    pub fn mach(&self) -> f64 {
        self.speed_mps / self.air.sound_mps
    }
    /// Equivalent airspeed, m/s: the one with this dynamic pressure in the air of standard sea level.
    #[must_use]
    pub fn equivalent_mps(&self) -> f64 {
        (2.0 * self.dynamic_pressure_pa / crate::air::SEA_LEVEL_DENSITY_KGPM3).sqrt()
    }
    /// Body-axes force of lift, drag and side force given in the wind's axes (drag along the wind, lift normal to it in the
    /// plane of symmetry, side force positive right).
    #[must_use]
    #[inline]
    pub fn body_from_wind(&self, drag: f64, side: f64, lift: f64) -> Vec3<Body> {
        let ((sin_a, cos_a), (sin_b, cos_b)) = (self.alpha_sin_cos, self.beta_sin_cos);
        // Along the projection of the wind on the plane of symmetry, and across it.
        let along = -drag * cos_b - side * sin_b;
        let across = -drag * sin_b + side * cos_b;
        Vec3::new(along * cos_a + lift * sin_a, across, along * sin_a - lift * cos_a)
    }
    /// Rates of roll and yaw about stability axes, rad/s.
    #[must_use]
    #[inline]
    pub const fn stability_roll_and_yaw(&self) -> (f64, f64) {
        let ((sin_a, cos_a), Vec3 { x: p, z: r, .. }) = (self.alpha_sin_cos, self.rates_radps);
        (p * cos_a + r * sin_a, r * cos_a - p * sin_a)
    }
    /// Body-axes force of a drag and a side force, both positive as named, in the plane of stability axes.
    #[must_use]
    #[inline]
    pub fn body_from_drag(&self, drag_n: f64, side_n: f64) -> Vec3<Body> {
        let (sin_a, cos_a) = self.alpha_sin_cos;
        Vec3::new(-drag_n * cos_a, side_n, -drag_n * sin_a)
    }
    /// Body-axes vector of one given in stability axes (x along the wind's projection on the plane of symmetry).
    #[must_use]
    #[inline]
    pub fn body_from_stability(&self, x: f64, y: f64, z: f64) -> Vec3<Body> {
        let (sin_a, cos_a) = self.alpha_sin_cos;
        Vec3::new(x * cos_a - z * sin_a, y, x * sin_a + z * cos_a)
    }
}

/// One over a root, from the square and the root: neither waits for the other. Nil for nil.
#[inline]
fn per_root(square: f64, root: f64) -> f64 {
    if square < f64::MIN_POSITIVE { 0.0 } else { root * (1.0 / square) }
}
