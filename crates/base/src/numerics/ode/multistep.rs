//! One evaluation a step: Adams-Bashforth of order 2, for force models whose evaluation is all the cost.

/// The rule with its memory. The first step after a start is one of Heun's rule (two evaluations), all later ones need one.
///
/// Order 2, also when the step changes. Stable for decays with `step / time constant` below 1; oscillations without damping grow
/// slowly (fourth power of step times frequency), so the step must be small against every period. Start anew where the
/// derivative jumps (a switch, a new command), else the jump costs an order. Source: HNW-1993, sections III.1 and III.5.
#[derive(Debug, Clone, PartialEq)]
pub struct AdamsBashforth2<const N: usize> {
    before: Option<(f64, [f64; N])>,
}

impl<const N: usize> Default for AdamsBashforth2<N> {
    fn default() -> Self {
        Self::new()
    }
}

impl<const N: usize> AdamsBashforth2<N> {
    /// Without memory.
    #[must_use]
    pub const fn new() -> Self {
        Self { before: None }
    }
    /// Forgets: the next step starts anew.
    pub const fn restart(&mut self) {
        self.before = None;
    }
    /// The state a step later. Allocates nothing.
    pub fn step(
        &mut self,
        mut derivative: impl FnMut(f64, &[f64; N]) -> [f64; N],
        t: f64,
        y: &[f64; N],
        h: f64,
    ) -> [f64; N] {
        let now = derivative(t, y);
        let next = match &self.before {
            None => {
                let guess = std::array::from_fn(|i| y[i] + h * now[i]);
                let then = derivative(t + h, &guess);
                std::array::from_fn(|i| y[i] + 0.5 * h * (now[i] + then[i]))
            }
            Some((h_before, before)) => {
                let half = 0.5 * h / h_before;
                std::array::from_fn(|i| y[i] + h * (now[i] + half * (now[i] - before[i])))
            }
        };
        self.before = Some((h, now));
        next
    }
}
