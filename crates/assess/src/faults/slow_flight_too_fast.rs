//! Too fast in slow flight.

use super::{Fault, Past, Seen, above, told};

pub(super) const FAULT: Fault = Fault {
    id: "slow-flight-too-fast",
    what: "faster than slow flight is",
    why: "the soft controls and the high nose are not met",
    measured: "indicated airspeed held more than 17 kt over the stall; needs the airplane",
    remedy: "pitch for speed, power for height: raise the nose a little, then power to hold the height",
    causes: &["power added before the speed was there", "dislike of the high nose"],
    drill: "slow down level in steps of 5 kt, trimmed and settled at each",
    sided: false,
    mend: None,
    source: "ACS-P",
    look,
};

/// Five to ten knots over the stall are usual, and the mass is not known.
const MOST_KT: f64 = 17.0;
const ALLOWED_KT: f64 = 5.0;

fn look(seen: &Seen<'_>) -> Option<Past> {
    let over = seen.held_over_stall().filter(|_| seen.is("slow-flight"))?;
    let severity = above(over, MOST_KT, ALLOWED_KT)?;
    Some(Past { evidence: format!("{} over the stall held", told(over, " kt")), severity })
}
