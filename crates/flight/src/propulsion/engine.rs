//! Piston engine: torque against throttle, speed of rotation and air.

/// How full-throttle power falls with the density of the air.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum AltitudeRule {
    /// `sigma - (1 - sigma) / 7.55`. Source: GF-1934.
    GaggFerrar,
    /// `(sigma - C) / (1 - C)`. Source: LOWRY-1999.
    Lowry {
        /// Share of power that goes to friction, about 0.12.
        friction: f64,
    },
}

impl AltitudeRule {
    /// Share of sea-level power at a density ratio; below nil when the engine cannot turn itself.
    #[must_use]
    pub fn share(&self, density_ratio: f64) -> f64 {
        match self {
            Self::GaggFerrar => density_ratio - (1.0 - density_ratio) * (1.0 / 7.55),
            Self::Lowry { friction } => (density_ratio - friction) / (1.0 - friction),
        }
    }
}

/// A normally aspirated piston engine.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PistonEngine {
    /// Greatest power at sea level, W.
    pub power_rated_w: f64,
    /// Speed of rotation at which it is given, rad/s.
    pub speed_rated_radps: f64,
    /// Speed at which the engine idles without load, rad/s.
    pub speed_idle_radps: f64,
    /// Power with height.
    pub altitude: AltitudeRule,
    /// Torque of the engine turned with the throttle closed, at rated speed, as a share of rated torque.
    pub drag_share: f64,
    /// How much full-throttle torque rises as the speed falls, as a share of the fall: nil for constant torque.
    pub torque_rise: f64,
    /// Manifold pressure at which no power is left at rated speed, as a share of sea-level pressure.
    pub manifold_nil: f64,
    /// Loss of pressure from the intake to the manifold at full throttle, as a share.
    pub manifold_loss: f64,
}

impl PistonEngine {
    /// An engine of which power and speed are known: other figures class-typical, common practice, no source.
    #[must_use]
    pub const fn usual(power_rated_w: f64, speed_rated_radps: f64) -> Self {
        Self {
            power_rated_w,
            speed_rated_radps,
            speed_idle_radps: 0.26 * speed_rated_radps,
            altitude: AltitudeRule::GaggFerrar,
            drag_share: 0.12,
            torque_rise: 0.1,
            manifold_nil: 0.25,
            manifold_loss: 0.03,
        }
    }
    /// Rated torque, N m.
    #[must_use]
    pub fn torque_rated_nm(&self) -> f64 {
        self.power_rated_w / self.speed_rated_radps
    }
    /// Torque at full throttle, N m.
    #[must_use]
    pub fn torque_full_nm(&self, speed_radps: f64, density_ratio: f64) -> f64 {
        TorqueLines::new(self).full_nm(speed_radps, density_ratio)
    }
    /// Torque with the throttle closed, N m: it holds the idle speed, and above it the engine is a brake.
    #[must_use]
    pub fn torque_closed_nm(&self, speed_radps: f64) -> f64 {
        TorqueLines::new(self).closed_nm(speed_radps)
    }
    /// Torque, N m, at a throttle from nil (closed) to one (full).
    #[must_use]
    pub fn torque_nm(&self, throttle: f64, speed_radps: f64, density_ratio: f64) -> f64 {
        TorqueLines::new(self).torque_nm(throttle, speed_radps, density_ratio)
    }
    /// Brake power, W, at a manifold pressure and a speed of rotation, in air of this pressure and density: linear in the
    /// manifold pressure between that of no power and that of full throttle.
    #[must_use]
    pub fn power_at_manifold_w(
        &self,
        manifold_pa: f64,
        speed_radps: f64,
        ambient_pa: f64,
        density_ratio: f64,
    ) -> f64 {
        let full_pa = self.manifold_full_pa(ambient_pa);
        let nil_pa = self.manifold_nil * crate::air::SEA_LEVEL_PRESSURE_PA;
        let full_w = self.torque_full_nm(speed_radps, density_ratio) * speed_radps;
        full_w * (manifold_pa - nil_pa) / (full_pa - nil_pa)
    }
    /// Manifold pressure at full throttle, Pa.
    #[must_use]
    pub fn manifold_full_pa(&self, ambient_pa: f64) -> f64 {
        ambient_pa * (1.0 - self.manifold_loss)
    }
    /// Manifold pressure, Pa, at which the torque is that of a throttle: the way back of [`Self::power_at_manifold_w`].
    /// `None` where the engine gives no power even at full throttle (far above its ceiling, or far over its speed).
    #[must_use]
    pub fn manifold_pa(
        &self,
        throttle: f64,
        speed_radps: f64,
        ambient_pa: f64,
        density_ratio: f64,
    ) -> Option<f64> {
        let full_pa = self.manifold_full_pa(ambient_pa);
        let nil_pa = self.manifold_nil * crate::air::SEA_LEVEL_PRESSURE_PA;
        let full = self.torque_full_nm(speed_radps, density_ratio);
        let share = self.torque_nm(throttle, speed_radps, density_ratio) / full;
        (full > 0.0).then_some(nil_pa + share * (full_pa - nil_pa))
    }
}

