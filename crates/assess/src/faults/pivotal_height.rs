//! Pivotal height missed.

use super::{Fault, Past, Seen, above};

pub(super) const FAULT: Fault = Fault {
    id: "pivotal-height",
    what: "the pylon did not stay at the wing tip because the height did not follow the ground speed",
    why: "bank cannot hold a pylon at the wrong height",
    measured: "height above the ground against airspeed times what the nose makes good over the ground, by gravity: more than a tenth off on average; needs the ground elevation",
    remedy: "pylon moves ahead: lower the nose; falls behind: raise it",
    causes: &["the wing tip was dragged with the rudder", "height held instead of changed"],
    drill: "fly past one pylon straight, then circle it, moving only the stick fore and aft",
    sided: false,
    mend: None,
    source: "AFH-3C",
    look,
};

const SHARE: f64 = 0.1;
const ALLOWED: f64 = 0.05;

fn look(seen: &Seen<'_>) -> Option<Past> {
    if !seen.is("eights-on-pylons") {
        return None;
    }
    let off = seen.pivotal_height_off()?;
    let severity = above(off, SHARE, ALLOWED)?;
    Some(Past {
        evidence: format!("height off the pivotal one by {:.0} % on average", 100.0 * off.value),
        severity,
    })
}
