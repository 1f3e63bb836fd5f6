//! Trim of the textbook's medium transport: straight level flight at three conditions. Source: SL-2003, section 3.5 and
//! example 3.6-1 (constants and values from memory; they agree with each other).

use base::factors::{M_PER_FT, M2_PER_FT2, N_PER_LBF, RAD_PER_DEG};
use base::frames::Vec3;
use base::kinds::TrueAirspeed;
use flight::aerodynamics::{Aerodynamics, Domain, Reference};
use flight::budget::{Budget, Cause, Switches, Wrench};
use flight::controls::{Actuators, Inputs, Surfaces};
use flight::flow::Flow;
use flight::propulsion::{Propulsion, Running, Wash};
use flight::trim::{Airspeed, Conditions, trim};
use flight::vehicle::{Inertia, MassProperties, Vehicle, World};
use flight::wind::Wind;

use crate::bodies::{KG_PER_SLUG, KGM2_PER_SLUGFT2};
use crate::check::Check;
use crate::f16::{book_air, book_earth};
use crate::files::Files;
use crate::textbook::degrees;

const SOURCE: &str = "SL-2003, example 3.6-1 (from memory)";
const REFERENCE: Reference =
    Reference { area_m2: 2170.0 * M2_PER_FT2, span_m: 1.0, chord_m: 17.5 * M_PER_FT };

/// Speed, ft/s; height, ft; figures.
type Condition = (f64, f64, [(f64, f64); 3]);

/// Speed, ft/s; height, ft; throttle, elevator and incidence (degrees) as printed, with half a unit of the last digit.
const PRINTED: [Condition; 3] = [
    (170.0, 0.0, [(0.297, 5e-4), (-25.7, 0.05), (22.1, 0.05)]),
    (500.0, 0.0, [(0.293, 5e-4), (2.46, 5e-3), (0.580, 5e-4)]),
    (500.0, 30_000.0, [(0.204, 5e-4), (-4.10, 5e-3), (5.43, 5e-3)]),
];

/// Clean configuration.
#[derive(Debug)]
struct Clean;

impl Aerodynamics for Clean {
    fn add(&self, flow: &Flow, surfaces: &Surfaces, _: &Wash, budget: &mut Budget) {
        let (alpha, elevator) = (degrees(flow.alpha_rad), degrees(surfaces.elevator_rad));
        let size = flow.dynamic_pressure_pa * REFERENCE.area_m2;
        let lift = 0.20 + 0.085 * alpha;
        let drag = 0.016 + 0.042 * lift * lift;
        let damping = 0.5 * REFERENCE.chord_m * -16.0 * flow.rates_radps.y / flow.speed_mps;
        let moment = |cm: f64| Vec3::new(0.0, cm * size * REFERENCE.chord_m, 0.0);
        let force_n = flow.body_from_wind(drag * size, 0.0, lift * size);
        budget.add(Cause::Airframe, Wrench { force_n, moment_nm: moment(0.05 - 0.022 * alpha) });
        budget.add(Cause::Elevator, Wrench::moment(moment(-0.016 * elevator)));
        budget.add(Cause::PitchRate, Wrench::moment(moment(damping)));
    }
    fn incidence_rate(&self, flow: &Flow) -> Wrench {
        let cm = 0.5 * REFERENCE.chord_m * -6.0 / flow.speed_mps;
        let moment = cm * flow.dynamic_pressure_pa * REFERENCE.area_m2 * REFERENCE.chord_m;
        Wrench::moment(Vec3::new(0.0, moment, 0.0))
    }
    fn reference(&self) -> Reference {
        REFERENCE
    }
    fn domain(&self) -> Domain {
        let deg = RAD_PER_DEG;
        Domain { alpha_rad: (-20.0 * deg, 40.0 * deg), ..Domain::SUBSONIC }
    }
}

/// Thrust that falls with speed, two feet below the center of gravity.
#[derive(Debug)]
struct Jets;

impl Propulsion for Jets {
    fn run(&self, flow: &Flow, inputs: &Inputs, _: f64, budget: &mut Budget) -> Running {
        let full_lbf = 60_000.0 - 38.0 * flow.speed_mps / M_PER_FT;
        let thrust_n = full_lbf * inputs.throttle * N_PER_LBF;
        let below = Vec3::new(0.0, 0.0, 2.0 * M_PER_FT);
        budget.add(Cause::Thrust, Wrench::at(Vec3::new(thrust_n, 0.0, 0.0), below));
        Running { thrust_n, ..Running::default() }
    }
    fn settled(&self, _: &Flow, _: &Inputs) -> f64 {
        0.0
    }
}

fn transport() -> Vehicle {
    // Roll and yaw take no part; their moments are such as a body may have.
    let pitch = 4.1e6 * KGM2_PER_SLUGFT2;
    let inertia = Inertia { xx: pitch, yy: pitch, zz: 1.5 * pitch, xz: 0.0 };
    Vehicle {
        mass: MassProperties::new(5000.0 * KG_PER_SLUG, inertia).expect("a body"),
        reference_from_center: Vec3::ZERO,
        aerodynamics: Box::new(Clean),
        propulsion: Box::new(Jets),
        actuators: Actuators::DIRECT,
        switches: Switches::ALL,
    }
}

pub(super) fn checks(_: &Files<'_>) -> Vec<Check> {
    let (vehicle, air) = (transport(), book_air());
    let world = World { earth: book_earth(), air: &air, wind: &Wind::CALM };
    let mut checks = Vec::new();
    for (speed, height, printed) in PRINTED {
        let position = Vec3::new(0.0, 0.0, -height * M_PER_FT);
        let airspeed = Airspeed::True(TrueAirspeed::from_mps(speed * M_PER_FT));
        let conditions = Conditions::level(position, airspeed);
        let found = trim(&vehicle, &world, &conditions).expect("sound conditions");
        let values = [
            ("throttle", found.inputs.throttle, ""),
            ("elevator", degrees(found.inputs.surfaces.elevator_rad), "deg"),
            ("alpha", degrees(found.instant.flow.alpha_rad), "deg"),
        ];
        for ((name, value, unit), (reference, half)) in values.into_iter().zip(printed) {
            let id = format!("transport-{speed:.0}-{height:.0}-{name}");
            checks.push(Check::absolute(id, (value, reference, half), unit, SOURCE));
        }
    }
    checks
}
