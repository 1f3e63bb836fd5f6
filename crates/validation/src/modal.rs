//! Modes of a trimmed flight through the whole vehicle, as checks against published roots.

use flight::linear::{self, linearize};
use flight::modes::{Mode, Name, modes};
use flight::trim::Trim;
use flight::vehicle::Vehicle;

use crate::check::Check;
use crate::steady::Place;

/// Modes of symmetric motion and of motion out of the plane of symmetry, each by itself. `None` when the state has none.
#[must_use]
pub fn separate(vehicle: &Vehicle, place: &Place, trim: &Trim) -> Option<Vec<Mode>> {
    let (world, at) = (place.world(), (&trim.state, &trim.inputs));
    let along = linearize((vehicle, &world), 0.0, at, linear::LONGITUDINAL, []).ok()?;
    let across = linearize((vehicle, &world), 0.0, at, linear::LATERAL, []).ok()?;
    let mut out = modes(&along.a, &linear::LONGITUDINAL).ok()?;
    out.extend(modes(&across.a, &linear::LATERAL).ok()?);
    Some(out)
}

/// A published root: name, real and imaginary part, allowed share.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Root {
    /// Which mode.
    pub name: Name,
    /// Key of the mode.
    pub key: &'static str,
    /// Real part, 1/s.
    pub real: f64,
    /// Imaginary part, rad/s; nil for a real root.
    pub imaginary: f64,
    /// Allowed difference, as a share.
    pub share: f64,
}

/// Compares the modes with roots; a mode that is not there is not met.
#[must_use]
pub fn compare(prefix: &str, found: &[Mode], roots: &[Root], source: &str) -> Vec<Check> {
    let mut out = Vec::new();
    for root in roots {
        let mode = found.iter().find(|mode| mode.name == root.name);
        let real = mode.map_or(f64::NAN, |mode| mode.real_ps);
        let id = format!("{prefix}-{}-real", root.key);
        out.push(Check::relative(id, (real, root.real, root.share), "1/s", source));
        if root.imaginary > 0.0 {
            let imaginary = mode.map_or(f64::NAN, |mode| mode.imaginary_radps);
            let id = format!("{prefix}-{}-imaginary", root.key);
            let figures = (imaginary, root.imaginary, root.share);
            out.push(Check::relative(id, figures, "rad/s", source));
        }
    }
    out
}
