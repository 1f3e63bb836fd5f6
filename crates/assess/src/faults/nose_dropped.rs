//! Nose dropped.

use crate::refly::Mend;

use super::{Fault, Past, Seen, below, told};

pub(super) const FAULT: Fault = Fault {
    id: "nose-dropped",
    what: "the nose was held up too long at the top and then fell",
    why: "it falls below where it should be, speed builds, and the second half becomes a dive",
    measured: "lowest pitch more than 1.7 times as far below entry as the highest is above it",
    remedy: "relax the pull from the crest on and let the nose come down by itself",
    causes: &["the top was held up", "speed too low at the crest"],
    drill: "the crest alone: from the 45-degree point let the nose go through the horizon at 90",
    sided: false,
    mend: Some(Mend::NoseHeld),
    source: "training-aid",
    look,
};

const TIMES: f64 = 1.7;
const ALLOWED_DEG: f64 = 4.0;

fn look(seen: &Seen<'_>) -> Option<Past> {
    if !(seen.is("lazy-eight") || seen.is("wing-over")) {
        return None;
    }
    let (highest, lowest) =
        (seen.get("pitch_change_greatest_deg")?, seen.get("pitch_change_least_deg")?);
    let line = -TIMES * highest.value.max(5.0);
    let severity = below(lowest, line, ALLOWED_DEG)?;
    let evidence = format!("nose {} above entry, then {}", told(highest, "°"), told(lowest, "°"));
    Some(Past { evidence, severity })
}
