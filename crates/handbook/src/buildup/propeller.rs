//! Blades, blade angle and what the slipstream reaches, from geometry.

use std::f64::consts::{PI, TAU};

use base::factors::RAD_PER_DEG;
use base::math::atan;
use base::numerics::root;
use flight::propulsion::blade::{BladeElements, Rotor};

use super::sizes::Sizes;

/// What a flight gives the propeller to do.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Duty {
    /// Shaft power, W.
    pub power_w: f64,
    /// Speed of rotation, rad/s.
    pub speed_radps: f64,
    /// True airspeed, m/s.
    pub airspeed_mps: f64,
    /// Density, kg/m3.
    pub density_kgpm3: f64,
    /// Thrust that the fit says, N.
    pub thrust_n: f64,
}

/// A propeller from geometry.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Blades {
    /// How many.
    pub count: u8,
    /// Chord at 0.75 of the radius over the diameter.
    pub chord_over_diameter: f64,
    /// Pitch of the twist over the diameter.
    pub twist_pitch: f64,
    /// Blade angle at 0.75 of the radius that takes up the duty, rad.
    pub angle_rad: f64,
    /// Share of the blades' thrust that the body takes back, so that fit and blades agree at the duty; clamped to what is usual.
    pub blockage: f64,
    /// Thrust of the blades less blockage over that of the fit, one where they agree.
    pub agreement: f64,
    /// Moment of inertia, kg m2.
    pub inertia_kgm2: f64,
}

/// Chord over diameter of blades from narrow to wide (activity factors of some 80 to 150; common practice, no source).
const CHORDS: [f64; 6] = [0.056, 0.066, 0.076, 0.086, 0.096, 0.106];
/// Blockage is taken to lie here.
const BLOCKAGE: (f64, f64) = (0.0, 0.2);

/// Finds blades whose thrust at the duties is most like the fit's: their chord, the angle that takes up the first duty, and the blockage. A
/// governed propeller may have several duties, each at its own angle; a fixed one has one.
#[must_use]
pub fn blades(count: u8, diameter_m: f64, duties: &[Duty]) -> Blades {
    let of = |chord: f64| {
        let found = with_chord(count, diameter_m, chord, duties);
        let off = |thrust: &f64| (thrust - 1.0) * (thrust - 1.0);
        (found.1.iter().map(off).sum::<f64>(), found.0)
    };
    let best = CHORDS.into_iter().map(of).min_by(|a, b| a.0.total_cmp(&b.0));
    best.expect("there are chords to choose from").1
}

/// Blades of a chord, and their thrust over that of the fit at each duty.
fn with_chord(count: u8, diameter_m: f64, chord: f64, duties: &[Duty]) -> (Blades, Vec<f64>) {
    let first = &duties[0];
    let twist_pitch = (advance(first, diameter_m) + 0.12).clamp(0.3, 1.6);
    let rotor = BladeElements::usual(f64::from(count), chord, twist_pitch).rotor();
    let met: Vec<(f64, f64)> = duties.iter().map(|duty| meet(&rotor, diameter_m, duty)).collect();
    let mean = met.iter().map(|(_, share)| share).sum::<f64>() / met.len() as f64;
    let blockage = (1.0 - 1.0 / mean).clamp(BLOCKAGE.0, BLOCKAGE.1);
    let shares: Vec<f64> = met.iter().map(|(_, share)| share * (1.0 - blockage)).collect();
    let found = Blades {
        count,
        chord_over_diameter: chord,
        twist_pitch,
        angle_rad: met[0].0,
        blockage,
        agreement: shares[0],
        // Of metal blades, by the fifth power of the size (common practice, no source).
        inertia_kgm2: 1.7 * f64::from(count) / 2.0 * diameter_m.powi(5) / 1.88f64.powi(5),
    };
    (found, shares)
}

fn advance(duty: &Duty, diameter_m: f64) -> f64 {
    duty.airspeed_mps / (duty.speed_radps / TAU * diameter_m)
}

/// Blade angle that takes up a duty, and the thrust there over that of the fit.
fn meet(rotor: &Rotor, diameter_m: f64, duty: &Duty) -> (f64, f64) {
    let (turns, advance) = (duty.speed_radps / TAU, advance(duty, diameter_m));
    let square = diameter_m * diameter_m;
    let force = duty.density_kgpm3 * turns * turns * square * square;
    let asked = duty.power_w / (force * diameter_m * turns);
    let helix = atan(advance / (0.75 * PI));
    let excess = |angle: f64| rotor.coefficients(advance, angle).power - asked;
    let (low, high) = (helix - 2.0 * RAD_PER_DEG, helix + 16.0 * RAD_PER_DEG);
    let angle = root::find(excess, low, high, 1e-6)
        .unwrap_or(if excess(low) > 0.0 { low } else { high })
        .clamp(6.0 * RAD_PER_DEG, 55.0 * RAD_PER_DEG);
    (angle, rotor.coefficients(advance, angle).thrust * force / duty.thrust_n)
}

/// Blade angle of the same helix at another advance, rad: for the stops of a governor.
#[must_use]
pub fn angle_by_advance(angle_rad: f64, advance: f64, other: f64) -> f64 {
    let lift = angle_rad - atan(advance / (0.75 * PI));
    lift + atan(other / (0.75 * PI))
}

/// Shares of wing, tail and fin in the slipstream, from the shadow of a contracted stream of 0.9 diameters (MOMENTUM at usual loads)
/// less what the body hides.
#[must_use]
pub fn immersed(sizes: &Sizes, diameter_m: f64) -> [f64; 3] {
    let stream_m = 0.9 * diameter_m;
    let wing = (stream_m - sizes.width_m).max(0.0) * sizes.root_m / sizes.area_m2;
    let tail = (stream_m / sizes.tail.span_m).min(1.0) * 0.8;
    // The fin stands on the body: from the shaft up, half of the stream.
    let fin = (0.5 * stream_m / (sizes.fin.span_m + 0.3 * sizes.depth_m)).min(1.0) * 0.8;
    [wing, tail, fin]
}
