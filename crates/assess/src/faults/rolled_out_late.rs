//! Rolled out late.

use super::{Fault, Past, Seen, above, told};

pub(super) const FAULT: Fault = Fault {
    id: "rolled-out-late",
    what: "wings level after the wanted turn was passed",
    why: "the heading is missed",
    measured: "degrees turned a second after wings level, more than 10 past the figure",
    remedy: "lead the roll-out by half the bank in a steep turn; in a half turn pace the roll so that the wings come level on the reference",
    source: "ACS-C",
    look,
};

/// The tolerance of the published standard.
const ALLOWED_DEG: f64 = 10.0;

fn look(seen: &Seen<'_>) -> Option<Past> {
    let error = seen.get("heading_at_rollout_error_deg")?;
    let severity = above(error, ALLOWED_DEG, ALLOWED_DEG)?;
    Some(Past {
        evidence: format!("heading at roll-out {} past the wanted turn", told(error, "°")),
        severity,
    })
}
