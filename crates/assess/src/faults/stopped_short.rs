//! Stopped short.

use crate::refly::Mend;

use super::{Estimate, Fault, Past, Seen, below, told};

pub(super) const FAULT: Fault = Fault {
    id: "stopped-short",
    what: "the figure was broken off well before its end",
    why: "what was not flown cannot be judged, and the next figure begins in the wrong direction",
    measured: "degrees turned a second after wings level, more than an eighth of the figure short",
    remedy: "fly it to the end, even when the first half was spoiled: the recovery is part of it",
    causes: &[
        "the figure was given up when it went wrong",
        "the reference on the horizon was lost",
    ],
    drill: "the second half on its own, from the 90-degree attitude, to the far reference",
    sided: false,
    mend: Some(Mend::RollOut),
    source: "training-aid",
    look,
};

/// More than this share of the figure is missing.
const SHARE: f64 = 0.125;

/// Whether so much is missing that it was broken off, not merely rolled out early.
pub(super) fn is_it(seen: &Seen<'_>, error: Estimate) -> bool {
    error.value < -SHARE * seen.part.turn_wanted_deg
}

fn look(seen: &Seen<'_>) -> Option<Past> {
    let error = seen.get("heading_at_rollout_error_deg").filter(|_| seen.part.turns())?;
    if !is_it(seen, error) {
        return None;
    }
    // Counted as the roll-out that it is: in multiples of the 10 degrees of the standard.
    let severity = below(error, -10.0, 10.0)?;
    let turned = seen.part.turned();
    let evidence = format!("turned {} of {:.0}°", told(turned, "°"), seen.part.turn_wanted_deg);
    Some(Past { evidence, severity })
}
