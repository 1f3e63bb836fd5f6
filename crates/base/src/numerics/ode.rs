//! Ordinary differential equations: coefficient tables under one stepping routine, dense output, events.
//!
//! The state is a fixed array, so a step allocates nothing. Results are bit-equal on every system.

use super::root;

/// Dormand-Prince 5(4) tableau. Source: DP-1980.
mod dormand_prince {
    pub(super) const C: [f64; 7] = [0.0, 1.0 / 5.0, 3.0 / 10.0, 4.0 / 5.0, 8.0 / 9.0, 1.0, 1.0];
    pub(super) const A: [[f64; 6]; 7] = [
        [0.0; 6],
        [1.0 / 5.0, 0.0, 0.0, 0.0, 0.0, 0.0],
        [3.0 / 40.0, 9.0 / 40.0, 0.0, 0.0, 0.0, 0.0],
        [44.0 / 45.0, -56.0 / 15.0, 32.0 / 9.0, 0.0, 0.0, 0.0],
        [19372.0 / 6561.0, -25360.0 / 2187.0, 64448.0 / 6561.0, -212.0 / 729.0, 0.0, 0.0],
        [9017.0 / 3168.0, -355.0 / 33.0, 46732.0 / 5247.0, 49.0 / 176.0, -5103.0 / 18656.0, 0.0],
        [35.0 / 384.0, 0.0, 500.0 / 1113.0, 125.0 / 192.0, -2187.0 / 6784.0, 11.0 / 84.0],
    ];
    /// Fifth-order minus fourth-order weights.
    pub(super) const E: [f64; 7] = [
        71.0 / 57600.0,
        0.0,
        -71.0 / 16695.0,
        71.0 / 1920.0,
        -17253.0 / 339_200.0,
        22.0 / 525.0,
        -1.0 / 40.0,
    ];
    /// Fourth-order continuous extension. Source: HNW-1993, section II.6.
    pub(super) const D: [f64; 7] = [
        -12_715_105_075.0 / 11_282_082_432.0,
        0.0,
        87_487_479_700.0 / 32_700_410_799.0,
        -10_690_763_975.0 / 1_880_347_072.0,
        701_980_252_875.0 / 199_316_789_632.0,
        -1_453_857_185.0 / 822_651_844.0,
        69_997_945.0 / 29_380_423.0,
    ];
}

/// How finely to integrate.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Control {
    /// Relative tolerance of a step.
    pub relative: f64,
    /// Absolute tolerance of a step, the same for every component: scale the state accordingly.
    pub absolute: f64,
    /// First step tried.
    pub step_first: f64,
    /// Longest step.
    pub step_max: f64,
    /// Most steps, accepted or not.
    pub steps_max: usize,
}

/// One accepted step with its continuous extension.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Step<const N: usize> {
    /// Where it begins.
    pub t0: f64,
    /// Its length.
    pub h: f64,
    coefficients: [[f64; N]; 5],
}

impl<const N: usize> Step<N> {
    /// End of the step.
    #[must_use]
    pub fn t1(&self) -> f64 {
        self.t0 + self.h
    }
    /// State at a time within the step, to fourth order.
    #[must_use]
    pub fn state(&self, t: f64) -> [f64; N] {
        let s = (t - self.t0) / self.h;
        let r = 1.0 - s;
        let c = &self.coefficients;
        std::array::from_fn(|i| {
            c[0][i] + s * (c[1][i] + r * (c[2][i] + s * (c[3][i] + r * c[4][i])))
        })
    }
}

/// Why the integration stopped.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Stop {
    /// The end was reached.
    End,
    /// Event with this index was located.
    Event(usize),
    /// The step limit was reached.
    Steps,
    /// The derivative or state was not finite, or the step shrank to nothing.
    NotFinite,
}

/// A solution: accepted steps in order, each good at any time within it.
#[derive(Debug, Clone, PartialEq)]
pub struct Solution<const N: usize> {
    /// Accepted steps; the last is cut at the event when one stopped it.
    pub steps: Vec<Step<N>>,
    /// Where it stopped.
    pub t_end: f64,
    /// State there.
    pub state_end: [f64; N],
    /// Why it stopped.
    pub stop: Stop,
}

impl<const N: usize> Solution<N> {
    /// State at a time, clamped to the integrated span; linear search is avoided (logarithmic in the steps).
    #[must_use]
    pub fn state(&self, t: f64) -> [f64; N] {
        if t >= self.t_end {
            return self.state_end;
        }
        let index = self.steps.partition_point(|step| step.t0 <= t).saturating_sub(1);
        self.steps.get(index).map_or(self.state_end, |step| step.state(t.max(step.t0)))
    }
}

