//! Secondary stall.

use super::{Estimate, Fault, Past, Seen, above, told};

pub(super) const FAULT: Fault = Fault {
    id: "secondary-stall",
    what: "the wing stalled again in the recovery",
    why: "the second stall comes lower and with the nose higher",
    measured: "incidence over 16 degrees again after the first recovery, where pitch is recorded",
    remedy: "let the speed come before the nose; raise it with the speed",
    causes: &["the pull out was too quick"],
    drill: "dual: recover to 1.3 times the stall speed with the nose on the horizon before any climb",
    sided: false,
    mend: None,
    source: "ACS-P",
    look,
};

const INCIDENCE_DEG: f64 = 16.0;
const RECOVERED_DEG: f64 = 9.0;
const ALLOWED_DEG: f64 = 1.0;

fn look(seen: &Seen<'_>) -> Option<Past> {
    if !seen.stalls() {
        return None;
    }
    let incidence: Vec<Estimate> =
        seen.part.all().map(|i| seen.incidence(i)).collect::<Option<_>>()?;
    let first = incidence.iter().position(|one| one.value > INCIDENCE_DEG)?;
    let recovered = first + incidence[first..].iter().position(|one| one.value < RECOVERED_DEG)?;
    let again = *incidence[recovered..].iter().max_by(|a, b| a.value.total_cmp(&b.value))?;
    let severity = above(again, INCIDENCE_DEG, ALLOWED_DEG)?;
    Some(Past { evidence: format!("incidence {} after the recovery", told(again, "°")), severity })
}
