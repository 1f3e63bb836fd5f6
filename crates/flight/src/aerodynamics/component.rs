//! Airframe built from components: wing and body with a stall, horizontal tail, fin, each in its own flow.
//!
//! What a set of constant derivatives cannot show comes out here by itself: the nose drops at the stall because the
//! downwash at the tail goes with the lift; ailerons and roll damping fade with it; the propeller's wash adds to tail, fin
//! and inner wing only what is immersed in it; its swirl meets the fin. Each share is linear in its own cause at a given
//! angle of attack, so that the shares sum exactly.
//!
//! ```text
//! tail and fin    force = density / 2 * area * slope * along * across, along and across the velocity there
//! in the wash     along = V + rise of speed; across is unchanged, the swirl added
//! wing, rates     strip theory of a straight tapered wing: roll damping from the local slope, yaw from lift and drag
//! ```
//!
//! Source: the build-up of SL-2003 chapter 2 and NELSON-1998 chapters 2 and 3; strip sums are our own closed forms.

mod lift_curve;
mod tail;
mod wing;

use base::math::wrap_pi;

use super::{Aerodynamics, Domain, Reference};
use crate::budget::{Budget, Cause, InPlane, Ledger, Shares, Wrench};
use crate::controls::Surfaces;
use crate::flow::Flow;
use crate::propulsion::Wash;

pub use lift_curve::{LiftCurve, LiftFigures, NoStall, Section};
use tail::Grip;
pub use tail::Surface;
pub use wing::Wing;

/// Figures of body and controls that belong to no lifting surface of its own.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BodyFigures {
    /// Drag coefficient without lift.
    pub drag_zero_lift: f64,
    /// Factor of the square of the lift coefficient.
    pub drag_induced: f64,
    /// Drag coefficient of the square of sideslip, 1/rad2.
    pub drag_sideslip: f64,
    /// Side-force coefficient of sideslip without the fin, 1/rad, negative.
    pub side_per_rad: f64,
    /// Yawing-moment coefficient of sideslip without the fin, 1/rad, negative: the body alone turns away from the wind.
    pub yaw_per_rad: f64,
}

/// Everything a component airframe is made of.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ComponentFigures {
    /// Wing area, span and mean chord.
    pub reference: Reference,
    /// Wing and body.
    pub wing: Wing,
    /// Body.
    pub body: BodyFigures,
    /// Horizontal tail.
    pub tail: Surface,
    /// Fin.
    pub fin: Surface,
}

/// The airframe, ready to be evaluated.
#[derive(Debug, Clone, PartialEq)]
pub struct Component {
    figures: ComponentFigures,
    curve: LiftCurve,
    /// Downwash at the tail over the wing's lift coefficient, rad.
    downwash_per_lift: f64,
    /// What rolling and yawing act on, m4: see [`Wing::spread_m4`].
    spread_m4: f64,
    products: Products,
}

/// Products of the figures, worked out once: coefficients with the length that makes a moment of them, m.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Products {
    tail: Grip,
    fin: Grip,
    /// Pitching moment at nil lift, and of the flaps, m/rad.
    pitch_m: f64,
    pitch_flap_m: f64,
    /// Rolling moment of the ailerons, m/rad.
    aileron_m: f64,
    /// Rolling and yawing moment of sideslip, m.
    sideslip_roll_m: f64,
    sideslip_yaw_m: f64,
}

impl Products {
    fn new(figures: &ComponentFigures) -> Self {
        let (wing, Reference { span_m, chord_m, .. }) = (&figures.wing, figures.reference);
        Self {
            tail: figures.tail.grip(),
            fin: figures.fin.grip(),
            pitch_m: wing.moment_zero * chord_m,
            pitch_flap_m: wing.flap_moment_per_rad * chord_m,
            aileron_m: wing.aileron_roll_per_rad * span_m,
            sideslip_roll_m: wing.roll_per_rad_sideslip * span_m,
            sideslip_yaw_m: figures.body.yaw_per_rad * span_m,
        }
    }
}

