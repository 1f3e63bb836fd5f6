//! What the point-mass airplane can do steadily: level speed, climb, sustained turn.

use base::math::{acos, asin, cos, sin};
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

/// A path on which speed, bank and climb angle stay as they are.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SteadyPath {
    /// Climb angle, rad, below zero for a descent.
    pub climb_rad: f64,
    /// Load factor, `cos(climb) / cos(bank)`.
    pub load_factor: f64,
    /// Lift coefficient; whether the wing has it is for the caller to ask.
    pub lift_coefficient: f64,
}

/// The steady path at a speed, a bank and a force along it, N (thrust less any drag beyond the polar); exact for steep paths.
/// `None` when it would be steeper than the vertical (that speed cannot be held), and for a speed of nil or a bank of 90 degrees or
/// more.
///
/// With `s` the sine of the climb angle and `k` the induced drag at one g in this bank, the forces along the path are
/// `k s^2 - W s + (F - q S C_D0 - k) = 0`; the root that tends to excess force over weight as induced drag vanishes.
#[must_use]
pub fn steady_path(
    body: &PointMass<'_>,
    force_n: f64,
    speed_mps: f64,
    height_m: f64,
    bank_rad: f64,
) -> Option<SteadyPath> {
    let polar = &body.airplane.aerodynamics;
    let (weight_n, pressure_area_n) = (body.weight_n(), body.pressure_area_n(speed_mps, height_m));
    let upright = cos(bank_rad);
    if !(speed_mps > 0.0 && upright > 0.0) {
        return None;
    }
    let lift_level = weight_n / (pressure_area_n * upright);
    let induced_n = pressure_area_n * polar.drag_induced * lift_level * lift_level;
    let excess_n = force_n - pressure_area_n * polar.drag_zero_lift - induced_n;
    if induced_n - weight_n + excess_n > 0.0 || induced_n + weight_n + excess_n < 0.0 {
        return None;
    }
    let root = (weight_n * weight_n - 4.0 * induced_n * excess_n).max(0.0).sqrt();
    let climb_rad = asin((2.0 * excess_n / (weight_n + root)).clamp(-1.0, 1.0));
    let load_factor = cos(climb_rad) / upright;
    Some(SteadyPath { climb_rad, load_factor, lift_coefficient: lift_level * cos(climb_rad) })
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

/// Best rate of climb at full power: true airspeed, m/s, and rate, m/s, below zero above the ceiling.
#[must_use]
pub fn best_climb(body: &PointMass<'_>, height_m: f64) -> (f64, f64) {
    let rate = |speed_mps: f64| {
        let thrust_n = body.thrust_n(1.0, speed_mps, height_m);
        steady_path(body, thrust_n, speed_mps, height_m, 0.0)
            .map_or(f64::NEG_INFINITY, |path| speed_mps * sin(path.climb_rad))
    };
    let stall = body.stall_speed_mps(height_m);
    greatest(rate, 1.02 * stall, 4.0 * stall)
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
    let (speed_mps, load_factor) = greatest(load, stall, 4.0 * stall);
    let bank_rad = acos(1.0 / load_factor.max(1.0));
    (load_factor >= 1.0).then_some(Sustained { speed_mps, bank_rad, load_factor })
}

/// Argument and value of the greatest value of a function: the best of an even scan, then golden section about it. Several peaks are
/// told apart when they lie further apart than a fiftieth of the range. About 130 evaluations.
pub(crate) fn greatest(f: impl Fn(f64) -> f64, low: f64, high: f64) -> (f64, f64) {
    const N_SCAN: usize = 60;
    const N_GOLDEN: usize = 70;
    let step = (high - low) / N_SCAN as f64;
    let place = |i: usize| low + step * i as f64;
    let (mut best, mut best_value) = (low, f(low));
    for at in (1..=N_SCAN).map(place) {
        let value = f(at);
        if value > best_value {
            (best, best_value) = (at, value);
        }
    }
    let share = 0.5 * (5.0f64.sqrt() - 1.0);
    let (mut a, mut b) = ((best - step).max(low), (best + step).min(high));
    let (mut left, mut right) = (b - share * (b - a), a + share * (b - a));
    let (mut f_left, mut f_right) = (f(left), f(right));
    for _ in 0..N_GOLDEN {
        if f_left < f_right {
            (a, left, f_left) = (left, right, f_right);
            right = a + share * (b - a);
            f_right = f(right);
        } else {
            (b, right, f_right) = (right, left, f_left);
            left = b - share * (b - a);
            f_left = f(left);
        }
    }
    let at = 0.5 * (a + b);
    let value = f(at);
    // At an end of the range the scan holds the end itself.
    if value >= best_value { (at, value) } else { (best, best_value) }
}
