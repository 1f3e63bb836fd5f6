//! Simple bodies with air forces of their own: a sphere with drag, a brick with rotary damping.

use base::factors::{M_PER_FT, M2_PER_FT2, N_PER_LBF};
use base::frames::Vec3;
use flight::aerodynamics::{Aerodynamics, Domain, Reference, wrench_from_coefficients};
use flight::budget::{Budget, Cause, Switches, Wrench};
use flight::controls::{Actuators, Surfaces};
use flight::flow::Flow;
use flight::propulsion::{Glider, Wash};
use flight::vehicle::{Inertia, MassError, MassProperties, Vehicle};

/// Kilograms in one slug: the mass that one pound-force accelerates by one foot per second squared.
pub const KG_PER_SLUG: f64 = N_PER_LBF / M_PER_FT;
/// Square meters times kilograms in one slug square foot.
pub const KGM2_PER_SLUGFT2: f64 = KG_PER_SLUG * M2_PER_FT2;

/// Drag alone, against the motion through the air.
#[derive(Debug, Clone, Copy)]
struct Drag {
    coefficient: f64,
    area_m2: f64,
}

impl Aerodynamics for Drag {
    fn add(&self, flow: &Flow, _: &Surfaces, _: &Wash, budget: &mut Budget) {
        let per_speed = 0.5 * flow.air.density_kgpm3 * flow.speed_mps * self.area_m2;
        let force_n = flow.velocity_mps * (-per_speed * self.coefficient);
        budget.add(Cause::Airframe, Wrench { force_n, moment_nm: Vec3::ZERO });
    }
    fn reference(&self) -> Reference {
        Reference { area_m2: self.area_m2, span_m: 1.0, chord_m: 1.0 }
    }
    fn domain(&self) -> Domain {
        Domain { mach: f64::INFINITY, ..Domain::SUBSONIC }
    }
}

/// Rotary damping alone: moment coefficients for one unit of rate times length over twice the speed. Of the rates relative to
/// inertial space, as SIM 4 has it in check case 3 (its rolling rate dies out in inertial space, that of SIM 5 relative to
/// the earth).
#[derive(Debug, Clone, Copy)]
struct Damping {
    per_rate: f64,
    reference: Reference,
    /// The speed below which the damping terms count with this speed, m/s.
    speed_least_mps: f64,
}

impl Aerodynamics for Damping {
    fn add(&self, flow: &Flow, _: &Surfaces, _: &Wash, budget: &mut Budget) {
        let Reference { area_m2, span_m, chord_m } = self.reference;
        let half = 0.5 / flow.speed_mps.max(self.speed_least_mps);
        let Vec3 { x: p, y: q, z: r, .. } = flow.rates_inertial_radps * (half * self.per_rate);
        let moments = [
            (Cause::RollRate, Vec3::new(p * span_m, 0.0, 0.0)),
            (Cause::PitchRate, Vec3::new(0.0, q * chord_m, 0.0)),
            (Cause::YawRate, Vec3::new(0.0, 0.0, r * span_m)),
        ];
        let pressure_area_n = flow.dynamic_pressure_pa * area_m2;
        for (cause, moment) in moments {
            let share =
                wrench_from_coefficients(pressure_area_n, &self.reference, Vec3::ZERO, moment);
            budget.add(cause, share);
        }
    }
    fn reference(&self) -> Reference {
        self.reference
    }
    fn domain(&self) -> Domain {
        Domain { mach: f64::INFINITY, ..Domain::SUBSONIC }
    }
}

/// The sphere of the check cases: 1 slug, 3.6 slug ft2 about each axis, 0.1963495 ft2. Source: NESC, Vol II, C.1.
///
/// # Errors
/// None with these figures; the mass properties are checked all the same.
pub fn sphere(drag_coefficient: f64) -> Result<Vehicle, MassError> {
    let each = 3.6 * KGM2_PER_SLUGFT2;
    let inertia = Inertia { xx: each, yy: each, zz: each, xz: 0.0 };
    let mass = MassProperties::new(KG_PER_SLUG, inertia)?;
    let area_m2 = 0.196_349_5 * M2_PER_FT2;
    Ok(body(mass, Box::new(Drag { coefficient: drag_coefficient, area_m2 })))
}

/// The brick of the check cases, with rotary damping derivatives all of this value. Source: NESC, Vol II, C.1.
///
/// # Errors
/// None with these figures; the mass properties are checked all the same.
pub fn brick(damping_per_rate: f64) -> Result<Vehicle, MassError> {
    let slug_ft2 = |value: f64| value * KGM2_PER_SLUGFT2;
    let inertia = Inertia {
        xx: slug_ft2(0.001_894_220),
        yy: slug_ft2(0.006_211_019),
        zz: slug_ft2(0.007_194_665),
        xz: 0.0,
    };
    let mass = MassProperties::new(0.155_404_754 * KG_PER_SLUG, inertia)?;
    let reference = Reference {
        area_m2: 0.222_22 * M2_PER_FT2,
        span_m: 0.333_33 * M_PER_FT,
        chord_m: 0.666_67 * M_PER_FT,
    };
    let speed_least_mps = 0.5 * M_PER_FT;
    Ok(body(mass, Box::new(Damping { per_rate: damping_per_rate, reference, speed_least_mps })))
}

fn body(mass: MassProperties, aerodynamics: Box<dyn Aerodynamics>) -> Vehicle {
    Vehicle {
        mass,
        reference_from_center: Vec3::ZERO,
        aerodynamics,
        propulsion: Box::new(Glider),
        actuators: Actuators::DIRECT,
        switches: Switches::ALL,
    }
}
