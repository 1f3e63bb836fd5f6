//! Aerodynamics as polynomials: each coefficient a sum of terms, each term a number times a product of powers of named
//! variables ([`Variable`]). Terms are grouped by cause when the airplane is loaded; a step multiplies and adds.

use base::frames::Vec3;

use super::variables::{Values, cause, speed_floored_mps, values};
use super::{Aerodynamics, Domain, RateLengths, Reference, Variable, wrench_from_coefficients};
use crate::budget::{Budget, Cause, Wrench};
use crate::controls::Surfaces;
use crate::flow::Flow;
use crate::propulsion::Wash;

/// Most factors of a term, powers counted out.
pub const FACTORS_MAX: usize = 6;

/// Axes that force coefficients are given in. Moments are always about body axes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Axes {
    /// Forces along body x, y, z.
    Body,
    /// Drag, side force, lift: along the wind's projection on the plane of symmetry, along body y, normal to both.
    Stability,
}

/// Which of the six coefficients.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Coefficient {
    /// Force along x (body axes), or drag.
    First,
    /// Side force.
    Side,
    /// Force along z (body axes), or lift.
    Third,
    /// Rolling moment, over span.
    Roll,
    /// Pitching moment, over chord.
    Pitch,
    /// Yawing moment, over span.
    Yaw,
}

/// One term as written: number, and variables with their powers.
#[derive(Debug, Clone, PartialEq)]
pub struct Term {
    /// Which coefficient it is part of.
    pub of: Coefficient,
    /// The number.
    pub number: f64,
    /// Factors, repeated for powers; at most [`FACTORS_MAX`].
    pub factors: Vec<Variable>,
}

/// A number times a product of variables, made ready: unused factors point at a one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Product {
    number: f64,
    slots: [u8; FACTORS_MAX],
}

impl Product {
    /// `None` with more than [`FACTORS_MAX`] factors.
    pub(super) fn new(number: f64, factors: &[Variable]) -> Option<Self> {
        let mut slots = [0; FACTORS_MAX];
        slots.get_mut(..factors.len())?;
        for (slot, factor) in slots.iter_mut().zip(factors) {
            *slot = factor.slot();
        }
        Some(Self { number, slots })
    }
    pub(super) fn value(&self, values: &Values) -> f64 {
        self.slots.iter().fold(self.number, |product, &slot| product * values[slot as usize])
    }
}

/// Six coefficients, added up term by term.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct Six([f64; 6]);

impl Six {
    pub(super) const fn add(&mut self, of: Coefficient, value: f64) {
        self.0[of as usize] += value;
    }
    /// The wrench of these coefficients.
    pub(super) fn wrench(&self, axes: Axes, reference: &Reference, flow: &Flow) -> Wrench {
        let [first, side, third, roll, pitch, yaw] = self.0;
        let force = match axes {
            Axes::Body => Vec3::new(first, side, third),
            Axes::Stability => flow.body_from_stability(-first, side, -third),
        };
        let pressure_area_n = flow.dynamic_pressure_pa * reference.area_m2;
        wrench_from_coefficients(pressure_area_n, reference, force, Vec3::new(roll, pitch, yaw))
    }
}

/// What coefficients of polynomials or tables refer to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Frame {
    /// Area, span, chord.
    pub reference: Reference,
    /// How rates were made dimensionless.
    pub lengths: RateLengths,
    /// Axes of the forces.
    pub axes: Axes,
    /// Where the data hold.
    pub domain: Domain,
    /// Lift coefficient of changing incidence (made dimensionless as the pitch rate is).
    pub lift_alpha_rate: f64,
    /// Pitching-moment coefficient of it.
    pub pitch_alpha_rate: f64,
}

impl Frame {
    /// Wrench of one rad/s of changing incidence.
    pub(super) fn incidence_rate(&self, flow: &Flow) -> Wrench {
        let unit = self.lengths.pitch_m / speed_floored_mps(flow);
        let mut six = Six::default();
        six.add(Coefficient::Third, self.lift_alpha_rate * unit);
        six.add(Coefficient::Pitch, self.pitch_alpha_rate * unit);
        six.wrench(Axes::Stability, &self.reference, flow)
    }
}

/// Polynomial aerodynamics.
#[derive(Debug, Clone, PartialEq)]
pub struct Polynomial {
    frame: Frame,
    groups: Vec<(Cause, Vec<(Coefficient, Product)>)>,
}

impl Polynomial {
    /// From terms. `None` when a term has more than [`FACTORS_MAX`] factors.
    #[must_use]
    pub fn new(frame: Frame, terms: &[Term]) -> Option<Self> {
        let mut groups = Vec::new();
        for &known in Cause::ALL {
            let due = |term: &&Term| cause(term.factors.iter().copied()) == known;
            let ready = |term: &Term| Some((term.of, Product::new(term.number, &term.factors)?));
            let ready: Vec<_> = terms.iter().filter(due).map(ready).collect::<Option<_>>()?;
            if !ready.is_empty() {
                groups.push((known, ready));
            }
        }
        Some(Self { frame, groups })
    }
}

impl Aerodynamics for Polynomial {
    fn add(&self, flow: &Flow, surfaces: &Surfaces, wash: &Wash, budget: &mut Budget) {
        let Frame { reference, lengths, axes, .. } = &self.frame;
        let values = values(lengths, flow, surfaces, wash);
        for (cause, terms) in &self.groups {
            let mut six = Six::default();
            for (of, product) in terms {
                six.add(*of, product.value(&values));
            }
            budget.add(*cause, six.wrench(*axes, reference, flow));
        }
    }
    fn incidence_rate(&self, flow: &Flow) -> Wrench {
        self.frame.incidence_rate(flow)
    }
    fn reference(&self) -> Reference {
        self.frame.reference
    }
    fn domain(&self) -> Domain {
        self.frame.domain
    }
}
