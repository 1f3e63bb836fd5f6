//! Modes of the Navion: roots of the printed matrices, and of the derivatives in closed form, against the printed roots.
//! Source: NELSON-1998, examples 4.3 (p. 158) and 5.3 (p. 199), derivatives after CR-96008.

use flight::linear::derivatives::{
    Flight, LATERAL, LONGITUDINAL, Lateral, LateralCoefficients, Longitudinal,
    LongitudinalCoefficients,
};
use flight::modes::{Mode, Name, modes};

use crate::check::Check;
use crate::files::Files;

const SOURCE: &str = "NELSON-1998, examples 4.3 and 5.3";
const SHARE: f64 = 0.01;
const SHARE_SPIRAL: f64 = 0.1;

/// Printed roots: mode, real part, imaginary part, 1/s and rad/s.
const ROOTS: [(Name, &str, f64, f64); 5] = [
    (Name::ShortPeriod, "short-period", -2.5, 2.59),
    (Name::Phugoid, "phugoid", -0.0171, 0.213),
    (Name::Roll, "roll", -8.435, 0.0),
    (Name::DutchRoll, "dutch-roll", -0.487, 2.335),
    (Name::Spiral, "spiral", -0.008_77, 0.0),
];

const PRINTED_ALONG: [[f64; 4]; 4] = [
    [-0.045, 0.036, 0.0, -32.2],
    [-0.369, -2.02, 176.0, 0.0],
    [0.0019, -0.0396, -2.948, 0.0],
    [0.0, 0.0, 1.0, 0.0],
];
const PRINTED_ACROSS: [[f64; 4]; 4] = [
    [-0.254, 0.0, -1.0, 0.182],
    [-16.02, -8.40, 2.19, 0.0],
    [4.488, -0.350, -0.760, 0.0],
    [0.0, 1.0, 0.0, 0.0],
];

/// 176 ft/s at sea level, in feet, slugs and seconds.
const FLIGHT: Flight = Flight {
    speed: 176.0,
    dynamic_pressure: 0.5 * 0.002_377 * 176.0 * 176.0,
    gravity: 32.174,
    climb_rad: 0.0,
    mass: 2750.0 / 32.174,
    area: 184.0,
    chord: 5.7,
    span: 33.4,
    inertia: [1048.0, 3000.0, 3530.0, 0.0],
};
/// As the book uses them: the lift of pitch rate and of the rate of incidence dropped.
const ALONG: LongitudinalCoefficients = LongitudinalCoefficients {
    cl: 0.41,
    cd: 0.05,
    cl_u: 0.0,
    cd_u: 0.0,
    cm_u: 0.0,
    cl_alpha: 4.44,
    cd_alpha: 0.33,
    cm_alpha: -0.683,
    cl_alpha_rate: 0.0,
    cm_alpha_rate: -4.36,
    cl_q: 0.0,
    cm_q: -9.96,
};
const ACROSS: LateralCoefficients = LateralCoefficients {
    side: [-0.564, 0.0, 0.0],
    roll: [-0.074, -0.410, 0.107],
    yaw: [0.071, -0.0575, -0.125],
};

pub(super) fn checks(_: &Files<'_>) -> Vec<Check> {
    let derived =
        (Longitudinal::new(&FLIGHT, &ALONG).matrix(), Lateral::new(&FLIGHT, &ACROSS).matrix());
    let mut checks = roots("printed", &PRINTED_ALONG, &PRINTED_ACROSS);
    checks.extend(roots("derivatives", &derived.0, &derived.1));
    checks
}

fn roots(key: &str, along: &[[f64; 4]; 4], across: &[[f64; 4]; 4]) -> Vec<Check> {
    let mut found: Vec<Mode> = modes(along, &LONGITUDINAL).unwrap_or_default();
    found.extend(modes(across, &LATERAL).unwrap_or_default());
    let mut checks = Vec::new();
    for (name, words, real, imaginary) in ROOTS {
        let mode = found.iter().find(|mode| mode.name == name);
        let share = if name == Name::Spiral { SHARE_SPIRAL } else { SHARE };
        let figures = (mode.map_or(f64::NAN, |mode| mode.real_ps), real, share);
        checks.push(Check::relative(format!("navion-{key}-{words}-real"), figures, "1/s", SOURCE));
        if imaginary > 0.0 {
            let figures = (mode.map_or(f64::NAN, |mode| mode.imaginary_radps), imaginary, share);
            let id = format!("navion-{key}-{words}-imaginary");
            checks.push(Check::relative(id, figures, "rad/s", SOURCE));
        }
    }
    checks
}
