//! Six-degree figures from sizes, by the published component build-up methods: inertia, tail and fin, body, dihedral, controls,
//! propeller. Each formula stands with its source; formulas "from memory" are to be confirmed before they are relied on.
//!
//! What these methods claim (NELSON-1998, RAYMER-1992 and DATCOM in words, from memory): lift slope and pitch damping some 10 to
//! 15 %, pitch stability 20 to 30 %, lateral derivatives 20 to 50 %, cross derivatives no more than sign and size. The tests hold them
//! against published derivatives one by one.

pub mod inertia;
pub mod lateral;
pub mod longitudinal;
pub mod propeller;
pub mod sizes;
#[cfg(test)]
mod tests;

pub use longitudinal::{Lift, lift};

/// Thrust line above the axis that incidence is read on, rad: along it (common practice, no source).
pub const THRUST_ABOVE_RAD: f64 = 0.0;

/// Slope of lift of a straight surface, 1/rad: `2 pi A / (2 + sqrt(A^2 / k^2 + 4))`, `k` the section's share of `2 pi`, 0.95.
///
/// # Source
/// DATCOM (after Helmbold and Polhamus), low speed, no sweep; from memory.
#[must_use]
pub fn surface_slope(aspect: f64) -> f64 {
    const SECTION: f64 = 0.95;
    let square = aspect * aspect / (SECTION * SECTION);
    std::f64::consts::TAU * aspect / (2.0 + (square + 4.0).sqrt())
}

/// Change of lift with a plain flap over change with incidence, from its share of the chord: thin airfoils
/// `1 - (t - sin t) / pi`, `cos t = 2 E - 1`, less a fifth for the boundary layer.
///
/// # Source
/// Glauert's thin airfoil (any text on wing theory); the fifth from memory of DATCOM.
#[must_use]
pub fn flap_effect(chord_share: f64) -> f64 {
    let angle = base::math::acos(2.0 * chord_share - 1.0);
    0.8 * (1.0 - (angle - base::math::sin(angle)) / std::f64::consts::PI)
}