/// A terminal event: stops where the function of time and state crosses zero upwards.
pub type Event<'a, const N: usize> = &'a dyn Fn(f64, &[f64; N]) -> f64;

/// Integrates from `t0` to `t1` (later) by Dormand-Prince 5(4) with step control, dense output and terminal events.
///
/// Events are located on the continuous extension to 1e-10 of time. An event that is positive already at the start does
/// not fire until it has been negative. The work is linear in the steps; nothing is allocated but the list of steps.
pub fn integrate<const N: usize>(
    mut derivative: impl FnMut(f64, &[f64; N]) -> [f64; N],
    (t0, t1): (f64, f64),
    state: [f64; N],
    control: &Control,
    events: &[Event<'_, N>],
) -> Solution<N> {
    let mut solution = Solution { steps: Vec::new(), t_end: t0, state_end: state, stop: Stop::End };
    let mut k_first = derivative(t0, &state);
    let mut h = control.step_first.min(t1 - t0);
    let mut error_last: f64 = 1e-4;
    for _ in 0..control.steps_max {
        let (t, y) = (solution.t_end, solution.state_end);
        if t >= t1 - 1e-13 * t1.abs().max(1.0) {
            return solution;
        }
        h = h.min(t1 - t).min(control.step_max);
        let trial = attempt(&mut derivative, t, &y, k_first, h);
        let error = trial.error(&y, control);
        if !error.is_finite() {
            h *= 0.25;
            if h < 1e-10 {
                return Solution { stop: Stop::NotFinite, ..solution };
            }
            continue;
        }
        if error > 1.0 {
            h *= (0.9 / crate::math::pow(error, 0.2)).max(0.2);
            if h < 1e-10 {
                return Solution { stop: Stop::NotFinite, ..solution };
            }
            continue;
        }
        let step = trial.dense(t, &y, h);
        if let Some((index, at)) = first_event(&step, &y, &trial.y1, events) {
            solution.steps.push(step);
            return Solution {
                t_end: at,
                state_end: step.state(at),
                stop: Stop::Event(index),
                ..solution
            };
        }
        solution.steps.push(step);
        solution.t_end = t + h;
        solution.state_end = trial.y1;
        k_first = trial.k[6];
        // Proportional-integral control (HNW-1993, section II.4).
        let factor =
            0.9 * crate::math::pow(error.max(1e-10), -0.17) * crate::math::pow(error_last, 0.04);
        h *= factor.clamp(0.2, 6.0);
        error_last = error.max(1e-4);
    }
    Solution { stop: Stop::Steps, ..solution }
}

struct Trial<const N: usize> {
    k: [[f64; N]; 7],
    y1: [f64; N],
    h: f64,
}

fn attempt<const N: usize>(
    derivative: &mut impl FnMut(f64, &[f64; N]) -> [f64; N],
    t: f64,
    y: &[f64; N],
    k_first: [f64; N],
    h: f64,
) -> Trial<N> {
    use dormand_prince::{A, C};
    let mut k = [[0.0; N]; 7];
    k[0] = k_first;
    let mut stage = *y;
    for s in 1..7 {
        for (i, value) in stage.iter_mut().enumerate() {
            let mut sum = 0.0;
            for (j, row) in k.iter().enumerate().take(s) {
                sum += A[s][j] * row[i];
            }
            *value = y[i] + h * sum;
        }
        k[s] = derivative(t + C[s] * h, &stage);
    }
    Trial { k, y1: stage, h }
}

impl<const N: usize> Trial<N> {
    /// Root mean square of the error estimate over the tolerance.
    fn error(&self, y: &[f64; N], control: &Control) -> f64 {
        let mut sum = 0.0;
        for (i, before) in y.iter().enumerate() {
            let miss: f64 =
                self.h * (0..7).map(|s| dormand_prince::E[s] * self.k[s][i]).sum::<f64>();
            let scale = control.absolute + control.relative * before.abs().max(self.y1[i].abs());
            sum += (miss / scale) * (miss / scale);
        }
        (sum / N as f64).sqrt()
    }
    fn dense(&self, t0: f64, y: &[f64; N], h: f64) -> Step<N> {
        let mut coefficients = [[0.0; N]; 5];
        for i in 0..N {
            let rise = self.y1[i] - y[i];
            let bend = h * self.k[0][i] - rise;
            coefficients[0][i] = y[i];
            coefficients[1][i] = rise;
            coefficients[2][i] = bend;
            coefficients[3][i] = rise - h * self.k[6][i] - bend;
            coefficients[4][i] =
                h * (0..7).map(|s| dormand_prince::D[s] * self.k[s][i]).sum::<f64>();
        }
        Step { t0, h, coefficients }
    }
}

fn first_event<const N: usize>(
    step: &Step<N>,
    y0: &[f64; N],
    y1: &[f64; N],
    events: &[Event<'_, N>],
) -> Option<(usize, f64)> {
    let mut first: Option<(usize, f64)> = None;
    for (index, event) in events.iter().enumerate() {
        if event(step.t0, y0) < 0.0 && event(step.t1(), y1) >= 0.0 {
            let at = root::find(|t| event(t, &step.state(t)), step.t0, step.t1(), 1e-10)
                .unwrap_or(step.t1());
            if first.is_none_or(|(_, earlier)| at < earlier) {
                first = Some((index, at));
            }
        }
    }
    first
}

/// One step of the classic fourth-order Runge-Kutta rule. Source: KUTTA-1901.
pub fn runge_kutta_4<const N: usize>(
    mut derivative: impl FnMut(f64, &[f64; N]) -> [f64; N],
    t: f64,
    y: &[f64; N],
    h: f64,
) -> [f64; N] {
    let shifted =
        |k: &[f64; N], share: f64| -> [f64; N] { std::array::from_fn(|i| y[i] + share * h * k[i]) };
    let k1 = derivative(t, y);
    let k2 = derivative(t + 0.5 * h, &shifted(&k1, 0.5));
    let k3 = derivative(t + 0.5 * h, &shifted(&k2, 0.5));
    let k4 = derivative(t + h, &shifted(&k3, 1.0));
    std::array::from_fn(|i| y[i] + h / 6.0 * (k1[i] + 2.0 * k2[i] + 2.0 * k3[i] + k4[i]))
}

#[cfg(test)]
mod tests {
    use super::{Control, Stop, integrate, runge_kutta_4};
    use crate::math::{cos, sin};

    const FINE: Control = Control {
        relative: 1e-11,
        absolute: 1e-11,
        step_first: 0.01,
        step_max: 10.0,
        steps_max: 100_000,
    };

    fn oscillator(_: f64, y: &[f64; 2]) -> [f64; 2] {
        [y[1], -y[0]]
    }

    #[test]
    fn val_harmonic_oscillator_closed_form_also_between_steps() {
        let solution = integrate(oscillator, (0.0, 20.0), [1.0, 0.0], &FINE, &[]);
        assert_eq!(solution.stop, Stop::End);
        for i in 0..200 {
            let t = 0.1 * f64::from(i);
            assert!((solution.state(t)[0] - cos(t)).abs() < 1e-7, "{t}");
        }
        assert!((solution.state_end[0] - cos(20.0)).abs() < 1e-9);
    }

    #[test]
    fn val_events_are_located() {
        let down = |_: f64, y: &[f64; 2]| -y[0];
        let solution = integrate(oscillator, (0.0, 20.0), [1.0, 0.0], &FINE, &[&down]);
        assert_eq!(solution.stop, Stop::Event(0));
        assert!((solution.t_end - std::f64::consts::FRAC_PI_2).abs() < 1e-8);
        assert!((solution.state_end[1] + 1.0).abs() < 1e-8);
    }

    #[test]
    fn prop_step_halving_order() {
        let run = |n: usize| {
            let h = 2.0 / n as f64;
            let mut y = [0.0, 1.0];
            for i in 0..n {
                y = runge_kutta_4(oscillator, i as f64 * h, &y, h);
            }
            (y[0] - sin(2.0)).abs()
        };
        let order = (run(20) / run(40)).log2();
        assert!((order - 4.0).abs() < 0.2, "order {order}");
        let loose = |tolerance: f64| {
            let control = Control { relative: tolerance, absolute: tolerance, ..FINE };
            (integrate(oscillator, (0.0, 10.0), [0.0, 1.0], &control, &[]).state_end[0] - sin(10.0))
                .abs()
        };
        assert!(loose(1e-9) < 1e-7 && loose(1e-9) < loose(1e-5));
    }

    #[test]
    fn it_says_why_it_stopped() {
        let blow_up = integrate(|_, y: &[f64; 1]| [y[0] * y[0]], (0.0, 2.0), [1.0], &FINE, &[]);
        assert!(matches!(blow_up.stop, Stop::NotFinite | Stop::Steps));
        let few = Control { steps_max: 3, ..FINE };
        assert_eq!(integrate(oscillator, (0.0, 100.0), [1.0, 0.0], &few, &[]).stop, Stop::Steps);
    }
}