/// One instant, shared by the components.
struct Meeting<'a> {
    flow: &'a Flow,
    products: &'a Products,
    section: Section,
    spread: Spread,
    wash: &'a Wash,
    /// Half density, kg/m3.
    half_density: f64,
    /// Dynamic pressure times wing area, N.
    pressure_area_n: f64,
    /// Wing lift coefficient with flaps.
    lift: f64,
    /// More lift of the inner wing in the wash, as a coefficient.
    lift_in_wash: f64,
}

/// Slopes across the span, between the incidences of the two half wings.
#[derive(Clone, Copy)]
struct Spread {
    /// Of lift, 1/rad.
    lift_slope: f64,
    /// Of the drag of separated flow, 1/rad.
    drag_slope: f64,
}

/// A wing does not stall all at once: washout and sections spread it over some degrees each way (own judgement).
const STALL_SPREAD_RAD: f64 = 3.0 * base::factors::RAD_PER_DEG;
/// Where the half wing is met, as a share of the span from its middle: the arm of its rolling moment.
const HALF_WING: f64 = 0.25;

/// The airframe at an instant, about to write its shares.
struct Acting<'a> {
    airframe: &'a Component,
    flow: &'a Flow,
    surfaces: &'a Surfaces,
    wash: &'a Wash,
}

impl Component {
    /// Solves the lift curve.
    ///
    /// # Errors
    /// When the stated greatest lift cannot be reached.
    pub fn new(figures: ComponentFigures) -> Result<Self, NoStall> {
        let curve = LiftCurve::new(&figures.wing.lift)?;
        let downwash_per_lift = figures.tail.wash_slope / figures.wing.lift.slope_per_rad;
        let spread_m4 = figures.wing.spread_m4(&figures.reference);
        let products = Products::new(&figures);
        Ok(Self { figures, curve, downwash_per_lift, spread_m4, products })
    }
    /// What it is made of.
    #[must_use]
    pub const fn figures(&self) -> &ComponentFigures {
        &self.figures
    }
    /// Angle of attack of the greatest lift, rad.
    #[must_use]
    pub const fn stall_rad(&self) -> f64 {
        self.curve.stall_rad()
    }

    /// Slopes between the half wings when rolling. A secant, so that a stalled wing begins to autorotate but does not run
    /// away: the faster it rolls, the further apart the two incidences.
    #[inline(always)]
    fn spread(&self, flow: &Flow, section: &Section) -> Spread {
        let arm_m = HALF_WING * self.figures.reference.span_m;
        let (met_mps, speed_mps) =
            (flow.stability_roll_and_yaw().0.abs() * arm_m, flow.speed_mps.max(1.0));
        let half_rad = if met_mps <= STALL_SPREAD_RAD * speed_mps {
            STALL_SPREAD_RAD // most of the time: spares a division
        } else {
            (met_mps / speed_mps).min(1.0)
        };
        let reach = self.curve.reach(flow.alpha_rad.abs() + half_rad);
        if reach <= 0.0 {
            return Spread { lift_slope: section.slope_per_rad, drag_slope: 0.0 };
        }
        let (down, up) = (
            self.curve.at(wrap_pi(flow.alpha_rad + half_rad)),
            self.curve.at(wrap_pi(flow.alpha_rad - half_rad)),
        );
        let secant = 0.5 * (down.lift - up.lift) / half_rad;
        Spread {
            lift_slope: section.slope_per_rad + reach * (secant - section.slope_per_rad),
            drag_slope: reach * 0.5 * (down.separated_drag - up.separated_drag) / half_rad,
        }
    }

