//! Horizontal tail and fin: surfaces far behind, in downwash, wash and swirl.

use base::frames::Vec3;

use super::{Meeting, lifting};
use crate::budget::{Across, Cause, InPlane, Ledger};
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

/// Products of the figures of a surface, worked out once.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Grip {
    /// Area times slope, m2/rad, and what of it lies in the propeller's wash.
    all_m2: f64,
    wash_m2: f64,
    /// Area times the greatest lift coefficient, m2.
    most_m2: f64,
}

/// What a flow across, m/s, and a deflection, rad, are worth, in free air and in what the propeller's wash adds to it.
struct Worth {
    across_free: f64,
    across_wash: f64,
    deflection_free: f64,
    deflection_wash: f64,
}

/// What a cause does at a surface: a flow across, m/s, a deflection, rad.
#[derive(Clone, Copy)]
struct Met {
    across_mps: f64,
    deflection_rad: f64,
}

impl Met {
    const fn across(across_mps: f64) -> Self {
        Self { across_mps, deflection_rad: 0.0 }
    }
    const fn deflection(deflection_rad: f64) -> Self {
        Self { across_mps: 0.0, deflection_rad }
    }
}

impl Worth {
    /// Force in free air, N.
    #[inline]
    fn free_n(&self, met: Met) -> f64 {
        self.across_free * met.across_mps + self.deflection_free * met.deflection_rad
    }
    /// What the wash adds, N.
    #[inline]
    fn wash_n(&self, met: Met) -> f64 {
        self.across_wash * met.across_mps + self.deflection_wash * met.deflection_rad
    }
}

impl Surface {
    /// Its products.
    pub(super) const fn grip(&self) -> Grip {
        let all_m2 = self.area_m2 * self.slope_per_rad;
        Grip { all_m2, wash_m2: all_m2 * self.wash_share, most_m2: self.area_m2 * self.lift_max }
    }

    /// Along is the airspeed, in the wash that and its rise; a deflection turns what comes along, a flow across does not change.
    #[inline]
    fn worth(grip: &Grip, meeting: &Meeting<'_>) -> Worth {
        let (v, rise) = (meeting.flow.speed_mps, meeting.wash.speed_rise_mps);
        let across_free = meeting.half_density * grip.all_m2 * v;
        let across_wash = meeting.half_density * grip.wash_m2 * rise;
        Worth {
            across_free,
            across_wash,
            deflection_free: across_free * v,
            deflection_wash: across_wash * (v + v + rise),
        }
    }

    /// Factor, one or less, that keeps the surface below its greatest lift: the same for every share, so that they sum.
    #[inline]
    fn held(&self, grip: &Grip, meeting: &Meeting<'_>, force_n: f64) -> f64 {
        let rise = self.wash_share * meeting.wash.speed_rise_mps;
        let v = meeting.flow.speed_mps + rise;
        let most_n = meeting.half_density * grip.most_m2 * v * v;
        let asked_n = force_n.abs();
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
        let (flow, grip) = (meeting.flow, &meeting.products.tail);
        let (v, worth) = (flow.speed_mps, Self::worth(grip, meeting));
        let still_mps = v * (flow.alpha_sin_cos.0 - downwash * meeting.lift);
        let pitching_mps = flow.rates_radps.y * self.arm_m;
        let extra_mps = -v * downwash * meeting.lift_in_wash;
        let elevator_rad = self.control_share * surfaces.elevator_rad;
        let met = Met {
            across_mps: still_mps + pitching_mps + extra_mps,
            deflection_rad: self.incidence_rad + elevator_rad,
        };
        let wash_n = worth.wash_n(met);
        let force_n = worth.free_n(met) + wash_n;
        let held = self.held(grip, meeting, force_n);
        let place = |lift_n| lifting(flow, lift_n, -self.arm_m, self.height_m);
        ledger.add_in_plane(place(held * force_n), || {
            let still = Met { across_mps: still_mps, deflection_rad: self.incidence_rad };
            let parts = [
                (Cause::Airframe, worth.free_n(still)),
                (Cause::PitchRate, worth.free_n(Met::across(pitching_mps))),
                (Cause::Elevator, worth.free_n(Met::deflection(elevator_rad))),
                (Cause::Slipstream, wash_n + worth.free_n(Met::across(extra_mps))),
            ];
            (place(held), parts)
        });
        held * force_n
    }

    /// Adds the fin.
    #[inline]
    pub(super) fn add_fin(
        &self,
        meeting: &Meeting<'_>,
        surfaces: &Surfaces,
        ledger: &mut impl Ledger,
    ) {
        let (flow, wash, grip) = (meeting.flow, meeting.wash, &meeting.products.fin);
        let worth = Self::worth(grip, meeting);
        let Vec3 { x: p, z: r, .. } = flow.rates_radps;
        let slipping_mps = -flow.velocity_mps.y * (1.0 - self.wash_slope);
        let (yawing_mps, rolling_mps) = (r * self.arm_m, -p * self.height_m);
        let rudder_rad = self.control_share * surfaces.rudder_rad;
        // A clockwise swirl moves the air above the shaft to the right: it meets the fin's left side. Only what is immersed
        // is met, at the speed of the wash. The fin is taken to reach from the shaft line to twice its height: what is in the
        // wash lies at half of that, or of the wash's radius.
        let swirl_mps = wash.swirl_radps * self.height_m.min(0.5 * wash.radius_m);
        let speed_mps = flow.speed_mps + wash.speed_rise_mps;
        let swirl_n = meeting.half_density * grip.wash_m2 * speed_mps * swirl_mps;
        let met = Met {
            across_mps: slipping_mps + yawing_mps + rolling_mps,
            deflection_rad: self.incidence_rad + rudder_rad,
        };
        let wash_n = worth.wash_n(met);
        let force_n = worth.free_n(met) + wash_n + swirl_n;
        let held = self.held(grip, meeting, force_n);
        let place =
            |y_n: f64| Across { y_n, roll_nm: self.height_m * y_n, yaw_nm: -self.arm_m * y_n };
        ledger.add_across(place(held * force_n), || {
            let slipping = Met { across_mps: slipping_mps, deflection_rad: self.incidence_rad };
            let parts = [
                (Cause::Airframe, worth.free_n(slipping)),
                (Cause::YawRate, worth.free_n(Met::across(yawing_mps))),
                (Cause::RollRate, worth.free_n(Met::across(rolling_mps))),
                (Cause::Rudder, worth.free_n(Met::deflection(rudder_rad))),
                (Cause::Slipstream, wash_n),
                (Cause::Swirl, swirl_n),
            ];
            (place(held), parts)
        });
    }

    /// Lift of the tail for one rad/s of changing incidence: the downwash there is that of `arm / V` earlier.
    #[inline]
    pub(super) fn lag_of_downwash(
        &self,
        downwash: f64,
        flow: &Flow,
        wing_slope_per_rad: f64,
    ) -> InPlane {
        let turning = downwash * wing_slope_per_rad;
        let scale = 0.5 * flow.air.density_kgpm3 * self.area_m2 * self.slope_per_rad;
        let lift_n = scale * flow.speed_mps * turning * self.arm_m;
        lifting(flow, lift_n, -self.arm_m, self.height_m)
    }
}
