//! The blocks `[components.*]` of an airplane file: an airframe as wing, body, tail and fin.
//!
//! The file states lift, drag and stall of the whole airplane once, for point-mass and rigid-body flight alike. The share of
//! wing and body is what tail and trim leave of it, so that both levels fly the same airplane.

use base::factors::RAD_PER_DEG;
use base::typed_toml::Section;
use base::units::{Angle, Area, Length};

use super::Aerodynamics;
use super::stated::FlapPolar;
use crate::aerodynamics::Reference;
use crate::aerodynamics::component::{
    BodyFigures, Component, ComponentFigures, LiftFigures, Surface, Wing,
};

/// What the component blocks need from the rest of the file.
#[derive(Debug, Clone, Copy)]
pub(super) struct Whole<'a> {
    /// Lift and drag of the whole airplane.
    pub(super) aerodynamics: &'a Aerodynamics,
    /// Wing area, m2.
    pub(super) area_m2: f64,
    /// Wing span, m.
    pub(super) span_m: f64,
    /// Center of gravity, mean chords behind the leading edge.
    pub(super) center_of_gravity: f64,
}

/// Reads the blocks. The aerodynamic reference point is the quarter of the mean chord.
pub(super) fn read(section: &Section<'_>, whole: &Whole<'_>) -> Option<Component> {
    let _ = section.text("source");
    let wing_section = section.section("wing");
    let tail = section.section("tail").and_then(|block| surface(&block, true));
    let fin = section.section("fin").and_then(|block| surface(&block, false));
    let body = section.section("body").and_then(|block| body(&block, whole.aerodynamics));
    section.refuse_unknown();
    let wing_section = wing_section?;
    let detail = wing(&wing_section);
    let (mut wing, chord_m) = detail?;
    let (tail, fin, body) = (tail?, fin?, body?);
    let reference = Reference { area_m2: whole.area_m2, span_m: whole.span_m, chord_m };
    wing.lift = wing_share(whole, &wing, &tail, &reference);
    let built = Component::new(ComponentFigures { reference, wing, body, tail, fin });
    if let Err(error) = &built {
        let hint = "lift_max of the whole airplane, lift_slope_per_rad and stall_sharpness_per_rad do not go together";
        wing_section.fault("stall_sharpness_per_rad", error.to_string(), hint);
    }
    built.ok()
}

/// The airframe with its flaps down, from that of flaps up and the polar of the whole airplane with the flaps down; `None` where its
/// figures do not go together.
pub(super) fn lowered(
    clean: &ComponentFigures,
    polar: &Aerodynamics,
    center_of_gravity: f64,
    added: FlapPolar,
) -> Option<Component> {
    let mut figures = *clean;
    figures.body.drag_zero_lift += added.drag;
    figures.wing.moment_zero += added.moment;
    let Reference { area_m2, span_m, .. } = figures.reference;
    let whole = Whole { aerodynamics: polar, area_m2, span_m, center_of_gravity };
    figures.wing.lift = wing_share(&whole, &figures.wing, &figures.tail, &figures.reference);
    Component::new(figures).ok()
}

/// Lift figures of wing and body from those of the whole airplane: slope and nil-incidence lift with controls at nil, greatest
/// and least lift trimmed.
fn wing_share(
    whole: &Whole<'_>,
    wing: &Wing,
    tail: &Surface,
    reference: &Reference,
) -> LiftFigures {
    let polar = whole.aerodynamics;
    let tail_slope = tail.area_m2 / reference.area_m2 * tail.slope_per_rad;
    let slope_per_rad = polar.lift_slope_per_rad - tail_slope * (1.0 - tail.wash_slope);
    let zero = (polar.lift_at_zero_incidence - tail_slope * tail.incidence_rad)
        / (1.0 - tail_slope * tail.wash_slope / slope_per_rad);
    // Moments about the center of gravity: wing and body ahead of it, tail behind it.
    let behind = whole.center_of_gravity - 0.25;
    let arm = tail.arm_m / reference.chord_m - behind;
    let ahead = behind + wing.center_ahead;
    let trimmed = |lift: f64| (lift - wing.moment_zero / arm) / (1.0 + ahead / arm);
    LiftFigures {
        zero,
        slope_per_rad,
        greatest: trimmed(polar.lift_max),
        least: trimmed(polar.lift_min),
        sharpness_per_rad: wing.lift.sharpness_per_rad,
    }
}

