//! Transcendental functions with the same result on every system.
//!
//! The platform's own mathematics library differs in the last digits between systems, and the same input must give the
//! same bytes out. These are thin names for the pure-Rust `libm`; engine crates are barred from the `f64` methods by
//! their `clippy.toml`. Square root, absolute value and rounding are exact in IEEE 754 and stay methods.

pub use libm::{
    acos, asin, atan, atan2, cbrt, cos, cosh, erf, erfc, exp, hypot, log10, pow, sin, sinh, tan,
    tanh,
};

/// Natural logarithm.
#[must_use]
pub fn ln(x: f64) -> f64 {
    libm::log(x)
}

/// The angle in radians folded into (-pi, pi].
#[must_use]
pub fn wrap_pi(angle_rad: f64) -> f64 {
    let turn = std::f64::consts::TAU;
    let folded = angle_rad - turn * ((angle_rad + std::f64::consts::PI) / turn).floor();
    if folded <= -std::f64::consts::PI { folded + turn } else { folded }
}

/// The angle in radians folded into [0, 2 pi).
#[must_use]
pub fn wrap_two_pi(angle_rad: f64) -> f64 {
    let turn = std::f64::consts::TAU;
    let folded = angle_rad - turn * (angle_rad / turn).floor();
    if folded >= turn { 0.0 } else { folded }
}

/// Series of angles with the jumps of a full turn taken out, first value kept.
#[must_use]
pub fn unwrap_angles(angles_rad: &[f64]) -> Vec<f64> {
    let mut out = Vec::with_capacity(angles_rad.len());
    let mut last = None;
    for &angle in angles_rad {
        let value = match last {
            None => angle,
            Some(previous) => previous + wrap_pi(angle - previous),
        };
        out.push(value);
        last = Some(value);
    }
    out
}
