//! What the point-mass airplane can do steadily: level speed, climb, sustained turn.

use base::math::{acos, asin};
use base::numerics::root;

use super::PointMass;

/// The tightest turn held level without losing speed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sustained {
    /// True airspeed, m/s.
    pub speed_mps: f64,
    /// Bank, rad.
    pub bank_rad: f64,
    /// Load factor.
    pub load_factor: f64,
}

/// Power that holds speed and height at a load factor.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum LevelPower {
    /// This share of full power holds them, 0 to 1.
    Held(f64),
    /// Full power does not: it would take this many times full power, above 1 up to [`LEVEL_POWER_MOST`].
    Short(f64),
    /// No power up to [`LEVEL_POWER_MOST`] times the full one does, or the engine gives no thrust here at all.
    Unattainable,
}

/// How many times full power [`level_power`] looks; more says nothing about a flight.
pub const LEVEL_POWER_MOST: f64 = 10.0;

impl LevelPower {
    /// Share of full power, above one when full power does not do; `None` when no power does.
    #[must_use]
    pub const fn share(self) -> Option<f64> {
        match self {
            Self::Held(share) | Self::Short(share) => Some(share),
            Self::Unattainable => None,
        }
    }
    /// Share of full power when it is enough.
    #[must_use]
    pub const fn held(self) -> Option<f64> {
        match self {
            Self::Held(share) => Some(share),
            Self::Short(_) | Self::Unattainable => None,
        }
    }
}

/// Power that holds speed and height at a load factor, whether or not the wing can give that load (ask the stall for that).
#[must_use]
pub fn level_power(
    body: &PointMass<'_>,
    load_factor: f64,
    speed_mps: f64,
    height_m: f64,
) -> LevelPower {
    let lift = body.lift_coefficient_for(load_factor, speed_mps, height_m);
    let drag_n = body.drag_n(lift, speed_mps, height_m);
    // Thrust rises with power, so there is one zero at most.
    let excess = |share: f64| body.thrust_n(share, speed_mps, height_m) - drag_n;
    match root::find(excess, 0.0, LEVEL_POWER_MOST, 1e-12) {
        Ok(share) if share <= 1.0 => LevelPower::Held(share),
        Ok(share) => LevelPower::Short(share),
        Err(_) => LevelPower::Unattainable,
    }
}

/// Greatest level true airspeed at full power, m/s; `None` when the airplane cannot hold height at all.
#[must_use]
pub fn level_speed_max(body: &PointMass<'_>, height_m: f64) -> Option<f64> {
    let excess = |speed_mps: f64| {
        let lift = body.lift_coefficient_for(1.0, speed_mps, height_m);
        body.thrust_n(1.0, speed_mps, height_m) - body.drag_n(lift, speed_mps, height_m)
    };
    let stall = body.stall_speed_mps(height_m);
    let best = (0..40)
        .map(|i| stall * (1.0 + 0.05 * f64::from(i)))
        .max_by(|a, b| excess(*a).total_cmp(&excess(*b)))?;
    root::find(excess, best, 8.0 * stall, 1e-9).ok()
}

/// Best rate of climb at full power: true airspeed, m/s, and rate, m/s.
#[must_use]
pub fn best_climb(body: &PointMass<'_>, height_m: f64) -> (f64, f64) {
    let rate = |speed_mps: f64| {
        let lift = body.lift_coefficient_for(1.0, speed_mps, height_m);
        let excess_n =
            body.thrust_n(1.0, speed_mps, height_m) - body.drag_n(lift, speed_mps, height_m);
        speed_mps * base::math::sin(asin((excess_n / body.weight_n()).clamp(-1.0, 1.0)))
    };
    let stall = body.stall_speed_mps(height_m);
    golden_max(rate, 1.02 * stall, 3.0 * stall)
}

/// Turn with the greatest load factor held level at full power, above `margin` times the stall speed at that load.
/// `None` when not even level flight is held.
#[must_use]
pub fn sustained_turn(body: &PointMass<'_>, height_m: f64, margin: f64) -> Option<Sustained> {
    let load = |speed_mps: f64| {
        let thrust_n = body.thrust_n(1.0, speed_mps, height_m);
        let pressure_area = body.pressure_area_n(speed_mps, height_m);
        let polar = &body.airplane.aerodynamics;
        let square = (thrust_n / pressure_area - polar.drag_zero_lift) / polar.drag_induced;
        let lift = square.max(0.0).sqrt().min(polar.lift_max / (margin * margin));
        lift * pressure_area / body.weight_n()
    };
    let stall = body.stall_speed_mps(height_m);
    let (speed_mps, load_factor) = golden_max(load, stall, 4.0 * stall);
    let bank_rad = acos(1.0 / load_factor.max(1.0));
    (load_factor >= 1.0).then_some(Sustained { speed_mps, bank_rad, load_factor })
}

/// Argument and value of the maximum of a function with one peak, by golden-section search (80 evaluations).
fn golden_max(f: impl Fn(f64) -> f64, low: f64, high: f64) -> (f64, f64) {
    let share = 0.5 * (5.0f64.sqrt() - 1.0);
    let (mut a, mut b) = (low, high);
    for _ in 0..80 {
        let (left, right) = (b - share * (b - a), a + share * (b - a));
        if f(left) < f(right) {
            a = left;
        } else {
            b = right;
        }
    }
    let at = 0.5 * (a + b);
    (at, f(at))
}
