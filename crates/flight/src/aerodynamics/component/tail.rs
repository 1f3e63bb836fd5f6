//! Horizontal tail and fin: surfaces far behind, in downwash, wash and swirl.

use base::frames::Vec3;

use super::{ComponentFigures, Meeting, lifting};
use crate::budget::{Budget, Cause, Wrench};
use crate::controls::Surfaces;
use crate::flow::Flow;

/// A tail surface.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Surface {
    /// Area, m2.
    pub area_m2: f64,
    /// How far its quarter chord lies behind the reference point, m.
    pub arm_m: f64,
    /// How far it stands above the reference point, m.
    pub height_m: f64,
    /// Slope of its lift, 1/rad, of its own area, loss of pressure behind the wing included.
    pub slope_per_rad: f64,
    /// Its incidence to the body axis, rad (fin: leading edge right positive, which pushes the tail right).
    pub incidence_rad: f64,
    /// Change of its lift with its control, as a share of the slope.
    pub control_share: f64,
    /// How much the flow is turned by what is ahead: downwash of the wing over angle of attack, or sidewash of the body over
    /// sideslip.
    pub wash_slope: f64,
    /// Share of its area in the propeller's wash.
    pub wash_share: f64,
    /// Greatest lift coefficient either way, of its own area.
    pub lift_max: f64,
}

/// One force in two parts: in free air, and what the propeller's wash adds to it.
#[derive(Clone, Copy)]
struct Part {
    free_n: f64,
    wash_n: f64,
}

impl Surface {
    /// Force of a flow across, m/s, and of a deflection, in free air and in the wash.
    fn parts(&self, meeting: &Meeting<'_>, across_mps: f64, deflection: f64) -> Part {
        let (v, rise) = (meeting.flow.speed_mps, meeting.wash.speed_rise_mps);
        let scale = meeting.half_density * self.area_m2 * self.slope_per_rad;
        let turned = v + rise;
        Part {
            free_n: scale * v * (across_mps + deflection * v),
            wash_n: scale
                * self.wash_share
                * (rise * across_mps + (turned * turned - v * v) * deflection),
        }
    }

    /// Factor, one or less, that keeps the surface below its greatest lift: the same for every share, so that they sum.
    fn held(&self, meeting: &Meeting<'_>, sum: Part) -> f64 {
        let rise = self.wash_share * meeting.wash.speed_rise_mps;
        let v = meeting.flow.speed_mps + rise;
        let most_n = meeting.half_density * self.area_m2 * self.lift_max * v * v;
        let asked_n = (sum.free_n + sum.wash_n).abs();
        if asked_n > most_n { most_n / asked_n } else { 1.0 }
    }

    /// Adds the horizontal tail; gives its lift, N.
    pub(super) fn add_tail(
        &self,
        figures: &ComponentFigures,
        meeting: &Meeting<'_>,
        surfaces: &Surfaces,
        budget: &mut Budget,
    ) -> f64 {
        let flow = meeting.flow;
        let v = flow.speed_mps;
        let turning = self.wash_slope / figures.wing.lift.slope_per_rad;
        let still = self.parts(
            meeting,
            v * (flow.alpha_sin_cos.0 - turning * meeting.lift),
            self.incidence_rad,
        );
        let pitching = self.parts(meeting, flow.rates_radps.y * self.arm_m, 0.0);
        let elevator = self.parts(meeting, 0.0, self.control_share * surfaces.elevator_rad);
        let extra = self.parts(meeting, -v * turning * meeting.lift_in_wash, 0.0);
        let sum = Part {
            free_n: still.free_n + pitching.free_n + elevator.free_n + extra.free_n,
            wash_n: still.wash_n + pitching.wash_n + elevator.wash_n + extra.wash_n,
        };
        let held = self.held(meeting, sum);
        let place = Vec3::new(-self.arm_m, 0.0, -self.height_m);
        budget.add_multiples(
            lifting(flow, held, place),
            &[
                (Cause::Airframe, still.free_n),
                (Cause::PitchRate, pitching.free_n),
                (Cause::Elevator, elevator.free_n),
                (Cause::Slipstream, sum.wash_n + extra.free_n),
            ],
        );
        held * (sum.free_n + sum.wash_n)
    }

    /// Adds the fin.
    pub(super) fn add_fin(&self, meeting: &Meeting<'_>, surfaces: &Surfaces, budget: &mut Budget) {
        let flow = meeting.flow;
        let Vec3 { x: p, z: r, .. } = flow.rates_radps;
        let slipping =
            self.parts(meeting, -flow.velocity_mps.y * (1.0 - self.wash_slope), self.incidence_rad);
        let yawing = self.parts(meeting, r * self.arm_m, 0.0);
        let rolling = self.parts(meeting, -p * self.height_m, 0.0);
        let rudder = self.parts(meeting, 0.0, self.control_share * surfaces.rudder_rad);
        // A clockwise swirl moves the air above the shaft to the right: it meets the fin's left side. Only what is immersed
        // is met, at the speed of the wash.
        let swirl_n = meeting.half_density
            * self.area_m2
            * self.slope_per_rad
            * self.wash_share
            * (flow.speed_mps + meeting.wash.speed_rise_mps)
            * meeting.wash.swirl_radps
            * self.height_m.min(meeting.wash.radius_m);
        let sum = Part {
            free_n: slipping.free_n + yawing.free_n + rolling.free_n + rudder.free_n,
            wash_n: slipping.wash_n + yawing.wash_n + rolling.wash_n + rudder.wash_n + swirl_n,
        };
        let held = self.held(meeting, sum);
        let place = Vec3::new(-self.arm_m, 0.0, -self.height_m);
        budget.add_multiples(
            Wrench::at(Vec3::new(0.0, held, 0.0), place),
            &[
                (Cause::Airframe, slipping.free_n),
                (Cause::YawRate, yawing.free_n),
                (Cause::RollRate, rolling.free_n),
                (Cause::Rudder, rudder.free_n),
                (Cause::Slipstream, sum.wash_n - swirl_n),
                (Cause::Swirl, swirl_n),
            ],
        );
    }

    /// Lift of the tail for one rad/s of changing incidence: the downwash there is that of `arm / V` earlier.
    pub(super) fn lag_of_downwash(
        &self,
        figures: &ComponentFigures,
        flow: &Flow,
        wing_slope_per_rad: f64,
    ) -> Wrench {
        let turning = self.wash_slope * wing_slope_per_rad / figures.wing.lift.slope_per_rad;
        let scale = 0.5 * flow.air.density_kgpm3 * self.area_m2 * self.slope_per_rad;
        let lift_n = scale * flow.speed_mps * turning * self.arm_m;
        lifting(flow, lift_n, Vec3::new(-self.arm_m, 0.0, -self.height_m))
    }
}
