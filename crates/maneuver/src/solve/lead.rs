//! From a figure that is found to one that is not: by small steps, each begun where the last two point to.

use base::numerics::least_squares::{Fit, Variable};

use super::half_figure::CLOSED;

/// Steps toward the wanted figure, and the least of them.
const STEPS_MOST: usize = 24;
const STEP_LEAST: f64 = 0.004;

/// From a figure that closes, a share of the way off the wanted one, to that: `shoot` searches for the figure of a share from these
/// variables. `None` where the steps would have to be too small.
pub(super) fn lead(
    (mut at, mut fit): (f64, Fit),
    variables: &[Variable],
    shoot: impl Fn(f64, &[Variable]) -> Fit,
) -> Option<Fit> {
    let mut before: Option<(f64, Vec<f64>)> = None;
    let mut step = 0.3 * at;
    for _ in 0..STEPS_MOST {
        let next = (at - step).max(0.0);
        let mut start = variables.to_vec();
        for (i, variable) in start.iter_mut().enumerate() {
            let slope = before
                .as_ref()
                .map_or(0.0, |(there, values)| (fit.values[i] - values[i]) / (at - there));
            let guess = fit.values[i] + slope * (next - at);
            variable.start = guess.clamp(variable.low, variable.high);
        }
        let found = shoot(next, &start);
        if found.residual_norm >= CLOSED {
            step *= 0.5;
            if step < STEP_LEAST {
                return None;
            }
            continue;
        }
        before = Some((at, std::mem::replace(&mut fit, found).values));
        at = next;
        if at <= 0.0 {
            return Some(fit);
        }
        step *= 1.5;
    }
    None
}
