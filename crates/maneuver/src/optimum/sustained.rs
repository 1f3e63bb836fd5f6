//! Closed forms of the level turn: what thrust, stall and structure allow at a speed, and the power that a bank asks.

use base::factors::STANDARD_GRAVITY_MPS2;
use base::math::acos;
use flight::point_mass::PointMass;

/// Load factors that a level turn at one speed allows at full power.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LoadLimits {
    /// Thrust equals drag; `None` when thrust does not even bear the drag without lift.
    pub thrust: Option<f64>,
    /// Greatest lift, less the margin.
    pub stall: f64,
    /// The least of thrust, stall and structure; `None` below one: level flight is not held.
    pub used: Option<f64>,
}

/// Load limits at a true airspeed, m/s, and height, m; `margin` over the stall speed, `structure` the limit load.
#[must_use]
pub fn load_limits(
    body: &PointMass<'_>,
    (speed_mps, height_m): (f64, f64),
    margin: f64,
    structure: f64,
) -> LoadLimits {
    let per_lift = body.pressure_area_n(speed_mps, height_m) / body.weight_n();
    let polar = &body.airplane.aerodynamics;
    let drag_coefficient = body.thrust_n(1.0, speed_mps, height_m) / (per_lift * body.weight_n());
    let square = (drag_coefficient - polar.drag_zero_lift) / polar.drag_induced;
    let thrust = (square >= 0.0).then(|| per_lift * square.sqrt());
    let stall = per_lift * polar.lift_max / (margin * margin);
    let used = thrust.map(|thrust| thrust.min(stall).min(structure)).filter(|load| *load >= 1.0);
    LoadLimits { thrust, stall, used }
}

/// Bank of a level turn at a load factor, rad; nil below one.
#[must_use]
pub fn bank_at(load_factor: f64) -> f64 {
    acos((1.0 / load_factor).min(1.0))
}

/// Turn rate of a level turn, rad/s.
#[must_use]
pub fn turn_rate(load_factor: f64, speed_mps: f64) -> f64 {
    STANDARD_GRAVITY_MPS2 * (load_factor * load_factor - 1.0).max(0.0).sqrt() / speed_mps
}

/// Fastest sustained turn, banked no more than a cap: true airspeed, m/s, and load factor. `None` when level flight is not held.
#[must_use]
pub fn best_rate(
    body: &PointMass<'_>,
    height_m: f64,
    margin: f64,
    load_max: f64,
) -> Option<(f64, f64)> {
    let stall = body.stall_speed_mps(height_m);
    let load = |speed_mps: f64| load_limits(body, (speed_mps, height_m), margin, load_max).used;
    let rate = |speed_mps: f64| load(speed_mps).map_or(-1.0, |load| turn_rate(load, speed_mps));
    // Rates fall off to either side of a corner: a fine scan, then ever closer about the best.
    let (mut low, mut high) = (stall, 4.0 * stall);
    let mut best = stall;
    for _ in 0..12 {
        const SCAN: usize = 200;
        let step = (high - low) / SCAN as f64;
        for i in 0..=SCAN {
            let speed_mps = low + step * i as f64;
            if rate(speed_mps) > rate(best) {
                best = speed_mps;
            }
        }
        (low, high) = (best - 2.0 * step, best + 2.0 * step);
    }
    load(best).map(|load| (best, load))
}
