//! A step of the iteration, and how far it may go.
#![allow(clippy::needless_range_loop, reason = "matrix kernels read best with their indices")]

use super::super::Trajectory;
use super::system::{System, parameters};

/// Changes of everything that is iterated on.
#[derive(Debug)]
pub(super) struct Step<const NX: usize, const NU: usize, const NG: usize, const NB: usize> {
    pub(super) states: Vec<[f64; NX]>,
    pub(super) controls: Vec<[f64; NU]>,
    pub(super) border: [f64; NB],
    pub(super) costates: Vec<[f64; NX]>,
    pub(super) slacks: Vec<[f64; NG]>,
    pub(super) duals: Vec<[f64; NG]>,
    pub(super) control_duals: Vec<[[f64; 2]; NU]>,
    pub(super) parameter_duals: [[f64; 2]; NB],
    /// Change of the barrier function along the step.
    pub(super) slope: f64,
}

impl<const NX: usize, const NU: usize, const NG: usize, const NB: usize> Step<NX, NU, NG, NB> {
    pub(super) fn new(at: &Trajectory<NX, NU, NG, NB>) -> Self {
        let (nodes, n) = (at.states.len(), at.controls.len());
        Self {
            states: vec![[0.0; NX]; nodes],
            controls: vec![[0.0; NU]; n],
            border: [0.0; NB],
            costates: vec![[0.0; NX]; nodes],
            slacks: vec![[0.0; NG]; nodes],
            duals: vec![[0.0; NG]; nodes],
            control_duals: vec![[[0.0; 2]; NU]; n],
            parameter_duals: [[0.0; 2]; NB],
            slope: 0.0,
        }
    }

    /// Longest shares of the step that leave slacks and bounds, and multipliers, positive.
    pub(super) fn reach<const NW: usize>(
        &self,
        system: &System<NX, NU, NW, NG, NB>,
        at: &Trajectory<NX, NU, NG, NB>,
        barrier: f64,
    ) -> (f64, f64) {
        let keep = (1.0 - barrier).max(0.99);
        let (mut primal, mut dual) = (1.0_f64, 1.0_f64);
        let shorten = |share: &mut f64, value: f64, change: f64| {
            if value + *share * change < (1.0 - keep) * value {
                *share = -keep * value / change;
            }
        };
        for k in 0..at.controls.len() {
            for i in 0..system.rows(k + 1) {
                shorten(&mut primal, at.slacks[k + 1][i], self.slacks[k + 1][i]);
                shorten(&mut dual, at.duals[k + 1][i], self.duals[k + 1][i]);
            }
            for a in 0..NU {
                let limits = system.control_limits[system.cells[k].phase][a];
                let (u, change) = (at.controls[k][a], self.controls[k][a]);
                shorten(&mut primal, u - limits.0, change);
                shorten(&mut primal, limits.1 - u, -change);
                for side in 0..2 {
                    let (value, change) =
                        (at.control_duals[k][a][side], self.control_duals[k][a][side]);
                    shorten(&mut dual, value, change);
                }
            }
        }
        for i in 0..parameters::<NX, NU, NW>() {
            let limits = system.parameter_limits[i];
            shorten(&mut primal, at.border[i] - limits.0, self.border[i]);
            shorten(&mut primal, limits.1 - at.border[i], -self.border[i]);
            for side in 0..2 {
                shorten(&mut dual, at.parameter_duals[i][side], self.parameter_duals[i][side]);
            }
        }
        (primal, dual)
    }

    /// Goes a share of the step in what the barrier function sees.
    pub(super) fn go(
        &self,
        now: &Trajectory<NX, NU, NG, NB>,
        trial: &mut Trajectory<NX, NU, NG, NB>,
        share: f64,
    ) {
        along(&now.states, &self.states, share, &mut trial.states);
        along(&now.controls, &self.controls, share, &mut trial.controls);
        along(&now.slacks, &self.slacks, share, &mut trial.slacks);
        for i in 0..NB {
            trial.border[i] = now.border[i] + share * self.border[i];
        }
    }

    /// Goes the same in the multipliers: those of conditions by `primal`, those of bounds by `dual`, kept near the barrier.
    pub(super) fn go_duals<const NW: usize>(
        &self,
        system: &System<NX, NU, NW, NG, NB>,
        (now, trial): (&Trajectory<NX, NU, NG, NB>, &mut Trajectory<NX, NU, NG, NB>),
        (primal, dual): (f64, f64),
        barrier: f64,
    ) {
        along(&now.costates, &self.costates, primal, &mut trial.costates);
        along(&now.duals, &self.duals, dual, &mut trial.duals);
        let near =
            |value: f64, room: f64| value.clamp(1e-10 * barrier / room, 1e10 * barrier / room);
        for k in 0..now.controls.len() {
            for i in 0..system.rows(k + 1) {
                trial.duals[k + 1][i] = near(trial.duals[k + 1][i], trial.slacks[k + 1][i]);
            }
            for a in 0..NU {
                let limits = system.control_limits[system.cells[k].phase][a];
                let room = [trial.controls[k][a] - limits.0, limits.1 - trial.controls[k][a]];
                for side in 0..2 {
                    let value =
                        now.control_duals[k][a][side] + dual * self.control_duals[k][a][side];
                    trial.control_duals[k][a][side] = near(value, room[side]);
                }
            }
        }
        for i in 0..parameters::<NX, NU, NW>() {
            let limits = system.parameter_limits[i];
            let room = [trial.border[i] - limits.0, limits.1 - trial.border[i]];
            for side in 0..2 {
                let value = now.parameter_duals[i][side] + dual * self.parameter_duals[i][side];
                trial.parameter_duals[i][side] = near(value, room[side]);
            }
        }
    }
}

fn along<const N: usize>(from: &[[f64; N]], change: &[[f64; N]], share: f64, to: &mut [[f64; N]]) {
    for ((to, from), change) in to.iter_mut().zip(from).zip(change) {
        for i in 0..N {
            to[i] = from[i] + share * change[i];
        }
    }
}
