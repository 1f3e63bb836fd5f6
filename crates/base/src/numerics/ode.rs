//! Ordinary differential equations: coefficient tables under one stepping routine, dense output, events.
//!
//! The state is a fixed array, so a step allocates nothing. Results are bit-equal on every system.

mod events;
mod multistep;
mod tableau;

pub use events::{Crossing, Direction, Event, Watch};
pub use multistep::AdamsBashforth2;
pub use tableau::{
    BOGACKI_SHAMPINE_3, DORMAND_PRINCE_5, DORMAND_PRINCE_8, Estimate, ROWS_MAX, RUNGE_KUTTA_4,
    Tableau,
};

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
    coefficients: [[f64; N]; 8],
}

impl<const N: usize> Step<N> {
    /// End of the step.
    #[must_use]
    pub fn t1(&self) -> f64 {
        self.t0 + self.h
    }
    /// State at a time within the step, to the order between of its rule.
    #[must_use]
    pub fn state(&self, t: f64) -> [f64; N] {
        let s = (t - self.t0) / self.h;
        let r = 1.0 - s;
        let c = &self.coefficients;
        std::array::from_fn(|i| {
            let outer = c[4][i] + s * (c[5][i] + r * (c[6][i] + s * c[7][i]));
            c[0][i] + s * (c[1][i] + r * (c[2][i] + s * (c[3][i] + r * outer)))
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
    /// Events met, in order of time; a terminal one is the last.
    pub crossings: Vec<Crossing<N>>,
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

/// Integrates from `t0` to `t1` (later) by Dormand-Prince 5(4) with step control, dense output and terminal events, each a
/// function of time and state that stops where it crosses zero upwards.
///
/// As [`integrate_by`] with rising terminal watches.
pub fn integrate<const N: usize>(
    derivative: impl FnMut(f64, &[f64; N]) -> [f64; N],
    span: (f64, f64),
    state: [f64; N],
    control: &Control,
    events: &[Event<'_, N>],
) -> Solution<N> {
    let watches: Vec<Watch<'_, N>> = events
        .iter()
        .map(|&function| Watch { function, direction: Direction::Rising, terminal: true })
        .collect();
    integrate_by(&DORMAND_PRINCE_5, derivative, span, state, control, &watches)
}

/// Integrates from `t0` to `t1` (later) by any rule, with dense output and events.
///
/// A rule without error estimate keeps the first step (cut at the end of the span). Events are located on the continuous extension
/// to 1e-10 of time, several in a step in their order. An event that has already happened at the start does not fire until
/// it has been undone. The work is linear in the steps; what is allocated are the lists of steps and crossings.
pub fn integrate_by<const N: usize>(
    rule: &Tableau,
    mut derivative: impl FnMut(f64, &[f64; N]) -> [f64; N],
    (t0, t1): (f64, f64),
    state: [f64; N],
    control: &Control,
    watches: &[Watch<'_, N>],
) -> Solution<N> {
    let mut solution = Solution {
        steps: Vec::new(),
        t_end: t0,
        state_end: state,
        stop: Stop::End,
        crossings: Vec::new(),
    };
    let mut k_first = derivative(t0, &state);
    let mut pace = Pace { h: control.step_first, error_last: 1e-4 };
    for _ in 0..control.steps_max {
        let (t, y) = (solution.t_end, solution.state_end);
        if t >= t1 - 1e-13 * t1.abs().max(1.0) {
            return solution;
        }
        let h = pace.h.min(t1 - t).min(control.step_max);
        let mut trial = attempt(rule, &mut derivative, t, &y, k_first, h);
        let error = trial.error(rule, &y, control);
        if !pace.accepts(rule, (h, control.step_max), error) {
            if pace.h < 1e-10 || rule.error == Estimate::None {
                return Solution { stop: Stop::NotFinite, ..solution };
            }
            continue;
        }
        let step = trial.dense(rule, &mut derivative, t, &y);
        k_first = trial.k[rule.stages];
        let (found, stopped) = events::within(&step, (&y, &trial.y1), watches);
        solution.steps.push(step);
        solution.crossings.extend(found);
        if let (true, Some(last)) = (stopped, solution.crossings.last().copied()) {
            let stop = Stop::Event(last.watch);
            return Solution { t_end: last.t, state_end: last.state, stop, ..solution };
        }
        solution.t_end = t + h;
        solution.state_end = trial.y1;
    }
    Solution { stop: Stop::Steps, ..solution }
}

/// Length of the next step, and what the last one was like.
struct Pace {
    h: f64,
    error_last: f64,
}

impl Pace {
    /// Whether a step of length `h` with this error counts; sets the length of the next try either way.
    fn accepts(&mut self, rule: &Tableau, (h, step_max): (f64, f64), error: f64) -> bool {
        use crate::math::pow;
        let order = match rule.error {
            Estimate::None => return error.is_finite(),
            Estimate::One { order, .. } => order,
            Estimate::Pair { .. } => 8.0,
        };
        if !error.is_finite() {
            self.h = 0.25 * h;
            return false;
        }
        if error > 1.0 {
            self.h = h * (0.9 / pow(error, 1.0 / order)).max(0.2);
            return false;
        }
        // Far inside the tolerance and as long as it may be: the next one is too.
        if h >= step_max && error < 1e-3 {
            self.error_last = error.max(1e-4);
            return true;
        }
        // Proportional-integral control (HNW-1993, section II.4).
        let factor = 0.9 * pow(error.max(1e-10), 0.03 - 1.0 / order) * pow(self.error_last, 0.04);
        self.h = h * factor.clamp(0.2, 6.0);
        self.error_last = error.max(1e-4);
        true
    }
}

struct Trial<const N: usize> {
    k: [[f64; N]; ROWS_MAX],
    y1: [f64; N],
    h: f64,
}

/// State at a row of the rule, from the derivatives of the rows before.
fn stage<const N: usize>(row: &[f64], k: &[[f64; N]], y: &[f64; N], h: f64) -> [f64; N] {
    let mut sum = [0.0; N];
    for (share, slope) in row.iter().zip(k) {
        for (total, value) in sum.iter_mut().zip(slope) {
            *total += share * value;
        }
    }
    std::array::from_fn(|i| y[i] + h * sum[i])
}

fn attempt<const N: usize>(
    rule: &Tableau,
    derivative: &mut impl FnMut(f64, &[f64; N]) -> [f64; N],
    t: f64,
    y: &[f64; N],
    k_first: [f64; N],
    h: f64,
) -> Trial<N> {
    let mut k = [[0.0; N]; ROWS_MAX];
    k[0] = k_first;
    let mut y1 = *y;
    for s in 1..=rule.stages {
        y1 = stage(rule.rows[s], &k, y, h);
        k[s] = derivative(t + rule.nodes[s] * h, &y1);
    }
    Trial { k, y1, h }
}

impl<const N: usize> Trial<N> {
    /// Root mean square of the error estimate over the tolerance; of a rule without one nil, or not finite where the end is not.
    fn error(&self, rule: &Tableau, y: &[f64; N], control: &Control) -> f64 {
        let norm = |weights: &[f64]| {
            let mut sum = 0.0;
            for (i, before) in y.iter().enumerate() {
                let miss: f64 =
                    self.h * weights.iter().zip(&self.k).map(|(e, k)| e * k[i]).sum::<f64>();
                let scale =
                    control.absolute + control.relative * before.abs().max(self.y1[i].abs());
                sum += (miss / scale) * (miss / scale);
            }
            (sum / N as f64).sqrt()
        };
        match rule.error {
            Estimate::None => {
                let end = self.y1.iter().chain(&self.k[rule.stages]);
                if end.copied().all(f64::is_finite) { 0.0 } else { f64::NAN }
            }
            Estimate::One { weights, .. } => norm(weights),
            Estimate::Pair { fifth, third } => {
                let (fifth, third) = (norm(fifth), norm(third));
                let both = (fifth * fifth + 0.01 * third * third).sqrt();
                if both > 0.0 { fifth * fifth / both } else { both }
            }
        }
    }

    /// The step with its extension; evaluates the rows that only the extension needs.
    fn dense(
        &mut self,
        rule: &Tableau,
        derivative: &mut impl FnMut(f64, &[f64; N]) -> [f64; N],
        t0: f64,
        y: &[f64; N],
    ) -> Step<N> {
        let h = self.h;
        for s in rule.stages + 1..rule.rows.len() {
            let between = stage(rule.rows[s], &self.k, y, h);
            self.k[s] = derivative(t0 + rule.nodes[s] * h, &between);
        }
        let mut coefficients = [[0.0; N]; 8];
        for i in 0..N {
            let rise = self.y1[i] - y[i];
            let bend = h * self.k[0][i] - rise;
            coefficients[0][i] = y[i];
            coefficients[1][i] = rise;
            coefficients[2][i] = bend;
            coefficients[3][i] = rise - h * self.k[rule.stages][i] - bend;
            for (place, row) in rule.dense.iter().enumerate() {
                coefficients[4 + place][i] =
                    h * row.iter().zip(&self.k).map(|(d, k)| d * k[i]).sum::<f64>();
            }
        }
        Step { t0, h, coefficients }
    }
}

/// One step of any rule, without error estimate and without allocation. The derivative at the end is not evaluated.
pub fn step<const N: usize>(
    rule: &Tableau,
    mut derivative: impl FnMut(f64, &[f64; N]) -> [f64; N],
    t: f64,
    y: &[f64; N],
    h: f64,
) -> [f64; N] {
    let mut k = [[0.0; N]; ROWS_MAX];
    k[0] = derivative(t, y);
    for s in 1..rule.stages {
        let between = stage(rule.rows[s], &k, y, h);
        k[s] = derivative(t + rule.nodes[s] * h, &between);
    }
    stage(rule.rows[rule.stages], &k, y, h)
}

/// One step of the classic fourth-order Runge-Kutta rule, written out for speed: the same as [`step`] by [`RUNGE_KUTTA_4`] to
/// rounding. Allocates nothing. Source: KUTTA-1901.
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
