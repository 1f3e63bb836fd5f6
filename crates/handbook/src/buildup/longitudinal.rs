//! Lift, pitch, horizontal tail.

use base::factors::RAD_PER_DEG;
use base::math::pow;

use super::sizes::Sizes;
use super::{flap_effect, surface_slope};
use crate::figures::Figures;

/// Lift of the whole airplane, controls at nil, and what it is made of.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lift {
    /// Coefficient at nil incidence.
    pub zero: f64,
    /// Slope, 1/rad.
    pub slope_per_rad: f64,
    /// Slope of wing and body, 1/rad.
    pub wing_slope_per_rad: f64,
    /// Slope of the tail on its own area, 1/rad, loss of pressure in it.
    pub tail_slope_per_rad: f64,
    /// Downwash at the tail by incidence.
    pub downwash_slope: f64,
}

/// Incidence of nil lift below the body's axis: camber and setting of the wing (common practice, no source).
const NIL_LIFT_RAD: f64 = -3.6 * RAD_PER_DEG;
/// Dynamic pressure at the tail over that of the stream (common practice, no source; texts say 0.85 to 0.95 without power).
const TAIL_PRESSURE: f64 = 0.93;
/// Share of the tail's chord that moves (common practice, no source).
const ELEVATOR_CHORD: f64 = 0.42;
/// Pitching moment of the wing at nil lift: of a usual cambered section, over a wing of this class (common practice, no source).
const MOMENT_ZERO: f64 = -0.045;

/// Lift of an airplane of these figures.
#[must_use]
pub fn lift(figures: &Figures) -> Lift {
    let sizes = Sizes::of(figures);
    let across = sizes.width_m / sizes.span_m;
    // DATCOM, wing and body together (NELSON-1998, ROSKAM-AFD), from memory.
    let together = 1.0 + 0.025 * across - 0.25 * across * across;
    let wing_slope_per_rad = together * surface_slope(sizes.aspect);
    let tail_aspect = sizes.tail.span_m * sizes.tail.span_m / sizes.tail.area_m2;
    let tail_slope_per_rad = TAIL_PRESSURE * surface_slope(tail_aspect);
    let downwash_slope = downwash_slope(&sizes);
    let tail = sizes.tail.area_m2 / sizes.area_m2 * tail_slope_per_rad * (1.0 - downwash_slope);
    let slope_per_rad = wing_slope_per_rad + tail;
    Lift {
        zero: -NIL_LIFT_RAD * wing_slope_per_rad,
        slope_per_rad,
        wing_slope_per_rad,
        tail_slope_per_rad,
        downwash_slope,
    }
}

/// Downwash at the tail by incidence: `4.44 (KA Kt Kh)^1.19`, no sweep.
///
/// # Source
/// DATCOM, as in ROSKAM-AFD; from memory.
#[must_use]
pub fn downwash_slope(sizes: &Sizes) -> f64 {
    let aspect = 1.0 / sizes.aspect - 1.0 / (1.0 + pow(sizes.aspect, 1.7));
    let taper = (10.0 - 3.0 * sizes.taper) / 7.0;
    let above = (sizes.tail.height_m - sizes.wing_above_m).abs() / sizes.span_m;
    let arm = (1.0 - above) / base::math::cbrt(2.0 * sizes.tail.arm_m / sizes.span_m);
    (4.44 * pow(aspect * taper * arm, 1.19)).min(0.85)
}

/// Pitching moment of the body by incidence, 1/rad: `Kf w^2 L / (c S)`, Kf by where the wing's quarter chord stands along it.
///
/// # Source
/// NACA Report 711 (R. R. Gilruth, W. N. White), as in RAYMER-1992; factors from memory.
#[must_use]
pub fn body_moment(sizes: &Sizes) -> f64 {
    let share = 1.0 - 0.06 - sizes.tail.arm_m / sizes.length_m;
    let at = [0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7];
    let factor = [0.115, 0.172, 0.344, 0.487, 0.688, 0.888, 1.146];
    let factor = base::numerics::interpolation::linear(&at, &factor, share.clamp(0.1, 0.7));
    factor * sizes.width_m * sizes.width_m * sizes.length_m / (sizes.chord_m * sizes.area_m2)
}

/// What the blocks of wing and tail need beyond [`Lift`].
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pitch {
    /// Pitching moment of wing and body at nil lift.
    pub moment_zero: f64,
    /// Aerodynamic center of wing and body ahead of the quarter chord, mean chords.
    pub center_ahead: f64,
    /// Incidence of the tail to the body's axis, rad: that which trims at the lift coefficient given, elevator at nil.
    pub tail_incidence_rad: f64,
    /// Lift of the elevator over that of the tail's incidence.
    pub elevator_share: f64,
    /// Neutral point, stick fixed, mean chords behind the leading edge.
    pub neutral_point: f64,
}

/// Pitch of an airplane that is to trim at a lift coefficient with the elevator at nil.
#[must_use]
pub fn pitch(sizes: &Sizes, lift: &Lift, trimmed_lift: f64) -> Pitch {
    let center_ahead = body_moment(sizes) / lift.wing_slope_per_rad;
    let tail = sizes.tail.area_m2 / sizes.area_m2 * lift.tail_slope_per_rad;
    let behind = sizes.center_of_gravity - 0.25;
    let arm = sizes.tail.arm_m / sizes.chord_m - behind;
    // About the center of gravity: wing and body ahead of it, tail behind; the tail's incidence is what remains.
    let incidence = (trimmed_lift - lift.zero) / lift.slope_per_rad;
    let wing = (trimmed_lift * arm + MOMENT_ZERO).max(0.0) / (arm + behind + center_ahead);
    let wing = wing.min(trimmed_lift + 0.3);
    let on_tail = (trimmed_lift - wing) / tail;
    let downwash = lift.downwash_slope * wing / lift.wing_slope_per_rad;
    let tail_incidence_rad =
        (on_tail - incidence + downwash).clamp(-6.0 * RAD_PER_DEG, 6.0 * RAD_PER_DEG);
    let tail_slope = tail * (1.0 - lift.downwash_slope);
    let neutral_point = sizes.center_of_gravity
        + (tail_slope * arm - lift.wing_slope_per_rad * (behind + center_ahead))
            / lift.slope_per_rad;
    Pitch {
        moment_zero: MOMENT_ZERO,
        center_ahead,
        tail_incidence_rad,
        elevator_share: flap_effect(ELEVATOR_CHORD),
        neutral_point,
    }
}
