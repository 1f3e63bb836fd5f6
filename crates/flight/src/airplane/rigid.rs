//! Six-degree data of an airplane: mass and inertia, aerodynamics, controls, what pulls. Built into a
//! [`Vehicle`] for the mass of the day.

use std::sync::{Arc, OnceLock};

use base::frames::{Body, Vec3};
use base::units::Mass;

use crate::aerodynamics::component::Component;
use crate::aerodynamics::derivative::Derivatives;
use crate::aerodynamics::polynomial::Polynomial;
use crate::aerodynamics::table::Tables;
use crate::aerodynamics::{Aerodynamics, Domain, Reference};
use crate::budget::Switches;
use crate::controls::ControlSystem;
use crate::propulsion::Propulsion;
use crate::propulsion::chart::{ChartError, ChartRow};
use crate::propulsion::piston::{PistonPropeller, PistonPropellerData};
use crate::propulsion::pressure_rise::PressureRise;
use crate::propulsion::steady_thrust::SteadyThrust;
use crate::vehicle::{Inertia, MassError, MassProperties, Vehicle};

/// Everything that a rigid-body flight needs.
#[derive(Debug, Clone, PartialEq)]
pub struct Rigid {
    /// Mass and its distribution, as published.
    pub loading: Loading,
    /// Forces of the air.
    pub form: Form,
    /// Controls.
    pub controls: ControlSystem,
    /// What pulls.
    pub pull: Pull,
}

/// A loading with its inertia.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Loading {
    /// Mass.
    pub mass: Mass,
    /// Inertia at this mass, kg m2.
    pub inertia: Inertia,
    /// Center of gravity, mean chords behind the leading edge of the mean chord.
    pub center_of_gravity: f64,
    /// Point that the aerodynamic moments refer to, from the center of gravity, m.
    pub reference_from_center: Vec3<Body>,
}

/// Form of the aerodynamic data.
#[derive(Debug, Clone, PartialEq)]
pub enum Form {
    /// Constant derivatives.
    Derivatives(Derivatives),
    /// Polynomials.
    Polynomial(Polynomial),
    /// Tables.
    Tables(Tables),
    /// Wing, body, tail and fin, with a stall.
    Components(Component),
}

impl Form {
    /// In words.
    #[must_use]
    pub const fn words(&self) -> &'static str {
        match self {
            Self::Derivatives(_) => "derivatives",
            Self::Polynomial(_) => "polynomial",
            Self::Tables(_) => "tables",
            Self::Components(_) => "components",
        }
    }
    fn data(&self) -> &dyn Aerodynamics {
        match self {
            Self::Derivatives(form) => form,
            Self::Polynomial(form) => form,
            Self::Tables(form) => form,
            Self::Components(form) => form,
        }
    }
    /// What the figures refer to.
    #[must_use]
    pub fn reference(&self) -> Reference {
        self.data().reference()
    }
    /// Where the data hold.
    #[must_use]
    pub fn domain(&self) -> Domain {
        self.data().domain()
    }
    fn boxed(&self) -> Box<dyn Aerodynamics> {
        match self {
            Self::Derivatives(form) => Box::new(*form),
            Self::Polynomial(form) => Box::new(form.clone()),
            Self::Tables(form) => Box::new(form.clone()),
            Self::Components(form) => Box::new(form.clone()),
        }
    }
}

/// What pulls.
#[derive(Debug, Clone, PartialEq)]
pub enum Pull {
    /// Piston engine and propeller.
    Piston(Arc<PistonPull>),
    /// A thrust that follows one law: for sets that say nothing of engine and propeller.
    Steady(SteadyThrust),
    /// Engine power gives a rise of total pressure that the aerodynamics depend on.
    PressureRise(PressureRise),
}

/// Engine and propeller. The chart of a propeller given as blades is worked out when a vehicle is first asked for, once.
#[derive(Debug, Clone, PartialEq)]
pub struct PistonPull {
    data: PistonPropellerData,
    built: OnceLock<PistonPropeller>,
}

