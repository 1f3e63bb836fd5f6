//! Moments of inertia from radii of gyration.

use super::sizes::Sizes;

/// Moments, kg m2: about the roll, pitch and yaw axis.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Moments {
    /// Roll.
    pub xx: f64,
    /// Pitch.
    pub yy: f64,
    /// Yaw.
    pub zz: f64,
}

/// Radii of gyration without dimension of singles with a propeller: of half the span, half the length, a quarter of both.
///
/// # Source
/// RAYMER-1992 table 16.1 (after ROSKAM): 0.25, 0.38, 0.39; from memory.
const RADII: [f64; 3] = [0.25, 0.38, 0.39];

/// At a mass, kg. Within some 25 % (the spread of the table's class).
#[must_use]
pub fn moments(sizes: &Sizes, mass_kg: f64) -> Moments {
    let radius = |share: f64, size_m: f64| 0.5 * share * size_m;
    let about = |radius_m: f64| mass_kg * radius_m * radius_m;
    let (xx, yy) = (about(radius(RADII[0], sizes.span_m)), about(radius(RADII[1], sizes.length_m)));
    let zz = about(radius(RADII[2], 0.5 * (sizes.span_m + sizes.length_m)));
    // No body has a moment above the sum of the other two.
    Moments { xx, yy, zz: zz.min(0.98 * (xx + yy)) }
}
