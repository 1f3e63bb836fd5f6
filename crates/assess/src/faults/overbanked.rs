//! Overbanked.

use super::{Fault, Past, Seen, above, told};

pub(super) const FAULT: Fault = Fault {
    id: "overbanked",
    what: "the bank went far over what is held",
    why: "load and stall speed rise at once, and the nose begins to drop",
    measured: "greatest bank more than 12 degrees over the one wanted: steep turn, chandelle, lazy eight",
    remedy: "a little opposite aileron holds the bank; bank off first, then raise the nose",
    causes: &["the overbanking tendency was let go", "the roll-in was not stopped"],
    drill: "roll to the bank quickly and stop dead on it, both ways",
    sided: true,
    mend: None,
    source: "AFH-3C",
    look,
};

const OVER_DEG: f64 = 12.0;
const ALLOWED_DEG: f64 = 5.0;

fn look(seen: &Seen<'_>) -> Option<Past> {
    let (_, _, wanted) = seen.bank_of_form()?;
    let most = seen.get("bank_greatest_deg")?;
    // Over the ground the track is what is wanted, and the bank whatever keeps it in the wind.
    if seen.is("wing-over") || seen.is("s-turns") || super::bank_too_steep::FAULT.is_seen(seen) {
        return None;
    }
    let middle = wanted.high - wanted.allowed;
    let severity = above(most, middle + OVER_DEG, ALLOWED_DEG)?;
    Some(Past {
        evidence: format!("bank {} at the steepest, {middle:.0}° wanted", told(most, "°")),
        severity,
    })
}
