//! The F-16 of the check cases and of the textbook: low-speed wind-tunnel tables of a real airplane, for checks alone.
//!
//! Two sets of figures are kept apart ([`Edition`]): the one that NASA published with the check cases (clamped at the ends
//! of the tables, no engine lag), and the one of SL-2003 (continued in straight lines, lag and rotor of the engine, some values
//! of rolling moment and side force that differ). Deflections have the signs of [`flight::controls`] in both.
//! Source: NESC (F16_aero.dml, F16_prop.dml); SL-2003, Appendix A.

mod airframe;
mod autopilot;
mod book;
mod engine;
mod level_trim;
mod tables;

use std::sync::Arc;

use base::factors::{M_PER_FT, M2_PER_FT2};
use base::frames::Vec3;
use flight::aerodynamics::Reference;
use flight::budget::Switches;
use flight::controls::Actuators;
use flight::vehicle::{Inertia, MassError, MassProperties, Vehicle};

use crate::bodies::{KG_PER_SLUG, KGM2_PER_SLUGFT2};

pub use airframe::{Airframe, Condition};
pub use autopilot::{Autopilot, Commands, Route, View};
pub use book::{book_air, book_earth, power_asked};
pub use engine::Engine;
pub use level_trim::{Trimmed, level_trim, pitch_deg};
pub use tables::{Tables, TablesError};

/// Which set of figures.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Edition {
    /// NESC: as NASA published it with the check cases.
    Nasa,
    /// SL-2003: as the textbook has it.
    Book,
}

/// Wing area, span and mean chord. Source: NESC, SL-2003.
pub const REFERENCE: Reference =
    Reference { area_m2: 300.0 * M2_PER_FT2, span_m: 30.0 * M_PER_FT, chord_m: 11.32 * M_PER_FT };
/// Where the moments of the tables are taken, as a share of the mean chord. Source: NESC, SL-2003.
pub const MOMENT_POINT_CHORD: f64 = 0.35;

impl Edition {
    /// Mass, slug. NASA: the mass that the tools used, not the printed 637.26 (own trim, checks/nesc/README.md). Book: one
    /// over the rounded 1.57e-3 of its program.
    #[must_use]
    pub const fn mass_slug(self) -> f64 {
        match self {
            Self::Nasa => 637.1595,
            Self::Book => 1.0 / 1.57e-3,
        }
    }
}

/// The airplane, its center of gravity at this share of the mean chord (0.25 in the check cases of NASA).
///
/// # Errors
/// None with the published mass and inertia; they are checked all the same.
pub fn f16(tables: &Arc<Tables>, center_chord: f64) -> Result<Vehicle, MassError> {
    let slug_ft2 = |value: f64| value * KGM2_PER_SLUGFT2;
    let inertia = Inertia {
        xx: slug_ft2(9496.0),
        yy: slug_ft2(55_814.0),
        zz: slug_ft2(63_100.0),
        xz: slug_ft2(982.0),
    };
    let mass = MassProperties::new(tables.edition().mass_slug() * KG_PER_SLUG, inertia)?;
    let behind_m = (MOMENT_POINT_CHORD - center_chord) * REFERENCE.chord_m;
    Ok(Vehicle {
        mass,
        reference_from_center: Vec3::new(-behind_m, 0.0, 0.0),
        aerodynamics: Box::new(Airframe::new(Arc::clone(tables))),
        propulsion: Box::new(Engine::new(Arc::clone(tables))),
        actuators: Actuators::DIRECT,
        switches: Switches::ALL,
    })
}
