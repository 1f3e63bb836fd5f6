//! Horizontal tail and fin: surfaces far behind, in downwash, wash and swirl.

use base::frames::Vec3;

use super::{Meeting, lifting};
use crate::budget::{Across, Cause, Ledger, Wrench};
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

/// What a flow across, m/s, and a deflection, rad, are worth, in free air and in the wash.
struct Worth {
    across_free: f64,
    across_wash: f64,
    deflection_free: f64,
    deflection_wash: f64,
}

impl Worth {
    #[inline]
    fn across(&self, mps: f64) -> Part {
        Part { free_n: self.across_free * mps, wash_n: self.across_wash * mps }
    }
    #[inline]
    fn deflection(&self, rad: f64) -> Part {
        Part { free_n: self.deflection_free * rad, wash_n: self.deflection_wash * rad }
    }
}

impl std::ops::Add for Part {
    type Output = Self;
    #[inline]
    fn add(self, other: Self) -> Self {
        Self { free_n: self.free_n + other.free_n, wash_n: self.wash_n + other.wash_n }
    }
}

impl Surface {
    /// Along is the airspeed, in the wash that and its rise; a deflection turns what comes along, a flow across does not change.
    #[inline]
    fn worth(&self, meeting: &Meeting<'_>) -> Worth {
        let (v, rise) = (meeting.flow.speed_mps, meeting.wash.speed_rise_mps);
        let scale = meeting.half_density * self.area_m2 * self.slope_per_rad;
        let across_free = scale * v;
        let across_wash = scale * self.wash_share * rise;
        Worth {
            across_free,
            across_wash,
            deflection_free: across_free * v,
            deflection_wash: across_wash * (v + v + rise),
        }
    }

    /// Factor, one or less, that keeps the surface below its greatest lift: the same for every share, so that they sum.
    #[inline]
    fn held(&self, meeting: &Meeting<'_>, sum: Part) -> f64 {
        let rise = self.wash_share * meeting.wash.speed_rise_mps;
        let v = meeting.flow.speed_mps + rise;
        let most_n = meeting.half_density * self.area_m2 * self.lift_max * v * v;
        let asked_n = (sum.free_n + sum.wash_n).abs();
        if asked_n > most_n { most_n / asked_n } else { 1.0 }
    }

    /// Adds the horizontal tail; gives its lift, N. `downwash` is that over the wing's lift coefficient, rad.
    #[inline]
    pub(super) fn add_tail(
        &self,
        downwash: f64,
        meeting: &Meeting<'_>,
        surfaces: &Surfaces,
        ledger: &mut impl Ledger,
    ) -> f64 {
        let flow = meeting.flow;
        let (v, worth) = (flow.speed_mps, self.worth(meeting));
        let still = worth.across(v * (flow.alpha_sin_cos.0 - downwash * meeting.lift))
            + worth.deflection(self.incidence_rad);
        let pitching = worth.across(flow.rates_radps.y * self.arm_m);
        let elevator = worth.deflection(self.control_share * surfaces.elevator_rad);
        let extra = worth.across(-v * downwash * meeting.lift_in_wash);
        let sum = still + pitching + elevator + extra;
        let held = self.held(meeting, sum);
        ledger.add_in_plane(
            lifting(flow, held, -self.arm_m, self.height_m),
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
    #[inline]
    pub(super) fn add_fin(
        &self,
        meeting: &Meeting<'_>,
        surfaces: &Surfaces,
        ledger: &mut impl Ledger,
    ) {
        let (flow, worth) = (meeting.flow, self.worth(meeting));
        let Vec3 { x: p, z: r, .. } = flow.rates_radps;
        let slipping = worth.across(-flow.velocity_mps.y * (1.0 - self.wash_slope))
            + worth.deflection(self.incidence_rad);
        let yawing = worth.across(r * self.arm_m);
        let rolling = worth.across(-p * self.height_m);
        let rudder = worth.deflection(self.control_share * surfaces.rudder_rad);
        // A clockwise swirl moves the air above the shaft to the right: it meets the fin's left side. Only what is immersed
        // is met, at the speed of the wash. The fin is taken to reach from the shaft line to twice its height: what is in the
        // wash lies at half of that, or of the wash's radius.
        let immersed_m = 0.5 * (2.0 * self.height_m).min(meeting.wash.radius_m);
        let swirl_n = meeting.half_density
            * self.area_m2
            * self.slope_per_rad
            * self.wash_share
            * (flow.speed_mps + meeting.wash.speed_rise_mps)
            * meeting.wash.swirl_radps
            * immersed_m;
        let moving = slipping + yawing + rolling + rudder;
        let sum = moving + Part { free_n: 0.0, wash_n: swirl_n };
        let held = self.held(meeting, sum);
        let unit = Across { y_n: held, roll_nm: self.height_m * held, yaw_nm: -self.arm_m * held };
        ledger.add_across(
            unit,
            &[
                (Cause::Airframe, slipping.free_n),
                (Cause::YawRate, yawing.free_n),
                (Cause::RollRate, rolling.free_n),
                (Cause::Rudder, rudder.free_n),
                (Cause::Slipstream, moving.wash_n),
                (Cause::Swirl, swirl_n),
            ],
        );
    }

    /// Lift of the tail for one rad/s of changing incidence: the downwash there is that of `arm / V` earlier.
    #[inline]
    pub(super) fn lag_of_downwash(
        &self,
        downwash: f64,
        flow: &Flow,
        wing_slope_per_rad: f64,
    ) -> Wrench {
        let turning = downwash * wing_slope_per_rad;
        let scale = 0.5 * flow.air.density_kgpm3 * self.area_m2 * self.slope_per_rad;
        let lift_n = scale * flow.speed_mps * turning * self.arm_m;
        lifting(flow, lift_n, -self.arm_m, self.height_m).wrench()
    }
}
