//! Near the stall.

use crate::refly::Mend;

use super::{Fault, Past, Seen, above, below, told};

pub(super) const FAULT: Fault = Fault {
    id: "near-stall",
    what: "the wing came nearer to the stall than the figure calls for",
    why: "a gust or a little more pull stalls it, with bank on",
    measured: "incidence over 13 degrees where pitch is recorded (usual wings stall near 16); else, with the airplane known, calibrated airspeed more than 1.5 kt under the power-off stall at that load",
    remedy: "stop the pull at the first buffet or horn; ease it, bank as it is",
    causes: &["the nose was raised too far", "the pull was not eased as the speed fell"],
    drill: "dual: slow flight to the first sign of the stall and back, wings level",
    sided: false,
    mend: Some(Mend::PitchPeak),
    source: "training-aid",
    look,
};

const INCIDENCE_DEG: f64 = 13.0;
const INCIDENCE_ALLOWED_DEG: f64 = 2.0;
const UNDER_STALL_KT: f64 = -1.5;
const ALLOWED_KT: f64 = 3.0;

fn look(seen: &Seen<'_>) -> Option<Past> {
    if seen.stalls() || seen.is("slow-flight") {
        return None;
    }
    if let Some(incidence) = seen.incidence_greatest() {
        if incidence.value > super::stalled::INCIDENCE_DEG {
            return None;
        }
        if let Some(severity) = above(incidence, INCIDENCE_DEG, INCIDENCE_ALLOWED_DEG) {
            return Some(Past {
                evidence: format!("incidence {}", told(incidence, "°")),
                severity,
            });
        }
    }
    let margin = seen.get("stall_margin_least_kt")?;
    let severity = below(margin, UNDER_STALL_KT, ALLOWED_KT)?;
    Some(Past {
        evidence: format!("airspeed {} over the stall at that load", told(margin, " kt")),
        severity,
    })
}
