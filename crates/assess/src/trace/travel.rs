//! How far the airplane has rolled and pitched since the beginning, counted on through the vertical and the inverted: the clock
//! of loops and rolls, as heading is that of turns.

use super::{Line, STEP_S};
use base::factors::RAD_PER_DEG;
use base::frames::{Attitude, Body, Ned, Rot};
use base::math::{acos, hypot};

/// A roll slower than this is that of an unsteady hand and no part of a figure that pitches and rolls in turn, deg/s.
const ROLL_MEANT_DPS: f64 = 12.0;

/// Degrees rolled and pitched about the body's own axes, and both in one count. Pitch is that of the nose where it is known, else
/// of the path.
pub(super) struct Travel {
    pub(super) rolled: Line,
    pub(super) pitched: Line,
    pub(super) both: Line,
}

/// Adds up the turns between neighboring attitudes. Linear.
pub(super) fn travel(heading: &Line, pitch: &Line, bank: &Line) -> Travel {
    let n = bank.value.len();
    let attitude = |i: usize| {
        let rad = |line: &Line| line.value[i] * RAD_PER_DEG;
        let (heading_rad, pitch_rad, bank_rad) = (rad(heading), rad(pitch), rad(bank));
        Attitude { heading_rad, pitch_rad, bank_rad }.body_from_ned()
    };
    let (mut rolled, mut pitched, mut both) = (vec![0.0; n], vec![0.0; n], vec![0.0; n]);
    let mut before = (n > 0).then(|| attitude(0));
    for i in 1..n {
        let here = attitude(i);
        let (roll, pitch) = before.map_or((0.0, 0.0), |before| turned_deg(&before, &here));
        rolled[i] = rolled[i - 1] + roll;
        pitched[i] = pitched[i - 1] + pitch;
        let meant = if roll.abs() > ROLL_MEANT_DPS * STEP_S { roll.abs() } else { 0.0 };
        both[i] = both[i - 1] + meant + pitch;
        before = Some(here);
    }
    let either = bank.sigma.iter().zip(&pitch.sigma).map(|(a, b)| hypot(*a, *b)).collect();
    Travel {
        rolled: Line { value: rolled, sigma: bank.sigma.clone() },
        pitched: Line { value: pitched, sigma: pitch.sigma.clone() },
        both: Line { value: both, sigma: either },
    }
}

/// Degrees turned about the forward and the right axis between two attitudes less than half a turn apart.
fn turned_deg(before: &Rot<Ned, Body>, here: &Rot<Ned, Body>) -> (f64, f64) {
    let turn = before.inverse().then(here);
    let m = turn.rows();
    let angle = acos((0.5 * (m[0][0] + m[1][1] + m[2][2] - 1.0)).clamp(-1.0, 1.0));
    let sine = base::math::sin(angle);
    let factor = if sine.abs() > 1e-6 { angle / (2.0 * sine) } else { 0.5 };
    let deg = |a: f64, b: f64| factor * (a - b) / RAD_PER_DEG;
    (deg(m[1][2], m[2][1]), deg(m[2][0], m[0][2]))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn line(values: Vec<f64>) -> Line {
        Line { sigma: vec![1.0; values.len()], value: values }
    }

    #[test]
    fn prop_a_loop_pitches_once_around_and_a_roll_rolls() {
        // A loop in the vertical plane: over the top heading and bank change sides.
        let degrees: Vec<f64> = (0..=72).map(|i| 5.0 * f64::from(i)).collect();
        let back = |a: f64| (90.0..270.0).contains(&a);
        let pitch = |a: f64| {
            if back(a) {
                180.0 - a
            } else if a >= 270.0 {
                a - 360.0
            } else {
                a
            }
        };
        let flip = |a: f64| if back(a) { 180.0 } else { 0.0 };
        let values = |of: &dyn Fn(f64) -> f64| line(degrees.iter().map(|a| of(*a)).collect());
        let round = travel(&values(&flip), &values(&pitch), &values(&flip));
        assert!((round.pitched.value[72] - 360.0).abs() < 1e-6, "{}", round.pitched.value[72]);
        assert!(round.rolled.value[72].abs() < 1e-6);
        let level = values(&|_| 0.0);
        let wrapped = |a: f64| if a > 180.0 { a - 360.0 } else { a };
        let roll = travel(&level, &level, &values(&wrapped));
        assert!((roll.rolled.value[72] - 360.0).abs() < 1e-6);
        assert!((roll.both.value[72] - 360.0).abs() < 1e-6);
        let left = travel(&level, &level, &values(&|a| -wrapped(a)));
        assert!((left.rolled.value[72] + 360.0).abs() < 1e-6);
    }
}
