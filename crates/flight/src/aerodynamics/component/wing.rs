//! Wing and body: lift with its stall, pitching moment, what rates and ailerons do to the span.

use super::{ComponentFigures, LiftFigures, Meeting, Reference, Spread, lifting};
use crate::budget::{Cause, Ledger};
use crate::controls::Surfaces;

/// Wing and body.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Wing {
    /// The lift curve of wing and body without tail.
    pub lift: LiftFigures,
    /// Taper: tip chord over root chord.
    pub taper: f64,
    /// Pitching-moment coefficient at nil lift, of wing and body.
    pub moment_zero: f64,
    /// How far the aerodynamic center of wing and body lies ahead of the reference point, in mean chords.
    pub center_ahead: f64,
    /// How far the lift moves back when the flow has separated, in mean chords.
    pub center_back_separated: f64,
    /// Rolling-moment coefficient of sideslip, 1/rad, without the fin, negative: dihedral, sweep and place of the wing.
    pub roll_per_rad_sideslip: f64,
    /// Rolling-moment coefficient of the ailerons, 1/rad, attached flow, negative (right one down rolls left).
    pub aileron_roll_per_rad: f64,
    /// Adverse yaw: yawing moment of the ailerons as a share of rolling moment times lift coefficient, turned in sign.
    pub aileron_adverse: f64,
    /// Share of the wing area in the propeller's wash.
    pub wash_share: f64,
    /// Lift coefficient of the flaps, 1/rad.
    pub flap_lift_per_rad: f64,
    /// Drag coefficient of the flaps, 1/rad.
    pub flap_drag_per_rad: f64,
    /// Pitching-moment coefficient of the flaps, 1/rad.
    pub flap_moment_per_rad: f64,
}

impl Wing {
    #[inline]
    pub(super) fn add_lift(
        &self,
        figures: &ComponentFigures,
        meeting: &Meeting<'_>,
        surfaces: &Surfaces,
        ledger: &mut impl Ledger,
    ) {
        let (flow, section, products) = (meeting.flow, &meeting.section, &meeting.products);
        let ahead =
            self.center_ahead - self.center_back_separated * (1.0 - section.attached.min(1.0));
        let ahead_m = ahead * figures.reference.chord_m;
        let place = |lift_n| lifting(flow, lift_n, ahead_m, 0.0);
        let pressure_area_n = meeting.pressure_area_n;
        let lift = meeting.lift + meeting.lift_in_wash;
        ledger.add_in_plane(place(pressure_area_n * lift), || {
            let parts =
                [(Cause::Airframe, meeting.lift), (Cause::Slipstream, meeting.lift_in_wash)];
            (place(pressure_area_n), parts)
        });
        let pitch_m = products.pitch_m + products.pitch_flap_m * surfaces.flap_rad;
        ledger.add_pitch(Cause::Airframe, pitch_m * pressure_area_n);
    }

    /// Second moment of the area over the span, `s = integral of c y^2 = S b^2 / 24 * (1 + 3 taper) / (1 + taper)`, times
    /// what an antisymmetric lift keeps of itself: it loses more to its own downwash than symmetric lift, by
    /// `(A + 2) / (A + 4)` for the elliptic wing of aspect ratio A (lifting line; any text on wing theory, from memory).
    pub(super) fn spread_m4(&self, reference: &Reference) -> f64 {
        let aspect = reference.span_m * reference.span_m / reference.area_m2;
        let induced = (aspect + 2.0) / (aspect + 4.0);
        let second = reference.area_m2 * reference.span_m * reference.span_m / 24.0
            * (1.0 + 3.0 * self.taper)
            / (1.0 + self.taper);
        second * induced
    }

    /// Strip theory of a straight tapered wing: local incidence changes by `p y / V`, local speed by `-r y`, with rolling and
    /// yawing about the axes of the flow, not of the body: at incidence a turn about the body's axis is a little of both.
    #[inline]
    pub(super) fn add_rates(
        &self,
        figures: &ComponentFigures,
        spread_m4: f64,
        meeting: &Meeting<'_>,
        ledger: &mut impl Ledger,
    ) {
        let (flow, section) = (meeting.flow, &meeting.section);
        let momentum = meeting.half_density * flow.speed_mps * spread_m4;
        let by_lift = figures.body.drag_induced * section.attached * meeting.lift;
        let drag = figures.body.drag_zero_lift + by_lift * meeting.lift + section.separated_drag;
        let Spread { lift_slope, drag_slope } = meeting.spread;
        let induced_slope = 2.0 * by_lift * lift_slope;
        let (p, r) = flow.stability_roll_and_yaw();
        let (rolling, yawing) = (-momentum * p, 2.0 * momentum * r);
        let by_roll =
            (rolling * (lift_slope + drag), rolling * (meeting.lift - induced_slope - drag_slope));
        let by_yaw = (yawing * meeting.lift, -yawing * drag);
        ledger.add_turning(flow, [(Cause::RollRate, by_roll), (Cause::YawRate, by_yaw)]);
    }

    #[inline]
    pub(super) fn add_aileron(
        &self,
        meeting: &Meeting<'_>,
        surfaces: &Surfaces,
        ledger: &mut impl Ledger,
    ) {
        // A separated wing still gives ailerons a part of their grip (own judgement, from memory of stalled-wing tests).
        let grip = 0.3 + 0.7 * meeting.section.attached;
        let roll_m = meeting.products.aileron_m * grip * surfaces.aileron_rad;
        let roll_nm = roll_m * meeting.pressure_area_n;
        let yaw_nm = -self.aileron_adverse * roll_nm * meeting.lift;
        ledger.add_roll_yaw(Cause::Aileron, roll_nm, yaw_nm);
    }
}
