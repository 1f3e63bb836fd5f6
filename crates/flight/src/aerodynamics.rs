//! Aerodynamics of the airframe behind one trait: tables, polynomials, derivatives or components, as the data are.

pub mod component;
pub mod derivative;
pub mod polynomial;
pub mod table;
mod variables;

use base::frames::{Body, Vec3};

use crate::budget::{Budget, Wrench};
use crate::controls::Surfaces;
use crate::flow::Flow;
use crate::propulsion::Wash;

pub use variables::{RateLengths, Variable};

/// What the aerodynamic figures of an airplane refer to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reference {
    /// Wing area, m2.
    pub area_m2: f64,
    /// Wing span, m.
    pub span_m: f64,
    /// Mean chord, m.
    pub chord_m: f64,
}

/// States that aerodynamic data cover. Outside, a flight is refused, not guessed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Domain {
    /// Least and greatest angle of attack, rad.
    pub alpha_rad: (f64, f64),
    /// Greatest sideslip either way, rad.
    pub beta_rad: f64,
    /// Greatest Mach number.
    pub mach: f64,
    /// Least and greatest equivalent airspeed, m/s.
    pub equivalent_mps: (f64, f64),
}

impl Domain {
    /// Any attitude to the air, below the speed of sound.
    pub const SUBSONIC: Self = Self {
        alpha_rad: (-std::f64::consts::PI, std::f64::consts::PI),
        beta_rad: std::f64::consts::FRAC_PI_2,
        mach: 1.0,
        equivalent_mps: (0.0, f64::INFINITY),
    };
    /// Whether a flow is covered.
    #[must_use]
    pub fn holds(&self, flow: &Flow) -> bool {
        (self.alpha_rad.0..=self.alpha_rad.1).contains(&flow.alpha_rad)
            && flow.beta_rad().abs() <= self.beta_rad
            && flow.mach() <= self.mach
            && (self.equivalent_mps.0..=self.equivalent_mps.1).contains(&flow.equivalent_mps())
    }
}

/// The forces of the air on the airframe.
pub trait Aerodynamics: std::fmt::Debug + Send + Sync {
    /// Adds every share to the budget, moments about the reference point of the data (see
    /// [`crate::vehicle::Vehicle::reference_from_center`]). Must not allocate.
    fn add(&self, flow: &Flow, surfaces: &Surfaces, wash: &Wash, budget: &mut Budget);

    /// Wrench of one rad/s of changing angle of attack (it is taken to be linear in it), moments about the same point. Not
    /// asked for where [`Self::add`] left it in the budget ([`Budget::keep_incidence_rate`]).
    fn incidence_rate(&self, _flow: &Flow) -> Wrench {
        Wrench::ZERO
    }
    /// What the figures refer to.
    fn reference(&self) -> Reference;
    /// Where the data hold.
    fn domain(&self) -> Domain;
}

/// No air forces at all: for free flight in checks.
#[derive(Debug, Clone, Copy, Default)]
pub struct Nothing;

impl Aerodynamics for Nothing {
    fn add(&self, _: &Flow, _: &Surfaces, _: &Wash, _: &mut Budget) {}
    fn reference(&self) -> Reference {
        Reference { area_m2: 1.0, span_m: 1.0, chord_m: 1.0 }
    }
    fn domain(&self) -> Domain {
        Domain { mach: f64::INFINITY, ..Domain::SUBSONIC }
    }
}

/// Dimensionless body-axes coefficients made into a wrench about the reference point.
#[must_use]
pub fn wrench_from_coefficients(
    pressure_area_n: f64,
    reference: &Reference,
    force: Vec3<Body>,
    moment: Vec3<Body>,
) -> Wrench {
    let Reference { span_m, chord_m, .. } = *reference;
    Wrench {
        force_n: force * pressure_area_n,
        moment_nm: Vec3::new(moment.x * span_m, moment.y * chord_m, moment.z * span_m)
            * pressure_area_n,
    }
}

#[cfg(test)]
mod tests;
