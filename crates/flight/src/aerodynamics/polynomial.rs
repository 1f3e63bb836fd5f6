//! Aerodynamics as polynomials: each coefficient a sum of terms, each term a number times a product of powers of named
//! variables ([`Variable`]). Terms are grouped by cause when the airplane is loaded; a step multiplies and adds.

use base::frames::Vec3;
use base::numerics::grid::{ROW, Row};

use super::variables::{Asked, VALUES, Values, cause, per_speed_floored};
use super::{Aerodynamics, Domain, RateLengths, Reference, Variable, wrench_from_coefficients};
use crate::budget::{Budget, CAUSES, Cause, InPlane, Ledger, Shares, Wrench};
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

/// A number times a product of variables, made ready.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Product {
    number: f64,
    count: u8,
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
        Some(Self { number, count: factors.len() as u8, slots })
    }
    #[inline]
    pub(super) fn value(&self, values: &Values) -> f64 {
        let mut product = self.number * self.of_two(values);
        for &slot in self.slots.iter().take(self.count.into()).skip(2) {
            product *= values[slot as usize % VALUES];
        }
        product
    }
    /// The product of the first two variables alone: where there is none the slot is that of the one.
    #[inline(always)]
    pub(super) fn of_two(&self, values: &Values) -> f64 {
        values[self.slots[0] as usize % VALUES] * values[self.slots[1] as usize % VALUES]
    }
}

/// Six coefficients: those in the plane of symmetry and those across it, so that most tables are in one half.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Six(pub(super) [Row; 2]);

impl Coefficient {
    /// Which half of [`Six`], and its place there.
    pub(super) const fn place(self) -> (usize, usize) {
        match self {
            Self::First => (0, 0),
            Self::Third => (0, 1),
            Self::Pitch => (0, 2),
            Self::Side => (1, 0),
            Self::Roll => (1, 1),
            Self::Yaw => (1, 2),
        }
    }
}

impl Six {
    pub(super) const NIL: Self = Self([Row::NIL; 2]);

    #[inline(always)]
    pub(super) fn add(&mut self, other: Self) {
        let ([a, b], [c, d]) = (self.0, other.0);
        self.0 = [a + c, b + d];
    }
    /// The wrench of these coefficients.
    #[inline]
    pub(super) fn wrench(&self, axes: Axes, reference: &Reference, flow: &Flow) -> Wrench {
        let [[first, third, pitch], [side, roll, yaw]] = self.0.map(Row::to_array);
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
    #[inline]
    pub(super) fn incidence_rate(&self, flow: &Flow) -> InPlane {
        let Reference { area_m2, chord_m, .. } = self.reference;
        let unit = self.lengths.pitch_m * per_speed_floored(flow);
        let unit_n = unit * flow.dynamic_pressure_pa * area_m2;
        let ((sin, cos), lift_n) = (flow.alpha_sin_cos, self.lift_alpha_rate * unit_n);
        let pitch_nm = self.pitch_alpha_rate * chord_m * unit_n;
        InPlane { x_n: lift_n * sin, z_n: -lift_n * cos, pitch_nm }
    }
}

/// Coefficients as sums of parts: polynomials and tables.
pub(super) trait Parts {
    /// Gives all parts, with what each is due to.
    fn each(&self, give: impl FnMut(Cause, Six));
    /// Their sum.
    #[inline(always)]
    fn whole(&self) -> Six {
        let mut whole = Six::NIL;
        self.each(|_, six| whole.add(six));
        whole
    }
}

/// Parts at an instant, about to write their shares.
pub(super) struct Writing<'a, P> {
    pub(super) frame: &'a Frame,
    pub(super) flow: &'a Flow,
    pub(super) parts: P,
}

impl<P: Parts> Shares for Writing<'_, P> {
    type Answer = ();

    #[inline]
    fn write(&self, ledger: &mut impl Ledger) {
        let Frame { axes, reference, .. } = &self.frame;
        let wrench = |six: &Six| six.wrench(*axes, reference, self.flow);
        let whole = self.parts.whole();
        let shares = || {
            let mut shares = [Six::NIL; CAUSES];
            self.parts.each(|cause, six| shares[cause as usize].add(six));
            Cause::ALL.iter().map(move |&cause| (cause, wrench(&shares[cause as usize])))
        };
        ledger.add_many(wrench(&whole), std::iter::once_with(shares).flatten());
    }
}

/// Terms of one cause.
type Group = (Cause, Vec<(Coefficient, Product)>);

/// Terms with the values of an instant.
struct Terms<'a>(&'a [Group], &'a Values);

impl Parts for Terms<'_> {
    #[inline(always)]
    fn each(&self, mut give: impl FnMut(Cause, Six)) {
        for (cause, terms) in self.0 {
            let mut six = [[0.0; ROW]; 2];
            for (of, product) in terms {
                let (half, place) = of.place();
                six[half][place] += product.value(self.1);
            }
            give(*cause, Six(six.map(Row::new)));
        }
    }
}

/// Polynomial aerodynamics.
#[derive(Debug, Clone, PartialEq)]
pub struct Polynomial {
    frame: Frame,
    asked: Asked,
    groups: Vec<Group>,
}

impl Polynomial {
    /// From terms. `None` when a term has more than [`FACTORS_MAX`] factors.
    #[must_use]
    pub fn new(frame: Frame, terms: &[Term]) -> Option<Self> {
        let asked = Asked::of(terms.iter().flat_map(|term| &term.factors));
        let mut groups = Vec::new();
        for &known in Cause::ALL {
            let due = |term: &&Term| cause(term.factors.iter().copied()) == known;
            let ready = |term: &Term| Some((term.of, Product::new(term.number, &term.factors)?));
            let ready: Vec<_> = terms.iter().filter(due).map(ready).collect::<Option<_>>()?;
            if !ready.is_empty() {
                groups.push((known, ready));
            }
        }
        Some(Self { frame, asked, groups })
    }
}

impl Aerodynamics for Polynomial {
    fn add(&self, flow: &Flow, surfaces: &Surfaces, wash: &Wash, budget: &mut Budget) {
        let frame = &self.frame;
        let values = self.asked.values(&frame.lengths, flow, surfaces, wash);
        budget.write(&Writing { frame, flow, parts: Terms(&self.groups, &values) });
        budget.keep_incidence_rate(frame.incidence_rate(flow));
    }
    fn incidence_rate(&self, flow: &Flow) -> Wrench {
        self.frame.incidence_rate(flow).wrench()
    }
    fn reference(&self) -> Reference {
        self.frame.reference
    }
    fn domain(&self) -> Domain {
        self.frame.domain
    }
}
