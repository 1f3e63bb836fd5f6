//! North and east together: the acceleration turns with the airplane.
//!
//! In a steady turn the acceleration keeps its size and turns at the rate of the turn. To two axes on their own that is jerk all
//! the way around, and a smoother that allows for it lets the noise of the receiver through. Turned along, only a change of bank
//! or of speed is jerk.

use base::math::{cos, sin};
use base::numerics::block_tridiagonal::{BlockTridiagonal, Local, NotPositiveDefinite};

use super::{
    AxisSolution, Driven, Measured, Noise, STATES, information, observe, slow_driven, transition,
};

/// States of the two horizontal axes together.
const PLANE: usize = 2 * STATES;

/// Solves north and east together: in a turn the acceleration turns with the airplane, at `turn_rate` (rad/s, one entry an
/// interval), and only what departs from that is jerk.
///
/// # Errors
/// When a knot is not determined: no measurement at all.
pub fn solve_plane(
    time_s: &[f64],
    jerk: &[f64],
    turn_rate: &[f64],
    measured: [&[Measured]; 2],
    weights: [&[f64]; 2],
    noise: [&Noise; 2],
) -> Result<([AxisSolution; 2], Vec<Driven>), NotPositiveDefinite> {
    let mut system = BlockTridiagonal::<PLANE>::new(time_s.len());
    for (index, pair) in time_s.windows(2).enumerate() {
        let (transition, information) =
            plane_link(pair[1] - pair[0], jerk[index], turn_rate[index], noise);
        system.link(index, &transition, &information);
    }
    for axis in 0..2 {
        let places = std::array::from_fn(|i| axis * STATES + i);
        observe(&mut system, (measured[axis], weights[axis]), noise[axis], &places);
    }
    let mut axes = [AxisSolution::of(time_s.len()), AxisSolution::of(time_s.len())];
    let mut driven = vec![Driven::default(); jerk.len()];
    system.eliminate()?.sweep(|local| {
        let k = local.knot;
        for (axis, solution) in axes.iter_mut().enumerate() {
            solution.take(local, axis * STATES);
        }
        if k < jerk.len() {
            let dt = time_s[k + 1] - time_s[k];
            let slow: [(f64, f64); 2] = std::array::from_fn(|axis| {
                slow_driven(local, axis * STATES + STATES - 1, dt, noise[axis])
            });
            driven[k] = Driven {
                slow: slow.map(|one| one.0),
                slow_known: slow.map(|one| one.1),
                ..driven_in_plane(local, dt, jerk[k], turn_rate[k])
            };
        }
    });
    Ok((axes, driven))
}

/// Transition of both axes over `dt`, and the information of what jerk and the slow errors add.
pub(crate) fn plane_link(
    dt: f64,
    jerk: f64,
    rate: f64,
    noise: [&Noise; 2],
) -> ([[f64; PLANE]; PLANE], [[f64; PLANE]; PLANE]) {
    let turning = transition(dt, rate, noise[0]);
    let added = noise.map(|noise| information(dt, jerk, noise));
    let (mut whole, mut known) = ([[0.0; PLANE]; PLANE], [[0.0; PLANE]; PLANE]);
    for i in 0..STATES {
        for j in 0..STATES {
            let (along, across) = turning[i][j];
            whole[i][j] = along;
            whole[STATES + i][STATES + j] = along;
            whole[i][STATES + j] = -across;
            whole[STATES + i][j] = across;
            known[i][j] = added[0][i][j];
            known[STATES + i][STATES + j] = added[1][i][j];
        }
    }
    (whole, known)
}

/// The change of acceleration over an interval that turning does not explain.
fn driven_in_plane(local: &Local<'_, PLANE>, dt: f64, jerk: f64, rate: f64) -> Driven {
    const NORTH: usize = 2;
    const EAST: usize = STATES + 2;
    let (c, s) = (cos(rate * dt), sin(rate * dt));
    let (before, after) = (local.value, local.next_value);
    let change_north = after[NORTH] - (c * before[NORTH] - s * before[EAST]);
    let change_east = after[EAST] - (s * before[NORTH] + c * before[EAST]);
    let p0 = |i: usize| local.covariance(i, i);
    let p1 = |i: usize| local.next_covariance(i, i);
    let cross = |i: usize, j: usize| local.cross(i, j);
    // Trace of P1 + R P0 R^T - R C - (R C)^T; turning keeps the trace of the middle one.
    let trace = p1(NORTH) + p1(EAST) + p0(NORTH) + p0(EAST)
        - 2.0 * (c * cross(NORTH, NORTH) - s * cross(EAST, NORTH))
        - 2.0 * (s * cross(NORTH, EAST) + c * cross(EAST, EAST));
    Driven {
        square: (change_north * change_north + change_east * change_east) / dt,
        known: (2.0 - trace / (jerk * dt)).clamp(0.0, 2.0),
        ..Driven::default()
    }
}
