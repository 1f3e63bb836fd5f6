//! Speed low at the end.

use super::{Fault, Past, Seen, below, told};

pub(super) const FAULT: Fault = Fault {
    id: "speed-low-at-the-end",
    what: "slower at the end than at entry",
    why: "the figure cannot be repeated from there, and the margin over the stall is smaller than at entry",
    measured: "indicated airspeed at the end more than 10 kt below that at entry",
    remedy: "let the nose fall further, or more power; a steep turn: add power through 30 degrees of bank",
    causes: &["power came late or was too little", "the nose was held up through the second half"],
    drill: "power through 30 degrees of bank, said aloud, ten times both ways",
    sided: false,
    mend: None,
    source: "ACS-C",
    look,
};

/// The tolerance of the published standard.
const ALLOWED_KT: f64 = 10.0;

fn look(seen: &Seen<'_>) -> Option<Past> {
    let speed = seen.get("airspeed_change_at_end_kt").filter(|_| seen.keeps_speed())?;
    let severity = below(speed, -ALLOWED_KT, ALLOWED_KT)?;
    Some(Past {
        evidence: format!("airspeed at the end {} against entry", told(speed, " kt")),
        severity,
    })
}
