//! Normal equations of many measurements of the same four states, gathered before they are added.

use wide::f64x4;

use super::lanes::{LANES, Lane};

/// Normal equations of four states of a knot and the same of the next.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Near {
    pub(super) here: [Lane; LANES],
    pub(super) right: [Lane; LANES],
    pub(super) next: [Lane; LANES],
    pub(super) rhs: Lane,
    pub(super) next_rhs: Lane,
    /// Whether anything concerns the next knot.
    pub(super) reaches: bool,
}

impl Near {
    /// Adds `information (here . x + next . x_next - value)^2`; `next` is `None` where the next knot is not concerned.
    pub fn add(&mut self, here: &Lane, next: Option<&Lane>, value: f64, information: f64) {
        let row = f64x4::new(*here);
        gather(&mut self.here, here, row, information);
        pull(&mut self.rhs, row, information * value);
        if let Some(next) = next {
            let after = f64x4::new(*next);
            gather(&mut self.right, here, after, information);
            gather(&mut self.next, next, after, information);
            pull(&mut self.next_rhs, after, information * value);
            self.reaches = true;
        }
    }
}

#[inline(always)]
fn gather(block: &mut [Lane; LANES], column: &Lane, row: f64x4, information: f64) {
    for (target, factor) in block.iter_mut().zip(column) {
        *target = (f64x4::new(*target) + f64x4::splat(information * factor) * row).to_array();
    }
}

#[inline(always)]
fn pull(rhs: &mut Lane, row: f64x4, scaled: f64) {
    *rhs = (f64x4::new(*rhs) + f64x4::splat(scaled) * row).to_array();
}
