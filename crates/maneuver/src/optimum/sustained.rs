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
    // Rates fall off to either side of a corner.
    let best = greatest(rate, (stall, 4.0 * stall));
    load(best).map(|load| (best, load))
}

/// Greatest specific excess power in level flight at full power: true airspeed, m/s, and power over weight, m/s. The rate of climb
/// as long as the path is shallow enough for lift to equal weight.
#[must_use]
pub fn best_excess_power(body: &PointMass<'_>, height_m: f64) -> (f64, f64) {
    let excess = |speed_mps: f64| {
        let lift = body.lift_coefficient_for(1.0, speed_mps, height_m);
        let force_n =
            body.thrust_n(1.0, speed_mps, height_m) - body.drag_n(lift, speed_mps, height_m);
        force_n * speed_mps / body.weight_n()
    };
    let stall = body.stall_speed_mps(height_m);
    let speed_mps = greatest(excess, (stall, 4.0 * stall));
    (speed_mps, excess(speed_mps))
}

/// Argument of the greatest value: a fine scan, then ever closer about the best; corners do no harm.
fn greatest(f: impl Fn(f64) -> f64, (mut low, mut high): (f64, f64)) -> f64 {
    const SCAN: usize = 200;
    let (mut best, mut value) = (low, f(low));
    for _ in 0..12 {
        let step = (high - low) / SCAN as f64;
        for at in (0..=SCAN).map(|i| low + step * i as f64) {
            let here = f(at);
            if here > value {
                (best, value) = (at, here);
            }
        }
        (low, high) = (best - 2.0 * step, best + 2.0 * step);
    }
    best
}
