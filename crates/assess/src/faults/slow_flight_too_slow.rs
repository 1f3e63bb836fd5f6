//! Too slow in slow flight.

use super::{Fault, Past, Seen, below, told};

pub(super) const FAULT: Fault = Fault {
    id: "slow-flight-too-slow",
    what: "slower than slow flight is meant to be",
    why: "today it is flown without the stall warning: under it the wing is about to stall",
    measured: "indicated airspeed held at or under the power-off stall; needs the airplane",
    remedy: "lower the nose a little and add power as the speed comes",
    causes: &["speed chased with power", "trim left behind"],
    drill: "slow flight with the airspeed covered, by attitude and sound",
    sided: false,
    mend: None,
    source: "ACS-P",
    look,
};

const LEAST_KT: f64 = 0.0;
const ALLOWED_KT: f64 = 3.0;

fn look(seen: &Seen<'_>) -> Option<Past> {
    let over = seen.held_over_stall().filter(|_| seen.is("slow-flight"))?;
    let severity = below(over, LEAST_KT, ALLOWED_KT)?;
    Some(Past { evidence: format!("{} over the stall held", told(over, " kt")), severity })
}
