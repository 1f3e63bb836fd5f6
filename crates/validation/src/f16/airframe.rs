//! Air forces of the F-16.

use std::sync::Arc;

use base::factors::RAD_PER_DEG;
use base::frames::Vec3;
use flight::aerodynamics::{Aerodynamics, Domain, Reference, wrench_from_coefficients};
use flight::budget::{Budget, Cause};
use flight::controls::Surfaces;
use flight::flow::Flow;
use flight::propulsion::Wash;

use super::{Edition, REFERENCE, Tables};

/// Degrees in the one place of the force along z where both editions round a radian (57.3).
const DEG_PER_RAD_ROUNDED: f64 = 57.3;
/// The speed below which damping counts with this speed, m/s: nothing flies there.
const SPEED_LEAST_MPS: f64 = 0.1;

/// What the coefficients depend on.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Condition {
    /// Angle of attack, degrees.
    pub alpha_deg: f64,
    /// Sideslip, degrees.
    pub beta_deg: f64,
    /// Rolling: rate times span over twice the speed.
    pub roll: f64,
    /// Pitching: rate times mean chord over twice the speed.
    pub pitch: f64,
    /// Yawing: rate times span over twice the speed.
    pub yaw: f64,
    /// Elevator, degrees, trailing edge down positive.
    pub elevator_deg: f64,
    /// Aileron, degrees, right one down positive.
    pub aileron_deg: f64,
    /// Rudder, degrees, trailing edge left positive.
    pub rudder_deg: f64,
}

/// CX, CY, CZ and Cl, Cm, Cn about the moment point, of one cause.
type Share = (Cause, [f64; 3], [f64; 3]);

/// The airframe.
#[derive(Debug, Clone)]
pub struct Airframe {
    tables: Arc<Tables>,
}

impl Airframe {
    /// With these tables.
    #[must_use]
    pub const fn new(tables: Arc<Tables>) -> Self {
        Self { tables }
    }
    /// CX, CY, CZ, Cl, Cm, Cn in body axes, moments about [`super::MOMENT_POINT_CHORD`].
    #[must_use]
    pub fn coefficients(&self, condition: &Condition) -> [f64; 6] {
        let mut sum = [0.0; 6];
        for (_, force, moment) in self.shares(condition) {
            for (total, share) in sum.iter_mut().zip(force.into_iter().chain(moment)) {
                *total += share;
            }
        }
        sum
    }

    fn shares(&self, at: &Condition) -> [Share; 7] {
        let t = &*self.tables;
        let outside = t.normal.outside();
        let alpha = t.normal.axes()[0].locate(at.alpha_deg, outside);
        let beta = t.moments[0].axes()[0].locate(at.beta_deg, outside);
        let beta_size = t.sideslip[0].axes()[0].locate(at.beta_deg.abs(), outside);
        let elevator_axis = &t.elevator[0].axes()[0];
        let elevator = elevator_axis.locate(at.elevator_deg, outside);
        let neutral = elevator_axis.locate(0.0, outside);
        let [cx, cm] = [0, 1].map(|n| t.elevator[n].at_spots([neutral, alpha]));
        let [cx_elevator, cm_elevator] = [0, 1].map(|n| t.elevator[n].at_spots([elevator, alpha]));
        let side = if at.beta_deg < 0.0 { -1.0 } else { 1.0 };
        let [cl, cn] = [0, 1].map(|n| side * t.sideslip[n].at_spots([beta_size, alpha]));
        let beta_rounded = at.beta_deg / DEG_PER_RAD_ROUNDED;
        let cz = t.normal.at_spots([alpha]) * (1.0 - beta_rounded * beta_rounded);
        let [cxq, cyr, cyp, czq, clr, clp, cmq, cnr, cnp] =
            std::array::from_fn(|n| t.rates[n].at_spots([alpha]));
        let [cl_aileron, cl_rudder, cn_aileron, cn_rudder] =
            std::array::from_fn(|n| t.moments[n].at_spots([beta, alpha]));
        let (aileron, rudder) = (at.aileron_deg / 20.0, at.rudder_deg / 30.0);
        let cz_elevator = -0.19 * at.elevator_deg / 25.0;
        let Condition { roll: p, pitch: q, yaw: r, .. } = *at;
        [
            (Cause::Airframe, [cx, -0.02 * at.beta_deg, cz], [cl, cm, cn]),
            (Cause::RollRate, [0.0, cyp * p, 0.0], [clp * p, 0.0, cnp * p]),
            (Cause::PitchRate, [cxq * q, 0.0, czq * q], [0.0, cmq * q, 0.0]),
            (Cause::YawRate, [0.0, cyr * r, 0.0], [clr * r, 0.0, cnr * r]),
            (Cause::Elevator, [cx_elevator - cx, 0.0, cz_elevator], [0.0, cm_elevator - cm, 0.0]),
            (
                Cause::Aileron,
                [0.0, 0.021 * aileron, 0.0],
                [cl_aileron * aileron, 0.0, cn_aileron * aileron],
            ),
            (
                Cause::Rudder,
                [0.0, 0.086 * rudder, 0.0],
                [cl_rudder * rudder, 0.0, cn_rudder * rudder],
            ),
        ]
    }
}

impl Aerodynamics for Airframe {
    fn add(&self, flow: &Flow, surfaces: &Surfaces, _: &Wash, budget: &mut Budget) {
        let half = 0.5 / flow.speed_mps.max(SPEED_LEAST_MPS);
        let rates = flow.rates_radps * half;
        let degrees = |radians: f64| radians / RAD_PER_DEG;
        let condition = Condition {
            alpha_deg: degrees(flow.alpha_rad),
            beta_deg: degrees(flow.beta_rad()),
            roll: rates.x * REFERENCE.span_m,
            pitch: rates.y * REFERENCE.chord_m,
            yaw: rates.z * REFERENCE.span_m,
            elevator_deg: degrees(surfaces.elevator_rad),
            aileron_deg: degrees(surfaces.aileron_rad),
            rudder_deg: degrees(surfaces.rudder_rad),
        };
        let pressure_area_n = flow.dynamic_pressure_pa * REFERENCE.area_m2;
        for (cause, [x, y, z], [l, m, n]) in self.shares(&condition) {
            let (force, moment) = (Vec3::new(x, y, z), Vec3::new(l, m, n));
            budget.add(cause, wrench_from_coefficients(pressure_area_n, &REFERENCE, force, moment));
        }
    }
    fn reference(&self) -> Reference {
        REFERENCE
    }
    /// The check cases fly at Mach 2 on these low-speed tables.
    fn domain(&self) -> Domain {
        let deg = RAD_PER_DEG;
        match self.tables.edition() {
            Edition::Nasa => Domain { mach: f64::INFINITY, ..Domain::SUBSONIC },
            Edition::Book => Domain {
                alpha_rad: (-20.0 * deg, 60.0 * deg),
                beta_rad: 40.0 * deg,
                ..Domain::SUBSONIC
            },
        }
    }
}