fn wing(section: &Section<'_>) -> Option<(Wing, f64)> {
    let chord = section.within("chord", Length::from_m(0.4), Length::from_m(5.0));
    let number = |key, low: f64, high: f64| section.number(key, low..=high);
    let optional =
        |key, low: f64, high: f64| section.optional_number(key, low..=high).unwrap_or(0.0);
    let taper = number("taper", 0.1, 1.0);
    let moment_zero = number("moment_zero", -0.3, 0.2);
    let center_ahead = number("center_ahead", -0.2, 0.3);
    let center_back_separated = number("center_back_separated", 0.0, 0.3);
    let roll = number("roll_per_rad_sideslip", -0.4, 0.0);
    let aileron = number("aileron_roll_per_rad", -0.5, -0.01);
    let adverse = number("aileron_adverse", 0.0, 1.0);
    let wash_share = number("wash_share", 0.0, 1.0);
    let sharpness = number("stall_sharpness_per_rad", 5.0, 150.0);
    let (flap_lift, flap_drag) =
        (optional("flap_lift_per_rad", 0.0, 5.0), optional("flap_drag_per_rad", 0.0, 1.0));
    let flap_moment = optional("flap_moment_per_rad", -1.0, 0.5);
    section.refuse_unknown();
    let wing = Wing {
        // The rest of the lift curve is what the whole airplane leaves; see `wing_share`.
        lift: LiftFigures {
            zero: 0.0,
            slope_per_rad: 1.0,
            greatest: 1.0,
            least: -1.0,
            sharpness_per_rad: sharpness?,
        },
        taper: taper?,
        moment_zero: moment_zero?,
        center_ahead: center_ahead?,
        center_back_separated: center_back_separated?,
        roll_per_rad_sideslip: roll?,
        aileron_roll_per_rad: aileron?,
        aileron_adverse: adverse?,
        wash_share: wash_share?,
        flap_lift_per_rad: flap_lift,
        flap_drag_per_rad: flap_drag,
        flap_moment_per_rad: flap_moment,
    };
    Some((wing, chord?.to_m()))
}

fn body(section: &Section<'_>, polar: &Aerodynamics) -> Option<BodyFigures> {
    let drag = section.number("drag_sideslip_per_rad2", 0.0..=2.0);
    let side = section.number("side_per_rad", -2.0..=0.0);
    let yaw = section.number("yaw_per_rad", -0.3..=0.0);
    section.refuse_unknown();
    Some(BodyFigures {
        drag_zero_lift: polar.drag_zero_lift,
        drag_induced: polar.drag_induced,
        drag_sideslip: drag?,
        side_per_rad: side?,
        yaw_per_rad: yaw?,
    })
}

fn surface(section: &Section<'_>, lifts: bool) -> Option<Surface> {
    let area = section.within("area", Area::from_m2(0.1), Area::from_m2(40.0));
    let arm = section.within("arm", Length::from_m(0.5), Length::from_m(20.0));
    let height = section.within("height", Length::from_m(-3.0), Length::from_m(5.0));
    let tilt = Angle::from_rad(10.0 * RAD_PER_DEG);
    let incidence = section.within("incidence", -tilt, tilt);
    let slope_per_rad = section.number("slope_per_rad", 1.0..=7.0);
    let control_share = section.number("control_share", 0.05..=1.0);
    let wash_slope =
        section.number(if lifts { "downwash_slope" } else { "sidewash_slope" }, -0.5..=0.9);
    let wash_share = section.number("wash_share", 0.0..=1.0);
    let lift_max = section.number("lift_max", 0.4..=2.5);
    section.refuse_unknown();
    Some(Surface {
        area_m2: area?.to_m2(),
        arm_m: arm?.to_m(),
        height_m: height?.to_m(),
        slope_per_rad: slope_per_rad?,
        incidence_rad: incidence?.to_rad(),
        control_share: control_share?,
        wash_slope: wash_slope?,
        wash_share: wash_share?,
        lift_max: lift_max?,
    })
}
