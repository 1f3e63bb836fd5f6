//! Rolled out late.

use crate::refly::Mend;

use super::{Fault, Past, Seen, above, told};

pub(super) const FAULT: Fault = Fault {
    id: "rolled-out-late",
    what: "wings level after the wanted turn was passed",
    why: "the heading is missed",
    measured: "degrees turned a second after wings level, more than 10 past the figure",
    remedy: "lead the roll-out by half the bank in a steep turn; in a half turn pace the roll so that the wings come level on the reference",
    causes: &[
        "the roll-out was begun too late",
        "bank came off more slowly than the turn was made",
        "to the left: rudder missing in the roll-out, so that the nose goes on turning",
    ],
    drill: "steep turns to a named point on the horizon: lead by half the bank, stop with the nose on it",
    sided: true,
    mend: Some(Mend::RollOut),
    source: "ACS-C",
    look,
};

/// The tolerance of the published standard.
const ALLOWED_DEG: f64 = 10.0;

fn look(seen: &Seen<'_>) -> Option<Past> {
    let error = seen.get("heading_at_rollout_error_deg").filter(|_| seen.part.turns())?;
    let severity = above(error, ALLOWED_DEG, ALLOWED_DEG)?;
    Some(Past {
        evidence: format!("heading at roll-out {} past the wanted turn", told(error, "°")),
        severity,
    })
}
