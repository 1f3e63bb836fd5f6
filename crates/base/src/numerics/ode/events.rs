//! Where a function of time and state passes nil within a step.

use super::Step;
use crate::numerics::root;

/// A function of time and state whose zero is an event.
pub type Event<'a, const N: usize> = &'a dyn Fn(f64, &[f64; N]) -> f64;

/// Which way the function passes nil.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Direction {
    /// From below.
    Rising,
    /// From above.
    Falling,
    /// Both ways.
    Either,
}

/// An event to look out for.
#[derive(Clone, Copy)]
pub struct Watch<'a, const N: usize> {
    /// The function.
    pub function: Event<'a, N>,
    /// Which passages count.
    pub direction: Direction,
    /// Whether it stops the integration; else it is only noted.
    pub terminal: bool,
}

impl<const N: usize> std::fmt::Debug for Watch<'_, N> {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let Self { function: _, direction, terminal } = self;
        write!(out, "Watch({direction:?}, terminal: {terminal})")
    }
}

/// An event found.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Crossing<const N: usize> {
    /// Which of the watches.
    pub watch: usize,
    /// When; at or just past the zero, so that an integration begun here does not find it again.
    pub t: f64,
    /// State there.
    pub state: [f64; N],
}

/// Pieces in which a step is searched: two passages of one function in a step are found unless both are in one piece.
const PIECES: usize = 4;
/// Width to which an event is located in time.
const WIDTH: f64 = 1e-10;

/// All events of a step in order of time, cut after the first terminal one (which is then the last, flagged).
pub(super) fn within<const N: usize>(
    step: &Step<N>,
    (y0, y1): (&[f64; N], &[f64; N]),
    watches: &[Watch<'_, N>],
) -> (Vec<Crossing<N>>, bool) {
    let mut found: Vec<Crossing<N>> = Vec::new();
    for (index, watch) in watches.iter().enumerate() {
        let value = |t: f64| (watch.function)(t, &step.state(t));
        let (mut t_low, mut low) = (step.t0, (watch.function)(step.t0, y0));
        for piece in 1..=PIECES {
            let last = piece == PIECES;
            let t_high =
                if last { step.t1() } else { step.t0 + step.h * piece as f64 / PIECES as f64 };
            let high = if last { (watch.function)(t_high, y1) } else { value(t_high) };
            if passes(watch.direction, low, high) {
                let t = locate(&value, t_low, t_high, low < 0.0);
                found.push(Crossing { watch: index, t, state: step.state(t) });
            }
            (t_low, low) = (t_high, high);
        }
    }
    found.sort_by(|a, b| a.t.total_cmp(&b.t));
    match found.iter().position(|crossing| watches[crossing.watch].terminal) {
        Some(place) => {
            found.truncate(place + 1);
            (found, true)
        }
        None => (found, false),
    }
}

fn passes(direction: Direction, low: f64, high: f64) -> bool {
    let (rises, falls) = (low < 0.0 && high >= 0.0, low > 0.0 && high <= 0.0);
    match direction {
        Direction::Rising => rises,
        Direction::Falling => falls,
        Direction::Either => rises || falls,
    }
}

/// The passage, moved on by up to the width so that the function has passed.
fn locate(value: &impl Fn(f64) -> f64, low: f64, high: f64, rises: bool) -> f64 {
    let at = root::find(value, low, high, WIDTH).unwrap_or(high);
    let passed = |t: f64| if rises { value(t) >= 0.0 } else { value(t) <= 0.0 };
    let beyond = (at + WIDTH).min(high);
    if passed(at) { at } else { beyond }
}
