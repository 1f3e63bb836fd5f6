//! Pitch stops rising.

use crate::refly::Mend;

use super::{Fault, Past, Seen, below, told};

pub(super) const FAULT: Fault = Fault {
    id: "pitch-rate-dies",
    what: "the nose stopped rising before the 90-degree point",
    why: "the chandelle arrives there fast, and what is left of the speed gives little height",
    measured: "chandelle: pitch at 90 degrees of turn under 0.7 of the greatest",
    remedy: "the nose rises with the turn all the way to the 90-degree point: more pull as the speed falls",
    causes: &["the pull was held where it had to grow", "timid pull"],
    drill: "first half alone: pitch said at 30, 60 and 90 degrees of turn",
    sided: false,
    mend: Some(Mend::PitchPaced),
    source: "AFH-3C",
    look,
};

const SHARE: f64 = 0.7;
const ALLOWED_DEG: f64 = 3.0;

fn look(seen: &Seen<'_>) -> Option<Past> {
    let at = seen.get("pitch_change_at_90_deg").filter(|_| seen.is("chandelle"))?;
    let greatest = seen.get("pitch_change_greatest_deg")?;
    let severity = below(at, SHARE * greatest.value, ALLOWED_DEG)?;
    let evidence =
        format!("pitch at 90° of turn {}, the greatest {}", told(at, "°"), told(greatest, "°"));
    Some(Past { evidence, severity })
}
