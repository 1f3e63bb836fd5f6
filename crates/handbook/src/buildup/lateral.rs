//! Fin, body and dihedral, ailerons.

use super::sizes::Sizes;
use super::{flap_effect, surface_slope};

/// What the blocks of wing, body and fin need.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lateral {
    /// Slope of the fin on its own area, 1/rad.
    pub fin_slope_per_rad: f64,
    /// Sidewash at the fin by sideslip, positive lessens it; the loss of pressure is in it.
    pub sidewash_slope: f64,
    /// Lift of the rudder over that of the fin's incidence.
    pub rudder_share: f64,
    /// Side force of the body by sideslip, 1/rad, negative.
    pub body_side_per_rad: f64,
    /// Yawing moment of the body by sideslip, 1/rad, negative.
    pub body_yaw_per_rad: f64,
    /// Rolling moment of wing and body by sideslip, 1/rad, negative.
    pub roll_per_rad_sideslip: f64,
    /// Rolling moment of the ailerons, 1/rad, negative.
    pub aileron_roll_per_rad: f64,
}

/// Share of the fin's chord that moves (common practice, no source).
const RUDDER_CHORD: f64 = 0.4;
/// Ailerons: share of the chord, from and to of the half span (common practice, no source).
const AILERON_CHORD: f64 = 0.2;
const AILERON_FROM: f64 = 0.58;
const AILERON_TO: f64 = 0.94;
/// The body and the tailplane at its foot make a fin act as if of a larger aspect ratio. Source: RAYMER-1992, 1.55; from memory.
const FIN_ENDPLATE: f64 = 1.55;
/// Lift coefficient at which the rolling moment by sideslip is taken.
const LIFT: f64 = 0.4;

/// Lateral figures of an airplane whose wing and body have this slope of lift.
#[must_use]
pub fn lateral(sizes: &Sizes, wing_slope_per_rad: f64) -> Lateral {
    let fin_aspect = FIN_ENDPLATE * sizes.fin.span_m * sizes.fin.span_m / sizes.fin.area_m2;
    Lateral {
        fin_slope_per_rad: surface_slope(fin_aspect),
        sidewash_slope: sidewash_slope(sizes),
        rudder_share: flap_effect(RUDDER_CHORD),
        body_side_per_rad: body_side(sizes),
        body_yaw_per_rad: body_yaw(sizes),
        roll_per_rad_sideslip: roll_by_sideslip(sizes, wing_slope_per_rad),
        aileron_roll_per_rad: aileron_roll(sizes, wing_slope_per_rad),
    }
}

/// Sidewash and pressure at the fin: `(1 + ds/db) q = 0.724 + 3.06 (Sv/S) / 2 + 0.4 z/d + 0.009 A`, z the depth of the wing below
/// the middle of the body, d its depth; no sweep. What is given is one less that.
///
/// # Source
/// DATCOM, as in NELSON-1998 and ROSKAM-AFD; from memory.
#[must_use]
pub fn sidewash_slope(sizes: &Sizes) -> f64 {
    let below = -sizes.wing_above_m / sizes.depth_m;
    let met =
        0.724 + 3.06 * sizes.fin.area_m2 / sizes.area_m2 / 2.0 + 0.4 * below + 0.009 * sizes.aspect;
    (1.0 - met).clamp(-0.45, 0.6)
}

/// Side force of the body: `-2 K S0 / S`, S0 its greatest section, K 1.5 for a wing low or high on it.
///
/// # Source
/// DATCOM, as in ROSKAM-AFD; K from memory (1 to 1.85 from mid to high or low).
fn body_side(sizes: &Sizes) -> f64 {
    let section = 0.8 * sizes.width_m * sizes.depth_m;
    -2.0 * 1.5 * section / sizes.area_m2
}

/// Yawing moment of the body: `-1.3 (volume / S b) (depth / width)`.
///
/// # Source
/// RAYMER-1992, chapter 16; from memory. Volume as that of two cones on the greatest section, 0.55 of the cylinder (common
/// practice, no source).
fn body_yaw(sizes: &Sizes) -> f64 {
    let volume = 0.55 * 0.8 * sizes.width_m * sizes.depth_m * sizes.length_m;
    let shape = sizes.depth_m / sizes.width_m;
    (-1.3 * volume / (sizes.area_m2 * sizes.span_m) * shape).max(-0.25)
}

/// Rolling moment by sideslip without the fin: dihedral `-a G / 4 * 2 (1 + 2 t) / (3 (1 + t))`; the wing's place on the body
/// `-1.2 sqrt(A) z (d + w) / b^2`; and what an unswept wing has by its lift, `-0.03 CL`.
///
/// # Source
/// RAYMER-1992, chapter 16, and DATCOM; from memory.
fn roll_by_sideslip(sizes: &Sizes, wing_slope_per_rad: f64) -> f64 {
    let taper = 2.0 * (1.0 + 2.0 * sizes.taper) / (3.0 * (1.0 + sizes.taper));
    let dihedral = -wing_slope_per_rad * sizes.dihedral_rad / 4.0 * taper;
    let place = -1.2 * sizes.aspect.sqrt() * sizes.wing_above_m * (sizes.depth_m + sizes.width_m)
        / (sizes.span_m * sizes.span_m);
    (dihedral + place - 0.03 * LIFT).clamp(-0.35, -0.005)
}

/// Strips of the wing that have an aileron: `2 a t / (S b) * integral of c y dy`, times what an antisymmetric lift keeps of
/// itself, `(A + 2) / (A + 4)`.
///
/// # Source
/// NELSON-1998, section 3.; lifting line (any text on wing theory); from memory.
fn aileron_roll(sizes: &Sizes, wing_slope_per_rad: f64) -> f64 {
    let at = |share: f64| {
        let square = share * share;
        0.5 * square - (1.0 - sizes.taper) * square * share / 3.0
    };
    let half = 0.5 * sizes.span_m;
    let integral = sizes.root_m * half * half * (at(AILERON_TO) - at(AILERON_FROM));
    let induced = (sizes.aspect + 2.0) / (sizes.aspect + 4.0);
    let whole = 2.0 * wing_slope_per_rad * flap_effect(AILERON_CHORD) * integral
        / (sizes.area_m2 * sizes.span_m);
    -(induced * whole).clamp(0.02, 0.45)
}
