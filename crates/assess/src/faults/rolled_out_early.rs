//! Rolled out early.

use crate::refly::Mend;

use super::{Fault, Past, Seen, below, told};

pub(super) const FAULT: Fault = Fault {
    id: "rolled-out-early",
    what: "wings level before the wanted turn was made",
    why: "the heading is missed; the second half of the figure was hurried",
    measured: "degrees turned a second after wings level, more than 10 short of the figure",
    remedy: "begin the roll-out by the reference on the horizon, not by feel",
    causes: &["the roll-out was begun too soon", "bank came off faster than the turn was made"],
    drill: "turn through the last 60 degrees again and again, saying the degrees left aloud, and begin the roll-out on the spoken lead",
    sided: true,
    mend: Some(Mend::RollOut),
    source: "ACS-C",
    look,
};

/// The tolerance of the published standard.
const ALLOWED_DEG: f64 = 10.0;

fn look(seen: &Seen<'_>) -> Option<Past> {
    let error = seen.get("heading_at_rollout_error_deg").filter(|_| seen.part.turns())?;
    if super::stopped_short::is_it(seen, error) {
        return None;
    }
    let severity = below(error, -ALLOWED_DEG, ALLOWED_DEG)?;
    Some(Past {
        evidence: format!("heading at roll-out {} against the wanted turn", told(error, "°")),
        severity,
    })
}
