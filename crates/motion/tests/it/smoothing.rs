//! The smoother against motions in closed form.

use base::math::{cos, sin};
use checks::assert_near;
use motion::smoother::{Kind, Measured, Noise, solve_plane};

const SPEED_MPS: f64 = 50.0;
const NOISE: Noise = Noise { position_m: 0.5, velocity_mps: 0.1, slow_m: 2.0, slow_s: 60.0 };

/// Velocity of a steady turn north and east once a second, exact.
fn steady_turn(rate: f64, seconds: usize) -> (Vec<f64>, [Vec<Measured>; 2]) {
    // One position, or where it all was could not be told.
    let place = Measured {
        knot: 0,
        after_s: 0.0,
        step_s: 0.0,
        value: 0.0,
        kind: Kind::Position,
        share: 1.0,
    };
    let mut axes = [vec![place], vec![place]];
    for second in 0..=seconds {
        let angle = rate * second as f64;
        for (axis, value) in axes.iter_mut().zip([cos(angle), sin(angle)]) {
            let value = SPEED_MPS * value;
            axis.push(Measured {
                knot: 2 * second,
                after_s: 0.0,
                step_s: 0.0,
                value,
                kind: Kind::Velocity,
                share: 1.0,
            });
        }
    }
    ((0..=2 * seconds).map(|knot| 0.5 * knot as f64).collect(), axes)
}

/// Greatest miss of the acceleration when the smoother is told this rate of turn and hardly any jerk, m/s2; and what is known.
fn miss(rate: f64, told: f64) -> (f64, f64) {
    let (time_s, axes) = steady_turn(rate, 60);
    let intervals = time_s.len() - 1;
    let weights = vec![1.0; axes[0].len()];
    let (solved, driven) = solve_plane(
        &time_s,
        &vec![0.001; intervals],
        &vec![told; intervals],
        [&axes[0], &axes[1]],
        [&weights, &weights],
        [&NOISE, &NOISE],
    )
    .expect("solves");
    let size = SPEED_MPS * rate;
    // The weak prior of the first knot is felt for a few seconds.
    let worst = (20..time_s.len()).map(|k| {
        let angle = rate * time_s[k];
        let north = solved[0].values[k][2] + size * sin(angle);
        let east = solved[1].values[k][2] - size * cos(angle);
        base::math::hypot(north, east)
    });
    (worst.fold(0.0, f64::max), driven.iter().map(|one| one.known).sum())
}

/// Uniform motion in a circle: acceleration of size `V omega` square to the velocity (any text on mechanics). Told the rate, the
/// smoother needs no jerk for it, to either side; not told, it takes the turn for straight flight with noise.
#[test]
fn val_a_steady_turn_needs_no_jerk() {
    for rate in [0.2, -0.2, 0.002] {
        let (told, _) = miss(rate, rate);
        assert!(told < 0.02, "{rate}: {told}");
    }
    let (not_told, _) = miss(0.2, 0.0);
    assert!(not_told > 1.0, "{not_told}");
    assert_near("left and right", miss(-0.2, -0.2).0, miss(0.2, 0.2).0, 1e-9);
}

/// No more is known of the flying than there are measurements.
#[test]
fn prop_what_is_known_is_less_than_what_is_measured() {
    let (_, known) = miss(0.2, 0.2);
    assert!(known > 0.5 && known < 2.0 * 61.0, "{known}");
}
