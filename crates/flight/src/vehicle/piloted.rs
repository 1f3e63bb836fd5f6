//! A flight with someone at the controls: fixed steps, the pilot asked once a step.

use base::numerics::ode::runge_kutta_4;

use super::{Instant, OutsideData, StateArray, Vehicle, World};
use crate::controls::Inputs;

/// One moment of a flight.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Moment {
    /// Time since the start, s.
    pub time_s: f64,
    /// State.
    pub state: StateArray,
    /// What the pilot asked for.
    pub inputs: Inputs,
    /// Flow, forces by cause, engine.
    pub instant: Instant,
}

/// Why a piloted flight ended.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum End {
    /// The time was up.
    Time,
    /// The pilot gave no more inputs.
    Pilot,
    /// The airplane's data do not reach this far; the flight up to here is kept.
    Outside(OutsideData),
    /// The air is not known at this height, m; the flight up to here is kept.
    OutsideAir(f64),
    /// The stepping asks for no steps, or for more than can be kept.
    NoSteps,
}

/// A flight as flown.
#[derive(Debug, Clone, PartialEq)]
pub struct Flown {
    /// Moments in order, the last one included.
    pub moments: Vec<Moment>,
    /// Why it ended.
    pub end: End,
}

/// How a flight is stepped and kept.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stepping {
    /// Length of a step, s.
    pub step_s: f64,
    /// Steps between the moments that are kept, one or more.
    pub keep_every: usize,
    /// Longest flight, s.
    pub seconds: f64,
}

/// Most steps of one flight: some hours at a hundred a second.
const STEPS_MOST: f64 = 1e7;

impl Vehicle {
    /// Flies from a state with a pilot who sees each moment (the inputs in it are those of the step before) and answers with
    /// inputs for the next step, or with `None` to end the flight. Fourth-order Runge-Kutta; one allocation, that of the list.
    /// The work is linear in the steps.
    pub fn fly(
        &self,
        world: &World<'_>,
        start: &StateArray,
        stepping: &Stepping,
        mut pilot: impl FnMut(&Moment) -> Option<Inputs>,
    ) -> Flown {
        let asked = (stepping.seconds / stepping.step_s).ceil();
        if !(stepping.step_s > 0.0 && (0.0..=STEPS_MOST).contains(&asked)) {
            return Flown { moments: Vec::new(), end: End::NoSteps };
        }
        let steps = asked as usize;
        let mut moments = Vec::with_capacity(steps / stepping.keep_every.max(1) + 2);
        let (mut state, mut inputs) = (*start, Inputs::default());
        let mut end = End::Time;
        for step in 0..=steps {
            let time_s = step as f64 * stepping.step_s;
            let instant = self.instant(world, time_s, &state, &inputs);
            let seen = Moment { time_s, state, inputs, instant };
            let answer = pilot(&seen);
            inputs = answer.unwrap_or(inputs);
            let instant = self.instant(world, time_s, &state, &inputs);
            let outside = self.check(&instant).err();
            let known = world.air.covers(instant.height_m);
            let last = step == steps || answer.is_none() || outside.is_some() || !known;
            if last || step % stepping.keep_every.max(1) == 0 {
                moments.push(Moment { time_s, state, inputs, instant });
            }
            if let Some(outside) = outside {
                end = End::Outside(outside);
                break;
            }
            if !known {
                end = End::OutsideAir(instant.height_m);
                break;
            }
            if answer.is_none() {
                end = End::Pilot;
                break;
            }
            state = runge_kutta_4(
                |t, y| self.rate(world, t, y, &inputs),
                time_s,
                &state,
                stepping.step_s,
            );
        }
        Flown { moments, end }
    }
}
