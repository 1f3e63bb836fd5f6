//! Stalled.

use super::{Fault, Past, Seen, above, told};

pub(super) const FAULT: Fault = Fault {
    id: "stalled",
    what: "the wing stalled in a figure that calls for no stall",
    why: "with bank and yaw on it a stall becomes a spin entry, and height is lost",
    measured: "incidence over 17 degrees where pitch is recorded (usual wings stall near 16)",
    remedy: "unload first, then roll to the nearest horizon, power as speed requires",
    causes: &["the pull was kept as the speed fell", "the figure was entered too slow"],
    drill: "dual: buffet, horn, mushing controls: say the first of them aloud and unload",
    sided: false,
    mend: None,
    source: "training-aid",
    look,
};

/// Usual wings are past their greatest lift there (common practice, no source).
pub(super) const INCIDENCE_DEG: f64 = 17.0;
const ALLOWED_DEG: f64 = 1.0;

fn look(seen: &Seen<'_>) -> Option<Past> {
    if seen.stalls() {
        return None;
    }
    let incidence = seen.incidence_greatest()?;
    let severity = above(incidence, INCIDENCE_DEG, ALLOWED_DEG)?;
    Some(Past {
        evidence: format!("incidence {}", told(incidence, "°")), severity: severity + 1.0
    })
}