impl PistonPull {
    /// Of blades.
    #[must_use]
    pub const fn of_blades(data: PistonPropellerData) -> Self {
        Self { data, built: OnceLock::new() }
    }
    /// Of a published chart.
    ///
    /// # Errors
    /// As [`PistonPropeller::with_chart`].
    pub fn of_chart(data: PistonPropellerData, rows: &[ChartRow]) -> Result<Self, ChartError> {
        let built = PistonPropeller::with_chart(data.clone(), rows)?;
        Ok(Self { data, built: built.into() })
    }
    /// What it is made of.
    #[must_use]
    pub const fn data(&self) -> &PistonPropellerData {
        &self.data
    }
    /// Ready to run.
    #[must_use]
    pub fn propeller(&self) -> &PistonPropeller {
        self.built.get_or_init(|| PistonPropeller::new(self.data.clone()))
    }
}

impl Pull {
    /// In words.
    #[must_use]
    pub const fn words(&self) -> &'static str {
        match self {
            Self::Piston(_) => "piston engine and propeller",
            Self::Steady(_) => "steady thrust",
            Self::PressureRise(_) => "pressure rise behind the propeller",
        }
    }
    fn boxed(&self) -> Box<dyn Propulsion> {
        match self {
            Self::Piston(pull) => Box::new(pull.propeller().clone()),
            Self::Steady(pull) => Box::new(*pull),
            Self::PressureRise(pull) => Box::new(*pull),
        }
    }
}

/// An airplane whose file lacks what a rigid-body flight needs.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum NoSixDegree {
    /// Blocks are missing.
    #[error("{name} has no six-degree data: {} missing", missing.join(", "))]
    Missing {
        /// The airplane.
        name: String,
        /// Blocks that its file would need.
        missing: &'static [&'static str],
    },
    /// The mass of the day is not one.
    #[error("{name}: {error}")]
    Mass {
        /// The airplane.
        name: String,
        /// What is wrong.
        error: MassError,
    },
}

impl NoSixDegree {
    /// What to do about it.
    #[must_use]
    pub const fn hint(&self) -> &'static str {
        match self {
            Self::Missing { .. } => {
                "add the blocks with figures and their sources, or take an airplane that has them"
            }
            Self::Mass { error, .. } => error.hint(),
        }
    }
}

/// Blocks of an airplane file that hold six-degree data.
pub const BLOCKS: &[&str] = &[
    "[inertia]",
    "[controls]",
    "one of [derivatives], [polynomial], [tables], [components]",
    "one of [propulsion], [steady_thrust], [pressure_rise]",
];

impl Rigid {
    /// Angle of attack of the greatest lift, rad, where the data know a stall.
    #[must_use]
    pub const fn stall_rad(&self) -> Option<f64> {
        match &self.form {
            Form::Components(airframe) => Some(airframe.stall_rad()),
            _ => None,
        }
    }
    /// The vehicle at the mass of the day, surfaces following as the controls say, every cause acting.
    ///
    /// Radii of gyration and center of gravity stay as in the published loading: common practice, no source. It holds for
    /// people and fuel that sit as the published load did.
    ///
    /// # Errors
    /// A mass not above zero.
    pub fn vehicle(&self, mass: Mass) -> Result<Vehicle, MassError> {
        let share = mass / self.loading.mass;
        let Inertia { xx, yy, zz, xz } = self.loading.inertia;
        let inertia = Inertia { xx: xx * share, yy: yy * share, zz: zz * share, xz: xz * share };
        Ok(Vehicle {
            mass: MassProperties::new(mass.to_kg(), inertia)?,
            reference_from_center: self.loading.reference_from_center,
            aerodynamics: self.form.boxed(),
            propulsion: self.pull.boxed(),
            actuators: self.controls.actuators(),
            switches: Switches::ALL,
        })
    }
}