    #[inline(always)]
    fn meeting<'a>(&'a self, flow: &'a Flow, surfaces: &Surfaces, wash: &'a Wash) -> Meeting<'a> {
        let section = self.curve.at(flow.alpha_rad);
        let wing = &self.figures.wing;
        let lift = section.lift + wing.flap_lift_per_rad * surfaces.flap_rad * section.attached;
        let ratio = if flow.speed_mps > 1.0 { wash.speed_rise_mps * flow.per_speed.0 } else { 0.0 };
        // Across the wash the wing meets the same vertical speed with more speed ahead.
        let lift_in_wash = wing.wash_share * ratio * lift;
        let half_density = 0.5 * flow.air.density_kgpm3;
        let spread = self.spread(flow, &section);
        let pressure_area_n = flow.dynamic_pressure_pa * self.figures.reference.area_m2;
        Meeting {
            flow,
            products: &self.products,
            section,
            spread,
            wash,
            half_density,
            pressure_area_n,
            lift,
            lift_in_wash,
        }
    }

    #[inline]
    fn drag(&self, meeting: &Meeting<'_>, surfaces: &Surfaces, lift_total: f64) -> f64 {
        let (body, section) = (&self.figures.body, &meeting.section);
        let beta = meeting.flow.beta_sin_cos.0;
        // The lift comes last: it is what is waited for.
        let without_lift = body.drag_zero_lift
            + section.separated_drag
            + body.drag_sideslip * beta * beta
            + self.figures.wing.flap_drag_per_rad * surfaces.flap_rad.abs();
        without_lift + body.drag_induced * section.attached * (lift_total * lift_total)
    }
}

impl Shares for Acting<'_> {
    /// Wrench of one rad/s of changing incidence: the slope of the lift is at hand here.
    type Answer = InPlane;

    #[inline]
    fn write(&self, ledger: &mut impl Ledger) -> InPlane {
        let Self { airframe, flow, surfaces, wash } = *self;
        let figures = &airframe.figures;
        let meeting = airframe.meeting(flow, surfaces, wash);
        let pressure_area_n = meeting.pressure_area_n;
        // Early: it is waited for at the end.
        let per_pressure_area = if pressure_area_n > 1e-9 { 1.0 / pressure_area_n } else { 0.0 };
        // What the lift is not needed for comes first.
        let lag = figures.tail.lag_of_downwash(
            airframe.downwash_per_lift,
            flow,
            meeting.section.slope_per_rad,
        );
        figures.fin.add_fin(&meeting, surfaces, ledger);
        let downwash = airframe.downwash_per_lift;
        let tail_lift_n = figures.tail.add_tail(downwash, &meeting, surfaces, ledger);
        figures.wing.add_lift(figures, &meeting, surfaces, ledger);
        figures.wing.add_rates(figures, airframe.spread_m4, &meeting, ledger);
        figures.wing.add_aileron(&meeting, surfaces, ledger);

        // What the wash lifts more trails its vortices too.
        let lift_wing = meeting.lift + meeting.lift_in_wash;
        let lift_total = (lift_wing + tail_lift_n * per_pressure_area).clamp(-3.0, 3.0);
        let drag = airframe.drag(&meeting, surfaces, lift_total);
        let beta_n = flow.beta_sin_cos.0 * pressure_area_n;
        let side_n = figures.body.side_per_rad * beta_n;
        let products = &airframe.products;
        ledger.add_force(Cause::Airframe, flow.body_from_drag(drag * pressure_area_n, side_n));
        let (roll_nm, yaw_nm) =
            (products.sideslip_roll_m * beta_n, products.sideslip_yaw_m * beta_n);
        ledger.add_roll_yaw(Cause::Airframe, roll_nm, yaw_nm);
        lag
    }
}

impl Aerodynamics for Component {
    fn add(&self, flow: &Flow, surfaces: &Surfaces, wash: &Wash, budget: &mut Budget) {
        let unit = budget.write(&Acting { airframe: self, flow, surfaces, wash });
        budget.keep_incidence_rate(unit);
    }

    fn incidence_rate(&self, flow: &Flow) -> Wrench {
        let slope = self.curve.at(flow.alpha_rad).slope_per_rad;
        self.figures.tail.lag_of_downwash(self.downwash_per_lift, flow, slope).wrench()
    }
    fn reference(&self) -> Reference {
        self.figures.reference
    }
    fn domain(&self) -> Domain {
        Domain { mach: 0.5, ..Domain::SUBSONIC }
    }
}

/// Lift of stability axes, N, at a place ahead of and above the reference point, m.
#[inline]
fn lifting(flow: &Flow, lift_n: f64, ahead_m: f64, above_m: f64) -> InPlane {
    let (sin, cos) = flow.alpha_sin_cos;
    let (x_n, z_n) = (lift_n * sin, -lift_n * cos);
    InPlane { x_n, z_n, pitch_nm: -above_m * x_n - ahead_m * z_n }
}
