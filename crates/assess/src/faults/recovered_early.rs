//! Recovered before the stall.

use super::{Fault, Past, Seen, above, told};

pub(super) const FAULT: Fault = Fault {
    id: "recovered-early",
    what: "the recovery was begun before the stall was reached",
    why: "the stall itself was not seen: its signs and the recovery from it are what the exercise is for",
    measured: "slowest airspeed above the power-off stall at the typical mass; needs the airplane (the break itself is quicker than a reconstruction follows)",
    remedy: "hold the nose where it is until it falls by itself, then recover",
    causes: &["the first sign was taken for the stall", "dislike of the nose falling"],
    drill: "dual: the approach with horn, buffet and break said aloud as each comes",
    sided: false,
    mend: None,
    source: "ACS-P",
    look,
};

const ALLOWED_KT: f64 = 2.0;

fn look(seen: &Seen<'_>) -> Option<Past> {
    if !seen.stalls() {
        return None;
    }
    let over = seen.over_stall_least()?;
    let severity = above(over, 0.0, ALLOWED_KT)?;
    Some(Past { evidence: format!("slowest {} over the stall", told(over, " kt")), severity })
}
