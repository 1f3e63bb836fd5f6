//! Late recovery.

use super::{Fault, Past, Seen, above, told};

pub(super) const FAULT: Fault = Fault {
    id: "late-recovery",
    what: "much height was lost after the break",
    why: "height is what there is least of where stalls happen by mistake",
    measured: "height lost after the break: more than 250 ft",
    remedy: "unload, power, and the nose to the climb attitude as soon as the speed allows",
    causes: &["the nose was left low", "power came late", "the nose was lowered too far"],
    drill: "dual: recoveries against the altimeter: call the height at the break and at the lowest",
    sided: false,
    mend: None,
    source: "training-aid",
    look,
};

const MOST_FT: f64 = 250.0;
const ALLOWED_FT: f64 = 50.0;

fn look(seen: &Seen<'_>) -> Option<Past> {
    let lost = seen.get("height_lost_stall_ft").filter(|_| seen.stalls())?;
    let severity = above(lost, MOST_FT, ALLOWED_FT)?;
    Some(Past { evidence: format!("{} lost after the break", told(lost, " ft")), severity })
}
