//! The block `[derivatives]`.

use base::typed_toml::Section;

use super::head::{self, Signs};
use crate::aerodynamics::derivative::{Derivatives, Drag, Lateral, Longitudinal};
use crate::airplane::rigid::Form;

/// No light airplane has a derivative beyond this: a slip of the point or of the units.
const MOST: f64 = 100.0;

/// Reads the block: the form, and the point that moments refer to.
pub(super) fn read(section: &Section<'_>) -> Option<(Form, f64)> {
    let head = head::read(section);
    let lift = section.section("lift");
    let drag = section.section("drag").and_then(|block| drag(&block));
    let pitch = section.section("pitch");
    let lateral_block = |key| section.section(key);
    let (side, roll, yaw) = (lateral_block("side"), lateral_block("roll"), lateral_block("yaw"));
    section.refuse_unknown();
    let head = head?;
    let lift = lift.and_then(|block| longitudinal(&block, &head.signs));
    let pitch_moment = pitch.as_ref().and_then(|block| longitudinal(block, &head.signs));
    let roll_moment = roll.as_ref().and_then(|block| lateral(block, &head.signs));
    let yaw_moment = yaw.as_ref().and_then(|block| lateral(block, &head.signs));
    let side = side.and_then(|block| lateral(&block, &head.signs));
    let set = Derivatives {
        reference: head.reference,
        lengths: head.lengths,
        domain: head.domain,
        lift: lift?,
        drag: drag?,
        pitch: pitch_moment?,
        side: side?,
        roll: roll_moment?,
        yaw: yaw_moment?,
    };
    signs(&set, &pitch?, &roll?, &yaw?);
    Some((Form::Derivatives(set), head.moment_reference))
}

fn longitudinal(section: &Section<'_>, signs: &Signs) -> Option<Longitudinal> {
    let must = |key| section.number(key, -MOST..=MOST);
    let may = |key| section.optional_number(key, -MOST..=MOST).unwrap_or(0.0);
    let (zero, alpha) = (must("zero"), must("alpha"));
    let elevator = must("elevator");
    let (alpha_rate, pitch_rate, flap) = (may("alpha_rate"), may("pitch_rate"), may("flap"));
    section.refuse_unknown();
    Some(Longitudinal {
        zero: zero?,
        alpha: alpha?,
        alpha_rate,
        pitch_rate,
        elevator: elevator? * signs.elevator,
        flap,
    })
}

fn drag(section: &Section<'_>) -> Option<Drag> {
    let zero = section.number("zero", 0.0..=1.0);
    let may = |key| section.optional_number(key, -MOST..=MOST).unwrap_or(0.0);
    let (alpha, induced, flap) = (may("alpha"), may("induced"), may("flap"));
    if section.has("alpha") == section.has("induced") {
        section.fault(
            "alpha",
            "drag rises either with incidence or with the square of lift",
            "give exactly one of alpha and induced, as the source has it",
        );
    }
    section.refuse_unknown();
    Some(Drag { zero: zero?, alpha, induced, flap })
}

fn lateral(section: &Section<'_>, signs: &Signs) -> Option<Lateral> {
    let beta = section.number("beta", -MOST..=MOST);
    let may = |key| section.optional_number(key, -MOST..=MOST).unwrap_or(0.0);
    let (roll_rate, yaw_rate) = (may("roll_rate"), may("yaw_rate"));
    let (aileron, rudder) = (may("aileron"), may("rudder"));
    section.refuse_unknown();
    Some(Lateral {
        beta: beta?,
        roll_rate,
        yaw_rate,
        aileron: aileron * signs.aileron,
        rudder: rudder * signs.rudder,
    })
}

/// Signs that every airplane has below the stall; after the source's signs were turned into ours, each of these is negative.
fn signs(set: &Derivatives, pitch: &Section<'_>, roll: &Section<'_>, yaw: &Section<'_>) {
    let damping = "pitching, rolling and yawing are damped below the stall: check the sign";
    let control = "check the sign, and what the source calls positive (elevator_positive, aileron_positive, rudder_positive)";
    let rows = [
        (pitch, "pitch_rate", set.pitch.pitch_rate, damping),
        (pitch, "elevator", set.pitch.elevator, control),
        (roll, "roll_rate", set.roll.roll_rate, damping),
        (roll, "aileron", set.roll.aileron, control),
        (yaw, "yaw_rate", set.yaw.yaw_rate, damping),
        (yaw, "rudder", set.yaw.rudder, control),
    ];
    for (section, key, value, hint) in rows {
        if value >= 0.0 {
            let what = if section.has(key) {
                format!("{key} has the wrong sign, or is nil")
            } else {
                format!("{key} is missing")
            };
            section.fault(key, what, hint);
        }
    }
}
