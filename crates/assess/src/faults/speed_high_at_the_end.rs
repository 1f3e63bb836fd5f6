//! Speed high at the end.

use crate::refly::Mend;

use super::{Fault, Past, Seen, above, told};

pub(super) const FAULT: Fault = Fault {
    id: "speed-high-at-the-end",
    what: "faster at the end than at entry",
    why: "height was given for speed: the nose was low too long",
    measured: "indicated airspeed at the end more than 10 kt above that at entry; a chandelle: more than 10 kt over the stall, when the airplane is known",
    remedy: "raise the nose sooner; a chandelle: a higher nose in the second half",
    causes: &["the nose was low for too long", "power left higher than the figure needs"],
    drill: "the last 45 degrees alone: nose to its place before the wings are level",
    sided: false,
    mend: Some(Mend::NoseHeld),
    source: "ACS-C",
    look,
};

/// The tolerance of the published standard; for the chandelle a marking band of our own.
const ALLOWED_KT: f64 = 10.0;

fn look(seen: &Seen<'_>) -> Option<Past> {
    let (key, words) = if seen.keeps_speed() {
        ("airspeed_change_at_end_kt", "against entry")
    } else if seen.is("chandelle") {
        ("airspeed_over_stall_at_end_kt", "over the stall")
    } else {
        return None;
    };
    let speed = seen.get(key)?;
    let severity = above(speed, ALLOWED_KT, ALLOWED_KT)?;
    Some(Past { evidence: format!("airspeed at the end {} {words}", told(speed, " kt")), severity })
}
