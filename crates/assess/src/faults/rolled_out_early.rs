//! Rolled out early.

use super::{Fault, Past, Seen, below, told};

pub(super) const FAULT: Fault = Fault {
    id: "rolled-out-early",
    what: "wings level before the wanted turn was made",
    why: "the heading is missed; the second half of the figure was hurried",
    measured: "degrees turned a second after wings level, more than 10 short of the figure",
    remedy: "begin the roll-out by the reference on the horizon, not by feel",
    source: "ACS-C",
    look,
};

/// The tolerance of the published standard.
const ALLOWED_DEG: f64 = 10.0;

fn look(seen: &Seen<'_>) -> Option<Past> {
    let error = seen.get("heading_at_rollout_error_deg")?;
    if super::stopped_short::is_it(seen, error) {
        return None;
    }
    let severity = below(error, -ALLOWED_DEG, ALLOWED_DEG)?;
    Some(Past {
        evidence: format!("heading at roll-out {} against the wanted turn", told(error, "°")),
        severity,
    })
}
