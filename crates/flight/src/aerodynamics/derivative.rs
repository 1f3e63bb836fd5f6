//! Aerodynamics as constant derivatives, the form of most published sets of light airplanes.
//!
//! ```text
//! lift   CL = zero + alpha a + flap f + elevator e + pitch_rate q + alpha_rate a'
//! drag   CD = zero + alpha a + flap f + induced CL^2     (CL without the rates)
//! pitch  Cm likewise;  side CY, roll Cl, yaw Cn = beta b + roll_rate p + yaw_rate r + aileron + rudder
//! ```
//!
//! Lift and drag act normal to and along the wind's projection on the plane of symmetry; side force along the body's y
//! axis; moments about body axes. "Stability axes" of such sets are fixed in the airplane, with x along the wind of the
//! reference condition: they are the body axes here, and incidence is counted from them.
//!
//! Source: NELSON-1998, chapters 2 and 3 (definitions of the derivatives).

use base::frames::Vec3;

use super::variables::per_speed_floored;
use super::{Aerodynamics, Domain, RateLengths, Reference, wrench_from_coefficients};
use crate::budget::{Budget, Cause, Wrench};
use crate::controls::Surfaces;
use crate::flow::Flow;
use crate::propulsion::Wash;

/// Lift or pitching moment: value and derivatives, per radian or per unit of dimensionless rate.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Longitudinal {
    /// At nil incidence.
    pub zero: f64,
    /// Of incidence.
    pub alpha: f64,
    /// Of the rate of incidence, made dimensionless as the pitch rate is.
    pub alpha_rate: f64,
    /// Of the pitch rate.
    pub pitch_rate: f64,
    /// Of the elevator.
    pub elevator: f64,
    /// Of the flaps.
    pub flap: f64,
}

/// Drag.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Drag {
    /// At nil incidence and lift.
    pub zero: f64,
    /// Of incidence; for sets that state drag so.
    pub alpha: f64,
    /// Of the square of lift; for sets that state a polar.
    pub induced: f64,
    /// Of the flaps.
    pub flap: f64,
}

/// Side force, rolling or yawing moment.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Lateral {
    /// Of sideslip.
    pub beta: f64,
    /// Of the roll rate.
    pub roll_rate: f64,
    /// Of the yaw rate.
    pub yaw_rate: f64,
    /// Of the ailerons.
    pub aileron: f64,
    /// Of the rudder.
    pub rudder: f64,
}

/// A set of derivatives.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Derivatives {
    /// What the figures refer to.
    pub reference: Reference,
    /// How rates were made dimensionless.
    pub lengths: RateLengths,
    /// Where the set holds.
    pub domain: Domain,
    /// Lift.
    pub lift: Longitudinal,
    /// Drag.
    pub drag: Drag,
    /// Pitching moment.
    pub pitch: Longitudinal,
    /// Side force.
    pub side: Lateral,
    /// Rolling moment.
    pub roll: Lateral,
    /// Yawing moment.
    pub yaw: Lateral,
}

/// Coefficients in the axes of the set.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
struct Share {
    drag: f64,
    side: f64,
    lift: f64,
    roll: f64,
    pitch: f64,
    yaw: f64,
}

impl Derivatives {
    fn wrench(&self, flow: &Flow, share: &Share) -> Wrench {
        wrench_from_coefficients(
            flow.dynamic_pressure_pa * self.reference.area_m2,
            &self.reference,
            flow.body_from_stability(-share.drag, share.side, -share.lift),
            Vec3::new(share.roll, share.pitch, share.yaw),
        )
    }
    fn airframe(&self, flow: &Flow, flap_rad: f64) -> Share {
        let (alpha, beta) = (flow.alpha_rad, flow.beta_rad());
        let of = |set: &Longitudinal| set.zero + set.alpha * alpha + set.flap * flap_rad;
        let (lift, drag) = (of(&self.lift), &self.drag);
        Share {
            drag: drag.zero
                + drag.alpha * alpha
                + drag.induced * lift * lift
                + drag.flap * flap_rad,
            lift,
            pitch: of(&self.pitch),
            side: self.side.beta * beta,
            roll: self.roll.beta * beta,
            yaw: self.yaw.beta * beta,
        }
    }
    /// Shares of a lateral cause by its derivative in each set.
    fn lateral(&self, of: impl Fn(&Lateral) -> f64) -> Share {
        Share { side: of(&self.side), roll: of(&self.roll), yaw: of(&self.yaw), ..Share::default() }
    }
}

impl Aerodynamics for Derivatives {
    fn add(&self, flow: &Flow, surfaces: &Surfaces, _: &Wash, budget: &mut Budget) {
        let (per_speed, rates) = (per_speed_floored(flow), flow.rates_radps);
        let roll_rate = rates.x * self.lengths.roll_m * per_speed;
        let pitch_rate = rates.y * self.lengths.pitch_m * per_speed;
        let yaw_rate = rates.z * self.lengths.yaw_m * per_speed;
        let elevator = surfaces.elevator_rad;

        let airframe = self.airframe(flow, surfaces.flap_rad);
        let more = self.lift.elevator * elevator;
        let by_elevator = Share {
            lift: more,
            // What the elevator's lift adds to the drag due to lift.
            drag: self.drag.induced * more * (2.0 * airframe.lift + more),
            pitch: self.pitch.elevator * elevator,
            ..Share::default()
        };
        let by_pitching = Share {
            lift: self.lift.pitch_rate * pitch_rate,
            pitch: self.pitch.pitch_rate * pitch_rate,
            ..Share::default()
        };
        let shares = [
            (Cause::Airframe, airframe),
            (Cause::Elevator, by_elevator),
            (Cause::PitchRate, by_pitching),
            (Cause::RollRate, self.lateral(|set| set.roll_rate * roll_rate)),
            (Cause::YawRate, self.lateral(|set| set.yaw_rate * yaw_rate)),
            (Cause::Aileron, self.lateral(|set| set.aileron * surfaces.aileron_rad)),
            (Cause::Rudder, self.lateral(|set| set.rudder * surfaces.rudder_rad)),
        ];
        for (cause, share) in &shares {
            budget.add(*cause, self.wrench(flow, share));
        }
    }

    fn incidence_rate(&self, flow: &Flow) -> Wrench {
        let unit = self.lengths.pitch_m * per_speed_floored(flow);
        let share = Share {
            lift: self.lift.alpha_rate * unit,
            pitch: self.pitch.alpha_rate * unit,
            ..Share::default()
        };
        self.wrench(flow, &share)
    }
    fn reference(&self) -> Reference {
        self.reference
    }
    fn domain(&self) -> Domain {
        self.domain
    }
}
