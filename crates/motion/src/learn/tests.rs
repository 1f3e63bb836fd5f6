//! Noise and flying put in are found again.

use super::{jerk, noise, weights};
use crate::smoother::{Driven, Kind, Measured, Noise, residuals, solve_axis};

/// Numbers that look normal, the same every time.
struct Dice(u64);

impl Dice {
    fn next(&mut self) -> f64 {
        let mut share = || {
            self.0 ^= self.0 << 13;
            self.0 ^= self.0 >> 7;
            self.0 ^= self.0 << 17;
            (self.0 >> 11) as f64 / (1u64 << 53) as f64
        };
        (0..12).map(|_| share()).sum::<f64>() - 6.0
    }
}

const STEP_S: f64 = 0.5;
const USUAL: Noise = Noise { position_m: 0.5, velocity_mps: 0.1, slow_m: 2.0, slow_s: 60.0 };

/// Velocities once a second of a motion driven by white jerk, and its true acceleration at the knots.
struct Flown {
    time_s: Vec<f64>,
    measured: Vec<Measured>,
    acceleration: Vec<f64>,
}

fn flown(jerk_m2ps5: f64, noise_mps: f64, seconds: usize) -> Flown {
    const CUTS: usize = 20;
    let mut dice = Dice(0x1234_5678_9abc_def1);
    let (mut velocity, mut now) = (50.0, 0.0);
    // One position, or where it all was could not be told.
    let mut measured = vec![Measured {
        knot: 0,
        after_s: 0.0,
        step_s: 0.0,
        value: 0.0,
        kind: Kind::Position,
        share: 1.0,
    }];
    let mut acceleration = Vec::new();
    for knot in 0..2 * seconds {
        acceleration.push(now);
        if knot % 2 == 0 {
            let value = velocity + noise_mps * dice.next();
            measured.push(Measured {
                knot,
                after_s: 0.0,
                step_s: 0.0,
                value,
                kind: Kind::Velocity,
                share: 1.0,
            });
        }
        let dt = STEP_S / CUTS as f64;
        for _ in 0..CUTS {
            velocity += now * dt;
            now += (jerk_m2ps5 * dt).sqrt() * dice.next();
        }
    }
    let time_s = (0..2 * seconds).map(|knot| STEP_S * knot as f64).collect();
    Flown { time_s, measured, acceleration }
}

/// What was learned of a flight after as many rounds as a reconstruction has.
struct Learned {
    noise_mps: f64,
    /// Mean over the flight, m2/s5.
    jerk: f64,
    /// Standard deviation of the error of acceleration over what is said of it.
    ratio: f64,
}

fn learned(flight: &Flown) -> Learned {
    let (time_s, measured) = (&flight.time_s, &flight.measured);
    let mut found = USUAL;
    let mut intensity = vec![0.3; time_s.len() - 1];
    let mut weight = vec![1.0; measured.len()];
    let mut ratio = f64::NAN;
    for _ in 0..8 {
        let (solution, driven): (_, Vec<Driven>) =
            solve_axis(time_s, &intensity, measured, &weight, &found).expect("solves");
        let left = residuals(&solution, measured);
        found = noise(&left, measured, &weight, &found, &USUAL);
        weight = weights(&left, measured, &found);
        intensity = jerk(time_s, &driven, &intensity, 1.0);
        let one = |k: usize| {
            let error = solution.values[k][2] - flight.acceleration[k];
            error * error / solution.covariances[k][2][2]
        };
        ratio = ((0..time_s.len()).map(one).sum::<f64>() / time_s.len() as f64).sqrt();
    }
    let jerk = intensity.iter().sum::<f64>() / intensity.len() as f64;
    Learned { noise_mps: found.velocity_mps, jerk, ratio }
}

/// The noise put in is found again though the smoother follows part of it: quiet and restless flying, fine and coarse receivers.
#[test]
fn prop_the_noise_put_in_is_found_again() {
    for (flying, receiver, share) in [(0.02, 0.1, 0.15), (0.02, 0.5, 0.15), (0.3, 0.3, 0.2)] {
        let found = learned(&flown(flying, receiver, 900)).noise_mps;
        assert!(
            (found / receiver - 1.0).abs() < share,
            "flying {flying}, receiver {receiver}: found {found}"
        );
    }
}

/// Quiet air or gusts: the intensity is found again, and what is said of the acceleration holds. (From a short window it comes out
/// a little low, so the errors are up to a fifth greater than said.)
#[test]
fn prop_the_flying_put_in_is_found_again() {
    for flying in [0.02, 0.1, 0.3, 1.0, 3.0] {
        let found = learned(&flown(flying, 0.1, 900));
        let (share, ratio) = (found.jerk / flying, found.ratio);
        assert!((0.65..1.3).contains(&share), "{flying}: {}", found.jerk);
        assert!((0.85..1.2).contains(&ratio), "{flying}: {ratio}");
    }
}

/// A short recording cannot tell: the usual noise is kept nearly as it is, never next to nil.
#[test]
fn prop_a_short_recording_leans_on_the_usual_noise() {
    let found = learned(&flown(2.0, 0.0, 12)).noise_mps;
    assert!(found > 0.07 && found < 0.12, "{found}");
}
