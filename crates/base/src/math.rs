//! Transcendental functions with the same result on every system.
//!
//! The platform's own mathematics library differs in the last digits between systems, and the same input must give the
//! same bytes out. These are thin names for the pure-Rust `libm`; engine crates are barred from the `f64` methods by
//! their `clippy.toml`. Square root, absolute value and rounding are exact in IEEE 754 and stay methods.

pub use libm::{
    acos, asin, atan, atan2, cbrt, cos, cosh, erf, erfc, exp, hypot, log10, pow, sin, sinh, tan,
    tanh,
};

/// Sine and cosine of one angle, rad: the same to the bit as [`sin`] and [`cos`], the angle folded once.
#[must_use]
#[inline]
pub fn sin_cos(x: f64) -> (f64, f64) {
    libm::sincos(x)
}

/// Natural logarithm.
#[must_use]
pub fn ln(x: f64) -> f64 {
    libm::log(x)
}

/// Angle in (-pi, pi], rad, of a unit vector given by its sine and cosine: [`atan2`] for the inner loop, at a third of its
/// cost, because the two are already of unit length.
///
/// The nearest of twelve tabulated angles is turned back, and the little that is left comes from the series of the arcsine.
///
/// # Accuracy
/// Within 3e-16 rad of `atan2` for vectors of unit length to rounding (tested); relative near nil. What is no number stays
/// none.
#[must_use]
#[inline(always)]
pub fn unit_angle(sin: f64, cos: f64) -> f64 {
    if sin.abs() <= cos {
        return within_an_eighth(sin.abs(), cos).copysign(sin); // most of the time
    }
    beyond_an_eighth(sin, cos)
}

#[inline(never)]
fn beyond_an_eighth(sin: f64, cos: f64) -> f64 {
    let (across, along) = (sin.abs(), cos.abs());
    let steep = across > along;
    let (short, long) = if steep { (along, across) } else { (across, along) };
    let small = within_an_eighth(short, long);
    let right = if steep { std::f64::consts::FRAC_PI_2 - small } else { small };
    let whole = if cos < 0.0 { std::f64::consts::PI - right } else { right };
    whole.copysign(sin)
}

/// Angle of a unit vector within an eighth of a turn, by its sine and cosine.
#[inline(always)]
fn within_an_eighth(short: f64, long: f64) -> f64 {
    // Sixteenths, rounded by an addition: at this size a number has no bits left behind the point.
    const WHOLE: f64 = 6_755_399_441_055_744.0;
    let row = ((16.0 * short + WHOLE).to_bits() & 0xff) as usize;
    let (sin_row, cos_row, angle_row) = ANGLES[row.min(ANGLES.len() - 1)];
    let rest = short * cos_row - long * sin_row;
    let square = rest * rest;
    let series = (1.0 / 6.0 + square * (3.0 / 40.0))
        + square * square * (15.0 / 336.0 + square * (105.0 / 3456.0));
    angle_row + (rest + rest * square * series)
}

/// Sine (sixteenths), cosine and angle of the rows of [`unit_angle`], up to an eighth of a turn.
#[allow(clippy::approx_constant, reason = "one row is a sixth of pi, by rights")]
const ANGLES: [(f64, f64, f64); 12] = [
    (0.0, 1.0, 0.0),
    (0.0625, 0.998_044_963_916_957, 0.062_540_761_796_491_39),
    (0.125, 0.992_156_741_649_221_5, 0.125_327_831_168_065_4),
    (0.1875, 0.982_264_602_843_857, 0.188_616_386_175_404_1),
    (0.25, 0.968_245_836_551_854_2, 0.252_680_255_142_078_65),
    (0.3125, 0.949_917_759_598_166_5, 0.317_823_703_927_880_75),
    (0.375, 0.927_024_810_886_957_9, 0.384_396_774_495_639_1),
    (0.4375, 0.899_218_410_621_135, 0.452_816_594_744_925_6),
    (0.5, 0.866_025_403_784_438_6, 0.523_598_775_598_298_9),
    (0.5625, 0.826_797_284_707_684_6, 0.597_406_416_645_350_2),
    (0.625, 0.780_624_749_799_799_8, 0.675_131_532_937_031_6),
    (0.6875, 0.726_184_377_413_890_7, 0.758_040_765_426_236),
];

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

#[cfg(test)]
mod tests {
    use super::{atan2, cos, sin, sin_cos, unit_angle};

    #[test]
    fn sine_and_cosine_together_are_those_apart() {
        let angles = (-4000..=4000).map(|i| 0.0037 * f64::from(i));
        for angle in angles.chain([0.0, 1e-300, 1e-9, 1e7, 1e22, -1e5]) {
            let apart = (sin(angle).to_bits(), cos(angle).to_bits());
            let (s, c) = sin_cos(angle);
            assert_eq!((s.to_bits(), c.to_bits()), apart, "{angle}");
        }
        assert!(sin_cos(f64::INFINITY).0.is_nan());
    }

    #[test]
    fn val_unit_angle_against_libm() {
        // Every 2e-5 rad round the circle, vectors as flows have them: divided by their own length.
        let mut worst: f64 = 0.0;
        for i in -157_000..=157_000 {
            let angle = 2e-5 * f64::from(i);
            let (y, x) = (37.3 * sin(angle), 37.3 * cos(angle));
            let length = (x * x + y * y).sqrt();
            let (y, x) = (y / length, x / length);
            worst = worst.max((unit_angle(y, x) - atan2(y, x)).abs());
        }
        assert!(worst < 4.5e-16, "one unit in the last place of pi: {worst}");
        for small in [1e-300, 1e-18, 1e-9, 3e-4] {
            let found = unit_angle(small, 1.0 - 0.5 * small * small);
            assert!((found / small - 1.0).abs() < 0.2 * small * small + 3e-16, "{small} {found}");
        }
    }

    #[test]
    fn unit_angle_at_the_corners() {
        use std::f64::consts::{FRAC_PI_2, PI};
        for (sin, cos, angle) in
            [(0.0, 1.0, 0.0), (1.0, 0.0, FRAC_PI_2), (-1.0, 0.0, -FRAC_PI_2), (0.0, -1.0, PI)]
        {
            assert!((unit_angle(sin, cos) - angle).abs() < 1e-16);
        }
        assert!(unit_angle(f64::NAN, 1.0).is_nan() && unit_angle(0.1, f64::NAN).is_nan());
    }
}
