//! The airplane at a few knots at a time. What all sensors say is worked out stretch by stretch, so that it stays in the processor's
//! cache and is never kept for the whole flight.

use std::ops::Range;

use super::layout::SIDESLIP;
use super::predict::{Turn, turns_from};
use super::{Scene, state_of};
use crate::body::{Flow, Look};

/// So many knots at a time.
pub(super) const STRETCH: usize = 64;

/// The airplane at the knots of a stretch and at those beside it that sensors reach.
#[derive(Debug, Clone, Default)]
pub(super) struct Window {
    /// The stretch itself, and the first knot that is kept.
    stretch: Range<usize>,
    first: usize,
    /// Without sensors of attitude the flow about the airplane is enough.
    flows: Vec<Flow>,
    looks: Vec<Look>,
    turns: Vec<Turn>,
}

impl Window {
    pub(super) fn holds(&self, knot: usize) -> bool {
        self.stretch.contains(&knot)
    }
    pub(super) fn stretch(&self) -> Range<usize> {
        self.stretch.clone()
    }
    /// Works out the stretch that a knot is in; with attitude and rates when sensors show them or they are `wanted`.
    pub(super) fn fill_around<const N: usize>(
        &mut self,
        scene: &Scene,
        states: &[[f64; N]],
        knot: usize,
        wanted: bool,
    ) {
        let start = knot - knot % STRETCH;
        self.stretch = start..(start + STRETCH).min(states.len());
        // A rate's change is that from the interval before to the one after.
        self.first = start.saturating_sub(1);
        let end = (self.stretch.end + 2).min(states.len());
        self.flows.clear();
        self.looks.clear();
        self.turns.clear();
        let places = &scene.places[self.first..end];
        let near = states[self.first..end].iter().zip(places);
        if wanted || N > SIDESLIP {
            let look = |(x, place)| Look::of(&state_of(scene, x), place, &scene.body);
            self.looks.extend(near.map(look));
            self.turns.extend(turns_from(scene, self.first, &self.looks));
        } else {
            self.flows.extend(near.map(|(x, place)| Flow::of(&state_of(scene, x), place)));
        }
    }
    pub(super) fn flow(&self, knot: usize) -> &Flow {
        let at = knot - self.first;
        self.flows.get(at).unwrap_or_else(|| &self.looks[at].flow)
    }
    pub(super) fn look(&self, knot: usize) -> &Look {
        &self.looks[knot - self.first]
    }
    pub(super) fn turn(&self, knot: usize) -> &Turn {
        &self.turns[knot - self.first]
    }
}

/// The states of a stretch as channels see them.
#[derive(Debug, Clone, Copy)]
pub(super) struct View<'a, const N: usize> {
    pub(super) scene: &'a Scene,
    pub(super) states: &'a [[f64; N]],
    pub(super) window: &'a Window,
}