/// The torque of an engine as straight lines, worked out once: a step then divides nothing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TorqueLines {
    rated_nm: f64,
    per_rated: f64,
    torque_rise: f64,
    /// Share of sea-level power: slope over the density ratio, and what is added.
    height: (f64, f64),
    idle_radps: f64,
    span_radps: f64,
    /// Torque of the closed engine over its speed above idle, N m s.
    closed_slope: f64,
}

impl TorqueLines {
    /// Of an engine.
    #[must_use]
    pub fn new(engine: &PistonEngine) -> Self {
        let (rated, idle) = (engine.speed_rated_radps, engine.speed_idle_radps);
        let nil = engine.altitude.share(0.0);
        Self {
            rated_nm: engine.torque_rated_nm(),
            per_rated: 1.0 / rated,
            torque_rise: engine.torque_rise,
            height: (engine.altitude.share(1.0) - nil, nil),
            idle_radps: idle,
            span_radps: rated - idle,
            closed_slope: -engine.power_rated_w * engine.drag_share / (rated * (rated - idle)),
        }
    }
    #[inline]
    fn full_nm(&self, speed_radps: f64, density_ratio: f64) -> f64 {
        // A rise without bound at standstill would be absurd, as would one far above the rated speed.
        let below = (1.0 - speed_radps * self.per_rated).clamp(-1.0, 1.0);
        let bend = 1.0 + self.torque_rise * below;
        self.rated_nm * bend * (self.height.0 * density_ratio + self.height.1)
    }
    #[inline]
    fn closed_nm(&self, speed_radps: f64) -> f64 {
        // Held at one span below idle and two above.
        let span = self.span_radps;
        self.closed_slope * (speed_radps - self.idle_radps).clamp(-span, 2.0 * span)
    }
    /// Torque, N m, at a throttle from nil (closed) to one (full), a speed of rotation, rad/s, and a density over that of sea level.
    #[must_use]
    #[inline]
    pub fn torque_nm(&self, throttle: f64, speed_radps: f64, density_ratio: f64) -> f64 {
        let closed = self.closed_nm(speed_radps);
        // Far up, or stopped, a full throttle gives no less than a closed one.
        let full = self.full_nm(speed_radps, density_ratio).max(closed);
        closed + throttle.clamp(0.0, 1.0) * (full - closed)
    }
}

#[cfg(test)]
mod tests {
    use super::{AltitudeRule, PistonEngine};

    #[test]
    fn throttle_and_manifold_pressure_agree() {
        let engine = PistonEngine::usual(120_000.0, 282.7);
        for (throttle, speed, density) in [(1.0, 282.7, 1.0), (0.6, 250.0, 0.9), (0.3, 220.0, 0.8)]
        {
            let ambient = 101_325.0 * density;
            let manifold = engine.manifold_pa(throttle, speed, ambient, density).unwrap();
            let power = engine.power_at_manifold_w(manifold, speed, ambient, density);
            let torque = engine.torque_nm(throttle, speed, density);
            assert!((power - torque * speed).abs() < 1e-6 * power.abs());
        }
        assert!((engine.torque_nm(1.0, 282.7, 1.0) * 282.7 - 120_000.0).abs() < 1e-6);
        assert!(engine.torque_nm(0.0, 282.7, 1.0) < 0.0 && engine.torque_nm(0.0, 30.0, 1.0) > 0.0);
    }

    #[test]
    fn val_power_with_height() {
        // GF-1934 and LOWRY-1999 at 8,500 ft of the standard atmosphere, density ratio 0.77392 (rows of the check tables).
        assert!((AltitudeRule::GaggFerrar.share(0.773_919) - 0.743_974).abs() < 1e-6);
        assert!((AltitudeRule::Lowry { friction: 0.12 }.share(0.773_919) - 0.743_090).abs() < 1e-6);
    }
}
